"""One run of the engine, and the ladder of runs until one passes its own check: coarser snaps, then more digits."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Context, Decimal, localcontext
from math import sqrt
from typing import Any

from takeoff.basics.errors import Fault, ShapeError
from takeoff.shape.skeleton.check import check
from takeoff.shape.skeleton.events import run
from takeoff.shape.skeleton.faces import trace
from takeoff.shape.skeleton.front import ACTIVE, NO_ROOM, NODES, OK, SIDES, STATUS, STUCK
from takeoff.shape.skeleton.prepare import Plan
from takeoff.shape.skeleton.setup import Setup, set_up
from takeoff.shape.skeleton.slivers import drop_slivers
from takeoff.shape.skeleton.solution import Lines, Solution

LEAST_WIDTH = 1e-14
"""Faces thinner than this, in outline sizes, or than the snap distance, are none."""

DIGITS = 60
RUNGS = ((float, 1e-11), (float, 1e-9), (float, 1e-13), (Decimal, 1e-30), (Decimal, 1e-15), (Decimal, 1e-10))
"""Number type and snap distance (in outline sizes) of each attempt."""


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
    size = len(plan.edges) + sum(len(edge.rise) - 1 for edge in plan.edges)
    for room in (6 * size + 32, 60 * size + 320):
        setup = set_up(plan, number, root, eps, room)
        F = setup.front
        run(F, [], 60 * size + 100)
        if F.tally[STATUS] != NO_ROOM:
            break
    status = F.tally[STATUS]
    if status == STUCK:
        refuse_gables_only(setup, plan)
    if status != OK:
        return ("", "out of room", "a tangled front", "no end of events", "an open front")[status]
    kept = F.tally[NODES]
    x, y, t = F.nodx[:kept], F.nody[:kept], F.nodt[:kept]
    lines = Lines(setup.edge_of, setup.step_of, F.nx, F.ny, F.c, F.s, F.flat)
    if number is not float:
        x, y, t = list(map(float, x)), list(map(float, y)), list(map(float, t))
        lines.nx, lines.ny = list(map(float, F.nx)), list(map(float, F.ny))
        lines.c, lines.s = list(map(float, F.c)), list(map(float, F.s))
    nodes = list(zip(x, y, t, strict=True))
    faces = trace(nodes, lines, F.side_from, F.side_to, F.side_face, F.tally[SIDES])
    drop_slivers(faces, nodes, max(eps, LEAST_WIDTH))
    solution = Solution(nodes, lines, faces, setup.outline_nodes)
    return check(plan, solution) or solution


def refuse_gables_only(setup: Setup, plan: Plan) -> None:
    """Raise where what is left of the front stands still for ever; return where it does not."""
    F = setup.front
    left = [F.own[F.act[i]] for i in range(F.tally[ACTIVE])]
    if any(F.s[f] != 0 for f in left):
        return
    numbers = sorted({plan.edges[setup.edge_of[f]].number + 1 for f in left})
    names = ", ".join(str(n) for n in numbers)
    text = f"Edges {names} enclose a part of the roof that no sloping plane reaches: it never closes. "
    raise ShapeError(Fault(f"{text}Give at least one of these edges a pitch.", "edge", numbers[0]))
