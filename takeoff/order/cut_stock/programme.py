"""From the quick plan to the proven one: root of the column generation, the whole programme over it, dives."""

from __future__ import annotations

from takeoff.order.cut_stock.columns import columns_of, generate, whole_bound
from takeoff.order.cut_stock.dive import Dive
from takeoff.order.cut_stock.greedy import shrunk
from takeoff.order.cut_stock.master import LinearMaster, WholeAnswer, solve_whole
from takeoff.order.cut_stock.problem import Answer, Packing, Pattern, Problem, bought_of, rank, to_answer

ROOT_ROUNDS = 3000
WHOLE_NODES = 200
DIVE_ROUNDS = 3000


def by_columns(problem: Problem, best: Packing, bound_mm: int) -> Answer:
    """Improve `best` until the bound is met or the limits of nodes and rounds are used up."""
    method = "greedy"
    master = LinearMaster(problem)
    for column in columns_of(best.bars):
        master.add(column)
    relaxed = generate(master, problem.demands, problem.supplies, ROOT_ROUNDS)
    bound_mm = max(bound_mm, whole_bound(problem, relaxed.bound_mm))
    whole = solve_whole(problem, master.columns, problem.demands, problem.supplies, WHOLE_NODES, bound_mm)
    trial = trimmed(problem, whole) if whole is not None else None
    if trial is not None and rank(problem, trial) < rank(problem, best):
        best, method = trial, "columns"
    best_mm = bought_of(problem, best)
    if best_mm > bound_mm and not best.missing:
        dive = Dive(master, best, best_mm, bound_mm, DIVE_ROUNDS)
        dive.run()
        if dive.best_mm < best_mm:
            best, method = dive.best, "dive"
    return to_answer(problem, best, bound_mm, method)


def trimmed(problem: Problem, whole: WholeAnswer) -> Packing | None:
    """The mix as bars that hold every piece once: what is covered twice is left out, bars shrink to what holds them.

    None when the mix does not cover the demands after all.
    """
    rest = list(problem.demands)
    bars: list[tuple[int, Pattern]] = []
    for (stock, pattern), times in whole.times:
        for _ in range(times):
            kept = tuple((kind, min(n, rest[kind])) for kind, n in pattern if rest[kind])
            for kind, n in kept:
                rest[kind] -= n
            if kept:
                bars.append((stock, kept))
    if any(rest):
        return None
    return shrunk(problem, bars, ())
