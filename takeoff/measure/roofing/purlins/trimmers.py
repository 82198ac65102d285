"""Timbers that carry cut sheet ends and the overhang: hip trimmers, valley boards, hole trimmers, outriggers.

A cut end may overhang its support by 150 mm only (code of practice 3.16.2), so both sides of every hip and valley
have timber of their own.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, hypot

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.edge_kinds import EdgeKind, End
from takeoff.model.roof import RoofPlane
from takeoff.shape.strips.plane_lines import EdgeOnPlane, is_inside, lines_beside

Line = tuple[Point2, Point2]


@record
class Trimmer:
    """One timber of a plane from a to b (u, v) [mm]: what it is and the edge or hole it belongs to."""

    role: str  # hip trimmer, valley board, hole trimmer, outrigger
    edge: str
    number: int
    line: Line


def hip_trimmers(plane: RoofPlane, edges: Sequence[EdgeOnPlane], offset_mm: float, width_mm: float) -> list[Trimmer]:
    """One trimmer beside each hip of a plane, its centre line `offset_mm` square to the hip."""
    return [
        Trimmer("hip trimmer", on.edge.id, number, line)
        for on in edges
        if on.edge.kind is EdgeKind.HIP
        for number, line in enumerate(lines_beside(plane, on, offset_mm, width_mm), start=1)
    ]


def valley_boards(plane: RoofPlane, edges: Sequence[EdgeOnPlane], boards: int, width_mm: float) -> list[Trimmer]:
    """`boards` boards of `width_mm` side by side from the valley line into the plane, beside each of its valleys."""
    found = []
    for on in edges:
        if on.edge.kind is EdgeKind.VALLEY:
            lines = [
                line for board in range(boards) for line in lines_beside(plane, on, (board + 0.5) * width_mm, width_mm)
            ]
            found += [Trimmer("valley board", on.edge.id, n, line) for n, line in enumerate(lines, start=1)]
    return found


def hole_trimmers(plane: RoofPlane, edges: Sequence[EdgeOnPlane], least_mm: float) -> list[Trimmer]:
    """A trimmer along each side, longer than `least_mm`, of a hole in the plane that no edge row or valley carries."""
    carried = [on for on in edges if on.edge.kind.row.end is not End.SIDE]
    found: list[Trimmer] = []
    for hole, ring in enumerate(plane.rings_uv[1:], start=1):
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            long_enough = hypot(b[0] - a[0], b[1] - a[1]) > least_mm
            if long_enough and not any(_lies_on(a, b, on) for on in carried):
                found.append(Trimmer("hole trimmer", f"hole {hole}", len(found) + 1, (a, b)))
    return found


def _lies_on(a: Point2, b: Point2, on: EdgeOnPlane) -> bool:
    (dx, dy), (ox, oy) = on.along, on.a
    off = (abs((p[1] - oy) * dx - (p[0] - ox) * dy) for p in (a, b))
    return max(off) < TOLERANCES.same_point_mm


def outriggers(
    plane: RoofPlane,
    on: EdgeOnPlane,
    overhang_mm: float,
    back_ratio: float,
    spacing_mm: float,
    ends_mm: tuple[float, float],
) -> list[Trimmer]:
    """Level timbers that carry the barge rafter of a verge: from the barge in over the gable wall, `back_ratio` times
    the overhang past it; at most `spacing_mm` apart up the slope, the first and last `ends_mm` from the verge's ends.
    """
    (ua, va), (ub, vb) = sorted((on.a, on.b), key=lambda p: p[1])
    first, last = va + ends_mm[0], vb - ends_mm[1]
    if overhang_mm <= 0.0 or last <= first:
        return []
    bays = max(1, ceil((last - first - TOLERANCES.same_length_mm) / spacing_mm))
    length = overhang_mm * (1.0 + back_ratio)
    inward = 1.0 if on.inward[0] > 0.0 else -1.0
    found = []
    for k in range(bays + 1):
        v = first + (last - first) * k / bays
        u = ua + (ub - ua) * (v - va) / (vb - va)
        far = u + inward * length
        if is_inside(plane.rings_uv, (u + inward * overhang_mm, v)):
            found.append(Trimmer("outrigger", on.edge.id, k + 1, (min((u, v), (far, v)), max((u, v), (far, v)))))
    return found
