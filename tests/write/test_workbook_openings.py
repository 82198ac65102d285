"""Holes, clear sheets and prices as they are read: cutting list, drawings, the sheet Prices. From the cottage."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.drawings.drawing import Fill, Line, Polyline, Text
from takeoff.write.drawings.opening_drawing import hole_words
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.sheet_drawing import sheet_layouts
from takeoff.write.workbook.workbook import workbook_bytes

SAMPLE = Path(__file__).resolve().parents[2] / "geometry_samples" / "cottage_with_flue" / "job.yaml"


@pytest.fixture(scope="module")
def cottage() -> Takeoff:
    return run_file(SAMPLE)


@pytest.fixture(scope="module")
def book(cottage: Takeoff) -> CalamineWorkbook:
    return CalamineWorkbook.from_filelike(io.BytesIO(workbook_bytes(cottage)))


def test_the_cutting_list_says_where_each_hole_is_cut(book: CalamineWorkbook) -> None:
    words = [str(row[0]) for row in book.get_sheet_by_name("Cutting list").to_python()]
    assert "CLEAR SHEETS, not to be walked on: P1.03b, P1.04b." in words
    holes = [text for text in words if text.startswith("HOLE ")]
    assert holes == [
        "HOLE X1 stove flue, 200 x 221 mm, cut on site: P1.09, 2422 to 2643 from its foot, 141 to 341 from its left edge.",
        "HOLE X2 sink vent, 100 x 110 mm, cut on site: P2.03, 2091 to 2202 from its foot, 426 to 526 from its left edge.",
        "HOLE X3 loft window, 780 x 1180 mm, cut on site: P2.06, 1887 to 3067 from its foot, 500 to 845 from its left edge.",
        "HOLE X3 loft window, 780 x 1180 mm, cut on site: P2.07, 1887 to 3067 from its foot, 0 to 518 from its left edge.",
    ]


def test_clear_sheets_are_an_order_of_their_own_in_the_pack_of_their_plane(book: CalamineWorkbook) -> None:
    rows = book.get_sheet_by_name("Mill order").to_python()
    assert [row[1:3] for row in rows if str(row[0]).startswith("corrugated clear")] == [[2.0, 2050.0]]
    rows = [[str(cell) for cell in row] for row in book.get_sheet_by_name("Pack list").to_python()]
    packs = [row[0] for row in rows if row[0].startswith("PACK ")]
    first, second = packs
    assert first == "PACK K1: plane P1. Crane to: south side, side 1 (ringed on the roof plan), E1"
    assert second.startswith("PACK K2: plane P2.")
    assert [row[1] for row in rows if "CLEAR SHEET" in row] == ["P1.03b", "P1.04b"]


def test_a_clear_sheet_lies_in_the_pack_between_the_metal_parts_of_its_strip(cottage: Takeoff) -> None:
    assert cottage.order is not None
    marks = [sheet.mark for sheet in cottage.order.packs[0].sheets]
    assert marks[:7] == ["P1.01", "P1.02", "P1.03a", "P1.03b", "P1.03c", "P1.04a", "P1.04b"]


def test_the_plan_shows_holes_where_they_are(cottage: Takeoff) -> None:
    """The flue at 2000, 1650 on the plan, seen from the outline's corner as the job gives it."""
    plan = roof_plan(cottage)
    assert plan is not None
    rings = [item.points_mm for item in plan.items if isinstance(item, Polyline) and item.layer == "ROOF-OPENING"]
    assert len(rings) == 3
    origin = cottage.roofs[0].origin_mm
    middle = tuple(sum(point[k] for point in rings[0]) / 4.0 + origin[k] for k in (0, 1))
    assert middle == pytest.approx((2000.0, 1650.0))
    names = [item.text for item in plan.items if isinstance(item, Text) and item.layer == "ROOF-OPENING"]
    assert names == ["X1 stove flue", "X2 sink vent", "X3 loft window"]
    assert sum(1 for item in plan.items if isinstance(item, Fill) and item.layer == "SHEET-CLEAR") == 2


def test_the_sheet_drawing_shows_them_as_they_lie(cottage: Takeoff) -> None:
    first, second = sheet_layouts(cottage)
    holes = {hole.id: hole for hole in cottage.roofing.holes}
    rings = [item.points_mm for item in second.items if isinstance(item, Polyline) and item.layer == "ROOF-OPENING"]
    assert rings == [holes["X2"].ring_uv, holes["X3"].ring_uv]
    assert sum(1 for item in first.items if isinstance(item, Line) and item.layer == "ROOF-OPENING") == 2
    assert "Holes, cut on site: X1 stove flue 200 x 221" in [i.text for i in first.items if isinstance(i, Text)]


def test_many_holes_are_left_to_the_cutting_list(cottage: Takeoff) -> None:
    holes = cottage.roofing.holes * 20
    assert hole_words(holes, 250.0) == "60 holes, cut on site: sizes and places are in the cutting list"
    assert hole_words((), 250.0) == ""


def test_prices_stand_on_a_sheet_of_their_own(cottage: Takeoff, book: CalamineWorkbook) -> None:
    assert cottage.order is not None
    prices = cottage.order.prices
    assert prices is not None
    rows = book.get_sheet_by_name("Prices").to_python()
    amounts = [row[5] for row in rows if str(row[0]).isdigit() and row[5] != ""]
    assert amounts == [priced.amount for priced in prices.lines]
    totals = {str(row[1]): row[5] for row in rows}
    assert totals["together"] == prices.total
    assert totals["sum of the deliveries"] == prices.amount
    order = [str(cell) for row in book.get_sheet_by_name("Order").to_python() for cell in row]
    assert not [cell for cell in order if "dollar" in cell]


def test_without_rates_there_is_no_such_sheet(cottage: Takeoff) -> None:
    assert cottage.order is not None
    bare = replace(cottage, order=replace(cottage.order, prices=None))
    assert "Prices" not in CalamineWorkbook.from_filelike(io.BytesIO(workbook_bytes(bare))).sheet_names
