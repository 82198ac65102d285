"""How far the edges of a model are moved to the outline, and what goes with them: every figure by hand."""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import box, edge, node, rising, roof, standing

from takeoff.basics.errors import ShapeError
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof, UprightKind
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.faces.parts import Face
from takeoff.shape.imported import mesh_moves as moving

E = EdgeKind
SETTINGS = resolve_settings(Job(job="check"))


def test_how_far_free_edges_of_a_model_lie_inside_the_outline() -> None:
    """A slope of 3 in 4: sheets 50 past an eave end 40 inside in plan, square to it; a verge moves by its own trim."""
    plane = rising("P1", 0.0, 0.0, 0.75, box(0.0, 0.0, 9000.0, 4000.0))
    eave = edge("E1", E.EAVE, (0.0, 0.0, 0.0), (9000.0, 0.0, 0.0), outline_edges=(1,), low="N1", high="N2")
    verge = edge("E2", E.VERGE, (9000.0, 0.0, 0.0), (9000.0, 4000.0, 3000.0), outline_edges=(2,), low="N2", high="N3")
    ridge = edge("E3", E.RIDGE, (0.0, 4000.0, 3000.0), (9000.0, 4000.0, 3000.0), faces=("P1", "P2"))
    one = roof(planes=(plane,), edges=(eave, verge, ridge))
    job = RoofJob(name="main", eave_overhang_mm=600.0, verge_overhang_mm=300.0)

    def moves(line: str, bare: tuple[int, ...] = ()) -> dict[str, float]:
        return moving.edge_moves(one, line, job, SETTINGS, 125.0, bare)

    assert moves("wall_line") == {"E1": 600.0, "E2": 300.0}
    assert moves("spouting_outside") == {"E1": -125.0, "E2": 0.0}
    assert moves("spouting_outside", (1,)) == {"E1": 0.0, "E2": 0.0}
    over = SETTINGS.number("sheet_over_eave_mm")
    assert moves("sheet_end")["E1"] == pytest.approx(-0.8 * over)
    assert moves("sheet_end", (1, 7))["E1"] == pytest.approx(-0.8 * SETTINGS.number("sheet_over_bare_eave_mm"))
    assert moves("sheet_end")["E2"] == pytest.approx(-SETTINGS.number("verge_trim_mm"))


def test_the_eave_of_a_half_hip_is_in_a_gable() -> None:
    def on(name: str, kind: EdgeKind, low: str, high: str, *numbers: int) -> Any:
        return edge(name, kind, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), low=low, high=high, outline_edges=numbers)

    eave = on("E1", E.EAVE, "a", "b", 2)
    left, right = on("V1", E.VERGE, "x", "a", 2), on("V2", E.VERGE, "y", "b", 2)
    assert moving._in_gable(eave, [eave, left, right])
    assert not moving._in_gable(eave, [eave, left])
    assert not moving._in_gable(eave, [eave, left, on("V2", E.VERGE, "y", "b", 3)])
    assert not moving._in_gable(eave, [eave, left, on("V2", E.EAVE, "y", "b", 2)])


@pytest.mark.parametrize(
    ("moves", "joined", "said", "code"),
    [
        ({"E1": 600.0, "E2": 600.9, "V1": -300.0}, 0.0, "2 eaves moved outwards by 600 mm, 1 verge moved inwards by 300 mm", "roof-edge-moved"),
        ({"E1": 500.0, "E2": 600.0, "V1": 0.0}, 0.5, "2 eaves moved outwards by 500 to 600 mm, 1 verge left in place", "roof-edge-moved"),
        ({"E1": -40.0, "E2": -50.0, "V1": 0.0}, 0.51,
         "2 eaves moved inwards by 40 to 50 mm, 1 verge left in place; planes that then parted at a corner by up to 0.5 mm were brought together", "roof-edge-moved"),
        ({"E1": 0.0, "E2": 0.0, "V1": 0.0}, 0.0, "2 eaves left in place, 1 verge left in place", "roof-edge-not-moved"),
    ],
)  # fmt: skip
def test_what_was_moved_is_told_by_kind(moves: dict[str, float], joined: float, said: str, code: str) -> None:
    edges = tuple(edge(name, E.EAVE if name[0] == "E" else E.VERGE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0)) for name in moves)
    found = moving._moved_finding(roof(edges=edges), "wall line", moves, joined)
    text = f"roof main: its model is drawn to the wall line; to bring it to the outline: {said}"
    advice = (
        "check the length of one eave on site"
        if code == "roof-edge-moved"
        else "give eave_overhang_mm and verge_overhang_mm if the roof goes past that line"
    )
    assert found == Finding(code, Severity.NOTE if code == "roof-edge-moved" else Severity.WARN, text, advice)


def test_an_upright_face_goes_with_its_nodes() -> None:
    """Its foot with the node it is, its top with the node under it, a corner near neither stays."""
    gable = standing(
        "U1",
        (0.0, 0.0, 2400.0),
        (6000.0, 0.0, 2400.0),
        ((0.0, 0.0), (6000.0, 0.0), (6000.0, 900.0), (3000.0, 1500.0)),
        edge=3,
    )
    ends = {"N1": (0.0, 0.0, 2404.9), "N2": (6000.0, 4.0, 2400.0)}
    one = roof(
        uprights=(gable,), edges=(edge("V1", E.VERGE, ends["N1"], ends["N2"], faces=("U1",)),), nodes=tuple(node(name, at) for name, at in ends.items())
    )  # fmt: skip
    at = {"N1": (-300.0, -10.0, 2200.0), "N2": (6300.0, -20.0, 2250.0)}
    ring = ((-300.0, -10.0, 2200.0), (6300.0, -20.0, 2250.0), (6300.0, -20.0, 3300.0), (3000.0, 0.0, 3900.0))
    assert moving._upright_face(one, gable, at) == Face((ring,), (0.0, -1.0, 0.0), (3,), upright=UprightKind.GABLE)
    assert moving._right_of((1.0, 2.0, 0.0), (4.0, 6.0, 9.0)) == (0.8, -0.6)
    assert moving._right_of((1.0, 2.0, 0.0), (1.0, 2.0, 9.0)) == (0.0, 0.0)


def test_sheets_end_square_to_an_edge_that_runs_askew_up_its_plane() -> None:
    """Plane of 3 in 4, edge 3 along, 4 up it: the plane's normal is 0.8 upright, the edge 5 long in plan and root 34 on the
    slope, so that 1 mm on the slope is 0.8 x root 34 / 5 mm level. A verge carries no spouting: its trim is the same."""
    plane = rising("P1", 0.0, 0.0, 0.75, box(0.0, 0.0, 9000.0, 4000.0))
    ends = ((500.0, 200.0, 150.0), (3500.0, 4200.0, 3150.0))
    level = 0.8 * 34.0**0.5 / 5.0
    settings = resolve_settings(Job(job="check", settings={"verge_trim_mm": 20.0, "sheet_over_eave_mm": 50.0}))
    low, side = edge("E1", E.EAVE, *ends, outline_edges=(1,)), edge("B1", E.VERGE, *ends, outline_edges=(2,))
    one = roof(planes=(rising("P9", 0.0, 0.0, 0.0, box(0.0, 0.0, 9.0, 4.0)), plane), edges=(low, side))
    moves = moving.edge_moves(one, "sheet_end", RoofJob(name="main"), settings, 125.0, (2,))
    assert moves == {"E1": pytest.approx(-50.0 * level), "B1": pytest.approx(20.0 * level)}


def _lean_to(**more: Any) -> Roof:
    """One plane of 1 in 2 over 6 x 4 m that rises from its front, its corners in turn N1 to N4."""
    corners = ((0.0, 0.0, 1000.0), (6000.0, 0.0, 1000.0), (6000.0, 4000.0, 3000.0), (0.0, 4000.0, 3000.0))
    kinds = ((E.EAVE, "E1"), (E.VERGE, "B1"), (E.HEAD, "T1"), (E.VERGE, "B2"))
    edges = tuple(
        edge(name, kind, corners[i], corners[(i + 1) % 4], outline_edges=(i + 1,), low=f"N{i + 1}", high=f"N{(i + 1) % 4 + 1}")
        for i, (kind, name) in enumerate(kinds)
    )  # fmt: skip
    plane = rising("P1", 1000.0, 0.0, 0.5, box(0.0, 0.0, 6000.0, 4000.0), flat_error_mm=3.0, step=2)
    nodes = tuple(node(f"N{i + 1}", at) for i, at in enumerate(corners))
    given: dict[str, Any] = {
        "planes": (plane,), "edges": edges, "nodes": nodes,
        "outline_mm": (box(0.0, 0.0, 6000.0, 4000.0),), "edge_numbers": ((1, 2, 3, 4),),
    }  # fmt: skip
    return roof(**{**given, **more})


def test_every_edge_of_a_plane_is_moved_by_its_own() -> None:
    """Eave out by 400 (200 down), sides out by 300 and 200, head in by 100 (50 down)."""
    moves = {"E1": 400.0, "B1": 300.0, "T1": -100.0, "B2": 200.0}
    moved = moving.move_edges(_lean_to(), "wall_line", moves)
    (face,) = moved.faces
    corners = [(-200.0, -400.0, 800.0), (6300.0, -400.0, 800.0), (6300.0, 3900.0, 2950.0), (-200.0, 3900.0, 2950.0)]
    assert [list(point) for point in face.rings_mm[0]] == [pytest.approx(corner) for corner in corners]
    assert len(face.rings_mm) == 1
    assert face.fascia_mm == pytest.approx(800.0)
    plane = _lean_to().planes[0]
    assert face == Face(
        face.rings_mm,
        plane.frame.n,
        (1,),
        2,
        pitch_deg=plane.pitch_deg,
        fascia_mm=face.fascia_mm,
        flat_error_mm=3.0,
    )
    assert [list(point) for point in moved.outline_mm[0]] == [pytest.approx(corner[:2]) for corner in corners]
    text = (
        "roof main: its model is drawn to the wall line; to bring it to the outline: 1 eave moved outwards by 400 mm, "
        "2 verges moved outwards by 200 to 300 mm, 1 head moved inwards by 100 mm"
    )
    assert moved.findings == (Finding("roof-edge-moved", Severity.NOTE, text, "check the length of one eave on site"),)


@pytest.mark.parametrize(
    ("moves", "said"),
    [
        ((600.0, 601.0), "2 eaves moved outwards by 600 to 601 mm"),
        ((600.0, 600.99), "2 eaves moved outwards by 600 mm"),
        ((600.0, 601.9), "2 eaves moved outwards by 600 to 602 mm"),
        ((-50.0, 0.0), "2 eaves moved inwards by 0 to 50 mm"),
        ((0.0, 600.0), "2 eaves moved outwards by 0 to 600 mm"),
        ((0.9, 0.9), "2 eaves moved outwards by 1 mm"),
        ((-50.0, 60.0), "2 eaves moved outwards by 50 to 60 mm"),
    ],
)
def test_the_way_that_edges_were_moved_is_that_of_the_furthest_out(moves: tuple[float, float], said: str) -> None:
    edges = tuple(edge(name, E.EAVE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0)) for name in ("E1", "E2"))
    found = moving._moved_finding(roof(edges=edges), "sheet end", dict(zip(("E2", "E1"), moves, strict=True)), 0.0)
    text = f"roof main: its model is drawn to the sheet end; to bring it to the outline: {said}"
    assert found == Finding("roof-edge-moved", Severity.NOTE, text, "check the length of one eave on site")


def test_an_eave_between_the_ends_of_one_verge_is_in_its_gable() -> None:
    eave = edge("E1", E.EAVE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), low="a", high="b", outline_edges=(2,))
    verge = edge("V1", E.VERGE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), low="b", high="a", outline_edges=(2, 3))
    assert moving._in_gable(eave, [eave, verge])


@pytest.mark.parametrize(
    ("start", "end", "swallowed"),
    [
        ((100.0, 200.0), (100.5, 200.25), True),  # (300 x 0.5 + 400 x 0.25) / 500 = 0.5: no longer than a point
        ((100.0, 200.0), (100.5, 200.26), False),
        ((900.0, -200.0), (900.51, -199.75), False),
        ((900.0, -200.0), (899.0, -201.0), True),  # turned round
        ((700.0, 500.0), (704.0, 497.0), True),  # square to itself
    ],
)
def test_a_side_is_swallowed_where_nothing_of_it_is_left_along_itself(
    start: tuple[float, float], end: tuple[float, float], swallowed: bool
) -> None:
    one = roof(nodes=(node("a", (100.0, 200.0, 9.0)), node("b", (400.0, 600.0, 7.0))))
    side = moving._Side("a", "b", (0.8, -0.6), 100.0, "E7")
    said = moving._Mover(one, {})._swallowed(side, {"a": (*start, 9.0), "b": (*end, 7.0)})
    text = "roof main: E7 at (100, 200) at height 9 is swallowed by its neighbours"
    assert said == (text if swallowed else "")


def test_a_side_that_was_as_short_before_and_stays_is_not_swallowed() -> None:
    at = {"a": (100.0, 200.0, 9.0), "b": (100.2, 200.2, 9.0)}
    mover = moving._Mover(roof(nodes=tuple(node(name, place) for name, place in at.items())), {})
    side = moving._Side("a", "b", (0.8, -0.6), 0.0, "E7")
    assert mover._swallowed(side, at) == ""
    assert mover._swallowed(side, {**at, "b": (100.2, 200.3, 9.0)}) != ""


def test_sides_in_one_line_that_move_unequally_have_the_later_ones_place_and_are_named() -> None:
    """Along the front of the lean-to: the corner goes out with the second, 200 mm, and down by half of it."""
    one = _lean_to()
    mover = moving._Mover(one, {})
    first = moving._Side("N4", "N1", (0.0, -1.0), 500.0, "E5")
    second = moving._Side("N1", "N2", (0.0, -1.0), 200.0, "E6")
    faults: list[str] = []
    assert mover._corner(one.planes[0], first, second, faults) == pytest.approx((0.0, -200.0, 900.0))
    assert faults == ["roof main: at (0, 0) at height 1000 E5 and E6 run in one line but are moved by 500 and 200 mm"]


def test_planes_that_part_furthest_are_those_named() -> None:
    """Three level planes about one node: the sides of the first move by 100, of the third by 10, the second stays."""
    nodes = {"N1": (0.0, 0.0, 0.0), "N2": (9e3, 0.0, 0.0), "N3": (0.0, 9e3, 0.0)}
    triangle = ((0.0, 0.0), (9e3, 0.0), (0.0, 9e3))
    edges = tuple(
        edge(f"{name}{plane}", E.EAVE, nodes[low], nodes[high], (f"P{plane}",), low=low, high=high)
        for plane in (1, 2, 3) for name, low, high in (("A", "N1", "N2"), ("B", "N2", "N3"), ("C", "N3", "N1"))
    )  # fmt: skip
    planes = tuple(rising(f"P{number}", 0.0, 0.0, 0.0, triangle) for number in (1, 2, 3))
    one = roof(planes=planes, edges=edges, nodes=tuple(node(name, at) for name, at in nodes.items()))
    mover = moving._Mover(one, {"A1": 100.0, "A3": 10.0})
    faults: list[str] = []
    at = mover.nodes(faults)
    assert at["N1"] == pytest.approx((0.0, -110.0 / 3.0, 0.0))
    assert faults[0] == (
        "roof main: at (0, 0) at height 0 planes P1 and P2 part by 100 mm when their edges are moved: "
        "their pitches or overhangs differ"
    )
    # the long side runs at 45 degrees: its end on the first goes 100 along itself and 100 down
    assert at["N2"] == pytest.approx((9e3 + 110.0 / 3.0, -110.0 / 3.0, 0.0))
    assert mover.joined_mm == pytest.approx(100.0 * 2.0**0.5)


def test_an_outline_moves_with_the_edges_on_its_sides() -> None:
    """A side that no edge lies on stays; of edges that move by crumbs of each other the larger counts, to a millionth."""
    at = (0.0, 0.0, 0.0)
    edges = (
        edge("E1", E.EAVE, at, at, outline_edges=(5,)), edge("E2", E.EAVE, at, at, outline_edges=(5, 7)),
        edge("R1", E.RIDGE, at, at, outline_edges=(8,)),
    )  # fmt: skip
    one = roof(outline_mm=(box(0.0, 0.0, 6000.0, 4000.0),), edge_numbers=((5, 6, 7, 8),), edges=edges)
    faults: list[str] = []
    mover = moving._Mover(one, {"E1": 100.0, "E2": 100.1234564})
    assert mover.outline(faults) == (
        ((0.0, -100.123456), (6000.0, -100.123456), (6000.0, 4100.123456), (0.0, 4100.123456)),
    )
    assert faults == []
    moving._Mover(one, {"E1": 100.0, "E2": 100.5}).outline(faults)
    assert faults == []
    moving._Mover(one, {"E1": 100.0, "E2": 102.0}).outline(faults)
    assert faults == ["roof main: outline edge 5 from (0, 0) holds edges that are moved by 100 and by 102 mm"]


def test_sides_of_an_outline_in_one_line_meet_where_the_later_is_moved_to() -> None:
    ring = ((0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    at = (0.0, 0.0, 0.0)
    edges = tuple(edge(f"E{i}", E.EAVE, at, at, outline_edges=(i,)) for i in (1, 2))
    one = roof(outline_mm=(ring,), edge_numbers=((1, 2, 3, 4, 5),), edges=edges)
    ((_, second, *_),) = moving._Mover(one, {"E1": 100.0, "E2": 300.0}).outline([])
    assert second == (3000.0, -300.0)


def test_an_outline_that_would_cross_itself_is_refused() -> None:
    """A yard 3 m wide behind a mouth of 1 m: the tips beside the mouth would each go 600 mm into it."""
    ring = (
        (0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (5000.0, 6000.0), (5000.0, 5000.0), (6000.0, 2000.0),
        (3000.0, 2000.0), (4000.0, 5000.0), (4000.0, 6000.0), (0.0, 6000.0),
    )  # fmt: skip
    at = (0.0, 0.0, 0.0)
    edges = tuple(edge(f"E{i}", E.EAVE, at, at, outline_edges=(i,)) for i in range(1, 11))
    one = roof(outline_mm=(ring,), edge_numbers=(tuple(range(1, 11)),), edges=edges)
    with pytest.raises(ShapeError) as caught:
        moving.move_edges(one, "wall_line", {each.id: 600.0 for each in edges})
    assert caught.value.faults[0].startswith("roof main: outline moved from its model's edge: ")
    assert caught.value.faults[-1] == (
        "roof main: its model is drawn to the wall line; draw the roof edge to the outline, the outer face of fascia and "
        "barge, and say edge_is: outline"
    )


def test_an_edge_over_a_lower_plane_may_move_by_crumbs_only() -> None:
    high = edge("E1", E.EAVE, (10.0, 20.0, 5000.0), (9.0, 0.0, 0.0), faces=("P1", "U1"))
    one = roof(edges=(edge("E2", E.EAVE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0)), high))
    assert moving._over_planes(one, {"E1": 0.01, "E2": 600.0}) == []
    assert moving._over_planes(one, {"E2": 600.0}) == []
    assert len(moving._over_planes(one, {"E1": -0.02})) == 1
    (said,) = moving._over_planes(one, {"E1": -3.0, "E2": 600.0})
    assert said == (
        "roof main: eave E1 at (10, 20) at height 5000 stands over a lower plane and cannot be moved by -3 mm; give both "
        "as roofs of their own, in files of their own"
    )
