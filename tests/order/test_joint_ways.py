"""Ways to cut one run, and the one of several equal plans that is taken: by hand."""

from __future__ import annotations

from takeoff.model.runs import RunDemand
from takeoff.order.cut_stock.joints import ways_to_cut
from takeoff.order.cut_stock.problem import Stock, make_problem
from takeoff.order.cut_stock.search import search


def test_equal_pieces_where_a_whole_length_would_leave_too_short_a_rest() -> None:
    """10 m from lengths of 6 m, no piece under 4.6 m: 6 + 4 is refused, nor is 4.5 + 5.5 allowed; two halves are."""
    (way,) = ways_to_cut(RunDemand("R", "x", 10000.0, splits_mm=None, least_mm=4600.0), (6000,))
    assert (way.pieces_mm, way.joints_mm) == ((5000, 5000), (5000.0,))


def test_of_plans_that_buy_the_same_the_offcut_stays_in_one_length() -> None:
    """3 + 3 and 2.5 m from two lengths of 6 m leave 3.5 m; 3 + 2.5 and 3 would leave 0.5 and 3 m."""
    problem = make_problem({3000: 2, 2500: 1}, [Stock(6000)], 0)
    found = search(problem, problem.demands, problem.supplies, 10**6, 0, 1000)
    assert found.packing is not None
    assert found.packing.bars == ((0, ((0, 2),)), (0, ((1, 1),)))
