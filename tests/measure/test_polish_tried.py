"""Pipes moved along a run: what places cost, by sums of its own; that no move of one pipe makes the end better; by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import inf
from pathlib import Path

import numpy as np
import pytest

from takeoff.measure.rainwater.limits import Limits
from takeoff.measure.rainwater.polish import _among, _costs, _moved_columns, _moves, _off, _spread, polished, sharing

sys.path.insert(0, str(Path(__file__).parent))

from pipe_plans_tried import Plan, Water, made_up

FREE = Limits(0.0, 1e9, 1e9, 0.0, 1e9, 0.0)
EVENLY = ((0.0, 10_000.0, 40e6, 40e6),)  # 4000 mm2 a mm over 10 m
METRES = tuple(1000.0 * n for n in range(10))


def plan(places: tuple[float, ...] = METRES, ring: bool = False, **more: object) -> Plan:
    water = Water(EVENLY, 10_000.0, ring)
    return replace(Plan(places, (water, water)), **more)  # type: ignore[arg-type]


def cost_of(made: Plan, limits: Limits, places: tuple[float, ...], good: tuple[float, ...], apart_mm: float) -> float:
    """Endless where a limit is not kept, pipes by hand left aside; else 1e14 for each inside corner that neighbours
    nearer than that share, 1e12 for such neighbours, 1e10 for a place out along a wall, and the squares of the shares in
    thousandths of m4."""
    if not replace(made, fixed=()).holds(places, limits):
        return inf
    corners = [corner + turn for corner in made.inside for turn in (0.0, made.length_mm)]
    gaps = [(a, b) for a, b in made.gaps(places) if b - a < apart_mm]
    shared = sum(a < corner < b for a, b in gaps for corner in corners)
    shares = [made.waters[0].between(low, high) / 1e6 for low, high in made.shares(places)]
    squares = round(sum(share * share for share in shares) * 1e3)
    return shared * 1e14 + len(gaps) * 1e12 + sum(place not in good for place in places) * 1e10 + squares


# --- by hand ----------------------------------------------------------------------------------------------------------


def test_one_pipe_is_not_moved() -> None:
    assert polished(plan().field(), FREE, [3000.0], [0.0], 500.0) == (3000.0,)


def test_two_pipes_move_to_even_shares_or_to_wall_ends() -> None:
    """On 10 m water parts half way: pipes at 2 and 8 m take half each, at 2 and 7 less evenly. Ends of walls at 0 and 9 m
    count for more; neighbours nearer than 9.5 m, which all are, change nothing."""
    field = plan().field()
    assert polished(field, FREE, [0.0, 1000.0], [], 0.0) == (1000.0, 9000.0)
    assert polished(field, FREE, [4000.0, 5000.0], [0.0, 9000.0], 9500.0) == (0.0, 9000.0)
    # two on a ring take half each wherever they stand: they stay
    assert polished(plan(ring=True).field(), FREE, [3000.0, 4000.0], [], 0.0) == (3000.0, 4000.0)
    by_hand = plan(fixed=(4000.0,)).field()
    assert polished(by_hand, FREE, [4000.0, 5000.0], [], 0.0) == (4000.0, 6000.0)
    # limits that no places keep leave them as they are
    assert polished(field, replace(FREE, capacity_mm2=1e6), [4000.0, 5000.0], [], 0.0) == (4000.0, 5000.0)


def test_as_many_places_as_far_apart_as_can_be() -> None:
    """Two on 10 m: nearest 2.5 and 7.5 m (the first of two as near), three: 1667, 5000 and 8333 mm. A ring that starts
    at 6 m: 8.5 and 3.5 m. Where two are nearest to one place, or a pipe stands by hand, the places as they are."""
    assert _spread(plan().field(), (0.0, 1.0)) == (2000.0, 7000.0)
    assert _spread(plan().field(), (0.0, 1.0, 2.0)) == (2000.0, 5000.0, 8000.0)
    assert _spread(plan(ring=True, start_mm=6100.0).field(), (0.0, 1.0)) == (4000.0, 9000.0)
    assert _spread(plan((1000.0, 2000.0)).field(), (1000.0, 2000.0, 2500.0)) == (1000.0, 2000.0, 2500.0)
    assert _spread(plan(fixed=(3000.0,)).field(), (3000.0, 4000.0)) == (3000.0, 4000.0)


def test_places_that_a_pipe_may_move_to() -> None:
    """Up to its neighbours, to the ends, on a ring over the seam to the neighbour from the other side."""
    now = np.array([2000.0, 5000.0, 7000.0])
    ends = plan().field()
    assert [_moves(ends, now, n).tolist() for n in range(3)] == [
        [0.0, 1000.0, 2000.0, 3000.0, 4000.0],
        [3000.0, 4000.0, 5000.0, 6000.0],
        [6000.0, 7000.0, 8000.0, 9000.0],
    ]
    ring = plan(ring=True).field()
    assert [_moves(ring, now, n).tolist() for n in (0, 2)] == [
        [-2000.0, -1000.0, 0.0, 1000.0, 2000.0, 3000.0, 4000.0],
        [6000.0, 7000.0, 8000.0, 9000.0, 10_000.0, 11_000.0],
    ]


def test_how_far_places_lie_from_a_foot() -> None:
    places = np.array([[1000.0, 9000.0], [-2000.0, 11_000.0]])
    assert _off(plan().field(), places, 500.0).tolist() == [[500.0, 8500.0], [2500.0, 10_500.0]]
    assert _off(plan(ring=True).field(), places, 500.0).tolist() == [[500.0, 1500.0], [2500.0, 500.0]]


def test_places_that_are_wall_ends() -> None:
    """Within a thousandth of a millimetre."""
    places = np.array([-5.0, 0.0, 0.001, 0.0011, 999.999, 1000.0, 4000.0, 4000.0009, 4000.002, 9000.0])
    wanted = [False, True, True, False, True, True, True, True, False, False]
    assert _among(places, np.array([0.0, 1000.0, 4000.0])).tolist() == wanted
    assert _among(np.array([3.0, 3.0009, 2.9, 3.1]), np.array([3.0])).tolist() == [True, True, False, False]
    assert _among(places, np.array([])).tolist() == [False] * 10


def test_corners_within_gaps() -> None:
    """Corners at 1, 2 and 9.5 m; gaps of under 3 m only; a corner at a pipe itself is in no gap."""
    left, gaps = np.array([[500.0, 1000.0], [9000.0, 0.0]]), np.array([[2000.0, 1000.0], [1500.0, 3000.0]])
    inside = (1000.0, 2000.0, 9500.0)
    ends, ring = plan(inside=inside).field(), plan(inside=inside, ring=True).field()
    assert sharing(ends, left, gaps, 3000.0).tolist() == [[2.0, 0.0], [1.0, 0.0]]
    assert sharing(ends, left, gaps, 3000.1).tolist() == [[2.0, 0.0], [1.0, 2.0]]
    over = np.array([[9000.0]]), np.array([[2500.0]])
    assert (sharing(ends, *over, 3000.0).tolist(), sharing(ring, *over, 3000.0).tolist()) == ([[1.0]], [[2.0]])
    just = plan(inside=(1000.0,)).field()
    assert sharing(just, np.array([[999.5]]), np.array([[800.0]]), 900.0).tolist() == [[1.0]]
    assert sharing(ends, left, gaps, 900.0).tolist() == [[0.0, 0.0], [0.0, 0.0]]


def test_limits_that_places_just_keep() -> None:
    """Half a millimetre counts as none: pipes 3 m apart, taking 6 m, 1 m from a foot; a billionth of the capacity."""

    def kept(places: tuple[float, ...], ring: bool = False, **limits: float) -> bool:
        field = plan(ring=ring, feet=(4000.0,)).field()
        return bool(np.isfinite(_costs(field, replace(FREE, **limits), np.array([places]), np.array([]), 0.0)[0]))

    assert [kept((2000.0, 5000.0 + more), spacing_mm=3000.0) for more in (0.5, 0.6)] == [True, False]
    assert [kept((2000.0, 6000.0), length_mm=most) for most in (5999.5, 5999.4)] == [True, False]
    assert [kept((2000.0, 5000.0 + more), valley_within_mm=1000.0) for more in (0.5, 0.6)] == [True, False]
    assert [kept((2000.0, 8000.0), capacity_mm2=20e6 * (1 - off)) for off in (0.9e-9, 2e-8)] == [True, False]
    # round the seam 7 m
    assert [kept((2000.0, 5000.0), True, spacing_mm=most) for most in (6999.5, 6999.4)] == [True, False]


def test_columns_that_differ() -> None:
    rows = np.array([[1.0, 2.0, 3.0], [1.0, 5.0, 3.0], [1.0, 2.0, 3.5]])
    assert _moved_columns(rows).tolist() == [False, True, True]


# --- by trying --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ring", [False, True])
@pytest.mark.parametrize("block", range(4))
def test_what_places_cost_and_that_no_move_makes_them_cheaper(block: int, ring: bool) -> None:
    for seed in range(block * 12, block * 12 + 12):
        made, limits, apart = made_up(seed, ring)
        field = made.field()
        count = 2 + seed % 3
        sets = [(*made.places[n : n + count - 1], made.places[-1]) for n in range(len(made.places) - count + 1)]
        good = made.places[::2]
        rows = _costs(field, limits, np.array(sets), np.array(good), apart)
        assert rows.tolist() == [cost_of(made, limits, places, good, apart) for places in sets], seed
        begun = next((places for places, cost in zip(sets, rows, strict=True) if np.isfinite(cost)), sets[0])
        ended = polished(field, limits, begun, set(good), apart)
        least = cost_of(made, limits, ended, good, apart)
        assert (len(ended), set(made.fixed) & set(begun)) == (count, set(made.fixed) & set(begun) & set(ended)), seed
        assert least <= cost_of(made, limits, begun, good, apart), seed
        if not made.fixed:
            assert least <= cost_of(made, limits, _spread(field, begun), good, apart), seed
        for n, place in enumerate(ended):
            for other in set(made.places) - set(ended) if place not in made.fixed and least < inf else ():
                moved = tuple(sorted((*ended[:n], *ended[n + 1 :], other)))
                if ring or moved.index(other) == n:  # no neighbour passed
                    assert not _between(made, ended, n, other) or cost_of(made, limits, moved, good, apart) >= least


def _between(made: Plan, places: tuple[float, ...], n: int, other: float) -> bool:
    """Whether a place lies between the neighbours of a pipe."""
    before, after = places[n - 1], places[(n + 1) % len(places)]
    if not made.ring:
        return (n == 0 or before < other) and (n + 1 == len(places) or other < after)
    return (other - before) % made.length_mm < (after - before - 1e-9) % made.length_mm
