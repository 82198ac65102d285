"""What of each roof lies under a higher one: a verandah under the eave of the house, a main roof under a dormer's.

No rain falls there. A roof is cut at the walls of the roof it stands against and stays whole under its eave, so without
this the strip under the eave would catch rain twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2
from takeoff.model.roof import Roof, RoofPlane
from takeoff.shape.together.crossing import above
from takeoff.shape.together.overlay import height_at, joined, moved, polygons_of

# low x, low y, high x, high y [mm]
Box = tuple[float, float, float, float]


def with_cover(roofs: Sequence[Roof]) -> tuple[Roof, ...]:
    """The roofs with `covered_uv` of every plane that lies in plan under a plane of another one."""
    if len(roofs) < 2:
        return tuple(roofs)
    return tuple(_covered(roof, [other for other in roofs if other is not roof]) for roof in roofs)


def _covered(roof: Roof, others: Sequence[Roof]) -> Roof:
    over = [(plan_box(plane), plane) for other in others for plane in moved(other, roof.origin_mm).planes]
    planes = tuple(replace(plane, covered_uv=_under(plane, over)) for plane in roof.planes)
    return replace(roof, planes=planes)


def _under(plane: RoofPlane, over: Sequence[tuple[Box, RoofPlane]]) -> tuple[tuple[Ring2, ...], ...]:
    own = plan_box(plane)
    parts = [part for box, high in over if meet(own, box) for part in above(plane, high)]
    if not parts:
        return ()
    return tuple(tuple(_on_plane(plane, ring) for ring in rings) for rings in polygons_of(joined(parts)))


def plan_box(plane: RoofPlane) -> Box:
    """The box in plan round a plane [mm]."""
    points = [plane.frame.to_space(point) for point in plane.rings_uv[0]]
    xs, ys = [x for x, _, _ in points], [y for _, y, _ in points]
    return min(xs), min(ys), max(xs), max(ys)


def meet(one: Box, other: Box) -> bool:
    """False where two boxes lie apart by more than a crumb: then nothing within them lies over the other."""
    crumb = TOLERANCES.same_point_mm
    along = one[0] - crumb <= other[2] and other[0] - crumb <= one[2]
    return along and one[1] - crumb <= other[3] and other[1] - crumb <= one[3]


def _on_plane(plane: RoofPlane, ring: Ring2) -> Ring2:
    return tuple(plane.frame.to_plane((x, y, height_at(plane, x, y))) for x, y in ring)
