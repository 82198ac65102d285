"""A front ready to run: the half-planes of all faces, the profile steps by time, the outline at time 0."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from takeoff.shape.skeleton.front import NODES, VERTICES, Front, Heap, add_side, spawn
from takeoff.shape.skeleton.prepare import Plan
from takeoff.shape.skeleton.windows import BOTTOM, LEFT, MOST, SIZE

FLOATS = ("px", "py", "pt", "vx", "vy", "speed", "hit_t")
WHOLES = (
    "own",
    "fin",
    "nxt",
    "prv",
    "alive",
    "start",
    "reflex",
    "mark",
    "seen",
    "node_at",
    "act",
    "where",
    "ract",
    "rwhere",
)
NODE_ARRAYS = ("nodx", "nody", "nodt")
SIDE_ARRAYS = ("side_from", "side_to", "side_face")
LARGE = 200
"""Corners from which windows of cells pay."""

ENTRIES_A_VERTEX = 120
"""Room for entries in cells, in corners of the outline."""

SIDES_A_VERTEX = 4
"""Room for sides, in vertices."""


@dataclass(slots=True)
class Setup:
    """A front at its start, and where its faces come from."""

    front: Front
    first_face: list[int]  # of each edge of the plan
    edge_of: list[int]  # of each face
    step_of: list[int]
    outline_nodes: list[int]  # node of each edge's first corner


def set_up(plan: Plan, number: Callable[[Any], Any], root: Callable[[Any], Any], eps: float, room: int) -> Setup:
    """A front of an outline, in one kind of number with its square root, with room for that many vertices."""
    F = Front()
    setup = Setup(F, [], [], [], [])
    breaks = add_faces(setup, plan, number, root)
    breaks.sort()
    F.break_t = [b[0] for b in breaks]
    F.break_old = [b[1] for b in breaks]
    F.break_new = [b[2] for b in breaks]
    F.swap = [-1] * len(F.nx)
    F.tol = [number(eps), number(1e-15 if number is float else 1e-45), number(1e300), number(1000), number(1e-3)]
    make_room(F, room, number(0))
    make_grid(F, plan, number)
    start_front(setup, plan, number)
    return setup


def make_grid(F: Front, plan: Plan, number: Callable[[Any], Any]) -> None:
    """A grid over the outline where it is large enough for one, with room for the entries in its cells."""
    corners = len(plan.edges)
    F.grid = [0] * 5
    F.window = [number(0)] * 6
    across = int(corners**0.5) + 1 if corners >= LARGE else 0
    entries = ENTRIES_A_VERTEX * corners if across else 0
    F.grid[MOST] = across
    F.piece_head, F.path_head = [-1] * (across * across), [-1] * (across * across)
    F.entry_who, F.entry_next = [0] * entries, [0] * entries
    if across:
        xs, ys = [edge.ax for edge in plan.edges], [edge.ay for edge in plan.edges]
        F.window[LEFT], F.window[BOTTOM] = number(min(xs)), number(min(ys))
        F.window[SIZE] = number(max(max(xs) - min(xs), max(ys) - min(ys)))


def same_plane(plan: Plan) -> list[int]:
    """For each edge the one before it whose line it goes on with at the same rise, or -1: the two share one plane."""
    edges = plan.edges
    before = [-1] * len(edges)
    for loop in plan.loops:
        for k in range(1, len(loop)):
            last, this = edges[loop[k - 1]], edges[loop[k]]
            if last.direction == this.direction and last.rise[0][1] == this.rise[0][1]:
                before[loop[k]] = loop[k - 1]
    return before


def add_faces(
    setup: Setup, plan: Plan, number: Callable[[Any], Any], root: Callable[[Any], Any]
) -> list[tuple[Any, int, int]]:
    """The half-plane of every face, in order of edge and step; returns (time, face that ends, face that begins)."""
    F = setup.front
    edges = plan.edges
    F.nx, F.ny, F.c, F.s, F.cls, F.flat, F.jog = [], [], [], [], [], [], []
    normals: dict[int, tuple[Any, Any]] = {}
    breaks: list[tuple[Any, int, int]] = []
    before = same_plane(plan)
    half = number(1) / 2
    for i, edge in enumerate(edges):
        like = edges[edge.like]
        if edge.like not in normals:
            lx, ly = number(like.vx), number(like.vy)
            length = root(lx * lx + ly * ly)
            normals[edge.like] = (-ly / length, lx / length)
        nx, ny = normals[edge.like]
        if edge.direction != like.direction:
            nx, ny = -nx, -ny
        if 0 <= before[i] < i:
            c = F.c[setup.first_face[before[i]]]
        else:
            c = nx * ((number(edge.ax) + number(edge.bx)) * half) + ny * ((number(edge.ay) + number(edge.by)) * half)
        setup.first_face.append(len(F.nx))
        last = None
        for begin, speed, step in edge.rise:
            s = number(0.0 if speed is None else speed)
            if last is not None:
                c = c + (last - s) * number(begin)
                breaks.append((number(begin), len(F.nx) - 1, len(F.nx)))
            last = s
            F.nx.append(nx)
            F.ny.append(ny)
            F.c.append(c)
            F.s.append(s)
            F.cls.append(edge.direction)
            F.flat.append(1 if speed is None else 0)
            F.jog.append(1 if edge.jog else 0)
            setup.edge_of.append(i)
            setup.step_of.append(step)
    return breaks


def make_room(F: Front, room: int, zero: Any) -> None:
    """Room for that many vertices, and for the nodes and sides they can leave."""
    F.tally = [0] * 7
    for name in (*FLOATS, *NODE_ARRAYS):
        setattr(F, name, [zero] * room)
    for name in WHOLES:
        setattr(F, name, [0] * room)
    for name in SIDE_ARRAYS:
        setattr(F, name, [0] * (SIDES_A_VERTEX * room))


def start_front(setup: Setup, plan: Plan, number: Callable[[Any], Any]) -> None:
    """Put the outline into the front at time 0. A jog of no length shares its node with the corner it stands at."""
    F = setup.front
    zero = number(0)
    none: Heap = []
    edges = plan.edges
    corner = setup.outline_nodes
    corner.extend([0] * len(edges))
    for loop in plan.loops:
        first = F.tally[NODES]
        for i in loop:
            node = F.tally[NODES]
            corner[i] = node
            if not edges[i].jog:
                F.nodx[node], F.nody[node], F.nodt[node] = number(edges[i].ax), number(edges[i].ay), zero
                F.tally[NODES] = node + 1
        if edges[loop[-1]].jog:
            corner[loop[-1]] = first
        base = F.tally[VERTICES]
        size = len(loop)
        for k, i in enumerate(loop):
            a, b = base + (k - 1) % size, base + (k + 1) % size
            spawn(F, none, a, setup.first_face[loop[k - 1]], setup.first_face[i], b, corner[i], zero)
            end = corner[loop[(k + 1) % size]]
            if corner[i] != end:
                add_side(F, corner[i], end, setup.first_face[i])
