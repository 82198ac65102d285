"""Bounds of what is cut from stock: what is placed against the runs, what is bought against a plain packing."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Sequence
from math import ceil, inf

from takeoff.model.items import ItemKind
from takeoff.model.measured import Need
from takeoff.model.runs import CutPlan, RunDemand, StockChoice
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.line_bounds import metres_bought, name_of

PIECE_MM = 1.0  # pieces are cut to whole millimetres, upwards
_PRINTED_MM = 0.5  # but one that prints as a whole stock length is cut to that


def needs_of(case: Case) -> tuple[Need, ...]:
    """What every trade needs."""
    takeoff = case.takeoff
    return (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs)


def stock_placed(case: Case) -> Iterator[Bounded]:
    """What each item's pieces lay on the house, laps off, against the length of its runs."""
    demands = _demands(case)
    for plan in case.order.plans:
        pieces = [piece.length_mm for bar in plan.all_bars for piece in bar.pieces]
        wanted = sum(demand.length_mm for demand in demands.get(plan.item, ()))
        figure = (sum(pieces) - plan.laps_mm) / 1000.0
        words = f"runs of {wanted / 1000.0:.2f} m"
        low = (wanted - PIECE_MM - _PRINTED_MM * len(pieces)) / 1000.0
        high = (wanted + PIECE_MM * (1 + len(pieces))) / 1000.0
        yield Bounded(figure, low, high, "m", words, name_of(case, plan.item))


def stock_bought(case: Case) -> Iterator[Bounded]:
    """What is bought of each item against its pieces, and against a plain packing of them in one stock length."""
    choices = {choice.item: choice for need in needs_of(case) for choice in need.stock}
    for plan in case.order.plans:
        pieces = [piece.length_mm for bar in plan.bars for piece in bar.pieces]
        low = sum(pieces)
        figure = metres_bought(case, plan.item)
        high = _plain_packing(pieces, choices[plan.item], figure * 1000.0)
        words = f"pieces of {low / 1000.0:.2f} m, packed longest first in one stock length and a bar more"
        yield Bounded(figure, low / 1000.0, high / 1000.0, "m", words, name_of(case, plan.item))
        bars = sum(bar.stock_mm for bar in plan.bars) / 1000.0
        yield Bounded(figure, bars, bars, "m", f"bars of the cutting list, {bars:.2f} m", name_of(case, plan.item))


def _demands(case: Case) -> dict[str, list[RunDemand]]:
    found: dict[str, list[RunDemand]] = {}
    for need in needs_of(case):
        for demand in need.demands:
            found.setdefault(demand.item, []).append(demand)
    return found


def _plain_packing(pieces: Sequence[int], choice: StockChoice, bought_mm: float) -> float:
    """Length bought when pieces go, longest first, into the fullest bar that has room, and a bar more, since the search
    starts from the first bar that has room; the least over the stock lengths that every piece fits. With limited
    supplies nothing is bounded; bars come in whole packs. Where the bars that pieces fill end to end allow what is
    bought already, `bought_mm`, that is said and nothing packed: no packing needs fewer."""
    if choice.supply and any(limit is not None for limit in choice.supply):
        return inf
    kerf, trim = ceil(choice.kerf_mm), ceil(choice.trim_mm)
    longest = max(pieces, default=0)
    fits = [stock for stock in choice.lengths_mm if longest <= stock - trim]
    end_to_end = sum(pieces) + kerf * len(pieces)

    def most(stock: int, bars: int) -> float:
        return float(stock * choice.pack * ceil((1 + bars) / choice.pack))

    def allowed(stock: int) -> float:
        least = most(stock, ceil(end_to_end / (stock - trim + kerf)) if pieces else 0)
        return least if least >= bought_mm else most(stock, bars_of(pieces, stock - trim, kerf))

    return min(map(allowed, fits), default=inf)


def bars_of(pieces: Sequence[int], room: int, kerf: int) -> int:
    """Bars that pieces need, longest first, each into the fullest bar that still has room for it [mm]."""
    left: list[int] = []  # what is left of each bar, least first
    bars = 0
    for piece in sorted(pieces, reverse=True):
        at = bisect_left(left, piece)
        if at < len(left):
            rest = left.pop(at) - piece - kerf
        else:
            bars += 1
            rest = room - piece - kerf
        insort(left, rest)
    return bars


def plans_of(case: Case, kind: ItemKind) -> tuple[CutPlan, ...]:
    """Cutting plans of the items of a kind."""
    return tuple(plan for plan in case.order.plans if case.takeoff.items[plan.item].kind is kind)
