"""What of each roof lies under a higher one: a verandah under the eave of the house, a main roof under a dormer's.

No rain falls there. A roof is cut at the walls of the roof it stands against and stays whole under its eave, so without
this the strip under the eave would catch rain twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.vectors import Ring2
from takeoff.model.roof import Roof, RoofPlane
from takeoff.shape.together.crossing import above
from takeoff.shape.together.overlay import height_at, joined, moved, polygons_of


def with_cover(roofs: Sequence[Roof]) -> tuple[Roof, ...]:
    """The roofs with `covered_uv` of every plane that lies in plan under a plane of another one."""
    if len(roofs) < 2:
        return tuple(roofs)
    return tuple(_covered(roof, [other for other in roofs if other is not roof]) for roof in roofs)


def _covered(roof: Roof, others: Sequence[Roof]) -> Roof:
    over = [plane for other in others for plane in moved(other, roof.origin_mm).planes]
    planes = tuple(replace(plane, covered_uv=_under(plane, over)) for plane in roof.planes)
    return replace(roof, planes=planes)


def _under(plane: RoofPlane, over: Sequence[RoofPlane]) -> tuple[tuple[Ring2, ...], ...]:
    parts = [part for high in over for part in above(plane, high)]
    if not parts:
        return ()
    return tuple(tuple(_on_plane(plane, ring) for ring in rings) for rings in polygons_of(joined(parts)))


def _on_plane(plane: RoofPlane, ring: Ring2) -> Ring2:
    return tuple(plane.frame.to_plane((x, y, height_at(plane, x, y))) for x, y in ring)
