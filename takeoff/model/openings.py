"""Holes through a roof: pipes, flues, rooflights on kerbs, roof windows."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Point3, Ring2


@record
class HoleInSheet:
    """Where a hole lies in one sheet [mm]: from its left edge and from its foot, seen from outside.

    `left_mm` to `right_mm` and `low_mm` to `high_mm` bound what is cut out of this sheet.
    """

    mark: str
    left_mm: float
    right_mm: float
    low_mm: float
    high_mm: float


@record
class Hole:
    """A hole in a plane, in plane axes [mm]: `width_mm` across the slope, `length_mm` up it, about `centre_uv`.

    `kind`: pipe, flue, rooflight, roof_window. `diameter_mm` of an upright round one, else 0: its hole is longer up the
    slope than it is wide. `flashing`: boot, boot and back, kerb. `trimmed`: it has timber of its own. `sheets` carry
    it.
    """

    id: str
    name: str
    roof: str
    plane: str
    kind: str
    centre_uv: Point2
    width_mm: float
    length_mm: float
    diameter_mm: float
    at_mm: Point3
    flashing: str
    trimmed: bool
    sheets: tuple[HoleInSheet, ...] = ()

    @property
    def low_uv(self) -> Point2:
        """Lower left corner."""
        return (self.centre_uv[0] - self.width_mm / 2.0, self.centre_uv[1] - self.length_mm / 2.0)

    @property
    def high_uv(self) -> Point2:
        """Upper right corner."""
        return (self.centre_uv[0] + self.width_mm / 2.0, self.centre_uv[1] + self.length_mm / 2.0)

    @property
    def ring_uv(self) -> Ring2:
        """The rectangle of the hole, counter-clockwise from its lower left corner."""
        (u0, v0), (u1, v1) = self.low_uv, self.high_uv
        return ((u0, v0), (u1, v0), (u1, v1), (u0, v1))
