"""What a house is in a model or a drawing: the sizes by which the parts of a file of others are told apart, with their
units and reasons, in one record. Common practice, no source, where nothing else is said."""

from __future__ import annotations

from takeoff.basics.records import record


@record
class ModelLimits:
    """Sizes below, above or between which a part of a model or drawing is taken for what it is."""

    steepest_roof_deg: float = 85.0  # nothing steeper is sheeted as a roof, whatever the file calls it
    slab_least_mm: float = 15.0  # how far an underside lies under its top: sheet and batten at least, ...
    slab_most_mm: float = 600.0  # ... a deep rafter roof at most
    least_steep_m2: float = 0.1  # a steep face of less is the end of a board
    strip_body_mm: float = 350.0  # a body no wider on average is a gutter, a board, a cap
    least_body_m2: float = 0.5  # a body that covers less is no roof
    box_m2: float = 4.0  # what stands on a roof and covers no more is a chimney or a rooflight, no dormer
    panel_over_mm: float = 400.0  # how far over a roof what runs alongside it is a panel
    one_roof_apart_mm: float = 450.0  # roofs no further apart are parts of one
    roof_over_ground_mm: float = 1500.0  # a roof lies so far over the ground
    own_floor_foot_least_mm: float = (
        -3000.0  # lowest point of a house whose heights are over its own floor: between this ...
    )
    own_floor_foot_most_mm: float = 1500.0  # ... and this
    own_floor_eaves_least_mm: float = (
        -500.0  # lowest point of a roof without walls whose heights are so: between this ...
    )
    own_floor_eaves_most_mm: float = 15000.0  # ... and this
    slab_edge_mm: float = 1500.0  # what stands less far under the roof is the edge of a slab
    stated_plane_mm: float = 10.0  # triangles of one stated plane lie within this of each other
    unit_least_mm: float = 500.0  # the longest side of what can be a building in any unit: this at least, ...
    unit_most_mm: float = 1000000.0  # ... and this at most
    house_least_mm: float = 3000.0  # the longer side of a house: this at least, ...
    house_most_mm: float = 100000.0  # ... and this at most
    long_least_mm: float = 3500.0  # the same with its eaves, where a roof is stated: from ...
    long_most_mm: float = 120000.0  # ... to
    wide_least_mm: float = 1800.0  # its shorter side: from ...
    wide_most_mm: float = 100000.0  # ... to
    eaves_least_mm: float = 1800.0  # from the lowest point of the model to its eaves: one low storey ...
    eaves_most_mm: float = 30000.0  # ... to ten of them
    rise_least_mm: float = 100.0  # from the eaves to the top of the roof: from ...
    rise_most_mm: float = 15000.0  # ... to
    least_opening_mm: float = 100.0  # a drawn opening no wider or higher is a vent, a handle or a letter
    ring_least_mm: float = 600.0  # a ring narrower than this is furniture, a post or a letter, no roof
    open_lines_mm: float = 3000.0  # lines in a row shorter than this are no outline that was meant to close
    gap_said_mm: float = 0.05  # gaps below are roundings of the file
    plan_least_mm: float = 3000.0  # the longer side of a house in a plan: this at least, ...
    plan_most_mm: float = 60000.0  # ... and this at most
    plan_narrowest_mm: float = 2000.0  # and its shorter side
    crack_mm: float = 25.0  # nobody builds a step lower than this
    wall_heights_mm: float = 20.0  # walls whose heights differ by less are of one height
    wall_foot_least_mm: float = -4000.0  # where walls may begin: a cellar below, ...
    wall_foot_most_mm: float = 1500.0  # ... a plinth above the floor
    walls_out_mm2: float = 50000.0  # so much of the walls' plan may lie outside their roof
    walls_out_mm: float = 30.0  # an imported outline is straightened by up to half of it
    wall_grid_mm: float = 0.01  # wall lines are laid on a grid as fine as this
    walls_meet_mm: float = 3.0  # walls that miss each other by less than twice this meet
    wall_straight_mm: float = 0.5  # corners of walls less out of line than this are none
    wall_short_mm: float = 150.0  # sides of walls shorter than this are looked at
    least_house_mm2: float = 2e6  # a house of less than 2 m2 is none
    least_face_mm2: float = 1.0  # an upright face of less is a crumb
    low_strip_mm: float = 600.0  # a strip lower than this on average is a board, a gutter or a plinth, no wall
    on_wall_mm: float = 25.0  # a face this near a wall's line is its outer face
    hole_sliver_mm: float = 20.0  # holes narrower than twice this are gaps between faces
    least_hole_mm2: float = 40000.0  # 200 x 200 mm: a smaller hole is a vent or a pipe
    storey_gap_mm: float = 600.0  # a gap between storeys is this high at most
    opening_deep_mm: float = 40.0  # how far an opening goes into the wall at least
    kerb_most_mm2: float = 4.1e6  # a larger hole is a courtyard
    kerb_height_mm: float = 150.0  # of a kerb; only that it stands counts
    direction_least_mm: float = 200.0  # a shorter line says nothing of its direction
    border_step_mm: float = 10.0  # a border that steps by less is one border
    narrow_off_mm: float = 50.0  # a narrow facet further off its neighbour's plane is a plane of its own
    jitter_mm: float = 8.0  # both ends of a facet's height may be off by half of it: its direction is worth no more
    facet_crumb_mm: float = 30.0  # facets thinner than this lie where their neighbours lie
    chain_deg: float = 15.0  # neighbours turned further are never chained, however narrow
    polygon_deg: float = 12.0  # triangles of one polygon of the file are one face up to this
    node_moves_mm: float = (
        50.0  # a node moves no further than this: where its planes are nearly one it stays short of their line
    )
    node_straight_mm: float = (
        0.01  # nodes between the same two planes that lie so near the line of their neighbours are left out
    )
    borders_agree_mm: float = 10.0  # borders of one wall line, high and low, agree in plan to this
    outline_fit_mm: float = 15.0  # how far an edge may lie off the straightened outline
    ring_sliver_mm2: float = 30000.0  # a ring of less area, or narrower than the next, is a slip of the points round it
    ring_sliver_mm: float = 30.0  # how narrow such a ring is at most
    wall_over_mm: float = 100.0  # a wall that rises this far over a roof's edge is one the roof stops against


MODEL_LIMITS = ModelLimits()
