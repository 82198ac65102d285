"""Ways to plant a wrong figure into an order, one at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from takeoff.model.measured import Need
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.model.roof import EdgeKind, Roof
from takeoff.pipeline import run_file

SAMPLES = Path(__file__).parents[2] / "geometry_samples"
Made = tuple[Takeoff, Order]
Plant = Callable[[Takeoff, Order], Made]


@cache
def made(sample: str = "homestead") -> Made:
    takeoff = run_file(SAMPLES / sample / "job.yaml")
    assert takeoff.order is not None
    return takeoff, takeoff.order


def by_index(items: Sequence[Any], at: int, **changes: Any) -> tuple[Any, ...]:
    """The items with one of them changed."""
    return tuple(replace(item, **changes) if number == at else item for number, item in enumerate(items))


def with_roof(change: Callable[[Roof], Roof]) -> Plant:
    return lambda takeoff, order: (replace(takeoff, roofs=(change(takeoff.roofs[0]), *takeoff.roofs[1:])), order)


def with_line(item: str, change: Callable[[OrderLine], float]) -> Plant:
    """The first line of an item with another count, or the line left out where the count is 0."""

    def plant(takeoff: Takeoff, order: Order) -> Made:
        at = next(number for number, line in enumerate(order.lines) if line.item == item)
        count = change(order.lines[at])
        line = replace(order.lines[at], count=count, total=count * order.lines[at].total / order.lines[at].count)
        lines = [*order.lines[:at], *([line] if count else []), *order.lines[at + 1 :]]
        return takeoff, replace(order, lines=tuple(lines))

    return plant


def more(count: float) -> Callable[[OrderLine], float]:
    return lambda line: line.count + count


def times(factor: float) -> Callable[[OrderLine], float]:
    return lambda line: line.count * factor


def with_sheets(change: Callable[[Any], Any]) -> Plant:
    """The sheets of the first plane changed, left out where there are none."""

    def plant(takeoff: Takeoff, order: Order) -> Made:
        first, *others = takeoff.roofing.sheets
        changed = change(first)
        kept = (*([changed] if changed is not None else []), *others)
        return replace(takeoff, roofing=replace(takeoff.roofing, sheets=kept)), order

    return plant


def with_roofing(part: str, change: Callable[[Any], Any]) -> Plant:
    return lambda takeoff, order: (
        replace(takeoff, roofing=replace(takeoff.roofing, **{part: change(getattr(takeoff.roofing, part))})),
        order,
    )


def with_rainwater(part: str, change: Callable[[Any], Any]) -> Plant:
    return lambda takeoff, order: (
        replace(takeoff, rainwater=replace(takeoff.rainwater, **{part: change(getattr(takeoff.rainwater, part))})),
        order,
    )


def with_cladding(part: str, change: Callable[[Any], Any]) -> Plant:
    return lambda takeoff, order: (
        replace(takeoff, cladding=replace(takeoff.cladding, **{part: change(getattr(takeoff.cladding, part))})),
        order,
    )


def with_plan(item: str, **factors: float) -> Plant:
    """Figures of the cutting plan of an item times a factor."""

    def plant(takeoff: Takeoff, order: Order) -> Made:
        at = next(number for number, plan in enumerate(order.plans) if plan.item == item)
        changes = {name: getattr(order.plans[at], name) * factor for name, factor in factors.items()}
        return takeoff, replace(order, plans=by_index(order.plans, at, **changes))

    return plant


def longer_pieces(item: str, factor: float) -> Plant:
    """The pieces of an item's cutting plan all longer."""

    def plant(takeoff: Takeoff, order: Order) -> Made:
        at = next(number for number, plan in enumerate(order.plans) if plan.item == item)
        bars = tuple(
            replace(bar, pieces=tuple(replace(p, length_mm=round(p.length_mm * factor)) for p in bar.pieces))
            for bar in order.plans[at].bars
        )
        return takeoff, replace(order, plans=by_index(order.plans, at, bars=bars))

    return plant


def moved_edge(roof: Roof) -> Roof:
    """A hip turned down onto another edge of its upper end, 2 mm beside it."""
    hip = next(number for number, edge in enumerate(roof.edges) if edge.kind is EdgeKind.HIP)
    top = roof.edges[hip].b_mm
    other = next(e for e in roof.edges if e.kind is EdgeKind.HIP and e.id != roof.edges[hip].id and e.b_mm == top)
    x, y, z = other.a_mm
    return replace(roof, edges=by_index(roof.edges, hip, a_mm=(x + 2.0, y, z)))


def flat_fold(roof: Roof) -> Roof:
    """The second plane laid into the first one's."""
    return replace(roof, planes=by_index(roof.planes, 1, frame=roof.planes[0].frame))


def longer_demands(trade: str, factor: float) -> Callable[[tuple[Need, ...]], tuple[Need, ...]]:
    return lambda needs: tuple(
        replace(need, demands=tuple(replace(d, length_mm=d.length_mm * factor) for d in need.demands))
        if need.trade == trade
        else need
        for need in needs
    )


def longer_lines(role: str, factor: float) -> Callable[[Any], Any]:
    return lambda lines: tuple(
        replace(line, b_uv=tuple(a + (b - a) * factor for a, b in zip(line.a_uv, line.b_uv, strict=True)))
        if line.role == role
        else line
        for line in lines
    )


def longer_legs(factor: float) -> Callable[[Any], Any]:
    return lambda runs: tuple(
        replace(run, legs=tuple(replace(leg, length_mm=leg.length_mm * factor) for leg in run.legs)) for run in runs
    )


def pieces_times(factor: float) -> Callable[[Any], Any]:
    return lambda sheets: replace(
        sheets, pieces=tuple(replace(piece, order_mm=piece.order_mm * factor) for piece in sheets.pieces)
    )


def boards_times(factor: float) -> Callable[[Any], Any]:
    return lambda walls: tuple(
        replace(wall, pieces=tuple(replace(piece, length_mm=piece.length_mm * factor) for piece in wall.pieces))
        for wall in walls
    )
