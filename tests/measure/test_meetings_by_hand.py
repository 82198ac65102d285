"""Where two flashings meet: which piece joins them or why none is needed, on nodes made up by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import dist
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point3
from takeoff.measure.roofing.flashings import junctions as of_junctions
from takeoff.measure.roofing.flashings.junctions import Junction, bare_feet, junctions_of, meetings_of
from takeoff.measure.roofing.flashings.meeting_pieces import (
    _inside_deg,
    corner_pieces,
    in_line,
    lands_on_roof,
    level_end,
    roof_angle_deg,
    why_none,
)
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Meeting
from takeoff.model.roof import Covering, Frame, Node, Roof, RoofEdge, RoofPlane, UprightKind

FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
NODE = Node("N", (0.0, 0.0, 0.0), ())


def plane(name: str, *ring: tuple[float, float], covering: Covering = Covering.SHEETS) -> RoofPlane:
    square = ring or ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    return RoofPlane(name, "main", FLAT, (square,), (1,), 1, 20.0, 180.0, 1.0, 1.0, 0.0, covering)


PLANES = (plane("P1"), plane("P2"))


def edge(
    name: str,
    kind: EdgeKind,
    to: Point3,
    *,
    faces: Sequence[str] = ("P1",),
    high: bool = False,
    outline: Sequence[int] = (),
) -> RoofEdge:
    """An edge from the node; `high`: the node is its upper end."""
    here: Point3 = (0.0, 0.0, 0.0)
    a, b, low, up = (to, here, f"at {name}", "N") if high else (here, to, "N", f"at {name}")
    long = dist(a, b)
    return RoofEdge(name, "main", kind, low, up, a, b, tuple(faces), long, long, 20.0, 150.0, True, tuple(outline))


def roof(*edges: RoofEdge, planes: Sequence[RoofPlane] = PLANES, uprights: Any = ()) -> Roof:
    node = replace(NODE, edges=tuple(one.id for one in edges))
    return Roof("main", (0.0, 0.0, 0.0), (), (), (), tuple(planes), tuple(uprights), edges, (node,))


EAST, WEST, NORTH, SOUTH = (5.0, 0.0, 0.0), (-5.0, 0.0, 0.0), (0.0, 5.0, 0.0), (0.0, -5.0, 0.0)
RIDGE, HIP, VALLEY, EAVE = EdgeKind.RIDGE, EdgeKind.HIP, EdgeKind.VALLEY, EdgeKind.EAVE
VERGE, HEAD, CHANGE, GUTTER = EdgeKind.VERGE, EdgeKind.HEAD, EdgeKind.PITCH_CHANGE, EdgeKind.INTERNAL_GUTTER
APRON, SIDE = EdgeKind.APRON_HEAD, EdgeKind.APRON_SIDE


def kinds(*edges: RoofEdge, **more: Any) -> list[tuple[str, tuple[str, ...]]]:
    return [(one.kind, one.edges) for one in junctions_of(roof(*edges, **more))]


@pytest.mark.parametrize(
    ("to", "straight"),
    [(WEST, True), (EAST, False), (NORTH, False), ((-5.0, 0.08, 0.0), True), ((-5.0, 0.09, 0.0), False),
     ((-5.0, -0.09, 9.0), False), ((-5.0, 0.0, 9.0), True)],
)  # fmt: skip
def test_two_edges_in_one_line(to: Point3, straight: bool) -> None:
    """To a degree on the plan: 5 x tan 1 = 0.0873."""
    assert in_line(NODE, edge("R1", RIDGE, EAST), edge("R2", RIDGE, to, high=True)) is straight
    assert in_line(NODE, edge("R2", RIDGE, to), edge("R1", RIDGE, EAST, high=True)) is straight


@pytest.mark.parametrize(
    ("a", "b", "turns"),
    [
        ((300.0, 400.0), (600.0, 800.0), False),
        ((300.0, 400.0), (-600.0, -800.0), False),  # whichever way they are drawn
        ((300.0, 400.0), (600.0, 801.0), True),
        ((300.0, 400.0), (400.0, -300.0), True),
        ((1000.0, 0.0), (1000.0, 0.0009), False),  # to a millionth of what they run along each other
        ((1000.0, 0.0), (1000.0, 0.0011), True),
        ((1000.0, 1000.0), (1000.0, 1000.001), False),
        ((1000.0, 1000.0), (1000.0, 1000.003), True),
    ],
)
def test_two_ridges_that_go_straight_on(a: tuple[float, float], b: tuple[float, float], turns: bool) -> None:
    """From (7000, -9000); of a hip it is never said."""

    def cap(kind: EdgeKind, way: tuple[float, float]) -> RoofEdge:
        start, end = (7000.0, -9000.0, 5.0), (7000.0 + way[0], -9000.0 + way[1], 5.0)
        return replace(edge("R1", kind, EAST), a_mm=start, b_mm=end)

    assert of_junctions._turns([cap(RIDGE, a), cap(RIDGE, b)]) is turns
    assert of_junctions._turns([cap(RIDGE, b), cap(RIDGE, a)]) is turns
    assert of_junctions._turns([cap(HIP, a), cap(RIDGE, b)])


def test_edges_at_a_node_that_is_not_at_the_origin() -> None:
    """From (70, -40) east, and on to the west or north; the node is the low or the high end of each."""

    def moved(name: str, to: Point3, high: bool) -> RoofEdge:
        one = edge(name, RIDGE, to, high=high)
        a, b = ((x + 70.0, y - 40.0, z + 9.0) for x, y, z in (one.a_mm, one.b_mm))
        return replace(one, a_mm=a, b_mm=b)

    for high in (True, False):
        east = moved("R1", EAST, high)
        found = [
            in_line(NODE, east, moved("R2", to, not high))
            for to in (WEST, NORTH, (-5.0, 0.08, 0.0), (-5.0, -0.09, 0.0))
        ]
        assert found == [True, False, True, False]


@pytest.mark.parametrize(
    ("before", "after", "angle"),
    [((-1.0, 0.0), (0.0, 1.0), 90.0), ((-1.0, 0.0), (0.0, -1.0), 270.0), ((0.0, 2.0), (3.0, 0.0), 90.0),
     ((1.0, 1.0), (1.0, 1.5), 360.0 - 11.30993), ((1.0, 1.5), (1.0, 1.0), 11.30993), ((1.0, 1.0), (1.5, 1.0), 11.30993),
     ((1.5, 1.0), (1.0, 1.0), 360.0 - 11.30993), ((-1.0, 0.0), (1.0, 0.0), 180.0), ((-2.0, 0.0), (-1.0, 1.0), 45.0), ((-2.0, 0.0), (-1.0, -1.0), 315.0)],
)  # fmt: skip
def test_the_angle_on_the_left_of_a_way(before: tuple[float, float], after: tuple[float, float], angle: float) -> None:
    """Rings go with the plane on their left: coming from the west and turning north leaves 90 on the left."""
    moved = [(x + 7.0, y - 4.0) for x, y in (before, (0.0, 0.0), after)]
    assert _inside_deg(*moved) == pytest.approx(angle)


def test_the_angle_that_planes_fill() -> None:
    """Three squares round a corner fill 270; a plane that is none of the edges' or has no corner there fills nothing."""
    squares = (
        plane("P1"),
        plane("P2", (0.0, 0.0), (0.0, 9.0), (-9.0, 9.0), (-9.0, 0.0)),
        plane("P3", (-9.0, 0.0), (-9.0, -9.0), (0.0, -9.0), (0.0, 0.0)),
        plane("P4", (5.0, 5.0), (9.0, 5.0), (9.0, 9.0)),
    )
    walls = [edge("A1", APRON, EAST, faces=("P1", "P2")), edge("A2", APRON, SOUTH, faces=("P3", "P4", "W1"))]
    assert roof_angle_deg(roof(*walls, planes=squares), NODE, walls) == pytest.approx(270.0)
    assert roof_angle_deg(roof(*walls, planes=squares), NODE, walls[:1]) == pytest.approx(180.0)
    assert roof_angle_deg(roof(*walls, planes=squares), replace(NODE, at_mm=(0.0, 0.0, 0.6)), walls) == 0.0
    near = replace(NODE, at_mm=(0.4, -0.4, 0.4))
    assert roof_angle_deg(roof(*walls, planes=squares), near, walls) == pytest.approx(270.0)


def test_ends_of_a_level_edge() -> None:
    assert level_end(roof(), edge("T1", HEAD, EAST), NODE) == "left"
    assert level_end(roof(), edge("T1", HEAD, WEST), NODE) == "right"
    assert level_end(roof(), edge("T1", HEAD, EAST, high=True), NODE) == "left"
    assert level_end(roof(), edge("T1", HEAD, WEST, high=True), NODE) == "right"


@pytest.mark.parametrize(
    ("turn", "where"),
    # two walls at a corner: the planes fill 270 outside it, 90 inside
    [(("P1", "P2", "P3"), "outside"), (("P1",), "inside"), (("P1", "P2"), "")],
)
def test_corners_of_aprons(turn: tuple[str, ...], where: str) -> None:
    squares = (
        plane("P1"),
        plane("P2", (0.0, 0.0), (0.0, 9.0), (-9.0, 9.0), (-9.0, 0.0)),
        plane("P3", (-9.0, 0.0), (-9.0, -9.0), (0.0, -9.0), (0.0, 0.0)),
    )
    here = roof(planes=squares)
    heads = [edge("A1", APRON, EAST, faces=turn), edge("A2", APRON, SOUTH, faces=turn)]
    mixed = [edge("S1", SIDE, SOUTH, faces=turn), edge("A1", APRON, EAST, faces=turn)]
    sides = [edge("S1", SIDE, SOUTH, faces=turn), edge("S2", SIDE, EAST, faces=turn)]
    assert list(corner_pieces(here, NODE, heads)) == ([(f"apron corner {where}", ("A1", "A2"))] if where else [])
    assert list(corner_pieces(here, NODE, mixed)) == ([(f"apron corner {where} left", ("S1", "A1"))] if where else [])
    assert list(corner_pieces(here, NODE, sides)) == []
    assert list(corner_pieces(here, NODE, [*heads, edge("S1", SIDE, WEST)])) == []


def test_other_corners() -> None:
    head, other = edge("T1", HEAD, EAST), edge("T2", HEAD, NORTH)
    barge = edge("B1", VERGE, SOUTH, high=True)

    def found(*edges: RoofEdge) -> list[tuple[str, tuple[str, ...]]]:
        return list(corner_pieces(roof(*edges), NODE, edges))

    assert found(head, barge) == [("head corner left", ("T1", "B1"))]
    assert found(edge("T1", HEAD, WEST), barge) == [("head corner right", ("T1", "B1"))]
    assert found(head, replace(barge, faces=("P2",))) == []  # of another plane
    assert found(head, edge("B1", VERGE, NORTH)) == []  # at its foot
    assert found(head, other) == [("head corner", ("T1", "T2"))]
    assert found(head, edge("T2", HEAD, WEST)) == []
    assert found(barge, edge("B2", VERGE, NORTH)) == [("barge bend", ("B1", "B2"))]
    assert found(barge, edge("B2", VERGE, NORTH, high=True)) == []
    assert found(edge("C1", CHANGE, EAST), edge("C2", CHANGE, NORTH)) == [("change corner", ("C1", "C2"))]
    assert found(edge("C1", CHANGE, EAST), edge("C2", CHANGE, WEST)) == []
    assert found(edge("G1", GUTTER, EAST)) == [("gutter end", ("G1",))]
    assert found(edge("G1", GUTTER, EAST), edge("G2", GUTTER, WEST)) == []


def test_why_two_flashings_need_no_piece() -> None:
    here = roof()
    lap = "in one line: the lengths lap"
    upper = "the upper tray laps over the lower"
    change = "the change of pitch ends under the other, dressed"
    wall = "one wall, two planes: the upper lies over the lower"
    rows = [
        (edge("R1", RIDGE, EAST), edge("R2", RIDGE, WEST), lap),
        (edge("R1", RIDGE, EAST), edge("R2", RIDGE, NORTH), ""),
        (edge("R1", RIDGE, EAST), edge("T1", HEAD, WEST), ""),
        (edge("B1", VERGE, EAST), edge("B2", VERGE, WEST), ""),  # no level kind
        (edge("V1", VALLEY, EAST), edge("V2", VALLEY, WEST, high=True), upper),
        (edge("V1", VALLEY, EAST, high=True), edge("V2", VALLEY, WEST, high=True), upper),
        (edge("V1", VALLEY, EAST), edge("V2", VALLEY, WEST), ""),  # both feet
        (edge("C1", CHANGE, EAST), edge("B1", VERGE, SOUTH), change),
        (edge("A1", APRON, EAST), edge("C1", CHANGE, SOUTH), change),
        (edge("C1", CHANGE, EAST), edge("R1", RIDGE, SOUTH), ""),
        (edge("C1", CHANGE, EAST), edge("C2", CHANGE, WEST), lap),
        (edge("S1", SIDE, NORTH), edge("S2", SIDE, SOUTH, faces=("P2",)), wall),
        (edge("S1", SIDE, NORTH), edge("S2", SIDE, SOUTH), ""),
        (edge("S1", SIDE, NORTH), edge("A1", APRON, EAST), ""),
    ]
    for one, two, why in rows:
        assert why_none(here, NODE, one, two) == why_none(here, NODE, two, one) == why


def test_ridges_and_hips_at_a_node() -> None:
    hips = [edge(f"H{n}", HIP, to, high=True) for n, to in enumerate((WEST, SOUTH, NORTH, EAST), start=1)]
    ridge = edge("R1", RIDGE, EAST)
    assert kinds(*hips[:2], ridge) == [("3-way", ("H1", "H2", "R1"))]
    assert kinds(*hips) == [("4-way", ("H1", "H2", "H3", "H4"))]
    assert kinds(*hips[:2]) == [("bend", ("H1", "H2"))]
    assert kinds(ridge, edge("R2", RIDGE, NORTH)) == [("bend", ("R1", "R2"))]
    assert kinds(ridge, edge("R2", RIDGE, WEST)) == []
    assert kinds(ridge) == [("ridge end", ("R1",))]
    assert kinds(ridge, edge("V1", VALLEY, SOUTH, high=True)) == [("valley head", ("V1",))]
    assert kinds(ridge, edge("A1", APRON, NORTH)) == [("saddle", ("R1",)), ("apron end", ("A1",))]
    # the foot of a hip at an eave is an end; on its own it is nothing
    eave = edge("E1", EAVE, WEST)
    assert kinds(eave, edge("H1", HIP, NORTH)) == [("hip end", ("H1",))]
    assert kinds(eave, edge("H1", HIP, NORTH), edge("H2", HIP, EAST, high=True)) == [("hip end", ("H1",))]
    assert kinds(edge("H1", HIP, NORTH)) == []
    # edges of planes without sheets do not count
    assert kinds(*hips[:2], replace(ridge, faces=("P9",))) == [("bend", ("H1", "H2"))]


def test_feet_and_heads_of_valleys_and_aprons() -> None:
    eaves = (edge("E1", EAVE, WEST), edge("E2", EAVE, EAST, faces=("P2",)))
    valley = edge("V1", VALLEY, NORTH, faces=("P1", "P2"))
    assert kinds(*eaves, valley) == [("valley foot", ("V1",))]
    assert kinds(eaves[0], valley) == [("valley foot on roof", ("V1",))]  # P2 goes on below it
    assert kinds(*eaves, replace(valley, low="N9", high="N")) == [("valley head", ("V1",))]
    for to, side in (((5.0, 9.0, 0.0), "left"), ((-5.0, 9.0, 0.0), "right")):
        ring = (
            ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (5.0, 9.0))
            if side == "left"
            else ((-9.0, 0.0), (0.0, 0.0), (-5.0, 9.0), (-9.0, 9.0))
        )
        shape = (plane("P1", *ring),)
        assert kinds(eaves[0], edge("S1", SIDE, to), planes=shape) == [(f"kick-out {side}", ("S1",))]
        assert kinds(edge("S1", SIDE, to), planes=shape) == []
        assert kinds(eaves[0], edge("S1", SIDE, to, high=True), planes=shape) == []
    assert kinds(edge("A1", APRON, EAST)) == [("apron end", ("A1",))]
    assert kinds(edge("A1", APRON, EAST), edge("S1", SIDE, NORTH, faces=("P2",)))[0][0] != "apron end"
    assert ("apron end", ("A1",)) not in kinds(edge("A1", APRON, EAST), edge("A2", APRON, WEST))


def test_what_no_rule_joins_is_mitred_on_site() -> None:
    """A barge and a hip at one foot: neither a piece nor a reason."""
    barge, hip = edge("B1", VERGE, EAST), edge("H1", HIP, NORTH)
    assert kinds(barge, hip) == [("site mitre", ("B1", "H1"))]
    assert meetings_of(roof(barge, hip)) == (Meeting("N", ("B1", "H1"), ("site mitre",), ""),)
    ridges = roof(edge("R1", RIDGE, EAST), edge("R2", RIDGE, WEST), edge("E1", EAVE, SOUTH))
    assert meetings_of(ridges) == (Meeting("N", ("R1", "R2"), (), "in one line: the lengths lap"),)


@pytest.mark.parametrize(
    ("kind", "refs", "joins"),
    [
        ("bend", ("X", "Y"), True), ("bend", ("X",), True), ("bend", ("Z",), False), ("hip end", ("Y",), True),
        ("3-way", ("X", "Z"), True), ("4-way", ("Z",), False), ("apron corner inside", ("X", "Z"), True),
        ("kick-out left", ("X",), True), ("kick-out left", ("Z",), False), ("saddle", ("Z",), True),
        ("valley head", ("Z",), True), ("gutter end", ("Z",), True), ("ridge end", ("Z",), True),
        ("head corner", ("X", "Y"), True), ("head corner", ("X", "Z"), False), ("barge bend", ("Y", "Z"), False),
        ("apron end", ("Z",), True), ("valley foot on roof", ("X",), True), ("site mitre", ("X", "Z"), False),
    ],
)  # fmt: skip
def test_which_pieces_join_two_flashings(kind: str, refs: tuple[str, ...], joins: bool) -> None:
    """Both are its own; or it is one that others are dressed to, and has one of them; or all that end there are."""
    assert of_junctions._joins(kind, refs, ("X", "Y")) is joins


def test_a_ridge_against_a_wall() -> None:
    ridge = edge("R1", RIDGE, EAST, faces=("P1", "W1"))
    for kind, piece in ((UprightKind.ABUTTING, "saddle"), (UprightKind.GABLE, "ridge end")):
        wall: Any = type("Wall", (), {"id": "W1", "kind": kind})()
        assert kinds(ridge, uprights=(wall,)) == [(piece, ("R1",))]


def test_valleys_that_land_on_a_roof() -> None:
    valley = edge("V1", VALLEY, NORTH, faces=("P1", "P2"))
    one, two = edge("E1", EAVE, WEST), edge("E2", EAVE, EAST, faces=("P2",))
    assert lands_on_roof(roof(valley, one), valley)
    assert not lands_on_roof(roof(valley, one, two), valley)
    assert not lands_on_roof(roof(valley), valley)  # no eave at all
    assert not lands_on_roof(roof(valley, one, edge("V0", VALLEY, SOUTH, high=True)), valley)  # one goes on below it
    assert not lands_on_roof(roof(valley, one), replace(valley, faces=("P1", "W1")))  # only its planes count


def test_feet_of_valleys_without_a_gutter() -> None:
    valley = edge("V1", VALLEY, NORTH, faces=("P1", "P2"))
    one, two = edge("E1", EAVE, WEST, outline=(1,)), edge("E2", EAVE, EAST, faces=("P2",), outline=(2, 3))
    here = roof(valley, one, two)
    assert [bare_feet(here, bare) for bare in ((), (1,), (1, 2), (1, 2, 3))] == [(), (), (), (valley,)]
    assert junctions_of(here, (1, 2, 3)) == (Junction("valley foot at bare eave", "N", ("V1",)),)
    assert junctions_of(here, (1, 2)) == (Junction("valley foot", "N", ("V1",)),)
    assert bare_feet(roof(valley, one, replace(two, outline_edges=())), (1, 2, 3)) == ()
    assert bare_feet(roof(valley, one), (1, 2, 3)) == ()  # it lands on a roof
    assert bare_feet(roof(valley), (1,)) == ()


def test_pieces_to_order_by_kind() -> None:
    """Two hip ends and a meeting of five, each with the nodes that it was counted from; what has no row of its own is made as
    what it joins."""
    five = Junction("5-way", "N3", ("H1", "H2", "H3", "H4", "R1"))
    ends = [Junction("hip end", "N1", ("H1",)), Junction("hip end", "N2", ("H2", "H1"))]
    rule, practice = "counted from the nodes of the roof", of_junctions._PRACTICE
    counted, made = of_junctions._counted(roof(), "5-way", [five])
    assert counted == Quantity(
        "main 5-way",
        "junction_5_way",
        1.0,
        "each",
        five.edges,
        Working(rule, (Term("node", "N3", "", practice, "N3"),)),
    )
    assert made == Made("junction_5_way", "junction", (Mark(MarkKind.WAYS, 5.0),))
    counted, made = of_junctions._counted(roof(), "hip end", ends)
    nodes = tuple(Term("node", name, "", practice, name) for name in ("N1", "N2"))
    assert counted == Quantity("main hip end", "junction_hip_end", 2.0, "each", ("H1", "H2"), Working(rule, nodes))
    assert made is None


def test_closures_and_vents_along_flashings() -> None:
    """A ridge of 4 m has two edges across the sheets, a head of 2.5 m one, a barge none: 10.5 m of closure where the sheets are no
    corrugate; both sides of 4 m and 1.2 m of ridge are vented where that is asked."""

    def run(name: str, kind: EdgeKind, long: float) -> Any:
        return SimpleNamespace(run=f"F{name}", edge=name, kind=kind, net_mm=long)

    vent = Term("ridge_vent", "yes", "")
    runs = [run("R1", RIDGE, 4000.0), run("T1", HEAD, 2500.0), run("B1", VERGE, 9000.0), run("R2", RIDGE, 1200.0)]
    for asked in (True, False):
        settings: Any = SimpleNamespace(flag={"ridge_vent": asked}.__getitem__, term=lambda name: vent)
        vented = Quantity("main ridge vent", "ridge_vent", 10.4, "m", ("R1", "R2"), Working("2 x ridge", (vent,)))
        assert of_junctions.closure_quantities(roof(), runs, True, settings) == ([vented] if asked else [])
        closed, *more = of_junctions.closure_quantities(roof(), runs[:3], False, settings)
        terms = (
            Term(f"FR1 x {RIDGE.row.across}", 4000.0, "mm", ref="R1"),
            Term(f"FT1 x {HEAD.row.across}", 2500.0, "mm", ref="T1"),
        )
        rule = "net length of flashings across the sheets x edges dressed into them"
        assert closed == Quantity(
            "main profiled closure", "profile_closure", 10.5, "m", ("R1", "T1"), Working(rule, terms)
        )
        assert len(more) == asked
