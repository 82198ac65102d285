"""Lines of an order by hand: bars by length, what goes along them and on their ends, and the head of each delivery."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.items import Item, ItemKind, Pack, Trade
from takeoff.model.measured import Need
from takeoff.model.order import OrderLine
from takeoff.model.runs import (
    AlongBought,
    AtCutEnds,
    AtJoints,
    CutPiece,
    CutPlan,
    Joint,
    RunDemand,
    StockBar,
    StockChoice,
)
from takeoff.order import build_order
from takeoff.order.letterheads import letterheads


def item(name: str, **more: Any) -> Item:
    return Item(name, name, ItemKind.FIXING, Trade.PURLINS, "m", **more)


def piece(run: str, long: int) -> CutPiece:
    return CutPiece(f"{run}.1", run, 0.0, long)


BARS = (
    StockBar("rail", 1, 6000, (piece("B", 4000), piece("A", 1900))), StockBar("rail", 2, 6000, (piece("A", 5000),)),
    StockBar("rail", 3, 6000, ()), StockBar("rail", 4, 4805, (piece("C", 4800),)),
)  # fmt: skip
SITE = (StockBar("rail", 5, 3000, (piece("D", 2950), piece("E", 40)), "back"),)
PLAN = CutPlan(
    "rail", BARS, 22005, 22805, 18345.6, 344.4, "as proven", (Joint("A", 1, 9.0, 0.0), Joint("B", 1, 9.0, 0.0))
)
RULE = "runs cut from stock lengths: least bought length that the search found, against its proven lower bound"


def demand(name: str, note: str = "", of: str = "rail") -> RunDemand:
    return RunDemand(name, of, 1.0, note=note)


def test_bars_by_length() -> None:
    """Three of 6 m and one of 4.805 m at 3.21 kg a metre; runs in the order they were asked for; notes on the longest."""
    mass = SimpleNamespace(kg_per_m=3.21, terms=(Term("kg_per_m", 3.21, "kg/m"),))
    rail = item("rail", mass=mass)
    demands = (
        demand("C", "cut square"),
        demand("A", "trimmers"),
        demand("Z", "other", "post"),
        demand("B", "trimmers"),
    )
    found = build_order._bar_lines(PLAN, "purlins", rail, demands, 1)
    terms = (
        Term("placed", 18.346, "m"), Term("laps", 0.344, "m"), Term("bought", 22.805, "m"), Term("waste", 4.115, "m"),
        Term("proven least", 22.005, "m", ref="as proven"), Term("kg_per_m", 3.21, "kg/m"),
    )  # fmt: skip
    working = Working(RULE, terms)
    assert found == [
        OrderLine("", "purlins", rail, 3, "each", 6000.0, 18.0, "m", 57.8, ("A", "B"), working, "cut square; trimmers"),
        OrderLine("", "purlins", rail, 1, "each", 4805.0, 4.805, "m", 15.4, ("C",), working),
    ]
    bare = item("rail")
    with_site = CutPlan("rail", BARS, 22005, 22805, 18345.6, 344.4, "as proven", site_bars=SITE)
    packed = build_order._bar_lines(with_site, "purlins", bare, (), 2)
    names = ["placed", "laps", "bought", "from site", "waste", "proven least", "lengths in a pack"]
    assert [term.name for term in packed[0].working.terms] == names
    assert packed[0].working.terms[3] == Term("from site", 2.99, "m")
    longer = (StockBar("rail", 5, 3000, (piece("D", 2955), piece("E", 38)), "back"),)
    told = CutPlan("rail", BARS, 22005, 22805, 18345.6, 344.4, "as proven", site_bars=longer)
    assert build_order._bar_lines(told, "purlins", bare, (), 2)[0].working.terms[3] == Term("from site", 2.993, "m")
    assert packed[0].working.terms[6] == Term("lengths in a pack", 2, "each", SET_IN_JOB)
    assert [(line.note, line.kg, line.refs) for line in packed] == [
        ("1 packs of 2", 0.0, ()),
        ("0 packs of 2", 0.0, ()),
    ]


def test_what_goes_along_bought_lengths() -> None:
    """Both edges of 22.805 m and one of 10 m: 55.61 m; of what is not bought none."""
    other = CutPlan("cap", (), 0, 10000, 0.0, 0.0)
    stocks = (StockChoice("rail", (), along=(AlongBought("soft", 2), AlongBought("tape", 1))), StockChoice("cap", (), along=(AlongBought("soft", 1),)),
              StockChoice("none", (), along=(AlongBought("soft", 9), AlongBought("never", 1))))  # fmt: skip
    items = {name: item(name) for name in ("soft", "tape", "never")}
    soft, tape = build_order._along_lines([PLAN, other], stocks, "flashings", items)
    terms = (
        Term("bought x 2", 22.805, "m", ref="rail"),
        Term("bought x 1", 10.0, "m", ref="cap"),
        Term("bought x 9", 0.0, "m", ref="none"),
    )
    rule = "bought lengths x edges dressed into the sheets"
    assert soft == OrderLine("", "flashings", items["soft"], 55.61, "m", 0.0, 55.61, "m", 0.0, (), Working(rule, terms))
    assert (tape.count, tape.of) == (22.81, items["tape"])
    short = CutPlan("rail", (), 0, 450, 0.0, 0.0)  # less than a metre is bought by the metre too
    assert [one.count for one in build_order._along_lines([short], stocks, "flashings", items)] == [0.9, 0.45]


def test_figures_of_the_whole_order() -> None:
    """Sums of all sheets and spares, a metre to a mm, square metres to two places, kilograms to one: rounded once."""
    plain = OrderLine("", "roof sheets", item("rib"), 1.0, "each", 0.0, 0.0, "m", 0.0, (), Working("w"))

    def sheet_order(*figures: float, spares: tuple[tuple[float, float], ...]) -> Any:
        names = ("bought_m", "bought_m2", "net_m2", "kg", "site_m", "site_m2")
        return SimpleNamespace(
            lines=(plain,), spares=tuple(replace(plain, total=total, kg=kg) for total, kg in spares), on_hand=(), blanks=("b",),
            totals=SimpleNamespace(**dict(zip(names, figures, strict=True))), pairs="p", site=("s",),
        )  # fmt: skip

    made = build_order.build_order(
        (
            sheet_order(1.00024, 2.0024, 3.0024, 4.024, 5.00024, 6.0024, spares=((7.00024, 8.024), (1.0, 1.0))),
            sheet_order(10.00022, 20.0022, 30.0022, 40.022, 50.00022, 60.0022, spares=((0.00022, 0.022),)),
        ),
        (),
        SimpleNamespace(number={"useful_offcut_mm": 300.0}.__getitem__),  # type: ignore[arg-type]
        {},
    )
    assert (made.sheets_bought_m, made.sheets_bought_m2, made.sheets_net_m2, made.sheets_kg) == (11.0, 22.0, 33.0, 44.0)
    assert (made.sheets_site_m, made.sheets_site_m2, made.spares_m, made.spares_kg) == (55.0, 66.0, 8.0, 9.0)
    assert [(one.id, one.total) for one in made.lines] == [
        ("L1", 0.0), ("L2", 7.00024), ("L3", 1.0), ("L4", 0.0), ("L5", 0.00022)
    ]  # fmt: skip
    finer = sheet_order(0.0016, 0.016, 0.026, 0.16, 0.0026, 0.036, spares=((0.0036, 0.26),))
    made = build_order.build_order((finer,), (), SimpleNamespace(number=lambda name: 300.0), {})  # type: ignore[arg-type]
    assert (made.sheets_bought_m, made.sheets_bought_m2, made.sheets_net_m2, made.sheets_kg) == (0.002, 0.02, 0.03, 0.2)
    assert (made.sheets_site_m, made.sheets_site_m2, made.spares_m, made.spares_kg) == (0.003, 0.04, 0.004, 0.3)


def test_places_of_the_figures_of_bars() -> None:
    """Metres to a mm in the working and on the line, kilograms to one place: 3 x 4805 mm at 3.333 kg a metre."""
    bars = tuple(StockBar("rail", n, 4805, ()) for n in range(3))
    plan = CutPlan("rail", bars, 1234.4, 5678.6, 9012.4, 3456.6)  # type: ignore[arg-type]
    mass = SimpleNamespace(kg_per_m=3.333, terms=())
    (found,) = build_order._bar_lines(plan, "purlins", item("rail", mass=mass), (), 1)
    assert (found.total, found.kg) == (14.415, 48.0)
    values = {term.name: term.value for term in found.working.terms}
    assert values == {
        "placed": 9.012, "laps": 3.457, "bought": 5.679, "waste": pytest.approx(plan.waste_mm / 1000.0, abs=0.0006), "proven least": 1.234,
    }  # fmt: skip


def test_what_goes_on_cut_ends_and_at_joints() -> None:
    """Six pieces with those from the site: 12 ends of 2.5 ml; two joints of 1.1: 2.2, so three."""
    plan = CutPlan("rail", BARS, 0, 0, 0.0, 0.0, joints=PLAN.joints, site_bars=SITE)
    term, more = Term("ml", 2.5, "ml"), (Term("spare", 10.0, "%"),)
    stocks = (
        StockChoice("rail", (), at_ends=(AtCutEnds("oil", 2.5, term),), at_joints=(AtJoints("clip", 1.1, more), AtJoints("pin", 0.0, ()), AtJoints("nail", 1.5, ()))),
        StockChoice("none", (), at_ends=(AtCutEnds("oil", 2.5, term),), at_joints=(AtJoints("clip", 1.0, ()),)),
    )  # fmt: skip
    ends = Term("cut ends of the cutting list", 12, "each", ref="rail")
    rule = "two cut ends a piece of the cutting list x what an end takes"
    assert build_order._at_cut_ends([plan], stocks) == [
        Quantity("oil.rail", "oil", 0.03, "L", (), Working(rule, (ends, term)))
    ]
    joints = Term("running joints of the cutting list", 2, "each", ref="rail")
    rule = "running joints of the cutting list x what a joint takes besides x (1 + spare)"
    assert build_order._at_joints([plan], stocks) == [
        Quantity("clip.joints.rail", "clip", 3, "each", (), Working(rule, (joints, *more))),
        Quantity("nail.joints.rail", "nail", 3, "each", (), Working(rule, (joints,))),
    ]


def test_quantities_as_lines() -> None:
    """To a hundredth; in whole packs where it is sold so; labour says so."""
    settings: Any = SimpleNamespace(term=lambda name: Term(name, 10.0, "each"))
    loose = Quantity("q", "wrap", 12.345, "m2", ("P1",), Working("w"))
    of = item("wrap")
    assert build_order._quantity_line(loose, "underlay", of, settings) == OrderLine(
        "", "underlay", of, 12.35, "m2", 0.0, 12.35, "m2", 0.0, ("P1",), Working("w")
    )
    boxed = item("screw", pack=Pack("box", "screw_box", 10.0))
    work = Quantity("q", "screw", 11.0, "each", (), Working("w"), labour=True)
    found = build_order._quantity_line(work, "walls", boxed, settings)
    assert (found.count, found.unit, found.note, found.labour) == (2.0, "box", "labour", True)


def test_needs_that_come_together() -> None:
    one, two = StockChoice("rail", (6000,)), StockChoice("rail", (4800,))
    needs = (
        Need("flashings", stock=(one,)),
        Need("purlins", stock=(one, StockChoice("post", (1,)))),
        Need("purlins", stock=(two,)),
    )
    assert build_order._by_delivery(needs) == [("purlins", [needs[1], needs[2]]), ("flashings", [needs[0]])]
    assert build_order._stocks([needs[1], needs[2]]) == (two, StockChoice("post", (1,)))


@pytest.mark.parametrize(
    ("own", "pattern", "number"),
    [({}, "{job}-{revision} {delivery} {date}", "Hut-A purlins 2026-03-02"), ({"purlins": "77"}, "{job}", "77"), ({}, "", ""), ({"walls": "8"}, " {job} ", "Hut")],
)  # fmt: skip
def test_the_head_of_a_delivery(own: dict[str, str], pattern: str, number: str) -> None:
    """Purlins and walls come from one supplier, whose terms go before the office's; flashings from nobody named."""
    supplier = SimpleNamespace(order_number=pattern, terms=("ours",))
    office: Any = SimpleNamespace(
        suppliers={"purlins": supplier, "walls": supplier}, terms=("plain",), firm="we", deliver_to="yard"
    )
    ordering = SimpleNamespace(order_numbers=own, deliver_to="", wanted_by={"purlins": date(2026, 4, 1)})
    job: Any = SimpleNamespace(job="Hut", revision="A", date=date(2026, 3, 2), ordering=ordering)
    there: Any = [SimpleNamespace(name=name) for name in ("purlins", "flashings", "walls")]
    first, second, third = letterheads(job, office, there)
    assert (first.delivery, first.firm, first.number, first.deliver_to, first.wanted_by) == (
        "purlins",
        "we",
        number,
        "yard",
        date(2026, 4, 1),
    )
    assert (first.terms, first.beside, first.supplier) == (("ours",), ("purlins", "walls"), supplier)
    assert (second.supplier, second.number, second.terms, second.beside, second.wanted_by) == (
        None,
        "",
        ("plain",),
        ("flashings",),
        None,
    )
    assert third.beside == ("purlins", "walls")
    job.ordering.deliver_to = "site"
    job.date = None
    assert letterheads(job, office, there)[0].deliver_to == "site"
