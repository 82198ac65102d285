"""Plane polygons against figures by hand."""

from __future__ import annotations

from takeoff.basics.polygons import foot_and_head


def test_a_short_level_line_on_the_way_to_the_peak_is_no_head() -> None:
    """Half a millimetre of it at 8, far from the left end: a doubled corner; the head is the peak at 12."""
    ring = ((0.0, 0.0), (20.0, 0.0), (15.0, 8.0), (14.5, 8.2), (10.0, 12.0))
    assert foot_and_head(ring) == ((0.0, 0.0), (20.0, 0.0), (10.0, 12.0), (10.0, 12.0))
