"""A public page on measuring roofs: the hip end and the long side of a hip roof, measured on the slope.

Status: seen. (30 x 15) / 2 = 225 ft2 for the end; 15 x 55 + 2 x 112.5 = 1050 ft2 for the side.
"""

from __future__ import annotations

from takeoff.basics.polygons import rings_area
from takeoff.basics.vectors import Point2
from takeoff.model.roof import Frame


def _area_on_a_slope(ring: tuple[Point2, ...]) -> float:
    """Area of a plane's ring, taken into space and back: what is measured on the slope stays as it is."""
    frame = Frame((100.0, -50.0, 9.0), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), (0.0, -0.6, 0.8))
    return rings_area([tuple(frame.to_plane(frame.to_space(point)) for point in ring)])


def test_hip_end_of_30_by_15_ft_is_225_ft2() -> None:
    assert round(_area_on_a_slope(((0, 0), (30, 0), (15, 15))), 9) == 225.0


def test_long_side_with_a_ridge_of_55_ft_is_1050_ft2() -> None:
    assert round(_area_on_a_slope(((0, 0), (85, 0), (70, 15), (15, 15))), 9) == 1050.0
