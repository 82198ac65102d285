"""Bounds that need no solver: what the material alone demands, and which bought lengths exist at all."""

from __future__ import annotations

from takeoff.order.cut_stock.greedy import Sums
from takeoff.order.cut_stock.problem import Problem


def material_bound(problem: Problem, rest: tuple[int, ...] | None = None) -> int:
    """No plan buys less than this [mm]: the widths must fit into what bars can be filled to.

    A bar with room R is filled to the largest sum of widths not over R, so a mm of width costs at least
    min(L / fill); the total is rounded up to a length that stock adds up to. `rest` replaces the demands.
    """
    demands = problem.demands if rest is None else rest
    need = sum(width * n for width, n in zip(problem.widths, demands, strict=True))
    if not need:
        return 0
    fills = fill_limits(problem, demands)
    pairs = [(length, fill) for length, fill in zip(problem.stock_mm, fills, strict=True) if fill]
    least = min(-(-need * length // fill) for length, fill in pairs)
    return next_bought(problem, max(least, length_for_longest(problem, demands)))


def fill_limits(problem: Problem, demands: tuple[int, ...]) -> tuple[int, ...]:
    """The largest sum of widths that goes into each stock length [mm]."""
    pieces = [(k, width, n) for k, (width, n) in enumerate(zip(problem.widths, demands, strict=True)) if n]
    sums = Sums(max(problem.rooms), pieces)
    return tuple(sums.most(room) for room in problem.rooms)


def length_for_longest(problem: Problem, demands: tuple[int, ...]) -> int:
    """Bars that are certain [mm]: pieces over half the longest room each need a bar of their own that holds them."""
    half = max(problem.rooms)
    total = 0
    for width, n in zip(problem.widths, demands, strict=True):
        if n and 2 * width > half:
            total += n * min(
                length for length, room in zip(problem.stock_mm, problem.rooms, strict=True) if room >= width
            )
    return total


def next_bought(problem: Problem, least_mm: int) -> int:
    """The least sum of stock lengths that is `least_mm` or more, within the supply [mm].

    Returns `least_mm` where the supply cannot add up to it: then no complete plan exists.
    """
    step = problem.step_mm
    want = -(-least_mm // step)
    top = want + max(problem.stock_mm) // step
    sums = Sums(top, [(s, length // step, problem.supplies[s]) for s, length in enumerate(problem.stock_mm)])
    return sums.least(want) * step if sums.most(top) >= want else least_mm
