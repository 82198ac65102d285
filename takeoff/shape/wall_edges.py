"""The edges of a wall line as walls: which end is left seen from outside, and what outline edge hangs over it.

Walls are numbered as their edges are typed, outer ring first, then courtyards.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, degrees

from takeoff.basics.polygons import signed_area
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, cross2, distance2
from takeoff.model.roof import Roof, UprightKind
from takeoff.model.walls import Corner

STRAIGHT_DEG = 0.5  # corners flatter than this are one straight front drawn in two parts


@dataclass(frozen=True, slots=True)
class WallEdge:
    """One wall in plan, in the roof's own coordinates [mm].

    `left_mm` and `right_mm` are its ends seen from outside, so the house lies left of the way from left to right.
    `outline_edge` is the 1-based outline edge above it (0 where none runs beside it), `overhang_mm` the level distance
    between the two. `named` is what that edge is: eave, gable or wall. `rises` tells that the roof has no eave here:
    the wall goes up to the roof.
    """

    wall: int
    left_mm: Point2
    right_mm: Point2
    left_corner: Corner
    right_corner: Corner
    outline_edge: int
    overhang_mm: float
    named: str
    rises: bool

    @property
    def length_mm(self) -> float:
        """Length on framing [mm]."""
        return distance2(self.left_mm, self.right_mm)


def wall_edges(roof: Roof) -> tuple[WallEdge, ...]:
    """The walls of a roof's wall line, in typed order. Empty where the roof has no wall line."""
    outline = list(_numbered(roof.outline_mm))
    count = sum(len(ring) for ring in roof.wall_line_mm)
    found: list[WallEdge] = []
    for wall, ring, left, right, before, after in _numbered(roof.wall_line_mm):
        edge, overhang = _above(wall, ring, left, right, outline, same_count=count == len(outline))
        named = roof.edge_names[edge - 1] if 0 < edge <= len(roof.edge_names) else "eave"
        found.append(
            WallEdge(
                wall=wall,
                left_mm=left,
                right_mm=right,
                left_corner=_corner(before, left, right),
                right_corner=_corner(left, right, after),
                outline_edge=edge,
                overhang_mm=overhang,
                named=named,
                rises=named == "gable" or _stands_gable(roof, edge, outline),
            )
        )
    return tuple(found)


_Edge = tuple[int, int, Point2, Point2, Point2, Point2]  # number, ring, left, right, point before, point after


def _numbered(rings: tuple[Ring2, ...]) -> Iterator[_Edge]:
    """Edges in typed order, each turned so that the house is on its left; the corners before and after it."""
    number = 0
    for which, ring in enumerate(rings):
        turned = (signed_area(ring) > 0.0) != (which == 0)
        count = len(ring)
        for i in range(count):
            number += 1
            chain = [ring[(i + k) % count] for k in (-1, 0, 1, 2)]
            before, left, right, after = reversed(chain) if turned else chain
            yield number, which, left, right, before, after


def _corner(a: Point2, b: Point2, c: Point2) -> Corner:
    """The corner at b on the way a, b, c with the house on the left: a turn to the left is an outside corner."""
    ahead = (b[0] - a[0], b[1] - a[1])
    then = (c[0] - b[0], c[1] - b[1])
    turn = degrees(atan2(cross2(ahead, then), ahead[0] * then[0] + ahead[1] * then[1]))
    if abs(turn) < STRAIGHT_DEG:
        return Corner("none", 180.0)
    return Corner("external" if turn > 0.0 else "internal", 180.0 - abs(turn))


def _above(
    wall: int, ring: int, left: Point2, right: Point2, outline: list[_Edge], *, same_count: bool
) -> tuple[int, float]:
    """Outline edge over a wall and its overhang [mm]: by number, else the nearest parallel one beside it.

    Where wall line and outline have equally many edges they answer each other by number (both in typed order).
    """
    if same_count:
        edge = outline[wall - 1]
        return edge[0], _offset(left, right, edge[2])
    length = distance2(left, right)
    best: tuple[float, int, float] | None = None
    for number, which, a, b, _, _ in outline:
        if which != ring or not _same_way(left, right, a, b):
            continue
        off = _offset(left, right, a)
        shared = _shared(left, right, a, b)
        if shared < 0.5 * min(length, distance2(a, b)) or off < -TOLERANCES.same_plane_mm:
            continue
        if best is None or (abs(off), number) < best[:2]:
            best = (abs(off), number, off)
    return (best[1], best[2]) if best else (0, 0.0)


def _same_way(a: Point2, b: Point2, c: Point2, d: Point2) -> bool:
    along, other = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    scale = distance2(a, b) * distance2(c, d)
    return scale > 0.0 and along[0] * other[0] + along[1] * other[1] > 0.9998 * scale


def _offset(a: Point2, b: Point2, point: Point2) -> float:
    """How far a point lies to the right of the way a to b, that is outside the wall [mm]."""
    return -cross2((b[0] - a[0], b[1] - a[1]), (point[0] - a[0], point[1] - a[1])) / distance2(a, b)


def _shared(a: Point2, b: Point2, c: Point2, d: Point2) -> float:
    """Length over which c-d runs beside a-b, measured along a-b [mm]."""
    length = distance2(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    ts = sorted(((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) for p in (c, d))
    return min(length, ts[1]) - max(0.0, ts[0])


def _stands_gable(roof: Roof, edge: int, outline: list[_Edge]) -> bool:
    """Whether a gable stands on the outline edge itself; one that stands back (a gablet) leaves an eave below it."""
    if edge == 0:
        return False
    _, _, left, right, _, _ = outline[edge - 1]
    for face in roof.uprights:
        if face.kind is not UprightKind.GABLE or face.outline_edge != edge:
            continue
        points = [face.frame.to_space(p) for p in face.rings_uv[0]]
        if all(abs(_offset(left, right, (x, y))) < TOLERANCES.same_plane_mm for x, y, _ in points):
            return True
    return False
