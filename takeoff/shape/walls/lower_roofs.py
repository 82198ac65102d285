"""Which part of a wall stands over, behind or under another roof: the planes of other roofs right outside a wall.

A roof with a wall line of its own is closed below: a wall inside that line is no outside wall up to the roof. One
without, or over its own overhang, is open: the wall goes on under it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.roof import Roof
from takeoff.shape.walls.wall_edges import WallEdge
from takeoff.shape.walls.wall_tops import height_over, plane_spans


@record
class RoofBeside:
    """A stretch of a wall with a plane of another roof right outside it, in wall axes [mm].

    From `x0` to `x1` from the wall's left end, seen from outside; `z0` and `z1` are the heights of the plane (underside
    of the sheets) at those ends over the finished main floor; both are infinite where a closed part of the other roof's
    building has no plane of it overhead. `closed`: that roof's own walls close the space below.
    """

    roof: str
    x0: float
    x1: float
    z0: float
    z1: float
    closed: bool


def roofs_beside(edge: WallEdge, own: Roof, roofs: Sequence[Roof]) -> tuple[RoofBeside, ...]:
    """Every other roof beside a wall of `own`, from the left; planes of the wall's own roof are none of these."""
    found: list[RoofBeside] = []
    for other in roofs:
        if other.name != own.name:
            moved = _moved(edge, own, other)
            found += _beside(moved, other)
    return tuple(sorted(found, key=lambda part: (part.x0, part.x1, part.roof)))


def shift_between(own: Roof, other: Roof) -> Point2:
    """What leads from a roof's coordinates to those of another in plan [mm]."""
    return (own.origin_mm[0] - other.origin_mm[0], own.origin_mm[1] - other.origin_mm[1])


def _moved(edge: WallEdge, own: Roof, other: Roof) -> WallEdge:
    dx, dy = shift_between(own, other)
    (ax, ay), (bx, by) = edge.left_mm, edge.right_mm
    return replace(edge, left_mm=(ax + dx, ay + dy), right_mm=(bx + dx, by + dy))


def _beside(edge: WallEdge, other: Roof) -> Iterator[RoofBeside]:
    closed = list(_inside_line(edge, other.wall_line_mm))
    bare = closed
    for plane in other.planes:
        for a, b in plane_spans(plane, edge, edge.length_mm, inside=False):
            inner = _shared([(a, b)], closed)
            for parts, shut in ((inner, True), (_less([(a, b)], inner), False)):
                for x0, x1 in parts:
                    z0, z1 = (height_over(plane, edge, x) for x in (x0, x1))
                    yield RoofBeside(other.name, x0, x1, z0, z1, shut)
            bare = _less(bare, [(a, b)])
    top = float("inf")
    for x0, x1 in bare:
        yield RoofBeside(other.name, x0, x1, top, top, True)


def _inside_line(edge: WallEdge, rings: tuple[Ring2, ...]) -> Iterator[tuple[float, float]]:
    """Where the ground right outside a wall lies within a wall line, courtyards out, as stretches along the wall."""
    (ax, ay), (bx, by) = edge.left_mm, edge.right_mm
    length = edge.length_mm
    ux, uy = (bx - ax) / length, (by - ay) / length
    off = TOLERANCES.same_point_mm
    crossings: list[float] = []
    for ring in rings:
        local = [((x - ax) * ux + (y - ay) * uy, (y - ay) * ux - (x - ax) * uy + off) for x, y in ring]
        for (s, d), (t, e) in pairwise((*local, local[0])):
            if (d < 0.0) != (e < 0.0):
                crossings.append(s + d / (d - e) * (t - s))
    crossings.sort()
    for lo, hi in zip(crossings[::2], crossings[1::2], strict=True):
        if min(hi, length) - max(lo, 0.0) > 2.0 * off:
            yield max(lo, 0.0), min(hi, length)


def _shared(ones: list[tuple[float, float]], others: list[tuple[float, float]]) -> list[tuple[float, float]]:
    found = [(max(a, c), min(b, d)) for a, b in ones for c, d in others]
    return [(a, b) for a, b in found if b - a > TOLERANCES.same_point_mm]


def _less(ones: list[tuple[float, float]], cuts: list[tuple[float, float]]) -> list[tuple[float, float]]:
    left = ones
    for c, d in cuts:
        left = [part for a, b in left for part in ((a, min(b, c)), (max(a, d), b)) if part[1] > part[0]]
    return [(a, b) for a, b in left if b - a > TOLERANCES.same_point_mm]
