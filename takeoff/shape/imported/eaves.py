"""Which borders of an imported plane are eaves."""

from __future__ import annotations

from math import hypot

from takeoff.shape.imported.mesh_borders import Border
from takeoff.shape.imported.planes import Patch


def rises_in(patch: Patch, border: Border) -> bool:
    """Whether the plane rises from a border inward: it is an eave there."""
    (ax, ay, _), (bx, by, _) = border.ends
    length = hypot(bx - ax, by - ay)
    inward = (-(by - ay) / length, (bx - ax) / length)
    rise = -(patch.normal[0] * inward[0] + patch.normal[1] * inward[1]) / patch.normal[2]
    across = abs(patch.normal[0] * inward[1] - patch.normal[1] * inward[0]) / patch.normal[2]
    return rise > 0.01 and rise > across
