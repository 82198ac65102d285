"""The line that a model's outer walls stand on: the outer boundary of all that upright faces close in, in plan."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

import numpy as np
import shapely

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2, Ring2, cross2, distance2
from takeoff.model.roof import Roof

if TYPE_CHECKING:
    from takeoff.model.faces import Points

_GRID_MM = MODEL_LIMITS.wall_grid_mm
_CLOSES_MM = MODEL_LIMITS.walls_meet_mm
_STRAIGHT_MM = MODEL_LIMITS.wall_straight_mm
_SHORT_MM = MODEL_LIMITS.wall_short_mm
_ONE_LINE, _ONE_LINE_MM = 0.05, 25.0  # sides within 3 degrees and this far are one wall
_SAME_WAY = 0.9998  # cosine of 1.1 degrees
_LEAST_MM2 = MODEL_LIMITS.least_house_mm2


def outer_line(corners_mm: Points, roof: Roof) -> Ring2:
    """The outer wall line under a roof, counter-clockwise, from upright triangles (n, 3, 3) in the roof's coordinates;
    it begins where its sides are numbered as the outline's, if they can be. Empty where the walls close nothing in.

    Rooms, porches and what else the walls close in count where they lie under the roof.
    """
    if not len(corners_mm):
        return ()
    lines = _lines(corners_mm[:, :, :2])
    cells = shapely.get_parts(shapely.polygonize(shapely.get_parts(shapely.union_all(lines, grid_size=_GRID_MM))))
    under = shapely.Polygon(roof.outline_mm[0], roof.outline_mm[1:]).buffer(_CLOSES_MM)
    inside = [cell for cell in cells if under.contains(cell.representative_point())]
    joined = shapely.get_parts(shapely.union_all(inside, grid_size=_GRID_MM))
    house = max(joined, key=lambda part: part.area, default=None)
    if house is None or house.area < _LEAST_MM2:
        return ()
    ring = _cornered([(float(x), float(y)) for x, y in house.exterior.coords[:-1]])
    if signed_area(ring) < 0.0:
        ring.reverse()
    return _numbered(_on_faces(ring, corners_mm), roof.outline_mm[0])


def _on_faces(ring: list[Point2], corners: Points) -> list[Point2]:
    """A ring with its sides laid on the faces that stand on them, corners where those cross."""
    lines = [_face_line(a, b, corners) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
    found = []
    for k, point in enumerate(ring):
        (px, py, pd), (qx, qy, qd) = lines[k - 1], lines[k]
        turn = px * qy - py * qx
        crossing = ((pd * qy - qd * py) / turn, (qd * px - pd * qx) / turn) if abs(turn) > _ONE_LINE else point
        found.append(crossing if distance2(crossing, point) <= _ONE_LINE_MM else point)
    return found


def _face_line(a: Point2, b: Point2, corners: Points) -> tuple[float, float, float]:
    """The line n.p = d of a ring's side, square to it outwards: that of the greatest face on it, else its own."""
    length = distance2(a, b)
    nx, ny = (b[1] - a[1]) / length, (a[0] - b[0]) / length
    out = (corners[:, :, 0] - a[0]) * nx + (corners[:, :, 1] - a[1]) * ny
    along = (corners[:, :, 1] - a[1]) * nx - (corners[:, :, 0] - a[0]) * ny
    on = (np.abs(out).max(axis=1) <= _ONE_LINE_MM) & (along.min(axis=1) < length) & (along.max(axis=1) > 0.0)
    if not on.any():
        return nx, ny, nx * a[0] + ny * a[1]
    crossed = np.cross(corners[on, 1] - corners[on, 0], corners[on, 2] - corners[on, 0])
    k = int(np.argmax(np.hypot(crossed[:, 0], crossed[:, 1])))
    fx, fy = (float(v) for v in crossed[k, :2] / np.hypot(crossed[k, 0], crossed[k, 1]))
    if fx * nx + fy * ny < 0.0:
        fx, fy = -fx, -fy
    middle = corners[on][k].mean(axis=0)
    return fx, fy, float(fx * middle[0] + fy * middle[1])


def _lines(plan: Points) -> list[shapely.LineString]:
    """Each upright triangle's stretch in plan, a little longer at both ends."""
    found: list[shapely.LineString] = []
    sides = plan[:, (1, 2, 0)] - plan
    longest = np.argmax(np.linalg.norm(sides, axis=2), axis=1)
    seen: set[tuple[int, ...]] = set()
    for corners, k in zip(plan, longest.tolist(), strict=True):
        along = corners[(k + 1) % 3] - corners[k]
        length = float(np.linalg.norm(along))
        if length < _GRID_MM:
            continue
        past = along / length * _CLOSES_MM
        a, b = corners[k] - past, corners[(k + 1) % 3] + past
        key = tuple(
            sorted((tuple(np.round(a * 10).astype(int).tolist()), tuple(np.round(b * 10).astype(int).tolist())))
        )
        if (flat := (*key[0], *key[1])) not in seen:
            seen.add(flat)
            found.append(shapely.LineString([a, b]))
    return found


def _cornered(ring: list[Point2]) -> list[Point2]:
    """A ring with the corners of its long sides alone: what is in line with both neighbours goes, and so do short sides
    between two long ones that meet near by, as where square ends of walls stand out of an oblique corner."""
    kept = _without_straights(ring)
    stays: set[Point2] = set()
    while len(kept) > 4:
        short = [k for k in range(len(kept)) if kept[k] not in stays and _side(kept, k) < _SHORT_MM]
        if not short:
            break
        k = min(short, key=lambda k: _side(kept, k))
        a, b, c, d = (kept[(k + n) % len(kept)] for n in (-1, 0, 1, 2))
        meeting = _meeting(a, b, c, d)
        if meeting is None:
            stays.add(b)
            continue
        kept = [meeting if point == b else point for point in kept if point != c]
        kept = _without_straights(kept)
    return kept


def _side(ring: list[Point2], k: int) -> float:
    return distance2(ring[k], ring[(k + 1) % len(ring)])


def _meeting(a: Point2, b: Point2, c: Point2, d: Point2) -> Point2 | None:
    """Where the sides before and after a short side b to c meet: its middle where they are one line, else their
    crossing; None where that is further off than the short side may be long."""
    along, on = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    turn = cross2(along, on)
    middle = ((b[0] + c[0]) / 2.0, (b[1] + c[1]) / 2.0)
    if abs(turn) <= _ONE_LINE * hypot(*along) * hypot(*on):
        off = abs(cross2(along, (c[0] - a[0], c[1] - a[1]))) / hypot(*along)
        return middle if off <= _ONE_LINE_MM else None
    t = cross2((c[0] - a[0], c[1] - a[1]), on) / turn
    crossing = (a[0] + t * along[0], a[1] + t * along[1])
    return crossing if distance2(crossing, middle) <= 2.0 * _SHORT_MM else None


def _without_straights(ring: list[Point2]) -> list[Point2]:
    kept = list(ring)
    k = 0
    while len(kept) > 3 and k < len(kept):
        before, here, after = kept[k - 1], kept[k], kept[(k + 1) % len(kept)]
        along = (after[0] - before[0], after[1] - before[1])
        area = abs(cross2((here[0] - before[0], here[1] - before[1]), along))
        if distance2(before, here) < _GRID_MM or area <= _STRAIGHT_MM * hypot(*along):
            del kept[k]
            k = max(0, k - 2)
        else:
            k += 1
    return kept


def _numbered(ring: list[Point2], outline: Ring2) -> Ring2:
    """A ring turned, and begun where its sides run beside the outline's of the same number, if any start does that."""
    rings = [list(ring), list(reversed(ring))] if signed_area(outline) < 0.0 else [list(ring)]
    if len(ring) != len(outline):
        return tuple(ring)
    ways = [tuple(found[k:] + found[:k]) for found in rings for k in range(len(ring))]
    fitting = [way for way in ways if _same_ways(way, outline)]
    near = min(fitting, key=lambda way: sum(distance2(a, b) for a, b in zip(way, outline, strict=True)), default=None)
    return near if near is not None else tuple(ring)


def _same_ways(ring: Ring2, outline: Ring2) -> bool:
    for k in range(len(ring)):
        (ax, ay), (bx, by) = ring[k], ring[(k + 1) % len(ring)]
        (cx, cy), (dx, dy) = outline[k], outline[(k + 1) % len(ring)]
        along, there = (bx - ax, by - ay), (dx - cx, dy - cy)
        both = along[0] * there[0] + along[1] * there[1]
        if both <= _SAME_WAY * distance2(ring[k], ring[(k + 1) % len(ring)]) * hypot(*there):
            return False
    return True
