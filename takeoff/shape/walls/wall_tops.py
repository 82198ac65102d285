"""Tops of walls: the roof cut by the vertical plane of a wall, and piecewise straight tops in wall axes.

A top is a chain of points (x from the left seen from outside, y over the floor) [mm] with x never falling; two points
of one x are an upright step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3
from takeoff.model.roof import Roof, RoofPlane
from takeoff.shape.walls.wall_edges import WallEdge

Top = tuple[Point2, ...]

_INSIDE_MM = TOLERANCES.same_point_mm  # the cut is sought this far inside the wall line, where every plane has width
_CRUMB_MM = TOLERANCES.wall_top_mm


def roof_over_wall(roof: Roof, edge: WallEdge) -> Top:
    """Height of the roof surface (underside of the sheets) along a wall: points (x, height over the floor) [mm].

    Empty where no plane lies over the wall. Where planes lie over each other the lowest counts. Parts of the wall
    without a plane are bridged straight.
    """
    length = edge.length_mm
    spans = [(a, b, plane) for plane in roof.planes for a, b in plane_spans(plane, edge, length)]
    stops = sorted({0.0, length, *(x for a, b, _ in spans for x in (a, b))})
    points: list[Point2] = []
    before: RoofPlane | None = None
    for x0, x1 in pairwise(stops):
        if x1 - x0 < TOLERANCES.same_point_mm:
            continue
        over = [plane for a, b, plane in spans if a <= x0 + _INSIDE_MM and b >= x1 - _INSIDE_MM]
        if not over:
            before = None
            continue
        low = min(over, key=lambda plane: _height(plane, _at(edge, (x0 + x1) / 2.0)))
        meeting = _meeting(before, low, edge, x0) if before is not None else None
        if meeting is not None:
            points[-1] = meeting
        else:
            points.append((x0, _height(low, _at(edge, x0))))
        points.append((x1, _height(low, _at(edge, x1))))
        before = low
    return tidy(points, length)


def _meeting(one: RoofPlane, other: RoofPlane, edge: WallEdge, x: float) -> Point2 | None:
    """Where two planes meet over the wall line itself, near `x`; None where they do not (an upright step) [mm]."""
    steps = [_height(one, _at(edge, at)) - _height(other, _at(edge, at)) for at in (x, x + 1.0)]
    if abs(steps[0]) > _CRUMB_MM or abs(steps[1] - steps[0]) < TOLERANCES.level_exact:
        return None
    at = x - steps[0] / (steps[1] - steps[0])
    return (at, _height(one, _at(edge, at))) if abs(at - x) < _CRUMB_MM else None


def tidy(points: Sequence[Point2], length: float) -> Top:
    """A top without doubled points and points on a straight, its ends drawn to 0 and `length` [mm]."""
    if not points:
        return ()
    chain = [(0.0, points[0][1]), *points[1:-1], (length, points[-1][1])]
    kept: list[Point2] = []
    for point in chain:
        if kept and _same(kept[-1], point):
            continue
        while len(kept) > 1 and _straight(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return tuple(kept)


def raised(top: Top, least: float) -> Top:
    """The higher of a top and a level line at `least` [mm], point by point."""
    points: list[Point2] = []
    for a, b in pairwise(top):
        points.append((a[0], max(a[1], least)))
        if (a[1] - least) * (b[1] - least) < 0.0:
            points.append((a[0] + (least - a[1]) / (b[1] - a[1]) * (b[0] - a[0]), least))
    points.append((top[-1][0], max(top[-1][1], least)))
    return tidy(points, top[-1][0])


def lowest_between(top: Top, x0: float, x1: float) -> float:
    """Least height of a top from x0 to x1 [mm]."""
    return min(y for _, y in clipped(top, x0, x1))


def highest_between(top: Top, x0: float, x1: float) -> float:
    """Greatest height of a top from x0 to x1 [mm]."""
    return max(y for _, y in clipped(top, x0, x1))


def clipped(top: Top, x0: float, x1: float) -> Top:
    """The part of a top from x0 to x1, which must lie within it [mm]; at a step the side that lies inside."""
    points: list[Point2] = []
    for a, b in pairwise(top):
        lo, hi = max(a[0], x0), min(b[0], x1)
        if hi - lo <= 0.0:
            continue
        slope = (b[1] - a[1]) / (b[0] - a[0])
        points += [(lo, a[1] + (lo - a[0]) * slope), (hi, a[1] + (hi - a[0]) * slope)]
    return tuple(points) or ((x0, _step_height(top, x0)), (x1, _step_height(top, x0)))


def _step_height(top: Top, x: float) -> float:
    for a, b in pairwise(top):
        if a[0] <= x <= b[0]:
            return max(a[1], b[1]) if b[0] == a[0] else a[1] + (x - a[0]) / (b[0] - a[0]) * (b[1] - a[1])
    return top[0][1] if x < top[0][0] else top[-1][1]


def _same(a: Point2, b: Point2) -> bool:
    return abs(a[0] - b[0]) < TOLERANCES.same_length_mm and abs(a[1] - b[1]) < TOLERANCES.same_length_mm


def _straight(a: Point2, b: Point2, c: Point2) -> bool:
    """Whether b lies on the way from a to c."""
    width = c[0] - a[0]
    if width < TOLERANCES.same_length_mm:
        return (b[1] - a[1]) * (c[1] - b[1]) >= 0.0
    if b[0] - a[0] < TOLERANCES.same_length_mm or c[0] - b[0] < TOLERANCES.same_length_mm:
        return False
    return abs(a[1] + (b[0] - a[0]) / width * (c[1] - a[1]) - b[1]) < TOLERANCES.same_length_mm


def _at(edge: WallEdge, x: float) -> Point2:
    share = x / edge.length_mm
    (ax, ay), (bx, by) = edge.left_mm, edge.right_mm
    return (ax + share * (bx - ax), ay + share * (by - ay))


def height_over(plane: RoofPlane, edge: WallEdge, x: float) -> float:
    """z of a plane over the place x of a wall line, in the roof's own coordinates [mm]."""
    return _height(plane, _at(edge, x))


def _height(plane: RoofPlane, point: Point2) -> float:
    """z of a plane over a point of the plan [mm]."""
    origin, normal = plane.frame.origin_mm, plane.frame.n
    return origin[2] - (normal[0] * (point[0] - origin[0]) + normal[1] * (point[1] - origin[1])) / normal[2]


def plane_spans(plane: RoofPlane, edge: WallEdge, length: float, inside: bool = True) -> Iterator[tuple[float, float]]:
    """Where a plane lies over a wall, right inside it or right outside, as stretches along the wall [mm]: crossings of
    its rings, taken in pairs."""
    off = _INSIDE_MM if inside else -_INSIDE_MM
    (ax, ay), (bx, by) = edge.left_mm, edge.right_mm
    ux, uy = (bx - ax) / length, (by - ay) / length
    crossings: list[float] = []
    for ring in plane.rings_uv:
        space: list[Point3] = [plane.frame.to_space(point) for point in ring]
        local = [((x - ax) * ux + (y - ay) * uy, (y - ay) * ux - (x - ax) * uy - off) for x, y, _ in space]
        for (s, d), (t, e) in zip(local, (*local[1:], local[0]), strict=True):
            if (d < 0.0) != (e < 0.0):
                crossings.append(s + d / (d - e) * (t - s))
    crossings.sort()
    for lo, hi in zip(crossings[::2], crossings[1::2], strict=True):
        lo, hi = max(lo, 0.0), min(hi, length)
        if lo < _INSIDE_MM * 2.0:
            lo = 0.0
        if hi > length - _INSIDE_MM * 2.0:
            hi = length
        if hi - lo > TOLERANCES.same_point_mm:
            yield lo, hi
