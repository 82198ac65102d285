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


def test_a_rest_that_prints_as_a_whole_length_is_one() -> None:
    """10,000.4 from 6 m, rows staggered by 2 m: 6000 + 4000.4 either way round, 5001 + 4999.4, and 4000 + 6000.4, which
    prints as 6 m and is cut as 6 m."""
    run = RunDemand("R", "x", 10000.4, splits_mm=None, stagger_mm=2000.0)
    ways = [(6000, 4001), (4001, 6000), (5001, 5000), (4000, 6000)]
    assert [way.pieces_mm for way in ways_to_cut(run, (6000,))] == ways
    over = RunDemand("R", "x", 10000.6, splits_mm=None, stagger_mm=2000.0)
    assert [way.pieces_mm for way in ways_to_cut(over, (6000,))] == [*ways[:2], (5001, 5000)]
