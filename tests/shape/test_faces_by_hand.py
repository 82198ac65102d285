"""Axes of faces, what an edge is called, faces in one plane, and edges as runs: every figure by hand."""

from __future__ import annotations

from math import inf, sqrt
from typing import Any

import pytest
from made_roofs import box, edge, rising, roof

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Covering, Frame, UprightKind
from takeoff.shape.faces import assemble as assembling
from takeoff.shape.faces import edge_runs, face_groups, frames, name_edges
from takeoff.shape.faces.closure import _border_faults, _edge_faults, place
from takeoff.shape.faces.face_groups import Net, Region
from takeoff.shape.faces.name_edges import Side, Touch
from takeoff.shape.faces.parts import Face

Point3 = tuple[float, float, float]
UP: Point3 = (0.0, 0.0, 1.0)
STEEP: Point3 = (0.0, -0.6, 0.8)  # rises by 3 in 4 along y
E = EdgeKind


def test_normals_bearings_and_areas() -> None:
    assert frames.normal_of((0.6, 0.8), 0.0) == UP
    assert frames.normal_of((0.6, 0.8), 30.0) == pytest.approx((-0.3, -0.4, sqrt(0.75)))
    assert frames.ring_area3([(1.0, 2.0, 3.0), (5.0, 2.0, 3.0), (5.0, 5.0, 3.0)], UP) == 6.0
    assert frames.ring_area3(
        [(1.0, 2.0, 3.0), (5.0, 2.0, 3.0), (5.0, 6.0, 6.0), (1.0, 6.0, 6.0)], STEEP
    ) == pytest.approx(20.0)
    for normal, bearing in (
        ((0.0, -0.6, 0.8), 180.0),
        ((0.6, 0.0, 0.8), 90.0),
        ((-0.6, 0.0, 0.8), -90.0),
        ((0.3, 0.3, 0.9), 45.0),
        (UP, 0.0),
    ):
        assert frames.plan_bearing_deg(normal) == pytest.approx(bearing)
    for tilt, level in ((0.9e-9, True), (1.1e-9, False)):
        assert frames.is_level_plane((tilt, 0.0, 1.0)) is level
        assert frames.is_level_plane((0.0, -tilt, -1.0)) is level
    assert frames.is_level_plane((1.5e-9, 0.0, 2.0))


def test_axes_of_a_face_seen_from_outside() -> None:
    ring = [(1.0, 2.0, 7.0), (9.0, 2.0, 7.0), (9.0, 6.0, 10.0), (3.0, 6.0, 10.0)]
    assert frames.face_frame(STEEP, ring, False) == Frame((1.0, 2.0, 7.0), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), STEEP)
    level = [
        (0.0, 0.0, 5.0),
        (3.0, 0.0, 5.0),
        (3.0, 4.0, 5.0),
        (0.0, 8.0, 5.0),
    ]  # its longest side runs up at its left, 8 down
    assert frames.face_frame(UP, level, False) == Frame((0.0, 0.0, 5.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0), UP)
    wall = [(4.0, 0.0, 3.0), (4.0, 6.0, 2.0), (4.0, 6.0, 9.0)]
    assert frames.face_frame((1.0, 0.0, 0.0), wall, True) == Frame(
        (4.0, 6.0, 2.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)
    )


def test_a_frame_is_moved_to_the_least_of_both_its_axes() -> None:
    """From (5, 6, 0) by 3 in 4: a ring from 2 left of it to 4 right, from 5 up to 10, begun at its low left."""
    frame = Frame((5.0, 6.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), STEEP)
    ring = [frame.to_space(point) for point in ((4.0, 10.0), (-2.0, 10.0), (0.0, 5.0), (4.0, 5.0))]
    hole = [frame.to_space(point) for point in ((1.0, 7.0), (1.0, 6.0), (2.0, 6.0))]
    settled, rings = frames.settle(frame, [ring, hole])
    assert settled.origin_mm == pytest.approx((3.0, 10.0, 3.0))
    assert [[pytest.approx(point) for point in row] for row in (((2.0, 0.0), (6.0, 0.0), (6.0, 5.0), (0.0, 5.0)), ((3.0, 1.0), (4.0, 1.0), (3.0, 2.0)))] == [
        list(row) for row in rings
    ]  # fmt: skip
    assert frames._from_low_left([(1.0, 0.004), (2.0, 0.0)]) == ((2.0, 0.0), (1.0, 0.004))
    assert frames._from_low_left([(1.0, 5.0), (3.0, 0.0004), (2.0, 0.0), (0.0, 2.0)]) == (
        (2.0, 0.0),
        (0.0, 2.0),
        (1.0, 5.0),
        (3.0, 0.0004),
    )


def seen(x: float, z: float, side: Side = Side.ROOF) -> Touch:
    """A face beside an edge along y, to the side of x, that rises by z there."""
    size = sqrt(x * x + z * z)
    into = (x / size, 0.0, z / size)
    normal = (-into[2], 0.0, into[0]) if x > 0 else (into[2], 0.0, -into[0])
    return Touch(side, normal if side is Side.ROOF else (-1.0, 0.0, 0.0), into)


@pytest.mark.parametrize(
    ("touches", "level", "sloping"),
    [
        ([seen(1.0, -0.5), seen(-1.0, -0.2)], E.RIDGE, E.HIP),
        ([seen(1.0, 0.5), seen(-1.0, 0.2)], E.INTERNAL_GUTTER, E.VALLEY),
        ([seen(1.0, 0.5), seen(-1.0, -0.2)], E.PITCH_CHANGE, E.VALLEY),
        ([seen(1.0, -0.5), seen(-1.0, 0.2)], E.PITCH_CHANGE, E.HIP),
        ([seen(1.0, 0.5), seen(-1.0, 0.0)], E.PITCH_CHANGE, E.VALLEY),
        ([seen(1.0, -0.5), seen(-1.0, 0.0)], E.PITCH_CHANGE, E.HIP),
        ([seen(1.0, 0.5)], E.EAVE, E.VERGE), ([seen(1.0, -0.5)], E.HEAD, E.VERGE), ([seen(1.0, 0.0)], E.EAVE, E.VERGE),
        ([seen(1.0, 0.5), seen(0.0, -1.0, Side.FREE_UPRIGHT)], E.EAVE, E.VERGE),
        ([seen(1.0, -0.5), seen(0.0, -1.0, Side.FREE_UPRIGHT)], E.HEAD, E.VERGE),
        ([seen(1.0, -0.5), seen(0.0, 1.0, Side.FREE_UPRIGHT)], E.APRON_HEAD, E.APRON_SIDE),
        ([seen(1.0, 0.5), seen(0.0, 1.0, Side.FREE_UPRIGHT)], E.INTERNAL_GUTTER, E.APRON_SIDE),
        ([seen(1.0, -0.5), seen(0.0, -1.0, Side.WALL)], E.APRON_HEAD, E.APRON_SIDE),
        ([seen(1.0, 0.5), seen(0.0, 1.0, Side.KERB)], E.KERB, E.KERB),
    ],
)  # fmt: skip
def test_what_an_edge_is_called(touches: list[Touch], level: EdgeKind, sloping: EdgeKind) -> None:
    """Along y, level and by 1 in 2."""
    assert name_edges.name_edge((0.0, 0.0, 0.0), (0.0, 10.0, 0.0), touches) is level
    assert name_edges.name_edge((0.0, 0.0, 0.0), (0.0, 10.0, 5.0), touches) is sloping


@pytest.mark.parametrize(
    ("fall", "steepest", "level"),
    [
        (2.0, 0.5, True),
        (2.01, 0.5, False),
        (1.0, 0.05, True),
        (1.01, 0.05, False),
        (2.0, 0.0, True),
        (2.01, 0.0, False),
        (-2.0, 0.5, True),
        (-2.01, 0.5, False),
    ],
)
def test_edges_that_fall_less_than_a_fiftieth_or_a_fifth_of_their_plane_are_level(
    fall: float, steepest: float, level: bool
) -> None:
    """Over a run of 60 and 80; a wall beside it has no fall that counts."""
    touches = [seen(1.0, steepest), seen(1.0, steepest / 2.0), seen(0.0, 1.0, Side.WALL)]
    assert name_edges.is_level((1.0, 2.0, 3.0), (61.0, 82.0, 3.0 + fall), touches) is level


def test_the_upright_of_a_gable_hangs_below_its_verge() -> None:
    """Square to a verge that rises by 3 in 4 the gable goes down aslant, a wall over it up aslant."""
    roof_face = Touch(Side.ROOF, (-0.6, 0.0, 0.8), (0.0, 1.0, 0.0))
    ends = ((0.0, 0.0, 0.0), (4.0, 0.0, 3.0))
    for into, kind in (((0.6, 0.0, -0.8), E.VERGE), ((-0.6, 0.0, 0.8), E.APRON_SIDE)):
        assert name_edges.name_edge(*ends, [roof_face, Touch(Side.FREE_UPRIGHT, (0.0, -1.0, 0.0), into)]) is kind


def test_slopes_and_angles() -> None:
    assert name_edges.edge_slope((1.0, 2.0, 3.0), (4.0, 6.0, 1.0)) == 0.4
    assert name_edges.edge_slope((1.0, 2.0, 3.0), (1.0, 2.0, 5.0)) == inf
    assert [name_edges.fall_of(n) for n in ((0.3, 0.4, 2.0), (1.0, 0.0, 0.0), (0.0, 1.0, -1.0), UP)] == [
        0.25,
        inf,
        inf,
        0.0,
    ]
    assert name_edges.touch(Side.ROOF, STEEP, (0.0, 0.0, 0.0), (5.0, 0.0, 0.0)) == Touch(
        Side.ROOF, STEEP, (0.0, 0.8, 0.6)
    )
    assert name_edges.touch(Side.WALL, STEEP, (5.0, 0.0, 0.0), (0.0, 0.0, 0.0)).into == (0.0, -0.8, -0.6)
    ridge, valley, flat = (
        (seen(1.0, -1.0), seen(-1.0, -1.0)),
        (seen(1.0, 1.0), seen(-1.0, 1.0)),
        (seen(1.0, 0.0), seen(-1.0, 0.0)),
    )
    assert [name_edges.included_deg(*pair) for pair in (ridge, valley, flat)] == pytest.approx([90.0, 90.0, 180.0])
    assert [name_edges.opens_downward(*pair) for pair in (ridge, valley, flat)] == [True, False, False]


@pytest.mark.parametrize(
    ("kind", "rise", "told"), [(E.EAVE, 5.1, True), (E.RIDGE, -5.1, True), (E.EAVE, 5.0, False), (E.HEAD, 9.0, False)]
)
def test_eaves_and_ridges_out_of_level_are_told(kind: EdgeKind, rise: float, told: bool) -> None:
    one = edge("E7", kind, (1.0, 2.0, 900.0), (4001.0, 2.0, 900.0 + rise))
    text = f"roof main: {kind} E7 falls 5 mm over its 4.00 m; it was taken as level"
    due = Finding(f"{kind}-not-level", Severity.NOTE, text, refs=("E7",), at_mm=(1.0, 2.0, 900.0))
    assert name_edges.level_findings(roof(edges=(one,))) == ((due,) if told else ())


NODES: tuple[Point3, ...] = (
    (0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (20.0, 0.0, 0.0), (20.0, 8.0, 0.0), (10.0, 8.0, 0.0), (0.0, 8.0, 0.0), (10.0, 0.0, 6.0), (0.0, 0.0, 6.0), (10.0, 0.0, -6.0), (0.0, 0.0, -6.0),
)  # fmt: skip


def on(*ring: int, normal: Point3 = UP, **more: Any) -> Face:
    return Face((tuple(NODES[k] for k in ring),), normal, **more)


def test_points_of_faces_are_numbered_as_they_come() -> None:
    faces = [on(1, 2, 2, 3, 4), on(0, 1, 4), Face((((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), (10.0, 0.0, 0.0)),), UP)]
    assert face_groups.index_nodes(faces) == Net(
        (NODES[1], NODES[2], NODES[3], NODES[4], NODES[0]), (((0, 1, 2, 3),), ((4, 0, 3),), ())
    )
    assert face_groups._segments([(3, 1, 2), (5, 6)]) == [(2, 3), (3, 1), (1, 2), (6, 5), (5, 6)]


@pytest.mark.parametrize(
    ("other", "regions"),
    [
        ({}, 1), ({"covering": Covering.OTHER}, 2), ({"roof": "b"}, 2), ({"normal": (0.0, -0.0017, 1.0)}, 1), ({"normal": (0.0, -0.0018, 0.9999984)}, 2),
        ({"upright": UprightKind.STEP}, 2),
    ],
)  # fmt: skip
def test_faces_in_one_plane_are_one_region(other: dict[str, Any], regions: int) -> None:
    """Of 80 each side by side, turned by no more than a tenth of a degree (0.001745); the second as large: the first leads."""
    faces = [on(0, 1, 4, 5), on(1, 2, 3, 4, **other)]
    found = face_groups.merge_coplanar(faces, face_groups.index_nodes(faces), 0.01, 0.1)
    assert len(found) == regions
    if regions == 1:
        assert found == (Region((0, 1), ((3, 0), (0, 1), (2, 3), (1, 4), (4, 5), (5, 2))),)


@pytest.mark.parametrize(("up", "regions"), [(0.01, 1), (0.011, 2), (-0.011, 2)])
def test_a_face_lies_in_a_plane_within_a_hundredth(up: float, regions: int) -> None:
    """Of the largest face, whichever comes first."""
    faces = [
        Face((((10.0, 0.0, 0.0), (20.0, 0.0, up), (20.0, 7.0, 0.0), (10.0, 8.0, 0.0)),), UP), on(0, 1, 4, 5),
    ]  # fmt: skip
    found = face_groups.merge_coplanar(faces, face_groups.index_nodes(faces), 0.01, 0.1)
    assert [region.faces for region in found] == ([(1, 0)] if regions == 1 else [(1,), (0,)])


def test_borders_are_joined_to_loops_that_meet_themselves_nowhere() -> None:
    assert face_groups.border_loops([(0, 1), (5, 6), (1, 2), (6, 7), (2, 0), (7, 5)]) == ((0, 1, 2), (5, 6, 7))
    # two loops that touch in 2
    assert face_groups.border_loops([(0, 1), (1, 2), (2, 3), (3, 4), (4, 2), (2, 0)]) == ((2, 3, 4), (0, 1, 2))
    assert face_groups.border_loops([]) == ()
    with pytest.raises(ValueError, match="open border"):
        face_groups.border_loops([(0, 1), (1, 2)])
    # a side that two members run the same way stands twice
    net = Net(NODES, (((0, 1, 4),), ((0, 1, 5),), ((4, 1, 2),)))
    assert sorted(face_groups._border(net, [0, 1, 2])) == [(0, 1), (0, 1), (1, 2), (1, 5), (2, 4), (4, 0), (5, 0)]


def test_how_far_a_point_lies_off_a_line() -> None:
    assert edge_runs.off_line((1.0, 5.0, 3.0), (1.0, 2.0, 3.0), (9.0, 2.0, 3.0)) == 3.0
    assert edge_runs.off_line((4.0, 6.0, 3.0), (1.0, 2.0, 3.0), (1.0, 2.0, 3.0)) == 5.0
    assert edge_runs.off_line((5.0, 2.0, 9.0), (1.0, 2.0, 3.0), (7.0, 2.0, 11.0)) == pytest.approx(0.4)
    assert edge_runs.plan_length((1.0, 2.0, 3.0), (4.0, 6.0, 90.0)) == 5.0


def test_a_run_from_its_other_end() -> None:
    run = edge_runs.Run(E.HIP, 1, 2, 3, -1, (5,), ((1, 2),), 120.0, True)
    assert run.turned() == edge_runs.Run(E.HIP, 2, 1, -1, 3, (5,), ((1, 2),), 120.0, True)
    assert (run.regions(), run.turned().regions()) == ((3, 5), (3, 5))
    assert edge_runs.Run(E.HIP, 1, 2, 0, 4, (), (), 120.0, True).regions() == (0, 4)


@pytest.mark.parametrize(
    ("off", "straight", "chains"),
    [(0.5, 0.5, [[0, 1, 2]]), (0.51, 0.5, [[0, 1], [1, 2]]), (0.0, 0.5, [[0, 1, 2]])],
)
def test_segments_go_on_while_they_are_straight(off: float, straight: float, chains: list[list[int]]) -> None:
    nodes = [(0.0, 0.0, 0.0), (10.0, off, 0.0), (30.0, 0.0, 0.0), (5.0, 9.0, 0.0), (40.0, 9.0, 0.0), (20.0, 0.0, 0.0)]
    found = edge_runs._chains(nodes, [(0, 1), (1, 2)], straight)
    assert sorted(sorted((chain, chain[::-1]))[0] for chain in found) == chains
    row = [(10.0 * k, 0.0, 0.0) for k in range(5)]
    for given in ([(1, 2), (0, 1), (2, 3), (3, 4)], [(3, 4), (0, 1), (1, 2), (2, 3)], [(0, 1), (2, 3), (1, 2), (3, 4)]):
        (whole,) = edge_runs._chains(row, given, 0.5)
        assert sorted((whole, whole[::-1]))[0] == [0, 1, 2, 3, 4]
    # what turns back does not go on, nor what forks
    assert len(edge_runs._chains(nodes, [(0, 2), (2, 5)], straight)) == 2
    assert len(edge_runs._chains(nodes, [(0, 1), (1, 2), (1, 3)], straight)) == 3


def test_many_small_bends_make_a_bend() -> None:
    """Nodes 0, 0.6, 1.1, 0.7, 0 off a line of 40: the furthest is 1.1 off, so it is cut there where 0.5 is straight, as twice
    that is allowed; both halves are straight then."""
    nodes = [(10.0 * k, y, 0.0) for k, y in enumerate((0.0, 0.6, 1.1, 0.7, 0.0))]
    path = [0, 1, 2, 3, 4]
    assert edge_runs._straight_parts(nodes, path, 0.5) == [[0, 1, 2], [2, 3, 4]]
    assert edge_runs._straight_parts(nodes, path, 0.55) == [path]
    assert edge_runs._straight_parts(nodes, [0, 4], 0.0) == [[0, 4]]


def runs_of(*faces: Face) -> dict[tuple[int, int], edge_runs.Run]:
    """The runs of faces on NODES by their ends in its numbers."""
    net = face_groups.index_nodes(faces)
    regions = face_groups.merge_coplanar(faces, net, 0.01, 0.1)
    number = {index: NODES.index(node) for index, node in enumerate(net.nodes)}
    return {(number[run.a], number[run.b]): run for run in edge_runs.find_runs(net.nodes, faces, regions, 0.01)}


def test_edges_of_a_plane_beside_uprights() -> None:
    """A level plane 0 1 4 5 beside one that falls by 0.1; an upright below its side 4 5 and one up from 0 1."""
    level = on(0, 1, 4, 5, pitch_deg=0.0)
    beside = on(1, 2, 3, 4, normal=(0.099503719, 0.0, 0.995037190))
    wall = Face(((NODES[0], NODES[1], NODES[6], NODES[7]),), (0.0, -1.0, 0.0), upright=UprightKind.ABUTTING)
    found = {tuple(sorted(ends)): run for ends, run in runs_of(level, beside, wall).items()}
    assert sorted(found) == [(0, 1), (0, 5), (1, 2), (1, 4), (2, 3), (3, 4), (4, 5)]
    change = found[1, 4]
    assert (change.kind, sorted((change.left, change.right)), change.others) == (E.PITCH_CHANGE, [0, 1], ())
    apron = found[0, 1]
    assert (apron.kind, sorted((apron.left, apron.right)), apron.others) == (E.APRON_HEAD, [0, 2], ())
    assert (apron.between_deg, apron.convex) == (pytest.approx(90.0), False)
    free = found[4, 5]
    assert (free.kind, free.between_deg, free.convex, -1 in (free.left, free.right)) == (E.EAVE, 180.0, True, True)
    # a wall above and a gable below on one edge: the first takes the plane's other side, the second is one more
    below = Face(((NODES[9], NODES[8], NODES[1], NODES[0]),), (0.0, -1.0, 0.0), upright=UprightKind.GABLE)
    (both,) = [run for ends, run in runs_of(level, wall, below).items() if sorted(ends) == [0, 1]]
    assert (both.kind, sorted((both.left, both.right)), both.others) == (E.APRON_HEAD, [0, 1], (2,))
    # a lone upright has no edges of its own
    assert runs_of(wall) == {}


def test_an_upright_of_the_solver_that_hangs_below_stands_for_the_wall_above() -> None:
    wall = Face(((NODES[0], NODES[7], NODES[6], NODES[1]),), (0.0, -1.0, 0.0), upright=UprightKind.ABUTTING)
    hangs = edge_runs._touch(wall, NODES[6], NODES[7], True)
    assert (hangs.side, hangs.into) == (Side.WALL, (0.0, 0.0, 1.0))
    assert edge_runs._touch(wall, NODES[6], NODES[7], False).into == (0.0, 0.0, 1.0)
    gable = Face(wall.rings_mm, wall.normal, upright=UprightKind.GABLE)
    assert [edge_runs._touch(gable, NODES[6], NODES[7], ahead).into[2] for ahead in (True, False)] == [-1.0, 1.0]
    assert (
        edge_runs._touch(Face(wall.rings_mm, wall.normal, upright=UprightKind.KERB), NODES[6], NODES[7], True).side
        is Side.KERB
    )


def test_corners_are_put_straight_onto_their_plane() -> None:
    """The plane through (5, 6, 0) that rises by 3 in 4 along y: over (1, 10) it lies at 3, over (9, 2) at -3."""
    frame = Frame((5.0, 6.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), STEEP)
    ((one, other),) = assembling._put_upright(frame, [((1.0, 10.0, 77.0), (9.0, 2.0, 5.0))])
    assert (one, other) == (pytest.approx((1.0, 10.0, 3.0)), pytest.approx((9.0, 2.0, -3.0)))
    aslant = Frame((5.0, 6.0, 1.0), (0.0, 1.0, 0.0), (0.8, 0.0, 0.6), (-0.6, 0.0, 0.8))
    assert assembling._put_upright(aslant, [((9.0, 2.0, 0.0),)]) == [(pytest.approx((9.0, 2.0, 4.0)),)]


def closing(**more: Any) -> Any:
    plane = rising("P1", 0.0, 0.0, 0.75, box(0.0, 0.0, 4000.0, 4000.0))  # 4 x 5 m on the slope: 18 m round
    faces = more.pop("faces", ("P1",))
    kinds = more.pop("kinds", (E.EAVE,) * 4)
    lengths = more.pop("lengths", (4000.0, 5000.0, 4000.0, 5000.0))
    sides = tuple(
        edge(f"E{k + 1}", kinds[k], (0.0, 0.0, 0.0), (3.0, 4.4, 9.6), faces=faces, length_mm=lengths[k], outline_edges=more.get("outline", (k + 1,)))
        for k in range(4)
    )  # fmt: skip
    return roof(planes=(plane,), edges=sides)


def test_edges_round_a_plane_add_up_to_its_border() -> None:
    assert _border_faults(closing(), 0.0) == ()
    text = "roof main: the edges of plane P1 are 18000.02 mm long together, its border is 18000.00 mm"
    long = closing(lengths=(4000.02, 5000.0, 4000.0, 5000.0))
    assert (_border_faults(long, 0.0), _border_faults(long, 0.0049), _border_faults(long, 0.0051)) == (
        (text,),
        (text,),
        (),
    )
    assert len(_border_faults(closing(lengths=(3999.98, 5000.0, 4000.0, 5000.0)), 0.0)) == 1
    assert (
        _border_faults(closing(faces=("P1", "P1"), lengths=(2000.0, 2500.0, 2000.0, 2500.0)), 0.0) == ()
    )  # both its sides


def test_edges_with_a_face_on_one_side_lie_on_the_outline() -> None:
    where = "roof main: eave E1 from (0, 0) at height 0 to (3, 4) at height 10"
    assert _edge_faults(closing()) == ()
    assert (
        _edge_faults(closing(outline=()))[0] == f"{where} has a face on one side only and does not lie on the outline"
    )
    assert _edge_faults(closing(faces=("P1", "U1"), outline=())) == ()
    assert _edge_faults(closing(kinds=(E.RIDGE,) + (E.EAVE,) * 3)) == (
        f"{where.replace('eave', 'ridge')} has a face on one side only and does not lie on the outline",
    )
    three = closing(faces=("P1", "P1", "P1"))
    assert _edge_faults(three)[0] == f"{where} joins more than two planes: P1, P1, P1"
    assert _edge_faults(closing(faces=("P1", "U1", "U2"))) == ()
    assert place((1.4, -2.6, 3.5)) == "(1, -3) at height 4"
