"""Several roofs on one plan: from a roof's own coordinates to the drawing's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from takeoff.basics.vectors import Point2, Point3
from takeoff.model.roof import Roof


@dataclass(frozen=True, slots=True)
class Place:
    """Moves a roof's own coordinates into the drawing's: several roofs share one drawing."""

    base_mm: Point3

    def at(self, roof: Roof, point: Sequence[float]) -> Point2:
        """Plan point of a point of that roof [mm]."""
        return (
            point[0] + (roof.origin_mm[0] - self.base_mm[0]),
            point[1] + (roof.origin_mm[1] - self.base_mm[1]),
        )
