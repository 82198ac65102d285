"""Polygons cut into triangles: they add up, turn the right way, and stay inside. Checked against shapely."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.basics.polygons import rings_area, signed_area
from takeoff.basics.triangles import triangulate
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
