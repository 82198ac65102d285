"""Which two of many go together, so that the sum of what pairs are worth is greatest: a whole-number programme."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.order.cut_stock.master import quiet_solver

MOST_EDGES = 30_000  # over this only the best partners of each are looked at
BEST = 40

Edge = tuple[int, int]


def best_pairs(worth: Mapping[Edge, float]) -> tuple[tuple[Edge, ...], bool]:
    """The pairs (a, b) of greatest total worth in which no one stands twice, sorted, and whether that is proven.

    `worth`: of every pair that is allowed, above 0. Solved by HiGHS with one thread: the same pairs every time.
    """
    edges, all_there = _most_worth(worth)
    if not edges:
        return (), True
    import highspy
    import numpy as np

    solver = quiet_solver()
    nodes = {node: row for row, node in enumerate(sorted({node for edge in edges for node in edge}))}
    none = np.array([], dtype=np.int32)
    for _ in nodes:
        solver.addRow(-float("inf"), 1.0, 0, none, np.array([]))
    for edge in edges:
        rows = np.array([nodes[node] for node in edge], dtype=np.int32)
        solver.addCol(-worth[edge], 0.0, 1.0, 2, rows, np.array([1.0, 1.0]))
    count = len(edges)
    kinds = np.array([highspy.HighsVarType.kInteger] * count)
    solver.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
    for name, value in (("mip_rel_gap", 0.0), ("mip_abs_gap", 1e-7)):
        solver.setOptionValue(name, value)
    solver.run()
    if solver.getInfo().primal_solution_status != 2:
        return (), False
    values = list(solver.getSolution().col_value)
    chosen = tuple(edge for edge, value in zip(edges, values, strict=True) if value > 0.5)
    proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return _each_once(chosen), proven and all_there


def _most_worth(worth: Mapping[Edge, float]) -> tuple[list[Edge], bool]:
    """The pairs to look at, sorted; of too many the best of each one."""
    if len(worth) <= MOST_EDGES:
        return sorted(worth), True
    of: dict[int, list[Edge]] = {}
    for edge in worth:
        for node in edge:
            of.setdefault(node, []).append(edge)
    kept = {edge for edges in of.values() for edge in sorted(edges, key=lambda e: (-worth[e], e))[:BEST]}
    return sorted(kept), False


def _each_once(chosen: tuple[Edge, ...]) -> tuple[Edge, ...]:
    """What the solver chose, counted again: a pair whose half is taken already is left out."""
    taken: set[int] = set()
    kept = []
    for edge in chosen:
        if not taken & set(edge):
            taken |= set(edge)
            kept.append(edge)
    return tuple(kept)
