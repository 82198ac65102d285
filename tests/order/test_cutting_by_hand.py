"""The parts of the cutting by hand: problems, ranks, bounds, costs and prices, and what is said of joints in line."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from typing import Any

import pytest

from takeoff.basics.errors import JobError, TakeoffError
from takeoff.model.findings import Finding, Severity
from takeoff.model.runs import Joint, RunDemand
from takeoff.order.cut_stock.bounds import fill_limits, length_for_longest, material_bound, next_bought
from takeoff.order.cut_stock.columns import PRICE_SCALE, safe_bound, whole_bound
from takeoff.order.cut_stock.in_line import joints_in_line
from takeoff.order.cut_stock.master import column_costs
from takeoff.order.cut_stock.pricing import Knapsack
from takeoff.order.cut_stock.problem import (
    Answer,
    Bar,
    Packing,
    Problem,
    Stock,
    bought_of,
    make_problem,
    rank,
    to_answer,
)
from takeoff.order.cut_stock.programme import trimmed

FREE = (False, False)
# two pieces of 3 m and one of 2 m out of 6 and 4.8 m
PLAIN = Problem((3000, 2000), (2, 1), (6000, 4800), (3, 3), FREE, 0)


def test_a_problem_by_hand() -> None:
    """6 of 4.8 m in two lots are as good as any number for three pieces; 1 m less its docking holds none of them, 2.01 m
    just one."""
    stock = [Stock(6000), Stock(4800, 5), Stock(1000), Stock(4800, 1), Stock(2010, 2), Stock(2009), Stock(5400, 0)]
    found = make_problem({2000: 1, 3000: 2, 2500: 0}, stock, 3, 10)
    assert found == Problem((3000, 2000), (2, 1), (6000, 4800, 2010), (3, 3, 2), (False, False, True), 3, 10)
    assert (found.widths, found.rooms) == ((3003, 2003), (5993, 4793, 2003))
    assert (found.step_mm, found.count) == (30, 3)
    assert make_problem({2000: 1}, [Stock(6000, 2), Stock(6000)], 0).limited == (False,)
    assert make_problem({2000: 2}, [Stock(6000, 2)], 0).limited == (False,)
    assert make_problem({2000: 2}, [Stock(6000, 1)], 0).limited == (True,)


def test_every_fault_of_a_problem_is_told() -> None:
    with pytest.raises(JobError) as told:
        make_problem({0: 1, 100: -1, 7000: 1, 6000: 1}, [Stock(0), Stock(6000, -1), Stock(6000), Stock(1, 0)], -1)
    assert told.value.faults == (
        "a piece of 0 mm: a length is at least 1 mm.",
        "-1 pieces of 100 mm: a count is at least 0.",
        "stock of 0 mm, None of them: lengths are at least 1 mm, counts 0.",
        "stock of 6000 mm, -1 of them: lengths are at least 1 mm, counts 0.",
        "a piece of 7000 mm is longer than the longest stock, 6000 mm: allow joints or longer stock.",
        "a kerf of -1 mm: a kerf is at least 0.",
    )
    with pytest.raises(JobError) as told:
        make_problem({1: 1}, [Stock(6000)], 0, -1)
    assert told.value.faults == ("a trim of -1 mm: a trim is at least 0.",)
    with pytest.raises(JobError) as told:
        make_problem({1: 1}, [], 0, 5)
    assert told.value.faults == (
        "a piece of 1 mm is longer than the longest stock, 0 mm: allow joints or longer stock.",
    )


def test_what_two_plans_are_compared_by() -> None:
    """A bar of 6 m that two pieces fill takes one cut, one of 4.8 m with 2 m in it another."""
    packing = Packing(((0, ((0, 2),)), (1, ((1, 1),))))
    assert (rank(PLAIN, packing), bought_of(PLAIN, packing)) == ((0, 10800, 2, 2), 10800)
    twice = Packing(((0, ((0, 2),)), (0, ((0, 2),)), (0, ((0, 1), (1, 1)))), ((0, 2), (1, 1)))
    assert rank(PLAIN, twice) == (8000, 18000, 3, 4)


@pytest.mark.parametrize(
    ("packing", "said"),
    [
        (Packing(((1, ((0, 2),)), (0, ((1, 1),)))), "a bar of 4800 mm holds more than its length."),
        (Packing(((0, ((0, 2),)),)), "the cut plan does not hold every piece exactly once."),
        (Packing(((0, ((0, 2),)), (0, ((1, 2),)))), "the cut plan does not hold every piece exactly once."),
        (Packing(((0, ((0, 1),)), (0, ((0, 1),)), (0, ((1, 1),)))), "the cut plan takes more bars than the supply has."),
        (Packing(((0, ((0, 2),)), (1, ((1, 1),)))), "the bought length 10800 mm is below its proven bound 10801 mm."),
    ],
)  # fmt: skip
def test_a_plan_that_is_none_is_our_own_fault(packing: Packing, said: str) -> None:
    few = Problem((3000, 2000), (2, 1), (6000, 4800), (2, 3), (True, False), 0)
    with pytest.raises(TakeoffError) as told:
        to_answer(few, packing, 10801, "greedy")
    assert told.value.faults == (said,)


def test_a_plan_as_bars() -> None:
    packing = Packing(((1, ((1, 1),)), (0, ((0, 2),))))
    bars = (Bar(6000, (3000, 3000)), Bar(4800, (2000,)))
    answer = to_answer(PLAIN, packing, 10800, "dive")
    assert answer == Answer(bars, 10800, (), "dive")
    assert (answer.bought_mm, answer.proven, Answer(bars, 9600, (), "dive").proven) == (10800, True, False)
    missing = to_answer(PLAIN, Packing(((0, ((0, 2),)),), ((1, 1),)), 10800, "dive")
    assert missing == Answer(bars[:1], 0, (2000,), "dive")
    assert not missing.proven


def test_what_columns_cost_in_steps() -> None:
    """Steps of 1.2 m; a bar costs 0.4 / 4 of one more, its last cut a quarter of that where it is not filled."""
    columns = [(0, ((0, 2),)), (0, ((0, 1), (1, 1))), (1, ((1, 2),))]
    assert column_costs(PLAIN, columns) == pytest.approx([5.1, 5.125, 4.125])


@pytest.mark.parametrize(
    ("values", "limited", "bound"),
    [
        ((6000.0, 4800.0), FREE, 8000),
        ((5000.0, 4000.0), FREE, 8000),  # prices are not raised
        ((12000.0, 4800.0), FREE, 4000),  # a pattern worth twice its bar halves them
        ((6000.0, 9600.0), FREE, 4000),
        ((9000.0, 9600.0), FREE, 4000),  # the worse of two
        ((6000.0, 5000.0), (False, True), 7400),  # three limited bars pay 200 each instead
        ((6000.0, 4700.0), (False, True), 8000),
        ((12000.0, 10000.0), (False, True), 3400),  # 5,000 of 4,800 after halving
        ((6000.0, 9000.0), (False, True), 0),
        ((0.0, 0.0), FREE, 8000),
    ],
)
def test_a_bound_from_prices(values: tuple[float, ...], limited: tuple[bool, ...], bound: int) -> None:
    """At a price of a millimetre for a millimetre the three pieces are worth 8,000 mm."""
    problem = Problem((3000, 2000), (2, 1), (6000, 4800), (3, 3), limited, 0)
    prices = [3000 * PRICE_SCALE, 2000 * PRICE_SCALE]
    found = safe_bound(
        problem, prices, problem.demands, problem.supplies, [int(value * PRICE_SCALE) for value in values]
    )
    assert found == bound


def test_lengths_that_stock_adds_up_to() -> None:
    """Three of 6 and of 4.8 m: 9.6, 10.8, 12 and so on up to 32.4 m."""
    wanted = {0: 0, 1: 4800, 4800: 4800, 4801: 6000, 6001: 9600, 9601: 10800, 10801: 12000, 12001: 14400, 32400: 32400}
    assert {least: next_bought(PLAIN, least) for least in wanted} == wanted
    assert next_bought(PLAIN, 32401) == 32401
    assert (whole_bound(PLAIN, Fraction(19201, 2)), whole_bound(PLAIN, Fraction(9600))) == (10800, 9600)


def test_what_the_material_asks() -> None:
    """8 m of pieces ask for 9.6 m. With a cut of 3 mm 6 m hold 3 and 2 m, 5006 of 6003, and 4.8 m one of 3 m, 3003 of 4803:
    8009 x 6000 / 5006 = 9599.3, so 9.6 m."""
    assert (fill_limits(PLAIN, PLAIN.demands), material_bound(PLAIN)) == ((6000, 3000), 9600)
    cut = Problem((3000, 2000), (2, 1), (6000, 4800), (3, 3), FREE, 3)
    assert (fill_limits(cut, cut.demands), material_bound(cut)) == ((5006, 3003), 9600)
    assert (material_bound(PLAIN, (0, 0)), material_bound(PLAIN, (0, 1)), material_bound(PLAIN, (2, 0))) == (
        0,
        4800,
        6000,
    )
    # pieces over half of the longest bar have each one of their own, the shortest that holds it
    assert (length_for_longest(PLAIN, (2, 1)), length_for_longest(cut, (2, 1)), length_for_longest(cut, (0, 1))) == (
        0,
        9600,
        0,
    )
    long = Problem((5000, 3001), (1, 2), (6000, 4800), (3, 3), FREE, 0)
    assert length_for_longest(long, long.demands) == 6000 + 2 * 4800
    exact = Problem((4800,), (1,), (6000, 4800), (3, 3), FREE, 0)
    assert length_for_longest(exact, (1,)) == 4800


def test_the_dearest_pattern_of_every_room_by_trying_all() -> None:
    widths, prices, counts = (3, 4, 5, 7), (4, 5, 7, 0), (1, 5, 2, 9)
    sack = Knapsack(widths, prices, counts, 23)
    for room in range(24):
        every = [
            taken
            for taken in product(*(range(n + 1) for n in counts[:3]))
            if sum(n * w for n, w in zip(taken, widths, strict=False)) <= room
        ]
        dearest = max(sum(n * p for n, p in zip(taken, prices, strict=False)) for taken in every)
        pattern = sack.pattern(room)
        assert sack.value(room) == dearest == sum(prices[kind] * n for kind, n in pattern)
        assert sum(widths[kind] * n for kind, n in pattern) <= room
        assert all(n <= counts[kind] for kind, n in pattern)
    assert Knapsack((30,), (5,), (2,), 23).value(23) == 0


def test_a_mix_that_covers_more_than_is_wanted_is_trimmed() -> None:
    """A bar that holds nothing more is left out, and one shrinks to what holds its pieces."""
    both, short = (0, ((0, 2),)), (0, ((0, 1), (1, 1)))
    found = trimmed(PLAIN, [(both, 2), (short, 1)])
    assert found is not None
    assert (sorted(found.bars), found.missing) == ([(0, ((0, 2),)), (1, ((1, 1),))], ())
    assert trimmed(PLAIN, [(both, 1)]) is None


def demand(name: str, **more: Any) -> RunDemand:
    parts: dict[str, Any] = {"group": "slope P1", "tell": True, "stagger_mm": 900.0} | more
    return RunDemand(name, "rail", 9000.0, **parts)


def test_what_is_said_of_joints_in_line() -> None:
    runs = [demand("a"), demand("b", offset_mm=600.0, stagger_mm=1200.0), demand("c", tell=False),
            demand("d", group="slope P0", spare_joints=1, rows_apart=2, joint_on="stud"), demand("e", group="slope P0")]  # fmt: skip
    joints = [Joint("a", 1, 6000.0, 0.0, False), Joint("b", 2, 5400.4, 0.0, False), Joint("a", 1, 3000.0, 0.0),
              Joint("c", 3, 1.0, 0.0, False), Joint("d", 1, 100.0, 0.0, False), Joint("e", 2, 200.0, 0.0, False)]  # fmt: skip
    apart, close = (
        "Name longer stock, or closer supports.",
        ("Where they must not, a third piece goes into every other row: `settings: {purlin_joints: staggered}`."),
    )
    assert joints_in_line(runs, joints) == (
        Finding("joints-in-line", Severity.WARN, "slope P0: joints of 2 rows stand less than 900 mm from those of a row beside,"
                " in less than 3 rows: d to e.", apart, ("d", "e", "slope P0")),
        Finding("joints-in-line", Severity.NOTE, "slope P1: joints of 2 rows stand on one rafter: a to b.", close, ("a", "b", "slope P1")),
    )  # fmt: skip
    other = [demand("a"), demand("b", stagger_mm=1200.0)]
    (found,) = joints_in_line(other, joints[:2])
    assert found.text == "slope P1: joints of 2 rows stand less than 1200 mm from those of a row beside: a to b."
