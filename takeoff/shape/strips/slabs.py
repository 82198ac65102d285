"""Areas with straight sides as slabs: trapezoids with upright sides, between which every boundary is one straight line.

       top1
top0  _-+        An area is cut at every corner and at the lines asked for; on each slab its foot and its top are
   _-   |        straight, so lengths, areas and parts are exact and need no general polygon clipping.
  +     |
  |     |   v
  |     |   ^
  +-----+   +-> u
 foot0  foot1
 u0    u1
"""

from __future__ import annotations

import itertools
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from math import atan2, pi

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2

CRUMB_MM = TOLERANCES.crumb_mm
_STOUT_MM = TOLERANCES.same_point_mm


@record
class Slab:
    """One trapezoid, in mm, with the ids of the edges its foot and top follow ("" where it was cut)."""

    u0: float
    u1: float
    foot0: float
    foot1: float
    top0: float
    top1: float
    foot_edge: str = ""
    top_edge: str = ""

    @property
    def area_mm2(self) -> float:
        """Area of the trapezoid."""
        return (self.u1 - self.u0) * (self.top0 - self.foot0 + self.top1 - self.foot1) / 2.0

    @property
    def corners(self) -> Ring2:
        """Its corners, counter-clockwise."""
        return (self.u0, self.foot0), (self.u1, self.foot1), (self.u1, self.top1), (self.u0, self.top0)

    def mirrored(self) -> Slab:
        """The slab with u and -u swapped."""
        return Slab(-self.u1, -self.u0, self.foot1, self.foot0, self.top1, self.top0, self.foot_edge, self.top_edge)

    def foot_at(self, u: float) -> float:
        """Height of the foot at u."""
        return self.foot0 + (self.foot1 - self.foot0) * (u - self.u0) / (self.u1 - self.u0)

    def top_at(self, u: float) -> float:
        """Height of the top at u."""
        return self.top0 + (self.top1 - self.top0) * (u - self.u0) / (self.u1 - self.u0)


def _stops(values: Iterable[float]) -> list[float]:
    """Sorted values, those closer than a crumb taken as one."""
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] > CRUMB_MM:
            kept.append(value)
    return kept


def cut_slabs(
    rings: Sequence[Ring2], edges: Sequence[Sequence[str]], at_u_mm: Iterable[float] = ()
) -> tuple[Slab, ...]:
    """An area as slabs, sorted by u then v, cut at every corner and at the lines `at_u_mm`.

    `rings`: outer rings and holes in any direction, not crossing [mm]; `edges`: for each ring the id of the side that
    starts at each point. Parts where an odd number of sides lie below are area.
    """
    sides = _sides_of(rings, edges)
    corners = [point[0] for ring in rings for point in ring]
    if not corners:
        return ()
    low, high = min(corners), max(corners)
    stops = _stops([*corners, *(u for u in at_u_mm if low < u < high)])
    slabs: list[Slab] = []
    for u0, u1 in itertools.pairwise(stops):
        crossing = sorted([_heights(side, u0, u1) for side in _across(sides, u0, u1)], key=_middle)
        for foot, top in zip(crossing[::2], crossing[1::2], strict=False):
            slabs.append(Slab(u0, u1, foot[0], foot[1], top[0], top[1], foot[2], top[2]))
    return tuple(slab for slab in slabs if slab.area_mm2 > 0.0)


# ends by rising u, and the id of the edge it follows
_Side = tuple[Point2, Point2, str]


def _sides_of(rings: Sequence[Ring2], edges: Sequence[Sequence[str]]) -> list[_Side]:
    """The sides of rings that are not upright."""
    sides: list[_Side] = []
    for ring, names in zip(rings, edges, strict=True):
        for a, b, name in zip(ring, (*ring[1:], ring[0]), names, strict=True):
            if abs(a[0] - b[0]) > CRUMB_MM:
                sides.append((a, b, name) if a[0] < b[0] else (b, a, name))
    return sides


def _across(sides: Sequence[_Side], u0: float, u1: float) -> list[_Side]:
    """The sides that run all the way between two upright lines."""
    from_u, to_u = u0 + CRUMB_MM, u1 - CRUMB_MM
    return [side for side in sides if side[0][0] <= from_u and side[1][0] >= to_u]


@record
class Column:
    """What one side bounds below and one above between two corners of an area."""

    u0: float
    u1: float
    foot: _Side
    top: _Side

    def between(self, u0: float, u1: float) -> Slab:
        """Its part between two upright lines."""
        foot0, foot1, foot_edge = _heights(self.foot, u0, u1)
        top0, top1, top_edge = _heights(self.top, u0, u1)
        return Slab(u0, u1, foot0, foot1, top0, top1, foot_edge, top_edge)


def columns_of(rings: Sequence[Ring2], edges: Sequence[Sequence[str]]) -> tuple[Column, ...]:
    """An area as columns side by side, cut at every corner, where nothing of it lies over anything else; () for any
    other."""
    sides = _sides_of(rings, edges)
    found: list[Column] = []
    for u0, u1 in itertools.pairwise(_stops([point[0] for ring in rings for point in ring])):
        crossing = _across(sides, u0, u1)
        if len(crossing) != 2:
            return ()
        foot, top = sorted(crossing, key=lambda side: _middle(_heights(side, u0, u1)))
        found.append(Column(u0, u1, foot, top))
    return tuple(found)


def _middle(line: tuple[float, float, str]) -> tuple[float, str]:
    return line[0] + line[1], line[2]


def _heights(side: _Side, u0: float, u1: float) -> tuple[float, float, str]:
    """Where a side crosses two upright lines, and its edge."""
    a, b, name = side
    return _height(a, b, u0), _height(a, b, u1), name


def _height(a: Point2, b: Point2, u: float) -> float:
    part = (u - a[0]) / (b[0] - a[0])
    part = 0.0 if part <= 0.0 else 1.0 if part >= 1.0 else part
    return a[1] + part * (b[1] - a[1])


def between_heights(slab: Slab, low_mm: float, high_mm: float) -> tuple[Slab, ...]:
    """The part of a slab with low_mm <= v <= high_mm: none, one or several slabs."""
    stops = [slab.u0, slab.u1]
    for v0, v1 in ((slab.foot0, slab.foot1), (slab.top0, slab.top1)):
        for level in (low_mm, high_mm):
            if (v0 - level) * (v1 - level) < 0.0:
                stops.append(slab.u0 + (slab.u1 - slab.u0) * (level - v0) / (v1 - v0))
    found: list[Slab] = []
    lines = _stops(stops)
    for u0, u1 in itertools.pairwise(lines):
        foot0, foot1 = slab.foot_at(u0), slab.foot_at(u1)
        top0, top1 = slab.top_at(u0), slab.top_at(u1)
        foot_cut = (foot0 + foot1) / 2.0 < low_mm
        top_cut = (top0 + top1) / 2.0 > high_mm
        found.append(
            Slab(
                u0,
                u1,
                low_mm if foot_cut else foot0,
                low_mm if foot_cut else foot1,
                high_mm if top_cut else top0,
                high_mm if top_cut else top1,
                "" if foot_cut else slab.foot_edge,
                "" if top_cut else slab.top_edge,
            )
        )
    return tuple(part for part in found if part.area_mm2 > 0.0)


def touch(left: Slab, right: Slab) -> bool:
    """True where two slabs share more than a point of the upright line between them."""
    if abs(left.u1 - right.u0) > CRUMB_MM:
        return False
    return min(left.top1, right.top0) - max(left.foot1, right.foot0) > CRUMB_MM


def connected(slabs: Sequence[Slab]) -> tuple[tuple[Slab, ...], ...]:
    """Slabs sorted into connected parts, the lowest part first."""
    if len(slabs) == 1:
        return (tuple(slabs),)
    left_over = list(range(len(slabs)))
    parts: list[tuple[Slab, ...]] = []
    while left_over:
        part = [left_over.pop(0)]
        for i in part:
            near = [j for j in left_over if touch(slabs[i], slabs[j]) or touch(slabs[j], slabs[i])]
            part.extend(near)
            left_over = [j for j in left_over if j not in near]
        parts.append(tuple(slabs[i] for i in sorted(part)))
    return tuple(sorted(parts, key=lambda part: (lowest(part), part[0].u0)))


def lowest(slabs: Sequence[Slab]) -> float:
    """Least v of some slabs."""
    return min([min(slab.foot0, slab.foot1) for slab in slabs])


def highest(slabs: Sequence[Slab]) -> float:
    """Greatest v of some slabs."""
    return max([max(slab.top0, slab.top1) for slab in slabs])


def slabs_area(slabs: Sequence[Slab]) -> float:
    """Total area of slabs that do not overlap."""
    return sum([slab.area_mm2 for slab in slabs])


class _Corners:
    """Corners of slabs under one number each, though they were computed along different sides."""

    def __init__(self, slabs: Sequence[Slab]) -> None:
        self.us = _stops([slab.u0 for slab in slabs] + [slab.u1 for slab in slabs])
        heights: list[list[float]] = [[] for _ in self.us]
        for slab in slabs:
            heights[self.column(slab.u0)] += [slab.foot0, slab.top0]
            heights[self.column(slab.u1)] += [slab.foot1, slab.top1]
        self.vs = [_stops(values) for values in heights]

    def column(self, u: float) -> int:
        return max(0, bisect_right(self.us, u + CRUMB_MM) - 1)

    def corner(self, u: float, v: float) -> tuple[int, int]:
        column = self.column(u)
        return (column, max(0, bisect_right(self.vs[column], v + CRUMB_MM) - 1))

    def point(self, corner: tuple[int, int]) -> Point2:
        return (self.us[corner[0]], self.vs[corner[0]][corner[1]])


_Corner = tuple[int, int]


def _uprights(slabs: Sequence[Slab], corners: _Corners) -> list[tuple[_Corner, _Corner]]:
    """Upright parts of the boundary, directed with the area on their left."""
    inside: dict[tuple[_Corner, _Corner], int] = {}
    for slab in slabs:
        for u, foot, top, weight in ((slab.u1, slab.foot1, slab.top1, 1), (slab.u0, slab.foot0, slab.top0, -1)):
            (column, low), (_, high) = corners.corner(u, foot), corners.corner(u, top)
            for level in range(low, high):
                part = ((column, level), (column, level + 1))
                inside[part] = inside.get(part, 0) + weight
    return [(low, high) if weight > 0 else (high, low) for (low, high), weight in sorted(inside.items()) if weight != 0]


def rings_of(slabs: Sequence[Slab]) -> tuple[Ring2, ...]:
    """The boundary of slabs that do not overlap: outer rings counter-clockwise first, then holes clockwise."""
    if ring := _plain_ring(slabs):
        return (ring,)
    corners = _Corners(slabs)
    sides = _uprights(slabs, corners)
    for slab in slabs:
        sides.append((corners.corner(slab.u0, slab.foot0), corners.corner(slab.u1, slab.foot1)))
        sides.append((corners.corner(slab.u1, slab.top1), corners.corner(slab.u0, slab.top0)))
    leaving: dict[_Corner, list[_Corner]] = {}
    for start, end in sides:
        leaving.setdefault(start, []).append(end)
    rings: list[Ring2] = []
    while leaving:
        at = first = min(leaving)
        points: list[Point2] = []
        came: Point2 | None = None
        while at in leaving and (at != first or not points):
            here = corners.point(at)
            points.append(here)
            end = _leftmost(here, [(corners.point(end), end) for end in leaving[at]], came)
            leaving[at].remove(end)
            if not leaving[at]:
                del leaving[at]
            there = corners.point(end)
            came = (there[0] - here[0], there[1] - here[1])
            at = end
        ring = straightened(points)
        if len(ring) >= 3:
            rings.append(ring)
    return tuple(sorted(rings, key=lambda ring: -signed_area(ring)))


def _plain_ring(slabs: Sequence[Slab]) -> Ring2:
    """The ring of slabs side by side, each going on in the next over its whole height; () where they do not, or two of
    their corners are one."""
    if len(slabs) == 1 and _is_stout(slabs[0]):
        return slabs[0].corners
    for slab in slabs:
        if slab.u1 - slab.u0 <= CRUMB_MM or min(slab.top0 - slab.foot0, slab.top1 - slab.foot1) <= CRUMB_MM:
            return ()
    if not slabs or any((a.u1, a.foot1, a.top1) != (b.u0, b.foot0, b.top0) for a, b in itertools.pairwise(slabs)):
        return ()
    last = slabs[-1]
    feet, tops = [(slab.u0, slab.foot0) for slab in slabs], [(slab.u0, slab.top0) for slab in reversed(slabs)]
    return straightened([*feet, (last.u1, last.foot1), (last.u1, last.top1), *tops])


def _is_stout(slab: Slab) -> bool:
    """Whether no corner of a slab lies anywhere near the line between its neighbours: its distance from that line is
    width x side over the line's length, which is less than the slab's width and reach together."""
    wide, reach = slab.u1 - slab.u0, highest((slab,)) - lowest((slab,))
    return wide * min(slab.top0 - slab.foot0, slab.top1 - slab.foot1) > _STOUT_MM * (wide + reach)


def _leftmost(here: Point2, choices: Sequence[tuple[Point2, _Corner]], came: Point2 | None) -> _Corner:
    """Of several sides that leave a corner, the one that turns most to the left: parts touching there stay apart."""
    if came is None or len(choices) == 1:
        return choices[0][1]
    back = atan2(-came[1], -came[0])

    def turn(choice: tuple[Point2, _Corner]) -> float:
        away = atan2(choice[0][1] - here[1], choice[0][0] - here[0])
        return (back - away) % (2.0 * pi)

    return min(choices, key=turn)[1]


def straightened(points: Sequence[Point2], slack_mm: float = 0.01) -> Ring2:
    """A ring without repeated points and points on the straight line between their neighbours."""
    kept = list(points)
    i = 0
    while len(kept) >= 3 and i < len(kept):
        a, b, c = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
        base = ((c[0] - a[0]) ** 2 + (c[1] - a[1]) ** 2) ** 0.5
        off = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
        forward = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) >= 0.0
        same = abs(b[0] - a[0]) + abs(b[1] - a[1]) < slack_mm
        if same or (forward and off <= slack_mm * base):
            kept.pop(i)
            i = max(0, i - 1)
        else:
            i += 1
    return tuple(kept)
