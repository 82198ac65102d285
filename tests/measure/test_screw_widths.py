"""Width of a cover along a line of timber: against the geometry library."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from takeoff.measure.roofing.fixings.screw_rows import widths_over
from takeoff.model.measured import PurlinLine

points = st.tuples(st.integers(-40, 40).map(float), st.integers(-40, 40).map(float))


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.lists(points, min_size=3, max_size=6, unique=True), points, points)
def test_the_width_of_a_cover_along_a_line(
    ring: list[tuple[float, float]], a: tuple[float, float], b: tuple[float, float]
) -> None:
    """What of the line lies in the cover, as it measures across the plane; the cover is moved a little, so that no
    corner and no side of it lies on the line."""
    hull = Polygon(ring).convex_hull
    assume(a != b and isinstance(hull, Polygon))
    cover = tuple((u + 0.0137, v + 0.0271) for u, v in hull.exterior.coords[:-1])
    line = LineString([a, b])
    wanted = Polygon(cover).intersection(line).length * abs(b[0] - a[0]) / line.length
    found = widths_over([(cover,), (cover[::-1],)], [PurlinLine("P1", "A", "purlin", 1, a, b)])
    assert found.tolist() == [[pytest.approx(wanted, abs=1e-6)] * 2]


def test_a_line_above_a_sheet_and_one_beside_it() -> None:
    """A sheet 762 wide and 3 m long: lines at 1.5 m over it, at 3.5 m above it, at 1.5 m beside it."""
    cover = (((0.0, 0.0), (762.0, 0.0), (762.0, 3000.0), (0.0, 3000.0)),)
    spots = [((-100.0, 1500.0), (900.0, 1500.0)), ((0.0, 3500.0), (900.0, 3500.0)), ((800.0, 1500.0), (900.0, 1500.0))]
    found = widths_over([cover], [PurlinLine("P1", "A", "purlin", 1, a, b) for a, b in spots])
    assert found.tolist() == [[762.0], [0.0], [0.0]]
