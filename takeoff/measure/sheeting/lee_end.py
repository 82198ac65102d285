"""The lee end, which sheets are laid from: one bearing on the plan for all of a house."""

from __future__ import annotations

from math import cos, radians, sin

from takeoff.model.settings import Settings

BEARINGS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def no_lee_end(line_deg: float, lee_deg: float, settings: Settings) -> bool:
    """True where a line of that bearing is square to the wind."""
    return abs(cos(radians(line_deg - lee_deg))) <= sin(radians(settings.number("square_to_wind_deg")))


def wall_start(faces_deg: float | None, settings: Settings) -> tuple[str, str]:
    """("left" or "right" end seen from outside, the rule that decided) of a wall that faces that bearing: the lee end,
    so that each free edge faces away from the wind; the left one where neither is, or where nobody knows how it faces.

    A wall that faces south has its right end in the east.
    """
    if faces_deg is None:
        return "left", "from its left end"
    lee = settings.word("lay_from")
    lee_deg = 45.0 * BEARINGS.index(lee)
    right_deg = faces_deg - 90.0
    if no_lee_end(right_deg, lee_deg, settings):
        return "left", f"square to the wind, so from its left end (lee end {lee})"
    return ("right" if cos(radians(right_deg - lee_deg)) > 0.0 else "left"), f"from the lee end, {lee}"
