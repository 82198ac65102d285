"""Faces cut into triangles: areas by the surveyor's formula and by hand (derived)."""

from __future__ import annotations

import random
from math import cos, hypot, pi, sin

import pytest

from takeoff.basics.face_cutting import _flat, cut_face
from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point3, cross3, length3, newell, sub3

ELL = [(0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (2.0, 2.0), (2.0, 5.0), (0.0, 5.0)]  # 12 + 6 = 18 m2


def _tilted(ring: list[tuple[float, float]], pitch: float = 0.5) -> list[Point3]:
    return [(x, y, pitch * y) for x, y in ring]


def _area(points: list[Point3], triangles: list[tuple[int, int, int]]) -> float:
    return sum(length3(cross3(sub3(points[b], points[a]), sub3(points[c], points[a]))) / 2.0 for a, b, c in triangles)


@pytest.mark.parametrize("start", range(6))
@pytest.mark.parametrize("back", [False, True])
def test_a_hollow_face_has_its_area_from_whatever_corner_it_starts(start: int, back: bool) -> None:
    ring = _tilted([*ELL[start:], *ELL[:start]])
    ring = ring[::-1] if back else ring
    cut = cut_face([ring])
    assert len(cut) == 4
    assert _area(ring, cut) == pytest.approx(18.0 * hypot(1.0, 0.5))
    way = newell(ring)
    for a, b, c in cut:
        across = cross3(sub3(ring[b], ring[a]), sub3(ring[c], ring[a]))
        assert sum(p * q for p, q in zip(across, way, strict=True)) > 0


def test_a_hollow_four_sided_face_is_cut_inside() -> None:
    """An arrow head: the diagonal from its first corner would lie outside."""
    ring = _tilted([(0.0, 0.0), (4.0, 0.0), (1.0, 1.0), (0.0, 4.0)])
    for start in range(4):
        turned = [*ring[start:], *ring[:start]]
        assert _area(turned, cut_face([turned])) == pytest.approx(4.0 * hypot(1.0, 0.5))


def test_holes_are_left_out() -> None:
    hole = _tilted([(1.0, 1.0), (1.0, 1.5), (1.5, 1.5), (1.5, 1.0)])
    ring = _tilted(ELL)
    assert _area([*ring, *hole], cut_face([ring, hole])) == pytest.approx(17.75 * hypot(1.0, 0.5))


def test_a_face_of_many_corners_is_quick() -> None:
    chance = random.Random(1)
    reach = [9.0 + chance.random() for _ in range(4000)]
    star = [(r * cos(2 * pi * k / 4000), r * sin(2 * pi * k / 4000)) for k, r in enumerate(reach)]
    area = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(star, [*star[1:], star[0]], strict=True))) / 2.0
    assert _area(_tilted(star, 0.0), cut_face([_tilted(star, 0.0)])) == pytest.approx(area)


def test_what_crosses_itself_is_refused() -> None:
    with pytest.raises(ValueError, match="crosses itself"):
        cut_face([_tilted([(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 3.0)])])


def test_a_face_without_area_gives_nothing() -> None:
    assert cut_face([[(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (2.0, 0.0, 0.0), (1.0, 0.0, 0.0)]]) == []


def test_a_bow_tie_whose_halves_undo_each_other_crosses_itself_and_a_face_in_one_line_has_no_area() -> None:
    with pytest.raises(ValueError, match="crosses itself"):
        cut_face([[(0.0, 0.0, 0.0), (4.0, 2.0, 0.0), (4.0, 0.0, 0.0), (0.0, 2.0, 0.0)]])
    assert cut_face([[(0.0, 0.0, 0.0), (1.0, 1.0, 1.0), (3.0, 3.0, 3.0), (2.0, 2.0, 2.0)]]) == []


def test_a_face_of_many_corners_that_touches_itself_is_cut_whole() -> None:
    # a band of 40 x 1 with saw teeth below, 81 corners; a square hole touches its upper edge in one corner: 40 + 20 - 0.45
    teeth = [(k / 2.0, -1.0 if k % 2 else 0.0, 0.0) for k in range(81)]
    ring: list[Point3] = [*teeth, (40.0, 1.0, 0.0), (0.0, 1.0, 0.0)]
    hole: list[Point3] = [(20.0, 1.0, 0.0), (19.5, 0.5, 0.0), (20.0, 0.1, 0.0), (20.5, 0.5, 0.0)]
    ring.insert(82, (20.0, 1.0, 0.0))
    points = [*ring, *hole]
    cut = cut_face([ring, hole])
    area = sum(length3(cross3(sub3(points[b], points[a]), sub3(points[c], points[a]))) / 2.0 for a, b, c in cut)
    assert area == pytest.approx(40.0 + 20.0 - 0.45)


def test_the_vector_square_to_a_ring_is_twice_its_area_along_each_axis() -> None:
    """A triangle with a corner on each axis, 2, 3 and 6 out from (5, 7, 11): the products of the other two, by hand."""
    ring = [(5.0 + 2.0, 7.0, 11.0), (5.0, 7.0 + 3.0, 11.0), (5.0, 7.0, 11.0 + 6.0)]
    assert newell(ring) == pytest.approx((18.0, 12.0, 6.0))


def test_a_triangle_and_a_bulging_four_sided_face_are_cut_from_the_first_corner() -> None:
    """However small: a side of half a unit."""
    square = _tilted([(0.0, 0.0), (0.5, 0.1), (0.5, 0.5), (0.0, 0.4)])
    assert cut_face([square[:3]]) == [(0, 1, 2)]
    assert cut_face([square[:3], square[:2]]) == [(0, 1, 2)]  # what has two corners is no hole
    for start in range(4):
        assert cut_face([[*square[start:], *square[:start]]]) == [(0, 1, 2), (0, 2, 3)]


def test_a_four_sided_face_with_a_corner_in_a_straight_side_is_cut_in_two_with_area() -> None:
    for start in range(4):
        ring = _tilted([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (1.0, 1.0)])
        ring = [*ring[start:], *ring[:start]]
        cut = cut_face([ring])
        areas = sorted(_area(ring, [each]) for each in cut)
        assert areas == pytest.approx([hypot(1.0, 0.5) / 2.0] * 2)


def test_a_small_hollow_face_runs_as_its_ring_does() -> None:
    ring = _tilted([(x / 10.0, y / 10.0) for x, y in ELL])
    for a, b, c in cut_face([ring]):
        across = cross3(sub3(ring[b], ring[a]), sub3(ring[c], ring[a]))
        assert sum(p * q for p, q in zip(across, newell(ring), strict=True)) > 0


@pytest.mark.parametrize(
    "normal", [(1.0, 2.0, 9.0), (-9.0, 1.0, 2.0), (2.0, -9.0, 1.0), (0.0, 0.0, -3.0), (5.0, 5.0, 0.5)]
)
def test_a_plane_is_laid_flat_as_it_is(normal: Point3) -> None:
    """Distances stay, and what runs counter-clockwise seen against the normal runs so on paper."""
    nx, ny, nz = normal
    along = (ny - nz, nz - nx, nx - ny)  # square to the normal and to 1, 1, 1
    other = cross3(normal, along)
    origin = (3.0, -2.0, 7.0)
    ring = [(origin[0] + p * along[0] + q * other[0], origin[1] + p * along[1] + q * other[1], origin[2] + p * along[2] + q * other[2])
            for p, q in ((0.0, 0.0), (2.0, 0.1), (1.7, 0.3), (-0.4, 0.2))]  # fmt: skip
    flat = _flat(ring, origin, normal)
    for i, a in enumerate(ring):
        for j, b in enumerate(ring):
            assert hypot(flat[j][0] - flat[i][0], flat[j][1] - flat[i][1]) == pytest.approx(length3(sub3(b, a)))
    assert flat[0] == pytest.approx((0.0, 0.0))
    assert signed_area(flat) == pytest.approx(length3(newell(ring)) / 2.0)


@pytest.mark.parametrize("scale", [0.01, 1.0, 12345.678, 1234567.891 / 3.0])
def test_a_ring_that_touches_itself_is_cut_as_two_parts(scale: float) -> None:
    """Two triangles of 4 that share a corner in the middle."""
    corners = [(0.0, 0.0), (4.0, 0.0), (2.0, 2.0), (4.0, 4.0), (0.0, 4.0), (2.0, 2.0)]
    ring = _tilted([(x * scale, y * scale) for x, y in corners])
    cut = cut_face([ring])
    assert len(cut) == 2
    assert _area(ring, cut) == pytest.approx(8.0 * hypot(1.0, 0.5) * scale**2)


@pytest.mark.parametrize(("high", "crosses"), [(6e-6, True), (3e-6, False)])
def test_a_bow_tie_lies_in_one_line_where_it_is_a_millionth_as_high_as_long(high: float, crosses: bool) -> None:
    """4 long and h high: h / 4 beside 1e-6; smaller and larger ones alike."""
    for scale in (1e-4, 1.0, 1e4):
        ring = [(0.0, 0.0, 0.0), (4.0 * scale, high * scale, 0.0), (4.0 * scale, 0.0, 0.0), (0.0, high * scale, 0.0)]
        if crosses:
            with pytest.raises(ValueError, match="crosses itself"):
                cut_face([ring])
        else:
            assert cut_face([ring]) == []
