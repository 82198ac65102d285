"""Sheets that a line does not come near are passed by, and none that it crosses: against the geometry library."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from takeoff.measure.roofing.fixings.screw_rows import line_passes, ring_box
from takeoff.model.measured import PurlinLine

points = st.tuples(st.integers(-40, 40).map(float), st.integers(-40, 40).map(float))


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.lists(points, min_size=3, max_size=5, unique=True), points, points)
def test_no_line_that_touches_a_sheet_passes_it(
    ring: list[tuple[float, float]], a: tuple[float, float], b: tuple[float, float]
) -> None:
    hull = Polygon(ring).convex_hull
    line = PurlinLine("P1", "A", "purlin", 1, a, b)
    if line_passes(ring_box([tuple(ring)]), line):
        assert hull.distance(LineString([a, b])) > 0.0


def test_a_line_above_a_sheet_passes_it_and_one_over_it_does_not() -> None:
    """A sheet 762 wide and 3 m long: lines at 1.5 m over it, at 3.5 m above it, at 1.5 m beside it; no rings at all."""
    box = ring_box([((0.0, 0.0), (762.0, 0.0), (762.0, 3000.0), (0.0, 3000.0))])
    spots = [((-100.0, 1500.0), (900.0, 1500.0)), ((0.0, 3500.0), (900.0, 3500.0)), ((800.0, 1500.0), (900.0, 1500.0))]
    found = [line_passes(box, PurlinLine("P1", "A", "purlin", 1, a, b)) for a, b in spots]
    assert found == [False, True, True]
    assert line_passes(ring_box([]), PurlinLine("P1", "A", "purlin", 1, *spots[0]))
