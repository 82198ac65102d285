"""What decides which way is up, part by part: what lies over a place, edges that one face has, the roof over the walls. Each
against a second way: shapely, or every pair in turn."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from takeoff.shape.imported.deciding.axis import _boxed, _covered, _edge_height, _lift, _view
from takeoff.shape.imported.deciding.stated_roof import _closed, _depth, _Plane, _planes, _skin, _underside


def facets(count: int, seed: int) -> np.ndarray:
    """Triangles about places all over 100 x 60 x 20."""
    rng = np.random.default_rng(seed)
    return rng.uniform((0.0, 0.0, 0.0), (100.0, 60.0, 20.0), (count, 1, 3)) + rng.uniform(-9.0, 9.0, (count, 3, 3))


def height_over(triangle: np.ndarray, x: float, y: float) -> float:
    a, b, c = triangle
    normal = np.cross(b - a, c - a)
    return float(a[2] - (normal[0] * (x - a[0]) + normal[1] * (y - a[1])) / normal[2])


@pytest.mark.parametrize("seed", [1, 2])
def test_places_under_faces(seed: int) -> None:
    corners = facets(40, seed)
    places = facets(60, seed + 10).mean(axis=1)
    crumb = 1e-3 * float(np.ptp(corners[:, :, 2]))
    expected = [
        any(
            shapely.Polygon(triangle[:, :2]).contains(shapely.Point(*place[:2]))
            and height_over(triangle, *place[:2]) > place[2] + crumb
            for triangle in corners
        )
        for place in places
    ]
    assert _covered(corners, places).tolist() == expected
    assert 0 < sum(expected) < 60
    at, over = _boxed(corners, places)
    low, high = corners[:, :, :2].min(axis=1), corners[:, :, :2].max(axis=1)
    pairs = {
        (p, f)
        for p in range(60)
        for f in range(40)
        if (low[f] <= places[p, :2]).all() and (places[p, :2] <= high[f]).all()
    }
    assert set(zip(at.tolist(), over.tolist(), strict=True)) == pairs
    assert len(at) == len(pairs)


def test_a_place_hardly_under_a_face_is_not_covered() -> None:
    """Of a model 20 high, less than 20 mm are a crumb: 1 in 1000."""
    corners = np.array([[(0, 0, 0), (9, 0, 0), (0, 9, 0)], [(50, 50, 20), (59, 50, 20), (50, 59, 20)]], dtype=float)
    places = np.array(
        [
            (2.0, 3.0, -0.019),
            (2.0, 3.0, -0.021),
            (4.5, 4.5, -1.0),
            (4.6, 4.6, -1.0),
            (0.0, 4.0, -1.0),
            (-0.1, 4.0, -1.0),
        ]
    )
    assert _covered(corners, places).tolist() == [False, True, True, False, True, False]


def test_a_place_beside_a_face_by_rounding_alone_is_under_it() -> None:
    """Twice the face's area is 81; past its long side by d in x and y lie 18 d: 2.25e-9 is half a thousand-millionth of
    the area, 9e-9 two."""
    corners = np.array([[(0, 0, 0), (9, 0, 0), (0, 9, 0)], [(50, 50, 20), (59, 50, 20), (50, 59, 20)]], dtype=float)
    places = np.array([(4.5 + d, 4.5 + d, -1.0) for d in (-9e-9, 2.25e-9, 9e-9)])
    assert _covered(corners, places).tolist() == [True, True, False]
    assert _covered(corners[:, ::-1], places).tolist() == [True, True, False]  # the other way round


def test_the_edge_of_a_roof_is_what_one_face_alone_has() -> None:
    """Mean height by length of the sides of a skew gable that no other face shares; corners given anew in every face."""
    a, b, c, d = (0.0, 0.0, 1.0), (7.0, 1.0, 2.0), (6.0, 9.0, 0.5), (-1.0, 8.0, 0.0)
    p, q = (1.0, 4.0, 5.0), (5.0, 5.0, 6.0)
    triangles = [(a, b, q), (a, q, p), (c, d, p), (c, p, q)]
    sides: dict[frozenset[tuple[float, ...]], int] = {}
    for triangle in triangles:
        for one, other in zip(triangle, (*triangle[1:], triangle[0]), strict=True):
            sides[frozenset((one, other))] = sides.get(frozenset((one, other)), 0) + 1
    alone = [sorted(side) for side, times in sides.items() if times == 1]
    assert len(alone) == 6
    lengths = [float(np.linalg.norm(np.subtract(one, other))) for one, other in alone]
    expected = np.average([(one[2] + other[2]) / 2.0 for one, other in alone], weights=lengths)
    for scale, move in ((1.0, 0.0), (3000.0, -50000.0)):
        assert _edge_height(np.array(triangles) * scale + move) == pytest.approx(float(expected) * scale + move)
    twice = [*triangles, *(triangle[::-1] for triangle in triangles)]
    middles = [
        (one[2] + other[2]) / 2.0
        for triangle in triangles
        for one, other in zip(triangle, (*triangle[1:], triangle[0]), strict=True)
    ]
    assert _edge_height(np.array(twice)) == pytest.approx(float(np.mean(middles)))  # no side is alone: the mean of all


def _measured(corners: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas = np.linalg.norm(crossed, axis=1)
    return crossed / areas[:, None], areas


def test_how_far_a_roof_lies_over_its_walls_or_its_edge() -> None:
    """A wall of 60 by 4 up from 1; a roof face of 60 by 5 in plan that rises from 5 to 8; a floor at 1, at the very bottom."""
    wall = [((0, 0, 1), (60, 0, 1), (60, 0, 5)), ((0, 0, 1), (60, 0, 5), (0, 0, 5))]
    roof = [((0, 0, 5), (60, 0, 5), (60, 5, 8)), ((0, 0, 5), (60, 5, 8), (0, 5, 8))]
    floor = [((0, 0, 1), (60, 5, 1), (60, 0, 1)), ((0, 0, 1), (0, 5, 1), (60, 5, 1))]
    every = np.array([*wall, *roof, *floor], dtype=float)
    assert _lift(every, *_measured(every)) == (pytest.approx((6.5 - 3.0) / 7.0), True)
    bare = np.array([*roof, *floor], dtype=float)
    # without walls what slopes is 1.5 over the mean of its own edge and the floor's: the sides of both, 60 and 5 or 5.83 long
    slant = 34.0**0.5
    edge = (60 * 5 + 60 * 8 + 2 * slant * 6.5 + (60 + 60 + 5 + 5) * 1.0) / (120 + 2 * slant + 130)
    assert _lift(bare, *_measured(bare)) == (pytest.approx((6.5 - edge) / 7.0), False)
    level = np.array(floor, dtype=float)
    assert _lift(level, *_measured(level)) == (0.0, False)
    low = np.array([*wall, *floor], dtype=float)
    assert _lift(low, *_measured(low)) == (0.0, True)
    stepped = np.array([*floor, *(tuple((x, y, z + 2) for x, y, z in one) for one in floor)], dtype=float)
    assert _lift(stepped, *_measured(stepped)) == (0.0, False)


def test_a_view_counts_shares_of_all_area() -> None:
    """A slope of 60 x 10 m2 under the sky, one of half as wide under it that leans the other way, a wall of 60 x 4."""
    over = [((0, 0, 8), (60, 0, 8), (60, 8, 14)), ((0, 0, 8), (60, 8, 14), (0, 8, 14))]
    under = [((0, 0, 5), (30, 0, 5), (30, 8, -1)), ((0, 0, 5), (30, 8, -1), (0, 8, -1))]
    wall = [((0, 0, -1), (60, 0, -1), (60, 0, 3)), ((0, 0, -1), (60, 0, 3), (0, 0, 3))]
    corners = np.array([*over, *under, *wall], dtype=float)
    found = _view(corners, *_measured(corners))
    total = 600.0 + 300.0 + 240.0
    assert found.slopes == pytest.approx(600.0 / total, abs=0.004)
    assert found.right == pytest.approx((240.0 + 600.0 - 300.0) / total, abs=0.008)


# bodies that a file states to be roof


def test_the_planes_of_a_body() -> None:
    """A skew box: three pairs of planes; the greatest first, distances from the middle of all of its triangles."""
    base = np.array([(0, 0, 0), (40, 0, 30), (40 - 12, 20, 30 + 16), (-12, 20, 16)], dtype=float) * 100.0
    lifted = base + np.array([-60.0, 0.0, 80.0]) * 5.0
    points = np.concatenate([base, lifted])
    quads = [(0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]
    triangles = np.array([t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))])
    assert _closed(triangles)
    assert not _closed(triangles[1:])
    assert not _closed(np.concatenate([triangles[:1, ::-1], triangles[1:]]))
    found = _planes(points, triangles)
    assert sorted(plane.numbers.tolist() for plane in found) == [[0, 1], [2, 3], [4, 5], [6, 7], [8, 9], [10, 11]]
    assert [plane.area_mm2 for plane in found] == sorted((plane.area_mm2 for plane in found), reverse=True)
    middle = points[triangles].mean(axis=(0, 1))
    for plane in found:
        corner = points[triangles[plane.numbers[0], 0]]
        assert plane.off_mm == pytest.approx(float((corner - middle) @ plane.normal))
        a, b, c = points[triangles[plane.numbers[0]]]
        crossed = np.cross(b - a, c - a)
        assert plane.normal == pytest.approx(crossed / np.linalg.norm(crossed))
        assert plane.area_mm2 == pytest.approx(float(np.linalg.norm(crossed)))
    tops = [plane for plane in found if plane.normal[2] > 0.087]
    kept, thick = _skin(points, triangles, False)
    top = max(tops, key=lambda plane: plane.area_mm2)
    below = next(plane for plane in found if plane.normal @ top.normal < -0.99)
    assert thick == pytest.approx(_depth(top, below))
    assert set(top.numbers.tolist()) == {2, 3}
    assert thick == pytest.approx(float((lifted[0] - base[0]) @ top.normal))
    assert set(kept.tolist()) >= set(top.numbers.tolist())


def test_triangles_out_of_their_plane_by_more_than_ten_millimetres_are_another() -> None:
    for up, planes in ((9.9, 1), (10.1, 2)):
        points = np.array(
            [(0, 0, 0), (4000, 0, 0), (0, 4000, 0), (5000, 5000, up), (9000, 5000, up), (5000, 9000, up)], dtype=float
        )
        assert len(_planes(points, np.array([(0, 1, 2), (3, 4, 5)]))) == planes


def plane(normal: tuple[float, float, float], off: float, area: float) -> _Plane:
    return _Plane(np.array([0]), np.array(normal), off, area)


def test_an_underside_is_parallel_below_and_large_enough() -> None:
    top = plane((0.0, 0.0, 1.0), 100.0, 1000.0)
    near, far = plane((0.0, 0.0, -1.0), -50.0, 300.0), plane((0.0, 0.0, -1.0), 100.0, 900.0)
    small, above = plane((0.0, 0.0, -1.0), -90.0, 299.0), plane((0.0, 0.0, -1.0), -101.0, 900.0)
    turned = plane((0.0, -0.021, -0.99978), -60.0, 900.0)  # 1.2 degrees
    assert _underside(top, [top, far, near, small, above, turned]) is near
    assert _underside(top, [top, far, small, above]) is far
    assert _underside(top, [top, small, above, turned]) is None
    assert (_depth(top, near), _depth(top, far)) == (50.0, 200.0)
