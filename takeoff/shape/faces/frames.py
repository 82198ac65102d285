"""Axes on plane faces: normals, frames, and rings in plane axes."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, degrees, hypot, radians, sin

from takeoff.basics.vectors import Point2, Point3, Ring2, add3, cross3, length3, newell, scale3, sub3, unit3
from takeoff.model.roof import Frame

UP: Point3 = (0.0, 0.0, 1.0)
# slope below this is a level plane: it has no uphill, its u axis lies along its longest side
_LEVEL_PLANE = 1e-9


def normal_of(uphill: Point2, pitch_deg: float) -> Point3:
    """Outward unit normal of a plane that rises at `pitch_deg` towards `uphill` (unit vector in plan)."""
    if pitch_deg == 0.0:
        return UP
    s, c = sin(radians(pitch_deg)), cos(radians(pitch_deg))
    return (-uphill[0] * s, -uphill[1] * s, c)


def ring_area3(ring: Sequence[Point3], normal: Point3) -> float:
    """Signed area of a closed ring along a unit normal [square of the points' unit]."""
    x, y, z = newell(ring)
    return (x * normal[0] + y * normal[1] + z * normal[2]) / 2.0


def is_level_plane(normal: Point3) -> bool:
    """Whether a plane has no uphill direction."""
    return hypot(normal[0], normal[1]) <= _LEVEL_PLANE * abs(normal[2])


def plan_bearing_deg(normal: Point3) -> float:
    """Direction downhill of a plane in plan, clockwise from plan up [degrees]; 0 for a level one."""
    return 0.0 if is_level_plane(normal) else degrees(atan2(normal[0], normal[1]))


def face_frame(normal: Point3, outer: Sequence[Point3], upright: bool) -> Frame:
    """Axes of a face seen from outside: u level, left to right, v up. The origin lies on its lowest point.

    A level face has u along its longest side.
    """
    anchor = min(outer, key=lambda p: (p[2], p))
    if upright:
        u = unit3(cross3(UP, normal))
    elif is_level_plane(normal):
        sides = [sub3(b, a) for a, b in zip(outer, (*outer[1:], outer[0]), strict=True)]
        x, y, _ = max(sides, key=lambda side: round(length3(side), 3))
        u = unit3((x, y, 0.0))
    else:
        # looking uphill, right is a quarter turn clockwise from uphill; uphill is against the normal's plan direction
        u = unit3((-normal[1], normal[0], 0.0))
    return Frame(anchor, u, cross3(normal, u), normal)


def settle(frame: Frame, rings: Sequence[Sequence[Point3]]) -> tuple[Frame, tuple[Ring2, ...]]:
    """Move a frame's origin to the least u and v of a face, and give the face's rings in it."""
    flat = [[frame.to_plane(point) for point in ring] for ring in rings]
    u0 = min(u for ring in flat for u, _ in ring)
    v0 = min(v for ring in flat for _, v in ring)
    origin = add3(frame.origin_mm, add3(scale3(frame.u, u0), scale3(frame.v, v0)))
    settled = Frame(origin, frame.u, frame.v, frame.n)
    return settled, tuple(_from_low_left([(u - u0, v - v0) for u, v in ring]) for ring in flat)


def _from_low_left(ring: list[Point2]) -> Ring2:
    start = min(range(len(ring)), key=lambda i: (round(ring[i][1], 3), round(ring[i][0], 3)))
    return tuple(ring[start:] + ring[:start])
