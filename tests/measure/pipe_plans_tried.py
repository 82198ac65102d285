"""What downpipe plans are held against: every set of places, by sums of its own, none of it shared with the search."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from random import Random
from types import SimpleNamespace
from typing import cast

import numpy as np

from takeoff.measure.rainwater.fewest_pipes import Field
from takeoff.measure.rainwater.limits import Limits
from takeoff.measure.rainwater.stretches import RunWater
from takeoff.measure.rainwater.water_curve import WaterCurve

POINT_MM = 0.5  # two points that are one, the program's tolerance
Flow = tuple[float, float, float, float]  # from, to [mm], area at the thickness of its start and of its end [mm2]


@dataclass(frozen=True, slots=True)
class Water:
    """Flows into a run of some length [mm], which closes on itself or has ends."""

    flows: tuple[Flow, ...]
    length_mm: float
    ring: bool

    @property
    def total_mm2(self) -> float:
        return sum((start + end) / 2.0 for _, _, start, end in self.flows)

    def before(self, at: float) -> float:
        """Area that enters left of a place within the run; half of what enters at that very place."""
        total = 0.0
        for low, high, start, end in self.flows:
            if high - low <= POINT_MM:
                total += (start + end) / 2.0 * (0.5 if abs(at - high) < POINT_MM else float(at > high))
            else:
                part = min(max((at - low) / (high - low), 0.0), 1.0)
                total += start * part + (end - start) * part**2 / 2.0
        return total

    def between(self, low: float, high: float) -> float:
        """Area that enters from one place to another further along, which may lie beyond the seam of a ring."""
        return self._upto(high) - self._upto(low)

    def _upto(self, at: float) -> float:
        if self.ring:
            return at // self.length_mm * self.total_mm2 + self.before(at % self.length_mm)
        return 0.0 if at <= 0.0 else self.total_mm2 if at >= self.length_mm else self.before(at)

    def curve(self) -> WaterCurve:
        return WaterCurve(
            cast(
                RunWater,
                SimpleNamespace(
                    ring=self.ring, length_mm=self.length_mm, total_mm2=self.total_mm2, flows=list(self.flows)
                ),
            )
        )


@dataclass(frozen=True, slots=True)
class Plan:
    """A run by hand: its places [mm], water as the pipe and as the gutter's section count it, feet of heavy valleys,
    inside corners, pipes that stand by hand, and where a ring is taken to start."""

    places: tuple[float, ...]
    waters: tuple[Water, Water]
    feet: tuple[float, ...] = ()
    inside: tuple[float, ...] = ()
    fixed: tuple[float, ...] = ()
    start_mm: float = 0.0

    @property
    def ring(self) -> bool:
        return self.waters[0].ring

    @property
    def length_mm(self) -> float:
        return self.waters[0].length_mm

    def field(self) -> Field:
        curves = (self.waters[0].curve(), self.waters[1].curve())
        rows = (np.array(row, dtype=np.float64) for row in (self.feet, self.inside, self.fixed))
        return Field(np.array(self.places), curves, *rows, self.start_mm)

    def apart(self, one: float, other: float) -> float:
        off = abs(one - other)
        return min(off, self.length_mm - off) if self.ring else off

    def gaps(self, places: Sequence[float]) -> list[tuple[float, float]]:
        """From each pipe to the next, on a ring from the last to the first too."""
        after = [*places, places[0] + self.length_mm] if self.ring and len(places) > 1 else places
        return list(pairwise(after))

    def shares(self, places: Sequence[float]) -> list[tuple[float, float]]:
        """From where to where each pipe takes water: half way to its neighbours, to the ends of a run with ends."""
        if self.ring:
            ends = [places[-1] - self.length_mm, *places, places[0] + self.length_mm]
            return list(pairwise((a + b) / 2.0 for a, b in pairwise(ends)))
        return list(pairwise([0.0, *((a + b) / 2.0 for a, b in pairwise(places)), self.length_mm]))

    def shared_corners(self, places: Sequence[float], apart_mm: float) -> int:
        """Neighbours nearer than that with an inside corner between them."""
        corners = [corner + turn for corner in self.inside for turn in (0.0, self.length_mm)]
        return sum(b - a < apart_mm and any(a < corner < b for corner in corners) for a, b in self.gaps(places))

    def holds(self, places: Sequence[float], limits: Limits) -> bool:
        """Whether places keep every limit; one pipe on a ring has no neighbour."""
        gaps = self.gaps(places) if len(places) > 1 else []
        good = all(b - a <= limits.spacing_mm + POINT_MM for a, b in gaps)
        for low, high in self.shares(places):
            good &= high - low <= limits.length_mm + POINT_MM
            for water, most in zip(self.waters, (limits.capacity_mm2, limits.section_mm2), strict=True):
                good &= most == 0.0 or water.between(low, high) <= most * (1.0 + 2e-9)
        good &= all(
            min(self.apart(place, foot) for place in places) <= limits.valley_within_mm + POINT_MM for foot in self.feet
        )
        return good and set(self.fixed) <= set(places)

    def sets(self, count: int, limits: Limits) -> Iterator[tuple[float, ...]]:
        """Every set of so many places that keeps every limit."""
        return (places for places in combinations(self.places, count) if self.holds(places, limits))


def made_up(seed: int, ring: bool) -> tuple[Plan, Limits, float]:
    """A run of 6 to 12 m with 5 to 9 places, uneven water, and limits of which about as many hold as do not; and how near
    to each other neighbours may not share a corner (0: they may)."""
    random = Random(f"{seed} {ring}")
    length = random.randrange(60, 121) * 100.0
    places = sorted(random.sample(range(0, int(length), 50), random.randrange(5, 10)))
    waters = _flows(random, length, ring), _flows(random, length, ring)
    totals = [water.total_mm2 for water in waters]
    plan = Plan(
        tuple(float(place) for place in places),
        waters,
        tuple(random.sample(range(0, int(length), 50), random.choice((0, 0, 1, 2)))),
        tuple(sorted(random.sample(range(25, int(length), 50), random.choice((0, 1, 2, 3))))),
        tuple(float(at) for at in sorted(random.sample(places, random.choice((0, 0, 0, 1, 2))))),
        random.choice((0.0, length * 0.37)) if ring else 0.0,
    )
    limits = Limits(
        random.choice((0.0, 1.1, 0.7, 0.5, 0.4, 0.3)) * totals[0],
        random.choice((1.2, 0.8, 0.6, 0.5, 0.4)) * length,
        random.choice((1.2, 0.8, 0.6, 0.5, 0.4)) * length,
        0.0,
        random.choice((0.1, 0.2, 0.4)) * length,
        0.0,
        random.choice((0.0, 0.0, 1.1, 0.7, 0.5, 0.4)) * totals[1],
    )
    return plan, limits, random.choice((0.0, 0.0, 0.2, 0.4)) * length


def _flows(random: Random, length: float, ring: bool) -> Water:
    """A sheet of rain over the whole run, thicker to one end, another over a part of it, and up to two valleys."""
    low, high = sorted(random.sample(range(0, int(length) + 1, 100), 2))
    flows: list[Flow] = [
        (0.0, length, random.randrange(0, 40) * 1e6, random.randrange(1, 40) * 1e6),
        (float(low), float(high), random.randrange(0, 9) * 1e6, random.randrange(0, 9) * 1e6),
    ]
    for _ in range(random.randrange(0, 3)):
        at = random.randrange(0, int(length), 25) + 0.0
        flows.append((at, at, 1e6 * random.randrange(1, 9), 1e6 * random.randrange(1, 9)))
    return Water(tuple(flows), length, ring)
