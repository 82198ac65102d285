"""The bounds of the shape itself and of what is cut from stock, whole and by hand, on made-up planes and lists."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import product
from math import cos, inf, radians, sin
from pathlib import Path
from types import SimpleNamespace

import pytest

from takeoff.basics.vectors import Point3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import ItemKind, Pack
from takeoff.model.measured import Need
from takeoff.model.roof import Covering
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.order.bounds.bounded import Bounded, Rule
from takeoff.order.bounds.check_bounds import check_bounds
from takeoff.order.bounds.ground import ground_of, places_of
from takeoff.order.bounds.line_bounds import counted, metres_bought, name_of, packed, whole
from takeoff.order.bounds.shape_bounds import edge_lengths, edges_apart, plane_areas, plane_sides, true_folds
from takeoff.order.bounds.stock_bounds import bars_of, stock_bought, stock_placed

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import AROUND_M, GOLDEN, RAKE_M, TRAPEZE, case, check, edge, item, line, plan, plane, roof


def test_a_plane_by_its_corners() -> None:
    ground = ground_of(roof(), plane(), 0.25)
    assert (ground.area_m2, ground.across_m, ground.rise_m, ground.shift_m) == (20.0, 6.0, 4.0, 0.25)
    assert ground.around_m == pytest.approx(AROUND_M)
    assert ground.sides_m == ((6.0, 0.0), (0.0, 4.0), (4.0, 0.0), (2.0, 4.0))
    assert (ground.across_total_m, ground.rise_total_m) == (12.0, 8.0)
    assert [factor for factor, _ in ground.corners] == pytest.approx([1.0, 1.0, GOLDEN, GOLDEN])
    assert [short for _, short in ground.corners] == pytest.approx([4.0, 4.0, 4.0, RAKE_M])
    # a band of 0.1 m: 0.01 m2 times the factors; one of 10 m is no longer than twice a side
    assert ground.corner_m2(0.1) == pytest.approx(0.01 * (2.0 + 2.0 * GOLDEN))
    assert ground.corner_m2(10.0) == pytest.approx(20.0 * (4.0 + 4.0 + 4.0 + RAKE_M))
    assert ground.metres_of(EdgeKind.EAVE, EdgeKind.RIDGE) == 10.0


def test_corners_that_turn_by_nothing_or_all_the_way_and_sides_that_are_crumbs() -> None:
    flat = ground_of(roof(), plane("P1", ((0.0, 0.0), (4000.0, 0.0), (2000.0, 0.0))))
    assert flat.corners == ((pytest.approx(2e9), 2.0), (20.0, 2.0), (pytest.approx(2e9), 2.0))
    # corners half a millimetre from the one before are left out, and those beyond stay
    crumb = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 0.5), (6000.0, 4000.0), (0.0, 4000.0))
    beyond = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 0.75), (6000.0, 4000.0), (0.0, 4000.0))
    assert [len(ground_of(roof(), plane("P1", ring)).corners) for ring in (crumb, beyond)] == [4, 5]
    small = ((0.0, 0.0), (0.6, 0.0), (0.0, 0.6))
    assert len(ground_of(roof(), plane("P1", small)).corners) == 3


def test_corners_of_a_plane_that_lies_askew() -> None:
    """Sides (4, 1), (-3, 3) and (-1, -4) m: cross products of 15, dot products of -9, -9 and -8, squares of 17, 18 and 17."""
    ring = ((1000.0, 500.0), (5000.0, 1500.0), (2000.0, 4500.0))
    ground = ground_of(roof(), plane("P1", ring))
    sharp = ((17.0 * 18.0) ** 0.5 + 9.0) / 15.0
    assert [factor for factor, _ in ground.corners] == pytest.approx([sharp, sharp, 25.0 / 15.0])
    assert [short for _, short in ground.corners] == pytest.approx([17.0**0.5] * 3)
    assert (ground.across_m, ground.rise_m, ground.area_m2, ground.shift_m) == (4.0, 4.0, 7.5, 0.0)


def test_a_hole_is_taken_off_and_gone_round() -> None:
    hole = ((3000.0, 1000.0), (3000.0, 2000.0), (5000.0, 2000.0), (5000.0, 1000.0))
    ground = ground_of(roof(), plane("P1", TRAPEZE, hole))
    assert ground.area_m2 == 18.0
    assert ground.around_m == pytest.approx(AROUND_M + 6.0)
    assert len(ground.corners) == 8
    assert (ground.across_m, ground.rise_m) == (6.0, 4.0)


def test_planes_that_are_sheeted_and_how_far_they_were_measured_off_the_drawing() -> None:
    bare = plane("P2", covering=Covering.OTHER)
    shared = edge("V1", EdgeKind.VALLEY, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), ("P1", "P9"), "other")
    alone = edge("V2", EdgeKind.VALLEY, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), ("P2",))
    drawn, built = ((0.0, 0.0), (3.0, 4.0), (9.0, 9.0)), ((0.0, 1.0), (0.0, 0.0), (9.0, 9.0))
    site = SimpleNamespace(fits=[SimpleNamespace(plane="P1", drawn_uv=drawn, built_uv=built)])
    roofs = (roof([plane(), bare], [shared, alone]), roof([plane("P3")], [shared], "other"))
    made = case(roofs=roofs, site=site)
    assert [(ground.id, ground.shift_m) for ground in made.planes] == [("P1", 0.005), ("P3", 0.0)]
    assert made.edges == (shared,)
    assert made.edges_of(EdgeKind.VALLEY) == (shared,)
    assert made.edges_of(EdgeKind.EAVE) == ()


def test_ends_up_to_three_millimetres_apart_are_one_place_whichever_way() -> None:
    for number, (x, y, z) in enumerate(product((-1.7, 0.0, 1.7), repeat=3)):
        at = 1000.0 * number + 1.5
        one = edge("E1", EdgeKind.EAVE, (at, 1.5, 1.5), (at, 500.0, 0.0))
        two = edge("H1", EdgeKind.HIP, (at, -500.0, 0.0), (at + x, 1.5 + y, 1.5 + z))
        first, *others = places_of([one, two])
        assert (first.low, first.high, len(others)) == ((one,), (two,), 2)
        assert first.ends(EdgeKind.HIP, EdgeKind.EAVE) == [one, two]
        assert first.ends(EdgeKind.HIP) == [two]
    just, beyond = ((0.0, 0.0, at) for at in (3.0, 3.01))
    rows = [[edge("E1", EdgeKind.EAVE, (0.0, 0.0, 0.0), (900.0, 0.0, 0.0)), edge("E2", EdgeKind.EAVE, p, (0.0, 900.0, 0.0))]
            for p in (just, beyond)]  # fmt: skip
    assert [len(places_of(row)) for row in rows] == [3, 4]


def test_areas_and_sides_of_a_plane() -> None:
    made = case(roofs=(roof([replace(plane(), area_mm2=20.5e6, plan_area_mm2=17e6)]),))
    plan = 20.0 * cos(radians(30.0))
    words = (f"area inside its corners, {20:.2f} m2", f"area inside its corners x cos pitch, {17.32:.2f} m2")
    check(
        plane_areas(made),
        (20.5, 20.0 - 0.03, 20.0 + 0.03, "m2", words[0], "area of P1", ("P1",)),
        (17.0, plan - 0.03, plan + 0.03, "m2", words[1], "plan of P1", ("P1",)),
    )
    slack = 0.01 * AROUND_M + 0.1
    words = ("way round its corners, 18.47 m",)
    check(
        plane_sides(made),
        (AROUND_M, AROUND_M - slack, AROUND_M + slack, "m", words[0], "edges round P1", ("P1",)),
    )


def test_an_edge_is_as_long_as_its_ends_are_apart() -> None:
    own = edge("E1", EdgeKind.EAVE, (0.0, 0.0, 0.0), (4000.0, 0.0, 0.0))
    shared = edge("V1", EdgeKind.VALLEY, (0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), roof="other")
    made = case(roofs=(roof([], [own, shared]),))
    check(edge_lengths(made), (4.0, 3.999, 4.001, "m", "ends 4.000 m apart", "E1, eave of main", ("E1",)))


def _folded(pitch: float, up_mm: float, kind: EdgeKind = EdgeKind.PITCH_CHANGE) -> list[Bounded]:
    """A plane 4 m up at 30 degrees, and one above it, `up_mm` long, at another pitch."""
    low = plane("P1", ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0)))
    top = low.frame.to_space((0.0, 4000.0))
    high = plane("P2", ((0.0, 0.0), (6000.0, 0.0), (6000.0, up_mm), (0.0, up_mm)), pitch=pitch, origin=top)
    fold = edge("C1", kind, top, (6000.0, top[1], top[2]), ("P1", "P2"))
    half = edge("C2", EdgeKind.RIDGE, top, (6000.0, top[1], top[2]), ("P1", "U1"))
    return list(true_folds(case(roofs=(roof([low, high], [fold, half]),))))


def test_a_fold_that_turns_by_less_than_a_degree() -> None:
    """The corner that is furthest off: 4 m of the lower plane, or more of the upper one, times sin 0.9 degrees."""
    words = "C1, a pitch change that hardly turns: P1 off P2"
    for up_mm in (2000.0, 5000.0):
        off = max(4000.0, up_mm) * sin(radians(0.9))
        row = (off, 1.0, inf, "mm", "what makes two planes of one", words, ("C1", "P1", "P2"))
        check(_folded(30.9, up_mm), row)
        check(_folded(29.1, up_mm), row)
    assert _folded(31.1, 2000.0) == []
    assert _folded(30.9, 2000.0, EdgeKind.VERGE) == []


def test_edges_that_leave_a_place_side_by_side() -> None:
    """20 mm apart after 4 m, the shorter: an eave of 10 m along x, and an edge that turns from it by 0.29 degrees."""
    corner, far, near = (0.0, 0.0, 0.0), (10000.0, 0.0, 0.0), (4000.0, 20.0, 0.0)

    def apart(
        two: tuple[Point3, Point3], one: tuple[Point3, Point3] = (corner, far), of: str = "main"
    ) -> list[Bounded]:
        pair = [edge("E1", EdgeKind.EAVE, *one), edge("H1", EdgeKind.HIP, *two, roof=of)]
        return list(edges_apart(case(roofs=(roof([], pair),))))

    words = ("what is no wider than this is no plane", "E1, eave, from H1, hip")
    row = (20.0, 5.0, inf, "mm", *words, ("E1", "H1"))
    check(apart((corner, near)), row)
    check(apart((near, corner)), row)
    check(apart((near, corner), (far, corner)), row)
    assert apart((corner, near), of="other") == []
    assert apart((corner, (4000.0, 80.0, 0.0))) == []  # 1.15 degrees
    assert apart((corner, (-4000.0, 20.0, 0.0))) == []
    assert apart((corner, corner)) == []


ITEMS = {
    "nail": item("nail", pack=Pack("box", "", 250.0)),
    "rail": item("rail", sold_in="m"),
    "bolt": item("bolt", pack=Pack("box", "", 0.0)),
}


def test_figures_of_an_items_lines() -> None:
    lines = (
        line("nail", 2.0, "box"),
        line("rail", 3.0, each_mm=4800.0),
        line("nail", 3.0, "box"),
        line("rail", 2.0, each_mm=600.0),
        line("pin", 1.0, "tin"),
    )
    made = case(items=ITEMS, order={"lines": lines})
    assert counted(made, "nail") == 5.0
    assert metres_bought(made, "rail") == pytest.approx(15.6)
    assert (name_of(made, "rail"), name_of(made, "odd_bits")) == ("rail, called", "odd bits")
    check([packed(made, "nail", 500.0, 751.0, "by hand")], (5.0, 2.0, 4.0, "box", "by hand", "nail, called", ()))
    check([packed(made, "rail", 2.4, 3.6, "by hand")], (5.0, 2.4, 3.6, "each", "by hand", "rail, called", ()))
    check([packed(made, "bolt", 2.4, 3.6, "why")], (0.0, 2.4, 3.6, "on the order", "why", "bolt, called", ()))
    check([packed(made, "pin", 2.4, 3.6, "why")], (1.0, 2.4, 3.6, "tin", "why", "pin", ()))
    check([packed(made, "odd_bits", 2.4, inf, "why")], (0.0, 2.4, inf, "on the order", "why", "odd bits", ()))


def test_whole_packs_are_told_to_a_crumb() -> None:
    assert [whole(measured, 5.0) for measured in (0.0, 4.9, 5.0, 5.1, inf)] == [0.0, 1.0, 1.0, 2.0, inf]
    assert (whole(2.0 + 0.5e-9, 1.0), whole(2.0 + 1.5e-9, 1.0)) == (2.0, 3.0)
    assert (whole(2.4, 0.0), whole(2.4, -1.0)) == (2.4, 2.4)


def test_what_pieces_lay_on_the_house() -> None:
    """3 + 2 m bought and 1 m from the site, 150 mm of them laps, for runs of 5.8 m: a millimetre, and for each piece half
    a one less or a whole one more."""
    needs = (Need("purlins", demands=(RunDemand("a", "rail", 2800.0), RunDemand("b", "rail", 3000.0))),)
    plans = (plan("rail", [(6000, (3000, 2000))], site=[(1500, (1000,))], laps_mm=150.0), plan("odd_bits", []))
    made = case(items=ITEMS, roofing={"needs": needs}, order={"plans": plans})
    check(
        stock_placed(made),
        (5.85, 5.7975, 5.804, "m", "runs of 5.80 m", "rail, called", ()),
        (0.0, -0.001, 0.001, "m", "runs of 0.00 m", "odd bits", ()),
    )


def _bought(choice: StockChoice, bars: list[tuple[int, tuple[int, ...]]], count: float = 3.0) -> list[Bounded]:
    made = case(
        items=ITEMS,
        cladding={"needs": (Need("cladding", stock=(choice,)),)},
        order={"plans": (plan("rail", bars, site=[(1000, (900,))]),), "lines": (line("rail", count, each_mm=4800.0),)},
    )
    return list(stock_bought(made))


@pytest.mark.parametrize(
    ("pack", "most"),
    [
        # by hand in 4.8 m less 11 of docking: 3 m leave 1.786 after a cut of 3, 2 and 2 go into the next, 1.5 into the
        # first: two bars and one more. In 6 m it is two and one too; 3 m do not take a piece of 3 m
        (1, 3 * 4.8),
        (2, 4 * 4.8),  # three in twos are four
        (4, 4 * 4.8),
    ],
)
def test_what_is_bought_lies_between_the_pieces_and_a_plain_packing(pack: int, most: float) -> None:
    choice = StockChoice("rail", (3000, 4800, 6000), kerf_mm=2.5, trim_mm=10.2, pack=pack)
    bars = [(4800, (3000, 1500)), (6000, (2000, 2000))]
    words = "pieces of 8.50 m, packed longest first in one stock length and a bar more"
    check(
        _bought(choice, bars),
        (14.4, 8.5, most, "m", words, "rail, called", ()),
        (14.4, 10.8, 10.8, "m", "bars of the cutting list, 10.80 m", "rail, called", ()),
    )


def test_what_bounds_a_plain_packing() -> None:
    """Two pieces of 3 m, each a whole bar of 3 m, and one more: 9 m."""
    bars = [(3000, (3000,)), (3000, (3000,))]

    def most(*lengths: int, trim: float = 0.0, supply: tuple[int | None, ...] = ()) -> float:
        return _bought(StockChoice("rail", lengths, supply=supply, trim_mm=trim), bars)[0].high

    assert (most(3000), most(2900), most(3000, trim=1.0), most()) == (9.0, inf, inf, inf)
    assert (most(3000, supply=(None,)), most(3000, supply=(5,)), most(3000, 6000, supply=(None, 5))) == (9.0, inf, inf)
    # 6 m hold two pieces, less a millimetre of docking one: two bars, or three
    assert (most(6000), most(6000, trim=1.0)) == (12.0, 18.0)


def test_pieces_are_packed_only_for_what_they_do_not_allow_end_to_end() -> None:
    """Three pieces of 4 m in 6 m: end to end two bars and one more, packed three and one more. 14.4 m are under 18 m
    already; 19.2 m are held against the packing, 24 m; none at all is one bar."""
    bars = [(6000, (4000,))] * 3
    choice = StockChoice("rail", (6000,))
    assert [_bought(choice, bars, count)[0].high for count in (3.0, 4.0)] == [18.0, 24.0]
    # a cut of 10 mm after the first piece of 3 m leaves no room for the second: both ways two bars and one more
    assert _bought(StockChoice("rail", (6000,), kerf_mm=10.0), [(6000, (3000, 3000))])[0].high == 18.0
    assert _bought(StockChoice("rail", (6000,), kerf_mm=10.0), [(6000, (3000, 2990))])[0].high == 12.0
    assert _bought(choice, [])[0].high == 6.0


def test_cuts_take_their_width_out_of_every_bar() -> None:
    assert bars_of((4000, 1000, 1000), 6000, 5) == 2
    assert bars_of((3000, 1500, 1495), 6000, 5) == 2
    assert bars_of((3000, 3000), 6000, 5) == 2
    assert bars_of((5999, 1), 6000, 0) == 1
    assert bars_of((), 6000, 0) == 0


def _said(figure: Bounded, name: str = "tape") -> Finding:
    rule = Rule(name, "rolls of tape", "", "", lambda _: (figure,))
    made = case()
    (finding,) = check_bounds(made.takeoff, made.order, (rule,))
    return finding


ADVICE = (
    "The order is withheld. Look there on the roof plan for corners a few mm out of line; where the shape is right, "
    "the program is wrong."
)


@pytest.mark.parametrize(
    ("figure", "text"),
    [
        (
            Bounded(1265.0, 2.0, 3.5, "roll", "by hand", "all", ("V1",)),
            "Rolls of tape (all): 1,265 rolls, but 2 to 3.5",
        ),
        (Bounded(1.2346, 2.0, inf, "each", "by hand", "", ("V1",)), "Rolls of tape: 1.235 pieces, but at least 2"),
        (Bounded(4.0, 0.0, 3.0, "m2", "by hand", "", ("V1",)), "Rolls of tape: 4 m2, but at most 3"),
        (Bounded(4.0, 0.5, 3.0, "box", "by hand", "", ("V1",)), "Rolls of tape: 4 boxes, but 0.5 to 3"),
        (Bounded(4.0, 2.9996, 3.0004, "tin", "by hand", "", ("V1",)), "Rolls of tape: 4 tins, but 3"),
    ],
)
def test_what_is_said_of_a_figure_out_of_bounds(figure: Bounded, text: str) -> None:
    finding = Finding("out-of-bounds-tape", Severity.STOP, f"{text} by another reckoning: by hand.", ADVICE, ("V1",))
    assert _said(figure) == finding
    assert _said(figure, "plane-without-sheets").code == "plane-without-sheets"


def test_a_figure_within_its_bounds_is_not_said_and_a_crumb_is_no_fault() -> None:
    def holds(figure: float, low: float, high: float) -> bool:
        return Bounded(figure, low, high, "m", "").holds

    # a millionth of the figure, of 1 for less than 1
    assert holds(2e6 - 1.9, 2e6, 2e6)
    assert not holds(2e6 - 2.1, 2e6, 2e6)
    assert holds(2e6 + 1.9, 2e6, 2e6)
    assert not holds(2e6 + 2.1, 2e6, 2e6)
    assert holds(0.1 + 0.9e-6, 0.1, 0.1)
    assert not holds(0.1 + 1.1e-6, 0.1, 0.1)
    assert not holds(-0.1 - 1.1e-6, -0.1, 0.0)
    rule = Rule("tape", "rolls", "", "", lambda _: (Bounded(2.0, 2.0, 2.0, "m", ""),))
    made = case(order={"lines": (line("a", 1.0, of=item("a", kind=ItemKind.SHEET)),)})
    assert check_bounds(made.takeoff, made.order, (rule,)) == ()
