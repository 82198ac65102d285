"""Damp-proof course under bottom plates that stand on concrete: timber is kept off concrete (common practice)."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.basics.errors import JobError
from takeoff.measure.cladding.face import CRUMB_MM, without
from takeoff.measure.cladding.neighbours import beside
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation

DAMP_COURSE = "damp-proof course"


def damp_course(
    elevations: Sequence[Elevation], on_concrete: Sequence[int], settings: Settings
) -> tuple[Quantity, ...]:
    """Metres of damp-proof course under the bottom plates of the walls named, nothing where none is.

    A plate is as long as its frame, less what openings down to the floor take out of it. Strips lap by setting
    damp_course_lap_mm at the left-hand corner of each wall, where the wall round it stands on concrete too (one given
    by itself counts as if it did), and where one roll ends and the next begins. Raises JobError
    for a wall that there is not.
    """
    known = {elevation.wall: elevation for elevation in elevations}
    strange = [wall for wall in on_concrete if wall not in known]
    if strange:
        raise JobError(*(f"walls.on_concrete: there is no wall {wall}." for wall in strange))
    walls = [known[wall] for wall in dict.fromkeys(on_concrete)]
    plates_m = sum(_plate_mm(wall) for wall in walls) / 1000.0
    if plates_m <= 0.0:
        return ()
    corners = sum(1 for wall in walls if _laps(wall, elevations, on_concrete))
    lap_m, roll_m = settings.number("damp_course_lap_mm") / 1000.0, settings.number("damp_course_roll_m")
    placed = plates_m + corners * lap_m
    joints = max(0, ceil((placed - roll_m) / (roll_m - lap_m) - 1e-9)) if roll_m > 0.0 else 0
    rule = Working(
        "bottom plates on concrete, doors out, + a lap at each corner of two of them and where a roll ends",
        (
            Term("bottom plates", round(plates_m, 3), "m"),
            Term("corners between two walls on concrete", corners, "each"),
            Term("ends of rolls", joints, "each"),
            settings.term("damp_course_lap_mm"),
            settings.term("damp_course_roll_m"),
        ),
    )
    refs = tuple(f"wall {wall.wall}" for wall in walls)
    return (Quantity("cladding.damp_course", DAMP_COURSE, placed + joints * lap_m, "m", refs, rule),)


def _laps(wall: Elevation, elevations: Sequence[Elevation], on_concrete: Sequence[int]) -> bool:
    """Whether the strip of a wall meets another at its left-hand corner."""
    if wall.left_corner.kind not in ("external", "internal"):
        return False
    return not wall.roof or beside(wall, elevations, left=True).wall in on_concrete


def _plate_mm(wall: Elevation) -> float:
    """Length of the bottom plate of a wall, on its frame [mm]."""
    floor = wall.floors_mm[0] + CRUMB_MM
    doors = [(o.from_left_mm, o.from_left_mm + o.width_mm) for o in wall.openings if o.sill_mm <= floor]
    return sum(b - a for a, b in without((0.0, wall.width_mm), doors))
