"""Which wall stands round the corner at either end of a wall."""

from __future__ import annotations

from collections.abc import Sequence
from math import dist

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.walls import Elevation


@record
class Beside:
    """The wall at one end of another: `wall` its number, None where none is clad there; `shared` where it ends at that
    corner too, `at_mm` else how far along it the corner stands."""

    wall: int | None
    shared: bool = False
    at_mm: float = 0.0


def beside(elevation: Elevation, elevations: Sequence[Elevation], left: bool) -> Beside:
    """The wall round the left or the right corner of a wall: the next of its own line, else the wall of another line
    that it stands against."""
    at = elevation.a_mm if left else elevation.b_mm
    if not elevation.roof:
        return Beside(None)
    for other in elevations:
        if other.roof == elevation.roof and other.wall != elevation.wall and (other.b_mm if left else other.a_mm) == at:
            return Beside(other.wall, shared=True)
    for other in elevations:
        if other.roof and other.roof != elevation.roof:
            along, off = _on(other, at)
            if abs(off) <= TOLERANCES.same_plane_mm and 0.0 <= along <= other.width_mm:
                return Beside(other.wall, at_mm=along)
    return Beside(None)


def in_line(elevation: Elevation, elevations: Sequence[Elevation], left: bool) -> Elevation | None:
    """The wall of another line that goes on in line with a wall at its left or right end; None where none does."""
    at = elevation.a_mm if left else elevation.b_mm
    for other in elevations:
        if not (other.roof and elevation.roof) or other.roof == elevation.roof:
            continue
        meets = dist(at, other.b_mm if left else other.a_mm) <= TOLERANCES.same_plane_mm
        far = elevation.b_mm if left else elevation.a_mm
        if meets and abs(_on(other, far)[1]) <= TOLERANCES.same_plane_mm:
            return other
    return None


def _on(wall: Elevation, at: Point2) -> tuple[float, float]:
    """How far along a wall a point lies, and how far before it [mm]."""
    (ax, ay), (bx, by) = wall.a_mm, wall.b_mm
    ux, uy = (bx - ax) / wall.width_mm, (by - ay) / wall.width_mm
    return (at[0] - ax) * ux + (at[1] - ay) * uy, (at[0] - ax) * uy - (at[1] - ay) * ux
