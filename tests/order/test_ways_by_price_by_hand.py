"""Ways chosen by what a piece more costs, and by pieces and joints alone: by hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from takeoff.model.runs import Objective, RunDemand, StockChoice
from takeoff.order.cut_stock import runs as of_runs
from takeoff.order.cut_stock import ways_by_price
from takeoff.order.cut_stock.choose import Chooser
from takeoff.order.cut_stock.columns import PRICE_SCALE, full_bars
from takeoff.order.cut_stock.greedy import fullest_bars
from takeoff.order.cut_stock.joints import Way
from takeoff.order.cut_stock.master import SolverStoppedError
from takeoff.order.cut_stock.problem import Problem, Stock
from takeoff.order.cut_stock.programme import Programme
from takeoff.order.cut_stock.runs import cut_runs
from takeoff.order.cut_stock.ways_by_price import _bars_of, cut_by_price

HUNDRED = [Stock(100)]


def way(*pieces: int, joints: tuple[float, ...] = ()) -> Way:
    return Way(joints, (), pieces)


def chooser(
    ways: Sequence[list[Way]], stock: Sequence[Stock] = HUNDRED, apart: bool = False, stagger: float = 9.0
) -> Chooser:
    runs = [RunDemand(f"R{n}", "x", 100.0, row=n, stagger_mm=stagger) for n in range(len(ways))]
    return Chooser(runs, ways, stock, 0, apart=apart)


def test_pieces_and_joints_alone() -> None:
    """Two pieces come before joints in line, and of two pieces those clear of the row beside; no length is asked."""
    ways = [
        [way(50, 50, joints=(50.0,)), way(60, 40, joints=(60.0,))],
        [way(50, 50, joints=(50.0,)), way(30, 40, 30, joints=(30.0, 70.0)), way(41, 59, joints=(41.0,))],
        [way(50, 50, joints=(50.0,))],
    ]
    one = chooser(ways)
    assert one.settled() == [0, 2, 0]
    assert (one._known, one.budget) == ({}, 20000)
    # 41 in the middle gone: a third piece is taken only to keep joints apart
    fewer = [ways[0][:1], ways[1][:2], ways[2]]
    assert chooser(fewer).settled() == [0, 0, 0]
    assert chooser(fewer, apart=True).settled() == [0, 1, 0]
    assert chooser([[way(9)]] * 3).settled() == [0, 0, 0]
    assert chooser(fewer).pieces_of([0, 1, 0]) == {50: 4, 30: 2, 40: 1}


def test_what_row_after_row_leaves_in_line_is_moved_clear() -> None:
    """The first row takes 50, half of a bar; the second has 45 and 55 alone, the third 40 and 60: only the first can move."""
    ways = [
        [way(50, 50, joints=(50.0,)), way(65, 35, joints=(65.0,))],
        [way(45, 55, joints=(45.0,))],
        [way(60, 40, joints=(60.0,))],
    ]
    one = chooser(ways)
    assert one._row_by_row(one._alone) == [0, 0, 0]
    assert one.settled() == [1, 0, 0]


def test_half_of_the_runs_that_would_save_change() -> None:
    prices = {60: 60, 40: 40, 50: 45, 30: 1, 70: 99, 20: 1}
    # 100 or 90; one run saves 69; one nothing; one more pieces
    alike = [way(60, 40), way(50, 50)]
    ways = [
        alike,
        alike,
        [way(70, 30), way(60, 30), way(30, 30)],
        [way(50, 50), way(60, 40)],
        [way(70, 30), way(30, 30, 20)],
    ]
    one = chooser(ways, stagger=0.0)
    assert one.cheaper([0, 0, 0, 0, 0], prices) == [1, 0, 2, 0, 0]  # two of three
    assert one.cheaper([0, 0, 2, 0, 0], prices) == [1, 0, 2, 0, 0]  # one of two
    assert one.cheaper([1, 1, 2, 0, 0], prices) == [1, 1, 2, 0, 0]
    assert one._saved([100, 90], [0, 0, 0, 0, 0], 0) == (-10, 1)
    assert one._saved([90, 100], [0, 0, 0, 0, 0], 0) == (0, 0)


def test_what_saves_takes_no_joint_nearer() -> None:
    """Beside a joint at 50 the way of 30 + 70 would save most, 48 + 52 stands too near; once both would move to 30 one does."""
    ways = [
        [way(60, 40, joints=(60.0,)), way(48, 52, joints=(48.0,)), way(30, 70, joints=(30.0,))],
        [way(50, 50, joints=(50.0,)), way(30, 70, joints=(30.0,))],
    ]
    one = chooser(ways)
    assert one.cheaper([0, 0], {60: 60, 40: 40, 48: 1, 52: 1, 30: 40, 70: 50, 50: 1}) == [2, 0]
    prices = {60: 60, 40: 40, 48: 90, 52: 90, 30: 20, 70: 20, 50: 40}
    assert one.cheaper([0, 0], prices) == [2, 0]
    assert one.cheaper([2, 0], prices) == [2, 0]


def test_bars_to_begin_with() -> None:
    """3 + 3 m, 3 + 2 m, 2 + 2 + 2 m, and 3 + 2 m again, out of 6 and 5 m."""
    plain = Problem((3000, 2000), (2, 3), (6000, 5000), (5, 5), (False, False), 0)
    assert full_bars(plain) == [(0, ((0, 2),)), (1, ((0, 1), (1, 1))), (0, ((1, 3),)), (1, ((0, 1), (1, 1)))]
    # nothing goes in beside 5.5 m or into 5 m with it; of three of 2 m there are two
    tight = Problem((5500, 2000), (1, 2), (6000, 5000), (5, 5), (False, False), 0)
    assert full_bars(tight) == [(0, ((0, 1),)), (1, ((1, 2),))]
    one = Problem((2000,), (2,), (6000,), (5,), (False,), 0)
    assert full_bars(one) == []


def test_what_a_piece_more_costs() -> None:
    """Four of 3 m and six of 2 m fill bars of 6 m: a mm for a mm. 2.5 m goes in beside 3 m, 3.5 m beside 2 m, 6 m alone;
    less the 6 mm that a bar is charged, so that of as much fewer bars come out."""
    problem = Problem((3000, 2000), (4, 6), (6000,), (9,), (False,), 0)
    one = Programme(problem, fullest_bars(problem), 0)
    assert one.prices([2000]) == {}  # not solved yet
    one.relax()
    found = {mm: price / PRICE_SCALE for mm, price in one.prices([6000, 3500, 3000, 2500, 2000, 1000]).items()}
    wanted = {6000: 6000.0, 3500: 4000.0, 3000: 3000.0, 2500: 3000.0, 2000: 2000.0, 1000: 1000.0}
    assert found == {mm: pytest.approx(price, abs=7.0) for mm, price in wanted.items()}
    # by the kerf wider: 1,010 mm and 10 leave 4,990 of a room of 6,010, two of 2 m
    sawn = Problem((2990, 1990), (4, 6), (6000,), (9,), (False,), 10)
    two = Programme(sawn, fullest_bars(sawn), 0)
    two.relax()
    assert two.prices([1010])[1010] / PRICE_SCALE == pytest.approx(2000.0, abs=7.0)
    rounds = two._at_root
    two.relax()
    assert two._at_root is rounds  # solved once


WAYS = [[way(70, 50), way(60, 60)], [way(40, 40)]]


def test_the_way_that_saves_is_taken() -> None:
    """70, 50 + 40 and 40 out of 100 are 300; where 40 costs 50, for two go into a bar, 60 costs the other 50, and 60 + 60
    100 beside 150 for 70 + 50: 60 + 40 twice are 200, all that the material demands."""
    one = chooser(WAYS)
    taken, answer = cut_by_price(one, [0, 0])
    assert (taken, answer.bought_mm, answer.bound_mm) == ([1, 0], 200, 200)
    assert [bar.pieces_mm for bar in answer.bars] == [(60, 40), (60, 40)]


def test_what_any_ways_demand() -> None:
    """120 or 110 mm and 80: 190 at least, two of 100; with a cut of 4 mm for each of four pieces 206, of which 104 go into a
    bar of 100: 198.1, two still; 97 are left of each docked bar with its cut: 212.4, three."""
    ways = [[way(70, 50), way(60, 50)], [way(40, 40)]]
    runs = [RunDemand(f"R{n}", "x", 100.0, row=n) for n in range(2)]
    for kerf, trim, least in ((0, 0, 200), (4, 0, 200), (4, 7, 300), (8, 0, 300)):
        assert ways_by_price.least_mm(Chooser(runs, ways, HUNDRED, kerf, trim_mm=trim)) == least
    # a length that docking takes up holds nothing
    docked = Chooser(runs, ways, [Stock(100), Stock(7)], 0, trim_mm=7)
    assert ways_by_price.least_mm(docked) == 205
    # 190 mm of lengths of 90 and 60, thirties, and 84 and 60: twelves
    assert ways_by_price.least_mm(Chooser(runs, ways, [Stock(90), Stock(60)], 0)) == 210
    assert ways_by_price.least_mm(Chooser(runs, ways, [Stock(84), Stock(60)], 0)) == 192


def test_nothing_is_compared_where_the_bound_is_met(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways_by_price, "Programme", None)
    taken, answer = cut_by_price(chooser(WAYS), [1, 0])
    assert (taken, answer.bought_mm, answer.method) == ([1, 0], 200, "greedy")


def test_what_does_not_save_in_the_end_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    """Told that 70 + 50 saves, it is tried, found to be more, and the first list stands; a solver that stopped says none."""
    ways = [[way(60, 60), way(70, 50)], [way(40, 40, 30)]]
    monkeypatch.setattr(Programme, "prices", lambda *_: {70: 1, 60: 9, 50: 1, 40: 1, 30: 1})
    taken, answer = cut_by_price(chooser(ways), [0, 0])
    assert (taken, answer.bought_mm, answer.bound_mm) == ([0, 0], 300, 300)

    # as much: 60, 60 and 50 are three bars, 70, 70 and 50 too
    monkeypatch.setattr(Programme, "prices", lambda *_: {70: 1, 60: 9, 50: 1})
    taken, answer = cut_by_price(chooser([[way(60, 60), way(70, 70)], [way(50)]]), [0, 0])
    assert (taken, answer.bought_mm, answer.bound_mm) == ([0, 0], 300, 300)

    def stopped(_: Any) -> None:
        raise SolverStoppedError("stopped")

    monkeypatch.undo()
    monkeypatch.setattr(Programme, "relax", stopped)
    taken, answer = cut_by_price(chooser(WAYS), [0, 0])
    assert (taken, answer.bought_mm) == ([0, 0], 300)


def test_bars_of_another_list() -> None:
    """60 + 40 stands in both; 60 + 30 has no 30 any more, 60 + 60 one 60 too many, 45 mm is not to be had."""
    old = Problem((60, 40, 30), (2, 2, 2), (120, 100, 45), (9, 9, 9), (False,) * 3, 0)
    new = Problem((60, 50, 40), (1, 2, 2), (120, 100), (9, 9), (False,) * 2, 0)
    other = Programme(
        old, fullest_bars(old), 0, [(0, ((0, 2),)), (1, ((0, 1), (1, 1))), (1, ((0, 1), (2, 1))), (2, ((1, 1),))]
    )
    found = list(_bars_of(other, new))
    assert (1, ((0, 1), (2, 1))) in found
    assert all(stock < 2 and dict(pattern).get(0, 0) < 2 for stock, pattern in found)
    assert {kind for _, pattern in found for kind, _ in pattern} <= {0, 2}
    assert len(found) == 1


@pytest.mark.parametrize(
    ("rows", "more", "by_price"),
    [
        (21, {}, True),
        (20, {}, False),  # 40 pieces are searched
        (21, {"supply": (99, None)}, False),
        (21, {"most_lengths": 1}, False),
        (21, {"objective": Objective.FEWEST_LENGTHS}, False),
        (21, {"pack": 2}, True),
    ],
)
def test_which_lists_are_chosen_by_price(
    rows: int, more: dict[str, Any], by_price: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rows of 9 m out of 6 m and 5.4 m, joined once on supports 0.9 m apart: two pieces each."""
    asked: list[int] = []

    def cut(one: Chooser, chosen: list[int]) -> Any:
        asked.append(len(chosen))
        return cut_by_price(one, chosen)

    monkeypatch.setattr(ways_by_price, "cut_by_price", cut)
    supports = tuple(900.0 * n for n in range(1, 10))
    runs = [RunDemand(f"R{n:02d}", "p", 9000.0, supports, row=2 * n, least_mm=900.0) for n in range(rows)]
    plan = cut_runs(runs, StockChoice("p", (6000, 5400), **more))
    assert asked == ([rows] if by_price else [])
    assert sum(len(bar.pieces) for bar in plan.bars) == 2 * rows


def test_runs_of_one_way_each_have_no_choice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways_by_price, "cut_by_price", None)
    runs = [RunDemand(f"R{n:02d}", "p", 1000.0 + 7 * n) for n in range(50)]
    assert sum(len(bar.pieces) for bar in cut_runs(runs, StockChoice("p", (6000, 5400))).bars) == 50
    assert of_runs.SEARCH_PIECES == 40
