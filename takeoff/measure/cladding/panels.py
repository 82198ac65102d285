"""The shapes boards take on a face: what is seen of each, cut to the top of the wall, openings notched out.

Shapes are single rings. An opening inside a board is joined to its edge by a line there and back; one that goes right
through what is seen of a board, but not through its hidden lap, leaves two parts joined along the opening's own edge.
Areas are those of the visible wood.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from takeoff.basics.polygons import signed_area
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.cladding.face import CRUMB_MM, Face, Hole
from takeoff.shape.walls.wall_tops import clipped


def level_panel(face: Face, x0: float, x1: float, y0: float, y1: float) -> Ring2:
    """What is seen of a level board that covers x0..x1, y0..y1 on a face: cut to the top, openings notched out.

    Counter-clockwise; empty when nothing is left. An opening inside the board is joined to its foot by a line there and
    back, one through its whole height by lines along the head: the area is that of the visible wood. [mm]
    """
    lower: list[Point2] = []
    upper: list[Point2] = []
    for a, b in _columns(face, x0, x1, y0, y1):
        middle = (a + b) / 2.0
        ua, ub = (min(y1, y) for _, y in clipped(face.top, a, b)[:2])
        low = y0
        for hole in sorted(face.holes, key=lambda h: h.foot):
            if not hole.left < middle < hole.right or hole.head <= low or hole.foot >= max(ua, ub):
                continue
            if hole.foot <= low + CRUMB_MM:
                low = hole.head
            elif hole.head >= max(ua, ub) - CRUMB_MM:
                ua = ub = hole.foot
            elif abs(a - max(hole.left, x0)) < TOLERANCES.same_length_mm:
                lower += _keyhole(hole, low, min(hole.right, x1))
        # an opening right through the board ends above it: the two sides are joined along its head
        low_a, low_b = (low, low) if low > max(ua, ub) else (min(low, ua), min(low, ub))
        lower += [(a, low_a), (b, low_b)]
        upper += [(a, max(ua, low_a)), (b, max(ub, low_b))]
    ring = _loop([*lower, *reversed(upper)])
    return ring if abs(signed_area(ring)) > TOLERANCES.least_area_mm2 else ()


def _keyhole(hole: Hole, low: float, right: float) -> list[Point2]:
    """Round an opening that lies inside a board, from the board's foot and back, clockwise."""
    left = hole.left
    return [
        (left, low),
        (left, hole.foot),
        (left, hole.head),
        (right, hole.head),
        (right, hole.foot),
        (left, hole.foot),
        (left, low),
    ]


def _columns(face: Face, x0: float, x1: float, y0: float, y1: float) -> Iterator[tuple[float, float]]:
    """Stretches of x in which top and openings are straight: breaks at top points, crossings of y1 and y0, jambs."""
    breaks = {x0, x1}
    for a, b in pairwise(face.top):
        breaks |= {a[0], b[0]}
        for y in (y0, y1):
            if (a[1] - y) * (b[1] - y) < 0.0:
                breaks.add(a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
    for hole in face.holes:
        if hole.head > y0 and hole.foot < y1:
            breaks |= {hole.left, hole.right}
    inside = sorted(x for x in breaks if x0 <= x <= x1)
    for start, end in pairwise(inside):
        if end - start > TOLERANCES.same_length_mm:
            yield start, end


def _loop(points: list[Point2]) -> Ring2:
    """A ring without doubled points and without points in the middle of a straight side."""
    ring: list[Point2] = []
    for point in points:
        if not ring or point != ring[-1]:
            ring.append(point)
    while len(ring) > 1 and ring[0] == ring[-1]:
        ring.pop()
    count = len(ring)
    return tuple(b for i, b in enumerate(ring) if count < 4 or not _between(ring[i - 1], b, ring[(i + 1) % count]))


def _between(a: Point2, b: Point2, c: Point2) -> bool:
    """Whether b lies on the straight from a to c, between them."""
    cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return abs(cross) < TOLERANCES.same_length_mm and ahead > 0.0


def upright_panel(face: Face, x0: float, x1: float, y0: float, y1: float) -> Ring2:
    """What is seen of an upright board between the lines x0 and x1, from y0 up to y1 or the top of the wall [mm].

    Counter-clockwise; empty when nothing is left. Openings may cut into it from either side; one that spans its whole
    width splits it, and is dealt with before.
    """
    left: list[Point2] = [(x0, y0)]
    right: list[Point2] = [(x1, y0)]
    top_from, top_to = x0, x1
    for hole in sorted(face.holes, key=lambda h: h.foot):
        if min(hole.right, x1) - max(hole.left, x0) <= CRUMB_MM or hole.head <= y0 or hole.foot >= y1 - CRUMB_MM:
            continue
        high = min(y1, max(y for _, y in clipped(face.top, max(x0, hole.left), min(x1, hole.right))))
        if hole.right >= x1 - CRUMB_MM:
            right = _notched(right, hole, x1, hole.left, y0)
            top_to = hole.left if hole.head >= high - CRUMB_MM else x1
        elif hole.left <= x0 + CRUMB_MM:
            left = _notched(left, hole, x0, hole.right, y0)
            top_from = hole.right if hole.head >= high - CRUMB_MM else x0
        else:
            right += [(x1, hole.foot), (hole.right, hole.foot), (hole.left, hole.foot), (hole.left, hole.head)]
            right += [(hole.right, hole.head), (hole.right, hole.foot), (x1, hole.foot)]
    # where an opening goes up to the top of the board the side ends at the opening's jamb
    right = right[:-1] if top_to < x1 else right
    left = left[:-1] if top_from > x0 else left
    top: list[Point2] = []
    for a, b in _columns(face, top_from, top_to, y0, y1):
        (_, ya), (_, yb) = clipped(face.top, a, b)[:2]
        top += [(a, min(y1, ya)), (b, min(y1, yb))]
    ring = _loop([*reversed(left), *right, *reversed(top)])
    return ring if abs(signed_area(ring)) > TOLERANCES.least_area_mm2 else ()


def _notched(side: list[Point2], hole: Hole, at: float, jamb: float, y0: float) -> list[Point2]:
    """One side of an upright board, foot to top, with an opening cut into it as far as its jamb."""
    cut = [(jamb, hole.foot), (jamb, hole.head), (at, hole.head)]
    return cut if hole.foot <= y0 + CRUMB_MM else [*side, (at, hole.foot), *cut]
