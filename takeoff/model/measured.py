"""What the measure stages hand to the order: placed sheets, runs, gutters, boards and plain quantities."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import DownpipePlan, GutterRun
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding
from takeoff.model.items import Made
from takeoff.model.openings import Hole
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.sheets import PlaneSheets, SheetGroup
from takeoff.model.walls import WallBoards, WallJunction


@record
class PurlinLine:
    """One straight line of purlin, trimmer or valley board on a plane, in plane axes [mm]. `run` is its RunDemand's
    id."""

    run: str
    plane: str
    role: str  # purlin, eave, ridge, head, hip trimmer, valley board, hole trimmer, outrigger
    row: int
    a_uv: Point2
    b_uv: Point2


@record
class RoofScrews:
    """Screws of a full sheet on rows at its ends and on those between, the pattern in a roofer's words, the terms
    behind it, and the widest bay it was read for [mm]."""

    end: int
    between: int
    words: str
    terms: tuple[Term, ...]
    span_mm: float = 0.0


@record
class PlaneScrews:
    """The screws of one plane's sheets: the pattern in words, what a full sheet has on rows at its ends and between,
    the length of a screw [mm], and how many go into each row of timber by its name, lowest first."""

    plane: str
    pattern: str
    end: int
    between: int
    length_mm: int
    rows: tuple[tuple[str, int], ...]


@record
class FoldSection:
    """Cross-section of a folded flashing, for a sketch and the folder's schedule.

    `points_mm`: the section as a line, left to right looking up the run (along a level run: from outside the first
    plane), x right and y up, least x and y 0; hems are drawn slightly open. `legs`: name and length [mm] of each leg in
    that order; `angles_deg`: included angle of each fold between following legs, 0 for a hem. `girth_mm` is the sum of
    the legs. `colour_side` is the face that is seen; `soft_edges` counts edges dressed into the sheet's profile.
    `hand`: the hand it is drawn for, "" where both are alike; `handed`: why it cannot be turned end for end into the
    other hand, "" where it can.
    """

    item: str
    name: str
    points_mm: Ring2
    legs: tuple[tuple[str, int], ...]
    angles_deg: tuple[float, ...]
    girth_mm: int
    folds: int
    hems: int
    colour_side: str
    soft_edges: int
    hand: str = ""
    handed: str = ""


@record
class FlashingRun:
    """One flashing along one roof edge: its net length, dressings at both ends, and its section.

    `item` is what its RunDemand is cut from: one item for each section, of both hands where one is the other turned.
    `lap_from` says where lapping starts, `stock_mm` the length it is bought in, `way` which way its main fold goes
    where it may go either way.
    """

    run: str
    edge: str
    kind: EdgeKind
    flashing: str
    net_mm: float
    dress_a_mm: float
    dress_b_mm: float
    girth_mm: float
    folds: int
    between_deg: float
    hand: str  # "left", "right" or ""
    working: Working
    item: str = ""
    section: FoldSection | None = None
    lap_from: str = ""
    stock_mm: int = 0
    way: str = ""  # "convex", "hollow" or ""
    ribbed: bool = False  # notched over ribs, not dressed into corrugate


@record
class Need:
    """What one trade needs: quantities bought as they are, runs to be cut from stock, and what may be bought for each
    item.

    `trade` is one of model/items.Trade.
    """

    trade: str
    quantities: tuple[Quantity, ...] = ()
    demands: tuple[RunDemand, ...] = ()
    stock: tuple[StockChoice, ...] = ()
    items: tuple[Made, ...] = ()  # items that go by no standing id: made to measure, or of a product that was chosen
    findings: tuple[Finding, ...] = ()


@record
class Meeting:
    """Two flashings that end at one node: what joins them there (pieces at that node), or why nothing need."""

    node: str
    edges: tuple[str, str]
    pieces: tuple[str, ...]
    reason: str = ""


@record
class RoofingMeasured:
    """Everything measured on the roof planes."""

    sheets: tuple[PlaneSheets, ...]
    purlins: tuple[PurlinLine, ...]
    flashings: tuple[FlashingRun, ...]
    needs: tuple[Need, ...]
    groups: tuple[SheetGroup, ...] = ()
    holes: tuple[Hole, ...] = ()
    screws: tuple[PlaneScrews, ...] = ()
    meetings: tuple[Meeting, ...] = ()
    used: tuple[str, ...] = ()  # settings asked for


@record
class RainwaterMeasured:
    """Gutters with their downpipes, and the roof catchment."""

    gutters: tuple[GutterRun, ...]
    downpipes: tuple[DownpipePlan, ...]
    catchment: tuple[Quantity, ...]
    needs: tuple[Need, ...]
    used: tuple[str, ...] = ()  # settings asked for


@record
class BattenLine:
    """One cavity batten on a wall, in wall axes [mm]."""

    wall: int
    a_xy: Point2
    b_xy: Point2
    run: str


@record
class CladdingMeasured:
    """Everything measured on the walls."""

    boards: tuple[WallBoards, ...]
    battens: tuple[BattenLine, ...]
    needs: tuple[Need, ...]
    findings: tuple[Finding, ...] = ()
    measures: tuple[Quantity, ...] = ()  # measured, not bought: wall areas, vent area at the foot of the cavity
    junctions: tuple[WallJunction, ...] = ()  # corners and lines between claddings
    used: tuple[str, ...] = ()  # settings asked for
    groups: tuple[SheetGroup, ...] = ()  # wall sheets as the mill sees them, a part of a wall a plane
