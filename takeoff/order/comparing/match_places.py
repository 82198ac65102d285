"""Things of two plans paired by where they lie: planes and sheets by overlap, sides by distance."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from math import cos, hypot, radians
from typing import Generic, TypeVar

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.snapshot import SeenPlane, SeenSheet, SeenSide
from takeoff.order.comparing.lay_over import Motion

T = TypeVar("T")
_TURNED_DEG = TOLERANCES.compare_turned_deg
_LEVEL_DEG = TOLERANCES.compare_flat_deg
_LEAST_SHARE = 0.1  # of their areas together, for two planes to be one
_SIDE_OFF_MM = TOLERANCES.compare_place_mm


@record
class Pairs(Generic[T]):
    """What was paired, what is gone, what is new."""

    both: tuple[tuple[T, T], ...]
    gone: tuple[T, ...]
    new: tuple[T, ...]


def pair_best(old: Sequence[T], new: Sequence[T], score: Callable[[T, T], float | None]) -> Pairs[T]:
    """Pairs of the highest score first, each thing once; None is no pair. Ties in the order given."""
    scored = []
    for i, one in enumerate(old):
        for j, two in enumerate(new):
            value = score(one, two)
            if value is not None:
                scored.append((-round(value, 6), abs(i - j), i, j))
    left, right = set(range(len(old))), set(range(len(new)))
    both: list[tuple[int, int]] = []
    for _, _, i, j in sorted(scored):
        if i in left and j in right:
            left.discard(i)
            right.discard(j)
            both.append((i, j))
    return Pairs(
        tuple((old[i], new[j]) for i, j in sorted(both, key=lambda pair: pair[1])),
        tuple(old[i] for i in sorted(left)),
        tuple(new[j] for j in sorted(right)),
    )


def pair_planes(old: Sequence[SeenPlane], new: Sequence[SeenPlane], motion: Motion) -> Pairs[SeenPlane]:
    """Planes that share most of their plan area and face much the same way."""
    from shapely import Polygon, make_valid
    from shapely.geometry.base import BaseGeometry

    areas: dict[Hashable, BaseGeometry] = {}
    for side, planes in (("old", old), ("new", new)):
        for plane in planes:
            ring = [motion.place(point) for point in plane.ring] if side == "old" else plane.ring
            areas[(side, plane.id)] = make_valid(Polygon(ring))

    def share(one: SeenPlane, two: SeenPlane) -> float | None:
        if min(one.pitch_deg, two.pitch_deg) > _LEVEL_DEG:
            turned = (two.bearing_deg - one.bearing_deg + motion.turn_deg + 180.0) % 360.0 - 180.0
            if abs(turned) > _TURNED_DEG:
                return None
        a, b = areas[("old", one.id)], areas[("new", two.id)]
        if not a.intersects(b):
            return None
        common = float(a.intersection(b).area)
        value = common / max(float(a.area + b.area) - common, 1.0)
        return value if value >= _LEAST_SHARE else None

    return pair_best(old, new, share)


def pair_sheets(old: SeenPlane, new: SeenPlane, motion: Motion) -> Pairs[SeenSheet]:
    """Sheets of one plane that cover most of the same part of it."""
    origin = motion.place(old.origin)
    dx, dy = origin[0] - new.origin[0], origin[1] - new.origin[1]
    shift_u = dx * new.level[0] + dy * new.level[1]
    up = (-new.level[1], new.level[0])
    shift_v = (dx * up[0] + dy * up[1]) / max(cos(radians(new.pitch_deg)), 0.01)

    def share(one: SeenSheet, two: SeenSheet) -> float | None:
        wide = min(one.u1_mm + shift_u, two.u1_mm) - max(one.u0_mm + shift_u, two.u0_mm)
        high = min(one.v1_mm + shift_v, two.v1_mm) - max(one.v0_mm + shift_v, two.v0_mm)
        if wide <= 0.0 or high <= 0.0:
            return None
        areas = [(s.u1_mm - s.u0_mm) * (s.v1_mm - s.v0_mm) for s in (one, two)]
        return wide * high / max(sum(areas) - wide * high, 1.0)

    return pair_best(old.sheets, new.sheets, share)


def pair_sides(old: Sequence[SeenSide], new: Sequence[SeenSide], motion: Motion) -> Pairs[SeenSide]:
    """Sides of an outline, or walls, that run the same way and lie nearest to each other."""

    def near(one: SeenSide, two: SeenSide) -> float | None:
        a, b = motion.place(one.a), motion.place(one.b)
        along, other = (b[0] - a[0], b[1] - a[1]), (two.b[0] - two.a[0], two.b[1] - two.a[1])
        if along[0] * other[0] + along[1] * other[1] < 0.98 * hypot(*along) * hypot(*other):
            return None
        off = _apart(_middle(a, b), _middle(two.a, two.b))
        return -off if off <= _SIDE_OFF_MM + abs(hypot(*along) - hypot(*other)) else None

    return pair_best(old, new, near)


def _middle(a: Point2, b: Point2) -> Point2:
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)


def _apart(a: Point2, b: Point2) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])
