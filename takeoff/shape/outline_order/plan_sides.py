"""What putting outlines in order works on: the sides of every ring of a job, counted from one origin."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, distance2

TIMES_COARSE = 4.0  # two ends each of two lines: what four corners off by as much as one can add up to
FINE_MM = TOLERANCES.fine_mm
MOST_APART_MM = 2.0 * TOLERANCES.order_mm  # lines further apart than this are two


@record
class PlanRing:
    """One ring of a plan [mm]: the roof it belongs to, and how far its sides are moved out later, by side."""

    roof: int
    points: Ring2
    hole: bool
    overhang_mm: tuple[float, ...]


@record
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


@record
class Direction:
    """The ordered direction of a side: its family, quarter turns from the family's axis (0 to 3), and the axis' unit
    vector."""

    family: int
    quarters: int
    axis: Point2

    @property
    def along(self) -> Point2:
        """Unit vector of the line, the same for a side and one that runs back beside it."""
        return self.axis if self.quarters % 2 == 0 else (-self.axis[1], self.axis[0])

    @property
    def square(self) -> Point2:
        """Unit vector square to `along`, to its left."""
        x, y = self.along
        return (-y, x)

    @property
    def line_key(self) -> tuple[int, int]:
        """What sides in one direction, there or back, have in common."""
        return (self.family, self.quarters % 2)

    @property
    def cross_key(self) -> tuple[int, int]:
        """The key of lines square to it."""
        return (self.family, (self.quarters + 1) % 2)


@record
class Line:
    """A line of the plan: its direction, its distance from the origin along `direction.square` [mm], its sides."""

    direction: Direction
    off_mm: float
    sides: tuple[int, ...]


def dot2(a: Point2, b: Point2) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def line_slack_mm(coarse_mm: float) -> float:
    """How far apart lines may be that are one: what points a little off the line may be; twice as much in a coarse
    drawing, since two sides may each lie off alike at both ends; more in a coarser one."""
    least_mm = TOLERANCES.in_line_mm if coarse_mm <= FINE_MM else 2.0 * TOLERANCES.in_line_mm
    return min(max(least_mm, TIMES_COARSE * coarse_mm), MOST_APART_MM)
