"""How far the cladding of a wall goes past its framing at a corner, which wall stands against its end, and which of
its corners a part of it reaches."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.model.walls import Corner, Elevation


def against(at: Point2, others: list[Elevation], own: int) -> int:
    """The wall of another line that a wall's end stands against; its own number where there is none."""
    for other in others:
        (ax, ay), (bx, by) = other.a_mm, other.b_mm
        ux, uy = (bx - ax) / other.width_mm, (by - ay) / other.width_mm
        along, off = (at[0] - ax) * ux + (at[1] - ay) * uy, (at[1] - ay) * ux - (at[0] - ax) * uy
        if abs(off) <= TOLERANCES.same_plane_mm and 0.0 <= along <= other.width_mm:
            return other.wall
    return own


def past(corner: Corner, thick_mm: float) -> float:
    """How far the face goes past the framing at a corner [mm]: thickness x tan(half the turn), 1 x at a right angle."""
    if corner.kind not in ("external", "internal"):
        return 0.0
    reach = round(thick_mm * tan(radians((180.0 - corner.angle_deg) / 2.0)), 6)
    return reach if corner.kind == "external" else -reach


def ends_of(part: Face, face: Face, ends: WallEnds) -> WallEnds:
    """The corners of a wall that a part of it reaches; a line to another zone is none."""
    none = Corner("none", 180.0)
    return replace(
        ends,
        left=ends.left if part.left <= face.left + CRUMB_MM else none,
        right=ends.right if part.right >= face.right - CRUMB_MM else none,
    )
