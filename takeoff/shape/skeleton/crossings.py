"""Outlines that no roof stands on: rings that cross or touch, courtyards that do not lie inside."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from takeoff.basics.errors import Fault, ShapeError
from takeoff.shape.skeleton.prepare import SAME_POINT_REL, Edge, Plan


def refuse_crossings(plan: Plan) -> None:
    """Raise ShapeError naming the 1-based edges of the first pair that meets where it should not.

    Boxes of the edges in order of their left sides (Shamos & Hoey 1976 without the tree: outlines are short-edged).
    """
    edges = plan.edges
    boxes: list[tuple[float, float, float, float, int]] = []
    follower: dict[int, int] = {}
    for loop in plan.loops:
        real = [i for i in loop if not edges[i].jog]
        for k, i in enumerate(real):
            follower[real[k - 1]] = i
            e = edges[i]
            lx, hx = (e.ax, e.bx) if e.ax < e.bx else (e.bx, e.ax)
            ly, hy = (e.ay, e.by) if e.ay < e.by else (e.by, e.ay)
            boxes.append((lx - SAME_POINT_REL, hx, ly - SAME_POINT_REL, hy, i))
    boxes.sort()
    count = len(boxes)
    for k, (_, hx, ly, hy, i) in enumerate(boxes):
        for m in range(k + 1, count):
            lx2, _, ly2, hy2, j = boxes[m]
            if lx2 > hx:
                break
            if ly2 > hy or ly > hy2 or follower[i] == j or follower[j] == i:
                continue
            if not apart(edges[i], edges[j]) and not apart(edges[j], edges[i]):
                first, second = sorted((edges[i].number + 1, edges[j].number + 1))
                text = f"Edges {first} and {second} cross or touch: move their corners apart."
                raise ShapeError(Fault(text, "edge", first))
    if len(plan.loops) > 1:
        refuse_stray_holes(plan)


def apart(a: Edge, b: Edge) -> bool:
    """Do both ends of b lie clear of the line of a, on one side?"""
    dx, dy = a.bx - a.ax, a.by - a.ay
    clear = SAME_POINT_REL * hypot(dx, dy)
    one = dx * (b.ay - a.ay) - dy * (b.ax - a.ax)
    two = dx * (b.by - a.ay) - dy * (b.bx - a.ax)
    return (one > clear and two > clear) or (one < -clear and two < -clear)


def refuse_stray_holes(plan: Plan) -> None:
    """Raise ShapeError for a courtyard that lies outside the outline or inside another courtyard."""
    for n, loop in enumerate(plan.loops[1:], start=1):
        inside = [k for k, other in enumerate(plan.loops) if k != n and within(plan.edges, loop[0], other)]
        if inside != [0]:
            numbers = sorted({plan.edges[i].number + 1 for i in loop})
            where = "outside the outline" if 0 not in inside else "inside another courtyard"
            text = f"The courtyard with edges {numbers[0]} to {numbers[-1]} lies {where}: move it or leave it out."
            raise ShapeError(Fault(text, "edge", numbers[0]))


def within(edges: Sequence[Edge], corner: int, loop: Sequence[int]) -> bool:
    """Does the first corner of an edge lie inside a ring that it is not on?"""
    x, y = edges[corner].ax, edges[corner].ay
    odd = False
    for i in loop:
        e = edges[i]
        if (e.ay > y) != (e.by > y) and x < e.ax + (e.bx - e.ax) * (y - e.ay) / (e.by - e.ay):
            odd = not odd
    return odd
