"""Every tolerance and every limit of a model, written down a second time: regression figures.

Each is judged by the reason that stands beside it where it is defined. They have no second source, so that nothing but
this would see a slip of the pen in one; whoever changes a figure there changes it here as well.
"""

from __future__ import annotations

from dataclasses import asdict

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.tolerances import TOLERANCES

WRITTEN_TOLERANCES = """
same_point_mm 0.5   same_length_mm 0.01   same_plane_mm 5   same_plane_deg 1   level_slope 0.02
level_exact 1e-06   opening_mm2 4e6   least_area_mm2 100   in_line_mm 2   one_plane_mm 25   shortest_edge_mm 3
weld_mm 2   order_mm 3   order_said_mm 1   order_deg 2   straight_deg 0.5   tape_point_mm 1   tape_on_mm 5
arc_off_mm 10   local_mm 1e6   closure_rel 1e-09   crumb_mm 1e-06   kept_mm 1e-09   beside_mm 0.001
grid_mm 1e-06   limit_deg 1e-06   price_mm 0.0001   load_kg 1e-06   weld_cut_mm 0.05   on_line_mm 0.1
touch_mm 1   sliver_mm 0.1   level_mm 0.01   close_to_edge_mm 50   plate_mm 5   slight_turn_deg 1   flat_deg 0.1
fall_mm 1   same_roof_mm 1   fine_mm 0.05   same_depth_mm 0.75   same_ridge_mm 4   long_mm 0.5   pitch_deg 0.01
square_deg 0.1   upright_mm 2   goes_on_mm 5   row_mm 1   rip_mm 1   tape_mm 0.5   taped_twice_mm 0.05
list_mm 0.01   compare_deg 0.005   compare_m2 0.005   lay_over_mm 2   compare_flat_deg 1.5
compare_turned_deg 60   compare_place_mm 3000   facing_mm 300   drawn_wall_mm 300   clear_under_mm 150
far_wall_mm 1000   least_soffit_mm 50   wall_top_mm 2   water_over_mm 2   left_out_mm2 10000   set_out_step_mm 5
zone_edge_mm 0.01   least_cover_mm 20   jamb_mm 45   no_catchment_mm2 10000   thin_places_mm 50
pipe_places_mm 100   one_place_mm 0.001   plane_crumb_mm2 1   corner_off_mm2 100000   spreader_look_mm 250
wall_below_eave_mm 3000   wall_above_mm2 10000   wall_above_mm 2   walls_meet_deg 1   start_line_mm 600
sheet_side_deg 85   leaning_mm 4
"""

WRITTEN_LIMITS = """
steepest_roof_deg 85   slab_least_mm 15   slab_most_mm 600   least_steep_m2 0.1   strip_body_mm 350
least_body_m2 0.5   box_m2 4   panel_over_mm 400   one_roof_apart_mm 450   roof_over_ground_mm 1500
own_floor_foot_least_mm -3000   own_floor_foot_most_mm 1500   own_floor_eaves_least_mm -500
own_floor_eaves_most_mm 15000   slab_edge_mm 1500   stated_plane_mm 10   unit_least_mm 500   unit_most_mm 1e6
house_least_mm 3000   house_most_mm 100000   long_least_mm 3500   long_most_mm 120000   wide_least_mm 1800
wide_most_mm 100000   eaves_least_mm 1800   eaves_most_mm 30000   rise_least_mm 100   rise_most_mm 15000
least_opening_mm 100   ring_least_mm 600   open_lines_mm 3000   gap_said_mm 0.05   plan_least_mm 3000
plan_most_mm 60000   plan_narrowest_mm 2000   crack_mm 25   wall_heights_mm 20   wall_foot_least_mm -4000
wall_foot_most_mm 1500   walls_out_mm2 50000   walls_out_mm 30   wall_grid_mm 0.01   walls_meet_mm 3
wall_straight_mm 0.5   wall_short_mm 150   least_house_mm2 2e6   least_face_mm2 1   low_strip_mm 600
on_wall_mm 25   hole_sliver_mm 20   least_hole_mm2 40000   storey_gap_mm 600   opening_deep_mm 40
kerb_most_mm2 4.1e6   kerb_height_mm 150   direction_least_mm 200   border_step_mm 10   narrow_off_mm 50
jitter_mm 8   facet_crumb_mm 30   chain_deg 15   polygon_deg 12   node_moves_mm 50   node_straight_mm 0.01
borders_agree_mm 10   outline_fit_mm 15   ring_sliver_mm2 30000   ring_sliver_mm 30   wall_over_mm 100
"""


def _read(text: str) -> dict[str, float]:
    words = text.split()
    return {name: float(value) for name, value in zip(words[::2], words[1::2], strict=True)}


def test_every_tolerance_is_what_was_written_down() -> None:
    assert asdict(TOLERANCES) == _read(WRITTEN_TOLERANCES)


def test_every_limit_of_a_model_is_what_was_written_down() -> None:
    assert asdict(MODEL_LIMITS) == _read(WRITTEN_LIMITS)


def test_what_is_said_or_bounded_from_both_sides_lies_in_order() -> None:
    """A pair of least and most leaves room between; what is said lies below what is done without a word."""
    limits = asdict(MODEL_LIMITS)
    for name in limits:
        if "_least_" in name and (most := name.replace("_least_", "_most_")) in limits:
            assert limits[name] < limits[most], name
    assert TOLERANCES.order_said_mm < TOLERANCES.order_mm
    assert TOLERANCES.kept_mm < TOLERANCES.crumb_mm < TOLERANCES.same_length_mm < TOLERANCES.same_point_mm
