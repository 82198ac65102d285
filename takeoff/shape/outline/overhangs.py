"""From the wall line out to the outline: every edge moved by its own level overhang, neighbours met again.

Where neighbours in line have unequal overhangs their lines do not meet: a jog square to the wall joins them.

        ______________      outline: 600 | 450
       |              |_____________
       |  wall line         .
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot

from takeoff.basics.errors import Fault
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, cross2, distance2

# below this turn (sine of it, about 1 degree) corners of unequal overhangs would run far out along the wall
_IN_LINE = 0.02
_PARALLEL = 1e-6
_FAR_MITRE = 20.0  # overhangs at a corner as sharp as 6 degrees meet this many times their width away: no house has it


@record
class Outline:
    """The outline's rings, the edge number of each side, and the jogs: number -> the typed edges on either side."""

    rings: tuple[Ring2, ...]
    numbers: tuple[tuple[int, ...], ...]
    jogs: Mapping[int, tuple[int, int]]


def move_out(
    rings: Sequence[Ring2], numbers: Sequence[Sequence[int]], overhang_mm: Mapping[int, float]
) -> tuple[Outline, tuple[str, ...]]:
    """Outline of a wall line. `rings`: outer, then courtyards, any direction; `overhang_mm`: level, by edge number.

    Jogs get the numbers after the last typed edge. Returns faults for edges that the overhangs swallow and
    corners so sharp that they run far past it.
    """
    outlines: list[Ring2] = []
    outline_numbers: list[tuple[int, ...]] = []
    jogs: dict[int, tuple[int, int]] = {}
    faults: list[str] = []
    next_jog = max(overhang_mm) + 1
    for hole, (ring, ids) in enumerate(zip(rings, numbers, strict=True)):
        out = _outward(ring, hole > 0)
        points: list[Point2] = []
        sides: list[int] = []
        tail: list[tuple[Point2, int]] = []
        for i, corner in enumerate(ring):
            before, after = ids[i - 1], ids[i]
            moved = moved_corner(corner, out[i - 1], overhang_mm[before], out[i], overhang_mm[after])
            reach = distance2(corner, moved[-1])
            if reach > _FAR_MITRE * max(overhang_mm[before], overhang_mm[after], 1.0):
                faults.append(
                    f"edges {before} and {after} meet in so sharp a corner that their overhangs run {reach:.0f} mm "
                    "past it; cut the corner off, or give the outline itself"
                )
            if len(moved) == 2:
                jogs[next_jog] = (before, after)
                if i:
                    points.append(moved[0])
                    sides.append(next_jog)
                else:
                    # edge 1 stays the ring's first side: the jog before it closes the ring
                    tail.append((moved[0], next_jog))
                next_jog += 1
            points.append(moved[-1])
            sides.append(after)
        for point, number in tail:
            points.append(point)
            sides.append(number)
        faults += _swallowed(ring, ids, points, sides)
        outlines.append(tuple(points))
        outline_numbers.append(tuple(sides))
    return Outline(tuple(outlines), tuple(outline_numbers), jogs), tuple(faults)


def _outward(ring: Ring2, hole: bool) -> list[Point2]:
    """Unit vectors away from the roof, square to each side."""
    sign = 1.0 if (signed_area(ring) > 0) != hole else -1.0
    found = []
    for i, (ax, ay) in enumerate(ring):
        bx, by = ring[(i + 1) % len(ring)]
        length = hypot(bx - ax, by - ay)
        found.append((sign * (by - ay) / length, -sign * (bx - ax) / length))
    return found


def moved_corner(p: Point2, n1: Point2, d1: float, n2: Point2, d2: float) -> tuple[Point2, ...]:
    """Where two sides that meet at `p` meet after moving by d1 and d2 along their unit normals n1 and n2 [mm].

    Two points where they run in one line and move unequally: a jog must join them.
    """
    turn = cross2(n1, n2)
    unequal = abs(d1 - d2) > TOLERANCES.same_point_mm
    ahead = n1[0] * n2[0] + n1[1] * n2[1] > 0
    if ahead and abs(turn) < _IN_LINE:
        if unequal:
            return (p[0] + d1 * n1[0], p[1] + d1 * n1[1]), (p[0] + d2 * n2[0], p[1] + d2 * n2[1])
        d1 = d2 = max(d1, d2)
    if abs(turn) < _PARALLEL:
        return ((p[0] + d2 * n2[0], p[1] + d2 * n2[1]),)
    return ((p[0] + (d1 * n2[1] - d2 * n1[1]) / turn, p[1] + (d2 * n1[0] - d1 * n2[0]) / turn),)


def _swallowed(ring: Ring2, ids: Sequence[int], points: Sequence[Point2], sides: Sequence[int]) -> list[str]:
    faults: list[str] = []
    for i, number in enumerate(ids):
        (ax, ay), (bx, by) = ring[i], ring[(i + 1) % len(ring)]
        j = sides.index(number)
        (cx, cy), (dx, dy) = points[j], points[(j + 1) % len(points)]
        length = hypot(bx - ax, by - ay)
        if ((dx - cx) * (bx - ax) + (dy - cy) * (by - ay)) / length <= TOLERANCES.same_point_mm:
            text = f"edge {number} ({length:.0f} mm) is swallowed by the overhangs of its neighbours; give them less "
            faults.append(Fault(f"{text}overhang, or give the outline itself", "edge", number))
    return faults
