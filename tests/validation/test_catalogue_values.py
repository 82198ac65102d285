"""Every value of the catalogue that names a source, beside the value that stands in that source.

One table a source, values as they were read there (or, where the status is memory, as they are remembered: these pin
the value and prove nothing). A value that names a source and does not stand here fails, and so does one that stands
here and has left the catalogue, or names another source there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from math import pi
from typing import Any

import pytest

from takeoff.read.catalogue import default_settings, load_catalogue, sources

# fields of products that are names and kinds, not values
_WORDS = {"id", "name", "basis", "kind", "system", "direction", "use", "edge_kind", "handed"}

PUBLISHED: dict[str, dict[str, object]] = {
    # NZ Metal Roof and Wall Cladding Code of Practice, pages as read; status: seen
    "cop": {
        # flashing cover, table 8.3: categories A, B, C (captions lost, roles inferred from the values)
        "flashing_cover_a_mm": 130, "flashing_cover_b_mm": 200, "flashing_cover_c_mm": 200,
        "flashing_row_a_8_15_mm": 165, "flashing_row_a_15_30_mm": 150, "flashing_row_a_30_45_mm": 130,
        "flashing_row_b_8_15_mm": 150, "flashing_row_b_15_30_mm": 200, "flashing_row_b_30_45_mm": 180,
        "flashing_row_c_8_15_mm": 150, "flashing_row_c_15_30_mm": 200, "flashing_row_c_30_45_mm": 180,
        "flashing_ribs_a": 1, "flashing_ribs_b": 2, "flashing_ribs_c": 2,
        "flashing_crests_a": 2, "flashing_crests_b": 2, "flashing_crests_c": 3,
        "flashing_turn_down_smooth_a_mm": 50, "flashing_turn_down_smooth_b_mm": 75,
        "flashing_turn_down_smooth_c_mm": 75,
        # apron upstand with a hem: smooth 50, 75, 100; profiled 75, 100, 125
        "flashing_upstand_smooth_a_mm": 50, "flashing_upstand_smooth_b_mm": 75, "flashing_upstand_smooth_c_mm": 100,
        "flashing_upstand_profiled_a_mm": 75, "flashing_upstand_profiled_b_mm": 100,
        "flashing_upstand_profiled_c_mm": 125,
        # 14.5.2, sheets fixed through the pan
        "dark_pan_most_mm": 8000, "light_pan_most_mm": 12000,
        # flashing laps, fastener spacing, penetrations
        "flashing_lap_mm": 150, "rivet_spacing_mm": 50,
        "penetration_lap_a_mm": 150, "penetration_lap_b_mm": 25, "penetration_rivet_mm": 50,
        "hole_trimmer_over_mm": 300, "hole_hazard_mm": 600,
        # 3.16.1A, sizes and fixing types by rafter and purlin spacing, low to extra high wind; 3.16.1B, capacities
        "timbers.purlin_70x45.width_mm": 70, "timbers.purlin_70x45.depth_mm": 45,
        "timbers.purlin_90x45.width_mm": 90, "timbers.purlin_90x45.depth_mm": 45,




        # 14.5.1: 30 mm and more than 6 thread diameters in timber
        # overhang, underlay, ends of sheets
        "sheet_over_eave_mm": 50, "sheet_over_bare_eave_mm": 70,
        "underlay_support_horizontal": True,
        "flue_underlay_clear_mm": 50,
        # minimum pitch, long runs, temperature: 12 x dT x m / 1000; +60/-15 insulated and light

        "long_run_mm": 40_000, "long_run_most_mm": 60_000, "long_run_pitch_deg": 1, "long_run_rain_mm_per_h": 100,
        "roof_temperature_range_k": 75, "steel_movement_mm_per_m_deg": 0.012,
        # 3.4.1: corrugate 17.5 deep; side laps one edge under and one over
        "profiles.corrugated.depth_mm": 17.5, "profiles.corrugated_wide.depth_mm": 17.5,
        "profiles.corrugated.half_turn_same": False, "profiles.corrugated_wide.half_turn_same": False,
        # valleys, 5.6.1
        "valley_least_slope_deg": 5.5,
        # method 2 of an older edition: mm2 a m2, exposure and pitch factors; downpipes 5.7
        "area_rule_gutter_mm2_per_m2": 100, "area_rule_internal_mm2_per_m2": 200,
        "area_rule_downpipe_mm2_per_m2": 50, "area_rule_exposure": 1.1,
        "area_rule_pitch_10_25": 1.1, "area_rule_pitch_25_35": 1.2, "area_rule_pitch_35_45": 1.3,
        "area_rule_pitch_45_55": 1.4,
        "downpipe_clip_span_mm": 3000, "downpipe_ground_clearance_mm": 50,
        # 16.10: the first 25 mm of rain off a new roof
        "tank_new_roof_mm": 25,
        # ground clearance of cladding
        "clearance_paved_mm": 100, "clearance_unpaved_mm": 175,
    },
    # the same code, v25.12: 5.4.2.1 fall, 10.11 underlay (of walls the greater of what 10.11.6 says twice), 10.6.1 and
    # 10.10E insulation, 3.10.2 supports of walls; status: seen
    "cop25": {
        # 5.3.1: sloping area plus half a wall to 10 m
        "walls_above_share": 0.5, "walls_above_to_mm": 10_000,
        # 8.4, categories; 3.9.1A, sizes and fixing types by rafter and purlin spacing, low to extra high wind; 3.9.1B
        "flashing_category": "by_zone",
        "purlin_section": "70x45", "purlin_wide_section": "90x45",
        "purlin_narrow_mm": 70, "purlin_narrow_supports_mm": 900, "purlin_spacing_mm": 900, "purlin_supports_mm": 900,
        "purlin_fixing_900_600": "A B C C C", "purlin_fixing_900_900": "B C C C D",
        "purlin_fixing_900_1200": "C C C D D", "purlin_fixing_1200_600": "B C C C C",
        "purlin_fixing_1200_900": "C C C D D", "purlin_fixing_1200_1200": "C C D N/A N/A",
        "purlin_fixing_type_a": "1 x gun nail 90 x 3.15", "purlin_fixing_type_b": "2 x gun nail 90 x 3.15",
        "purlin_fixing_type_c": "1 x purlin screw 10g x 80", "purlin_fixing_type_d": "2 x purlin screw 10g x 80",
        "purlin_fixing_type_e": "1 x purlin screw 14g x 100",
        "purlin_fixing_type_a_kn": 0.55, "purlin_fixing_type_b_kn": 0.80, "purlin_fixing_type_c_kn": 2.40,
        "purlin_fixing_type_d_kn": 3.45, "purlin_fixing_type_e_kn": 5.50,
        # 3.8.3, 14.12.2: 30 mm in timber; more than 6 thread diameters stood in an older edition, 14.5.1
        "screw_embedment_mm": 30, "screw_embedment_diameters": 6,
        # 3.5.1.1 end spans; 7.3 movement; 7.4 end laps are screwed, not riveted; 11.6A clear sheets; 14.16 turn-downs
        "end_span_share": 0.6666666667, "movement_over_mm": 20000, "rivets_an_end_lap": 0, "clear_lap_mm": 250,
        "turn_down_below_deg": 8,
        "gutter_fall_one_in": 500, "underlay_lap_mm": 150, "underlay_into_gutter_mm": 20, "underlay_span_mm": 1200,
        "underlay_kraft_run_mm": 10_000, "wrap_lap_level_mm": 150, "wrap_lap_upright_mm": 150,
        "insulation_gap_mm": 20, "insulation_gap_eave_mm": 25, "nog_most_mm": 480,
    },
    # Table 5, m2 of plan to 25, 35, 45 and 55 degrees, and Table 7, 17.5 mm for 5 m over 50 K: as public code restates
    "e1_as1": {
        "downpipes.round_65.table_m2": (60, 50, 40, 35), "downpipes.round_80.table_m2": (85, 70, 60, 50),
        "downpipes.round_100.table_m2": (155, 130, 110, 90), "downpipes.round_150.table_m2": (350, 290, 250, 200),
        "downpipes.rect_65x50.table_m2": (60, 50, 40, 35), "downpipes.rect_100x50.table_m2": (100, 80, 70, 60),
        "downpipes.square_75.table_m2": (110, 90, 80, 65), "downpipes.rect_100x75.table_m2": (150, 120, 105, 90),
        "pvc_movement_mm_per_m_deg": 17.5 / 5 / 50,
        # from memory
        "e1_as1_least_gutter_mm2": 4000, "internal_gutter_width_mm": 300, "rain_if_not_given_mm_per_h": 100,
    },
    # as restated by the pages that the basis names; 80 + 50 + 80 for the least tray
    "e2_as1": {
        "valley_gap_mm": 50, "valley_cover_mm": 80, "valley_least_width_mm": 80 + 50 + 80,
        "underlay_vertical_from_deg": 10, "clearance_roof_mm": 35, "floor_lap_mm": 50, "cavity_mm": 20,
        "base_vent_mm2_per_m": 1000, "batten_slope_deg": 5, "batten_end_gap_mm": 50,
    },
    # valley gutters, a building research magazine no. 153; status: seen
    "build153": {
        "valley_depth_mm": 75, "valley_depth_up_to_deg": 12, "valley_for_spreader_mm": 250,
        "valley_needs_downpipe_m2": 50, "valley_to_downpipe_mm": 2000,
    },
    # no. 150 p. 31, figure 2: lap 32; status: seen
    "build150": {
        "least_lap_bevel_mm": 32, "boards.bevel_187.least_lap_mm": 32, "boards.bevel_142.least_lap_mm": 32,
        "boards.bevel_140_old.least_lap_mm": 32, "nail_past_lap_mm": 10,
    },
    # an apprentice's record of a site: battens 40 x 20 nailed at 300, joints two full boards apart; status: seen
    "building_blog": {
        "cavity_batten": "batten_40x20", "timbers.batten_40x20.width_mm": 40, "timbers.batten_40x20.depth_mm": 20,
        "batten_nail_mm": 300, "joint_repeat_courses": 2 + 1,
    },
    # a renovation guide: 140 x 19.8 covers 108; scarfs at 45; boxed corners of 100 x 25 and 75 x 25; status: seen
    "renovate": {
        "boards.bevel_140_old.width_mm": 140, "boards.bevel_140_old.thickness_mm": 19.8,
        "boards.bevel_140_old.cover_mm": 108, "board_scarf_deg": 45, "corner_style": "boxed",
        "corner_wide": "corner_100x25", "corner_narrow": "corner_75x25",
        "timbers.corner_100x25.width_mm": 100, "timbers.corner_100x25.depth_mm": 25,
        "timbers.corner_75x25.width_mm": 75, "timbers.corner_75x25.depth_mm": 25,
        # inside ones have an angle flashing behind; the flashing behind boxed ones is common practice
        "wall_details.E.HH.boxed": ("corner_wide", "corner_narrow", "scriber_timber", "corner_back_flashing"),
        "wall_details.E.HH.mitred": ("soaker",), "wall_details.I.HH.parts": ("internal_corner_flashing",),
    },
    # makers' public sheets; status: seen. Five ribs, four spaces in 762
    "maker_summary": {
        "profiles.corrugated.cover_mm": 762, "profiles.corrugated.overall_mm": 845,
        "profiles.corrugated.rib_pitch_mm": 76.2,
        "profiles.corrugated_wide.cover_mm": 995, "profiles.corrugated_wide.overall_mm": 1100,
        "profiles.corrugated_wide.rib_pitch_mm": 76.2,
    },
    "maker_manual": {
        "profiles.trapezoidal_5_rib.cover_mm": 762, "profiles.trapezoidal_5_rib.depth_mm": 27,
        "profiles.trapezoidal_5_rib.rib_pitch_mm": 762 / 4,
    },
    "maker_boards": {"least_lap_rebated_mm": 25, "boards.shiplap_vertical.thickness_mm": 18.5},
    "merchant_roof_uk": {"ridge_gap_mm": 50},
    "rmit": {"screws_end": 5, "screws_middle": 3},
    # ABCB Housing Provisions 2022: 12 m a downpipe (7.4.5), Table 7.4.3b, boards over 130 wide (7.5.2(4)); status: seen
    "hp22": {
        "gutter_length_per_outlet_mm": 12_000, "nail_wide_board_mm": 130,
        "nail_diameter_mm": 2.8, "nail_into_timber_mm": 30,  # 2.8 mm galvanised, 30 mm into timber
        "gutters.box_125.area_mm2": 6500, "gutters.box_150.area_mm2": 7900, "gutters.pvc_115.area_mm2": 5200,
        "gutters.pvc_125.area_mm2": 6300, "gutters.quad_125.area_mm2": 6300, "gutters.half_round_150.area_mm2": 9000,
        "gutters.box_125.type": "A", "gutters.box_150.type": "B", "gutters.pvc_115.type": "C",
        "gutters.pvc_125.type": "D", "gutters.quad_125.type": "D", "gutters.half_round_150.type": "E",
    },
    "asnzs3500": {"runoff_coefficient": 1.0},
    "enhealth": {"tank_runoff_share": 0.80, "tank_loss_mm_per_year": 24},
    # 227 L a day: toilet 86, bathing 68, laundry 36, kitchen 32, housekeeping 5; weak
    "scraped_nz": {"downpipe_spacing_mm": 12_000, "tank_litres_a_day": 86 + 68 + 36 + 32 + 5},
    # yield after spillage, of which a trade journal (January 2019) prints the yield's line; 0.5 to 0.9 of the rain runs
    # off, metal 0.9; both restated
    "tank_rules": {"tank_rule": "yield_after_spillage"},
    "rain_toolkit": {"tank_runoff_sheets": 0.9},
    # from memory
    "as1562": {
    },
    "nzs3604": {"paved_below_floor_mm": 150},
    # flat steel 7.85 kg a mm and m2, 0.150 kg/m2 of coating (from memory), over the girth: kg a metre of sheet
    "physics": {
        "steel_kg_per_m2_mm": 7.85,
        "profiles.corrugated.kg_per_m": {t: (t * 7.85 + 0.150) * 0.940 for t in (0.40, 0.42, 0.48, 0.55)},
        "profiles.corrugated_wide.kg_per_m": {t: (t * 7.85 + 0.150) * 1.219 for t in (0.40, 0.42, 0.48, 0.55)},
        "profiles.trapezoidal_5_rib.kg_per_m": {t: (t * 7.85 + 0.150) * 0.940 for t in (0.40, 0.42, 0.48, 0.55)},
        "profiles.tray_400.kg_per_m": {t: (t * 7.85 + 0.150) * 0.520 for t in (0.40, 0.48, 0.55)},
    },
}  # fmt: skip

# sections of pipes, by the sizes that Table 5 names (least internal): circles and rectangles; covers: width less lap 32
DERIVED: dict[str, float] = {
    "downpipes.round_65.area_mm2": pi * 63**2 / 4,
    "downpipes.round_80.area_mm2": pi * 74**2 / 4,
    "downpipes.round_100.area_mm2": pi * 100**2 / 4,
    "downpipes.round_150.area_mm2": pi * 150**2 / 4,
    "downpipes.round_90.area_mm2": pi * 90**2 / 4,
    "downpipes.rect_65x50.area_mm2": 65 * 50,
    "downpipes.rect_100x50.area_mm2": 100 * 50,
    "downpipes.square_75.area_mm2": 75 * 75,
    "downpipes.rect_100x75.area_mm2": 100 * 75,
    "boards.bevel_187.cover_mm": 187 - 32,
    "boards.bevel_142.cover_mm": 142 - 32,
}

PINS = [(source, name, value) for source, rows in PUBLISHED.items() for name, value in rows.items()]
HOW = "add it to PUBLISHED with the value as the source has it"


def product_values() -> Iterator[tuple[str, Any, str]]:
    """Every value of every product: its name, the value, and the source its basis names. Items have no values: what
    they are called, counted in and packed in."""
    catalogue = load_catalogue()
    for group in fields(catalogue):
        if group.name == "items":
            continue
        for product in getattr(catalogue, group.name).values():
            for field in fields(product):
                basis = product.basis.get(field.name) or product.basis.get("*")
                if field.name not in _WORDS and basis is not None:
                    name = f"{group.name}.{product.id}.{field.name}"
                    yield name, getattr(product, field.name), basis.source


def catalogue_values() -> dict[str, tuple[Any, str]]:
    """Every value of the catalogue by name, with the id of its source, "" where it has none."""
    ids = {words: source for source, words in sources().items()} | {"": ""}
    found = {name: (setting.value, ids[setting.basis.source]) for name, setting in default_settings().items()}
    return found | {name: (value, ids[source]) for name, value, source in product_values()}


VALUES = catalogue_values()


@pytest.mark.parametrize(("source", "name", "value"), PINS, ids=[name for _, name, _ in PINS])
def test_a_value_is_what_its_source_says(source: str, name: str, value: object) -> None:
    ours, named = VALUES[name]
    assert named == source
    if isinstance(value, dict):
        assert dict(ours) == {key: pytest.approx(each, abs=0.0006) for key, each in value.items()}
    else:
        assert ours == value


@pytest.mark.parametrize("name", DERIVED)
def test_a_derived_value_is_its_arithmetic(name: str) -> None:
    assert VALUES[name][0] == pytest.approx(DERIVED[name], abs=1.0)


def test_every_value_that_names_a_source_is_pinned_to_it() -> None:
    sourced = {name for name, (_, source) in VALUES.items() if source}
    pinned = {name for _, name, _ in PINS}
    assert sorted(sourced - pinned) == [], HOW
    assert sorted(pinned - sourced) == [], "no longer in the catalogue with a source: take it out of PUBLISHED"
    assert len(PINS) == len(pinned)
