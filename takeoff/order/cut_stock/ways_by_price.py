"""Ways and cutting of a long list together: what a linear programme says a piece more costs tells which ways save.

Comparing such ways by quick plans goes wrong by as much as there is to gain: those lie some 2 % over what is bought.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import reduce
from math import gcd

from takeoff.basics.superseding import look_up
from takeoff.order.cut_stock.choose import Chooser
from takeoff.order.cut_stock.greedy import fewer_bars
from takeoff.order.cut_stock.master import Column, SolverStoppedError, fits
from takeoff.order.cut_stock.problem import Answer, Problem, make_problem, to_answer
from takeoff.order.cut_stock.programme import Programme
from takeoff.order.cut_stock.solve import begun

# times that prices are asked
ROUNDS = 2


def cut_by_price(chooser: Chooser, chosen: list[int]) -> tuple[list[int], Answer]:
    """Which ways are taken in the end, of as many pieces as those chosen and no more joints too near, and the bars.

    Prices of the pieces as chosen say which ways would save; these are taken, and priced again. Of all such lists that
    of least bound is cut, the first of several. Where a quick plan buys no more than any ways demand none is compared.
    """
    problem = _problem(chooser, chosen)
    quick, bound_mm, met = begun(problem)
    if met and bound_mm <= least_mm(chooser):
        return chosen, to_answer(problem, fewer_bars(problem, quick), bound_mm, "greedy")
    best = latest = _relaxed(Programme(problem, quick, bound_mm))
    taken = chosen
    for _ in range(ROUNDS):
        prices = latest.prices(chooser.lengths_mm)
        other = chooser.cheaper(chosen, prices) if prices else chosen
        if other == chosen:
            break
        chosen, problem = other, _problem(chooser, other)
        quick, bound_mm, _ = begun(problem)
        latest = _relaxed(Programme(problem, quick, bound_mm, list(_bars_of(latest, problem))))
        if latest.bound_mm < best.bound_mm:
            best, taken = latest, chosen
    best.run()
    return taken, to_answer(best.problem, fewer_bars(best.problem, best.best), best.bound_mm, best.method)


def _relaxed(programme: Programme) -> Programme:
    """The programme with its linear one solved, unless the solver stops."""
    look_up()
    with suppress(SolverStoppedError):
        programme.relax()
    return programme


def least_mm(chooser: Chooser) -> int:
    """No ways of cutting buy less [mm]: the least that pieces and cuts of each run come to, in bars that they fill, in
    whole stock steps."""
    kerf, trim = chooser.kerf_mm, chooser.trim_mm
    need = sum([min([sum(way.pieces_mm) + kerf * len(way.pieces_mm) for way in ways]) for ways in chooser.ways])
    lengths = [entry.length_mm for entry in chooser.stock]
    least = min([-(-need * length // (length - trim + kerf)) for length in lengths if length > trim])
    step = reduce(gcd, lengths)
    return -(-least // step) * step


def _problem(chooser: Chooser, chosen: Sequence[int]) -> Problem:
    return make_problem(chooser.pieces_of(chosen), chooser.stock, chooser.kerf_mm, chooser.trim_mm)


def _bars_of(other: Programme, problem: Problem) -> Iterator[Column]:
    """Bars that another list was cut from, as far as this one has such pieces."""
    kinds = {mm: kind for kind, mm in enumerate(problem.lengths_mm)}
    numbers = {mm: stock for stock, mm in enumerate(problem.stock_mm)}
    for stock, pattern in other.master.columns:
        number = numbers.get(other.problem.stock_mm[stock])
        pieces = [(kinds.get(other.problem.lengths_mm[kind]), n) for kind, n in pattern]
        known = tuple([(kind, n) for kind, n in pieces if kind is not None])
        if (
            number is not None
            and len(known) == len(pieces)
            and fits((number, known), problem.demands, problem.supplies)
        ):
            yield number, known
