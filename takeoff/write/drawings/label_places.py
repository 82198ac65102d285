"""Where a label goes inside a polygon: the roomiest point, found on a grid."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, inf, sqrt

from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.drawing import bounds

_GRID = 24  # cells along the longer side of a polygon: fine enough to keep a label off its edges


def inside(rings: Sequence[Ring2], point: Point2) -> bool:
    """Whether a point lies inside the outer ring and outside the holes (even-odd rule)."""
    x, y = point
    odd = False
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
                odd = not odd
    return odd


def edge_distance(rings: Sequence[Ring2], point: Point2) -> float:
    """Distance from a point to the nearest edge of the rings, in their unit."""
    return min(segment_distance(point, a, b) for ring in rings for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))


def segment_distance(point: Point2, a: Point2, b: Point2) -> float:
    """Distance from a point to the segment a b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = 0.0 if square == 0.0 else ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / square
    t = min(1.0, max(0.0, t))
    return hypot(point[0] - a[0] - t * dx, point[1] - a[1] - t * dy)


def roomiest(rings: Sequence[Ring2], hidden: Sequence[Sequence[Ring2]] = ()) -> tuple[Point2, float]:
    """The grid point furthest from every edge, and that distance. Falls back to the box's middle for a sliver.

    `hidden`: polygons drawn over this one; the point lies outside them all and keeps off their edges. Where nothing is
    left in sight the distance is 0.
    """
    least_x, least_y, most_x, most_y = bounds(rings[0])
    step = max(most_x - least_x, most_y - least_y) / _GRID
    best, room = ((least_x + most_x) / 2.0, (least_y + most_y) / 2.0), 0.0
    if step <= 0.0:
        return best, room
    columns, rows = int((most_x - least_x) / step) + 1, int((most_y - least_y) / step) + 1
    edges = [
        (ax, ay, bx - ax, by - ay)
        for shape in (rings, *hidden)
        for ring in shape
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True)
    ]
    for j in range(rows):
        for i in range(columns):
            point = (least_x + (i + 0.5) * step, least_y + (j + 0.5) * step)
            distance = _if_further(edges, point, room * (1.0 + 1e-9))
            if distance and inside(rings, point) and not any(inside(over, point) for over in hidden):
                best, room = point, distance
    return best, room


def _if_further(edges: list[tuple[float, float, float, float]], point: Point2, than: float) -> float:
    """Distance from a point to the nearest edge, each a point and the way to its other end, where that is more than
    `than`, else 0. The edge that says it is not is put first: it is near the next point too. Asked for hundreds of
    points of every polygon: squares are compared, and no function is called for an edge."""
    x, y = point
    least, enough = inf, than * than
    for place, (ax, ay, dx, dy) in enumerate(edges):
        off_x, off_y = x - ax, y - ay
        along, square = off_x * dx + off_y * dy, dx * dx + dy * dy
        if along > 0.0:  # past the first end
            t = 1.0 if along >= square else along / square
            off_x, off_y = off_x - t * dx, off_y - t * dy
        distance = off_x * off_x + off_y * off_y
        if distance <= enough:
            edges.insert(0, edges.pop(place))
            return 0.0
        if distance < least:
            least = distance
    return sqrt(least)


def grid_inside(rings: Sequence[Ring2], cells: int = 12) -> list[Point2]:
    """Points inside a polygon on a coarse grid, those furthest from its edges first."""
    least_x, least_y, most_x, most_y = bounds(rings[0])
    step = max(most_x - least_x, most_y - least_y) / cells
    if step <= 0.0:
        return []
    points = [
        (least_x + (i + 0.5) * step, least_y + (j + 0.5) * step)
        for j in range(int((most_y - least_y) / step) + 1)
        for i in range(int((most_x - least_x) / step) + 1)
    ]
    found = [point for point in points if inside(rings, point)]
    return sorted(found, key=lambda point: -round(edge_distance(rings, point), 3))
