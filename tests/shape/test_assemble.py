"""Faces put together by hand: what becomes a plane, an edge, a node, and what each is called.

Expected values are counted or worked out on the shape drawn beside them (derived).
"""

from __future__ import annotations

from dataclasses import replace
from math import atan, degrees, hypot

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.basics.vectors import Point3, newell, unit3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Covering, Roof, UprightKind
from takeoff.shape.faces.assemble import assemble
from takeoff.shape.faces.closure import closure_faults
from takeoff.shape.faces.name_edges import level_findings
from takeoff.shape.faces.parts import Face, Numbering, Plan

HIGH = 3000.0


def _face(*points: Point3, edges: tuple[int, ...] = (), holes: tuple[tuple[Point3, ...], ...] = ()) -> Face:
    return Face((points, *holes), unit3(newell(points)), outline_edges=edges)


def _plan(*ring: tuple[float, float]) -> Plan:
    return Plan("main", (0.0, 0.0, 0.0), (ring,), edge_numbers=(tuple(range(1, len(ring) + 1)),))


def _upright(kind: UprightKind, edge: int, *points: Point3) -> Face:
    return Face((points,), unit3(newell(points)), outline_edges=(edge,), upright=kind)


#   4 ---------- 3
#   |\    P3    /|
#   | 5 ---- 6   |     12 x 8, ridge from 4 to 8, rise 3 over a run of 4
#   |/    P1    \|
#   1 ---------- 2
A, B, C, D = (0.0, 0.0, 0.0), (12000.0, 0.0, 0.0), (12000.0, 8000.0, 0.0), (0.0, 8000.0, 0.0)
E, F = (4000.0, 4000.0, HIGH), (8000.0, 4000.0, HIGH)
HIP_FACES = [
    _face(A, B, F, E, edges=(1,)),
    _face(B, C, F, edges=(2,)),
    _face(C, D, E, F, edges=(3,)),
    _face(D, A, E, edges=(4,)),
]
HIP_PLAN = _plan((0, 0), (12000, 0), (12000, 8000), (0, 8000))


def _kinds(roof: Roof) -> dict[str, EdgeKind]:
    return {edge.id: edge.kind for edge in roof.edges}


def test_a_hip_roof_has_its_edges_named_and_numbered() -> None:
    roof = assemble(HIP_FACES, HIP_PLAN, 0.0)
    assert [p.id for p in roof.planes] == ["P1", "P2", "P3", "P4"]
    assert [edge.id for edge in roof.edges] == ["E1", "E2", "E3", "E4", "R1", "H1", "H2", "H3", "H4"]
    assert closure_faults(roof) == ()
    # the hip from corner n is Hn
    assert [edge.a_mm for edge in roof.edges[5:]] == [A, B, C, D]
    assert [edge.outline_edges for edge in roof.edges[:4]] == [(1,), (2,), (3,), (4,)]


def test_planes_come_in_the_order_their_edges_were_typed_however_faces_are_listed() -> None:
    listed = [HIP_FACES[i] for i in (2, 0, 3, 1)]
    assert assemble(listed, HIP_PLAN, 0.0) == assemble(HIP_FACES, HIP_PLAN, 0.0)


def test_frames_look_from_below_the_eave() -> None:
    planes = assemble(HIP_FACES, HIP_PLAN, 0.0).planes
    assert [p.frame.origin_mm for p in planes] == [pytest.approx(p) for p in (A, B, C, D)]
    assert planes[0].frame.u == pytest.approx((1, 0, 0))
    assert planes[1].frame.u == pytest.approx((0, 1, 0))
    assert planes[0].frame.v == pytest.approx((0, 0.8, 0.6))
    assert planes[0].frame.n == pytest.approx((0, -0.6, 0.8))
    expected = ((0, 0), (12000, 0), (8000, 5000), (4000, 5000))
    assert [pytest.approx(point, abs=1e-6) for point in expected] == list(planes[0].rings_uv[0])


def test_bearings_run_clockwise_from_north_and_follow_the_plan_turned() -> None:
    assert [p.bearing_deg for p in assemble(HIP_FACES, HIP_PLAN, 0.0).planes] == [180.0, 90.0, 0.0, 270.0]
    assert [p.bearing_deg for p in assemble(HIP_FACES, HIP_PLAN, 30.0).planes] == [210.0, 120.0, 30.0, 300.0]


def test_sloping_edges_start_low_and_name_the_left_face_first() -> None:
    roof = assemble(HIP_FACES, HIP_PLAN, 0.0)
    hip = next(e for e in roof.edges if e.id == "H1")
    assert (hip.a_mm, hip.b_mm) == (A, E)
    # looking up from the corner to the ridge, plane 4 lies on the left, plane 1 on the right
    assert hip.faces == ("P4", "P1")
    assert hip.length_mm == pytest.approx(hypot(4000, 4000, 3000))
    assert hip.plan_length_mm == pytest.approx(hypot(4000, 4000))
    assert hip.slope_deg == pytest.approx(degrees(atan(3 / hypot(4, 4))))


def test_level_edges_start_at_the_left_of_their_first_plane() -> None:
    roof = assemble(HIP_FACES, HIP_PLAN, 0.0)
    ridge = next(e for e in roof.edges if e.id == "R1")
    assert ridge.faces == ("P1", "P3")
    assert (ridge.a_mm, ridge.b_mm) == (E, F)
    eave = next(e for e in roof.edges if e.id == "E3")
    assert (eave.a_mm, eave.b_mm) == (C, D)


def test_nodes_know_their_edges() -> None:
    roof = assemble(HIP_FACES, HIP_PLAN, 0.0)
    at = {node.at_mm: node.edges for node in roof.nodes}
    assert at[E] == ("R1", "H1", "H4")
    assert at[A] == ("E1", "E4", "H1")
    assert len(roof.nodes) == 6


def test_numbering_goes_on_from_another_roof() -> None:
    first = assemble(HIP_FACES, HIP_PLAN, 0.0)
    second = assemble(HIP_FACES, HIP_PLAN, 0.0, Numbering().after(first))
    assert [p.id for p in second.planes] == ["P5", "P6", "P7", "P8"]
    assert [e.id for e in second.edges][:5] == ["E5", "E6", "E7", "E8", "R2"]
    assert second.nodes[0].id == "N7"
    assert second.edges[0].faces == ("P5",)


def test_coplanar_neighbours_are_one_plane_and_their_eaves_one_eave() -> None:
    """The front of the hip roof drawn as two faces that share a line square to the eave."""
    m, n = (6000.0, 0.0, 0.0), (6000.0, 4000.0, HIGH)
    back = _face(C, D, E, n, F, edges=(4,))
    faces = [_face(A, m, n, E, edges=(1,)), _face(m, B, F, n, edges=(2,)), *HIP_FACES[1:2], back, HIP_FACES[3]]
    plan = _plan((0, 0), (6000, 0), (12000, 0), (12000, 8000), (0, 8000))
    faces[2], faces[4] = replace(faces[2], outline_edges=(3,)), replace(faces[4], outline_edges=(5,))
    roof = assemble(faces, plan, 0.0)
    assert roof.planes[0].outline_edges == (1, 2)
    assert len(roof.planes) == 4
    eave = roof.edges[0]
    assert (eave.length_mm, eave.outline_edges) == (12000.0, (1, 2))
    ridge = next(e for e in roof.edges if e.kind is EdgeKind.RIDGE)
    assert ridge.length_mm == 4000.0
    assert closure_faults(roof) == ()


def test_planes_a_tenth_of_a_degree_apart_stay_two() -> None:
    """The same two faces, one of them 20 mm lower at its far end."""
    m, n, low = (6000.0, 0.0, 0.0), (6000.0, 4000.0, HIGH), (12000.0, 0.0, -20.0)
    roof = assemble([_face(A, m, n, E), _face(m, low, n)], _plan((0, 0), (12000, 0), (6000, 4000), (4000, 4000)), 0.0)
    assert len(roof.planes) == 2


def test_a_hole_is_a_ring_of_its_plane_and_its_low_side_an_apron() -> None:
    """A shaft of 1 x 1 m through a single-pitch plane: apron above? No: its walls rise from the plane."""
    hole = ((3000.0, 3000.0, 1500.0), (3000.0, 4000.0, 2000.0), (4000.0, 4000.0, 2000.0), (4000.0, 3000.0, 1500.0))
    outer = ((0.0, 0.0, 0.0), (8000.0, 0.0, 0.0), (8000.0, 6000.0, 3000.0), (0.0, 6000.0, 3000.0))
    walls = []
    for i, low in enumerate(hole):
        nxt = hole[(i + 1) % 4]
        walls.append(_upright(UprightKind.CHEEK, 0, low, (low[0], low[1], 5000.0), (nxt[0], nxt[1], 5000.0), nxt))
    roof = assemble([_face(*outer, edges=(1,), holes=(hole,)), *walls], _plan(*(p[:2] for p in outer)), 0.0)
    (plane,) = roof.planes
    assert [len(ring) for ring in plane.rings_uv] == [4, 4]
    assert plane.plan_area_mm2 == pytest.approx(8000 * 6000 - 1000 * 1000)
    inner = [edge for edge in roof.edges if not edge.outline_edges]
    # the plane falls away from the low wall, rises from the high one: there water gathers
    assert sorted(edge.kind for edge in inner) == [
        EdgeKind.APRON_HEAD,
        EdgeKind.APRON_SIDE,
        EdgeKind.APRON_SIDE,
        EdgeKind.INTERNAL_GUTTER,
    ]


@pytest.mark.parametrize(
    ("left", "right", "kind"),
    [
        (-1000.0, -1000.0, EdgeKind.RIDGE),
        (1000.0, 1000.0, EdgeKind.INTERNAL_GUTTER),
        (-1000.0, 500.0, EdgeKind.PITCH_CHANGE),
        (1000.0, 0.0, EdgeKind.PITCH_CHANGE),
        (-1000.0, 0.0, EdgeKind.PITCH_CHANGE),
    ],
)
def test_level_edges_between_planes(left: float, right: float, kind: EdgeKind) -> None:
    """Two strips that meet in a level line, rising or falling away from it by so much over 4 m."""
    p, q = (0.0, 0.0, 0.0), (0.0, 6000.0, 0.0)
    faces = [
        _face((-4000.0, 0.0, left), p, q, (-4000.0, 6000.0, left)),
        _face(p, (4000.0, 0.0, right), (4000.0, 6000.0, right), q),
    ]
    roof = assemble(faces, _plan((-4000, 0), (4000, 0), (4000, 6000), (-4000, 6000)), 0.0)
    (inner,) = [edge for edge in roof.edges if len(edge.faces) == 2]
    assert inner.kind is kind


@pytest.mark.parametrize(
    ("kind", "edge"), [(UprightKind.GABLE, EdgeKind.VERGE), (UprightKind.ABUTTING, EdgeKind.APRON_SIDE)]
)
def test_ends_of_a_gable_roof(kind: UprightKind, edge: EdgeKind) -> None:
    a, b, c, d = (0.0, 0.0, 0.0), (9000.0, 0.0, 0.0), (9000.0, 6000.0, 0.0), (0.0, 6000.0, 0.0)
    e, f = (0.0, 3000.0, 1500.0), (9000.0, 3000.0, 1500.0)
    faces = [
        _face(a, b, f, e, edges=(1,)),
        _face(c, d, e, f, edges=(3,)),
        _upright(kind, 2, b, c, f),
        _upright(kind, 4, d, a, e),
    ]
    roof = assemble(faces, _plan((0, 0), (9000, 0), (9000, 6000), (0, 6000)), 0.0)
    rakes = [e for e in roof.edges if e.kind is edge]
    assert len(rakes) == 4
    assert {e.between_deg for e in rakes} == {90.0}
    assert {e.convex for e in rakes} == {edge is EdgeKind.VERGE}
    assert {e.outline_edges for e in rakes} == {(2,), (4,)}
    assert [u.area_mm2 for u in roof.uprights] == [6000 * 1500 / 2] * 2
    assert roof.uprights[0].frame.n == pytest.approx((1, 0, 0))
    assert roof.uprights[0].frame.u == pytest.approx((0, 1, 0))


def test_a_level_plane_has_u_along_its_longest_side() -> None:
    top = Face((((0.0, 0.0, 9.0), (3000.0, 0.0, 9.0), (3000.0, 7000.0, 9.0), (0.0, 7000.0, 9.0)),), (0.0, 0.0, 1.0))
    roof = assemble([replace(top, covering=Covering.OTHER)], _plan((0, 0), (3000, 0), (3000, 7000), (0, 7000)), 45.0)
    (plane,) = roof.planes
    assert abs(plane.frame.u[1]) == 1.0
    assert {edge.kind for edge in roof.edges} == {EdgeKind.EAVE}
    assert plane.pitch_deg == 0.0


def test_a_ridge_that_falls_a_little_is_a_ridge_with_a_finding() -> None:
    """40 mm over 4 m is 1 %: level to the trade, and said so. 120 mm is 3 %: a hip."""

    def ridge_of(drop: float) -> Roof:
        low = (8000.0, 4000.0, HIGH - drop)
        faces = [_face(A, B, low, E), _face(B, C, low), _face(C, D, E, low), _face(D, A, E)]
        return assemble(faces, HIP_PLAN, 0.0, flat_mm=100.0)

    roof = ridge_of(40.0)
    assert [f.code for f in level_findings(roof)] == ["ridge-not-level"]
    assert len([e for e in roof.edges if e.kind is EdgeKind.RIDGE]) == 1
    assert [e for e in ridge_of(120.0).edges if e.kind is EdgeKind.RIDGE] == []


def test_a_missing_face_is_reported_by_place() -> None:
    faults = closure_faults(assemble(HIP_FACES[:3], HIP_PLAN, 0.0))
    assert any("less than the outline's 96.000000 m2" in fault for fault in faults)
    assert any("(0, 0)" in fault and "one side only" in fault for fault in faults)


def test_a_face_twice_is_refused_by_place() -> None:
    with pytest.raises(ShapeError, match=r"the face at \(\d+, \d+\) at height \d+ is not one piece"):
        assemble([*HIP_FACES, HIP_FACES[0]], HIP_PLAN, 0.0)


def test_a_face_that_is_not_in_one_piece_is_refused() -> None:
    bow_tie = Face((((0.0, 0.0, 0.0), (9.0, 0.0, 0.0), (0.0, 9.0, 0.0), (9.0, 9.0, 0.0)),), (0.0, 0.0, -1.0))
    with pytest.raises(ShapeError, match="not one piece"):
        assemble([bow_tie], _plan((0, 0), (9, 0), (9, 9), (0, 9)), 0.0)


@pytest.mark.parametrize(("rise", "planes"), [(0.3, 1), (4.0, 2)])
def test_a_strip_near_a_plane_is_one_with_it_only_while_it_is_hardly_turned(rise: float, planes: int) -> None:
    """60 mm wide and 0.3 or 4 mm off the level plane beside it: turned by 0.3 or 3.8 degrees."""
    level = _face((0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 5000.0, 0.0), (0.0, 5000.0, 0.0))
    strip = _face((0.0, -60.0, -rise), (6000.0, -60.0, -rise), (6000.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    plan = _plan((0, -60), (6000, -60), (6000, 5000), (0, 5000))
    assert len(assemble([level, strip], plan, 0.0, flat_mm=5.0, flat_deg=0.5).planes) == planes
