"""Regions of the geometry library as rings of points, without crumbs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Rings = tuple[Ring2, ...]  # an outer ring, counter-clockwise, and the holes in it

GRID_MM = TOLERANCES.grid_mm


def rings_of(shape: BaseGeometry) -> tuple[Rings, ...]:
    """The parts of a region, from the left and the foot, crumbs left out."""
    from shapely import get_parts
    from shapely.geometry import Polygon
    from shapely.geometry.polygon import orient

    found: list[Rings] = []
    for part in get_parts(shape):
        if isinstance(part, Polygon) and part.area > TOLERANCES.least_area_mm2 and not _thin(part.bounds):
            ordered = orient(part)
            found.append(tuple(clean_ring(ring.coords[:-1]) for ring in (ordered.exterior, *ordered.interiors)))
    return tuple(sorted(found, key=lambda rings: (min(rings[0]), rings)))


def _thin(box: tuple[float, float, float, float]) -> bool:
    return min(box[2] - box[0], box[3] - box[1]) <= TOLERANCES.same_length_mm


def clean_ring(coords: Iterable[Sequence[float]]) -> Ring2:
    """A ring that starts at its lowest point, the left one of equals, without points in the middle of a straight."""
    points = [(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y, *_ in coords]
    count = len(points)
    kept = [b for i, b in enumerate(points) if not _between(points[i - 1], b, points[(i + 1) % count])]
    first = min(range(len(kept)), key=lambda i: (kept[i][1], kept[i][0])) if kept else 0
    return (*kept[first:], *kept[:first])


def _between(a: Point2, b: Point2, c: Point2) -> bool:
    """Whether b lies on the straight from a to c, between them."""
    cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return abs(cross) < TOLERANCES.same_length_mm and ahead > 0.0
