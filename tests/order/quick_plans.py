"""Quick plans as they are taken: each bar the shortest stock that holds it."""

from __future__ import annotations

from takeoff.order.cut_stock.greedy import _first_fit, shrunk
from takeoff.order.cut_stock.problem import Packing, Problem


def first_fit(problem: Problem, first: int, tightest: bool) -> Packing:
    """Longest piece first into the first open bar it fits, or the bar it leaves least of."""
    return shrunk(problem, *_first_fit(problem, first, tightest))
