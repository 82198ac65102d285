"""Order papers and the folder's, start_here: blocks by hand. The layout itself is no check value."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from sheets_ordered_by_hand import DAY, LONG, ORDER, PURLIN, ROLL, SHORT, WORK, line, takeoff

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.issues import Standing
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.measured import FlashingRun, FoldSection, Need
from takeoff.model.office import Letterhead, Supplier
from takeoff.model.order import HOLD, Delivery, Hold, Order
from takeoff.model.runs import CutPiece, CutPlan, RunDemand, StockBar
from takeoff.write.drawings.drawing import Drawing, Shows
from takeoff.write.papers import flashings_paper, order_papers, start_paper
from takeoff.write.papers.blocks import BODY, SMALL, Bar, Beside, Block, Column, Gap, Kind, Picture, Row, Table, Words
from takeoff.write.papers.order_tables import lines_table

RIDGE = Item("r", "Ridge", ItemKind.FLASHING, Trade.FLASHINGS, "length")
BOOT = Item("bt", "Boot", ItemKind.PIECE, Trade.FLASHINGS, "each")
SCREW = Item("sc", "Screw", ItemKind.FIXING, Trade.FIXINGS, "each")
CLAD = Item("ws", "Wall sheet", ItemKind.BOARD, Trade.CLADDING, "length", sort="wall_sheet")
TOTAL = Kind.TOTAL


def said(text: str) -> str:
    return text.replace("Underlay", "Wrap")


def house(order: Order | None = ORDER, **more: Any) -> Any:
    given = {"order": order, "issued": None, "supersedes": "", "job_hash": "abcdef0123", "gutters": ()}
    given["job"] = SimpleNamespace(job="Shed", revision="B", date=None, roofs=())
    given["settings"] = SimpleNamespace(number={"flashing_bmt_mm": 0.55}.__getitem__, values={})
    return SimpleNamespace(**{**vars(takeoff()), **given, **more})


SELLER = Supplier(name="Timber & Co. of the north-western district ü")
BESIDE = Letterhead("purlins", None, SELLER, "", None, None, ("cash",), ("purlins", "underlay"))
LINES = (
    line("p", "purlins", PURLIN, 2.0, 4800.0, 9.6, 20.0),
    line("u", "underlay", ROLL, 4.0, 0.0, 4.0),
    SHORT,
    LONG,
    line("s", "roof sheets", SCREW, 400.0, 0.0, 400.0),
    line("f", "flashings", RIDGE, 1.0, 6000.0, 6.0, 9.04),
    line("bo", "flashings", BOOT, 2.0, 0.0, 2.0),
    line("t", "flashings", SCREW, 3.0, 0.0, 3.0),
    line("w1", "rainwater", WORK, 2.0, 0.0, 2.0, labour=True),
    line("w2", "walls", WORK, 2.0, 0.0, 2.0, labour=True),
    line("w3", "walls", WORK, 2.0, 0.0, 2.0, labour=True),
    line("ws", "walls", CLAD, 2.0, 2400.0, 4.8, 0.06),
)
NUMBERS = {one.id: number for number, one in enumerate(LINES, start=1)}


def test_a_paper_a_supplier_or_a_delivery() -> None:
    """What only the mill makes and what is only labour has none."""
    order = replace(ORDER, lines=LINES, letterheads=(BESIDE, replace(BESIDE, delivery="underlay")))
    papers = order_papers.order_papers(house(order), order, said)
    names = ["order_timber_co_of_the_north_western_district", "order_roof_sheets", "order_flashings", "order_walls"]
    assert [paper.name for paper in papers] == names
    titles = ["Order: purlins and underlay", "Order: roof sheets", "Order: flashings", "Order: walls"]
    assert [paper.title for paper in papers] == titles
    first = [block for block in papers[0].blocks if isinstance(block, Bar | Words)]
    assert first == [
        Bar("Purlins"), Words("To unload: 2 pieces, longest 4.800 m, 20.0 kg of what has a mass."), Bar("Underlay"),
        Words("Terms. cash"),
    ]  # fmt: skip
    second = [block for block in papers[1].blocks if isinstance(block, Bar | Words)]
    assert second == [Words("The sheets themselves: mill order (mill_order.pdf), lines 3 to 4.", bold=True)]
    walls = [block for block in papers[3].blocks if isinstance(block, Bar | Words)]
    assert walls == [
        Bar(HOLD, strong=True), Bar("Wall sheet"),
        Words("Longest first. Cut square, tolerance +/- 5 mm unless agreed otherwise.", keep=True),
        Words("Lines 10 to 11 are labour: nothing to supply."),
        Words("To unload: 2 pieces, longest 2.400 m, 0.1 kg of what has a mass."),
    ]  # fmt: skip
    assert [one.id for one in order_papers.paper_lines(order, "walls")] == ["ws"]


@pytest.mark.parametrize(
    ("taken", "name"),
    [
        ((), "order_timber_co_of_the_north_western_district"),
        (("order_timber_co_of_the_north_western_district",), "order_purlins_own_crane"),
        (("order_timber_co_of_the_north_western_district", "order_purlins_own_crane"), "order_purlins_own_crane_2"),
    ],
)
def test_a_name_for_a_file(taken: tuple[str, ...], name: str) -> None:
    """40 letters at most, none of them a mark at the end: the 41st on is cut."""
    assert order_papers._name(BESIDE, ("purlins", "own crane"), taken) == name
    assert order_papers._name(replace(BESIDE, supplier=None), ("own crane",), ()) == "order_own_crane"
    long = replace(BESIDE, supplier=Supplier(name="a" * 39 + " bc"))
    assert order_papers._name(long, ("x",), ()) == "order_" + "a" * 39
    assert order_papers._name(replace(BESIDE, supplier=Supplier(name="é")), ("x",), ()) == "order_x"


def test_groups_of_deliveries() -> None:
    """A supplier's deliveries go together once; those of no supplier alone, whatever stands beside them."""
    alone = Letterhead("walls", None, None, "", None, None, (), ("walls", "rainwater"))
    order = replace(ORDER, lines=LINES, letterheads=(BESIDE, alone))
    assert [names for _, names in order_papers._groups(order)] == [
        ("purlins", "underlay"), ("roof sheets",), ("flashings",), ("walls",),
    ]  # fmt: skip


def test_what_waits_for_a_site_measure_stands_first() -> None:
    """Flashings wait whatever the state of the sheets; spare and clear sheets too; screws never."""
    lines = order_papers.paper_lines(replace(ORDER, lines=LINES), "flashings")
    order = replace(ORDER, lines=LINES, state=Hold.RELEASED)
    assert list(order_papers._ordinary(order, "flashings", lines, NUMBERS, said)) == [
        Bar(HOLD, strong=True),
        lines_table(lines[:2], NUMBERS, said),
        Gap(),
        Bar("Needs no site measure"),
        lines_table(lines[2:], NUMBERS, said),
        Gap(1.0),
    ]
    assert list(order_papers._ordinary(order, "other", lines, NUMBERS, said)) == [
        lines_table(lines, NUMBERS, said),
        Gap(1.0),
    ]
    held = list(order_papers._ordinary(replace(order, state=Hold.HOLD), "other", lines[:1], NUMBERS, said))
    assert held == [Bar(HOLD, strong=True), lines_table(lines[:1], NUMBERS, said), Gap()]
    kinds = [kind for kind in ItemKind if order_papers.held(replace(SHORT, of=replace(RIDGE, kind=kind)))]
    assert kinds == ["sheet", "clear sheet", "spare sheet", "flashing", "piece"]


def test_what_comes_off_the_truck() -> None:
    """13.5 m of three, none of one taken back: 48.06 shown as 48.1 kg."""
    back = replace(LONG, count=-2.0, kg=-42.86)
    none = replace(LONG, count=0.0, each_mm=9000.0)
    assert list(order_papers._unloading(ORDER, "x", (SHORT, back, none))) == [
        Words("To unload: 3 pieces, longest 4.500 m, 48.1 kg of what has a mass.")
    ]
    assert list(order_papers._unloading(ORDER, "x", (replace(DAY, count=0.5),))) == [
        Words("To unload: 0.5 pieces, longest 3.000 m.")
    ]
    assert list(order_papers._unloading(ORDER, "x", (replace(SHORT, count=1.0, each_mm=1.0, kg=1.0),))) == [
        Words("To unload: 1 piece, longest 0.001 m, 1.0 kg of what has a mass.")
    ]
    assert list(order_papers._unloading(ORDER, "x", (back, replace(SHORT, each_mm=0.0)))) == []


def test_labour_and_sheets_are_told_by_their_lines() -> None:
    order = replace(ORDER, lines=LINES)
    assert list(order_papers._labour(order, "rainwater", NUMBERS)) == [Words("Line 9 is labour: nothing to supply.")]
    assert list(order_papers._labour(order, "walls", {"w3": 7})) == [Words("Line 7 is labour: nothing to supply.")]
    assert list(order_papers._labour(order, "walls", {})) == []
    assert list(order_papers._elsewhere(order, "roof sheets", {"b": 7, "s": 1})) == [
        Words("The sheets themselves: mill order (mill_order.pdf), line 7.", bold=True), Gap(1.0),
    ]  # fmt: skip
    assert list(order_papers._elsewhere(order, "roof sheets", {})) == []
    assert list(order_papers._elsewhere(order, "walls", NUMBERS)) == []


# ------------------------------------------------------------------- the folder

SECTION = FoldSection("ridge", "Ridge", (), (("wing", 150),), (130.25,), 300, 1, 0, "top", 0)
RUN = FlashingRun("F1", "ridge\t1", EdgeKind.RIDGE, "ridge", 4000.4, 149.6, 210.2, 322.0, 5, 130.25, "le\tft", SHORT.working)  # fmt: skip
RUNS = (
    replace(RUN, item="r1", section=SECTION),
    replace(RUN, run="F2", lap_from="Underlay\t"),
    replace(RUN, run="F3", item="r1"),
)


def test_the_folding_schedule() -> None:
    """4000 + 150 + 210; of the second drawing the first part is the section of the one item that has one."""
    plain = Drawing("a", "A", 10, (100.0, 50.0), (0.0, 0.0), (), of=Shows.SECTIONS)
    drawn = replace(plain, parts_mm=((0.0, 0.0, 9.0, 9.0), (9.0, 0.0, 18.0, 9.0)))
    pieces = (CutPiece("a", "F1", 0.0, 3000), CutPiece("b", "F1", 2800.0, 1360))
    bars = (StockBar("r1", 1, 6000, pieces), StockBar("r1", 2, 4000, pieces[:1]), StockBar("r1", 3, 6000, pieces))
    plan = CutPlan("r1", bars, 0, 16_000, 0.0, 0.0, site_bars=(StockBar("r1", 4, 5000, pieces[1:], "back\tshed"),))
    need = Need("flashings", (), (RunDemand("F1", "r1", 1.0),))
    order = replace(ORDER, plans=(plan,), letterheads=())
    job = house(
        order,
        roofing=SimpleNamespace(flashings=RUNS, needs=(need,), groups=()),
        rainwater=SimpleNamespace(needs=()),
        cladding=SimpleNamespace(needs=()),
        items={"r1": RIDGE},
    )
    paper = flashings_paper.flashings_paper(job, order, (replace(drawn, of=Shows.ROOF), plain, drawn), said)
    assert paper is not None
    assert (paper.name, paper.title, paper.banner) == ("flashings", "Folding schedule", HOLD)
    bought = (
        Column("buy", right=True, bold=True), Column("length mm", right=True, bold=True),
        Column("cut into, mm", share=1.0), Column("from", least_mm=20.0), Column("folded", boxed=True, least_mm=18.0),
    )  # fmt: skip
    runs = (
        Column("run", bold=True), Column("edge"), Column("what", share=1.0), Column("net mm", right=True),
        Column("dressing low", right=True), Column("dressing high", right=True), Column("run mm", right=True, bold=True),
        Column("angle", right=True), Column("hand"), Column("pieces mm", share=1.3),
    )  # fmt: skip
    tail = ("4000", "150", "210", "4360", "130.3°", "le ft")
    box = "____________"
    begin = paper.blocks.index(Bar("Ridge"))
    assert paper.blocks[begin:] == (
        Bar("Ridge"),
        Picture(drawn, (0.0, 0.0, 9.0, 9.0), 58.0),
        Words(
            "Girth 300, 1 fold, no hem. Legs, left to right: wing 150. Included angles: 130.3 degrees. Colour side: top.",
            SMALL, keep=True,
        ),
        Table(bought, (
            Row(("1", "5000", "1360", "site back shed", "")),
            Row(("2", "6000", "3000 + 1360", "", "")),
            Row(("1", "4000", "3000", "", "")),
            Row(("3", "", "lengths bought, 16.00 m", "", ""), TOTAL),
        ), SMALL),
        Table(runs, (
            Row(("F1", "ridge 1", "ridge", *tail, "3000 + 3000 + 3000 + 1360 + 1360 + 1360")),
            Row(("F3", "ridge 1", "ridge", *tail, "")),
        ), SMALL),
        Gap(3.0),
        Bar("ridge"),
        Words(f"Thickness: 0.55 mm base metal   Grade: {box}   Coating: {box}   Colour: {box}", SMALL, keep=True),
        Table(runs, (Row(("F2", "ridge 1", "lap from Wrap", *tail, "")),), SMALL),
        Gap(3.0),
    )  # fmt: skip
    assert list(flashings_paper._bought(replace(plan, bars=(), site_bars=()))) == []
    only = list(flashings_paper._bought(replace(plan, bars=(), bought_mm=0)))
    assert isinstance(only[0], Table)
    assert only[0].rows[1] == Row(("0", "", "lengths bought, 0.00 m", "", ""), TOTAL)
    job.roofing.flashings = ()
    assert flashings_paper.flashings_paper(job, order, (), said) is None


# ------------------------------------------------------------------- start here

TWO = (Column("", bold=True), Column("", share=1.0))


def test_totals_of_the_house() -> None:
    """12.345 + 6 m2 on the slope; 4.5 + 2.5 m2 of walls."""
    planes = [SimpleNamespace(area_mm2=area, plan_area_mm2=plan) for area, plan in ((12.345e6, 11e6), (6e6, 5.5e6))]
    roofs = (SimpleNamespace(name="ma\tin", planes=planes), SimpleNamespace(name="b", planes=planes[1:]))
    walls = SimpleNamespace(boards=[SimpleNamespace(net_mm2=area) for area in (4.5e6, 2.5e6)])
    order = replace(ORDER, prices=SimpleNamespace(total=1234.5, currency="cro\twns"))  # type: ignore[arg-type]
    rows = [
        ("Roof ma in", "2 planes, 18.35 m2 on the slope, 16.50 m2 in plan"),
        ("Roof b", "1 plane, 6.00 m2 on the slope, 5.50 m2 in plan"),
        ("Roof sheets", "28.54 m bought, 91.0 kg"),
        ("Walls", "7.00 m2 of cladding, net of openings"),
        ("At your rates", "1,234.50 cro wns"),
    ]

    def table(*which: int) -> Table:
        return Table(TWO, tuple(Row(rows[n]) for n in which), BODY)

    assert start_paper._totals(house(order, roofs=roofs, cladding=walls)) == table(0, 1, 2, 3, 4)
    bare = replace(ORDER, sheets_bought_m=0.0)
    none = SimpleNamespace(boards=())
    assert start_paper._totals(house(bare, roofs=roofs, cladding=none)) == table(0, 1)
    assert start_paper._totals(house(None, roofs=roofs, cladding=walls)) == table(0, 1, 3)
    one = start_paper._totals(house(replace(ORDER, sheets_bought_m=1.0, sheets_kg=0.0), roofs=(), cladding=none))
    assert one.rows == (Row(("Roof sheets", "1.00 m bought, 0.0 kg")),)
    small = SimpleNamespace(boards=[SimpleNamespace(net_mm2=1e6)])
    assert start_paper._totals(house(None, roofs=(), cladding=small)).rows[0].cells[1].startswith("1.00 m2")


def test_what_is_open_gravest_first() -> None:
    warn = Finding("w", Severity.WARN, "close to ground", "Keep 175 mm.", ("wall 1", "wall\t2"))
    stop = Finding("s", Severity.STOP, "too flat")
    notes = tuple(Finding("n", severity, f"{severity}") for severity in (Severity.NOTE, Severity.FIXED, Severity.NOTE))
    job = house(findings=(warn, stop, warn, replace(warn, text="Underlay"), *notes))
    rows = [
        ("STOP", "too flat "),
        ("WARNING", "close to ground Keep 175 mm. (wall 1, wall 2)"),
        ("WARNING", "Wrap Keep 175 mm. (wall 1, wall 2)"),
        ("", "and 1 more: sheet Checks of the workbook"),
        ("HOLD", "roof sheets: tape the frame (boxes in site.pdf), then release"),
        ("notes", "2 notes in the sheet Checks of the workbook"),
    ]

    def open_(job: Any, most: int) -> tuple[tuple[str, ...], ...]:
        bar, table = start_paper._open(job, said, most)
        assert bar == Bar("What is open")
        assert isinstance(table, Table)
        assert table == Table(TWO, table.rows, BODY)
        return tuple(tuple(cell.rstrip() for cell in row.cells) for row in table.rows)

    stripped = [tuple(cell.rstrip() for cell in row) for row in rows]
    assert open_(job, 3) == (*stripped[:3], *stripped[4:])
    assert open_(job, 2) == (*stripped[:2], *stripped[3:])
    assert open_(house(None), 2) == (("", "Nothing."),)


def test_what_comes_and_what_goes_to_whom(monkeypatch: pytest.MonkeyPatch) -> None:
    deliveries = (Delivery("purlins", 2, 3.5, 5400.4, 23.1, 0), Delivery("roof sheets", 3, 0.0, 0.0, 0.0, 1, 2),
                  Delivery("walls", 1, 1.0, 1.0, 1.0, 0, 1))  # fmt: skip
    columns = (
        Column("delivery", share=1.0, bold=True), Column("lines", right=True), Column("pieces", right=True),
        Column("longest mm", right=True), Column("kg", right=True), Column("packs of sheets", right=True),
    )  # fmt: skip
    table = Table(columns, (
        Row(("1. purlins", "2", "3.5", "5400", "23.1", "")),
        Row(("2. roof sheets", "3", "", "", "", "2")),
        Row(("3. walls", "1", "1", "1", "1.0", "1")),
    ), BODY)  # fmt: skip
    order = replace(ORDER, deliveries=deliveries)
    assert start_paper._comes(house(order), order) == (Bar("What comes"), table)
    standing = Standing((), (1,))
    assert start_paper._comes(house(order, issued=standing), order) == (Bar("What comes"), table)
    issued = start_paper._comes(house(order, issued=replace(standing, issuing=1, issuing_of=("walls",))), order)
    assert issued[0] == Bar("What issue 1 brings")
    names = ("start_here.pdf", "office.pdf", "order_a.pdf", "plan.svg", "b.dxf", "c.svg", "takeoff.json")
    assert start_paper._whom(names) == Table(
        (Column("file", bold=True), Column("goes to"), Column("holds", share=1.0)),
        (
            Row(("office.pdf", "the office", "checks, basis of every figure, cautions")),
            Row(("order_a.pdf", "the supplier", "what he sells of this order")),
            Row(("takeoff.json", "programs", "everything, with the working of every figure")),
        ),
        BODY,
    )
    assert list(start_paper._others(names)) == [Words("2 files *.svg: plan, c", SMALL), Words("1 file *.dxf: b", SMALL)]


@pytest.mark.parametrize(("pages", "made"), [(1, [(12, 78.0)]), (3, [(12, 78.0), (10, 60.0), (7, 50.0)])])
def test_as_many_findings_as_one_page_holds(monkeypatch: pytest.MonkeyPatch, pages: int, made: list[Any]) -> None:
    """Tried from the most down until all stands on one page, the last of seven whatever it takes."""
    tried: list[Any] = []

    def paper(job: Any, view: Any, names: Any, said: Any, most: int, high: float) -> Any:
        tried.append((most, high))
        return len(tried)

    monkeypatch.setattr(start_paper, "_paper", paper)
    monkeypatch.setattr(start_paper, "pages_of", lambda shown: [0] * (1 if shown >= pages else 2))
    assert start_paper.start_paper(house(), None, (), said) == len(made)
    assert tried == made
    tried.clear()
    monkeypatch.setattr(start_paper, "pages_of", lambda shown: [0, 0])
    start_paper.start_paper(house(), None, (), said)
    assert tried == [(12, 78.0), (10, 60.0), (7, 50.0), (4, 40.0), (2, 30.0), (1, 24.0), (0, 16.0)]


def test_the_first_page_from_its_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the house's picture, drawn 1 : 100 on 200 x 100 mm, the 9 mm at its foot are left off."""
    view = Drawing("v", "V", 100, (200.0, 100.0), (-1000.0, 500.0), ())
    picture = Picture(view, (-1000.0, 1400.0, 19000.0, 10500.0), 40.0)
    assert start_paper._house(view, 40.0) == picture
    for name in ("_totals", "_whom", "_comes", "_others", "_open"):
        words = Words(name)
        many = name in ("_comes", "_others", "_open")
        monkeypatch.setattr(start_paper, name, lambda *given, one=words, many=many: (one,) if many else one)
    paper = start_paper._paper(house(), view, ("a",), said, 3, 40.0)
    goes: list[Block] = [Bar("What goes to whom"), Words("_whom"), Gap(1.0), Words("_others")]
    comes: list[Block] = [Words("_comes"), Gap()]
    both = Beside(((Words("_totals"),), (picture,)), (68.0, 112.0))
    assert paper.blocks == (both, Words("_open"), Gap(), *comes, *goes)
    assert (paper.name, paper.title, paper.banner) == ("start_here", "Start here", "")
    stopped = start_paper._paper(house(None), None, ("a",), said, 3, 40.0)
    assert stopped.blocks == (Beside(((Words("_totals"),),)), Words("_open"), Gap(), *goes)
    assert (stopped.title, stopped.banner) == ("Start here: stopped", "NOT AN ORDER: STOPPED BY A FINDING")
