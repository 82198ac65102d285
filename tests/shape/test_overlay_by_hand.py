"""Planes cut in plan and put together again: every piece, face and figure by hand."""

from __future__ import annotations

from typing import Any

import pytest
import shapely
from made_roofs import Point, box, node, rising, roof, standing

from takeoff.model.roof import Covering, UprightKind
from takeoff.shape.faces.parts import Face
from takeoff.shape.together import overlay
from takeoff.shape.together.overlay import Piece

# 500 + 0.3 x + 0.4 y over 8 x 6 m, seen from a frame of its own
PLANE = rising("P1", 500.0, 0.3, 0.4, box(1000.0, 2000.0, 9000.0, 8000.0))


def flat(rings: Any) -> list[list[Point]]:
    return [[(round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y, *_ in ring] for ring in rings]


def test_the_height_and_the_shape_of_a_plane_in_plan() -> None:
    assert overlay.height_at(PLANE, 1000.0, 2000.0) == pytest.approx(1600.0)
    assert overlay.height_at(PLANE, 9000.0, -100.0) == pytest.approx(3160.0)
    shape = overlay.plane_polygon(PLANE)
    assert shape.symmetric_difference(shapely.box(1000.0, 2000.0, 9000.0, 8000.0)).area < 1e-3
    holed = overlay.plan_polygon([box(0.0, 0.0, 10.0, 8.0), box(1.0, 2.0, 4.0, 3.0)])
    assert holed.area == 77.0


@pytest.mark.parametrize(("wide", "least", "parts"), [(2.49, 1.0, 0), (2.51, 1.0, 1), (0.204, 0.1, 0), (0.205, 0.1, 1)])
def test_slivers_are_no_parts(wide: float, least: float, parts: int) -> None:
    """10 long: its area over its way round is 10 w / (20 + 2 w), as much as 1 at 2.5 and 0.1 at 0.2041 wide."""
    assert len(overlay.parts_of(shapely.box(0.0, 0.0, 10.0, wide), least)) == parts
    both = shapely.GeometryCollection([shapely.box(0.0, 0.0, 9.0, 9.0), shapely.LineString([(0.0, 0.0), (1.0, 1.0)])])
    assert overlay.parts_of(both, least) == [shapely.box(0.0, 0.0, 9.0, 9.0)]


def test_polygons_turn_outer_rings_one_way_and_holes_the_other() -> None:
    shape = shapely.Polygon(box(0.0, 0.0, 10.0, 8.0)[::-1], [box(1.0, 2.0, 4.0, 3.0)])
    ((outer, hole),) = overlay.polygons_of(shape)
    assert (shapely.LinearRing(outer).is_ccw, shapely.LinearRing(hole).is_ccw) == (True, False)
    assert (set(outer), set(hole)) == (set(box(0.0, 0.0, 10.0, 8.0)), set(box(1.0, 2.0, 4.0, 3.0)))
    assert overlay.polygons_of(shapely.MultiPolygon([shapely.box(0.0, 0.0, 0.1, 9.0), shapely.box(1.0, 0.0, 2.0, 9.0)])) == [
        overlay.polygons_of(shapely.box(1.0, 0.0, 2.0, 9.0))[0]
    ]  # fmt: skip


def test_pieces_outside_and_inside_a_region() -> None:
    other = rising("P2", 0.0, 0.0, 0.1, box(9000.0, 2000.0, 12000.0, 8000.0))
    cut = shapely.box(5000.0, 0.0, 9500.0, 9000.0)
    out = overlay.pieces_outside([PLANE, other], cut)
    assert [(piece.plane.id, shapely.Polygon(piece.rings[0]).bounds) for piece in out] == [
        ("P1", pytest.approx((1000.0, 2000.0, 5000.0, 8000.0))), ("P2", pytest.approx((9500.0, 2000.0, 12000.0, 8000.0))),
    ]  # fmt: skip
    within = overlay.pieces_inside([PLANE, other], cut, 1.0)
    assert [(piece.plane.id, shapely.Polygon(piece.rings[0]).bounds) for piece in within] == [
        ("P1", pytest.approx((5000.0, 2000.0, 9000.0, 8000.0))), ("P2", pytest.approx((9000.0, 2000.0, 9500.0, 8000.0))),
    ]  # fmt: skip
    assert len(overlay.pieces_inside([PLANE, other], cut, 300.0)) == 1  # the second is 500 wide: 230 by its way round


def test_how_far_planes_lie_over_each_other() -> None:
    """Level at 4000 over 2 x 2 m of PLANE: 4000 - 500 - 0.3 x - 0.4 y at the corners, with its first one again; half of it but
    for what is left out."""
    level = rising("P2", 4000.0, 0.0, 0.0, box(2000.0, 3000.0, 4000.0, 5000.0), box(5000.0, 5000.0, 5000.5, 9000.0))
    found = overlay.overlaps([PLANE], [rising("P2", 4000.0, 0.0, 0.0, box(2000.0, 3000.0, 4000.0, 5000.0))], None, 1.0)
    due = {(2000.0, 3000.0): 1700.0, (4000.0, 3000.0): 1100.0, (4000.0, 5000.0): 300.0, (2000.0, 5000.0): 900.0}
    assert len(found) == 5
    assert {(round(x), round(y)): round(gap, 6) for gap, (x, y) in found} == due
    assert level.id == "P2"
    rest = overlay.overlaps(
        [PLANE],
        [rising("P2", 4000.0, 0.0, 0.0, box(2000.0, 3000.0, 4000.0, 5000.0))],
        shapely.box(0.0, 0.0, 3000.0, 9000.0),
        1.0,
    )
    assert sorted({(round(x), round(y)): round(gap, 6) for gap, (x, y) in rest}.values()) == [
        300.0,
        600.0,
        1100.0,
        1400.0,
    ]
    assert (
        overlay.overlaps([PLANE], [rising("P2", 4000.0, 0.0, 0.0, box(2000.0, 3000.0, 2002.0, 5000.0))], None, 1.0)
        == []
    )


GABLE = standing(
    "U1",
    (1000.0, 2000.0, 300.0),
    (1000.0 + 3000.0, 2000.0 + 4000.0, 300.0),
    [(0.0, 0.0), (5000.0, 0.0), (2500.0, 1000.0)],
    edge=4,
)


def test_parts_of_an_upright_face_by_shares_of_its_foot() -> None:
    """A gable along (3, 4, 5), 5 m wide and 1 m high in its middle: its fifth from 1 to 2 m is 400 and 800 high."""
    asked: list[Any] = []

    def outside(a: Point, b: Point) -> list[tuple[float, float]]:
        asked.append((a, b))
        return [(0.2, 0.4), (1.0, 1.0)]

    ((*ring,),) = overlay.upright_outside(GABLE, outside)
    assert asked == [((1000.0, 2000.0), (4000.0, 6000.0))]
    due = {(1600.0, 2800.0, 300.0), (2200.0, 3600.0, 300.0), (2200.0, 3600.0, 1100.0), (1600.0, 2800.0, 700.0)}
    assert {tuple(round(v, 6) for v in point) for point in ring} == due


def test_upright_faces_outside_a_region() -> None:
    """Walls over the first 2 m of the foot hide as much of it: 3 of 5 m stay, from 800 high over 1000 to the right end."""
    ux, uy = 0.6, 0.8

    def beside(s: float, off: float) -> Point:
        return (1000.0 + s * ux - off * uy, 2000.0 + s * uy + off * ux)

    house = shapely.Polygon(
        [beside(-900.0, -900.0), beside(2000.0, -900.0), beside(2000.0, 900.0), beside(-900.0, 900.0)]
    )
    lone = roof(uprights=(GABLE,))
    (face,) = overlay.uprights_outside(lone, house)
    along = [((x - 1000.0) * ux + (y - 2000.0) * uy, z) for x, y, z in face.rings_mm[0]]
    assert sorted((round(s, 3), round(z, 3)) for s, z in along) == [
        (2000.0, 300.0),
        (2000.0, 1100.0),
        (2500.0, 1300.0),
        (5000.0, 300.0),
    ]
    assert (face.normal, face.outline_edges, face.upright) == (GABLE.frame.n, (4,), UprightKind.GABLE)
    for end, parts in ((4998.85, 1), (4998.95, 0)):  # 1.05 and 0.95 mm are left, a tenth off: 1 mm and less is nothing
        corners = [beside(-900.0, -900.0), beside(end, -900.0), beside(end, 900.0), beside(-900.0, 900.0)]
        assert len(overlay.uprights_outside(lone, shapely.Polygon(corners))) == parts
    (whole,) = overlay.uprights_outside(
        roof(uprights=(standing("U1", (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), [(0.0, 0.0), (900.0, 0.0), (900.0, 50.0)]),)),
        house,
    )
    assert whole.outline_edges == ()


@pytest.mark.parametrize(
    ("share", "length", "due"), [(0.5, 10.0, 0.49), (0.0049, 10.0, 0.0), (0.0051, 10.0, -0.0049), (0.0, 10.0, 0.0)]
)
def test_the_end_of_a_span_without_what_kept_it_off(share: float, length: float, due: float) -> None:
    """A tenth of a millimetre of 10; a span that began at the very end was not kept off: up to half of that."""
    assert overlay._unbuffered(share, length) == pytest.approx(due)


def test_pieces_are_faces_in_space() -> None:
    plane = rising(
        "P1", 500.0, 0.3, 0.4, box(0.0, 0.0, 1000.0, 1000.0), outline_edges=(2, 3), step=1, covering=Covering.OTHER,
        fascia_height_mm=480.0, flat_error_mm=2.5,
    )  # fmt: skip
    (face,) = overlay.faces_of([Piece(plane, (box(0.0, 0.0, 1000.0, 500.0), box(100.0, 100.0, 200.0, 200.0)[::-1]))])
    assert face.rings_mm[0] == (
        pytest.approx((0.0, 0.0, 500.0)), pytest.approx((1000.0, 0.0, 800.0)), pytest.approx((1000.0, 500.0, 1000.0)), pytest.approx((0.0, 500.0, 700.0)),
    )  # fmt: skip
    assert face.rings_mm[1][0] == pytest.approx((100.0, 200.0, 610.0))
    assert face == Face(face.rings_mm, plane.frame.n, (2, 3), 1, None, plane.pitch_deg, Covering.OTHER, 480.0, 2.5)


HIGHER = roof(
    "high",
    planes=(
        rising("P9", 3000.0, 0.0, 0.5, box(0.0, 0.0, 4000.0, 3000.0)),
        rising("P8", 2500.0, 0.0, 0.0, box(0.0, 0.0, 4000.0, 3000.0)),
    ),
)


def test_a_wall_stands_over_a_border_up_to_the_higher_roof() -> None:
    """Along y = 1000 from x = 1 to 3 m at 2000 and 2600: the higher roof lies at 3500 there; past it the wall is 300 high."""
    a, b = (1000.0, 1000.0, 2000.0), (3000.0, 1000.0, 2600.0)
    (wall,) = overlay._wall_face(a, b, HIGHER, UprightKind.ABUTTING, 300.0)
    assert wall == Face(
        (((1000.0, 1000.0, 3500.0), (3000.0, 1000.0, 3500.0), b, a),), (0.0, 1.0, 0.0), upright=UprightKind.ABUTTING
    )
    (past,) = overlay._wall_face((1000.0, 4000.0, 2000.0), (1000.0, 9000.0, 2600.0), HIGHER, UprightKind.CHEEK, 300.0)
    assert past == Face(
        (((1000.0, 4000.0, 2300.0), (1000.0, 9000.0, 2900.0), (1000.0, 9000.0, 2600.0), (1000.0, 4000.0, 2000.0)),), (-1.0, 0.0, 0.0), upright=UprightKind.CHEEK
    )  # fmt: skip
    # a tenth of a millimetre beside the higher roof still counts; an end that it meets has no height of its own
    (pointed,) = overlay._wall_face((-0.09, 1000.0, 3500.0), (1000.0, 1000.0, 2600.0), HIGHER, UprightKind.CHEEK, 0.0)
    assert pointed.rings_mm == (((-0.09, 1000.0, 3500.0), (1000.0, 1000.0, 3500.0), (1000.0, 1000.0, 2600.0)),)
    assert overlay._wall_face((-0.11, 1000.0, 3500.0), (1000.0, 1000.0, 3500.0), HIGHER, UprightKind.CHEEK, 0.0) == []


@pytest.mark.parametrize(("off", "walls"), [(0.0, 1), (0.09, 1), (0.11, 0)])
def test_walls_stand_on_free_borders_along_the_wall_alone(off: float, walls: int) -> None:
    """Of two faces side by side, the border between them is none, though it lies on the line too."""
    left = Face((((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), (1000.0, 1000.0, 0.0), (0.0, 1000.0, 0.0)),), (0.0, 0.0, 1.0))
    right = Face(
        (((1000.0, 0.0, 0.0), (2000.0, 0.0, 0.0), (2000.0, 1000.0, 0.0), (1000.0, 1000.0, 0.0)),), (0.0, 0.0, 1.0)
    )
    line = shapely.LineString([(2000.0 + off, -100.0), (2000.0 + off, 1100.0)])
    found = overlay.wall_faces([left, right], line, HIGHER, UprightKind.CHEEK, 10.0)
    assert [face.rings_mm[0][2:] for face in found] == [((2000.0, 1000.0, 0.0), (2000.0, 0.0, 0.0))] * walls
    both = shapely.MultiLineString([[(1000.0, -100.0), (1000.0, 1100.0)], [(0.0, -100.0), (0.0, 600.0)]])
    assert (
        overlay.wall_faces([left, right], both, HIGHER, UprightKind.CHEEK, 10.0) == []
    )  # the other reaches up to its middle only


def test_a_roof_counted_from_another_origin() -> None:
    one = roof(
        origin_mm=(1000.0, 5000.0, 0.0), planes=(PLANE,), uprights=(GABLE,), nodes=(node("N1", (1.0, 2.0, 3.0), "E1"),),
        outline_mm=(box(0.0, 0.0, 5.0, 6.0),), wall_line_mm=(box(1.0, 1.0, 4.0, 5.0),),
    )  # fmt: skip
    found = overlay.moved(one, (400.0, 3000.0, 0.0))
    assert found.origin_mm == (400.0, 3000.0, 0.0)
    assert found.outline_mm == (box(600.0, 2000.0, 605.0, 2006.0),)
    assert found.wall_line_mm == (box(601.0, 2001.0, 604.0, 2005.0),)
    assert found.nodes == (node("N1", (601.0, 2002.0, 3.0), "E1"),)
    (x, y, z), (px, py, pz) = PLANE.frame.origin_mm, found.planes[0].frame.origin_mm
    assert (px, py, pz) == (x + 600.0, y + 2000.0, z)
    assert found.uprights[0].frame.origin_mm == (1600.0, 4000.0, 300.0)
    assert overlay.moved(one, (1000.0, 5000.0, 0.0)) is one
    assert overlay.moved(one, (1000.0, 4999.0, 0.0)).nodes[0].at_mm == (1.0, 3.0, 3.0)


def test_faces_share_their_corners_and_corners_on_their_sides() -> None:
    """A square, and two beside it whose corners are off by 0.04 mm: one of them meets its side half way up."""
    square = Face((((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 100.0, 0.0), (0.0, 100.0, 0.0)),), (0.0, 0.0, 1.0))
    low = Face(
        (((100.04, 0.0, 0.0), (200.0, 0.0, 0.0), (200.0, 50.0, 0.0), (100.0, 50.0, 0.0)),), (0.0, 0.0, 1.0), step=3
    )
    crumb = Face((((0.0, 0.0, 0.0), (0.03, 0.0, 0.0), (0.0, 0.02, 0.0)),), (0.0, 0.0, 1.0))
    found = overlay.shared_corners([square, crumb, low], [(200.02, 50.0, 0.0)])
    assert [face.step for face in found] == [0, 3]
    assert found[0].rings_mm == (
        ((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 50.0, 0.0), (100.0, 100.0, 0.0), (0.0, 100.0, 0.0)),
    )
    assert found[1].rings_mm == (((100.0, 0.0, 0.0), (200.0, 0.0, 0.0), (200.02, 50.0, 0.0), (100.0, 50.0, 0.0)),)
    apart = overlay.shared_corners(
        [square, Face((((100.06, 0.0, 0.0), (200.0, 0.0, 0.0), (200.0, 50.0, 0.0)),), (0.0, 0.0, 1.0))], []
    )
    assert apart[1].rings_mm[0][0] == (100.06, 0.0, 0.0)
    assert overlay._without_repeats((3, 3, 4, 5, 5, 3)) == (4, 5, 3)
