"""What an edge is to the trade, from the faces that meet at it. One naming for generated and imported roofs.

Every face is seen from the edge: `into` is the unit vector in the face, square to the edge, pointing into it.

      ridge: both fall away      valley, internal gutter: both rise      pitch change: one rises, one falls
            _-^-_                      \\_     _/                                 _---
          _-     -_                      \\_ _/                                _/
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from math import acos, degrees, hypot

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, cross3, dot3, sub3, unit3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof

# A fall of an edge below this share of the steepest fall of its planes is no fall at all: a hip of a 1 degree roof
# falls less than 2 %, and is a hip. A corner of 90 degrees makes 0.71 of it, one of 30 degrees 0.26.
_LEVEL_SHARE = 0.2
# into-direction's rise below this is level: a flat top
_FLAT_RISE = 1e-6


class Side(Enum):
    """What sort of face stands at one side of an edge."""

    ROOF = "roof"
    FREE_UPRIGHT = "upright of the roof itself"
    WALL = "a wall the roof stops against"
    KERB = "a kerb round a hole"


@record
class Touch:
    """One face at one edge: its sort, outward unit normal, and the direction from the edge into it."""

    side: Side
    normal: Point3
    into: Point3


def touch(side: Side, normal: Point3, a: Point3, b: Point3) -> Touch:
    """The face of `normal` that has the directed edge a -> b on its border, itself on the left."""
    return Touch(side, normal, cross3(normal, unit3(sub3(b, a))))


def edge_slope(a: Point3, b: Point3) -> float:
    """Rise over plan length of an edge, never negative; infinite for an upright edge."""
    run = hypot(b[0] - a[0], b[1] - a[1])
    return abs(b[2] - a[2]) / run if run else float("inf")


def fall_of(normal: Point3) -> float:
    """Tangent of a plane's pitch from its unit normal."""
    return hypot(normal[0], normal[1]) / normal[2] if normal[2] > 0 else float("inf")


def is_level(a: Point3, b: Point3, touches: Sequence[Touch]) -> bool:
    """Whether an edge counts as level: it falls less than 2 %, and less than a fifth of its steepest plane."""
    steepest = max((fall_of(t.normal) for t in touches if t.side is Side.ROOF), default=0.0)
    limit = min(TOLERANCES.level_slope, _LEVEL_SHARE * steepest) if steepest > _FLAT_RISE else TOLERANCES.level_slope
    return edge_slope(a, b) <= limit


def name_edge(a: Point3, b: Point3, touches: Sequence[Touch]) -> EdgeKind:
    """The kind of the edge a-b. `touches`: one or two faces, at least one of them roof, the roof first."""
    level = is_level(a, b, touches)
    roofs = [t for t in touches if t.side is Side.ROOF]
    if len(roofs) > 1:
        return _between_planes(level, roofs[0], roofs[1])
    rise = roofs[0].into[2]
    others = [t for t in touches if t.side is not Side.ROOF]
    if others and others[0].side is Side.KERB:
        return EdgeKind.KERB
    if others and (others[0].side is Side.WALL or others[0].into[2] > 0):
        return _against_wall(level, rise)
    if not level:
        return EdgeKind.VERGE
    return EdgeKind.HEAD if rise < -_FLAT_RISE else EdgeKind.EAVE


def _against_wall(level: bool, rise: float) -> EdgeKind:
    if not level:
        return EdgeKind.APRON_SIDE
    return EdgeKind.INTERNAL_GUTTER if rise > _FLAT_RISE else EdgeKind.APRON_HEAD


def _between_planes(level: bool, one: Touch, other: Touch) -> EdgeKind:
    convex = opens_downward(one, other)
    if not level:
        return EdgeKind.HIP if convex else EdgeKind.VALLEY
    if one.into[2] < -_FLAT_RISE and other.into[2] < -_FLAT_RISE:
        return EdgeKind.RIDGE
    if one.into[2] > _FLAT_RISE and other.into[2] > _FLAT_RISE:
        return EdgeKind.INTERNAL_GUTTER
    return EdgeKind.PITCH_CHANGE


def opens_downward(one: Touch, other: Touch) -> bool:
    """Whether the second face falls away below the plane of the first: convex as a ridge is."""
    return dot3(one.normal, other.into) < 0


def included_deg(one: Touch, other: Touch) -> float:
    """Angle between two faces, under 180 degrees."""
    return degrees(acos(max(-1.0, min(1.0, dot3(one.into, other.into)))))


def level_findings(roof: Roof) -> tuple[Finding, ...]:
    """Eaves and ridges that count as level but are not: they are built level or packed, and somebody must know."""
    found = []
    for edge in roof.edges:
        fall_mm = abs(edge.b_mm[2] - edge.a_mm[2])
        if edge.kind in (EdgeKind.EAVE, EdgeKind.RIDGE) and fall_mm > TOLERANCES.same_plane_mm:
            text = (
                f"roof {roof.name}: {edge.kind} {edge.id} falls {fall_mm:.0f} mm over its "
                f"{edge.length_mm / 1000:.2f} m; it was taken as level"
            )
            found.append(Finding(f"{edge.kind}-not-level", Severity.NOTE, text, refs=(edge.id,), at_mm=edge.a_mm))
    return tuple(found)
