"""The cheapest places among those given, held against every set of them; thinning and windows by hand."""

from __future__ import annotations

import sys
from dataclasses import dataclass, field, replace
from itertools import combinations
from math import floor
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from takeoff.measure.rainwater import pipe_search
from takeoff.measure.rainwater.limits import Limits
from takeoff.measure.rainwater.pipe_search import _corners_shared, _looked_at, _Search
from takeoff.measure.rainwater.placing import PipeGround

sys.path.insert(0, str(Path(__file__).parent))

from pipe_plans_tried import Plan, Water, made_up

FREE = Limits(0.0, 1e9, 1e9, 0.0, 1e9, 0.0)
EVENLY = ((0.0, 10_000.0, 40e6, 40e6),)  # 4000 mm2 a mm over 10 m
METRES = tuple(1000.0 * n for n in range(10))
Cost = tuple[int, int, int, int]


@dataclass(slots=True)
class Ground:
    """A run of a made-up plan as the search asks for it."""

    plan: Plan
    good: tuple[float, ...] = ()
    even: frozenset[float] = frozenset()
    other: tuple[float, ...] = ()
    spare: tuple[float, ...] = ()
    fixed: tuple[float, ...] = ()
    light: tuple[float, ...] = ()
    inside: tuple[float, ...] = field(init=False)

    def __post_init__(self) -> None:
        self.inside = self.plan.inside

    @property
    def length_mm(self) -> float:
        return self.plan.length_mm

    @property
    def start_mm(self) -> float:
        return self.plan.start_mm

    @property
    def run(self) -> SimpleNamespace:
        feet = [(at, 5e6) for at in self.plan.feet] + [(at, 4e6) for at in self.light]
        valleys = [SimpleNamespace(along_mm=at, plan_catchment_mm2=area) for at, area in feet]
        return SimpleNamespace(ring=self.plan.ring, valleys=valleys)

    @property
    def sized(self) -> tuple[SimpleNamespace, ...]:
        return tuple(SimpleNamespace(upto=water._upto) for water in self.plan.waters)

    @property
    def brought_mm2(self) -> tuple[float, ...]:
        return tuple(water.total_mm2 for water in self.plan.waters)

    def apart(self, one: float, other: float) -> float:
        return self.plan.apart(one, other)

    def gaps(self, places: tuple[float, ...]) -> list[float]:
        return [b - a for a, b in self.plan.gaps(places)] if len(places) > 1 else []

    def breaches(self, places: list[float], limits: Limits) -> list[str]:
        return [] if self.plan.holds(places, limits) else ["one"]


def search(ground: Ground, limits: Limits = FREE, most: int = 9, apart_mm: float = 0.0) -> _Search:
    return _Search(cast(PipeGround, ground), limits, ground.plan.places, most, apart_mm)


def plan(places: tuple[float, ...] = METRES, ring: bool = False, **more: object) -> Plan:
    water = Water(EVENLY, 10_000.0, ring)
    return replace(Plan(places, (water, water)), **more)  # type: ignore[arg-type]


# --- by hand ----------------------------------------------------------------------------------------------------------


def test_places_clear_of_inside_corners_alone_are_searched() -> None:
    """Corner at 3 m, 1.2 m clear: from 1.8 + 0.0005 to 4.2 m nothing; on a ring a corner at 0 clears 9 m too."""
    made = plan((0.0, 1800.0, 1800.5, 1800.6, 4199.4, 4199.5, 9000.0), inside=(3000.0,))
    assert search(Ground(made), replace(FREE, clear_mm=1200.0)).places == [0.0, 1800.0, 1800.5, 4199.5, 9000.0]
    ring = plan((500.0, 2000.0, 9000.0), ring=True, inside=(0.0,))
    assert search(Ground(ring), replace(FREE, clear_mm=1200.0)).places == [2000.0]
    assert search(Ground(plan((2000.0, 9000.0, 500.0))), FREE).places == [500.0, 2000.0, 9000.0]


def test_what_the_search_unrolls_on_a_ring() -> None:
    """Corners, heavy feet (more than 4 m2) and good places come again one and two turns on."""
    limits = replace(FREE, valley_from_mm2=4e6, spacing_mm=3000.0)
    for ring, turns in ((False, [0.0]), (True, [0.0, 10_000.0, 20_000.0])):
        made = plan(ring=ring, feet=(2500.0,), inside=(6000.0,))
        found = search(Ground(made, good=(1000.0,), light=(7000.0,)), limits)
        assert found.heavy == [2500.0 + turn for turn in turns]
        assert found.corners == [6000.0 + turn for turn in turns]
        assert found.good == {1000.0 + turn for turn in turns}
        assert found.reach == 3000.5


def test_the_window_of_a_ring() -> None:
    """The fewest places among which a pipe must stand: a place and those within 3 m of it ahead. From 3 m on 3 and 5."""
    limits = replace(FREE, spacing_mm=2999.5)
    places = (0.0, 1000.0, 2000.0, 3000.0, 5000.0, 7000.0, 8000.0)
    ring = plan(places, ring=True)
    assert search(Ground(ring), limits)._window() == [3000.0, 5000.0]
    # 1 m with 2 alone and 2 with 5 are alike: the first from the start of the run
    alike = plan((0.0, 1000.0, 2000.0, 5000.0, 7000.0, 8000.0), ring=True)
    assert search(Ground(alike), limits)._window() == [1000.0, 2000.0]
    rows = plan((0.0, 2500.0, 5000.0, 7500.0), ring=True, start_mm=6000.0)
    assert search(Ground(rows), limits)._window() == [0.0, 7500.0]
    assert search(Ground(plan((), ring=True)), limits)._window() == []


def test_fewer_pipes_from_a_later_first_pipe() -> None:
    """Round 10 m with 5 m between neighbours and 21 m2 a pipe at most three pipes hold with one at 0, two with one at 1 m."""
    made = plan((0.0, 1000.0, 3000.0, 6000.0, 8000.0), ring=True)
    assert search(Ground(made), replace(FREE, spacing_mm=5000.0, capacity_mm2=21e6)).best() == [1000.0, 6000.0]


def price(made: _Search, behind: float | None, here: float, ahead: float | None) -> Cost | None:
    return made._price(made._gap(behind, here), here, made._gap(here, ahead))


def test_what_a_pipe_between_its_neighbours_costs() -> None:
    """From 0 or half way to half way: 4 m2 a metre, squared, in thousandths; 1 where it is out along a wall."""
    made = search(Ground(plan(inside=(3000.0,)), good=(5000.0,)), apart_mm=2000.0)
    assert price(made, None, 2000.0, 4000.0) == (1, 0, 1, 12**2 * 1000)
    assert price(made, 1000.0, 5000.0, None) == (1, 0, 0, 28**2 * 1000)
    # nearer than 2 m: 1, with the corner at 3 m between them 100, which it is not where a pipe stands on it
    rows = [
        ((4000.0, 6000.0), 0),
        ((4000.0, 5999.0), 1),
        ((2001.0, 4000.0), 100),
        ((3000.0, 4000.0), 1),
        ((2000.0, 3000.0), 1),
    ]
    assert [price(made, 1000.0, *pair)[1] for pair, _ in rows] == [close for _, close in rows]  # type: ignore[index]


def test_limits_that_a_pipe_just_keeps() -> None:
    """A pipe at 3 m with the next at 7 m takes 5 m of gutter and 20 m2."""
    for limits, kept in (
        ({"length_mm": 4999.5}, True),
        ({"length_mm": 4999.4}, False),
        ({"capacity_mm2": 20e6 * (1 - 0.9e-9)}, True),
        ({"capacity_mm2": 20e6 * (1 - 1.5e-9)}, False),
        ({"section_mm2": 20e6 * (1 - 0.9e-9)}, True),
        ({"section_mm2": 20e6 * (1 - 1.5e-9)}, False),
    ):
        made = search(Ground(plan()), replace(FREE, **limits))
        assert (price(made, None, 3000.0, 7000.0) is not None) is kept, limits


def test_feet_of_valleys_that_a_pipe_misses() -> None:
    """Within 400 mm and half a millimetre. One left of the first pipe is its own, one further on is looked for at the next."""
    limits = replace(FREE, valley_within_mm=400.0)
    rows = [
        (3400.5, (1000.0, 3000.0, 7000.0), False), (3400.6, (1000.0, 3000.0, 7000.0), True),
        (6599.5, (1000.0, 3000.0, 7000.0), False), (6599.4, (1000.0, 3000.0, 7000.0), True),
        (2000.0, (1000.0, 3000.0, 7000.0), False), (2000.0, (None, 3000.0, 7000.0), True),
        (2599.5, (None, 3000.0, 7000.0), False), (9000.0, (1000.0, 3000.0, 7000.0), False),
        (9000.0, (1000.0, 3000.0, None), True), (3400.5, (None, 3000.0, None), False),
    ]  # fmt: skip

    def both_missed(made: _Search, behind: float | None, here: float, ahead: float | None) -> bool:
        before = behind is None and made._gap(behind, here).missed
        return before or made._gap(here, ahead).missed

    for foot, (behind, here, ahead), missed in rows:
        assert both_missed(search(Ground(plan(feet=(foot,))), limits), behind, here, ahead) is missed, (foot, behind)
    ring = search(Ground(plan(feet=(2000.0,), ring=True)), limits)
    assert not ring._gap(3000.0, 7000.0).missed
    assert ring._gap(8000.0, 14_000.0).missed


def test_places_within_reach_ahead() -> None:
    made = search(Ground(plan()), replace(FREE, spacing_mm=1999.5))
    assert [list(made._ahead(here, METRES)) for here in (0.0, 999.9, 1000.1, 9000.0)] == [
        [1000.0, 2000.0], [1000.0, 2000.0], [2000.0, 3000.0], [],
    ]  # fmt: skip


def test_how_far_a_place_lies_from_the_start() -> None:
    """In whole millimetres, those from .63 on the next."""
    ends, ring = search(Ground(plan())), search(Ground(plan(ring=True, start_mm=4000.0)))
    assert [ends._from_start(at) for at in (1000.0, 1000.62, 1000.64)] == [1000, 1000, 1001]
    assert [ring._from_start(at) for at in (1000.0, 4000.62, 3999.0, 4000.64)] == [7000, 0, 9999, 1]


def test_steps_of_a_search() -> None:
    """Ten places a metre apart within 3 m of each other: 7 with three ahead, then 2, 1, 0: 63 + 4 + 1. On a ring each has
    three: 90 pairs of pairs, begun at the three of a window and the three ahead of each."""
    limits = replace(FREE, spacing_mm=3000.0)
    assert search(Ground(plan()), limits)._steps(METRES) == 68.0
    assert search(Ground(plan(ring=True)), limits)._steps(METRES) == 90.0 * 3 * 30 / 10
    assert search(Ground(plan(ring=True)), limits)._steps(()) == 0.0


def test_places_are_thinned_to_one_each_so_many_millimetres(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of each cell of 50 mm (then 62.5, 78.1 and so on) the place nearest its middle is kept, a wall end before all, and
    those that part the run evenly. Eight places within reach of each other take 49 + 36 + ... + 1 = 140 steps, three 5."""
    limits = replace(FREE, spacing_mm=3000.0)
    made = plan((0.0, 23.0, 48.0, 52.0, 77.0, 98.0, 102.0, 147.0, 5000.0))
    for most, good, even, kept in (
        (140.0, (), (), list(made.places)),
        (139.0, (), (), [23.0, 77.0, 147.0, 5000.0]),
        (139.0, (48.0, 102.0), (), [48.0, 77.0, 102.0, 5000.0]),
        (139.0, (48.0,), (98.0,), [48.0, 77.0, 98.0, 147.0, 5000.0]),
        (4.9, (), (), [48.0, 102.0, 5000.0]),  # cells of 62.5 mm still keep 23, 98 and 147
    ):
        monkeypatch.setattr(pipe_search, "_MOST_STEPS", most)
        assert search(Ground(made, good=good, even=frozenset(even)), limits).places == kept
    # a ring that is taken to start at 9950: 30, 60, 85 and 110 from there
    ring = plan((10.0, 35.0, 60.0, 5000.0, 9980.0), ring=True, start_mm=9950.0)
    monkeypatch.setattr(pipe_search, "_MOST_STEPS", 60.0)  # 46 x 14 / 5 of all, 23 x 9 / 4 of four
    found = search(Ground(ring), replace(FREE, spacing_mm=6000.0))
    assert found.places == [35.0, 60.0, 5000.0, 9980.0]
    assert found._steps(ring.places) == pytest.approx(46 * 14 / 5)
    assert found._steps(found.places) == 23 * 9 / 4


def test_neighbours_that_share_a_corner_are_counted() -> None:
    """Corners at 2, 4.5 and 9.8 m; pipes at 1, 3, 4 and 9.5 m; gaps of under 2 m and, round the seam, 1.5 m."""
    places = (1000.0, 3000.0, 4000.0, 9500.0)
    for ring, near, count in (
        (False, 2000.0, 0),
        (False, 2000.1, 1),
        (False, 6000.0, 2),
        (True, 2000.0, 1),
        (True, 1500.0, 0),
    ):
        made = Ground(plan(ring=ring, inside=(2000.0, 4500.0, 9800.0)))
        assert _corners_shared(cast(PipeGround, made), places, near) == count
    at_one = Ground(plan(inside=(1000.0, 3000.0)))
    assert _corners_shared(cast(PipeGround, at_one), places, 5000.0) == 0


def test_places_that_were_looked_at() -> None:
    made = Ground(plan(), good=(0.0,), other=(1000.0,), spare=(2000.0,))
    assert _looked_at(cast(PipeGround, made), (0.0, 1000.0, 2000.0)) is True
    assert _looked_at(cast(PipeGround, made), (0.0, 1000.0, 2500.0)) is False
    made.fixed = (0.0,)
    assert _looked_at(cast(PipeGround, made), (0.0, 1000.0)) is False


# --- by trying --------------------------------------------------------------------------------------------------------


def cost_of(made: Plan, places: tuple[float, ...], good: tuple[float, ...], apart_mm: float) -> Cost:
    """Pipes; 100 for neighbours nearer than that with an inside corner between, 1 for those without; places out along a
    wall; squares of the shares in whole thousandths of m4."""
    if len(places) == 1:
        return (1, 0, int(places[0] not in good), 0)
    corners = [corner + turn for corner in made.inside for turn in (0.0, made.length_mm)]
    near = [(a, b) for a, b in made.gaps(places) if b - a < apart_mm]
    close = sum(100 if any(a < corner < b for corner in corners) else 1 for a, b in near)
    squares = sum(round((made.waters[0].between(*share) / 1e6) ** 2 * 1e3) for share in made.shares(places))
    return (len(places), close, sum(place not in good for place in places), squares)


def by_trying(
    made: Plan, limits: Limits, good: tuple[float, ...], most: int, apart_mm: float
) -> tuple[Cost, list[float]] | None:
    def from_start(at: float) -> int:
        return floor((at - made.start_mm) % made.length_mm + 0.37) if made.ring else floor(at + 0.37)

    free = [p for p in made.places if all(made.apart(p, c) >= limits.clear_mm - 0.5 for c in made.inside)]
    sets = (places for count in range(1, most + 1) for places in combinations(free, count))
    found = [
        (cost_of(made, places, good, apart_mm), sorted(from_start(at) for at in places), list(places))
        for places in sets
        if made.holds(places, limits)
    ]
    least = min(found, default=None)
    return (least[0], least[2]) if least else None


@pytest.mark.parametrize("ring", [False, True])
@pytest.mark.parametrize("block", range(4))
def test_the_cheapest_of_every_set(block: int, ring: bool) -> None:
    for seed in range(block * 15, block * 15 + 15):
        made, limits, apart = made_up(seed, ring)
        made = replace(made, fixed=())
        limits = replace(limits, clear_mm=400.0)
        good, most = made.places[:: 1 + seed % 3], 1 + (seed + block) % 5
        found = search(Ground(made, good=good), limits, most, apart)
        best, wanted = found.best(), by_trying(made, limits, good, most, apart)
        assert (None if best is None else (found.cost, best)) == wanted, seed
