"""The sheet Mill order: every cell by hand, formulas with what they must give.

How a sheet is laid out is no check value; sums, masses and shares are worked by hand beside each.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest
from rows_by_hand import Rows
from sheets_ordered_by_hand import BOX, EXTRA, ORDER, ROLL, SHORT, carried, takeoff

from takeoff.model.findings import Finding, Severity
from takeoff.model.houses import Houses
from takeoff.model.order import Hold
from takeoff.model.sheets import PairPlan, RakedPair
from takeoff.write.workbook import workbook_mill
from takeoff.write.workbook.workbook_page import Formula

SITE_ROWS = [
    ("group", "From site, not ordered: in no line, total or mass of this order"),
    ("note", "from site rack 2, 3000 mm long, 2100 mm cut from it: P4.01 to P4.03."),
    ("gap",),
]


def test_the_mill_order_longest_first_with_totals_spares_and_what_is_cut_from_the_site() -> None:
    page = Rows()
    rows = workbook_mill.fill_mill_order(page, takeoff(), ORDER, carried())  # type: ignore[arg-type]
    assert rows == workbook_mill.MillRows({"c0": 14, "s55": 21}, {"c": 13, "b": 19, "a": 20})
    assert page.kept == [
        ("group", "Clear sheet"),
        ("note", "Cut square, tolerance +/- 5 mm."),
        ("note", f"Thickness: {BOX}   Grade: {BOX}   Coating: {BOX}   Colour: {BOX}   Colour side: {BOX}"),
        ("line", "clear", 1.0, 3000.0, Formula("ROUND(B13*C13/1000,3)", 3.0), None, "P1.09", None, None),
        ("total", "total; longest piece", Formula("SUM(B13:B13)", 1.0), Formula("MAX(C13:C13)", 3000.0),
         Formula("ROUND(SUM(D13:D13),3)", 3.0), None, None),
        ("gap",),
        ("group", "Corrugated 0.55"),
        ("note", "Cover 762, overall 845 mm. Cut square, tolerance +/- 5 mm."),
        ("note", f"Thickness: 0.55 mm base metal   Grade: {BOX}   Coating: {BOX}   Colour: grey   Colour side: {BOX}"),
        ("line", "cor ru", 2.0, 6020.0, Formula("ROUND(B19*C19/1000,3)", 12.04), 42.9, "P3.01, P3.02", None, None),
        ("line", "cor ru; 2 cut into several", 3.0, 4500.0, Formula("ROUND(B20*C20/1000,3)", 13.5), 48.1,
         "P1.01 (P2.01 cut from it), P1.02 (P2.02 cut from it), P1.03", 3.0, "came"),
        ("total", "total; longest piece", Formula("SUM(B19:B20)", 5.0), Formula("MAX(C19:C20)", 6020.0),
         Formula("ROUND(SUM(D19:D20),3)", 25.54), Formula("ROUND(SUM(E19:E20),1)", 91.0), None),
        ("line", "spare sheet", 1.0, 5000.0, Formula("ROUND(B22*C22/1000,3)", 5.0), 17.8, "for damage", None, 1.0),
        ("gap",),
        *SITE_ROWS,
        ("group", "All sheets"),
        ("line", "bought metres", None, None, Formula("ROUND(D14+D21,3)", 28.54), None, "m"),
        ("line", "bought, as it covers", None, None, 21.5, None, "m2"),
        ("line", "net sheeted area", None, None, 20.1, None, "m2"),
        ("line", "cut from sheets on the site, as it covers", None, None, 1.6, None, "m2"),
        ("line", "offcuts", None, None, Formula("ROUND(D29+D31-D30,3)", 3.0), None, "m2"),
        ("line", "offcuts, % of bought and from site", None, None, Formula("ROUND(D32/(D29+D31)*100,1)", 13.0), None, "%"),
        ("line", "offcuts, % of net", None, None, Formula("ROUND(D32/(D30)*100,1)", 14.9), None, "%"),
        ("line", "mass", None, None, None, Formula("ROUND(E14+E21,1)", 91.0), "kg"),
        ("line", "spare sheets, not in the figures above", None, None, 5.0, 17.8, "m, kg"),
        ("note", "The mark is written on the end of each sheet."),
    ]  # fmt: skip


def test_houses_of_one_kind_are_told_of_marks_and_of_what_is_cut_into_several() -> None:
    """Two lengths a house are cut into two; three houses: six."""
    houses = Houses(3, ("H1", "H2", "H3"), 0.0, 0.0, 0.0, ())
    page = Rows()
    order = replace(ORDER, lines=(SHORT,), houses=houses, site_blanks=())
    workbook_mill.fill_mill_order(page, takeoff(), order, carried())  # type: ignore[arg-type]
    row = page.kept[3]
    assert row[1] == "cor ru; 6 cut into several"
    assert row[6] == "H1 to H3, each: P1.01 (P2.01 cut from it), P1.02 (P2.02 cut from it), P1.03"


def test_an_order_without_sheets_still_says_what_comes_from_the_site() -> None:
    page = Rows()
    none = (replace(SHORT, each_mm=0.0), replace(SHORT, of=ROLL), EXTRA)
    rows = workbook_mill.fill_mill_order(page, takeoff(), replace(ORDER, lines=none), carried())  # type: ignore[arg-type]
    assert rows == workbook_mill.MillRows({}, {})
    assert page.kept == [("note", "No sheets in this order."), *SITE_ROWS]
    bare = Rows()
    workbook_mill.fill_mill_order(bare, takeoff(), replace(ORDER, lines=(), site_blanks=()), carried())  # type: ignore[arg-type]
    assert bare.kept == [("note", "No sheets in this order.")]


@pytest.mark.parametrize(
    ("change", "rows"),
    [
        ({"sheets_kg": 1.0, "spares_m": 0.0}, ["bought metres", "bought, as it covers", "net sheeted area", "offcuts",
                                               "offcuts, % of bought", "offcuts, % of net", "mass"]),
        ({"sheets_kg": 0.0, "spares_m": 1.0}, ["bought metres", "bought, as it covers", "net sheeted area", "offcuts",
                                               "offcuts, % of bought", "offcuts, % of net",
                                               "spare sheets, not in the figures above"]),
        ({"sheets_bought_m2": 0.0, "sheets_kg": 0.0, "sheets_net_m2": 1.0, "spares_m": 0.0},
         ["bought metres", "bought, as it covers", "net sheeted area", "offcuts", "offcuts, % of net"]),
    ],
)  # fmt: skip
def test_what_is_summed_of_all_sheets(change: dict[str, float], rows: list[str]) -> None:
    page = Rows(50)
    workbook_mill._mill_summary(page, replace(ORDER, site_blanks=(), sheets_site_m2=0.0, **change), [12])  # type: ignore[arg-type]
    assert [row[1] for row in page.kept[1:-1]] == rows
    assert page.kept[1][4].text == "ROUND(D12,3)"
    assert page.kept[4][4].text == "ROUND(D52-D53,3)"


def test_what_is_released_with_open_warnings_says_which() -> None:
    findings = (
        Finding("a", Severity.WARN, "close to\tground", "Keep 175 mm."),
        Finding("b", Severity.NOTE, "moves"),
        Finding("c", Severity.STOP, "too flat"),
    )
    released = replace(ORDER, state=Hold.RELEASED, lines=(SHORT,))
    some = SimpleNamespace(**{**vars(takeoff()), "findings": findings})
    page, calm = Rows(), Rows()
    workbook_mill.fill_mill_order(page, some, released, carried())  # type: ignore[arg-type]
    workbook_mill.fill_mill_order(calm, takeoff(), released, carried())  # type: ignore[arg-type]
    assert page.kept[:4] == [
        ("group", "Released with these warnings open"),
        ("note", "WARNING: close to ground Keep 175 mm."),
        ("note", "STOP: too flat"),
        ("gap",),
    ]
    assert calm.kept[:2] == [("group", "Released with no warning open"), ("gap",)]


# plain 40 000.4 mm in 9, with pairs 38 500 in 8; 30 against 29.25 m2 for 25 m2
PAIRS = PairPlan(
    "cor_ru", (), (RakedPair("P1.01", "P2.\x0101", True, 0.0, 0.0), RakedPair("P1.02", "P2.02", False, 0.0, 0.0)),
    40_000.4, 38_500.0, "", 30.0, 29.25, 25.0, 9, 8, True,
)  # fmt: skip


def test_plain_list_and_pairs_side_by_side() -> None:
    """Offcuts plain 5 of 30 (16.7 %) and of 25 (20 %); with pairs 4.25 of 29.25 (14.5 %) and of 25 (17 %)."""
    page = Rows()
    workbook_mill._pairs(page, PAIRS, True)  # type: ignore[arg-type]
    metres, counts = (("text", "text", *(style,) * 3, "text") for style in ("metres", "whole"))
    shares = ("text", "text", "tenth", "tenth", "tenth")
    assert page.kept == [
        ("group", "cor_ru: plain list and raked pairs, bought with pairs"),
        ("heading", "", "", "plain", "with pairs", "saving", "", (False, True, True, True, True, False)),
        ("line", "lengths", None, 9, 8, Formula("ROUND(C12-D12,0)", 1.0), "", counts),
        ("line", "bought m", None, 40.0, 38.5, Formula("ROUND(C13-D13,3)", 1.5), "", metres),
        ("line", "bought m2, as it covers", None, 30.0, 29.25, Formula("ROUND(C14-D14,2)", 0.75),
         "net 25 m2 without what is cut from site", metres),
        ("line", "offcuts, % of bought", None, Formula("ROUND((C14-25.0)/C14*100,1)", 16.7),
         Formula("ROUND((D14-25.0)/D14*100,1)", 14.5), None, "", shares),
        ("line", "offcuts, % of net", None, Formula("ROUND((C14-25.0)/25.0*100,1)", 20.0),
         Formula("ROUND((D14-25.0)/25.0*100,1)", 17.0), None, "", shares),
        ("note", "2 pairs out of one length each: P1.01 with P2. 01, P1.02 with P2.02 (not turned)."),
    ]  # fmt: skip
    bare = Rows()
    workbook_mill._pairs(bare, replace(PAIRS, net_m2=0.0, bought=False, pairs=PAIRS.pairs[:1]), False)  # type: ignore[arg-type]
    assert bare.kept[0] == ("group", "cor_ru: plain list and raked pairs, bought plain")
    assert bare.kept[4][6] == "net 0 m2"
    assert bare.kept[5:] == [("note", "1 pair out of one length each: P1.01 with P2. 01.")]


@pytest.mark.parametrize(("profile", "less"), [("cor_ru", " without what is cut from site"), ("other", "")])
def test_pairs_stand_under_the_sums_where_they_save(profile: str, less: str) -> None:
    saves = replace(PAIRS, profile=profile, plain_mm=38_501.0)
    page = Rows()
    workbook_mill._mill_summary(page, replace(ORDER, pairs=(replace(PAIRS, plain_mm=38_500.0), saves)), [12])  # type: ignore[arg-type]
    groups = [row[1] for row in page.kept if row[0] == "group"]
    assert groups == ["All sheets", f"{profile}: plain list and raked pairs, bought with pairs"]
    assert next(row for row in page.kept if row[1] == "bought m2, as it covers")[6] == f"net 25 m2{less}"
    small = Rows()
    workbook_mill._pair_offcuts(small, replace(PAIRS, net_m2=1.0), "net")  # type: ignore[arg-type]
    assert len(small.kept) == 1
