"""Small measures of models and drawings far from (0, 0): faces on a line, doubled points, cells, turns and tops, by hand."""

from __future__ import annotations

from math import atan2, degrees
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely
from flat_planes import edge, plane

from takeoff.shape.faces.edge_runs import _straight_parts
from takeoff.shape.imported import mesh_clean, net, sky
from takeoff.shape.imported.house_walls import outer_line
from takeoff.shape.imported.house_walls.wall_sides import drawn_side
from takeoff.shape.imported.joining import _without_doubles
from takeoff.shape.outline.roof_from_outline import _turn_deg
from takeoff.shape.strips.plane_lines import _on_plane
from takeoff.shape.strips.slabs import Slab, _plain_ring
from takeoff.shape.walls.wall_tops import tidy

Point = tuple[float, float]


def standing(*stretches: tuple[Point, Point], high: float = 2400.0) -> Any:
    """One upright triangle on each stretch, pointed over its first end; every other one turned round."""
    found = []
    for k, ((ax, ay), (bx, by)) in enumerate(stretches):
        corners = [(ax, ay, 100.0), (bx, by, 100.0), (ax, ay, high)]
        found.append(corners[::-1] if k % 2 else corners)
    return np.array(found)


def test_a_ring_side_lies_on_the_greatest_face_that_stands_on_it() -> None:
    """From (3, 1) to (33, 41), square to it (0.8, -0.6)."""
    a, b = (3.0, 1.0), (33.0, 41.0)
    near, less, far = ((4.6, -0.2), (34.6, 39.8)), ((6.2, -1.4), (12.2, 6.6)), ((35.0, -23.0), (65.0, 17.0))
    past, before = ((33.0, 41.0), (63.0, 81.0)), ((-27.0, -39.0), (3.0, 1.0))
    for faces, off in (
        (standing(near, less), 2.0),
        (standing(less, near), 2.0),
        (standing(less, far), 4.0),
        (standing(past, less, before), 4.0),
        (standing(far, past, before), 0.0),
        (standing(past, far, before, past), 0.0),
    ):
        assert outer_line._face_line(a, b, faces) == pytest.approx((0.8, -0.6, 1.8 + off))
        # the same line however its corners go round
        assert outer_line._face_line(a, b, faces[:, ::-1]) == pytest.approx((0.8, -0.6, 1.8 + off))


def test_corners_go_to_where_the_faces_cross() -> None:
    ring = [(50.0, 30.0), (150.0, 30.0), (150.0, 90.0), (50.0, 90.0)]
    faces = standing(((50.0, 26.0), (150.0, 26.0)), ((153.0, 30.0), (153.0, 90.0)))
    found = outer_line._on_faces(ring, faces)
    assert found == [pytest.approx(p) for p in ((50.0, 26.0), (153.0, 26.0), (153.0, 90.0), (50.0, 90.0))]


def test_corners_on_a_straight_stay() -> None:
    ring = [(50.0, 30.0), (100.0, 30.0), (150.0, 30.0), (150.0, 90.0), (50.0, 90.0)]
    found = outer_line._on_faces(ring, standing(((50.0, 26.0), (150.0, 26.0))))
    assert found[1] == (100.0, 30.0)
    assert found[0] == pytest.approx((50.0, 26.0))
    assert found[2] == pytest.approx((150.0, 26.0))


def test_the_top_of_a_gable_at_both_its_ends() -> None:
    """From (1000, 500) along (0.8, 0.6): 3 m high on the left, 5 m at 3 m, 2 m on the right at 8 m; half of the right storey open below."""

    def at(x: float, z: float) -> tuple[float, float, float]:
        return (1000.0 + 0.8 * x, 500.0 + 0.6 * x, z)

    outline = [at(0, 100), at(8000, 100), at(8000, 2000), at(3000, 5000), at(0, 3000)]
    faces: Any = SimpleNamespace(
        corners_mm=np.array([[outline[0], *outline[k : k + 2]] for k in (1, 2, 3)]), openings=()
    )
    side = drawn_side((1000.0, 500.0), (7400.0, 5300.0), faces)
    assert side is not None
    assert side.tops_mm == pytest.approx((3000.0, 2000.0), abs=0.5)
    assert (side.foot_mm, side.covered) == (pytest.approx(100.0, abs=0.5), pytest.approx(1.0))
    assert side.openings == ()
    # only its left 3 m drawn
    faces.corners_mm = np.array(
        [[at(0, 100), at(3000, 100), at(3000, 5000)], [at(0, 100), at(3000, 5000), at(0, 3000)]]
    )
    side = drawn_side((1000.0, 500.0), (7400.0, 5300.0), faces)
    assert side is not None
    assert side.tops_mm == pytest.approx((3000.0, 5000.0), abs=0.5)
    assert side.covered == pytest.approx(3.0 / 8.0)


def test_nodes_on_the_way_of_a_side_in_order() -> None:
    nodes = np.array(
        [(100.0, 50.0, 10.0), (500.0, 350.0, 30.0), (400.0, 275.0, 25.0), (200.0, 125.0, 15.0), (900.0, 80.0, 0.0), (300.0, 200.0, 40.0)]
    )  # fmt: skip
    ends = np.array([(0, 1), (2, 4), (3, 4), (5, 4)])
    assert net._junctions(nodes, ends) == {0: (3, 2)}
    assert net._junctions(nodes, np.array([(1, 0), (2, 4), (3, 4)])) == {0: (2, 3)}


def test_cells_round_a_cell_and_of_a_point() -> None:
    round_it = list(mesh_clean._around((5, -3, 8)))
    assert round_it[0] == (5, -3, 8)
    assert sorted(round_it) == [(x, y, z) for x in (4, 5, 6) for y in (-4, -3, -2) for z in (7, 8, 9)]
    assert mesh_clean._cell((25.0, -5.0, 99.0), 10.0) == (2, -1, 9)


def test_nodes_are_looked_for_round_a_sides_box() -> None:
    cells = [(x, y, z) for x in range(-3, 7) for y in range(-3, 4) for z in range(-3, 4)]
    grid: Any = {cell: [n] for n, cell in enumerate(cells)}
    nodes = [(25.0, 5.0, 5.0), (5.0, 5.0, 5.0)]
    found = [cells[n] for n in mesh_clean._near(nodes, 0, 1, grid, 10.0, range(45))]
    assert found == [(x, y, z) for x in range(-1, 4) for y in (-1, 0, 1) for z in (-1, 0, 1)]
    assert mesh_clean._near(nodes, 0, 1, grid, 10.0, range(44)) == range(44)


def test_points_given_twice_are_one() -> None:
    points = np.array([(3.0, 1.0, 2.0), (1.0, 1.0, 1.0), (3.0, 1.0, 2.0), (2.0, 5.0, 0.0), (3.0, 1.0, 2.5)])
    firsts, number = _without_doubles(points)
    assert firsts.tolist() == [[2.0, 5.0, 0.0], [1.0, 1.0, 1.0], [3.0, 1.0, 2.0], [3.0, 1.0, 2.5]]
    assert number.tolist() == [2, 1, 2, 0, 3]


def test_turns_at_corners() -> None:
    """From (4, 3) to (3, 4) and on to (-4, -3); left is positive, half round is counted the near way."""
    ring = ((100.0, 50.0), (104.0, 53.0), (107.0, 57.0), (99.0, 51.0))
    turn = degrees(atan2(4.0, 3.0) - atan2(3.0, 4.0))
    assert _turn_deg(ring, 1) == pytest.approx(turn)
    assert _turn_deg(ring, 2) == pytest.approx(180.0 - turn)
    west = ((100.0, 50.0), (90.0, 51.0), (80.0, 50.0))
    assert _turn_deg(west, 1) == pytest.approx(2.0 * degrees(atan2(1.0, 10.0)))
    assert _turn_deg(west[::-1], 1) == pytest.approx(-2.0 * degrees(atan2(1.0, 10.0)))


@pytest.mark.parametrize(("least", "start"), [(0.0, 101.0), (1.0, 105.0), (-0.25, 100.0)])
def test_what_lies_over_a_plane_is_cut_where_they_meet(least: float, start: float) -> None:
    """The higher one rises by 1/4 in x over the level one and meets it at x = 101 in a field of 12 by 9 from (100, 50): with (least = 1)
    only from x = 105 on it is so much higher."""
    high: Any = SimpleNamespace(normal=(-0.25, 0.0, 1.0), height_at=lambda x, _: 7.0 + 0.25 * (x - 101.0))
    low: Any = SimpleNamespace(normal=(0.0, 0.0, 1.0), height_at=lambda _x, _y: 7.0)
    (found,) = sky._clipped(low, high, shapely.box(100.0, 50.0, 112.0, 59.0), least)
    assert found.bounds == pytest.approx((start, 50.0, 112.0, 59.0))
    assert found.area == pytest.approx((112.0 - start) * 9.0)


def test_three_corners_over_a_plane_are_enough() -> None:
    high: Any = SimpleNamespace(normal=(-1.0, -2.0, 1.0), height_at=lambda x, y: x - 110.0 + 2.0 * (y - 57.0))
    low: Any = SimpleNamespace(normal=(0.0, 0.5, 1.0), height_at=lambda _, y: -0.5 * (y - 57.0))
    (found,) = sky._clipped(low, high, shapely.box(100.0, 50.0, 112.0, 59.0), 0.0)
    # x - 110 + 2.5 (y - 57) >= 0: over from (105, 59) to (112, 56.2)
    assert found.area == pytest.approx(7.0 * 2.8 / 2.0)
    assert sky._clipped(low, high, shapely.box(100.0, 50.0, 101.0, 51.0), 0.0) == []


def test_edges_straight_up_the_slope_look_inwards() -> None:
    ring = tuple((x + 1000.0, y + 500.0) for x, y in ((0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (0.0, 40.0)))
    for k, way in enumerate([(0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)]):
        assert _on_plane(plane(ring), edge("E1", ring[k], ring[(k + 1) % 4])).inward == pytest.approx(way)


def test_paths_are_cut_where_they_bend() -> None:
    nodes = [
        (9.0, 9.0, 9.0),
        (100.0, 0.0, 0.0),
        (110.0, 0.0, 0.0),
        (110.0, 10.0, 0.0),
        (120.0, 10.0, 0.0),
        (130.0, 10.5, 0.0),
    ]
    assert _straight_parts(nodes, [1, 2, 3, 4, 5], 0.5) == [[1, 2], [2, 3], [3, 4, 5]]
    assert _straight_parts(nodes, [3, 4, 5], 0.1) == [[3, 4], [4, 5]]
    assert _straight_parts(nodes, [5, 4], 0.1) == [[5, 4]]


def test_points_between_on_an_upright_part_of_a_top_go() -> None:
    assert tidy(((0.0, 20.0), (5.0, 20.0), (5.0, 10.0), (5.0, 4.0), (9.0, 4.0)), 9.0) == (
        (0.0, 20.0), (5.0, 20.0), (5.0, 4.0), (9.0, 4.0),
    )  # fmt: skip
    up_and_down = ((0.0, 10.0), (5.0, 10.0), (5.0, 20.0), (5.0, 15.0), (9.0, 15.0))
    assert tidy(up_and_down, 9.0) == up_and_down


def test_slabs_side_by_side_have_one_plain_ring() -> None:
    """Also below the origin, where heights add up to nothing; not where two corners are one or a slab goes on otherwise."""
    one, two = Slab(5.0, 9.0, -40.0, -50.0, 30.0, 60.0), Slab(9.0, 20.0, -50.0, -45.0, 60.0, 20.0)
    ring = _plain_ring([one, two])
    assert ring == ((5.0, -40.0), (9.0, -50.0), (20.0, -45.0), (20.0, 20.0), (9.0, 60.0), (5.0, 30.0))
    assert _plain_ring([one, Slab(9.0, 20.0, -50.0, -45.0, 59.0, 20.0)]) == ()
    assert _plain_ring([one, Slab(9.0, 20.0, -50.0, 20.0, 60.0, 20.0)]) == ()
    assert _plain_ring([one, Slab(9.5, 20.0, -50.0, -45.0, 60.0, 20.0)]) == ()
