"""Polygons in space cut into triangles between their own corners, whatever corner they start with."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from takeoff.basics.polygons import rings_area, signed_area
from takeoff.basics.triangles import Triangle
from takeoff.basics.vectors import Point2, Point3, cross2, cross3, dot3, length3, newell, sub3

_SAME_AREA = 1e-6  # share by which the areas of a face and of its parts may differ


def cut_face(rings: Sequence[Sequence[Point3]]) -> list[Triangle]:
    """Triangles of a face: its outer ring, less its holes; indices count through all rings in order, and every triangle
    runs as the outer ring does. Empty for a face without area.

    A triangle stays, a four-sided face that is nowhere hollow is cut along the diagonal from its first corner, any
    other by constrained Delaunay triangulation in its plane of best fit. Raises ValueError for a face that crosses
    itself.
    """
    outer = rings[0]
    if len(rings) == 1 and len(outer) == 3:
        return [(0, 1, 2)]
    normal = newell(outer)
    size = length3(normal)
    if size == 0.0:
        if _spread(outer):
            raise ValueError("crosses itself")
        return []
    flat = [_flat(ring, outer[0], normal) for ring in rings]
    if len(rings) == 1 and len(outer) == 4 and _bulges(flat[0]):
        return [(0, 1, 2), (0, 2, 3)]
    return _cut(flat)


def _spread(ring: Sequence[Point3]) -> bool:
    """Whether the points of a ring do not lie in one line: with no area left its halves undo each other."""
    far = max((sub3(point, ring[0]) for point in ring), key=length3)
    return any(length3(cross3(far, sub3(point, ring[0]))) > 1e-6 * length3(far) ** 2 for point in ring)


def _flat(ring: Sequence[Point3], origin: Point3, normal: Point3) -> list[Point2]:
    """Points of a ring in axes of the plane square to `normal`, counter-clockwise where the ring runs round it so."""
    least = min(range(3), key=lambda n: abs(normal[n]))
    x, y, z = (float(n == least) for n in range(3))  # the axis that lies most across the normal
    u = _unit(cross3((x, y, z), normal))
    v = _unit(cross3(normal, u))
    return [(dot3(to, u), dot3(to, v)) for to in (sub3(point, origin) for point in ring)]


def _unit(a: Point3) -> Point3:
    size = length3(a)
    return (a[0] / size, a[1] / size, a[2] / size)


def _bulges(ring: Sequence[Point2]) -> bool:
    """Whether every corner of a counter-clockwise ring turns left."""
    sides = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise((*ring, ring[0]))]
    return all(cross2(sides[i - 1], side) > 0.0 for i, side in enumerate(sides))


def _cut(rings: Sequence[Sequence[Point2]]) -> list[Triangle]:
    places: dict[Point2, int] = {}
    number = 0
    for ring in rings:
        for point in ring:
            places.setdefault(point, number)
            number += 1
    shape: BaseGeometry = shapely.Polygon(rings[0], [ring for ring in rings[1:] if len(ring) > 2])
    if not shape.is_valid:
        shape = _touching(shape, rings)
    found = []
    for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(shape)):
        corners = shapely.get_coordinates(triangle).tolist()[:3]
        try:
            a, b, c = (places[x, y] for x, y in corners)
        except KeyError:
            raise ValueError("crosses itself") from None
        found.append((a, b, c) if signed_area(corners) > 0.0 else (a, c, b))
    return found


def _touching(shape: BaseGeometry, rings: Sequence[Sequence[Point2]]) -> BaseGeometry:
    """A face whose rings touch themselves or each other, as parts that do not. Raises ValueError for rings that cross:
    their halves undo each other, so the parts have another area than the rings."""
    parts = [part for part in shapely.get_parts(shapely.make_valid(shape)) if part.geom_type == "Polygon"]
    area = rings_area(rings)
    if abs(sum(part.area for part in parts) - area) > _SAME_AREA * abs(area):
        raise ValueError("crosses itself")
    return shapely.MultiPolygon(parts)
