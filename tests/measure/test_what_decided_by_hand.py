"""Which limits decided the count of downpipes, by hand: a run of 10 m that takes 4 m2 a metre, with a place every metre."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from takeoff.measure.rainwater import deciding
from takeoff.measure.rainwater.deciding import _asked, decided
from takeoff.measure.rainwater.fewest_pipes import Field
from takeoff.measure.rainwater.limits import CAPACITY, INSIDE, LENGTH, OPENING, SECTION, SPACING, VALLEY, Limits
from takeoff.measure.rainwater.placing import ROOM, STANDING, PipeGround

sys.path.insert(0, str(Path(__file__).parent))

from pipe_plans_tried import Plan, Water

METRES = tuple(1000.0 * n for n in range(10))
FREE = Limits(0.0, 1e9, 1e9, 15e6, 1e9, 0.0)


@dataclass(slots=True)
class Site:
    """What is asked of a run's ground. `more`: places beside those of the plan where a keep-out is left out."""

    plan: Plan
    more: tuple[str, tuple[float, ...]] = ("", ())
    valleys: tuple[tuple[float, float], ...] = ()
    blocked: tuple[float, ...] = ()
    roof_below: bool = False

    def __post_init__(self) -> None:
        field = self.plan.field()
        one = self.plan.waters[0] is self.plan.waters[1]
        self.curves = (field.curves[0], field.curves[0] if one else field.curves[1])

    curves: tuple[object, object] = (0, 0)

    @property
    def fixed(self) -> tuple[float, ...]:
        return self.plan.fixed

    @property
    def inside(self) -> tuple[float, ...]:
        return self.plan.inside

    @property
    def brought_mm2(self) -> tuple[float, float]:
        one, other = (water.total_mm2 for water in self.plan.waters)
        return one, other

    @property
    def run(self) -> SimpleNamespace:
        feet = [SimpleNamespace(along_mm=at, plan_catchment_mm2=area) for at, area in self.valleys]
        return SimpleNamespace(ring=self.plan.ring, length_mm=self.plan.length_mm, valleys=feet)

    def field(self, limits: Limits, skip: frozenset[str] = frozenset()) -> Field:
        name, places = self.more
        own = self.plan.field()
        every = np.array(sorted({*self.plan.places, *(places if name in skip else ())}))
        return replace(own, places_mm=every, curves=self.curves)  # type: ignore[arg-type]


def site(ring: bool = False, share: float = 1.0, **more: object) -> PipeGround:
    """`share`: of the water as the gutter's section counts it; 1: both count alike."""
    water = Water(((0.0, 10_000.0, 40e6, 40e6),), 10_000.0, ring)
    other = water if share == 1.0 else Water(((0.0, 10_000.0, 40e6 * share, 40e6 * share),), 10_000.0, ring)
    own = {name: more.pop(name) for name in ("places", "fixed", "inside", "feet") if name in more}
    plan = replace(Plan(METRES, (water, other)), **own)  # type: ignore[arg-type]
    return cast(PipeGround, Site(plan, **more))  # type: ignore[arg-type]


def test_one_limit_decides() -> None:
    """10.1 m2 a pipe ask for four of 40 m2: at 1, 4, 6 and 9 m they part at 2.5, 5 and 7.5 m. Without them 6 m of gutter a
    pipe ask for two; so does the gutter's section, which counts half of the water, of 10.1 m2."""
    limits = replace(FREE, capacity_mm2=10.1e6, length_mm=6000.0, spacing_mm=5000.0)
    assert decided(site(), limits, 4) == "capacity (2 without it)"
    assert decided(site(ring=True), limits, 4) == "capacity (2 without it)"
    halved = replace(limits, length_mm=1e9, section_mm2=10.1e6)
    assert decided(site(share=0.5), halved, 4) == "capacity (2 without it)"
    alone = replace(FREE, capacity_mm2=10.1e6)
    assert decided(site(), alone, 4) == decided(site(ring=True), alone, 4) == "capacity (1 without it)"
    assert decided(site(), replace(FREE, length_mm=6000.0), 2) == "gutter length per outlet (1 without it)"
    assert decided(site(), limits, 1) == decided(site(), limits, 0) == "a gutter has one at least"


def test_limits_that_decide_together() -> None:
    """Each of them asks for four by itself."""
    both = replace(FREE, capacity_mm2=10.1e6, length_mm=2600.0)
    assert decided(site(), both, 4) == "capacity and gutter length per outlet (1 without them)"
    three = replace(both, section_mm2=5.05e6)
    said = "capacity and the gutter's own section and gutter length per outlet (1 without them)"
    assert decided(site(share=0.5), three, 4) == said
    # where both count water alike the section binds on where the capacity is not asked
    alike = replace(FREE, capacity_mm2=10.1e6, section_mm2=10.2e6)
    assert decided(site(), alike, 4) == "capacity and the gutter's own section (1 without them)"
    assert decided(site(), replace(three, spacing_mm=2600.0), 4) == said
    # four that ask for four: no three of them can be left out
    fixed = site(share=0.5, fixed=(0.0, 3000.0, 6000.0, 9000.0))
    assert decided(fixed, three, 4) == "all limits together"


def test_what_a_search_finds_between_what_is_asked_and_what_was_found() -> None:
    """Pipes stand at 0 and 9 m. 3 m between neighbours: two more however little water comes, and 12.1 m2 a pipe ask for
    four too. 5 m between neighbours: one more, where 10.1 m2 a pipe ask for four."""
    ends = site(fixed=(0.0, 9000.0))
    both = replace(FREE, capacity_mm2=12.1e6, spacing_mm=3000.0)
    assert decided(ends, both, 4) == "capacity and spacing between outlets (2 without them)"
    assert decided(ends, replace(both, capacity_mm2=10.1e6, spacing_mm=5000.0), 4) == "capacity (3 without it)"
    ring = site(ring=True, fixed=(0.0, 9000.0))
    assert decided(ring, replace(both, capacity_mm2=10.1e6, spacing_mm=5000.0), 4) == "capacity (3 without it)"


def test_either_of_two_limits_decides() -> None:
    """The water parts at 4.5 m at most between two of the places, 5.5 m from the end: more than 5.1 m of gutter a pipe. With
    a place at 2.5 and at 7.5 m, which a keep-out takes, it parts at 5 m."""
    limits = replace(FREE, length_mm=5100.0)
    places = (0.0, 1000.0, 7000.0, 8000.0)
    for name, more in ((ROOM, {"roof_below": True}), (OPENING, {"blocked": (1.0,)}), (STANDING, {})):
        found = site(places=places, more=(name, (2500.0, 7500.0)), **more)
        assert decided(found, limits, 3) == f"{LENGTH} (1 without it); {name} (2 without it)"


def test_a_run_of_many_places_is_told_what_each_limit_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    limits = replace(FREE, capacity_mm2=10.1e6, length_mm=2600.0, spacing_mm=5000.0)
    for most, said in (
        (10, "capacity and gutter length per outlet (1 without them)"), (9, "capacity and gutter length per outlet"),
    ):  # fmt: skip
        monkeypatch.setattr(deciding, "_MOST_PLACES", most)
        assert decided(site(), limits, 4) == said
    assert decided(site(), limits, 5) == "all limits together"
    assert decided(site(), limits, 2) == "capacity and gutter length per outlet and spacing between outlets"
    monkeypatch.undo()
    monkeypatch.setattr(deciding, "_MOST_STEPS", 0.0)
    assert decided(site(), replace(limits, length_mm=6000.0), 4) == "capacity"


def test_what_is_asked_of_a_run() -> None:
    """A limit of 1 mm2 is one; a foot that takes just what a light one takes is light."""
    names = (CAPACITY, SECTION, VALLEY, INSIDE, OPENING, ROOM, LENGTH, SPACING, STANDING)

    def asked(limits: Limits, **more: object) -> list[str]:
        return [name for name in names if _asked(name, site(**more), limits)]  # type: ignore[arg-type]

    always = [LENGTH, SPACING, STANDING]
    assert asked(FREE) == asked(FREE, valleys=((2000.0, 15e6),)) == always
    assert asked(FREE, valleys=((2000.0, 15e6), (3000.0, 15.1e6))) == [VALLEY, *always]
    assert asked(replace(FREE, capacity_mm2=1.0)) == [CAPACITY, *always]
    assert asked(replace(FREE, section_mm2=1.0)) == [SECTION, *always]
    assert asked(FREE, inside=(5000.0,), blocked=(1.0,), roof_below=True) == [INSIDE, OPENING, ROOM, *always]
