"""What the roofer tapes before a plane's sheets are made: four corners of the frame, six lengths between them.

The corners are the ends of the plane's lowest line and of its highest line, so they are found on any plane:
on a gable the rafters are rafters, on a hip end they are the hips.
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.basics.polygons import foot_and_head
from takeoff.basics.vectors import Point2, distance2
from takeoff.model.roof import RoofPlane


@dataclass(frozen=True, slots=True)
class CheckDimensions:
    """Lengths on the plane [mm]. The ridge is 0 where the plane ends in a point."""

    rafter_left_mm: float
    rafter_right_mm: float
    eave_mm: float
    ridge_mm: float
    rising_right_mm: float  # diagonal, foot at the left, head at the right
    rising_left_mm: float  # diagonal, foot at the right, head at the left

    def rows(self) -> tuple[tuple[str, float], ...]:
        """Names and lengths, in the order they are taped."""
        return (
            ("rafter left", self.rafter_left_mm),
            ("rafter right", self.rafter_right_mm),
            ("eave", self.eave_mm),
            ("ridge", self.ridge_mm),
            ("diagonal, rising right", self.rising_right_mm),
            ("diagonal, rising left", self.rising_left_mm),
        )


def check_dimensions(plane: RoofPlane) -> CheckDimensions:
    """The check dimensions of a plane, from its polygon."""
    left, right, top_left, top_right = foot_and_head(plane.rings_uv[0])
    return CheckDimensions(
        _tape(left, top_left),
        _tape(right, top_right),
        _tape(left, right),
        _tape(top_left, top_right),
        _tape(left, top_right),
        _tape(right, top_left),
    )


def _tape(a: Point2, b: Point2) -> float:
    return distance2(a, b)
