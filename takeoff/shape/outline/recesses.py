"""Recesses of a wall line that are narrower than the overhangs on both sides: the roof goes straight across.

The eaves of the two sides would meet over the recess, so nobody builds a gap there: fascia and spouting run on.

       wall line                    what the roof is raised on
    n ____    ____ p              n ______________ p
          |c a|                     . . . . . . .
          |_b_|        ->           . (as it was) .
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, cross2, distance2

_AGAINST = 0.087  # sine of 5 degrees: sides that run less straight against each other make no recess but a nook
_LEAST_SIDES = 3


@record
class Recess:
    """A recess roofed over: its edges in the order of the ring, its width and depth, and the overhangs together."""

    edges: tuple[int, int, int]
    width_mm: float
    depth_mm: float
    overhangs_mm: float


@record
class Bridged:
    """Rings without those recesses, the edge number of each side left, and what was roofed over."""

    rings: tuple[Ring2, ...]
    numbers: tuple[tuple[int, ...], ...]
    recesses: tuple[Recess, ...]


def bridge_recesses(
    rings: Sequence[Ring2], numbers: Sequence[Sequence[int]], overhang_mm: Mapping[int, float]
) -> Bridged:
    """Wall-line rings (outer, then courtyards) with every recess closed whose two sides' overhangs reach across it.

    The mouth is closed at the shallower of its two sides; where both fronts lie in one line, they meet in the middle.
    """
    found: list[Recess] = []
    closed: list[Ring2] = []
    left: list[tuple[int, ...]] = []
    for hole, (ring, ids) in enumerate(zip(rings, numbers, strict=True)):
        points, sides = list(ring), list(ids)
        roof_left = 1.0 if (signed_area(ring) > 0) != (hole > 0) else -1.0
        while len(points) > _LEAST_SIDES + 1:
            recess = next(
                filter(None, (_recess(points, sides, i, roof_left, overhang_mm) for i in range(len(points)))), None
            )
            if recess is None:
                break
            found.append(recess[0])
            points, sides = recess[1], recess[2]
        closed.append(tuple(points))
        left.append(tuple(sides))
    return Bridged(tuple(closed), tuple(left), tuple(found))


def _recess(
    points: list[Point2], sides: list[int], i: int, roof_left: float, overhang_mm: Mapping[int, float]
) -> tuple[Recess, list[Point2], list[int]] | None:
    """The recess whose back is side i, with the ring that is left once it is closed; None where there is none."""
    count = len(points)
    p, a, b, c, n = ((i + k) % count for k in (-2, -1, 0, 1, 2))
    along = [_along(points, k) for k in (p, a, b, c, n)]
    turns = [roof_left * cross2(along[k], along[k + 1]) for k in range(4)]
    if not (turns[0] > 0.0 and turns[1] < 0.0 and turns[2] < 0.0 and turns[3] > 0.0):
        return None
    # a runs in, c runs out again, straight against each other
    if abs(cross2(along[1], along[3])) > _AGAINST or along[1][0] * along[3][0] + along[1][1] * along[3][1] > 0.0:
        return None
    mouth = (points[a], points[(c + 1) % count])
    width = max(
        abs(cross2(along[3], _to(points[c], mouth[0]))),
        abs(cross2(along[1], _to(points[a], mouth[1]))),
        distance2(points[b], points[c]),
    )
    reach = overhang_mm[sides[a]] + overhang_mm[sides[c]]
    if width > reach + TOLERANCES.same_point_mm:
        return None
    closed = _closed(points, sides, (p, a, b, c, n), along)
    if closed is None:
        return None
    depth = max(distance2(points[a], points[b]), distance2(points[c], mouth[1]))
    return Recess((sides[a], sides[b], sides[c]), width, depth, reach), *closed


def _along(points: Sequence[Point2], side: int) -> Point2:
    (ax, ay), (bx, by) = points[side], points[(side + 1) % len(points)]
    length = hypot(bx - ax, by - ay)
    return ((bx - ax) / length, (by - ay) / length)


def _to(a: Point2, b: Point2) -> Point2:
    return (b[0] - a[0], b[1] - a[1])


def _closed(
    points: list[Point2], sides: list[int], at: tuple[int, int, int, int, int], along: Sequence[Point2]
) -> tuple[list[Point2], list[int]] | None:
    """The ring with its mouth closed: the deeper front runs on to the longer side, or both meet in line."""
    _, a, b, c, n = at
    start, end = points[a], points[n]
    in_line = (
        abs(cross2(along[0], along[4])) <= 1e-3 and abs(cross2(along[0], _to(start, end))) <= TOLERANCES.in_line_mm
    )
    moved: dict[int, Point2] = {}
    if in_line:
        # the corner where the front's second part begins lies in the middle of the mouth
        gone = {a, b, c}
        moved[n] = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    else:
        out = (-along[1][0], -along[1][1])
        shorter = out[0] * (start[0] - end[0]) + out[1] * (start[1] - end[1])
        gone, corner, side, front = ({a, b}, c, 3, 0) if shorter < 0.0 else ({b, c}, n, 1, 4)
        origin = points[c] if shorter < 0.0 else points[a]
        met = _meet(origin, along[side], start if shorter < 0.0 else end, along[front])
        if met is None:
            return None
        moved[corner] = met
    left = [k for k in range(len(points)) if k not in gone]
    if len(left) < _LEAST_SIDES:
        return None
    return [moved.get(k, points[k]) for k in left], [sides[k] for k in left]


def _meet(a: Point2, along: Point2, b: Point2, other: Point2) -> Point2 | None:
    """Where two lines meet; None where they run side by side."""
    turn = cross2(along, other)
    if abs(turn) < 1e-3:
        return None
    t = cross2(_to(a, b), other) / turn
    return (a[0] + t * along[0], a[1] + t * along[1])
