"""Polygons with holes cut into triangles: ears taken off one by one, holes first bridged to the outer ring."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2, cross2, distance2

Triangle = tuple[int, int, int]


def triangulate(rings: Sequence[Sequence[Point2]]) -> list[Triangle]:
    """Triangles, counter-clockwise, of an outer ring less its holes; indices count through all rings in order.

    Ear clipping (Meisters, "Polygons have ears", 1975), holes bridged to the nearest visible corner. Rings run in any
    direction and must not cross; corners in line give no triangle of their own.
    """
    points: list[Point2] = [point for ring in rings for point in ring]
    loops: list[list[int]] = []
    start = 0
    for number, ring in enumerate(rings):
        loop = list(range(start, start + len(ring)))
        start += len(ring)
        if (signed_area(ring) > 0) == (number > 0):
            loop.reverse()
        loops.append(loop)
    if not loops:
        return []
    outer = loops[0]
    waiting = sorted(loops[1:], key=lambda loop: -max(points[i][0] for i in loop))
    for count, hole in enumerate(waiting):
        outer = _bridged(points, outer, hole, waiting[count:])
    return _ears(points, outer)


def _bridged(points: Sequence[Point2], outer: list[int], hole: list[int], holes: Sequence[list[int]]) -> list[int]:
    """The outer loop with a hole joined in by a doubled line that crosses nothing."""
    best = max(range(len(hole)), key=lambda k: points[hole[k]])
    tip = points[hole[best]]
    for k in sorted(range(len(outer)), key=lambda k: distance2(points[outer[k]], tip)):
        if _sees(points, outer[k], hole[best], [outer, *holes]) and _opens_to(points, outer, k, tip):
            turned = hole[best:] + hole[: best + 1]
            return outer[: k + 1] + turned + outer[k:]
    return outer


def _sees(points: Sequence[Point2], a: int, b: int, loops: Sequence[list[int]]) -> bool:
    p, q = points[a], points[b]
    for loop in loops:
        for i, c in enumerate(loop):
            d = loop[i - 1]
            if points[c] in (p, q) or points[d] in (p, q):
                continue
            if (
                _turn(p, q, points[c]) * _turn(p, q, points[d])
                <= 0
                >= _turn(points[c], points[d], p) * _turn(points[c], points[d], q)
            ):
                return False
    return True


def _opens_to(points: Sequence[Point2], loop: Sequence[int], k: int, tip: Point2) -> bool:
    """Whether the inside of a counter-clockwise loop at corner k opens towards a point."""
    before, here, after = points[loop[k - 1]], points[loop[k]], points[loop[(k + 1) % len(loop)]]
    if _turn(before, here, after) >= 0:
        return _turn(here, after, tip) > 0 and _turn(before, here, tip) > 0
    return _turn(here, after, tip) > 0 or _turn(before, here, tip) > 0


def _turn(a: Point2, b: Point2, c: Point2) -> float:
    return cross2((b[0] - a[0], b[1] - a[1]), (c[0] - a[0], c[1] - a[1]))


def _ears(points: Sequence[Point2], loop: list[int]) -> list[Triangle]:
    left = list(loop)
    found: list[Triangle] = []
    while len(left) > 2:
        k = _ear(points, left)
        a, b, c = left[k - 1], left[k], left[(k + 1) % len(left)]
        if _turn(points[a], points[b], points[c]) > 0:
            found.append((a, b, c))
        del left[k]
    return found


def _ear(points: Sequence[Point2], left: Sequence[int]) -> int:
    """The ear with the widest least angle among those that hold no other corner; a flat corner goes first."""
    best, widest = -1, -1.0
    for k in range(len(left)):
        a, b, c = (points[left[i % len(left)]] for i in (k - 1, k, k + 1))
        turn = _turn(a, b, c)
        longest = max(distance2(a, b), distance2(b, c), distance2(a, c))
        height = turn / longest if longest else 0.0
        if abs(height) <= 1e-9 * longest:
            return k
        if height > widest and not any(_within(a, b, c, points[i]) for i in left if points[i] not in (a, b, c)):
            best, widest = k, height
    return max(best, 0)


def _within(a: Point2, b: Point2, c: Point2, p: Point2) -> bool:
    return _turn(a, b, p) >= 0 and _turn(b, c, p) >= 0 and _turn(c, a, p) >= 0
