"""Walls as elevations, and the boards laid on them. Wall axes: x from the left seen from outside, y up, mm.

y = 0 is the finished floor (z = 0) on every elevation.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.basis import Working
from takeoff.model.findings import Finding


@record
class Opening:
    """A window or door. `from_left_mm` to its left jamb, `sill_mm` over the floor. `name` as on drawings (W1). `kind`
    as the job says it: window, door, meter_box, vent; "" where it says nothing."""

    name: str
    from_left_mm: float
    sill_mm: float
    width_mm: float
    height_mm: float
    kind: str = ""

    @property
    def head_mm(self) -> float:
        """Height of the head over the floor [mm]."""
        return self.sill_mm + self.height_mm


@record
class Corner:
    """What stands at one end of a wall: "external" or "internal", with the angle between the walls [degrees]."""

    kind: str
    angle_deg: float


@record
class GroundPart:
    """A part of the ground along a wall, from its left end [mm]: "paved", "unpaved" or a "deck"; its level over the
    finished floor."""

    left_mm: float
    right_mm: float
    level_mm: float
    kind: str


@record
class Elevation:
    """One wall seen from outside. `wall` is the 1-based wall (wall-line edge); `outline_xy` its cladding outline on
    framing (base at -floor_lap, raked top under gables), counter-clockwise. `ground_mm` is the ground's height at
    left and right end. `roof`: whose wall line it stands on, "" where it is given by itself; `floors_mm` the floors of
    its storeys; `covered_xy` what of the outline is not clad: behind a lower roof, or closed by another part of the
    building; `grounds` the parts of the ground that differ from the rest.
    """

    id: str
    wall: int
    width_mm: float
    height_mm: float  # clad height at the eave: floor to the soffit line, or the frame height where that is lower
    outline_xy: Ring2
    base_mm: float  # y of the bottom of the cladding (negative: it laps the floor)
    openings: tuple[Opening, ...]
    left_corner: Corner
    right_corner: Corner
    ground_mm: tuple[float, float]
    paved: bool
    bearing_deg: float
    a_mm: Point2  # plan, left end seen from outside
    b_mm: Point2
    findings: tuple[Finding, ...] = ()
    roof: str = ""
    floors_mm: tuple[float, ...] = (0.0,)
    covered_xy: tuple[Ring2, ...] = ()
    grounds: tuple[GroundPart, ...] = ()


@record
class BoardPiece:
    """One board on a wall, as laid: `outline_xy` its visible or covered shape; `length_mm` what must be cut for it.

    `row` counts courses from the base (horizontal) or boards from the left (vertical). `ripped_mm` is its width where
    it is ripped, 0 for a full board; `notched` when an opening cuts part of its width. `past_mm`: how far it begins
    before what is seen of it, where a raked foot cuts its hidden lap. `rakes_deg`: how far off square it is cut, an
    upright board at its foot and its top, a level one at its left and its right end. `sides_mm`: left and right side
    of a sheet at its real edges; `lap_mm`: what it laps under the sheet above. `rest_of`: the board whose rip leaves
    it, so that none is cut for it.
    """

    id: str
    wall: int
    zone: str
    row: int
    outline_xy: Ring2
    length_mm: float
    ripped_mm: float = 0.0
    notched: bool = False
    past_mm: float = 0.0
    rakes_deg: tuple[float, float] = (0.0, 0.0)
    sides_mm: tuple[float, float] = (0.0, 0.0)
    lap_mm: float = 0.0
    rest_of: str = ""


@record
class WallBoards:
    """The boards of one zone on one wall: `direction` "horizontal" or "vertical"; `cover_mm` as set out (even
    coursing may be below the nominal cover); `net_mm2` wall net of openings; `marks_mm` the storey rod (course lines)
    or board lines; `breaks_mm` the level breaks of upright boards over the floor,
    `flashed_xy` the lines of their flashings and of those to other zones."""

    wall: int
    zone: str
    direction: str
    board: str
    cover_mm: float
    board_width_mm: float
    courses: int
    net_mm2: float
    gross_mm2: float
    pieces: tuple[BoardPiece, ...]
    marks_mm: tuple[float, ...]
    working: Working
    findings: tuple[Finding, ...] = ()
    breaks_mm: tuple[float, ...] = ()
    flashed_xy: tuple[Ring2, ...] = ()


@record
class WallJunction:
    """A line where two claddings of walls meet or one ends: `detail` its row of the catalogue, `words` what that is.

    `lines` show it on the walls that it stands on, each by number and in wall axes; `parts` are the items ordered for
    it, `counted` what is counted elsewhere, `why` the basis of the row in words.
    """

    detail: str
    words: str
    walls: tuple[int, ...]
    lines: tuple[tuple[int, Ring2], ...]
    length_mm: float
    parts: tuple[str, ...] = ()
    counted: str = ""
    why: str = ""
