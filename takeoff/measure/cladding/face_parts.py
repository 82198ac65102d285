"""What lies where on a face: parts of it between two lines, stretches along a level, heights at a place, its edges.

Cutting is done by a general-purpose geometry library on a grid of a millionth of a mm, so that crumbs of floating point
neither join nor part anything. All in wall axes [mm].
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from takeoff.basics.polygons import signed_area
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.cladding.face import CRUMB_MM, Face, Hole, stretches_above, with_rings
from takeoff.measure.cladding.face_rings import GRID_MM, Rings, rings_of
from takeoff.measure.cladding.plain_parts import plain_parts
from takeoff.shape.walls.wall_tops import highest_between

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Line = tuple[Point2, Point2]

_FAR_MM = 1e8


@lru_cache(maxsize=256)
def _gross(face: Face) -> BaseGeometry:
    from shapely import union_all
    from shapely.geometry import Polygon

    return union_all([Polygon(part[0], part[1:]) for part in face.whole], grid_size=GRID_MM)


@lru_cache(maxsize=256)
def _net(face: Face) -> BaseGeometry:
    from shapely import difference, union_all
    from shapely.geometry import box

    holes = [box(hole.left, hole.foot, hole.right, hole.head) for hole in face.holes if hole.head > hole.foot]
    return difference(_gross(face), union_all(holes), grid_size=GRID_MM) if holes else _gross(face)


def net_mm2(face: Face) -> float:
    """Area of a face without its openings [mm2]."""
    return float(_net(face).area)


def seen_parts(face: Face, x0: float, x1: float, y0: float, y1: float) -> tuple[Rings, ...]:
    """What is clad of a face within x0..x1, y0..y1: connected parts from the left and the foot, crumbs left out.

    An opening that ends by a crumb before one of these lines ends at it: no board hangs together by less.
    """
    plain = plain_parts(face, x0, x1, y0, y1)
    return _cut_parts(face, x0, x1, y0, y1) if plain is None else plain


def _cut_parts(face: Face, x0: float, x1: float, y0: float, y1: float) -> tuple[Rings, ...]:
    """As `seen_parts`, by the geometry library."""
    from shapely import difference, union_all
    from shapely.geometry import box

    crumbs = [box(*reach) for hole in face.holes if (reach := _reach(hole, x0, x1, y0, y1)) is not None]
    net = difference(_net(face), union_all(crumbs), grid_size=GRID_MM) if crumbs else _net(face)
    return _parts(net, x0, x1, y0, y1)


def _reach(hole: Hole, x0: float, x1: float, y0: float, y1: float) -> tuple[float, float, float, float] | None:
    """An opening drawn out to the lines that it misses by a crumb; None where it misses none."""
    true = (hole.left, hole.foot, hole.right, hole.head)
    near = zip(true, (x0, y0, x1, y1), strict=True)
    drawn = tuple(line if abs(side - line) <= CRUMB_MM else side for side, line in near)
    return (drawn[0], drawn[1], drawn[2], drawn[3]) if drawn != true and hole.head > hole.foot else None


def whole_parts(face: Face, x0: float, x1: float, y0: float, y1: float) -> tuple[Rings, ...]:
    """As `seen_parts`, openings in it."""
    return _parts(_gross(face), x0, x1, y0, y1)


def _parts(shape: BaseGeometry, x0: float, x1: float, y0: float, y1: float) -> tuple[Rings, ...]:
    from shapely import intersection
    from shapely.geometry import box

    if x1 - x0 <= 0.0 or y1 - y0 <= 0.0:
        return ()
    return rings_of(intersection(shape, box(x0, y0, x1, y1), grid_size=GRID_MM))


def one_ring(rings: Rings) -> Ring2:
    """A part as one ring: a hole in it is joined to the outer ring by a line there and back, so that the area is that
    of the wood."""
    ring = rings[0]
    for hole in rings[1:]:
        inner = hole if signed_area(hole) < 0.0 else tuple(reversed(hole))
        _, i, j = min(
            (abs(a[0] - b[0]) + abs(a[1] - b[1]), i, j) for i, a in enumerate(ring) for j, b in enumerate(inner)
        )
        ring = (*ring[: i + 1], *inner[j:], *inner[: j + 1], *ring[i:])
    return ring


def stretches_at(face: Face, y: float) -> tuple[tuple[float, float], ...]:
    """Where a face has something over the level `y`, right above it, as stretches of x; openings are in them [mm]."""
    if not face.rings:
        return stretches_above(face.top, y) if y >= face.base - CRUMB_MM else ()
    level = y + TOLERANCES.same_length_mm
    return _runs_of(_gross(face), (-_FAR_MM, level), (_FAR_MM, level), 0)


def columns_at(face: Face, x: float) -> tuple[tuple[float, float], ...]:
    """Where a face lies at the place `x`, as stretches of height; openings are in them [mm]."""
    if not face.rings:
        return ((face.base, highest(face, x, x)),)
    inside = min(max(x, face.left + TOLERANCES.same_length_mm), face.right - TOLERANCES.same_length_mm)
    return _runs_of(_gross(face), (inside, -_FAR_MM), (inside, _FAR_MM), 1)


def _runs_of(shape: BaseGeometry, a: Point2, b: Point2, axis: int) -> tuple[tuple[float, float], ...]:
    from shapely import get_parts
    from shapely.geometry import LineString

    found: list[tuple[float, float]] = []
    for part in get_parts(shape.intersection(LineString([a, b]))):
        along = sorted(point[axis] for point in part.coords)
        if along and along[-1] - along[0] > CRUMB_MM:
            found.append((round(along[0], 6), round(along[-1], 6)))
    return tuple(sorted(found))


def highest(face: Face, x0: float, x1: float) -> float:
    """Highest point of a face over x0..x1, which may reach past it [mm]."""
    x0, x1 = max(x0, face.left), min(x1, face.right)
    if not face.rings:
        return highest_between(face.top, x0, x1)
    tops = [y for part in whole_parts(face, x0 - CRUMB_MM, x1 + CRUMB_MM, -_FAR_MM, _FAR_MM) for _, y in part[0]]
    return max(tops, default=face.base)


def top_lines(face: Face) -> tuple[Line, ...]:
    """The edges at which a face ends above, left to right, straights in one line as one."""
    return _edges(face, -1.0)


def foot_lines(face: Face) -> tuple[Line, ...]:
    """The edges at which a face begins, level or raked, left to right; doors are in them."""
    return _edges(face, 1.0)


def _edges(face: Face, way: float) -> tuple[Line, ...]:
    found = []
    for part in face.whole:
        for n, ring in enumerate(part):
            # outer rings go counter-clockwise and holes clockwise: the face lies to the left of every edge
            turned = ring if (signed_area(ring) > 0.0) == (n == 0) else tuple(reversed(ring))
            for a, b in pairwise((*turned, turned[0])):
                if (b[0] - a[0]) * way > CRUMB_MM:
                    found.append((a, b) if way > 0.0 else (b, a))
    return tuple(sorted(found))


def over(hole: Hole, face: Face) -> bool:
    """Whether anything of a face is clad right over an opening."""
    middle = (hole.left + hole.right) / 2.0
    return any(low <= hole.head + CRUMB_MM < high - CRUMB_MM for low, high in columns_at(face, middle))


def joined(face: Face, parts: Sequence[Face]) -> Face:
    """A face of which those parts of it are left, as one."""
    from shapely import union_all

    return with_rings(face, rings_of(union_all([_gross(part) for part in parts], grid_size=GRID_MM)))
