"""Plane polygons as rings of points: area, direction, half-plane clips. Plain floats, any unit."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.vectors import Point2, Ring2


def signed_area(ring: Sequence[Point2]) -> float:
    """Area of a ring, positive counter-clockwise, in the square of the points' unit.

    >>> signed_area(((0, 0), (2, 0), (2, 1), (0, 1)))
    2.0
    """
    if len(ring) < 3:
        return 0.0
    ox, oy = ring[0]
    total = 0.0
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        total += (ax - ox) * (by - oy) - (bx - ox) * (ay - oy)
    return total / 2.0


def rings_area(rings: Sequence[Sequence[Point2]]) -> float:
    """Area of an outer ring less its holes, whatever their directions: the first ring is the outer one."""
    if not rings:
        return 0.0
    return abs(signed_area(rings[0])) - sum(abs(signed_area(ring)) for ring in rings[1:])


def inside_rings(point: Point2, rings: Sequence[Sequence[Point2]]) -> bool:
    """Whether a point lies inside an outer ring and in none of its holes, by crossings to one side (even-odd rule).

    >>> inside_rings((1, 1), (((0, 0), (4, 0), (4, 4), (0, 4)), ((2, 2), (3, 2), (3, 3), (2, 3))))
    True
    """
    x, y = point
    inside = False
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (ay > y) is not (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
                inside = not inside
    return inside


def clip_half_plane(ring: Sequence[Point2], nx: float, ny: float, d: float) -> Ring2:
    """The part of a ring where nx*x + ny*y <= d (Sutherland-Hodgman; Comm. ACM 17(1), 1974).

    A ring that the line cuts into several parts comes back as one ring with coincident edges along the line: its area
    is right. Returns an empty ring where nothing is left.
    """
    kept: list[Point2] = []
    count = len(ring)
    for i in range(count):
        ax, ay = ring[i]
        bx, by = ring[(i + 1) % count]
        da = nx * ax + ny * ay - d
        db = nx * bx + ny * by - d
        if da <= 0.0:
            kept.append((ax, ay))
        if (da < 0.0 < db) or (db < 0.0 < da):
            t = da / (da - db)
            kept.append((ax + t * (bx - ax), ay + t * (by - ay)))
    return tuple(kept) if len(kept) >= 3 else ()


def foot_and_head(ring: Sequence[Point2], level: float = 1.0) -> tuple[Point2, Point2, Point2, Point2]:
    """Left and right end of a ring's lowest line, then of its highest level line in its upper half, else its highest
    point twice; points within `level` of a line stand on it.

    >>> foot_and_head(((0, 0), (9, 0), (5, 3), (4, 3)))
    ((0, 0), (9, 0), (4, 3), (5, 3))
    >>> foot_and_head(((0, 0), (20, 0), (15, 5), (9, 5), (6, 9)))
    ((0, 0), (20, 0), (9, 5), (15, 5))
    """
    low, high = min(v for _, v in ring), max(v for _, v in ring)
    level_lines = [
        max(a[1], b[1])
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if abs(a[1] - b[1]) <= level < abs(a[0] - b[0]) and a[1] + b[1] > low + high
    ]
    top = max(level_lines, default=high)
    foot = sorted(point for point in ring if point[1] <= low + level)
    head = sorted(point for point in ring if abs(point[1] - top) <= level)
    return foot[0], foot[-1], head[0], head[-1]
