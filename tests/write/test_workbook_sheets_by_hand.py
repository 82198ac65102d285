"""The sheets Prices, Loads, Left over, Issued, Measures, Checks and Basis: every cell by hand, formulas with what they must
give. The layout itself is no check value."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

import pytest
from bars_by_hand import ITEMS, PLAN
from rows_by_hand import Rows
from sheets_ordered_by_hand import DAY, LONG, ORDER, PURLIN, SHORT, blank, line

from takeoff.model.basis import Basis, Quantity, Setting, Status, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.houses import Houses
from takeoff.model.issues import MovedMark, SheetMarks, Standing, StandingLine
from takeoff.model.job.ordering import TruckJob
from takeoff.model.loads import LoadPart, LoadPlan, Trip
from takeoff.model.order import PricedDelivery, PricedLine, Prices, Used
from takeoff.model.runs import LeftOver
from takeoff.write.workbook import (
    workbook_checks,
    workbook_issued,
    workbook_left,
    workbook_loads,
    workbook_prices,
)
from takeoff.write.workbook.workbook_page import Formula

MONEY = ("text", "text", "metres", "text", "money", "money")
COMMON = Basis(Status.COMMON_PRACTICE)


# ----------------------------------------------------------------------- prices


def test_lines_of_the_order_by_their_number() -> None:
    """Lines 1 and 12 stand on rows 7 and 9; row 8 is a total, row 11 begins further right."""
    cells: dict[int, dict[int, tuple[int, object]]] = {
        row: {1: (4, value)} for row, value in enumerate(("line", "1", None, "12", "2 to 4"), start=6)
    }
    page: Any = SimpleNamespace(cells={**cells, 11: {2: (4, "7")}})
    assert workbook_prices.rows_of_lines(page) == {"1": 7, "12": 9}


NUMBERED = {"1": 7, "12": 9}
RATES = (PricedLine("L1", 5.5, 52.8), PricedLine("L2", 9.0, 121.5), PricedLine("L3", 9.0, 108.36, COMMON))
PRICES = Prices(
    "cro\twns", RATES,
    (
        PricedDelivery("purlins", 52.8, 0, 10.0, 5.28, 0.96, 8.71),
        PricedDelivery("roof sheets", 229.86, 1, 0.0, 0.0, 0.0, 34.48),
        PricedDelivery("walls", 0.0, 0, 1.0, 0.0, 0.0, 0.0),
    ),
    282.66, 5.28, 287.94, "le\tvy", 15.0, 43.19, 331.13,
)  # fmt: skip
LINES = (
    replace(line("L1", "purlins", PURLIN, 2.0, 4800.0, 9.6)),
    replace(SHORT, id="L2"),
    replace(LONG, id="L3"),
    replace(DAY, id="L4"),
)


def test_prices_by_delivery_with_extras_and_tax() -> None:
    """52.80 + 229.86 = 282.66; 10 % of 52.80 is 5.28; 15 % of 58.08 is 8.71 (8.712), of 229.86 34.48 (34.479)."""
    page: Any = Rows()
    order = replace(ORDER, lines=LINES, prices=PRICES)
    workbook_prices.fill_prices(page, SimpleNamespace(), order, {"L2": 21, "L3": 20, "L4": 13}, NUMBERED)  # type: ignore[arg-type]

    def of(row: int, amount: float) -> Formula:
        return Formula(f"ROUND(C{row}*E{row},2)", amount)

    own = RATES[0].basis.words()
    assert page.kept == [
        ("group", "Purlins"),
        ("line", "1", "Purlin 70 x 45", Formula("Order!F7", 9.6), "m", 5.5, of(11, 52.8), MONEY),
        ("total", "", "sum of the lines", None, "", None, Formula("ROUND(SUM(F11:F11),2)", 52.8), MONEY),
        ("gap",),
        ("group", "Roof sheets"),
        ("line", "2", "Corrugated 0.55", Formula("'Mill order'!D21", 13.5), "m", 9.0, of(15, 121.5), MONEY),
        ("line", "3", "Corrugated 0.55", Formula("'Mill order'!D20", 12.04), "m", 9.0, of(16, 108.36), MONEY),
        ("line", "4", "Clear sheet", Formula("'Mill order'!D13", 3.0), "m", None, None, MONEY),
        ("total", "", "sum of the lines", None, "1 without a rate", None, Formula("ROUND(SUM(F15:F17),2)", 229.86), MONEY),
        ("gap",),
        ("group", "Walls"),
        ("total", "", "sum of the lines", None, "", None, Formula("ROUND(SUM(F21:F20),2)", 0.0), MONEY),
        ("gap",),
        ("group", "Totals, cro wns"),
        ("line", "", "sum of the deliveries", None, "", None, Formula("ROUND(F12+F18+F21,2)", 282.66), MONEY),
        ("line", "", "extra on purlins, %, beside the computed waste", None, "0.96 m more", 10.0,
         Formula("ROUND(F12*E25/100,2)", 5.28), MONEY),
        ("line", "", "extra on walls, %, beside the computed waste", None, "", 1.0,
         Formula("ROUND(F21*E26/100,2)", 0.0), MONEY),
        ("line", "", "extras", None, "", None, Formula("ROUND(F25+F26,2)", 5.28), MONEY),
        ("total", "", "together", None, "", None, Formula("ROUND(F24+F27,2)", 287.94), MONEY),
        ("line", "", "le vy on purlins, %", None, "", 15.0, Formula("ROUND((F12+F25)*E29/100,2)", 8.71), MONEY),
        ("line", "", "le vy on roof sheets, %", None, "", 15.0, Formula("ROUND((F18)*E30/100,2)", 34.48), MONEY),
        ("line", "", "le vy on walls, %", None, "", 15.0, Formula("ROUND((F21+F26)*E31/100,2)", 0.0), MONEY),
        ("total", "", "together with le vy", None, "", None,
         Formula("ROUND(F12+F18+F21+F25+F26+F29+F30+F31,2)", 331.13), MONEY),
        ("note", "Rates are the user's own. Each line is rounded half up; totals are sums of rounded lines."),
        ("note", f"2 rates {own}."),
        ("note", f"1 rates {COMMON.words()}."),
    ]  # fmt: skip
    bare = Rows()
    workbook_prices.fill_prices(bare, SimpleNamespace(), ORDER, {}, {})  # type: ignore[arg-type]
    assert bare.kept == []


def test_prices_without_extra_and_tax_end_with_the_sum() -> None:
    page: Any = Rows()
    plain = replace(
        PRICES, currency="", tax_percent=0.0, deliveries=(replace(PRICES.deliveries[0], extra_percent=0.0),)
    )
    workbook_prices._totals(page, plain, {"purlins": 8})
    assert [row[:3] for row in page.kept[:3]] == [
        ("group", "Totals"), ("line", "", "sum of the deliveries"),
        ("note", "Rates are the user's own. Each line is rounded half up; totals are sums of rounded lines."),
    ]  # fmt: skip


# ------------------------------------------------------------------------ loads

TRUCK = TruckJob(name="Own\ttruck", payload_kg=4000, deck_mm=6200, overhang_mm=900, unloading="hand")


def test_trips_with_their_masses_then_what_the_truck_is() -> None:
    """120.26 + 30 = 150.3 kg to 0.1."""
    parts = (
        LoadPart("purlins", "L1", "", "t70", 12.0, "each", 4800.0, 120.26),
        LoadPart("roof sheets", "", "P\t1a", "t90", 7.0, "each", 6020.0, 30.0),
        LoadPart("underlay", "L9", "", "none", 2.0, "roll", 0.0, 0.0),
    )
    trips = (Trip(1, parts, 150.3, 6020.0, ""), Trip(2, parts[:1], 120.3, 4800.0, "too heavy"))
    loads = LoadPlan(TRUCK, True, trips, 1, "the payload", 3)
    houses = Houses(2, ("H1", "H2"), 0.0, 0.0, 0.0, ())
    page = Rows()
    takeoff: Any = SimpleNamespace(items=ITEMS)
    workbook_loads.fill_loads(page, takeoff, replace(ORDER, loads=loads, houses=houses))  # type: ignore[arg-type]
    said = "payload 4 000 kg, deck 6 200 mm, overhang 900 mm, unloaded by hand. At least 1 trips."
    assert page.kept == [
        ("note", "2 houses, H1 to H2: these trips bring one of them, and are made for each."),
        ("group", "Trip 1: purlins, roof sheets, underlay"),
        ("line", "1", "purlins", "Purlin 70 x 45", 12.0, 4800.0, 120.26, ""),
        ("line", "1", "roof sheets", "pack P 1a, Purlin 90 x 45", 7.0, 6020.0, 30.0, ""),
        ("line", "1", "underlay", " (roll)", 2.0, None, None, ""),
        ("total", None, None, "of 4 000 kg; longest 6 020 mm", None, None, Formula("ROUND(SUM(F12:F14),1)", 150.3), None),
        ("group", "Trip 2: purlins"),
        ("line", "2", "purlins", "Purlin 70 x 45", 12.0, 4800.0, 120.26, "too heavy"),
        ("total", None, None, "of 4 000 kg; longest 4 800 mm", None, None, Formula("ROUND(SUM(F17:F17),1)", 120.3), None),
        ("note", f"Own truck (office file): {said}"),
        ("note", "2 trips: the payload."),
        ("note", "3 lines have no mass: leave room for them."),
    ]  # fmt: skip
    bare = Rows()
    workbook_loads.fill_loads(
        bare, takeoff, replace(ORDER, loads=replace(loads, trips=(), reason="", unweighed=0, by_office=False))
    )  # type: ignore[arg-type]
    assert bare.kept == [("note", f"Own truck (job): {said}")]
    none = Rows()
    workbook_loads.fill_loads(none, takeoff, ORDER)  # type: ignore[arg-type]
    assert none.kept == []


# -------------------------------------------------------------------- left over


def test_what_is_cut_from_the_site_and_what_is_left() -> None:
    sheets = SimpleNamespace(
        pieces=[SimpleNamespace(mark=mark, order_mm=mm) for mark, mm in (("P1.01", 2100.4), ("P1.02", 900.0))]
    )
    other = SimpleNamespace(pieces=[SimpleNamespace(mark="P2.01", order_mm=800.0)])
    groups = (
        SimpleNamespace(item=SimpleNamespace(id="t90"), planes=(sheets,)),
        SimpleNamespace(item=None, planes=(other,)),
    )
    takeoff: Any = SimpleNamespace(
        items=ITEMS,
        roofing=SimpleNamespace(groups=groups, sheets=(sheets, other)),
        settings=SimpleNamespace(number={"useful_offcut_mm": 1200.0}.__getitem__),
    )
    blanks = (
        blank("S1", 3100.0, "P1.01", "P1.02", site=6000.0, mark="ra\tck"),
        blank("S2", 800.0, "P2.01", site=1000.0, profile="c\tx"),
    )
    left = (LeftOver("t70", 1900, 2), LeftOver("t90", 1300, 1, True, "back\tshed"), LeftOver("t70", 1250, 1, True))
    order = replace(ORDER, plans=(PLAN,), site_blanks=blanks, left_over=left)
    page = Rows()
    workbook_left.fill_left_over(page, takeoff, order)  # type: ignore[arg-type]
    assert page.kept == [
        ("group", "From site: cut these first, they are not ordered"),
        ("line", "Purlin 90 x 45", 1, 6000.0, "from site ra ck", "P1.01 2100 + P1.02 900"),
        ("line", "c x", 1, 1000.0, "from site", "P2.01 800"),
        ("line", "Purlin 70 x 45", 1, 5400, "from site back shed", "2000 + 1500"),
        ("group", "Left after the job, lengths from 1 200 mm up"),
        ("line", "Purlin 70 x 45", 2, 1900, "bought", None),
        ("line", "Purlin 90 x 45", 1, 1300, "from site back shed", None),
        ("line", "Purlin 70 x 45", 1, 1250, "from site", None),
    ]
    for change, first in (({"site_blanks": blanks, "plans": ()}, "From"), ({"plans": (PLAN,), "site_blanks": ()}, "From"),
                          ({"plans": (), "site_blanks": ()}, "Left")):  # fmt: skip
        some = Rows()
        workbook_left.fill_left_over(some, takeoff, replace(order, left_over=(), **change))  # type: ignore[arg-type]
        assert some.kept[0][1].startswith(first)
        assert some.kept[-1] == ("note", "Nothing that long is left.")


# ----------------------------------------------------------------------- issued


def test_the_order_against_the_book_of_issues() -> None:
    one = StandingLine("L1", "walls", "t70", "old name", 4800.0, "each", 5.0, 3.0, 9.6, "m", 0.0, (1, 3))
    lines = (
        one,
        replace(one, delivery="purlins", item="gone", each_mm=0.0, wanted=2.0, ordered=2.0),
        replace(one, delivery="own"),
    )
    moved = (MovedMark(3, "s", 4500.4, ("P1.01",), ("P1.05", "P1.09")),)
    standing = Standing(lines, (1, 3), faults=("torn\tpage",), marks=SheetMarks(moved, (), (), 0))
    takeoff: Any = SimpleNamespace(items=ITEMS, issued=standing)
    page = Rows()
    workbook_issued.fill_issued(page, takeoff, ORDER)  # type: ignore[arg-type]
    assert page.kept == [
        ("note", "The book of issues is damaged, what was ordered is not known: torn page"),
        ("group", "Purlins"),
        ("line", "old name", None, 2.0, 2.0, None, "each", "ordered", "1, 3"),
        ("group", "Walls"),
        ("line", "Purlin 70 x 45", 4800.0, 5.0, 3.0, 2.0, "each", "changed since", "1, 3"),
        ("gap",),
        ("group", "Marks on sheets of earlier issues"),
        ("note", "MARKS HAVE MOVED: 1 sheet of issue 3 stay in use under another mark."),
        ("heading", "mark on the sheet", "length mm", "", "", "", "", "mark now", "issue",
         (False, True, False, False, False, False, False, False)),
        ("line", "P1.01", 4500.4, None, None, None, "", "P1.05 and P1.09", "3"),
    ]  # fmt: skip
    for change, rows in (({"marks": None, "sheets_before": True}, 3), ({"marks": None}, 0)):
        some = Rows()
        takeoff.issued = replace(standing, lines=(), faults=(), **change)
        workbook_issued.fill_issued(some, takeoff, ORDER)  # type: ignore[arg-type]
        assert len(some.kept) == rows
    takeoff.issued = None
    none = Rows()
    workbook_issued.fill_issued(none, takeoff, ORDER)  # type: ignore[arg-type]
    assert none.kept == []


# ------------------------------------------------------- measures, checks, basis


def test_measures_then_edges() -> None:
    """A working with three terms is told with them, one with four by its rule."""
    terms = tuple(Term(f"t{n}", float(n), "mm") for n in range(4))
    few, many = Working("a\tx b", terms[:3]), Working("rule", terms)
    measures = tuple(
        Quantity("q", f"ar\tea {n}", 12.3455, "m2", ("P1", "P2"), how) for n, how in enumerate((few, many))
    )
    edges = (
        SimpleNamespace(id="hip 1", kind=EdgeKind.HIP, plan_length_mm=3000.44, slope_deg=17.46, between_deg=144.96,
                        faces=("P1", "P2"), length_mm=3144.9996),
        SimpleNamespace(id="E4", kind=EdgeKind.EAVE, plan_length_mm=3000.0, slope_deg=0.0, between_deg=90.0, faces=("P1",),
                        length_mm=3000.0),
    )  # fmt: skip
    page = Rows()
    takeoff: Any = SimpleNamespace(measures=measures, roofs=(SimpleNamespace(own_edges=edges),))
    workbook_checks.fill_measures(page, takeoff)  # type: ignore[arg-type]
    assert page.kept == [
        ("line", "ar ea 0", "P1, P2", 12.346, "m2", "a x b: t0 0 mm; t1 1 mm; t2 2 mm"),
        ("line", "ar ea 1", "P1, P2", 12.346, "m2", "rule"),
        ("gap",),
        ("group", "Edges of the roof"),
        ("heading", "edge", "between", "true m", "", "plan m, slope, angle between the faces", (False, False, True)),
        ("line", "hip 1", "P1, P2", 3.145, "m", "3 m, 17.5°, 145°"),
        ("line", "E4 (eave)", "P1", 3.0, "m", "3 m, 0°"),
    ]


def test_findings_gravest_first_each_once() -> None:
    note, stop = Finding("n", Severity.NOTE, "no\tte", refs=("P1",)), Finding("s", Severity.STOP, "stop", "do")
    at = Finding("w", Severity.WARN, "warn", "", (), (1234.6, -5.4, 0.0), "job.yaml:1:2")
    placed = replace(at, severity=Severity.FIXED, refs=("E1", "E2"))
    takeoff: Any = SimpleNamespace(items={}, catalogue=None, settings=SimpleNamespace(values={}))
    page = Rows()
    workbook_checks.fill_checks(page, (note, placed, at, stop, note), takeoff)  # type: ignore[arg-type]
    assert page.kept == [
        ("line", "STOP", "stop", "do", "", ""),
        ("line", "WARNING", "warn", "", "at 1 235, -5, 0 mm", "job.yaml:1:2"),
        ("line", "mended", "warn", "", "E1, E2 at 1 235, -5, 0 mm", "job.yaml:1:2"),
        ("line", "note", "no te", "", "P1", ""),
    ]
    bare = Rows()
    workbook_checks.fill_checks(bare, (), takeoff)  # type: ignore[arg-type]
    assert bare.kept == [("note", "Nothing noticed.")]


SEEN = Basis(Status.SEEN, source="A code", clause="3.1", holds="all")


@dataclass(frozen=True)
class Product:
    """Values with and without units, two that say nothing."""

    id: str = "p"
    name: str = "Pro\tduct"
    size: str = "big"
    cover_mm: float = 762.0
    gaps_mm: tuple[float, ...] = (5.0, 7.5)
    kg_per_m: Any = None
    screw_sort: str = "long_one"
    nothing: str = ""
    empty: tuple[float, ...] = ()
    basis: Any = None


def test_basis_of_settings_and_products(monkeypatch: pytest.MonkeyPatch) -> None:
    def setting(name: str, value: Any, basis: Basis, says: str = "wor\tds_x") -> Setting:
        return Setting(name, value, "mm", basis, says)

    values = {
        "own": setting("own", 3.0, Basis(Status.SET_IN_JOB)),
        "guess": setting("guess", True, Basis(Status.MEMORY, via="a book")),
        "one_mm": setting("one_mm", 60.0, SEEN),
        "two": setting("two", 1.0, COMMON),
        "three": setting("three", "a_b", COMMON),
        "last": setting("last", 2.0, replace(SEEN, via="A guide", holds="")),
    }
    used = (Used("shape", ("own", "one_mm")), Used("order", ("own", "last", "two", "three", "guess")))
    product = Product(kg_per_m={0.4: 3.7, 0.55: 5.09}, basis={"cover_mm": SEEN, "*": COMMON})
    monkeypatch.setattr(workbook_checks, "used_products", lambda takeoff: (product, Product(basis={})))
    takeoff: Any = SimpleNamespace(
        used=used, office=None, items={}, catalogue=SimpleNamespace(), settings=SimpleNamespace(values=values)
    )
    takeoff.catalogue = SimpleNamespace(
        **{name: {} for name in ("rolls", "timbers", "flashings", "downpipes", "gutters", "boards", "profiles")}
    )
    page = Rows()
    workbook_checks.fill_basis(page, takeoff)  # type: ignore[arg-type]
    assert page.kept == [
        ("group", "Set in the job, and values to verify: from memory"),
        ("line", "own", "wor ds x", "3 mm", "J", ""),
        ("line", "guess", "wor ds x", "yes", "M", "via a book"),
        ("group", "Settings: roof and walls raised"),
        ("line", "one_mm", "wor ds x", "60 mm", "R", "[1] 3.1; for all"),
        ("group", "Settings: order"),
        ("line", "last", "wor ds x", "2 mm", "R", "[2] 3.1"),
        ("note", "C   two 1 mm; three a b"),
        ("group", "Pro duct"),
        ("line", None, "cover 762 mm", None, "R", "[1] 3.1; for all"),
        (
            "line",
            None,
            "gaps 5, 7.5 mm; mass 3.7 kg/m at 0.4 mm, 5.09 kg/m at 0.55 mm; screw sort long one",
            None,
            "C",
            "",
        ),
        ("group", "Pro duct"),
        ("line", None, "cover 762 mm; gaps 5, 7.5 mm; screw sort long one", None, "C", ""),
        ("group", "Sources"),
        ("note", "1   A code"),
        ("note", "2   A code, restated in A guide"),
    ]
    assert workbook_checks.basis_cells(Basis(Status.DERIVED, holds="some"), {}) == ("D", "for some")
    assert workbook_checks.basis_cells(SEEN, {"x": 1, "y": 2}) == ("R", "[3] 3.1; for all")
    takeoff.office, takeoff.used = object(), ()
    monkeypatch.setattr(workbook_checks, "used_products", lambda takeoff: ())
    office = Rows()
    workbook_checks.fill_basis(office, takeoff)  # type: ignore[arg-type]
    assert office.kept == [("group", "Set in the job or by the office, and values to verify: from memory")]
    both = {"a": setting("a", 1.0, SEEN), "b": setting("b", 2.0, SEEN)}
    shared = Rows()
    workbook_checks._shared(shared, SEEN, tuple(both.values()), takeoff, {})  # type: ignore[arg-type]
    assert shared.kept == [("note", "R   [1] 3.1; for all: a 1 mm; b 2 mm")]
    cautions = Rows()
    workbook_checks.fill_cautions(cautions)  # type: ignore[arg-type]
    assert [row[1] for row in cautions.kept] == [str(number) for number in range(1, len(cautions.kept) + 1)]
