"""A takeoff made by hand for the writers' tests: a 12 x 8 m hip at 25 degrees with sheets, a flashing, a gutter, a wall.

Every figure is invented for a demonstration of layout: none is a check value of the trade.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from math import ceil, cos, hypot, radians, sin, tan

from takeoff.basics.polygons import clip_half_plane, rings_area, signed_area
from takeoff.basics.rounding import half_up, round_up_mm
from takeoff.basics.vectors import Point2, Point3, Ring2
from takeoff.model.basis import Basis, Quantity, Setting, Status, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterCorner, GutterLeg, GutterRun
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.measured import (
    BattenLine,
    CladdingMeasured,
    FlashingRun,
    FoldSection,
    Need,
    PurlinLine,
    RainwaterMeasured,
    RoofingMeasured,
)
from takeoff.model.order import Order, OrderLine, Takeoff, Used
from takeoff.model.products import Catalogue, Profile, ProfileKind
from takeoff.model.roof import Frame, Node, Roof, RoofEdge, RoofPlane
from takeoff.model.runs import CutPiece, CutPlan, RunDemand, StockBar, StockChoice
from takeoff.model.settings import Settings
from takeoff.model.sheets import BlankPart, CutShape, EndCut, PlaneSheets, SheetBlank, SheetPiece
from takeoff.model.walls import BoardPiece, Corner, Elevation, Opening, WallBoards
from takeoff.read.catalogue import default_settings

PITCH = radians(25)
LONG, WIDE, FASCIA = 12000.0, 8000.0, 2450.0
SLOPE = WIDE / 2 / cos(PITCH)
TOP = FASCIA + WIDE / 2 * tan(PITCH)
COVER, OVERALL = 762.0, 845.0
CUSTOM = Basis(Status.COMMON_PRACTICE)
SEEN = Basis(Status.SEEN, source="A roofing code", clause="3.1", holds="corrugated profiles")
WORKING = Working("reach + raked allowance, rounded up", (Term("raked_allowance_mm", 50.0, "mm", CUSTOM),))
CORNERS: tuple[Point2, ...] = ((0.0, 0.0), (LONG, 0.0), (LONG, WIDE), (0.0, WIDE))

SHEET = Item(
    "sheet corrugated", "Corrugated 0.40", ItemKind.SHEET, Trade.ROOFING, "length", product="corrugated",
    family="sheet corrugated",
)  # fmt: skip
ITEMS = {
    item.id: item
    for item in (
        Item("timber_70x45", "Purlin 70 x 45", ItemKind.TIMBER, Trade.PURLINS, "length"),
        Item("underlay", "Underlay roll 1.35 x 37", ItemKind.ROLL, Trade.UNDERLAY, "roll"),
        Item("ridge_roll", "Ridge roll", ItemKind.FLASHING, Trade.FLASHINGS, "length"),
        Item("bracket", "Bracket", ItemKind.FITTING, Trade.RAINWATER, "each"),
        Item("bevel_187", "Bevel-back 187", ItemKind.BOARD, Trade.CLADDING, "length"),
        SHEET,
    )
}


def _plane(number: int) -> RoofPlane:
    a, b = CORNERS[number - 1], CORNERS[number % 4]
    width = hypot(b[0] - a[0], b[1] - a[1])
    ux, uy = (b[0] - a[0]) / width, (b[1] - a[1]) / width
    frame = Frame(
        (*a, FASCIA),
        (ux, uy, 0.0),
        (-uy * cos(PITCH), ux * cos(PITCH), sin(PITCH)),
        (uy * sin(PITCH), -ux * sin(PITCH), cos(PITCH)),
    )
    half = WIDE / 2
    ring: Ring2 = ((0.0, 0.0), (width, 0.0), (width - half, SLOPE), (half, SLOPE))
    if number % 2 == 0:
        ring = ring[:3]
    area = rings_area((ring,))
    bearing = (180.0, 90.0, 0.0, 270.0)[number - 1]
    return RoofPlane(f"P{number}", "main", frame, (ring,), (number,), 1, 25.0, bearing, area, area * cos(PITCH), FASCIA)


def _edge(name: str, kind: EdgeKind, a: Point3, b: Point3, faces: tuple[str, ...], typed: int = 0) -> RoofEdge:
    plan = hypot(b[0] - a[0], b[1] - a[1])
    return RoofEdge(
        name, "main", kind, "N1", "N2", a, b, faces, hypot(plan, b[2] - a[2]), plan,
        0.0, 145.0 if len(faces) == 2 else 180.0, True, (typed,) if typed else (),
    )  # fmt: skip


def _edges() -> tuple[RoofEdge, ...]:
    corner = [(*point, FASCIA) for point in CORNERS]
    west, east = (WIDE / 2, WIDE / 2, TOP), (LONG - WIDE / 2, WIDE / 2, TOP)
    eaves = [
        _edge(f"eave {i + 1}", EdgeKind.EAVE, corner[i], corner[(i + 1) % 4], (f"P{i + 1}",), i + 1) for i in range(4)
    ]
    hips = [
        _edge(f"hip {i + 1}", EdgeKind.HIP, corner[i], top, (f"P{(i + 3) % 4 + 1}", f"P{i + 1}"))
        for i, top in enumerate((west, east, east, west))
    ]
    return (*eaves, _edge("ridge 1", EdgeKind.RIDGE, west, east, ("P3", "P1")), *hips)


def roof() -> Roof:
    """The hip roof."""
    return Roof(
        "main", (0.0, 0.0, 0.0), (CORNERS,), (((600.0, 600.0), (11400.0, 600.0), (11400.0, 7400.0), (600.0, 7400.0)),),
        ("eave",) * 4, tuple(_plane(n) for n in (1, 2, 3, 4)), (), _edges(), (Node("N1", (*CORNERS[0], FASCIA), ()),),
    )  # fmt: skip


def _rake(left: float, right: float) -> EndCut:
    if abs(left - right) < 1.0:
        return EndCut(CutShape.SQUARE, ("ridge 1",))
    return EndCut(CutShape.RAKED, ("hip 1",), 47.8, "left" if left > right else "right")


def sheets(plane: RoofPlane) -> PlaneSheets:
    """Strips of a plane from its left end, the foot 50 mm past the eave."""
    ring = plane.rings_uv[0]
    width = ring[1][0]
    count = ceil((width - (OVERALL - COVER)) / COVER)

    def top(u: float) -> float:
        return max(0.0, min(SLOPE, SLOPE * u / (WIDE / 2), SLOPE * (width - u) / (WIDE / 2)))

    pieces = []
    for strip in range(1, count + 1):
        low, high = (strip - 1) * COVER, min(width, (strip - 1) * COVER + OVERALL)
        cut = clip_half_plane(clip_half_plane(ring, 1, 0, high), -1, 0, -low)
        outline = tuple((u, -50.0 if v < 1.0 else v) for u, v in cut)
        reach = max(v for _, v in outline) + 50.0
        left, right = top(low) + 50.0, top(high) + 50.0
        end = _rake(left, right)
        order = round_up_mm(reach + (0.0 if end.shape is CutShape.SQUARE else 50.0), 10.0)
        mark = f"{plane.id}.{strip:02d}"
        pieces.append(
            SheetPiece(
                mark, plane.id, strip, 1, 0, "corrugated", "left", "right", outline, (outline,), reach, order, left,
                right, -50.0, EndCut(CutShape.SQUARE, ("eave 1",)), end, 0.0, WORKING,
            )
        )  # fmt: skip
    area = sum(abs(signed_area(piece.outline_uv)) for piece in pieces)
    return PlaneSheets(
        plane.id, "corrugated", "left", 0.0, "square off the eave at the left end", "right", COVER, OVERALL, COVER,
        (ring,), area, tuple(pieces), 2.6, WORKING,
    )  # fmt: skip


def _purlins() -> tuple[tuple[PurlinLine, ...], Need, CutPlan]:
    rows = [50.0, 950.0, 1850.0, 2750.0]
    lines, demands, bars = [], [], []
    for row, v in enumerate(rows, 1):
        inset = v * (WIDE / 2) / SLOPE
        length = LONG - 2 * inset
        lines.append(PurlinLine(f"PU{row}", "P1", "purlin", row, (inset, v), (LONG - inset, v)))
        demands.append(RunDemand(f"PU{row}", "timber_70x45", length, (5400.0,), refs=("P1",)))
        first = CutPiece(f"PU{row}a", f"PU{row}", 0.0, 5400, ("P1",))
        second = CutPiece(f"PU{row}b", f"PU{row}", 5400.0, ceil(length) - 5400, ("P1",))
        bars.append(StockBar("timber_70x45", 2 * row - 1, 5400, (first,)))
        bars.append(StockBar("timber_70x45", 2 * row, 6600, (second,)))
    placed = sum(demand.length_mm for demand in demands)
    stock = StockChoice("timber_70x45", (5400, 6600))
    need = Need("purlins", (), tuple(demands), (stock,))
    return tuple(lines), need, CutPlan("timber_70x45", tuple(bars), 45000, 48000, placed, 0.0, "duals, rounded down")


def _flashing(edge: RoofEdge) -> tuple[FlashingRun, Need, CutPlan]:
    length = edge.length_mm + 300.0
    run = FlashingRun(
        "F1",
        edge.id,
        EdgeKind.RIDGE,
        "ridge_roll",
        edge.length_mm,
        150.0,
        150.0,
        450.0,
        5,
        edge.between_deg,
        "",
        WORKING,
    )
    section = FoldSection(
        "ridge_roll", "Ridge roll", ((0.0, 0.0), (150.0, 70.0), (300.0, 0.0)), (("wing", 166), ("wing", 166)), (130.0,),
        332, 1, 0, "top", 2,
    )  # fmt: skip
    run = replace(run, item="ridge_roll", section=section)
    demand = RunDemand("F1", "ridge_roll", length, None, 150.0, refs=(edge.id,))
    pieces = (CutPiece("F1.1", "F1", 0.0, ceil(length), (edge.id,)),)
    need = Need("flashings", (), (demand,), (StockChoice("ridge_roll", (6000,)),))
    bar = StockBar("ridge_roll", 1, 6000, pieces)
    return run, need, CutPlan("ridge_roll", (bar,), 6000, 6000, length, 0.0, "one piece, one length")


def _rainwater() -> RainwaterMeasured:
    legs = tuple(
        GutterLeg(f"eave {i + 1}", (i + 1,), (*CORNERS[i], FASCIA), (*CORNERS[(i + 1) % 4], FASCIA), length, 24e6)
        for i, length in enumerate((LONG, WIDE, LONG, WIDE))
    )
    corners = tuple(GutterCorner("external", 90.0, (*point, FASCIA)) for point in CORNERS)
    run = GutterRun("G1", "main", legs, corners, True, 96e6, 25.0)
    pipes = tuple(
        Downpipe(f"D{i + 1}", "G1", (*CORNERS[k], FASCIA), along, 2400.0, 48e6)
        for i, (k, along) in enumerate(((0, 0.0), (2, 20000.0)))
    )
    limits = (("gutter length per outlet", 2), ("area per outlet", 2))
    plan = DownpipePlan("G1", "e1_as1", 2, "gutter length per outlet", limits, pipes, WORKING)
    need = Need("rainwater", (Quantity("Q1", "brackets", 34.0, "each", ("G1",), WORKING),))
    catchment = Quantity("Q2", "catchment of the roof in plan", 96.0, "m2", ("main",), WORKING)
    return RainwaterMeasured((run,), (plan,), (catchment,), (need,))


def wall() -> tuple[Elevation, CladdingMeasured, CutPlan]:
    """Wall 1, 10.8 m wide with one window, horizontal boards at 155 mm."""
    width, height, base = 10800.0, 2450.0, -50.0
    outline: Ring2 = ((0.0, base), (width, base), (width, height), (0.0, height))
    window = Opening("W1", 2400.0, 900.0, 1800.0, 1200.0)
    corner = Corner("external", 90.0)
    elevation = Elevation(
        "W1", 1, width, height, outline, base, (window,), corner, corner, (-200.0, -350.0), False, 180.0,
        (600.0, 600.0), (11400.0, 600.0),
    )  # fmt: skip
    pieces, bars, courses = [], [], ceil((height - base) / 155.0)
    for row in range(1, courses + 1):
        low, high = base + (row - 1) * 155.0, min(height, base + row * 155.0)
        inside = low >= window.sill_mm and high <= window.head_mm
        spans = ((0.0, 2400.0), (4200.0, width)) if inside else ((0.0, width),)
        for part, (a, b) in enumerate(spans, 1):
            ring = ((a, low), (b, low), (b, high), (a, high))
            name = f"B1.{row:02d}.{part}"
            pieces.append(BoardPiece(name, 1, "zone 1", row, ring, b - a))
            bars.append(StockBar("bevel_187", len(bars) + 1, 12000, (CutPiece(name + "a", name, 0.0, ceil(b - a)),)))
    marks = tuple(base + row * 155.0 for row in range(courses))
    net = (width * (height - base) - 1800.0 * 1200.0, width * (height - base))
    boards = WallBoards(
        1, "zone 1", "horizontal", "bevel_187", 155.0, 187.0, courses, net[0], net[1], tuple(pieces), marks, WORKING
    )
    demands = tuple(RunDemand(piece.id, "bevel_187", piece.length_mm) for piece in pieces)
    need = Need("cladding", (), demands, (StockChoice("bevel_187", (12000,)),))
    battens = tuple(BattenLine(1, (x, base), (x, height), f"BT{i}") for i, x in enumerate(range(0, 10801, 600)))
    bought = sum(bar.stock_mm for bar in bars)
    plan = CutPlan("bevel_187", tuple(bars), bought, bought, sum(p.length_mm for p in pieces), 0.0, "by hand")
    return elevation, CladdingMeasured((boards,), battens, (need,)), plan


def _sheet_lines(planes: tuple[PlaneSheets, ...]) -> tuple[OrderLine, ...]:
    counts: dict[float, list[str]] = {}
    for plane in planes:
        for piece in plane.pieces:
            counts.setdefault(piece.order_mm, []).append(piece.mark)
    return tuple(
        OrderLine(
            f"sheets-{length:.0f}", "roof sheets", SHEET, len(marks), "each", length,
            half_up(len(marks) * length / 1000.0, 3), "m", half_up(len(marks) * length / 1000.0 * 3.7, 1),
            tuple(marks), WORKING,
        )
        for length, marks in sorted(counts.items(), reverse=True)
    )  # fmt: skip


def _order(planes: tuple[PlaneSheets, ...], plans: tuple[CutPlan, ...]) -> Order:
    pieces = [piece for plane in planes for piece in plane.pieces]
    blanks = tuple(
        SheetBlank(f"S{i + 1}", "corrugated", piece.order_mm, (BlankPart(piece.mark, 0.0, False),))
        for i, piece in enumerate(pieces)
    )
    metres = half_up(sum(piece.order_mm for piece in pieces) / 1000.0, 2)
    lines = [
        OrderLine("pu-5400", "purlins", ITEMS["timber_70x45"], 4, "each", 5400.0, 21.6, "m", 0.0, (), WORKING),
        OrderLine("pu-6600", "purlins", ITEMS["timber_70x45"], 4, "each", 6600.0, 26.4, "m", 0.0, (), WORKING),
        OrderLine("ul", "underlay", ITEMS["underlay"], 3, "roll", 0.0, 3, "roll", 0.0, (), WORKING),
        *_sheet_lines(planes),
        OrderLine("fl", "flashings", ITEMS["ridge_roll"], 1, "each", 6000.0, 6.0, "m", 9.0, ("F1",), WORKING),
        OrderLine("br", "rainwater", ITEMS["bracket"], 34, "each", 0.0, 34, "each", 0.0, ("G1",), WORKING),
        OrderLine("bb", "walls", ITEMS["bevel_187"], 24, "each", 12000.0, 288.0, "m", 0.0, (), WORKING, "primed"),
    ]
    net = half_up(sum(plane.net_mm2 for plane in planes) / 1e6, 2)
    kg = half_up(sum(line.kg for line in lines if line.delivery == "roof sheets"), 1)
    return Order(tuple(lines), blanks, plans, metres, half_up(metres * COVER / 1000.0, 2), net, kg)


def _profile() -> Profile:
    bases = {"*": CUSTOM, "cover_mm": SEEN}
    return Profile(
        "corrugated",
        "Corrugated",
        ProfileKind.CORRUGATED,
        COVER,
        OVERALL,
        76.0,
        17.0,
        True,
        940.0,
        {0.4: 3.7},
        bases,
        8.0,
        10.0,
    )


def takeoff() -> Takeoff:
    """The whole hand-made takeoff."""
    shape = roof()
    planes = tuple(sheets(plane) for plane in shape.planes)
    purlins, purlin_need, purlin_plan = _purlins()
    flashing, flashing_need, flashing_plan = _flashing(next(e for e in shape.edges if e.kind is EdgeKind.RIDGE))
    elevation, cladding, board_plan = wall()
    job = Job(
        job="Orchard house <A> & shed", revision="B", date=datetime.date(2026, 3, 2),
        roofs=[RoofJob(outline=list(CORNERS), pitch_deg=25.0, fascia_height_mm=FASCIA)],
    )  # fmt: skip
    findings = (
        Finding("ground-close", Severity.WARN, "cladding is 150 mm above ground", "Keep 175 mm.", ("wall 1",)),
        Finding("movement", Severity.NOTE, "sheets of P1 move 2.6 mm", refs=("P1",)),
    )
    areas = tuple(
        Quantity(f"area-{plane.id}", "true area", half_up(plane.area_mm2 / 1e6, 2), "m2", (plane.id,), WORKING)
        for plane in shape.planes
    )
    setting = Setting("raked_allowance_mm", 50.0, "mm", CUSTOM, "added to a sheet that is cut on the rake")
    return Takeoff(
        job=job,
        job_hash="0" * 64,
        settings=Settings({**default_settings(), setting.name: setting}),
        catalogue=Catalogue({"corrugated": _profile()}, {}, {}, {}, {}, {}, {}),
        roofs=(shape,),
        elevations=(elevation,),
        roofing=RoofingMeasured(planes, purlins, (flashing,), (purlin_need, flashing_need)),
        rainwater=_rainwater(),
        cladding=cladding,
        measures=areas,
        order=_order(planes, (purlin_plan, flashing_plan, board_plan)),
        findings=findings,
        used_before=(Used("shape", ("raked_allowance_mm",)),),
        items=ITEMS,
    )


def stopped() -> Takeoff:
    """The same, stopped by a finding placed on the roof."""
    stop = Finding(
        "pitch-below-least", Severity.STOP, "P2 is laid at 5 degrees", "Make it 8 degrees or more.", ("P2",),
        (10000.0, 4000.0, 3000.0), "job.yaml:12:3",
    )  # fmt: skip
    return replace(takeoff(), order=None, findings=(stop,))
