"""Every tolerance of the program, with its unit and its reason, in one record."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Distances below which two things count as one."""

    same_point_mm: float = 0.5  # a survey or a drawing is no better; far below any cut on site
    same_length_mm: float = 0.01  # crumbs of floating point on a computed length: never buys a step more
    same_plane_mm: float = 5.0  # what is out of flat or out of level by less is flat and level
    same_plane_deg: float = 1.0  # imported faces turned from their fitted plane by more than this are another plane
    level_slope: float = 0.02  # an imported edge falling less than 2 % is built level, with a finding
    level_exact: float = 1e-6  # a generated edge is level by construction; this is its rounding
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


TOLERANCES = Tolerances()
