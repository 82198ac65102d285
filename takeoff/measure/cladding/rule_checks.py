"""Settings of cladding that nothing could be built by: refused together, before anything is measured."""

from __future__ import annotations

from takeoff.model.job.walls import WallsJob
from takeoff.model.settings import Settings

WORDS = {
    "board_supply": ("fixed", "random"),
    "corner_style": ("boxed", "mitred"),
    "vertical_batten": ("castellated", "sloped"),
}
# least values [mm, or the setting's own unit]: spacings and sizes that divide something must not be next to nothing
LEAST = {
    "stud_mm": 100.0,
    "nog_most_mm": 100.0,
    "frame_nogs_mm": 100.0,
    "closer_stock_mm": 300.0,
    "wall_flashing_stock_mm": 300.0,
    "soffit_sheet_mm": 100.0,
    "soffit_jointer_stock_mm": 300.0,
    "soffit_vent_stock_mm": 300.0,
    "wrap_staple_mm": 10.0,
    "batten_nail_mm": 10.0,
    "closer_nail_mm": 10.0,
    "soffit_nail_mm": 10.0,
    "soffit_sheet_wide_mm": 100.0,
    "random_step_mm": 1.0,
    "joint_repeat_courses": 1.0,
}
NOT_NEGATIVE = (
    "stud_width_mm",
    "cavity_mm",
    "board_kerf_mm",
    "board_docking_mm",
    "board_least_piece_mm",
    "board_thickness_mm",
    "random_extra_pct",
    "batten_least_mm",
    "batten_offcut_mm",
    "board_short_mm",
    "course_top_gap_mm",
    "course_sliver_mm",
    "joint_strip_least_mm",
    "batten_end_gap_mm",
    "batten_slope_deg",
    "head_past_jamb_mm",
    "sill_past_jamb_mm",
    "wall_flashing_lap_mm",
    "primer_ml_per_end",
    "nail_spare_pct",
    "wrap_lap_level_mm",
    "wrap_lap_upright_mm",
    "opening_tape_up_mm",
    "opening_tape_corner_mm",
    "soffit_sheet_thick_mm",
    "fascia_thick_mm",
    "base_vent_mm2_per_m",
    "closer_vent_mm2_per_m",
)


def rule_faults(walls: WallsJob, settings: Settings) -> list[str]:
    """What is wrong with the settings of cladding, one sentence each; empty where all can be built by."""
    faults = [
        f"settings.{name}: {settings.word(name)} is none of its words; say {' or '.join(words)}."
        for name, words in WORDS.items()
        if settings.word(name) not in words
    ]
    given = {"stud_mm": walls.stud_mm}
    for name, least in LEAST.items():
        own = given.get(name)
        value = settings.number(name) if own is None else own
        if value < least:
            where = f"settings.{name}" if own is None else f"walls.{name}"
            faults.append(f"{where}: {value:g} is too little to build by; give at least {least:g}.")
    faults += [
        f"settings.{name}: {settings.number(name):g} is below 0; give 0 or more."
        for name in NOT_NEGATIVE
        if settings.number(name) < 0.0
    ]
    lap, stock = settings.number("wall_flashing_lap_mm"), settings.number("wall_flashing_stock_mm")
    if lap >= stock:
        faults.append(f"settings.wall_flashing_lap_mm: a lap of {lap:g} mm uses up flashings of {stock:g} mm.")
    stud, nog = settings.number("stud_mm") if walls.stud_mm is None else walls.stud_mm, settings.number("stud_width_mm")
    if nog >= stud:
        faults.append(f"settings.stud_width_mm: studs {nog:g} mm wide leave no room at a spacing of {stud:g} mm.")
    if settings.number("batten_slope_deg") > 45.0:
        faults.append("settings.batten_slope_deg: battens slope by 45 degrees at most.")
    if not 20.0 <= settings.number("board_scarf_deg") <= 90.0:
        faults.append("settings.board_scarf_deg: a scarf is cut at 20 to 90 degrees; 90 butts the boards.")
    return faults
