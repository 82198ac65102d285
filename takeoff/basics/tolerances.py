"""Every tolerance of the program, with its unit and its reason, in one record."""

from __future__ import annotations

from takeoff.basics.records import record


@record
class Tolerances:
    """Distances below which two things count as one."""

    same_point_mm: float = 0.5  # a survey or a drawing is no better; far below any cut on site
    same_length_mm: float = 0.01  # crumbs of floating point on a computed length: never buys a step more
    same_plane_mm: float = 5.0  # what is out of flat or out of level by less is flat and level
    same_plane_deg: float = 1.0  # imported faces turned from their fitted plane by more than this are another plane
    level_slope: float = 0.02  # an imported edge falling less than 2 % is built level, with a finding
    level_exact: float = 1e-6  # a generated edge is level by construction; this is its rounding
    opening_mm2: float = (
        4e6  # a drawn ring no larger, inside one of another layer, is a window or furniture, not a roof
    )
    least_area_mm2: float = 100.0  # a face smaller than 10 x 10 mm is a crumb, not a plane
    in_line_mm: float = 2.0  # lines of a plan so near each other are one: drawings round to whole mm
    one_plane_mm: float = 25.0  # an imported plane may be out of flat by this, with a finding: surveys are true to 2 cm
    shortest_edge_mm: float = 3.0  # a hip or ridge shorter than this comes from a drawing rounded to whole mm
    weld_mm: float = 2.0  # imported points closer than this are one: 32-bit files on survey grids are off by 0.5
    order_mm: float = 3.0  # outlines are put in order where no corner moves further: a taped plan is off by 2 mm ...
    order_said_mm: float = 1.0  # ... without a word up to what rounding to whole mm explains
    order_deg: float = 2.0  # and no side, however short, turns by more
    straight_deg: float = 0.5  # what turns by less goes straight on: no corner is bought for it, no corner board cut
    tape_point_mm: float = 1.0  # a side this short is a point: nothing to tape
    tape_on_mm: float = 5.0  # a taped line and an edge whose ends are this near are one
    arc_off_mm: float = (
        10.0  # sides that an arc of a drawing is cut into lie no further off it: a curved wall is framed so
    )
    local_mm: float = 1e6  # plans within this of 0, 0 keep their coordinates; surveys move by whole multiples of it
    closure_rel: float = 1e-9  # planes must add up to the outline to this, plus the input's own rounding
    # floating point: what a computed figure is off by, never a thing of its own
    crumb_mm: float = 1e-6  # two lines, sides or levels that are one
    kept_mm: float = 1e-9  # a corner put in order keeps its figures where it moves by less
    beside_mm: float = 1e-3  # a hole's side on a strip's edge is beside it
    grid_mm: float = 1e-6  # corners of overlaid plans are put on a grid as fine as floats on a survey grid are true
    limit_deg: float = 1e-6  # a pitch on the limit of a table's row stands in that row
    price_mm: float = 1e-4  # the linear solver's prices are no more exact: a pattern must be worth more than this
    load_kg: float = 1e-6  # masses are shown to 0.1 kg: what a sum in binary adds to them is no load
    # lines and planes of one roof
    weld_cut_mm: float = 0.05  # cut corners worked out twice agree to far less; nothing that is built is this small
    on_line_mm: float = 0.1  # what lies so near to a line of the plan lies on it
    touch_mm: float = 1.0  # overlaps, slivers and remains narrower than this are two things that touch
    sliver_mm: float = 0.1  # slivers of upright faces narrower than this are rounding
    level_mm: float = 0.01  # ends of a computed crossing that differ by less are level
    close_to_edge_mm: float = 50.0  # a side of a sheeted area follows an edge no further off: imported planes are rough
    plate_mm: float = 5.0  # wall plates that differ by less are one height
    slight_turn_deg: float = 1.0  # a corner that turns by less is asked about: it may be a slip of the pen
    flat_deg: float = 0.1  # a plane flatter than this has no fall line: it is drained by its own outlets
    fall_mm: float = 1.0  # a plane no further down than this is the one the water is already on
    same_roof_mm: float = 1.0  # what lies this little lower than a valley's foot is the same roof
    # plans as drawn
    fine_mm: float = 0.05  # a drawing coarser than this is rounded to whole millimetres, or taped
    same_depth_mm: float = 0.75  # nobody sets out two depths, heights or overhangs that differ by less
    same_ridge_mm: float = (
        4.0  # ridges over depths that differ by less are near enough in height for their ends to be joined
    )
    # sheets, purlins and flashings
    long_mm: float = 0.5  # a run or a bay this much over a table's limit is on it
    pitch_deg: float = 0.01  # an imported plane's pitch is fitted, no better than this
    square_deg: float = 0.1  # 1.5 mm over a sheet's width: no rake is cut for it
    upright_mm: float = 2.0  # an edge that runs less across a plane goes straight up it
    goes_on_mm: float = 5.0  # a row that ends this near where another begins goes on in it
    row_mm: float = 1.0  # lines, starts and lengths of sheets that differ by less are alike
    rip_mm: float = 1.0  # a side this near to a sheet's edge, or this short, needs no rip; ends share more
    tape_mm: float = 0.5  # sizes are taped to whole millimetres, and less is not marked out
    taped_twice_mm: float = 0.05  # sizes that differ by less were taped as one
    # two results held against each other
    list_mm: float = 0.01  # lengths of a supplied list are read to this
    compare_deg: float = 0.005  # angles and areas are shown to two places, and differ from half of the last on
    compare_m2: float = 0.005
    lay_over_mm: float = 2.0  # edges of two plans whose ends are nearer than this lie on each other
    compare_flat_deg: float = 1.5  # a plane so flat faces nowhere
    compare_turned_deg: float = 60.0  # planes that face further apart are not one plane
    compare_place_mm: float = 3000.0  # a downpipe, or the side of a plane, further off than this is another
    # walls, cladding, rainwater and roofs together
    facing_mm: float = 300.0  # sides that face each other for less make no depth of a roof
    drawn_wall_mm: float = 300.0  # an abutting wall is drawn at least this high where the higher roof is no higher
    clear_under_mm: float = 150.0  # a lower roof nearer than this to the roof over it cannot be flashed or built
    far_wall_mm: float = (
        1000.0  # a wall edge farther than this from every wall was typed for another edge or at another place
    )
    least_soffit_mm: float = 50.0  # narrower overhangs are closed by a mould, not by a sheet
    wall_top_mm: float = (
        2.0  # what the cut inside a wall line may move a hip or valley by; a true step between planes is higher
    )
    water_over_mm: float = (
        2.0  # water off a wall is let go this far over the plane at its foot, and this far out from it
    )
    left_out_mm2: float = 10000.0  # a zone of less is not left out but crumbs
    set_out_step_mm: float = 5.0  # boards are moved along by this much while looking for a set-out without slivers
    zone_edge_mm: float = 0.01  # parts of a wall whose edges are so near share them
    least_cover_mm: float = 20.0  # narrower strips are slats, and a slip of the pen would ask for millions of boards
    jamb_mm: float = 45.0  # a stud of the common spacing nearer than its own width to a jamb stud is that stud
    no_catchment_mm2: float = 10000.0  # 0.01 m2: less catchment than this is no finding
    thin_places_mm: float = (
        50.0  # places of pipes this close are thinned first, then those up to a quarter further apart, and so on
    )
    pipe_places_mm: float = 100.0  # places of the search for the fewest pipes stand this far apart, and at every break
    one_place_mm: float = 0.001  # places of pipes closer than this are one
    plane_crumb_mm2: float = 1.0  # less of a plane is a crumb
    corner_off_mm2: float = 100000.0  # 0.1 m2: less is a corner cut off
    spreader_look_mm: float = 250.0  # how far apart a run is looked at for a roof below
    wall_below_eave_mm: float = 3000.0  # a wall further in than this is no longer the wall below an eave
    wall_above_mm2: float = 10000.0  # less of a wall over a roof sheds no rain worth counting
    wall_above_mm: float = 2.0  # and one no longer than this is none
    walls_meet_deg: float = 1.0  # walls that turn by less go straight on
    start_line_mm: float = 600.0  # a shorter line is no guide for a sheet
    sheet_side_deg: float = (
        85.0  # steeper than this a line is the side of a sheet beside a slanting verge, not a cut of its end
    )
    leaning_mm: float = 4.0  # all that liking may weigh together: less than half a step of any length


TOLERANCES = Tolerances()
