"""Settings of cladding that clash with each other: refused together, before anything is measured."""

from __future__ import annotations

from takeoff.model.job.walls import WallsJob
from takeoff.model.settings import Settings


def rule_faults(walls: WallsJob, settings: Settings) -> list[str]:
    """What is wrong between the settings of cladding, one sentence each; empty where all can be built by."""
    faults: list[str] = []
    lap, stock = settings.number("wall_flashing_lap_mm"), settings.number("wall_flashing_stock_mm")
    if lap >= stock:
        faults.append(f"settings.wall_flashing_lap_mm: a lap of {lap:g} mm uses up flashings of {stock:g} mm.")
    stud, nog = settings.number("stud_mm") if walls.stud_mm is None else walls.stud_mm, settings.number("stud_width_mm")
    if nog >= stud:
        faults.append(f"settings.stud_width_mm: studs {nog:g} mm wide leave no room at a spacing of {stud:g} mm.")
    return faults
