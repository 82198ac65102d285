"""The sheets Cutting list and Pack list: every cell by hand. The layout itself is no check value."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from cut_sheets_by_hand import RAKE, SQUARE, WORKING, piece, plane
from rows_by_hand import Rows

from takeoff.model.bought_lengths import Bought
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.openings import Hole, HoleInSheet
from takeoff.model.order import Order, Pack, PackedSheet
from takeoff.model.sheets import BlankPart, PairPlan, PlaneSheets, RakedPair, SheetBlank, SheetPiece
from takeoff.model.supplied import SiteMeasure
from takeoff.write.workbook import workbook_cutting, workbook_packs
from takeoff.write.workbook.workbook_grid import Column
from takeoff.write.workbook.workbook_page import Formula

PLAIN, RAKED = piece("P1.01"), piece("P1.02", top=RAKE, left_mm=4000.0, right_mm=3200.0, long_point_mm=(12.6, 3999.6))
SHEETS = PlaneSheets(
    "P1", "corru\tgated", "left", 0.0, "left\tedge", "right", 762.4, 845.0, 762.4, (), 0.0, (PLAIN, RAKED), 2.64, WORKING
)  # fmt: skip


@pytest.mark.parametrize(
    ("of", "bought", "cells"),
    [
        (PLAIN, Bought(4500.0), ("P1.01", 1, 4500.0, 4000.0, 4000.0, None, None, "square", "square", None, "", "", None)),
        (PLAIN, None, ("P1.01", 1, 4010.0, 4000.0, 4000.0, None, None, "square", "square", None, "", "", None)),
        (
            RAKED,
            Bought(None, "P1.0\t9", True),
            ("P1.02", 1, None, 4000.0, 3200.0, 4000.0, 13.0, "square", "raked hip 1", 47.8, "left", "P1.0 9, turned", None),
        ),
        (
            piece("P1.03", foot=replace(RAKE, hand="right"), cut_from="P1.07"),
            Bought(None, "site rack", from_site=True),
            ("P1.03", 1, None, 4000.0, 4000.0, 0.0, 0.0, "raked hip 1", "square", 47.8, "right", "from site rack", None),
        ),
        (
            piece("P1.04", foot=replace(RAKE, rake_deg=30.0), top=replace(RAKE, rake_deg=0.0), cut_from="P1.07"),
            Bought(4010.0, turned=True),
            ("P1.04", 1, 4010.0, 4000.0, 4000.0, 0.0, 0.0, "raked hip 1", "raked hip 1", 30.0, "left", "P1.07", None),
        ),
        (
            piece("P1.05", foot=replace(SQUARE, rake_deg=30.0), left_mm=4001.0, right_mm=3999.0),
            None,
            ("P1.05", 1, 4010.0, 4001.0, 3999.0, None, None, "square", "square", None, "left", "", None),
        ),
    ],
)  # fmt: skip
def test_a_sheet_on_its_row(of: SheetPiece, bought: Bought | None, cells: tuple[Any, ...]) -> None:
    assert workbook_cutting.piece_cells(of, bought) == cells


BLANK = SheetBlank("S1", "corrugated", 5000.0, (BlankPart("P1.01", 0.0, False), BlankPart("P1.02", 940.6, True)))
PAIRS = PairPlan("corrugated", (BLANK,), (RakedPair("P1.01", "P1.02", True, 5000.0, 1.0),), 0.0, 0.0)
ORDER = Order((), (BLANK,), (), 0.0, 0.0, 0.0, 0.0, pairs=(PAIRS,))
HOLE = Hole(
    "O1", "flue\t", "main", "P1", "flue", (0.0, 0.0), 349.6, 420.4, 300.0, (0.0, 0.0, 0.0), "boot", False,
    (HoleInSheet("P1.01", 10.4, 359.6, 1000.4, 1420.6), HoleInSheet("P1.02", 0.0, 20.0, 1.0, 2.0)),
)  # fmt: skip
SIZE = "350 x 420 mm, cut on site"


def test_a_plane_with_its_sheets_pairs_clear_ones_and_holes() -> None:
    """4.5 m is bought for P1.01 and 3.6 m for P1.03, P1.02 comes out of the first, of P1.04 nothing is known: 8.1 m."""
    sheets = replace(SHEETS, pieces=(PLAIN, RAKED, piece("P1.03", clear=True), piece("P1.04", clear=True)))
    bought = {"P1.01": Bought(4500.0), "P1.02": Bought(None, "P1.01", True), "P1.03": Bought(3600.0)}
    page: Any = Rows()
    workbook_cutting._plane_block(page, plane("P1"), sheets, bought, ORDER, (HOLE,), "SCREWS: two.")
    assert page.kept == [
        ("group", "P1, south-west side: 25.0 degrees, corru gated, cover 762. LAY left to right -->"),
        ("note", "START: left edge. The right edge of each sheet lies over. Movement of the longest run 2.6 mm."),
        ("note", "SCREWS: two."),
        *(("line", *workbook_cutting.piece_cells(one, bought.get(one.mark))) for one in sheets.pieces),
        ("total", "sheets", Formula("SUM(B13:B16)", 4.0), Formula("ROUND(SUM(C13:C16)/1000,3)", 8.1), "m",
         ("mark", "count", "metres", "text")),
        ("note", "TWO OUT OF ONE LENGTH: mark both before the first cut; a wrong cut spoils two sheets."),
        ("note", "5000 mm: P1.01 as it lies from 0 mm; P1.02 turned end for end, face up, from 941 mm"),
        ("note", "CLEAR SHEETS, not to be walked on: P1.03, P1.04."),
        ("note", f"HOLE O1 flue, {SIZE}: P1.01, 1000 to 1421 from its foot, 10 to 360 from its left edge."),
        ("note", f"HOLE O1 flue, {SIZE}: P1.02, 1 to 2 from its foot, 0 to 20 from its left edge."),
    ]  # fmt: skip


def test_a_plane_of_plain_sheets_says_no_more_than_them() -> None:
    sheets = replace(SHEETS, pieces=(PLAIN,), movement_mm=0.0, over_edge="", start_side="right")
    page: Any = Rows()
    workbook_cutting._plane_block(
        page, plane("P1"), sheets, {"P1.01": Bought(4500.0)}, replace(ORDER, pairs=()), (), ""
    )
    assert page.kept[0] == ("group", "P1, south-west side: 25.0 degrees, corru gated, cover 762. LAY <-- right to left")
    assert page.kept[1] == ("note", "START: left edge.")
    assert [row[0] for row in page.kept[2:]] == ["line", "total"]
    assert workbook_cutting.hole_lines(replace(HOLE, name="O1"))[0].startswith("HOLE O1, 350")
    assert workbook_cutting.setting_out_words(replace(sheets, movement_mm=0.96)).endswith("run 1.0 mm.")
    kinked = piece("P1.09", notched=True, corners_mm=((0.0, 0.0), (845.0, 0.0), (845.0, 1000.4), (0.0, 900.0)))
    assert workbook_cutting.marking_lines(replace(SHEETS, pieces=(PLAIN, kinked))) == (
        "CUT TO POINTS. Heights are above the foot's lowest point, offsets (at) from the left edge of the uncut sheet.",
        "CUT P1.09: notched, corners in turn 0 at 0, 0 at 845, 1000 at 845, 900 at 0.",
    )


class _Grid(Rows):
    """Cells and merged cells too."""

    def __init__(self) -> None:
        super().__init__()
        self.heights: dict[int, float] = {}

    def put(self, column: int, value: Any, style: str) -> None:
        self.kept.append((self.row, column, value, style))

    def merge(self, first: int, last: int, style: str = "") -> None:
        self.kept.append((self.row, first, last, style))


SPANS = ((2, 3), (4, 5), (6, 7), (8, 8), (9, 10), (11, 13))


def test_check_dimensions_stand_in_six_spans_of_three_rows() -> None:
    """3000 up, 4000.4 across: the diagonals are 5000.3. The eave was taped 4001.6, on another plane 1 mm."""
    taped = (
        SiteMeasure("P2", "eave", 1.0),
        SiteMeasure("P1", "eave", 4001.6),
        SiteMeasure("P1", "rafter left", 2999.0),
    )
    page: Any = _Grid()
    workbook_cutting._check_rows(page, plane("P1"), (), taped)
    names = ("rafter left", "rafter right", "eave", "ridge", "diagonal, rising right", "diagonal, rising left")
    rows: list[tuple[str, tuple[Any, ...], str]] = [
        ("check", names, "heading"),
        ("frame", (3000.0, 3000.0, 4000.0, 4000.0, 5000.0, 5000.0), "length"),
        ("on site", ("2999", None, "4002", None, None, None), "blank"),
    ]
    wanted: list[Any] = []
    for row, (label, values, style) in enumerate(rows, start=10):
        wanted.append((row, 1, label, "heading"))
        for (first, last), value in zip(SPANS, values, strict=True):
            wanted += [(row, first, last, "blank")] if last > first else []
            wanted.append((row, first, value, style))
    assert page.kept == wanted
    assert page.heights == {10: 45.0, 11: 18.0, 12: 30.0}


def test_a_block_a_plane_that_has_sheets(monkeypatch: pytest.MonkeyPatch) -> None:
    def block(page: Any, of: Any, sheets: Any, bought: Any, order: Any, holes: Any, screws: str) -> None:
        page.note(f"{of.id}, {len(sheets.pieces)}, {list(bought)}, {[hole.id for hole in holes]}, {screws}")

    def check(page: Any, of: Any, edges: Any, taped: Any) -> None:
        page.note(f"{of.id}, {edges}, {taped}")

    monkeypatch.setattr(workbook_cutting, "_plane_block", block)
    monkeypatch.setattr(workbook_cutting, "_check_rows", check)
    monkeypatch.setattr(workbook_cutting, "screw_words", lambda takeoff, name: f"screws of {name}")
    roof = SimpleNamespace(planes=(plane("P1"), plane("P2"), plane("P3")), edges_of=lambda name: (f"edges of {name}",))
    known = {"P1": SHEETS, "P2": replace(SHEETS, pieces=())}
    house: Any = SimpleNamespace(
        roofs=(roof,), sheets_of=known.get, roofing=SimpleNamespace(holes=(HOLE, replace(HOLE, id="O2", plane="P2"))), site=None
    )  # fmt: skip
    page: Any = Rows()
    workbook_cutting.fill_cutting_list(page, house, ORDER)
    assert page.kept == [
        ("note", "P1, 2, ['P1.01', 'P1.02'], ['O1'], screws of P1"),
        ("gap",),
        ("note", "P1, ('edges of P1',), ()"),
        ("gap",),
    ]
    house.site = SimpleNamespace(measures=("taped",))
    page = Rows()
    workbook_cutting.fill_cutting_list(page, house, ORDER)
    assert page.kept[2] == ("note", "P1, ('edges of P1',), ('taped',)")
    known.clear()
    page = Rows()
    workbook_cutting.fill_cutting_list(page, house, ORDER)
    assert page.kept == [("note", "No sheets in this order.")]


# ------------------------------------------------------------------------ packs

STEEL = Item("s", "Corru\tgated", ItemKind.SHEET, Trade.ROOFING, "length")
CLEAR = Item("c", "Clear sheet", ItemKind.CLEAR_SHEET, Trade.ROOFING, "length")
LAID = (PackedSheet("P1.01", 4500.4, 16.6, ("P1.07", "P1.08")), PackedSheet("P1.02", 3000.0, 2.0, clear=True))
PACKS = (
    Pack("P1a", "P1", 1, 2, "corrugated", STEEL, LAID, 18.6, 500.0, 4500.4, "eave\t1", (1, 4), 180.0, (CLEAR,)),
    Pack("P2", "P\t2", 1, 1, "corrugated", None, LAID[1:], 501.5, 500.0, 3000.0, "", (2,), 222.0),
    Pack("P3", "P3", 2, 2, "corrugated", STEEL, LAID[:1], 16.6, 500.0, 4500.4, "eave 3", (), 90.0),
)
WHERE = (
    "south side, sides 1, 4 (ringed on the roof plan), eave 1",
    "south-west (222 degrees) side, side 2 (ringed on the roof plan)",
    "east side, eave 3",
)
PACK_STYLES = ("mark", "text", "length", "kg", "text", "count", "text")
LAY_THEM = "In each pack the sheet laid first lies on top, colour side up: lay them as they lie."
RIGHT = (False, False, True, True, False, True, False)


def test_packs_in_a_table_then_each_from_the_top_down(monkeypatch: pytest.MonkeyPatch) -> None:
    """18.6 + 501.5 + 16.6 = 536.7 kg; 2 + 1 + 1 sheets."""
    monkeypatch.setattr(workbook_packs, "screw_words", lambda takeoff, name: "Two screws." if name == "P1" else "")
    page: Any = Rows()
    page.grid = SimpleNamespace(columns=(Column("no", 1.0, "text"), Column("mark", 1.0, "mark")))
    site = (replace(BLANK, site_mm=6000.0), replace(BLANK, site_mm=6000.0, pieces=(BlankPart("P1.03", 0.0, False),)))
    order = replace(ORDER, packs=PACKS, site_blanks=site)
    workbook_packs.fill_packs(page, SimpleNamespace(), order)  # type: ignore[arg-type]
    sheet = ("line", "1", "P1.01", 4500.4, 16.6, "P1.07, P1.08", 1, None)
    assert page.kept == [
        ("note", "In no pack, cut from sheets on the site: P1.01 to P1.03."),
        ("note", f"{LAY_THEM} The mark is written on the end of each sheet. Lifting limit 500 kg."),
        ("group", "All packs, in laying order"),
        ("heading", "pack", "plane", "longest mm", "kg", "craned to", "sheets", "", RIGHT),
        ("line", "P1a", "P1", 4500.4, 18.6, WHERE[0], 2, None, PACK_STYLES),
        ("line", "P2", "P\t2", 3000.0, 501.5, WHERE[1], 1, None, PACK_STYLES),
        ("line", "P3", "P3", 4500.4, 16.6, WHERE[2], 1, None, PACK_STYLES),
        ("total", "all", "", Formula("MAX(C14:C16)", 4500.4), Formula("ROUND(SUM(D14:D16),1)", 536.7), "",
         Formula("SUM(F14:F16)", 4.0), None, PACK_STYLES),
        ("gap",),
        ("group", f"PACK P1a: plane P1, pack 1 of 2. Crane to: {WHERE[0]}"),
        ("note", "Corru gated and Clear sheet. Longest 4500 mm. Colour side up."),
        ("note", "Two screws."),
        ("heading", "no", "mark", RIGHT),
        sheet,
        ("line", "2", "P1.02", 3000.0, 2.0, "CLEAR SHEET", 1, None),
        ("total", "total", "", Formula("MAX(C23:C24)", 4500.4), Formula("ROUND(SUM(D23:D24),1)", 18.6), "",
         Formula("SUM(F23:F24)", 2.0), None),
        ("gap",),
        ("group", f"PACK P2: plane P 2. Crane to: {WHERE[1]}"),
        ("note", "corrugated. Longest 3000 mm. Colour side up."),
        ("heading", "no", "mark", RIGHT),
        ("line", "1", "P1.02", 3000.0, 2.0, "CLEAR SHEET", 1, None),
        ("total", "total", "", Formula("MAX(C30:C30)", 3000.0), Formula("ROUND(SUM(D30:D30),1)", 501.5),
         "OVER the lifting limit", Formula("SUM(F30:F30)", 1.0), None),
        ("gap",),
        ("group", f"PACK P3: plane P3, pack 2 of 2. Crane to: {WHERE[2]}"),
        ("note", "Corru gated. Longest 4500 mm. Colour side up."),
        ("heading", "no", "mark", RIGHT),
        sheet,
        ("total", "total", "", Formula("MAX(C36:C36)", 4500.4), Formula("ROUND(SUM(D36:D36),1)", 16.6), "",
         Formula("SUM(F36:F36)", 1.0), None),
    ]  # fmt: skip
    bare: Any = Rows()
    workbook_packs.fill_packs(bare, SimpleNamespace(), ORDER)  # type: ignore[arg-type]
    assert bare.kept == [("note", "No sheets in this order.")]
