"""Rows of places that are alike but beside one pipe, worked out by columns: the same as every row by itself."""

from __future__ import annotations

from math import inf
from types import SimpleNamespace
from typing import cast

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.measure.rainwater.fewest_pipes import Field
from takeoff.measure.rainwater.limits import Limits
from takeoff.measure.rainwater.polish import _costs, by_column
from takeoff.measure.rainwater.stretches import RunWater
from takeoff.measure.rainwater.water_curve import Floats, WaterCurve

LENGTH_MM = 40000.0
places_mm = st.integers(0, 399).map(lambda n: 100.0 * n)
spots = st.lists(places_mm, min_size=2, max_size=6, unique=True).map(sorted)


def field(ring: bool, inside: list[float]) -> Field:
    """40 m of gutter, rain as thick everywhere, and 5 m2 more from a valley at 13 m."""
    flows = ((0.0, LENGTH_MM, 4.0e7, 4.0e7), (13000.0, 13000.0, 2.5e6, 2.5e6))
    water = SimpleNamespace(ring=ring, length_mm=LENGTH_MM, total_mm2=4.25e7, flows=flows)
    curve = WaterCurve(cast(RunWater, water))
    every = np.arange(0.0, LENGTH_MM, 100.0)
    return Field(every, (curve, curve), np.array([13000.0]), np.array(sorted(inside)), np.array([]))


def rows_of(spots: list[float], moves: list[float], pipe: int) -> Floats:
    """The places once for each move, with one pipe moved between its neighbours."""
    now = np.array(spots)
    pipe %= len(now)
    low = now[pipe - 1] if pipe else -1.0
    high = now[pipe + 1] if pipe + 1 < len(now) else LENGTH_MM
    kept = [move for move in moves if low < move < high] or [now[pipe]]
    rows = np.repeat(now[None, :], len(kept), axis=0)
    rows[:, pipe] = kept
    return rows


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.booleans(),
    spots,
    st.lists(places_mm, min_size=1, max_size=12),
    st.integers(0, 5),
    st.lists(places_mm, max_size=5),
)
def test_many_moves_at_once_cost_what_each_costs_by_itself(
    ring: bool, spots: list[float], moves: list[float], pipe: int, inside: list[float]
) -> None:
    rows, ground = rows_of(spots, moves, pipe), field(ring, inside)
    limits = Limits(3.5e7, 30000.0, inf, valley_from_mm2=0.0, valley_within_mm=inf, clear_mm=0.0)
    good = np.array([0.0, 5000.0, 20000.0])
    together = _costs(ground, limits, rows, good, 9000.0)
    alone = [_costs(ground, limits, row[None, :], good, 9000.0)[0] for row in rows]
    assert together.tolist() == alone


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.booleans(), spots, st.lists(places_mm, min_size=1, max_size=12), st.integers(0, 5))
def test_water_by_columns_is_water_place_by_place(
    ring: bool, spots: list[float], moves: list[float], pipe: int
) -> None:
    rows = rows_of(spots, moves, pipe)
    curve = field(ring, []).curves[0]
    plain = [[float(curve.upto(np.array([place]))[0]) for place in row] for row in rows]
    assert by_column(curve.upto, rows).tolist() == plain


def test_neighbours_that_share_an_inside_corner_cost_more_wherever_the_moved_pipe_stands() -> None:
    """Pipes at 1, 3, 20 and 30 m, a corner at 2 m between the first two, which stand closer than 9 m: moving the fourth
    changes nothing of that, so each row costs more than the same row without the corner by the same sum."""
    rows = rows_of([1000.0, 3000.0, 20000.0, 30000.0], [28000.0, 31000.0, 35000.0], 3)
    limits = Limits(0.0, 60000.0, inf, valley_from_mm2=0.0, valley_within_mm=inf, clear_mm=0.0)
    with_it, without = (
        _costs(field(False, inside), limits, rows, np.array([0.0]), 9000.0) for inside in ([2000.0], [])
    )
    assert np.isfinite(without).all()
    assert len({*(with_it - without).tolist()}) == 1
    assert (with_it > without).all()
