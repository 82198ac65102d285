"""What putting outlines in order works on: the sides of every ring of a job, counted from one origin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2

from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2, Ring2, distance2


@dataclass(frozen=True, slots=True)
class PlanRing:
    """One ring of a plan [mm]: the roof it belongs to, and how far its sides are moved out later, by side."""

    roof: int
    points: Ring2
    hole: bool
    overhang_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a ring. `corner` is the place of its first point among all points, `after` of its second one;
    `inward` is 1 where the roof lies on its left, -1 on its right."""

    roof: int
    corner: int
    after: int
    a: Point2
    b: Point2
    length_mm: float
    angle: float
    inward: int
    overhang_mm: float


def sides_of(rings: Sequence[PlanRing]) -> tuple[Side, ...]:
    """The sides of all rings, in order: side n starts at point n."""
    sides: list[Side] = []
    for ring in rings:
        first, count = len(sides), len(ring.points)
        inward = 1 if (signed_area(ring.points) > 0.0) is not ring.hole else -1
        for i, a in enumerate(ring.points):
            b = ring.points[(i + 1) % count]
            sides.append(
                Side(
                    ring.roof,
                    first + i,
                    first + (i + 1) % count,
                    a,
                    b,
                    distance2(a, b),
                    atan2(b[1] - a[1], b[0] - a[0]),
                    inward,
                    ring.overhang_mm[i],
                )
            )
    return tuple(sides)
