"""Which planes lie under open sky: in plan, each against all that lie over it.

floor, ceiling, underside: under others for more than half of their plan, so no roof
doubled face: where two lie in one place the greater stays
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from takeoff.basics.polygons import clip_half_plane, signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.shape.imported.planes import Patch

_OVER_MM = 2 * TOLERANCES.same_plane_mm  # what lies over another by no more lies in one place with it


@record
class Sky:
    """Of patches: their shapes in plan, and what share of each lies under others."""

    shapes: tuple[BaseGeometry, ...]
    covered: tuple[float, ...]


def look_up(patches: Sequence[Patch], shapes: Sequence[BaseGeometry]) -> Sky:
    """The share of each patch that lies under others, by its area in plan."""
    areas = [float(shape.area) for shape in shapes]
    under: list[list[BaseGeometry]] = [[] for _ in patches]
    tree = shapely.STRtree(list(shapes))
    pairs = tree.query(np.asarray(list(shapes), dtype=object), predicate="intersects")
    for low, high in zip(*pairs.tolist(), strict=True):
        if low == high:
            continue
        part = shapes[low].intersection(shapes[high])
        if part.area <= 1e-6 * areas[low]:
            continue
        greater = (areas[high], -high) > (areas[low], -low)
        under[low] += _where_over(patches[low], patches[high], part, greater)
    covered = [
        float(shapely.union_all(over).area) / area if over and area else 0.0
        for over, area in zip(under, areas, strict=True)
    ]
    return Sky(tuple(shapes), tuple(covered))


def _where_over(low: Patch, high: Patch, part: BaseGeometry, greater: bool) -> list[BaseGeometry]:
    """Where of a common part the second patch lies over the first, or in one place with it and is the greater."""
    least = -_OVER_MM if greater else _OVER_MM
    found = []
    for polygon in shapely.get_parts(part):
        if polygon.geom_type != "Polygon":
            continue
        corners = shapely.get_coordinates(polygon)
        over = np.array([high.height_at(x, y) - low.height_at(x, y) for x, y in corners.tolist()])
        if (over >= least).all():
            found.append(polygon)
        elif (over > least).any():
            found += _clipped(low, high, polygon, least)
    return found


def _clipped(low: Patch, high: Patch, polygon: BaseGeometry, least: float) -> list[BaseGeometry]:
    """A polygon cut where the second plane comes out over the first."""
    (a, b), (c, d) = (_slope(low), _slope(high))
    x, y = polygon.representative_point().coords[0]
    there = high.height_at(x, y) - low.height_at(x, y)
    # over(p) = there + (c - a) (px - x) + (d - b) (py - y) >= least
    nx, ny = a - c, b - d
    ring = [(px - x, py - y) for px, py in shapely.get_coordinates(polygon).tolist()[:-1]]
    kept = clip_half_plane(ring, nx, ny, there - least)
    if len(kept) < 3 or signed_area(kept) == 0.0:
        return []
    cut = shapely.Polygon([(px + x, py + y) for px, py in kept])
    return [cut if cut.is_valid else shapely.make_valid(cut)]


def _slope(patch: Patch) -> tuple[float, float]:
    """Rise of a plane along x and y."""
    n = patch.normal
    return (-n[0] / n[2], -n[1] / n[2])
