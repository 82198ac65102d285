"""The engine's own check after each run: no roof leaves that fails it.

Sides are made in opposite pairs, so areas with signs add up to the outline whatever went wrong. What a wrong run cannot
keep at the same time: no part of a face with negative area, every ring turning once round, the faces round every node
filling no more than one full turn, every node in the planes of all its faces.
"""

from __future__ import annotations

from math import atan2, pi

from takeoff.shape.skeleton.faces import FaceRings
from takeoff.shape.skeleton.prepare import Plan
from takeoff.shape.skeleton.solution import Solution

AREA_REL = 1e-10
"""Areas (of an outline of size 1 or less) that far off count as wrong."""

HEIGHT_REL = 5e-9
"""Distance of a node from a plane, across the plan and in outline sizes, that counts as wrong."""

TURN_RAD = 1e-3
"""Rounding allowed on a full turn round a node."""


def check(plan: Plan, solution: Solution) -> str:
    """What is wrong with a finished run, or nothing."""
    lines = solution.lines
    nodes = solution.nodes
    total = 0.0
    eaves = set()
    height_rel = HEIGHT_REL + 32.0 * plan.rounding
    round_node = [0.0] * len(nodes)
    for part in solution.faces:
        f = part.face
        if part.area < -AREA_REL:
            return "a face turned inside out"
        nx, ny, c, s = lines.nx[f], lines.ny[f], lines.c[f], lines.s[f]
        upright = s == 0.0 and not lines.flat[f]
        eaves.add(lines.edge[f])
        if not lines.flat[f]:
            reach = height_rel * (1.0 + s)
            for ring in (part.outer, *part.holes):
                for i in ring:
                    x, y, t = nodes[i]
                    if abs(nx * x + ny * y - c - s * t) > reach:
                        return "a node out of its plane"
        if upright:
            continue
        total += part.area
        if not turns_once(part.outer, 1, nodes, round_node) or not all(
            turns_once(hole, -1, nodes, round_node) for hole in part.holes
        ):
            return "a face that crosses itself"
        if part.holes:
            discount_touching(part, round_node)
    off = abs(total - plan.area) - 16.0 * plan.rounding
    if off > AREA_REL * plan.area and off > snapped_area(plan, solution):
        return "faces that do not add up to the outline"
    if max(round_node, default=0.0) > 2.0 * pi + TURN_RAD:
        return "faces that lie on each other"
    if any(i not in eaves for i, edge in enumerate(plan.edges) if not edge.jog):
        return "an edge without a face"
    return ""


def turns_once(ring: list[int], way: int, nodes: list[tuple[float, float, float]], round_node: list[float]) -> bool:
    """Does a ring turn once round (+1 counter-clockwise, -1 clockwise)? Adds its corners to the turn at each node."""
    total = 0.0
    i = ring[-1]
    px, py = nodes[ring[-2]][:2]
    x, y, _ = nodes[i]
    for j in ring:
        qx, qy, _ = nodes[j]
        ax, ay, bx, by = qx - x, qy - y, px - x, py - y
        angle = atan2(ax * by - ay * bx, ax * bx + ay * by)
        if angle < 0.0:
            angle += 2.0 * pi
        total += angle
        round_node[i] += angle
        i, px, py, x, y = j, x, y, qx, qy
    return abs(total - (len(ring) - 2 * way) * pi) < 1.0


def discount_touching(part: FaceRings, round_node: list[float]) -> None:
    """Where a hole touches another ring of its part at a node, the turn there was added once too often."""
    seen = set(part.outer)
    for hole in part.holes:
        for i in hole:
            if i in seen:
                round_node[i] -= 2.0 * pi
            seen.add(i)


def snapped_area(plan: Plan, solution: Solution) -> float:
    """How much area the snapping of nearly parallel edges can have moved: edge's length by its greatest shift."""
    lines = solution.lines
    first: dict[int, int] = {}
    for f, i in enumerate(lines.edge):
        first.setdefault(i, f)
    total = 0.0
    for i, edge in enumerate(plan.edges):
        f = first[i]
        nx, ny, c = lines.nx[f], lines.ny[f], lines.c[f]
        shift = max(abs(nx * edge.ax + ny * edge.ay - c), abs(nx * edge.bx + ny * edge.by - c))
        total += (abs(edge.bx - edge.ax) + abs(edge.by - edge.ay)) * shift
    return total
