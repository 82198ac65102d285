"""One run of the engine, and the ladder of runs until one passes its own check: coarser snaps, then more digits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Context, Decimal, localcontext
from math import sqrt
from typing import Any

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton.check import check
from takeoff.shape.skeleton.events import run
from takeoff.shape.skeleton.faces import FaceRings, trace
from takeoff.shape.skeleton.front import ACTIVE, NODES, OK, SIDES, STATUS, STUCK, VERTICES, Front, add_side, spawn
from takeoff.shape.skeleton.prepare import Plan

DIGITS = 60
RUNGS = ((float, 1e-11), (float, 1e-9), (float, 1e-13), (Decimal, 1e-30), (Decimal, 1e-15), (Decimal, 1e-10))
"""Number type and snap distance (in outline sizes) of each attempt."""


@dataclass(slots=True)
class Lines:
    """The half-plane of every face of a run, and where it comes from."""

    edge: list[int]  # in Plan.edges
    step: list[int]
    nx: list[float]
    ny: list[float]
    c: list[float]
    s: list[float]
    flat: list[int]


@dataclass(slots=True)
class Setup:
    """A front ready to run, and where its faces come from."""

    front: Front
    first_face: list[int]  # of each edge of the plan
    edge_of: list[int]  # of each face
    step_of: list[int]


@dataclass(slots=True)
class Solution:
    """A run that passed its check: nodes (scaled) and the rings of every face."""

    nodes: list[tuple[float, float, float]]
    lines: Lines
    faces: list[FaceRings]
    outline_nodes: list[int]


def climb(plan: Plan) -> Solution:
    """Run and check with ever more care. Raises ShapeError where no rung gives a sound roof."""
    why = ""
    for number, eps in RUNGS:
        if number is float:
            outcome = attempt(plan, float, sqrt, eps + 16.0 * plan.rounding)
        else:
            with localcontext(Context(prec=DIGITS)):
                outcome = attempt(plan, Decimal, Decimal.sqrt, eps)
        if isinstance(outcome, Solution):
            return outcome
        why = outcome
    numbers = sorted({edge.number + 1 for edge in plan.edges})
    raise ShapeError(
        f"No sound roof was found over edges {numbers[0]} to {numbers[-1]} ({why}): move a corner by a few millimetres."
    )


def attempt(plan: Plan, number: Callable[[Any], Any], root: Callable[[Any], Any], eps: float) -> Solution | str:
    """One run and its check: the solution, or why it is none. Raises ShapeError for a part that can never close."""
    setup = set_up(plan, number, root, eps)
    F = setup.front
    heap: list[tuple[Any, int, int, int]] = []
    outline = start_front(setup, plan, heap)
    run(F, heap, 60 * len(plan.edges) + 20 * len(F.break_t) + 100)
    count = F.count
    if count[STATUS] == STUCK:
        refuse_gables_only(setup, plan)
    if count[STATUS] != OK:
        return ("", "out of room", "a tangled front", "no end of events", "an open front")[count[STATUS]]
    nodes = [(float(F.nodx[i]), float(F.nody[i]), float(F.nodt[i])) for i in range(count[NODES])]
    fl = [float(v) for v in F.c], [float(v) for v in F.s], [float(v) for v in F.nx], [float(v) for v in F.ny]
    lines = Lines(setup.edge_of, setup.step_of, fl[2], fl[3], fl[0], fl[1], F.flat)
    faces = trace(nodes, lines, F.side_from, F.side_to, F.side_face, count[SIDES])
    solution = Solution(nodes, lines, faces, outline)
    return check(plan, solution) or solution


def set_up(plan: Plan, number: Callable[[Any], Any], root: Callable[[Any], Any], eps: float) -> Setup:
    """The arrays of a run: faces with their half-planes, profile steps, room for vertices, nodes and sides."""
    F = Front()
    edges = plan.edges
    normals: dict[int, tuple[Any, Any]] = {}
    F.nx, F.ny, F.c, F.s, F.cls = [], [], [], [], []
    F.flat, F.jog = [], []
    first_face: list[int] = []
    edge_of: list[int] = []
    step_of: list[int] = []
    breaks: list[tuple[Any, int, int]] = []
    straight_on = [-1] * len(edges)
    for loop in plan.loops:
        for k in range(1, len(loop)):
            last, this = edges[loop[k - 1]], edges[loop[k]]
            if last.direction == this.direction and last.rise[0][1] == this.rise[0][1] and loop[k - 1] < loop[k]:
                straight_on[loop[k]] = loop[k - 1]
    half = number(1) / 2
    for i, edge in enumerate(edges):
        if edge.like not in normals:
            lx, ly = number(edges[edge.like].vx), number(edges[edge.like].vy)
            length = root(lx * lx + ly * ly)
            normals[edge.like] = (-ly / length, lx / length)
        nx, ny = normals[edge.like]
        if edge.vx * edges[edge.like].vx + edge.vy * edges[edge.like].vy < 0.0:
            nx, ny = -nx, -ny
        c = nx * ((number(edge.ax) + number(edge.bx)) * half) + ny * ((number(edge.ay) + number(edge.by)) * half)
        if straight_on[i] >= 0:  # one plane with the edge before it, to the last bit
            c = F.c[first_face[straight_on[i]]]
        first_face.append(len(F.nx))
        before = None
        for begin, speed, step in edge.rise:
            s = number(0.0 if speed is None else speed)
            if before is not None:
                c = c + (before - s) * number(begin)
                breaks.append((number(begin), len(F.nx) - 1, len(F.nx)))
            before = s
            F.nx.append(nx)
            F.ny.append(ny)
            F.c.append(c)
            F.s.append(s)
            F.cls.append(edge.direction)
            F.flat.append(1 if speed is None else 0)
            F.jog.append(1 if edge.jog else 0)
            edge_of.append(i)
            step_of.append(step)
    breaks.sort()
    F.break_t = [b[0] for b in breaks]
    F.break_old = [b[1] for b in breaks]
    F.break_new = [b[2] for b in breaks]
    F.swap = [-1] * len(F.nx)
    F.tol = [number(eps), number(1e-15 if number is float else 1e-45), number(1e300), number(1000), number(1e-3)]
    make_room(F, 6 * len(edges) + 6 * len(breaks) + 32, number(0))
    return Setup(F, first_face, edge_of, step_of)


def make_room(F: Front, room: int, zero: Any) -> None:
    """Room for that many vertices, and for the nodes and sides they can leave."""
    F.count = [0] * 7
    for name in ("px", "py", "pt", "vx", "vy", "speed", "hit_t"):
        setattr(F, name, [zero] * room)
    for name in (
        "own",
        "fin",
        "nxt",
        "prv",
        "alive",
        "start",
        "reflex",
        "mark",
        "act",
        "where",
        "ract",
        "rwhere",
        "node_at",
    ):
        setattr(F, name, [0] * room)
    F.nodx, F.nody, F.nodt = [zero] * room, [zero] * room, [zero] * room
    F.side_from, F.side_to, F.side_face = [0] * (4 * room), [0] * (4 * room), [0] * (4 * room)


def start_front(setup: Setup, plan: Plan, heap: list[tuple[Any, int, int, int]]) -> list[int]:
    """Put the outline into the front at time 0; returns the node of each edge's first corner."""
    F = setup.front
    number = type(F.tol[0])
    zero = number(0)
    corner = [0] * len(plan.edges)
    for loop in plan.loops:
        for k, i in enumerate(loop):
            edge = plan.edges[i]
            before = plan.edges[loop[k - 1]]
            if before.jog and k > 0:
                corner[i] = corner[loop[k - 1]]
            else:
                node = F.count[NODES]
                F.nodx[node], F.nody[node], F.nodt[node] = number(edge.ax), number(edge.ay), zero
                F.count[NODES] = node + 1
                corner[i] = node
        if plan.edges[loop[-1]].jog:
            corner[loop[-1]] = corner[loop[0]]
        vertices = [F.count[VERTICES] + k for k in range(len(loop))]
        for k, i in enumerate(loop):
            a, b = vertices[k - 1], vertices[(k + 1) % len(loop)]
            spawn(F, heap, a, setup.first_face[loop[k - 1]], setup.first_face[i], b, corner[i], zero)
            end = corner[loop[(k + 1) % len(loop)]]
            if corner[i] != end:
                add_side(F, corner[i], end, setup.first_face[i])
    return corner


def refuse_gables_only(setup: Setup, plan: Plan) -> None:
    """Raise where what is left of the front stands still for ever; return where it does not."""
    F = setup.front
    left = [F.own[F.act[i]] for i in range(F.count[ACTIVE])]
    if any(F.s[f] != 0 for f in left):
        return
    numbers = sorted({plan.edges[setup.edge_of[f]].number + 1 for f in left})
    names = ", ".join(str(n) for n in numbers)
    raise ShapeError(
        f"Edges {names} enclose a part of the roof that no sloping plane reaches: it never closes. "
        f"Give at least one of these edges a pitch."
    )
