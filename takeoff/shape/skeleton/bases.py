"""Where upright faces begin: below its own fascia an edge shows only what its neighbours' roofs lean against.

The run lets every edge stand from the lowest fascia of the outline on. Where both sides of a corner stand, nothing has
happened yet: such a face is lifted to the first height at which something meets it, and left out if nothing does.
"""

from __future__ import annotations

from takeoff.shape.skeleton.faces import FaceRings, ring_area, seen_square
from takeoff.shape.skeleton.prepare import Plan
from takeoff.shape.skeleton.solution import Solution

Standing = tuple[FaceRings, list[int], float]
"""A part with its ring turned to begin with its base, and the height its base is lifted to."""


def lift_bases(plan: Plan, solution: Solution) -> None:
    """Lift the bases of all upright faces of a checked run, in place; new nodes are added at the end."""
    if all(edge.rise[0][1] != 0.0 or len(edge.rise) == 1 for edge in plan.edges):
        return
    lines = solution.lines
    corner = solution.outline_nodes
    after = {i: loop[(k + 1) % len(loop)] for loop in plan.loops for k, i in enumerate(loop)}
    standing: dict[int, Standing] = {}  # by edge
    levels: dict[int, set[float]] = {}  # heights of nodes on the upright line over a corner's node
    for part in solution.faces:
        f = part.face
        i = lines.edge[f]
        if lines.s[f] != 0.0 or lines.flat[f] or plan.edges[i].jog or corner[i] not in part.outer:
            continue
        k = part.outer.index(corner[i])
        ring = part.outer[k:] + part.outer[:k]
        if ring[1] != corner[after[i]]:
            continue
        height = base_height(solution, ring)
        if lines.step[f] >= 0:  # a gable or a vertical first step stands on its own fascia whatever meets it
            height = min(height, plan.edges[i].start)
        standing[i] = (part, ring, height)
        for node in ring[:2]:
            levels.setdefault(node, set()).add(height)
    made: dict[tuple[int, float], int] = {}
    for part, ring, height in standing.values():
        lift(solution, part, ring, height, levels, made)
    solution.faces[:] = [part for part in solution.faces if part.outer]


def over(solution: Solution, base: int, node: int) -> bool:
    """Is a node straight above a base node?"""
    return solution.nodes[base][:2] == solution.nodes[node][:2]


def base_height(solution: Solution, ring: list[int]) -> float:
    """The lowest height at which anything meets a standing face, whose ring begins with its base."""
    free = set()
    if over(solution, ring[0], ring[-1]):
        free.add(ring[0])
    if over(solution, ring[1], ring[2]):
        free.add(ring[1])
    return min(solution.nodes[i][2] for i in ring if i not in free)


def lift(
    solution: Solution,
    part: FaceRings,
    ring: list[int],
    height: float,
    levels: dict[int, set[float]],
    made: dict[tuple[int, float], int],
) -> None:
    """Rewrite one part's ring from its lifted base on, with the nodes that the faces beside it have on its ends."""
    left, right, rest = ring[0], ring[1], ring[2:]
    up = [right] if height == 0.0 else []
    down = [left] if height == 0.0 else []
    if over(solution, right, rest[0]):
        top = solution.nodes[rest[0]][2]
        up += [raised(solution, right, h, made) for h in sorted(levels[right]) if max(height, 1e-300) <= h < top]
    if over(solution, left, rest[-1]):
        top = solution.nodes[rest[-1]][2]
        down += [raised(solution, left, h, made) for h in sorted(levels[left]) if max(height, 1e-300) <= h < top]
    part.outer = [*up, *rest, *reversed(down)]
    f = part.face
    wanted = dict.fromkeys(part.outer, 0)
    place = seen_square(solution.nodes, wanted, solution.lines.ny[f], -solution.lines.nx[f])
    part.area = ring_area(part.outer, place) if len(part.outer) > 2 else 0.0
    if part.area <= 0.0:
        part.outer = []


def raised(solution: Solution, base: int, height: float, made: dict[tuple[int, float], int]) -> int:
    """The node straight above a base node at a height."""
    key = (base, height)
    if key not in made:
        made[key] = len(solution.nodes)
        x, y, _ = solution.nodes[base]
        solution.nodes.append((x, y, height))
    return made[key]
