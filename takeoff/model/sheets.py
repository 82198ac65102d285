"""Roof sheets: placed on their planes (pieces), and bought (blanks)."""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.basis import Working
from takeoff.model.findings import Finding
from takeoff.model.items import Made
from takeoff.model.products import Profile


class CutShape(StrEnum):
    """How a sheet's end is cut."""

    SQUARE = "square"
    RAKED = "raked"
    APEX = "apex"
    BROKEN = "broken"
    NOTCHED = "notched"


@record
class EndCut:
    """One end of a sheet. `edges`: ids of the roof edges it follows; `rake_deg` off square, 0 for square.

    Broken is cut to two lines; notched steps, or takes more lines. `hand` is "left" or "right": the side on which the
    sheet is longer, seen from below its eave; "" for square, apex, broken, notched. `points_mm`: its corners from
    left to right, each as (from the left edge of the uncut sheet, height above the sheet's lowest point); where the
    end jumps, both heights at one place.
    """

    shape: CutShape
    edges: tuple[str, ...] = ()
    rake_deg: float = 0.0
    hand: str = ""
    points_mm: tuple[Point2, ...] = ()

    @property
    def kinked(self) -> bool:
        """True where two side lengths do not say how to cut it: an apex, an end cut to two lines, a notched end."""
        return self.shape in (CutShape.APEX, CutShape.BROKEN, CutShape.NOTCHED)


@record
class SheetPiece:
    """One sheet as laid on its plane, in plane axes (u, v) [mm].

    `mark` P3.07 or P3.07a; `strip` counts from the start side, `part` 0 is the lowest of end-lapped parts.
    `outline_uv` is the true outline over the overall width (what is cut on site), `cover_uv` the part of the sheeted
    area that its cover lies on. `reach_mm` is the longest length along v that the piece must have over its overall
    width; `left_mm`, `right_mm` are its sides at the real sheet edges; `order_mm` is the length bought, rounded up
    once. `foot_v_mm` is where its low end lies. `lap_side` is "left" or "right": the side on which the next sheet
    lies over or under it, away from the start. `lap_mm` is the end lap with the part above. `run` numbers the
    separate sheet runs of a strip cut by a hole.

    `corners_mm` are the corners of the outline, `long_point_mm` the point that limits the sheet at its raked end, both
    as (from the left edge of the uncut sheet, height above `foot_v_mm`). The long point is the highest corner of a
    raked top (of a level part the break where the rake begins); where only the foot is raked, the lowest corner of the
    foot, with the length from it to the top as its height. (0, 0) for a square sheet.
    """

    mark: str
    plane: str
    strip: int
    run: int
    part: int
    profile: str
    start_side: str
    lap_side: str
    outline_uv: Ring2
    cover_uv: tuple[Ring2, ...]
    reach_mm: float
    order_mm: float
    left_mm: float
    right_mm: float
    foot_v_mm: float
    foot: EndCut
    top: EndCut
    lap_mm: float
    working: Working
    cut_from: str = ""  # mark of the longer blank a piece below the mill's least run is cut from
    clear: bool = False  # a rooflight: clear sheet of the same profile
    notched: bool = False  # its outline is neither a rectangle, a rake, nor cut to two lines
    foot_turn_mm: float = 0.0  # added at its foot for pans that are turned down
    beside: tuple[str, ...] = ()  # ids of the roof edges along which it is notched
    corners_mm: Ring2 = ()
    long_point_mm: Point2 = (0.0, 0.0)


@record
class PlaneSheets:
    """The sheets of one plane and how they are set out. `pieces` stand in the order they are laid.

    `sheeted_uv`: the sheeted area (polygon with every edge moved by its signed trim), rings; `start_u_mm` is where
    the first strip's cover begins, `start_side` the side laying starts from ("left"/"right" seen from below the
    eave). `snap_u_mm` is an edge of a sheet that lies on the plane, which is snapped to start from, `start_edge`
    words for it, taped from a corner of the plane ("left edge of P1.01, 833 inside the fascia corner, square off the
    eave at the east end"); `over_edge` which edge of a sheet lies over its neighbour. `last_wide_mm` is the width of
    a last sheet narrower than its cover at a square end, 0 where there is none.
    """

    plane: str
    profile: str
    start_side: str
    start_u_mm: float
    start_edge: str
    over_edge: str
    cover_mm: float
    overall_mm: float
    first_cover_mm: float
    sheeted_uv: tuple[Ring2, ...]
    net_mm2: float
    pieces: tuple[SheetPiece, ...]
    movement_mm: float  # thermal movement of the longest run, steel, by the basis in its working
    movement_working: Working | None = None
    findings: tuple[Finding, ...] = ()
    last_wide_mm: float = 0.0
    snap_u_mm: float = 0.0


@record
class SheetGroup:
    """Sheets that are one order at the mill: one profile, thickness and colour, on one or several planes.

    `clear`: rooflight sheets, whose thickness is 0 here and whose colour is none. `item`: what it is on the order.
    """

    profile: Profile
    bmt_mm: float
    colour: str
    planes: tuple[PlaneSheets, ...]
    clear: bool = False
    item: Made | None = None


@record
class BlankPart:
    """A piece inside a bought length, turned half round in its own plane or not: its outline begins at `start_mm`."""

    mark: str
    start_mm: float
    turned: bool


@record
class SheetBlank:
    """A bought length and the pieces in it. A plain list is one piece a blank.

    `site_mm` above 0: not bought, `length_mm` is cut out of a sheet so long that lies on the site, with `mark` on it.
    """

    id: str
    profile: str
    length_mm: float
    pieces: tuple[BlankPart, ...]
    site_mm: float = 0.0
    mark: str = ""


@record
class RakedPair:
    """Two raked pieces out of one bought length. `turned`: the second is turned end for end, face up."""

    first: str
    second: str
    turned: bool
    length_mm: float
    saving_mm: float


@record
class PairPlan:
    """The same sheets bought with raked pairs: what it saves stands beside the plain list.

    `proof` is how it is known that no choice of pairs saves more, "" where it is not. `plain_m2`, `paired_m2`: bought
    as it covers, either way, for `net_m2` of sheeted area, less what is cut out of sheets on the site; `plain_count`,
    `paired_count`: lengths bought. `bought`: the order buys the pairs.
    """

    profile: str
    blanks: tuple[SheetBlank, ...]
    pairs: tuple[RakedPair, ...]
    plain_mm: float
    paired_mm: float
    proof: str = ""
    plain_m2: float = 0.0
    paired_m2: float = 0.0
    net_m2: float = 0.0
    plain_count: int = 0
    paired_count: int = 0
    bought: bool = False

    @property
    def saving_mm(self) -> float:
        """Bought length saved against the plain list [mm]."""
        return self.plain_mm - self.paired_mm
