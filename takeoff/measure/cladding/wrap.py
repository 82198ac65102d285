"""Wall wrap: level strips round the house, lapped, openings covered and cut out later."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.face_parts import stretches_at
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.products import Roll, basis_of
from takeoff.model.settings import Settings


def wrap_metres(face: Face, roll: Roll, settings: Settings) -> float:
    """Metres of roll for one wall: strips of full width, each as long as the wall is at its foot plus an end lap [m].

    Strips = ceil((height - lap) / (roll width - lap)).
    """
    lap = settings.number("wrap_lap_level_mm")
    end = settings.number("wrap_lap_upright_mm")
    step = roll.width_mm - lap
    strips = max(1, count_up(face.peak - face.base - lap, step))
    length = 0.0
    for strip in range(strips):
        foot = face.base + strip * step
        length += sum(b - a + end for a, b in stretches_at(face, foot))
    return length / 1000.0


def wrap_laps(face: Face, roll: Roll, settings: Settings) -> float:
    """Metres of lap to be taped on one wall: along every strip over another, and one upright lap at each strip's end
    as high as the strip shows [m]."""
    lap = settings.number("wrap_lap_level_mm")
    step = roll.width_mm - lap
    strips = max(1, count_up(face.peak - face.base - lap, step))
    metres = 0.0
    for strip in range(strips):
        foot = face.base + strip * step
        stretches = stretches_at(face, foot)
        metres += sum(b - a for a, b in stretches) if strip else 0.0
        metres += min(roll.width_mm, face.peak - foot) * len(stretches)
    return metres / 1000.0


def wrap_rolls(faces: Iterable[Face], roll: Roll, settings: Settings) -> tuple[Quantity, ...]:
    """Whole rolls for all walls. Empty where there is no wall."""
    walls = tuple(faces)
    if not walls:
        return ()
    metres = sum(wrap_metres(face, roll, settings) for face in walls)
    rolls = ceil(metres * 1000.0 / roll.length_mm - TOLERANCES.closure_rel)
    rule = Working(
        "rolls = ceil(metres of strips / roll length); strips = ceil((height - lap) / (roll width - lap)), openings "
        "wrapped over",
        (
            Term("metres of strips", round(metres, 3), "m"),
            Term("roll width", roll.width_mm, "mm", basis_of(roll, "width_mm"), roll.id),
            Term("roll length", roll.length_mm, "mm", basis_of(roll, "length_mm"), roll.id),
            settings.term("wrap_lap_level_mm"),
            settings.term("wrap_lap_upright_mm"),
        ),
    )
    return (Quantity("cladding.wrap", roll.id, rolls, "roll", tuple(f"wall {face.wall}" for face in walls), rule),)
