"""Column generation: patterns are made while they lower the linear programme, and the bound is proven in fractions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.order.cut_stock.bounds import next_bought
from takeoff.order.cut_stock.greedy import Sums
from takeoff.order.cut_stock.master import Column, LinearMaster, fits
from takeoff.order.cut_stock.pricing import Knapsack
from takeoff.order.cut_stock.problem import Problem

# prices are whole numbers of 1/2^20 mm: rounding them down costs a bound less than 0.001 mm on a thousand pieces
PRICE_SCALE = 1 << 20
# a pattern must be worth this much more than its bar to be taken in [mm]; the solver is no more exact
SLACK_MM = TOLERANCES.price_mm
# shares of columns nearer to a whole number than this are whole
WHOLE_SHARE = 1e-6


@record
class Priced:
    """Prices of the kinds at which no pattern is worth more than its bar, and the dearest pattern's price by stock
    length, in 1/PRICE_SCALE mm."""

    prices: tuple[int, ...]
    dearest: tuple[int, ...]


@record
class Relaxed:
    """The linear programme at its end: share of each known column, a proven bound [mm]."""

    shares: tuple[float, ...]
    bound_mm: Fraction
    complete: bool  # every piece is covered and no pattern could lower the cost
    rounds: int  # linear programmes solved
    priced: Priced | None = None  # where no pattern at all could lower the cost


def generate(
    master: LinearMaster,
    demands: Sequence[int],
    supplies: Sequence[int],
    rounds: int,
    cutoff_mm: float = float("inf"),
) -> Relaxed:
    """Solve the linear programme over all patterns, in at most `rounds`; stops once the bound is over `cutoff_mm`.

    Every pattern is made from whole-number prices, and the bound is taken from the same prices (Farley, 1990), so a
    solver that ends early or wrongly lowers the bound but never makes it false.
    """
    problem = master.problem
    best = Fraction(0)
    shares, complete = [0.0], False
    priced: Priced | None = None
    used = 0
    while used < rounds:
        used += 1
        shares, duals, limits = master.solve()
        trial = tuple(max(0, int(dual * PRICE_SCALE)) for dual in duals)
        charges = _charges(problem, limits)
        sack = Knapsack(problem.widths, trial, demands, max(problem.rooms))
        values = [sack.value(room) for room in problem.rooms]
        bound = safe_bound(problem, trial, demands, supplies, values)
        best = max(best, bound)
        worth = [
            length + charge + master.bar_mm + SLACK_MM for length, charge in zip(problem.stock_mm, charges, strict=True)
        ]
        fresh = [
            (stock, sack.pattern(problem.rooms[stock]))
            for stock, value in enumerate(values)
            if supplies[stock] > 0 and value > worth[stock] * PRICE_SCALE
        ]
        added = [column for column in fresh if master.add(column)]
        if not added:
            complete = master.missing() < 1e-6
            priced = None if fresh else Priced(trial, tuple(values))
            break
        if best > cutoff_mm:
            break
    return Relaxed(tuple(shares), best, complete, used, priced)


def less_bars(
    master: LinearMaster,
    relaxed: Relaxed,
    fixed: Mapping[Column, int],
    rest: Sequence[int],
    supplies: Sequence[int],
    banned: frozenset[Column],
) -> Relaxed | None:
    """The linear programme's end once so many bars of some columns are fixed, which leave `rest` and `supplies`: as it
    was less these bars, at the same prices, where it had that many and all of its other columns may still be used.
    None where it is to be solved anew."""
    if relaxed.priced is None:
        return None
    columns = master.columns
    shares = [share - fixed.get(column, 0) for share, column in zip(relaxed.shares, columns, strict=False)]
    for share, column in zip(shares, columns, strict=False):
        if share < -WHOLE_SHARE:
            return None
        if share > WHOLE_SHARE and (column in banned or not fits(column, rest, supplies)):
            return None
    bound = safe_bound(master.problem, relaxed.priced.prices, rest, supplies, relaxed.priced.dearest)
    return Relaxed(tuple(shares), bound, relaxed.complete, 1, relaxed.priced)


def _charges(problem: Problem, limits: Sequence[float]) -> list[float]:
    """What a bar of a limited stock length costs on top of its length [mm]: its row's price, which is 0 or less."""
    charges = [0.0] * len(problem.stock_mm)
    numbers = [stock for stock, flag in enumerate(problem.limited) if flag]
    for stock, dual in zip(numbers, limits, strict=True):
        charges[stock] = max(0.0, -dual)
    return charges


def safe_bound(
    problem: Problem,
    prices: Sequence[int],
    demands: Sequence[int],
    supplies: Sequence[int],
    values: Sequence[int],
) -> Fraction:
    """A length [mm] that no plan can go below, from prices and the dearest pattern of each stock length, exactly.

    Prices are lowered until no pattern of an unlimited length is worth more than that length; a limited length may be
    worth more, by an excess that is then paid once for each bar in supply.
    """
    total = sum([price * n for price, n in zip(prices, demands, strict=True)])
    least, worth = (
        1,
        1,
    )  # the scale as a fraction of whole numbers: fractions compared one by one cost more than the rest
    for stock, value in enumerate(values):
        if value and not problem.limited[stock]:
            length = problem.stock_mm[stock] * PRICE_SCALE
            if length * worth < least * value:
                least, worth = length, value
    scale = Fraction(least, worth)
    bound = total * scale / PRICE_SCALE
    for stock, value in enumerate(values):
        if problem.limited[stock]:
            bound -= supplies[stock] * max(Fraction(0), value * scale / PRICE_SCALE - problem.stock_mm[stock])
    return max(Fraction(0), bound)


def whole_bound(problem: Problem, bound: Fraction) -> int:
    """The least length that stock adds up to at or above a fractional bound [mm]."""
    return next_bought(problem, -(-bound.numerator // bound.denominator))


def columns_of(bars: Sequence[tuple[int, tuple[tuple[int, int], ...]]]) -> list[Column]:
    """The distinct columns of a packing, in order of first use."""
    return list(dict.fromkeys(bars))


def full_bars(problem: Problem) -> list[Column]:
    """For each kind the longest and the shortest stock as full as other pieces make it beside one: bars to begin with,
    of which a linear programme needs fewer rounds of pricing."""
    sums = Sums(max(problem.rooms), list(zip(range(len(problem.widths)), problem.widths, problem.demands, strict=True)))
    found: list[Column] = []
    for kind, width in enumerate(problem.widths):
        for stock in dict.fromkeys((0, len(problem.rooms) - 1)):
            room = problem.rooms[stock] - width
            if room >= 0:
                counts = sums.counts(sums.most(room))
                counts[kind] = counts.get(kind, 0) + 1
                if counts[kind] <= problem.demands[kind]:
                    found.append((stock, tuple(sorted(counts.items()))))
    return found
