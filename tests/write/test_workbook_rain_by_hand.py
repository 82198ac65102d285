"""The sheet Rainwater: every cell by hand, formulas with what they must give. The layout itself is no check value."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from rows_by_hand import Rows

from takeoff.model.basis import Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterCorner, GutterLeg, GutterRun, PlaneShare, Received
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.measured import Need
from takeoff.model.order import OrderLine
from takeoff.model.runs import CutPiece, CutPlan, RunDemand, StockBar
from takeoff.write.workbook import workbook_rainwater
from takeoff.write.workbook.workbook_page import Formula

WORKING = Working("made up")
CORNER = (0.0, 0.0, 2400.0)


def leg(
    edge: str, edges: tuple[int, ...], a: tuple[float, float], b: tuple[float, float], length: float, area: float
) -> GutterLeg:
    return GutterLeg(edge, edges, (*a, 2400.0), (*b, 2400.0), length, area)


# an outline whose corners are 1 (1000, 500), 2 (9000, 500), 3 (9000, 6500), 4 (1000, 6500); inside it a hole from corner 5
OUTER = ((1000.0, 500.0), (9000.0, 500.0), (9000.0, 6500.0), (1000.0, 6500.0))
HOLE = ((4000.0, 3000.0), (5000.0, 3000.0), (5000.0, 4000.0))
LEGS = (
    leg("eave\t1", (1, 2), (1000.0, 500.0), (9000.0, 500.0), 8000.4, 20.006e6),
    leg("eave 3", (), (9000.0, 500.0), (9000.0, 6500.0), 6000.5, 11.999e6),
)
CORNERS = tuple(
    GutterCorner(kind, angle, CORNER)
    for kind, angle in (("external", 90.04), ("internal", 90.0), ("external", 90.0), ("external", 135.0))
)
RECEIVED = (
    Received("main", "D7", "P9", 0.0, 1.25e6),
    Received("upper", "", "P9", 0.0, 4.0e6),
    Received("main", "D7", "P8", 0.0, 0.75e6),
)
RUN = GutterRun("G1", "main", LEGS, CORNERS, False, 32e6, 22.46, received=RECEIVED)


def takeoff(**more: Any) -> Any:
    """What the sheet asks of a takeoff: roofs, the gutter of the job, tanks."""
    roofs = (SimpleNamespace(name="porch", outline_mm=(HOLE,)), SimpleNamespace(name="main", outline_mm=(OUTER, HOLE)))
    given = {
        "roofs": roofs,
        "job": SimpleNamespace(rainwater=SimpleNamespace(gutter="quad"), tanks=()),
        "settings": SimpleNamespace(word={"rainwater_gutter": "round"}.__getitem__),
        "catalogue": SimpleNamespace(gutters={"quad": GUTTER, "round": SimpleNamespace(name="Round", area_mm2=1.0)}),
    }
    return SimpleNamespace(**{**given, **more})


GUTTER = SimpleNamespace(name="Quad\x01 125", area_mm2=5000.0)


def test_a_run_leg_by_leg_with_its_sum_what_it_receives_and_its_corners() -> None:
    """8000 + 6001 as shown; 20.01 + 12 = 32.01 m2; a spreader's 1.25 + 0.75 m2 are one source. 90.04 is shown as 90."""
    page = Rows()
    workbook_rainwater._run(page, RUN)  # type: ignore[arg-type]
    assert page.kept == [
        ("group", "G1: one left and one right stop end"),
        ("line", "G1", "leg along eave 1", 8000.0, 1, 20.01, None, "edge 1, 2 of the job"),
        ("line", "G1", "leg along eave 3", 6001.0, 1, 12.0, None, ""),
        ("total", "G1", "whole run", Formula("SUM(C11:C12)", 14001.0), Formula("SUM(D11:D12)", 2.0),
         Formula("ROUND(SUM(E11:E12),2)", 32.01), None, "steepest plane that drains here: 22.5 degrees"),
        ("note", "Of this area 2 m2 comes from the spreader of D7."),
        ("note", "Of this area 4 m2 comes from roof upper, off eaves without spouting."),
        ("line", "G1", "external corner", None, 2, None, None, "90 degrees between the legs"),
        ("line", "G1", "internal corner", None, 1, None, None, "90 degrees between the legs"),
        ("line", "G1", "external corner", None, 1, None, None, "135 degrees between the legs"),
    ]  # fmt: skip
    ring = Rows()
    workbook_rainwater._run(ring, replace(RUN, ring=True, received=(), corners=()))  # type: ignore[arg-type]
    assert ring.kept[0] == ("group", "G1: runs round the roof, no stop ends")
    assert len(ring.kept) == 4


@pytest.mark.parametrize(
    ("at", "off", "where"),
    [
        ((1300.0, 900.0), 500.0, "corner 1, edge 1, 2"),  # 3-4-5 from corner 1, nearer the first leg
        ((9000.0, 5000.0), 1500.0, "corner 3, edge "),  # on the second leg
        ((5000.0, 500.0), 2500.0, "corner 5, edge 1, 2"),  # the hole's corner is 2693 off, see below
        ((9000.0, 3500.0), 3000.0, "corner 2, edge "),  # as far from corner 3: the first is named
    ],
)
def test_a_pipe_is_placed_from_the_nearest_corner(at: tuple[float, float], off: float, where: str) -> None:
    """Of (5000, 500) the corners are 4000, 4000 and, of the hole at (5000, 3000), 2500 off: number 6."""
    where = where.replace("corner 5", "corner 6")
    pipe = Downpipe("D1", "G1", (*at, 2400.0), 0.0, 0.0, 0.0)
    assert workbook_rainwater._place(takeoff(), RUN, pipe) == (off, where)


def test_a_pipe_of_no_known_roof_has_no_place() -> None:
    pipe = Downpipe("D1", "G1", CORNER, 0.0, 0.0, 0.0)
    assert workbook_rainwater._place(takeoff(roofs=()), RUN, pipe) == (None, "")
    # 5 + 12 - 13 = 4 off the straight way
    assert workbook_rainwater._off((0.0, 0.0), (5.0, 12.0), (5.0, 0.0)) == 4.0
    assert workbook_rainwater._off((2.0, 1.0), (5.0, 5.0), (2.0, 1.0)) == 0.0


PIPES = (
    Downpipe(
        "D1", "G1", (1300.0, 900.0, 2400.0), 0.0, 2350.6, 18.126e6, gutter_mm2=5000.5,
        shares=(PlaneShare("P\t1", 10e6, 45.0), PlaneShare("W2", 2.5e6, 45.0, wall=True)),
    ),
    Downpipe("D2", "G1", (9000.0, 5000.0, 2400.0), 0.0, 900.0, 5e6, gutter_mm2=5000.0, onto="P\x017"),
)  # fmt: skip
TERMS = (Term("plan area one pipe may drain", 62.5, "m2"), Term("downpipe_spacing_mm", 12000.0, "mm"))
PLAN = DownpipePlan(
    "G1", "e1_as1", 2, "capacity\t", (("capacity", 1), ("spacing between outlets", 2), ("corners", 3)), PIPES,
    Working("made up", TERMS),
)  # fmt: skip
METHOD = ("line", "G1", "downpipes, by the E1/AS1 table", None, 2, None, None, "decided by capacity")
LIMITS = [
    ("line", "G1", "capacity asks for", None, 1, None, None, "limit 62.5 m2"),
    ("line", "G1", "spacing between outlets asks for", None, 2, None, None, "limit 12 000 mm"),
    ("line", "G1", "corners asks for", None, 3, None, None, ""),
]


def test_pipes_with_their_shares_and_the_limits_that_decide() -> None:
    """At 45 degrees rain at 2 to 1 falls on 1 + 0.5 of the plan: 15 m2 of 10; a wall as it is. 5000.5 mm2 wanted of 5000."""
    page = Rows()
    workbook_rainwater._pipes(page, takeoff(), RUN, PLAN)  # type: ignore[arg-type]
    assert page.kept == [
        ("line", "D1", "downpipe, gutter to ground", 2351.0, 1, 18.13, 500.0,
         "corner 1, edge 1, 2; needs 5001 mm2: TOO SMALL"),
        ("line", "", "of P 1", None, None, 10.0, None, "15 m2 in wind at 45 degrees"),
        ("line", "", "of the wall W2 above", None, None, 2.5, None, "2.5 m2 in wind"),
        ("line", "D2", "downpipe, gutter to roof P 7, spreader", 900.0, 1, 5.0, 1500.0, "corner 3, edge ; needs 5000 mm2"),
        ("line", "G1", "section of Quad 125", None, None, None, None, "5000 mm2; needs are by the area rule"),
        METHOD,
        *LIMITS,
    ]  # fmt: skip


def test_what_is_led_to_a_tank_says_so_but_not_off_a_spreader() -> None:
    job = SimpleNamespace(
        rainwater=SimpleNamespace(gutter=""),
        tanks=(SimpleNamespace(name="T1", pipes=("D2",)), SimpleNamespace(name="Big\t1", pipes=None)),
    )
    shares = (PlaneShare("P1", 1e6, 0.0),)
    pipes = (
        replace(PIPES[0], shares=shares, gutter_mm2=0.0),
        replace(PIPES[0], id="D2", shares=shares, gutter_mm2=1.0),
    )
    onto = replace(PIPES[1], shares=shares, gutter_mm2=0.0)
    page = Rows()
    plan = replace(PLAN, pipes=(*pipes, onto), limits=(), method="own")
    workbook_rainwater._pipes(page, takeoff(job=job, roofs=()), RUN, plan)  # type: ignore[arg-type]
    assert [row[7] for row in page.kept] == [
        "",
        "1 m2 in wind at 0 degrees, to tank Big 1",
        "needs 1 mm2",
        "1 m2 in wind at 0 degrees, to tank T1",
        "",
        "1 m2 in wind at 0 degrees",
        "1 mm2; needs are by the area rule",
        "decided by capacity",
    ]
    assert page.kept[-2][2] == "section of Round"
    assert page.kept[-1][2] == "downpipes, by own"


@pytest.mark.parametrize("none", ["internal", "unknown"])
def test_no_section_is_asked_of_an_internal_gutter_or_one_that_is_not_known(none: str) -> None:
    run = replace(RUN, internal=none == "internal")
    known = takeoff() if none == "internal" else takeoff(catalogue=SimpleNamespace(gutters={}))
    page = Rows()
    workbook_rainwater._pipes(page, known, run, PLAN)  # type: ignore[arg-type]
    assert [row[7] for row in page.kept if row[1].startswith("D")] == ["corner 1, edge 1, 2", "corner 3, edge "]
    assert page.kept[4:] == [METHOD, *LIMITS]


def test_a_gutter_is_too_small_by_more_than_a_crumb() -> None:
    for wanted, words in ((5000.0, "needs 5000 mm2"), (5000.001, "needs 5000 mm2: TOO SMALL")):
        page = Rows()
        plan = replace(PLAN, pipes=(replace(PIPES[1], gutter_mm2=wanted),), limits=())
        workbook_rainwater._pipes(page, takeoff(roofs=()), RUN, plan)  # type: ignore[arg-type]
        assert page.kept[0][7] == words


def item(name: str, words: str) -> Item:
    return Item(name, words, ItemKind.FITTING, Trade.RAINWATER, "each")


def line(of: Item, unit: str, each: float = 0.0, **more: Any) -> OrderLine:
    return OrderLine("l", more.pop("delivery", "rainwater"), of, 3.0, unit, each, 3.0, unit, 0.0, (), WORKING, **more)


def test_runs_then_lengths_then_what_is_counted_and_labour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook_rainwater, "_run", lambda page, run: page.note(f"run {run.id}"))
    monkeypatch.setattr(
        workbook_rainwater, "_pipes", lambda page, takeoff, run, plan: page.note(f"pipes of {run.id} {plan}")
    )
    cut = (CutPiece("a", "G1", 0.0, 3000), CutPiece("b", "G1", 3000.0, 1500))
    bars = (StockBar("g", 1, 5000, cut), StockBar("g", 2, 5000, cut), StockBar("g", 3, 4000, cut[:1]))
    plan = CutPlan("g", bars, 0, 0, 0.0, 0.0, site_bars=(StockBar("g", 4, 6000, cut, "back\tshed"),))
    need = Need("rainwater", (), (RunDemand("G1", "g", 1.0),))
    house = takeoff(
        gutters=(RUN, replace(RUN, id="G2")),
        gutter_plan={"G1": "plan 1", "G2": None}.__getitem__,
        roofing=SimpleNamespace(needs=()),
        rainwater=SimpleNamespace(needs=(need,)),
        cladding=SimpleNamespace(needs=()),
        items={"g": item("g", "Gutter")},
    )
    lines = (
        line(item("x", "Brac\tket"), "each"),
        line(item("y", "Glue"), "tube"),
        line(item("z", "Fit"), "each", labour=True),
        line(item("g", "Gutter"), "each", 1.0),
        line(item("w", "Nail"), "box", delivery="walls"),
    )
    page = Rows()
    order: Any = SimpleNamespace(plans=(plan,), lines=lines)
    workbook_rainwater.fill_rainwater(page, house, order)  # type: ignore[arg-type]
    box = "____________"
    assert page.kept == [
        ("note", "run G1"),
        ("note", "pipes of G1 plan 1"),
        ("gap",),
        ("note", "run G2"),
        ("gap",),
        ("group", "Bought, and labour"),
        ("note", f"Colour of gutter: {box}   of downpipes: {box}   of fascia and barge: {box}   Coating: {box}"),
        ("heading", "", "what", "length mm", "count", "", "", "cut into, mm", (False, False, True, True, True, True)),
        ("line", "", "Gutter, from site: back shed", 6000, 1, None, None, "3000 + 1500"),
        ("line", "", "Gutter", 5000, 2, None, None, "3000 + 1500"),
        ("line", "", "Gutter", 4000, 1, None, None, "3000"),
        ("line", "", "Brac ket", None, 3.0, None, None, ""),
        ("line", "", "Glue", None, 3.0, None, None, "tube"),
        ("line", "", "Fit", None, 3.0, None, None, "labour"),
    ]
    bare = Rows()
    house.gutters = ()
    workbook_rainwater.fill_rainwater(bare, house, order)  # type: ignore[arg-type]
    assert bare.kept == [("note", "No spouting in this order.")]
