"""The optimiser: quick plans, an exact search for short lists, then column generation, whole programme and dives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from takeoff.model.memory import recalled_plain
from takeoff.order.cut_stock.bounds import material_bound
from takeoff.order.cut_stock.greedy import best_greedy, fewer_bars, fullest_bars
from takeoff.order.cut_stock.problem import (
    Answer,
    Packing,
    Problem,
    Stock,
    bought_of,
    make_problem,
    to_answer,
)
from takeoff.order.cut_stock.search import search

SEARCH_PIECES = 40
SEARCH_NODES = 3000
# of more different lengths, in a long list, all quick plans together take longer than the linear programme
FEW_KINDS = 4


def cut_least(pieces_mm: Mapping[int, int], stock: Iterable[Stock], kerf_mm: int = 0, trim_mm: int = 0) -> Answer:
    """Cut pieces {length_mm: count} from the least bought length of stock [mm]; then fewest bars, then cuts.

    `trim_mm` is docked off each bar before a piece is cut from it, and bought all the same.
    Never worse than first fit decreasing; the bound is proven; the same input gives the same bars every time.
    Raises JobError for impossible input (see `make_problem`).
    """
    return cut_problem(make_problem(pieces_mm, stock, kerf_mm, trim_mm))


def cut_problem(problem: Problem) -> Answer:
    """As `cut_least`, for a problem already made."""
    if not problem.count:
        return Answer((), 0, (), "greedy")
    return recalled_plain("cutting problem", (problem,), lambda: _answer(problem))


def _answer(problem: Problem) -> Answer:
    best, bound_mm, method = _solved(problem)
    return to_answer(problem, fewer_bars(problem, best), bound_mm, method)


def _solved(problem: Problem) -> tuple[Packing, int, str]:
    """The plan, its proven bound [mm] and what found it; the solver is not loaded where it is not needed."""
    best, bound_mm, met = begun(problem)
    if met:
        return best, bound_mm, "greedy"
    if problem.count <= SEARCH_PIECES and not best.missing:
        best_mm = bought_of(problem, best)
        found = search(problem, problem.demands, problem.supplies, best_mm, bound_mm, SEARCH_NODES)
        if found.packing is not None:
            best = found.packing
        if found.finished:
            return best, bought_of(problem, best), "search"
    from takeoff.order.cut_stock.programme import Programme

    programme = Programme(problem, best, bound_mm)
    programme.run()
    return programme.best, programme.bound_mm, programme.method


def begun(problem: Problem) -> tuple[Packing, int, bool]:
    """A quick plan, what the material demands [mm], and whether that is all it buys.

    The plan is the best of all quick ones, of long lists of many lengths that of fullest bars alone.
    """
    long = problem.count > SEARCH_PIECES and len(problem.demands) > FEW_KINDS
    quick = fullest_bars(problem) if long else best_greedy(problem)
    bound_mm = material_bound(problem)
    return quick, bound_mm, not quick.missing and bought_of(problem, quick) <= bound_mm
