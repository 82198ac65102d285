"""The sheet Order: every cell by hand, formulas with what they must give.

How a sheet is laid out is no check value; sums, masses and shares are worked by hand beside each.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from rows_by_hand import Rows
from sheets_ordered_by_hand import BOX, DAY, LONG, ORDER, PURLIN, ROLL, SHORT, SITE, WORK, blank, carried, line, takeoff

from takeoff.model.order import Delivery
from takeoff.write.workbook import workbook_order
from takeoff.write.workbook.workbook_page import Formula

COUNTS = ("text", "text", "count", "text", "whole", "count")
METRES = (*COUNTS[:5], "metres")


def test_lines_by_delivery_labour_under_them_and_deliveries_at_the_foot() -> None:
    """Purlins 2 x 4.8 = 9.6 m at 20.04 + 3.05 kg, shown 20 + 3.1 = 23.1; sheets 91 and the clear ones without a mass."""
    lines = (
        line("x", "own crane", ROLL, 1.0, 0.0, 1.0),
        SHORT,
        DAY,
        LONG,
        line("p1", "purlins", PURLIN, 2.0, 4800.0, 9.6, 20.04, note="treated\t"),
        line("p2", "purlins", PURLIN, 1.0, 5400.0, 5.4, 3.05),
        line("u", "underlay", ROLL, 4.0, 0.0, 4.0),
        line("w", "rainwater", WORK, 2.0, 0.0, 3.0, labour=True),
    )
    deliveries = (Delivery("purlins", 2, 3.0, 5400.0, 23.1, 0), Delivery("roof sheets", 3, 6.0, 6020.0, 91.0, 1, 2),
                  Delivery("none", 1, 0.0, 0.0, 0.0, 2), Delivery("purlins", 2, 3.0, 1.0, 0.5, 0))  # fmt: skip
    order = replace(ORDER, lines=lines, deliveries=deliveries, site_blanks=(), sheets_site_m2=0.0)
    page = Rows()
    workbook_order.fill_order(page, takeoff(order=order), order, {"s55": 41}, carried())  # type: ignore[arg-type]
    none = (None,) * 5
    assert page.kept == [
        ("group", "Purlins"),
        ("line", "5", "Purlin 70 x 45", 2.0, "each", 4800.0, Formula("ROUND(C11*E11/1000,3)", 9.6), "m", 20.0, "treated",
         None, None, METRES),
        ("line", "6", "Purlin 70 x 45", 1.0, "each", 5400.0, Formula("ROUND(C12*E12/1000,3)", 5.4), "m", 3.1, "",
         None, None, METRES),
        ("total", None, "2 lines; longest piece", None, None, Formula("MAX(E11:E12)", 5400.0), None, None,
         Formula("ROUND(SUM(H11:H12),1)", 23.1), ""),
        ("gap",),
        ("group", "Underlay"),
        ("line", "7", "Underlay", 4.0, "each", None, Formula("C16", 4.0), "each", None, "", 4.0, None, COUNTS),
        ("total", None, "1 line", *none, None, ""),
        ("gap",),
        ("group", "Roof sheets"),
        ("line", "2 to 4", "Corrugated 0.55", Formula("'Mill order'!B41", 5.0), "each",
         Formula("'Mill order'!C41", 6020.0), Formula("'Mill order'!D41", 25.54), "m", Formula("'Mill order'!E41", 91.0),
         "every length: Mill order; longest here", METRES),
        ("line", "3", "Clear sheet", 1.0, "each", 3000.0, Formula("ROUND(C21*E21/1000,3)", 3.0), "m", None, "", None, None,
         METRES),
        ("total", None, "3 lines; longest piece", None, None, Formula("MAX(E20:E21)", 6020.0), None, None,
         Formula("ROUND(SUM(H20:H21),1)", 91.0), "known masses"),
        ("gap",),
        ("group", "Rainwater"),
        ("note", f"Colour of gutter: {BOX}   of downpipes: {BOX}   of fascia and barge: {BOX}   Coating: {BOX}"),
        ("heading", "", "labour, nothing to buy"),
        ("line", "8", "Fit out", 2.0, "each", None, 3.0, "each", None, "", COUNTS),
        ("gap",),
        ("group", "Own crane"),
        ("line", "1", "Underlay", 1.0, "each", None, Formula("C30", 1.0), "each", None, "", None, None, COUNTS),
        ("total", None, "1 line", *none, None, ""),
        ("gap",),
        ("group", "Deliveries, in the order the site wants them"),
        ("heading", "", "delivery", "lines", "", "longest", "pieces", "", "kg", "",
         (False, False, True, False, True, True, False, True, False)),
        ("line", None, "1. purlins", 2, None, Formula("E13", 5400.0), 3.0, None, Formula("H13", 23.1), "", D_STYLES),
        ("line", None, "2. roof sheets", 3, None, Formula("E22", 6020.0), 6.0, None, Formula("H22", 91.0),
         "packs of sheets: 2; 1 line without a mass", D_STYLES),
        ("line", None, "3. none", 1, None, None, None, None, None, "2 lines without a mass", D_STYLES),
        ("line", None, "4. purlins", 2, None, Formula("E13", 1.0), 3.0, None, Formula("H13", 0.5), "", D_STYLES),
        ("total", None, "all that has a mass", *none, Formula("ROUND(SUM(H35:H38),1)", 114.6), None),
        ("gap",),
        ("group", "Sheets: bought against net"),
        ("line", None, "bought, as it covers", 21.5, "m2"),
        ("line", None, "net sheeted area", 20.1, "m2"),
        ("line", None, "offcuts", Formula("ROUND(C42-C43,3)", 1.4), "m2"),
        ("line", None, "offcuts, % of bought", Formula("ROUND(C44/(C42)*100,1)", 6.5), "%"),
        ("line", None, "offcuts, % of net", Formula("ROUND(C44/(C43)*100,1)", 7.0), "%"),
        ("line", None, "bought metres, as the mill order", 28.54, "m"),
        ("line", None, "mass of the sheets", 91.0, "kg"),
    ]  # fmt: skip


D_STYLES = ("text", "text", "count", "text", "whole", "count", "text", "kg", "text")


def test_sheets_from_the_site_alone_have_their_sums() -> None:
    """0 bought, 1.6 m2 from site for 1.5: 0.1 left, of 1.6 6.3 % (6.25 half up), of 1.5 6.7 %."""
    page = Rows(30)
    workbook_order._sheet_summary(
        page,  # type: ignore[arg-type]
        replace(ORDER, sheets_bought_m=0.0, sheets_bought_m2=0.0, sheets_net_m2=1.5, sheets_kg=0.0),
    )
    assert page.kept == [
        ("group", "Sheets: bought against net"),
        ("line", None, "bought, as it covers", 0.0, "m2"),
        ("line", None, "net sheeted area", 1.5, "m2"),
        ("line", None, "cut from sheets on the site, as it covers", 1.6, "m2"),
        ("line", None, "offcuts", Formula("ROUND(C31+C33-C32,3)", 0.1), "m2"),
        ("line", None, "offcuts, % of bought and from site", Formula("ROUND(C34/(C31+C33)*100,1)", 6.3), "%"),
        ("line", None, "offcuts, % of net", Formula("ROUND(C34/(C32)*100,1)", 6.7), "%"),
        ("line", None, "bought metres, as the mill order", 0.0, "m"),
    ]


@pytest.mark.parametrize(
    ("bought_m", "blanks", "summed"),
    [(0.0, (), False), (1.0, (), True), (0.0, SITE, True)],
    ids=["none", "bought", "site"],
)
def test_sheets_are_summed_where_any_are_bought_or_cut(bought_m: float, blanks: Any, summed: bool) -> None:
    order = replace(ORDER, lines=(), sheets_bought_m=bought_m, site_blanks=blanks)
    page = Rows()
    workbook_order.fill_order(page, takeoff(order=order), order, {}, carried())  # type: ignore[arg-type]
    assert bool(page.kept) == summed


def test_shares_below_one_square_metre_and_masses_below_one_kilogram_are_told() -> None:
    page = Rows()
    small = replace(ORDER, site_blanks=(), sheets_site_m2=0.0, sheets_bought_m2=1.0, sheets_net_m2=0.8, sheets_kg=1.0)
    workbook_order._sheet_summary(page, small)  # type: ignore[arg-type]
    assert [row[2] for row in page.kept[3:]] == [
        "offcuts", "offcuts, % of bought", "offcuts, % of net", "bought metres, as the mill order", "mass of the sheets",
    ]  # fmt: skip
    assert page.kept[3][3] == Formula("ROUND(C11-C12,3)", 0.2)
    light = replace(SHORT, kg=1.0)
    assert workbook_order._cells(light, "1", 5)[7] == 1.0
    total = workbook_order._profile_line([light], {"a": 7}, 9)
    assert total[0][0] == "7"
    assert total[0][7] == Formula("'Mill order'!E9", 1.0)
    assert workbook_order._profile_line([replace(light, kg=0.0)], {"a": 7}, 9)[0][7] is None
    rows = Rows()
    workbook_order._delivery_total(rows, [light, replace(DAY, each_mm=1.0)], 8)  # type: ignore[arg-type]
    workbook_order._delivery_total(rows, [replace(DAY, each_mm=1.0)], 8)  # type: ignore[arg-type]
    workbook_order._delivery_total(rows, [replace(DAY, each_mm=0.0, kg=0.04)], 8)  # type: ignore[arg-type]
    assert rows.kept == [
        ("total", None, "2 lines; longest piece", None, None, Formula("MAX(E8:E9)", 4500.0), None, None,
         Formula("ROUND(SUM(H8:H9),1)", 1.0), "known masses"),
        ("total", None, "1 line; longest piece", None, None, Formula("MAX(E8:E10)", 1.0), None, None, None, ""),
        ("total", None, "1 line", None, None, None, None, None, Formula("ROUND(SUM(H8:H11),1)", 0.0), ""),
    ]  # fmt: skip
    tail = Rows()
    workbook_order._deliveries(tail, replace(ORDER, deliveries=(Delivery("a", 1, 1.0, 1.0, 0.0, 1),)), {"a": 1})  # type: ignore[arg-type]
    assert tail.kept[2] == (
        "line",
        None,
        "1. a",
        1,
        None,
        Formula("E1", 1.0),
        1.0,
        None,
        None,
        "1 line without a mass",
        D_STYLES,
    )
    assert tail.kept[3][8] is None
    tail = Rows()
    workbook_order._deliveries(tail, replace(ORDER, deliveries=(Delivery("a", 1, 1.0, 0.5, 1.0, 0),)), {"a": 1})  # type: ignore[arg-type]
    assert tail.kept[2][5:9] == (Formula("E1", 0.5), 1.0, None, Formula("H1", 1.0))
    assert tail.kept[3][8] == Formula("ROUND(SUM(H12:H12),1)", 1.0)
    assert tail.kept[4] == ("gap",)
    nowhere = Rows()
    workbook_order._deliveries(nowhere, replace(ORDER, deliveries=(Delivery("b", 1, 1.0, 9.0, 1.0, 0),)), {"a": 1})  # type: ignore[arg-type]
    assert nowhere.kept[2][5:9] == (None, 1.0, None, None)


@pytest.mark.parametrize(
    ("count", "each", "total", "unit", "cell"),
    [
        (3.0, 1111.5, 3.335, "m", Formula("ROUND(B1*C1/1000,3)", 3.335)),  # 3.3345 half up
        (3.0, 1111.0, 3.33, "m", Formula("ROUND(B1*C1/1000,2)", 3.33)),
        (3.0, 1111.0, 3.3, "m", Formula("ROUND(B1*C1/1000,1)", 3.3)),
        (3.0, 1111.0, 3.0, "m", Formula("ROUND(B1*C1/1000,0)", 3.0)),
        (3.0, 1111.0, 4.0, "m", 4.0),
        (3.0, 1000.0, 3.0, "m2", 3.0),
        (3.0, 1.0, 3.0, "m2", 3.0),
        (3.0, 1.0, 0.003, "m", Formula("ROUND(B1*C1/1000,3)", 0.003)),
        (3.0, 0.0, 3.0, "each", Formula("B1", 3.0)),
        (3.0, 0.0, 4.0, "each", 4.0),
        (0.0, 0.0, 0.0, "m", Formula("B1", 0.0)),
    ],
)
def test_a_total_is_the_product_it_was_rounded_from(
    count: float, each: float, total: float, unit: str, cell: float | Formula
) -> None:
    one = replace(SHORT, count=count, each_mm=each, total=total, total_unit=unit)
    assert workbook_order.total_cell(one, "B1", "C1") == cell


def test_styles_follow_the_unit_of_the_total() -> None:
    """Nothing is 0 long: what has no length is told by its count."""
    styles = {unit: workbook_order._styles(replace(SHORT, total_unit=unit))[5] for unit in ("m", "m2", "each")}
    assert styles == {"m": "metres", "m2": "metres", "each": "count"}
    assert workbook_order._cells(replace(SHORT, each_mm=1.0), "1", 2)[4] == 1.0
    assert workbook_order._cells(replace(SHORT, each_mm=0.0), "1", 2)[4] is None


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        (("P1.05", "P1.06"), "P1.05, P1.06"),
        (("P1.05", "P1.06", "P1.07", "P1.09"), "P1.05 to P1.07, P1.09"),
        (("P1.05", "P2.06", "P2.07", "P2.08"), "P1.05, P2.06 to P2.08"),
        (("P1.09", "P1.10", "P1.11", "P1.10"), "P1.09 to P1.11, P1.10"),
        (("P1.05", "P1.05", "P1.04"), "P1.05, P1.05, P1.04"),
        (("P1.05a", "P1.06", "P1.07b"), "P1.05a, P1.06, P1.07b"),
        ((), ""),
    ],
)
def test_marks_in_a_row(marks: tuple[str, ...], words: str) -> None:
    assert workbook_order.marks_words(marks) == words


def test_marks_of_a_line_say_what_else_is_cut_from_their_lengths() -> None:
    """Wall sheets stand in blanks of their own; a blank of another line says nothing here."""
    order = replace(ORDER, wall_blanks=(blank("W1", 4500.0, "P2.03", "P2.05", "P2.06", "P2.07"),))
    walls = replace(SHORT, refs=("P2.01", "P2.02", "P2.03", "P2.05", "P2.06", "P2.07", "P2.08", "P2.09", "P2.10"))
    assert workbook_order.line_marks(replace(order, blanks=()), walls) == (
        "P2.01, P2.02, P2.03 (P2.05 to P2.07 cut from it), P2.08 to P2.10"
    )
    assert workbook_order.line_marks(ORDER, LONG) == "P3.01, P3.02"
