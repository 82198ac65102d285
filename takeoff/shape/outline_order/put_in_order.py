"""Outlines put in order once, where they enter: what the drawing means as one line is one line.

A plan turned and rounded, surveyed or taped has lines that are parallel, square or in one line but for micrometres or
millimetres. Built as they stand, planes split there and their moved sides cross far away. So all rings of a job are
looked at together: directions, then lines, then depths are made equal within what the drawing's own coarseness
explains, and each corner is put where its two lines meet.

Corners move by no more than `order_mm`; what moves by more than `order_said_mm` is said. What would move further stays
as typed.
"""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, Ring2, distance2
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import RoofJob
from takeoff.model.memory import recalled_plain
from takeoff.shape.outline.outline_checks import CLOSING_MM
from takeoff.shape.outline.rises import overhang_mm
from takeoff.shape.outline_order.arcs import arcs
from takeoff.shape.outline_order.corners import Corners
from takeoff.shape.outline_order.directions import directions
from takeoff.shape.outline_order.plan_lines import lines_of, refitted
from takeoff.shape.outline_order.plan_sides import PlanRing, sides_of

_MOST_TRIES = 12  # a plan with sides to be left out so many times over stays as typed


@record
class OrderedRings:
    """One roof's wall line or outline and its courtyards, in order [mm from `origin_mm`], and what was said of it.

    Rings have the points that were typed, in typed order.
    """

    origin_mm: Point3
    rings: tuple[Ring2, ...]
    findings: tuple[Finding, ...] = ()


def order_outlines(jobs: Sequence[RoofJob]) -> tuple[OrderedRings | None, ...]:
    """The rings of every roof of a job, put in order with each other; None for a roof that has no rings.

    What the rings are is not checked here (see check_rings).
    """
    typed = [_typed_rings(job) for job in jobs]
    origin = _origin([point for rings in typed for ring in rings for point in ring])
    rings: list[PlanRing] = []
    for number, (job, own) in enumerate(zip(jobs, typed, strict=True)):
        first = 1
        for hole, points in enumerate(own):
            near = tuple((x - origin[0], y - origin[1]) for x, y in _open(points))
            over = tuple(_overhang(job, first + i) for i in range(len(near)))
            rings.append(PlanRing(number, near, hole > 0, over))
            first += len(near)
    ordered = recalled_plain("rings in order", tuple(rings), lambda: _in_order(rings))
    found: list[OrderedRings | None] = []
    at = 0
    for job, own in zip(jobs, typed, strict=True):
        mine = slice(at, at + len(own))
        at += len(own)
        closed = tuple(
            (*ring, ring[0]) if len(points) > len(ring) else ring
            for points, ring in zip(own, ordered[mine], strict=True)
        )
        said = _findings(job, rings[mine], ordered[mine])
        found.append(OrderedRings(origin, closed, said) if own else None)
    return tuple(found)


def _typed_rings(job: RoofJob) -> list[Sequence[Point2]]:
    outer = job.wall_line if job.wall_line is not None else job.outline
    return [] if outer is None else [outer, *job.courtyards]


def _open(points: Sequence[Point2]) -> Sequence[Point2]:
    return points[:-1] if len(points) > 1 and distance2(points[0], points[-1]) <= CLOSING_MM else points


def _origin(points: Sequence[Point2]) -> Point3:
    """Where to compute from: 0, 0 for plans drawn near it, else a round point below and left of all."""
    step = TOLERANCES.local_mm
    if not points or max(max(abs(x), abs(y)) for x, y in points) <= step:
        return (0.0, 0.0, 0.0)
    x, y = min(x for x, _ in points), min(y for _, y in points)
    return (float(x // step) * step, float(y // step) * step, 0.0)


def _overhang(job: RoofJob, number: int) -> float:
    return overhang_mm(job, job.edges.get(number, EdgeJob())) if job.wall_line is not None else 0.0


def _in_order(rings: Sequence[PlanRing]) -> list[Ring2]:
    """Rings with their corners where ordered lines meet. Sides whose corners would move too far are first left out of
    what depths and other roofs ask for, then of everything."""
    sides = sides_of(rings)
    corners = Corners(sides)
    loose: frozenset[int] = frozenset()
    free = arcs(rings)
    points = [side.a for side in sides]
    for _ in range(_MOST_TRIES):
        turned, coarse_mm = directions(sides, free)
        lines = lines_of(sides, turned, coarse_mm, loose)
        placed = corners.placed(lines, coarse_mm)
        bad = frozenset(corners.misplaced(placed))
        if bad:
            again = lines_of(sides, refitted(sides, turned, lines), coarse_mm, loose)
            better = corners.placed(again, coarse_mm)
            still = frozenset(corners.misplaced(better))
            placed, bad = (better, still) if len(still) < len(bad) else (placed, bad)
        if not bad:
            points = placed
            break
        if bad <= loose:
            if bad <= free:
                break
            free |= bad
        loose |= bad
    found: list[Ring2] = []
    first = 0
    for ring in rings:
        found.append(tuple(points[first : first + len(ring.points)]))
        first += len(ring.points)
    return found


def _findings(job: RoofJob, typed: Sequence[PlanRing], ordered: Sequence[Ring2]) -> tuple[Finding, ...]:
    """A finding for every corner moved by more than rounding explains."""
    what = "wall line" if job.wall_line is not None else "outline"
    found = []
    first = 1
    for number, (ring, points) in enumerate(zip(typed, ordered, strict=True)):
        label = f"roof {job.name}: {what}" if number == 0 else f"roof {job.name}: courtyard {number}"
        for i, (old, new) in enumerate(zip(ring.points, points, strict=True)):
            moved = distance2(old, new)
            if moved > TOLERANCES.order_said_mm:
                edges = (first + (i - 1) % len(points), first + i)
                text = (
                    f"{label}: point {i + 1} was moved by {moved:.1f} mm: edges {edges[0]} and {edges[1]} lie in line, "
                    "parallel or square with others but for that"
                )
                advice = "if it is meant as typed, the difference is too small to build; measure on site"
                refs = tuple(f"edge {edge}" for edge in edges)
                found.append(Finding("corner-put-in-order", Severity.FIXED, text, advice, refs))
        first += len(points)
    return tuple(found)
