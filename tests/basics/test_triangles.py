"""Polygons cut into triangles: they add up, turn the right way, and stay inside. Checked against shapely."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.basics.polygons import rings_area, signed_area
from takeoff.basics.triangles import _opens_to, _sees, _within, triangulate
from takeoff.basics.vectors import Point2

COMB = [
    (0.0, 0.0),
    (9.0, 0.0),
    (9.0, 5.0),
    (7.0, 5.0),
    (7.0, 1.0),
    (5.0, 1.0),
    (5.0, 5.0),
    (3.0, 5.0),
    (3.0, 1.0),
    (0.0, 1.0),
]
SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
HOLES = [
    [(2.0, 2.0), (3.0, 2.0), (3.0, 3.0), (2.0, 3.0)],
    [(6.0, 2.0), (8.0, 2.0), (7.0, 4.0)],
    [(2.0, 6.0), (8.0, 6.0), (8.0, 8.0), (2.0, 8.0)],
]


def _check(rings: list[list[Point2]]) -> None:
    points = [point for ring in rings for point in ring]
    parts = [[points[i] for i in triangle] for triangle in triangulate(rings)]
    assert all(signed_area(part) > 0 for part in parts)
    assert sum(signed_area(part) for part in parts) == pytest.approx(rings_area(rings), rel=1e-9)
    whole = shapely.Polygon(rings[0], rings[1:]).buffer(1e-6)
    assert all(whole.covers(shapely.Polygon(part)) for part in parts)


@pytest.mark.parametrize("ring", [SQUARE, COMB, COMB[::-1], [*SQUARE[:2], (10.0, 5.0), *SQUARE[2:]]])
def test_without_holes(ring: list[Point2]) -> None:
    _check([ring])


@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("turned", [False, True])
def test_with_holes(count: int, turned: bool) -> None:
    _check([SQUARE, *(hole[::-1] if turned else hole for hole in HOLES[:count])])


def test_a_triangle_stays_one() -> None:
    assert triangulate([[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]]) == [(2, 0, 1)]


def test_nothing_of_nothing() -> None:
    assert triangulate([]) == []


@settings(derandomize=True, max_examples=60, deadline=None, database=None)
@given(st.lists(st.tuples(st.integers(1, 9), st.integers(-9, 9), st.integers(10, 30)), min_size=1, max_size=8))
def test_stepped_outlines(columns: list[tuple[int, int, int]]) -> None:
    front: list[Point2] = []
    back: list[Point2] = []
    x = 0.0
    for width, low, high in columns:
        front += [(x, float(low)), (x + width, float(low))]
        back += [(x, float(high)), (x + width, float(high))]
        x += width
    ring = [*front, *reversed(back)]
    _check([[point for i, point in enumerate(ring) if point != ring[i - 1]]])


def test_a_hole_that_reaches_into_the_pocket_of_another() -> None:
    """A bar with a spike that ends in the pocket of a hole open to the left: from the spike's tip no corner of the
    outside is seen, so the hole with the pocket must be joined in first, though the bar reaches higher."""
    outer = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]
    bar = [(20.0, 10.0), (24.0, 10.0), (24.0, 28.0), (50.0, 30.0), (24.0, 32.0), (24.0, 80.0), (20.0, 80.0)]
    pocket = [
        (35.0, 20.0),
        (60.0, 20.0),
        (60.0, 40.0),
        (35.0, 40.0),
        (35.0, 36.0),
        (55.0, 36.0),
        (55.0, 24.0),
        (35.0, 24.0),
    ]
    _check([outer, bar, pocket])
    assert triangulate([outer, bar, pocket]) == POCKET_CUT


# which ears are taken, in which order: regression figures, since many ways to cut a polygon are right
COMB_CUT = [(1, 2, 3), (5, 6, 7), (5, 7, 8), (1, 3, 4), (0, 1, 4), (9, 0, 4)]
HOLES_CUT = [
    (0, 1, 9), (9, 1, 2), (13, 2, 3), (6, 8, 10), (14, 13, 3), (14, 3, 0), (8, 6, 5), (0, 9, 4), (2, 13, 12), (9, 2, 12),
    (10, 9, 12), (10, 12, 11), (6, 10, 11), (7, 6, 11), (14, 0, 4),
]  # fmt: skip
TURNED_CUT = [
    (3, 2, 9), (9, 2, 1), (12, 1, 0), (5, 10, 8), (11, 12, 0), (11, 0, 3), (10, 5, 6), (3, 9, 7), (1, 12, 13), (9, 1, 13),
    (8, 9, 13), (8, 13, 14), (5, 8, 14), (4, 5, 14), (11, 3, 7),
]  # fmt: skip
POCKET_CUT = [
    (13, 1, 2), (14, 13, 2), (1, 13, 12), (0, 1, 12), (18, 17, 7), (7, 17, 16), (7, 16, 15), (18, 7, 6), (18, 6, 5),
    (8, 7, 15), (9, 8, 15), (11, 18, 5), (12, 11, 5), (0, 12, 5), (0, 5, 4), (3, 0, 4), (3, 4, 10), (2, 3, 10), (2, 10, 9),
    (14, 2, 9), (14, 9, 15),
]  # fmt: skip


def test_which_ears_are_taken() -> None:
    assert triangulate([COMB]) == COMB_CUT
    assert triangulate([SQUARE, *HOLES]) == HOLES_CUT
    assert triangulate([SQUARE[::-1], *(hole[::-1] for hole in HOLES)]) == TURNED_CUT


def test_where_the_inside_opens_at_a_corner() -> None:
    """At a corner that stands out only between its sides, not along them; at a hollow one everywhere but between the
    sides drawn on."""
    ell = [(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (3.0, 3.0), (3.0, 6.0), (0.0, 6.0)]
    loop = list(range(6))
    out = {
        (1.0, 1.0): True,
        (5.0, 0.5): True,
        (5.0, 0.0): False,
        (0.0, 5.0): False,
        (-1.0, 1.0): False,
        (1.0, -1.0): False,
    }
    assert {tip: _opens_to(ell, loop, 0, tip) for tip in out} == out
    last = {(1.0, 5.0): True, (1.0, 6.0): False, (0.0, 1.0): False, (1.0, 7.0): False, (-1.0, 5.0): False}
    assert {tip: _opens_to(ell, loop, 5, tip) for tip in last} == last
    hollow = {
        (1.0, 1.0): True,
        (5.0, 1.0): True,
        (1.0, 5.0): True,
        (5.0, 5.0): False,
        (5.0, 3.0): False,
        (3.0, 5.0): False,
    }
    assert {tip: _opens_to(ell, loop, 3, tip) for tip in hollow} == hollow
    # however small
    small, tenth = [(x / 10.0, y / 10.0) for x, y in ell], [0, 1, 2, 3, 4, 5]
    for k, tips in ((0, out), (5, last), (3, hollow)):
        assert {tip: _opens_to(small, tenth, k, (tip[0] / 10.0, tip[1] / 10.0)) for tip in tips} == tips
    # a corner in a straight side opens to the inside of it
    flat = [(0.0, 0.0), (2.0, 0.0), (4.0, 0.0), (4.0, 4.0)]
    assert [_opens_to(flat, [0, 1, 2, 3], 1, tip) for tip in ((1.0, 1.0), (1.0, -1.0), (3.0, 0.0))] == [
        True,
        False,
        False,
    ]


def test_what_stands_between_two_points() -> None:
    """A side across the line hides one from the other, one that touches it too; sides at the points themselves do not."""
    points = [(0.0, 0.0), (10.0, 0.0), (5.0, -1.0), (5.0, 1.0), (5.0, 9.0), (4.0, 0.0), (4.0, 3.0)]
    assert _sees(points, 0, 1, [[2, 3]]) is False
    assert _sees(points, 0, 1, [[3, 4]]) is True
    assert _sees(points, 0, 1, [[5, 6]]) is False
    assert _sees(points, 0, 1, [[0, 4, 1]]) is True
    assert _sees(points, 3, 4, [[0, 1]]) is True


def test_points_in_a_triangle() -> None:
    """Its sides and corners with it."""
    a, b, c = (0.0, 0.0), (4.0, 0.0), (0.0, 4.0)
    rows = {(1.0, 1.0): True, (2.0, 0.0): True, (0.0, 2.0): True, (2.0, 2.0): True, a: True, (2.1, 2.1): False,
            (1.0, -0.5): False, (-0.5, 1.0): False}  # fmt: skip
    assert {point: _within(a, b, c, point) for point in rows} == rows
