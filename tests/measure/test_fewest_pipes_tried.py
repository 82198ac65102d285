"""The fewest downpipes on small runs, held against every set of their places; and each step of the search by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import inf
from pathlib import Path

import numpy as np
import pytest

from takeoff.measure.rainwater.fewest_pipes import (
    FewestPipes,
    Field,
    SearchTooLongError,
    _State,
    least_excess,
    loosened,
)
from takeoff.measure.rainwater.limits import Limits
from takeoff.measure.rainwater.water_curve import behind

sys.path.insert(0, str(Path(__file__).parent))

from pipe_plans_tried import POINT_MM, Plan, Water, made_up

BLOCKS, EACH = 5, 20  # blocks of made-up runs, so that a fault is seen soon


# --- step by step, by hand --------------------------------------------------------------------------------------------

EVENLY = ((0.0, 10_000.0, 40e6, 40e6),)  # 4000 mm2 a mm over 10 m
FREE = Limits(0.0, 1e9, 1e9, 0.0, 1e9, 0.0)
METRES = tuple(1000.0 * n for n in range(10))


def plan(places: tuple[float, ...] = METRES, ring: bool = False, **more: object) -> Plan:
    water = Water(EVENLY, 10_000.0, ring)
    return replace(Plan(places, (water, water)), **more)  # type: ignore[arg-type]


def search(made: Plan, limits: Limits = FREE, apart_mm: float = 0.0, steps: float = inf) -> FewestPipes:
    return FewestPipes(made.field(), limits, apart_mm, steps)


def test_a_limit_is_kept_to_a_billionth() -> None:
    """Ten metres of 4000 mm2 a mm are 40 m2: a pipe that takes 40 m2 less a crumb of rounding holds, one that takes less
    by two hundred-millionths does not; a limit of 0 is none."""
    made = plan(ring=True)
    field = made.field()
    both = FewestPipes(field, replace(FREE, capacity_mm2=30e6, section_mm2=50e6)).measures
    assert [most for _, most in both] == [30e6 / (1.0 - 1e-9), 50e6 / (1.0 - 1e-9)]
    assert [curve for curve, _ in both] == list(field.curves)
    section = FewestPipes(field, replace(FREE, section_mm2=50e6)).measures
    assert [(curve is field.curves[1], most) for curve, most in section] == [(True, 50e6 / (1.0 - 1e-9))]
    for most, count in ((40e6, 1), (40e6 * (1.0 - 0.9e-9), 1), (40e6 * (1.0 - 2e-8), 2)):
        found = search(plan((2500.0, 7500.0)), replace(FREE, capacity_mm2=most)).best(1, 2)
        assert found is not None
        assert len(found) == count


ONE = [
    # length 10 m + 0.5; foot 1 m from the pipe + 0.5; a pipe that stands by hand, two, none near the foot
    ({}, {"length_mm": 9999.5}, (5000.0,)),
    ({}, {"length_mm": 9999.4}, None),
    ({"feet": (1500.0,)}, {"valley_within_mm": 500.0}, (2000.0,)),
    ({"feet": (1500.5,)}, {"valley_within_mm": 500.0}, (2000.0,)),
    ({"feet": (1400.0,)}, {"valley_within_mm": 399.5}, (1000.0,)),
    ({"feet": (1400.0,)}, {"valley_within_mm": 399.4}, None),
    ({"feet": (9900.0,)}, {"valley_within_mm": 500.0}, None),
    ({"feet": (9900.0,), "ring": True}, {"valley_within_mm": 500.0}, (0.0,)),
    ({"feet": (300.0,), "ring": True}, {"valley_within_mm": 300.0}, (0.0,)),
    ({"fixed": (3000.0,)}, {}, (3000.0,)),
    ({"fixed": (3000.0, 4000.0)}, {}, None),
    # on a ring that is taken to start at 3 m the middle is at 8 m
    ({"ring": True, "start_mm": 3000.0}, {}, (8000.0,)),
    ({"ring": True, "start_mm": 8000.0}, {}, (3000.0,)),
]


@pytest.mark.parametrize(("run", "limits", "wanted"), ONE)
def test_one_pipe_by_itself(run: dict[str, object], limits: dict[str, float], wanted: tuple[float, ...] | None) -> None:
    assert search(plan(**run), replace(FREE, **limits))._one() == wanted  # type: ignore[arg-type]


def test_how_far_neighbours_may_stand_apart() -> None:
    """The spacing, twice the length that a pipe takes at most, or the run itself, whichever is least."""
    for limits, reach in (
        (FREE, 10_000.0),
        (replace(FREE, spacing_mm=4000.0), 4000.5),
        (replace(FREE, spacing_mm=4000.0, length_mm=1999.0), 3999.0),
    ):
        made = search(plan(), limits)
        assert (made.reach_mm, made.longest_mm, made.within_mm) == (reach, limits.length_mm + 0.5, 1e9 + 0.5)
    near = search(plan(), replace(FREE, spacing_mm=2000.0))
    assert near._round_about(5000.0)[0] == slice(5, 8)  # 5000 to 5000 + 2000.5
    assert near._round_about(4999.6)[0] == slice(5, 8)
    assert near._round_about(5000.1)[0] == slice(6, 8)
    assert near._round_about(4999.4)[0] == slice(5, 7)


def pairs(made: FewestPipes) -> list[tuple[float, float]]:
    """Neighbours that may be, in metres, of those within reach."""
    near = [(n, left) for left, last in enumerate(made.furthest_ahead) for n in range(left + 1, last + 1)]
    rows = [(n, left) for n, left in near if made.may[n, n - 1 - left]]
    return sorted((made.x[left] / 1000.0, made.x[n] / 1000.0) for n, left in rows)


def test_pairs_of_neighbours() -> None:
    """Places at 0, 1, 2 and 3 m, neighbours 2 m apart at most: half way to the first and to the second behind."""
    near = replace(FREE, spacing_mm=2000.0)
    made, four = search(plan(METRES[:4]), near), METRES[:4]
    every = [(0, 1), (0, 2), (1, 2), (1, 3), (2, 3)]
    assert made.furthest_ahead.tolist() == [2, 3, 3, 3]
    assert made.most == 2
    assert pairs(made) == every
    # a valley's foot at 1.4 m within 400 mm: no neighbours at 0 and 2 m, nor at 1 and 3 m by half a millimetre
    foot = search(plan(four, feet=(1400.0,)), replace(near, valley_within_mm=399.5))
    assert pairs(foot) == [(0, 1), (1, 2), (1, 3), (2, 3)]
    foot = search(plan(four, feet=(1400.0,)), replace(near, valley_within_mm=399.4))
    assert pairs(foot) == [(0, 1), (2, 3)]
    wide = replace(FREE, spacing_mm=3000.0, valley_within_mm=10.0)
    assert pairs(search(plan(four, feet=(2000.0,)), wide)) == [(0, 1), (0, 2), (1, 2), (2, 3)]
    # a pipe by hand at 2 m is not passed by
    assert pairs(search(plan(four, fixed=(2000.0,)), near)) == [(0, 1), (0, 2), (1, 2), (2, 3)]
    # a corner at 1.5 m, shared by neighbours nearer than 2 m; a corner where a pipe stands is not between two
    assert pairs(search(plan(four, inside=(1500.0,)), near, 2000.0)) == [(0, 1), (0, 2), (1, 3), (2, 3)]
    assert pairs(search(plan(four, inside=(1500.0,)), near, 2000.1)) == [(0, 1), (2, 3)]
    for at in (1000.0, 2000.0):
        assert pairs(search(plan(four, inside=(at,)), near, 1500.0)) == every
    # places within a billionth of a millimetre are one
    for apart, count in ((1e-10, 0), (2e-9, 1)):
        assert len(pairs(search(plan((0.25, 0.25 + apart))))) == count
    assert pairs(search(plan((0.0, 1e-9)))) == []


def test_pairs_of_neighbours_round_a_ring() -> None:
    """Three places go on to six; a foot, a pipe by hand and a corner come round again."""
    made = plan((1000.0, 4000.0, 8000.0), ring=True)
    near = replace(FREE, spacing_mm=4000.0)
    assert search(made, near).x.tolist() == [1000.0, 4000.0, 8000.0, 11_000.0, 14_000.0, 18_000.0]
    every = [(1, 4), (4, 8), (8, 11), (11, 14), (14, 18)]
    assert pairs(search(made, near)) == every
    foot = search(replace(made, feet=(9500.0,)), replace(near, valley_within_mm=1499.4))
    assert pairs(foot) == [pair for pair in every if pair != (8, 11)]
    inside = search(replace(made, inside=(2000.0,)), near, 3500.0)
    assert pairs(inside) == [(4, 8), (8, 11), (14, 18)]
    by_hand = search(replace(made, fixed=(4000.0,)), replace(FREE, spacing_mm=8000.0))
    assert pairs(by_hand) == [(1, 4), (4, 8), (4, 11), (8, 11), (8, 14), (11, 14), (14, 18)]


def test_a_search_that_is_given_too_few_steps() -> None:
    """Four pipes on ten places of a run with ends: three steps of ten places each."""
    limits = replace(FREE, capacity_mm2=11e6)
    made = search(plan(), limits, steps=30.0)
    assert made.best(2, 10) == (1000.0, 4000.0, 6000.0, 9000.0)
    assert made.steps == 0.0
    with pytest.raises(SearchTooLongError):
        search(plan(), limits, steps=29.0).best(2, 10)


def test_the_steps_of_one_pipe_more() -> None:
    made = search(plan(), steps=4.0)
    zeros = np.zeros(10)
    made._on(_State(np.arange(10) < 2, zeros, (), zeros.astype(np.intp)), 3, 7)
    assert made.steps == 0.0


def test_what_the_outer_pipes_of_a_run_with_ends_take() -> None:
    """The last, or the first, takes just 6 m of 10 with half a millimetre that counts as none."""
    for places in ((2000.0, 6000.0), (3000.0, 9000.0)):
        for most, holds in ((5999.5, True), (5999.4, False)):
            assert search(plan(places), replace(FREE, length_mm=most)).holds() is holds


def test_feet_beyond_the_outer_pipes_of_a_run_with_ends() -> None:
    """Within 400 mm and half a millimetre of the first at 2 m, of the last at 8 m."""
    for foot, holds in ((1599.5, True), (1599.4, False), (8400.5, True), (8400.6, False)):
        made = search(plan((2000.0, 8000.0), feet=(foot,)), replace(FREE, valley_within_mm=400.0, capacity_mm2=30e6))
        assert made.holds() is holds, foot


def test_no_place_at_all() -> None:
    assert search(plan(())).best(1, 3) is None
    assert search(plan(())).holds() is False
    assert search(plan((), ring=True)).best(1, 3) is None
    assert search(plan((), ring=True)).holds() is False


def test_where_the_pipe_after_so_many_gaps_can_stand() -> None:
    """Ten places a metre apart round 10 m, neighbours 3 m apart at most, four gaps: after the first gap at 1 to 3 m, since
    three more gaps bring 9 m; after the second at 4 to 6, after the third at 7 to 9, at the end at 10."""
    made = search(plan(ring=True), replace(FREE, spacing_mm=2999.5))
    assert [made._span(0, level, 4) for level in (1, 2, 3, 4)] == [(1, 4), (4, 7), (7, 10), (10, 11)]
    assert [made._span(3, level, 4) for level in (1, 2, 3, 4)] == [(4, 7), (7, 10), (10, 13), (13, 14)]
    # with six gaps the first pipe itself is not taken before the last gap
    assert [made._span(0, level, 6) for level in range(1, 7)] == [(1, 4), (1, 7), (1, 10), (4, 10), (7, 10), (10, 11)]
    assert made._span(2, 1, None) == (3, 13)
    # three gaps do not lead round: nothing lies between
    assert made._span(0, 1, 3) == (4, 4)


def test_as_far_along_as_the_water_can_part_left_of_a_pipe() -> None:
    """Half way to the place before: the first on a ring has the last before it."""
    made = search(plan((1000.0, 2000.0, 6000.0, 9000.0), ring=True))
    assert [made._furthest_parting(first) for first in range(4)] == [0.0, 1500.0, 4000.0, 7500.0]


def test_the_window_in_which_one_pipe_must_stand() -> None:
    """Neighbours 3 m apart at most; from 2 m on only 4 m is within reach, as from 4 m on only 7 m."""
    places = (0.0, 1000.0, 2000.0, 4000.0, 7000.0, 8000.0, 9000.0)
    limits = replace(FREE, spacing_mm=3000.0)
    assert search(plan(places, ring=True), limits)._window() == [3]
    # from 8 m on there are 9, 10 and 11; 9 m has three; alike ones: the first from the start of the run
    even = plan(METRES, ring=True)
    assert search(even, limits)._window() == [1, 2, 3]
    assert search(replace(even, start_mm=7500.0), limits)._window() == [9, 0, 1]
    assert search(replace(even, fixed=(6000.0,)), limits)._window() == [6]
    # a place with none within reach is a window by itself
    assert search(plan((0.0, 1000.0, 5000.0), ring=True), limits)._window() == [1]


def test_places_about_a_position_and_those_behind_each() -> None:
    """Of places a metre apart, 2 m within reach: 4 and 5 m may have 3.5 m between them and one behind."""
    made = search(plan(), replace(FREE, spacing_mm=2000.0))
    on, behind, here = made._round_about(3500.0)
    assert (on, here.tolist()) == (slice(4, 6), [[4000.0], [5000.0]])
    assert behind.tolist() == [[3000.0, 2000.0], [4000.0, 3000.0]]


def test_values_at_the_places_behind() -> None:
    tens = np.arange(10) * 10
    assert behind(tens, 3, 4, 6).tolist() == [[30, 20, 10], [40, 30, 20]]
    assert behind(tens, 3, 1, 3).tolist() == [[0, -1, -1], [10, 0, -1]]
    assert behind(tens, 1, 0, 2).tolist() == [[-1], [0]]


def test_the_nearest_behind_from_which_a_place_is_reached() -> None:
    """From 0 as far as 3, from 1 as far as 2, from 2 no further: 3 is reached from 0 alone; from 4 on none is."""
    made = search(plan(), replace(FREE, spacing_mm=3000.0))
    last = np.array([3, 2, 2, -1, -1, -1, -1, -1, -1, -1])
    found, left = made._nearest(last, 0, 10)
    assert (found.tolist(), left.tolist()) == ([1, 2, 3], [0, 1, 0])
    assert [part.tolist() for part in made._nearest(last, 3, 4)] == [[3], [0]]
    assert [part.tolist() for part in made._nearest(last, 4, 4)] == [[], []]


def test_one_pipe_more() -> None:
    """Pipes of 12 m2 each, 4 m2 a metre, a first pipe at 0 or 1 m: the next 3 m on at most from a parting at 0: half way
    3 m on is 6 m from 0, 5 m from 1. The nearest that may is taken."""
    made = search(plan(), replace(FREE, capacity_mm2=12e6, spacing_mm=5000.0))
    at = np.array([True, True] + [False] * 8)
    zeros = np.zeros(10)
    state = made._on(_State(at, zeros, (zeros,), np.full(10, -1)), 0, 10)
    assert np.flatnonzero(state.at).tolist() == [1, 2, 3, 4, 5]
    assert state.parted_mm[1:6].tolist() == [500.0, 1500.0, 2000.0, 2500.0, 3000.0]
    assert state.came[1:6].tolist() == [0, 1, 1, 1, 1]
    assert state.water_mm2[0][1:6] == pytest.approx([2e6, 6e6, 8e6, 10e6, 12e6])
    assert made._last(_State(at, zeros, (zeros,), np.full(10, -1)), 0, 10).tolist() == [5, 5] + [-1] * 8
    assert made.steps == inf


def test_how_far_limits_must_be_loosened() -> None:
    """Two places that part 40 m2 into halves: pipes of 15, 16 and 19.9 m2 lack 1/3, 1/4 and 1/199; places 6 m apart at a
    spacing of 5 m (less half a millimetre) lack a fifth; a foot 2 m off where 1.2 m are allowed two thirds."""
    rows = [
        (plan((2500.0, 7500.0)), replace(FREE, capacity_mm2=15e6), 1 / 3),
        (plan((2500.0, 7500.0)), replace(FREE, section_mm2=16e6), 1 / 4),
        (plan((2500.0, 7500.0)), replace(FREE, capacity_mm2=19.9e6), 0.1 / 19.9),
        (plan((2500.0, 7500.0)), replace(FREE, capacity_mm2=6.1e6), 20 / 6.1 - 1),
        (plan((2500.0, 7500.0)), replace(FREE, capacity_mm2=0.13e6), 20 / 0.13 - 1),
        (plan((2000.0, 8000.0)), replace(FREE, spacing_mm=5000.0, length_mm=5000.0), 999.5 / 5000),
        (plan((2000.0,), feet=(4000.0,)), replace(FREE, valley_within_mm=1200.0), 799.5 / 1200),
        (plan((2000.0,)), replace(FREE, length_mm=4000.0), 5999.5 / 4000),
    ]
    for made, limits, wanted in rows:
        found = least_excess(made.field(), limits)
        assert wanted - 1e-9 <= found <= wanted + 1e-4 * (1.0 + wanted), limits
    assert least_excess(plan().field(), replace(FREE, capacity_mm2=11e6)) == 0.0
    # no place at all: given up beyond ten thousandfold (0.01 x 3 ^ 13 = 15 943)
    assert least_excess(plan(()).field(), FREE) == pytest.approx(0.01 * 3**13)


def test_limits_loosened() -> None:
    limits = Limits(1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0)
    assert loosened(limits, 0.5) == Limits(1.5, 3.0, 4.5, 4.0, 7.5, 6.0, 10.5)


def test_a_field_knows_its_run() -> None:
    for ring in (False, True):
        field: Field = plan(ring=ring).field()
        assert (field.ring, field.length_mm) == (ring, 10_000.0)


# --- against every set of places ---------------------------------------------------------------------------------------


def apart_kept(plan: Plan, places: tuple[float, ...], apart_mm: float) -> bool:
    return not apart_mm or not plan.shared_corners(places, apart_mm)


def tried(plan: Plan, limits: Limits, apart_mm: float, count: int) -> list[tuple[float, ...]]:
    return [places for places in plan.sets(count, limits) if count == 1 or apart_kept(plan, places, apart_mm)]


def window(plan: Plan, limits: Limits) -> list[float]:
    """Places among which one pipe of a ring must stand: the fewest that a gap as wide as may be can cover, the pipe at
    their left not among them; in order from the start of the run."""
    reach = min(limits.spacing_mm + POINT_MM, 2.0 * (limits.length_mm + POINT_MM), plan.length_mm)

    def from_start(place: float) -> float:
        return (place - plan.start_mm) % plan.length_mm

    if plan.fixed:
        return [plan.fixed[0]]
    twice = [*plan.places, *(place + plan.length_mm for place in plan.places)]
    ahead = [[x for x in twice if place < x <= place + reach] for place in plan.places]
    least = min(len(row) for row in ahead)
    rows = [(from_start(place), row) for place, row in zip(plan.places, ahead, strict=True) if len(row) == least]
    first, row = min(rows)
    found = {x % plan.length_mm for x in row} or {(first + plan.start_mm) % plan.length_mm}
    return sorted(found, key=from_start)


def best_by_trying(plan: Plan, limits: Limits, apart_mm: float, least: int) -> tuple[float, ...] | None:
    """Of the sets of the fewest: one pipe as near the middle of the run as can be; more as far along as they can stand,
    the last first, on a ring from the first place of the window with a set."""
    if least <= 1 and (ones := tried(plan, limits, 0.0, 1)):
        middle = plan.length_mm / 2.0
        return min(ones, key=lambda one: abs((one[0] - plan.start_mm) % plan.length_mm - middle))
    for count in range(max(least, 2) if plan.ring else 2, len(plan.places) + 1):
        found = tried(plan, limits, apart_mm, count)
        if not plan.ring and found:
            return max(found, key=lambda places: places[::-1])
        for first in window(plan, limits):
            rows = [_from(places, first, plan.length_mm) for places in found if first in places]
            if rows:
                return tuple(sorted(place % plan.length_mm for place in max(rows, key=lambda row: row[::-1])))
    return None


def _from(places: tuple[float, ...], first: float, length_mm: float) -> tuple[float, ...]:
    return tuple(sorted(place if place >= first else place + length_mm for place in places))


@pytest.mark.parametrize("ring", [False, True])
@pytest.mark.parametrize("block", range(BLOCKS))
def test_the_fewest_that_keep_every_limit_by_trying_every_set(block: int, ring: bool) -> None:
    for seed in range(block * EACH, block * EACH + EACH):
        plan, limits, apart = made_up(seed, ring)
        search = FewestPipes(plan.field(), limits, apart)
        least = 1 + seed % 7 // 5
        wanted = best_by_trying(plan, limits, apart, least)
        assert search.best(least, len(wanted or plan.places)) == wanted, seed
        every = any(tried(plan, limits, apart, count) for count in range(1, len(plan.places) + 1))
        assert search.holds() is every, seed
        if wanted and len(wanted) > 2:
            assert search.best(least, len(wanted) - 1) is None, seed


@pytest.mark.parametrize("count", [2, 3, None])
def test_first_pipes_that_a_way_round_is_looked_for_from(count: int | None) -> None:
    """All those of the window from which so many pipes (or any number of two or more) hold, and hardly any from which
    none do."""
    more = 0
    for seed in range(40):
        plan_, limits, apart = made_up(seed, True)
        search_ = FewestPipes(plan_.field(), limits, apart)
        hopeful = {plan_.places[n] for n in search_._hopeful(count)}
        counts = range(2, len(plan_.places) + 1) if count is None else (count,)
        good = {place for n in counts for places in tried(plan_, limits, apart, n) for place in places}
        assert hopeful >= good & set(window(plan_, limits)), seed
        more += len(hopeful - good)
    assert more <= 4
