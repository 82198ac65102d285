"""Quick plans by hand and by a second method: first and best fit, fullest bars, shrinking, joining, and sums of pieces."""

from __future__ import annotations

import random
from itertools import product

import pytest
from quick_plans import first_fit

from takeoff.order.cut_stock.greedy import (
    Sums,
    _First,
    _fullest_bars,
    _open,
    _rank_shrunk,
    _shortest,
    _Tightest,
    best_greedy,
    fewer_bars,
    fullest,
    fullest_bars,
    shrunk,
)
from takeoff.order.cut_stock.problem import Packing, Problem, Stock, bought_of, check_packing, make_problem, rank
from takeoff.order.cut_stock.quick_length import QuickLength, counts_of, mark_of

ANY = (False, False, False)
# two of 3 m, three of 2 m and one of 1 m out of 6, 4.8 and 2.4 m
FREE = Problem((3000, 2000, 1000), (2, 3, 1), (6000, 4800, 2400), (6, 6, 6), ANY, 0)


def limited(*supplies: int, kerf: int = 0) -> Problem:
    return Problem((3000, 2000, 1000), (2, 3, 1), (6000, 4800, 2400), supplies, (True, True, True), kerf)


def bought(stock: tuple[int, ...], kerf: int, trim: int, pieces: dict[int, int], times: int = 1) -> int:
    """By the quick length, for pieces {length_mm: count}; the last of so many times that it is asked."""
    lengths = sorted(pieces, reverse=True)
    place = {length: number for number, length in enumerate(lengths)}
    mark = mark_of([length for length, n in pieces.items() for _ in range(n)], place)
    quick = QuickLength(lengths, stock, kerf, trim)
    return [quick.bought_mm(mark) for _ in range(times)][-1]


def test_the_first_bar_that_a_piece_fits_takes_as_many_as_follow_it() -> None:
    gaps = _First()
    assert gaps.take(1, 1) is None
    gaps.open(10)
    gaps.open(7)
    gaps.open(4)
    # 10 holds two of 4 and 2 more, 7 one and 3 more, 4 one: five asked for come one bar at a time
    assert [gaps.take(4, 5), gaps.take(4, 3), gaps.take(4, 2), gaps.take(4, 1)] == [(0, 2), (1, 1), (2, 1), None]
    gaps.open(4)
    assert gaps.take(4, 1) == (3, 1)
    gaps.next_width()
    # 2, 3, 0 and 0 are left: of 2 one goes into the first, whatever stood there before
    assert [gaps.take(2, 1), gaps.take(2, 9), gaps.take(2, 8)] == [(0, 1), (1, 1), None]


def test_a_bar_takes_no_more_than_are_asked_for() -> None:
    for gaps in (_First(), _Tightest()):
        gaps.open(10)
        assert [gaps.take(3, 2), gaps.take(3, 1), gaps.take(1, 1), gaps.take(1, 1)] == [(0, 2), (0, 1), (0, 1), None]


def test_the_tightest_bar_that_a_piece_fits_is_taken() -> None:
    gaps = _Tightest()
    assert gaps.take(1, 1) is None
    for gap in (10, 4, 7, 4):
        gaps.open(gap)
    # of two bars of 4 the first; then the other, then 7, then 10 twice
    assert [gaps.take(4, 9) for _ in range(5)] == [(1, 1), (3, 1), (2, 1), (0, 2), None]
    gaps.next_width()
    # left: 2 of bar 0, 0 of 1, 3 of 2, 0 of 3
    assert [gaps.take(2, 1), gaps.take(2, 1), gaps.take(2, 1), gaps.take(1, 5)] == [(0, 1), (2, 1), None, (2, 1)]


@pytest.mark.parametrize(
    ("left", "width", "first", "opened"),
    [
        ((1, 1, 1), 2, 0, 0),
        ((1, 1, 1), 2, 1, 1),
        ((1, 1, 1), 4, 1, 1),  # exactly as long as it must be
        ((1, 1, 1), 5, 1, 0),  # too short: the shortest that is long enough
        ((0, 1, 1), 2, 0, 2),
        ((0, 1, 1), 3, 0, 1),
        ((0, 1, 1), 5, 0, None),
        ((1, 0, 0), 2, 2, 0),
        ((0, 0, 0), 2, 2, None),
        ((1, 1, 1), 7, 0, None),
    ],
)
def test_the_bar_that_is_opened_for_a_piece(left: tuple[int, ...], width: int, first: int, opened: int | None) -> None:
    assert _open((6, 4, 2), left, width, first) == opened


def test_the_shortest_length_that_holds_so_much() -> None:
    assert [_shortest((6000, 4800, 2400), need) for need in (1, 2400, 2401, 4800, 4801, 6000)] == [2, 2, 1, 1, 0, 0]


def test_first_fit_by_hand() -> None:
    """6 m bars: 3 + 3; 2 + 2 + 2; 1, which shrinks to 2.4 m. In 4.8 m: 3, 3, then 2 beside none, 2 + 2, and 1 behind the
    first 3 m; 2 m by itself shrinks to 2.4 m, 3 m alone stays."""
    assert first_fit(FREE, 0, tightest=False) == Packing(((2, ((2, 1),)), (0, ((0, 2),)), (0, ((1, 3),))))
    assert first_fit(FREE, 1, tightest=False) == Packing(
        ((2, ((1, 1),)), (1, ((0, 1),)), (1, ((0, 1), (2, 1))), (1, ((1, 2),)))
    )
    # 7, 5, 4 and 1 m out of 10 m: the last goes behind the 7 m, or behind 5 + 4 m of which least is left
    four = Problem((7000, 5000, 4000, 1000), (1, 1, 1, 1), (10000,), (4,), (False,), 0)
    assert [pattern for _, pattern in first_fit(four, 0, tightest=False).bars] == [((0, 1), (3, 1)), ((1, 1), (2, 1))]
    assert [pattern for _, pattern in first_fit(four, 0, tightest=True).bars] == [((0, 1),), ((1, 1), (2, 1), (3, 1))]


def test_first_fit_where_the_supply_ends() -> None:
    """One of 6 m and one of 2.4 m: 3 + 3 m and 2 m; two of 2 m are missing, and 1 m goes nowhere."""
    found = first_fit(limited(1, 0, 1), 0, tightest=False)
    assert found == Packing(((2, ((1, 1),)), (0, ((0, 2),))), ((1, 2), (2, 1)))
    # with one of 4.8 m instead both of 2 m go into it and one is missing
    found = first_fit(limited(1, 1, 0), 0, tightest=False)
    assert found == Packing(((1, ((1, 2),)), (0, ((0, 2),))), ((1, 1), (2, 1)))


def test_pieces_that_fill_a_length_to_the_end() -> None:
    """Three of 1998 mm and two saw cuts of 3 mm are 6 m; one of 6 m takes no cut; both supplies are used up."""
    exact = make_problem({6000: 1, 1998: 3}, [Stock(6000, 2)], 3)
    bars = ((0, ((0, 1),)), (0, ((1, 3),)))
    for found in (first_fit(exact, 0, tightest=False), first_fit(exact, 0, tightest=True), fullest_bars(exact)):
        assert (sorted(found.bars), found.missing) == (sorted(bars), ())
    assert sorted(best_greedy(exact).bars) == sorted(bars)
    assert bought((6000,), 3, 0, {6000: 1, 1998: 3}) == 12000
    assert bought((6010, 4010), 3, 10, {6000: 1, 1998: 3, 4000: 1}) == 6010 + 6010 + 4010
    assert bought((6000,), 3, 0, {6000: 1, 1999: 3}) == 18000


def test_shrinking_a_plan() -> None:
    """3 m goes into 4.8, 2 m into 2.4 m; the fullest come last, bars that are alike together."""
    two, three, both = ((1, 1),), ((0, 1),), ((0, 1), (1, 1))
    bars = [(0, both), (0, two), (0, three), (0, two)]
    assert shrunk(FREE, bars, ((2, 1),)) == Packing(((2, two), (2, two), (1, three), (0, both)), ((2, 1),))


@pytest.mark.parametrize(
    ("supplies", "moved"),
    [
        ((3, 1, 1), (2, 1, 0)),  # one of each shorter length
        ((3, 0, 2), (2, 2, 0)),
        ((3, 0, 0), (0, 0, 0)),
        ((3, 2, 0), (1, 1, 0)),
        ((3, 3, 0), (1, 1, 1)),
        ((3, 1, 0), (1, 0, 0)),
    ],
)
def test_shrinking_takes_no_more_than_there_is(supplies: tuple[int, ...], moved: tuple[int, ...]) -> None:
    """Three bars of 6 m with 2, 2 and 3 m in them."""
    found = shrunk(limited(*supplies), [(0, ((1, 1),)), (0, ((0, 1),)), (0, ((1, 1),))], ())
    assert tuple(stock for stock, _ in found.bars) == moved
    assert [pattern for _, pattern in found.bars] == [((1, 1),), ((1, 1),), ((0, 1),)]


def test_the_rank_of_a_plan_before_it_is_shrunk() -> None:
    """3 + 3 m fill 6 m with one cut; 2 m out of 2.4 m takes a cut, twice; what is missing counts by its length."""
    bars = [(0, ((0, 2),)), (0, ((1, 1),)), (0, ((1, 1),))]
    known: dict[tuple[tuple[int, int], ...], tuple[int, int]] = {}
    assert _rank_shrunk(FREE, bars, ((1, 1), (2, 3)), known) == (5000, 10800, 3, 3)
    assert known == {((0, 2),): (6000, 1), ((1, 1),): (2400, 1)}
    assert _rank_shrunk(FREE, bars[:2], (), known) == (0, 8400, 2, 2)
    # with a saw cut of 1 mm 3 + 3 m no longer fill 6.001 m, and one of each length is limited
    few = Problem((3000, 2000, 1000), (2, 3, 1), (6001, 4800, 2400), (3, 3, 1), (False, False, True), 1)
    assert _rank_shrunk(few, bars, ((2, 1),), {}) == (1000, 6001 + 4800 + 2400, 3, 3)


def of_all_sorts(seed: int) -> Problem:
    """A few pieces and three lengths of stock, every third time in short supply, with saw cuts and docked ends."""
    chance = random.Random(seed)
    pieces = {chance.randrange(300, 3500): chance.randrange(1, 5) for _ in range(chance.randrange(2, 7))}
    supply = (None, chance.randrange(1, 4), chance.randrange(1, 4)) if seed % 3 == 0 else (None, None, None)
    stock = [Stock(mm, n) for mm, n in zip((6000, 4800, 3600), supply, strict=True)]
    return make_problem(pieces, stock, chance.choice((0, 3)), chance.choice((0, 10)))


@pytest.mark.parametrize("seed", range(24))
def test_the_best_of_the_quick_plans_is_the_first_of_the_least(seed: int) -> None:
    problem = of_all_sorts(seed)
    plans = [first_fit(problem, 0, tightest=False)]
    for first in range(len(problem.stock_mm)):
        plans += [first_fit(problem, first, tightest=False), first_fit(problem, first, tightest=True)]
        plans.append(fullest_bars(problem, first))
    for plan in plans:
        check_packing(problem, plan)
    assert best_greedy(problem) == min(plans, key=lambda plan: rank(problem, plan))


def test_every_quick_plan_is_the_best_of_some_list() -> None:
    """First fit, best fit and fullest bars, each with another length opened first."""
    best = []
    for seed in range(40):
        problem = of_all_sorts(seed)
        plans = [
            plan
            for first in range(len(problem.stock_mm))
            for plan in (
                first_fit(problem, first, tightest=False),
                first_fit(problem, first, tightest=True),
                fullest_bars(problem, first),
            )
        ]
        ranks = [rank(problem, plan) for plan in plans]
        best.append(ranks.index(min(ranks)))
    assert {number % 3 for number in best} >= {0, 2}
    assert {number // 3 for number in best} == {0, 1, 2}


def test_two_bars_of_one_length_become_one_twice_as_long() -> None:
    """1.2 + 1.2 = 2.4, 2.4 + 1.2 = 3.6, 2.4 + 2.4 = 4.8, 3.6 + 2.4 = 6: what was joined is joined again."""
    problem = Problem((1200,), (6,), (6000, 4800, 3600, 2400, 1200), (6,) * 5, (False,) * 5, 0)
    one = ((0, 1),)
    joined = {count: fewer_bars(problem, Packing(((4, one),) * count)).bars for count in range(1, 7)}
    assert joined == {
        1: ((4, one),),
        2: ((3, ((0, 2),)),),
        3: ((2, ((0, 3),)),),
        4: ((1, ((0, 4),)),),
        5: ((0, ((0, 5),)),),
        6: ((1, ((0, 4),)), (3, ((0, 2),))),  # three of 2.4 m, and 2.4 and 4.8 m add up to no length
    }
    assert fewer_bars(problem, Packing(((2, ((0, 3),)), (3, ((0, 2),))), ((0, 1),))) == Packing(
        ((0, ((0, 5),)),), ((0, 1),)
    )


def test_no_longer_bar_is_taken_than_there_is() -> None:
    one = ((0, 1),)
    few = Problem((1000,), (4,), (2400, 1200), (1, 4), (True, False), 0)
    assert fewer_bars(few, Packing(((1, one),) * 4)).bars == ((0, ((0, 2),)), (1, one), (1, one))
    none = Problem((1000,), (4,), (2400, 1200), (1, 4), (True, False), 0)
    full = Packing(((0, ((0, 2),)), (1, one), (1, one)))
    assert fewer_bars(none, full) == full


def test_the_least_filled_bars_are_joined() -> None:
    """With a saw cut of 100 mm two bars of 3 m filled to the end do not go into one of 6 m; those with 1 m in them do."""
    problem = Problem((3000, 2000, 1000), (2, 1, 2), (6000, 3000), (4, 4), (False, False), 100)
    bars = ((1, ((0, 1),)), (1, ((2, 1),)), (1, ((0, 1),)), (1, ((2, 1),)))
    assert fewer_bars(problem, Packing(bars)).bars == ((0, ((2, 2),)), (1, ((0, 1),)), (1, ((0, 1),)))
    # 1 and 2 m are 3.2 m with their cuts, 2 and 3 m 5.2 m: the lightest two first, then the next
    bars = ((1, ((0, 1),)), (1, ((1, 1),)), (1, ((2, 1),)), (1, ((2, 1),)))
    assert fewer_bars(problem, Packing(bars)).bars == ((0, ((2, 2),)), (0, ((0, 1), (1, 1))))
    # two of 0.95 m with their cuts are 2.1 m, as much as goes into 2 m; two of those are 4.2 m, too much for 4 m
    twice = Problem((950,), (4,), (4000, 2000, 1000), (4, 4, 4), ANY, 100)
    assert fewer_bars(twice, Packing(((2, ((0, 1),)),) * 4)).bars == ((1, ((0, 2),)), (1, ((0, 2),)))
    # out of 2.4 and 3.6 m: the lightest of each
    two = Problem((2000, 1000), (2, 2), (6000, 3600, 2400), (4, 4, 4), ANY, 0)
    bars = ((1, ((0, 1), (1, 1))), (1, ((0, 1),)), (2, ((0, 1),)), (2, ((1, 1),)))
    assert fewer_bars(two, Packing(bars)).bars == ((0, ((0, 1), (1, 1))), (0, ((0, 2), (1, 1))))


def test_the_fullest_bar_by_trying_all() -> None:
    chance = random.Random(5)
    for _ in range(60):
        rooms = tuple(sorted({chance.randrange(20, 60) for _ in range(3)}, reverse=True))
        width = chance.randrange(5, rooms[-1] + 1)
        pieces = tuple(sorted({(chance.randrange(3, 25), chance.randrange(1, 4)) for _ in range(3)}, reverse=True))
        number, counts = fullest(rooms, width, pieces)
        fills = [
            sum(n * wide for n, (wide, _) in zip(taken, pieces, strict=True))
            for taken in product(*(range(n + 1) for _, n in pieces))
        ]
        shares = [(width + max(fill for fill in fills if fill <= room - width)) / room for room in rooms]
        assert number == shares.index(max(shares))
        assert all(0 < n <= pieces[place][1] for place, n in counts)
        filled = width + sum(n * pieces[place][0] for place, n in counts)
        assert filled / rooms[number] == max(shares)


def test_sums_by_trying_all() -> None:
    chance = random.Random(9)
    for _ in range(40):
        room = chance.randrange(10, 60)
        pieces = [(kind, chance.randrange(2, 20), chance.randrange(1, 8)) for kind in range(3)]
        sums = Sums(room, pieces)
        reached = {
            total
            for taken in product(*(range(n + 1) for _, _, n in pieces))
            if (total := sum(n * wide for n, (_, wide, _) in zip(taken, pieces, strict=True))) <= room
        }
        for most in range(room + 1):
            assert sums.most(most) == max(total for total in reached if total <= most)
            assert sums.least(most) == min((total for total in reached if total >= most), default=-1)
        for total in reached:
            counts = sums.counts(total)
            assert sum(n * pieces[kind][1] for kind, n in counts.items()) == total
            assert all(0 < n <= pieces[kind][2] for kind, n in counts.items())


def test_a_sum_is_made_of_long_pieces_rather_than_short_ones() -> None:
    """12 of 6, 4 and 2, three of each: two of 6; 14 is two of 6 and one of 2, 8 one of 6 and one of 2."""
    sums = Sums(40, [(7, 6, 3), (8, 4, 3), (9, 2, 3)])
    assert [sums.counts(total) for total in (12, 14, 8, 36)] == [{7: 2}, {7: 2, 9: 1}, {7: 1, 9: 1}, {7: 3, 8: 3, 9: 3}]


def test_bars_as_full_as_they_can_be() -> None:
    """Of 6, 4.8 and 2.4 m for 3, 3, 2, 2, 2 and 1 m: 6 m are filled by 3 + 3 and by 2 + 2 + 2 m, and 1 m is left for 2.4 m.
    Of 4.8 m alone: 3 + 1 and 2 + 2 m leave 0.8 m, 3 and 2 m by themselves go into what holds them."""
    assert fullest_bars(FREE) == Packing(((2, ((2, 1),)), (0, ((0, 2),)), (0, ((1, 3),))))
    assert fullest_bars(FREE, 1) == Packing(
        ((2, ((1, 1),)), (1, ((0, 1),)), (1, ((0, 1), (2, 1))), (1, ((1, 2),)))
    )  # fmt: skip
    # 2.4 m holds no 3 m: of all lengths the fullest; then 2 m each in one of its own
    assert _fullest_bars(FREE, 2) == (
        [(0, ((0, 2),)), (2, ((1, 1),)), (2, ((1, 1),)), (2, ((1, 1),)), (2, ((2, 1),))],
        (),
    )


def test_fullest_bars_where_the_supply_ends() -> None:
    """One of 6 m: 3 + 3 m; one of 2.4 m: 2 m; two of 2 m and the last metre are missing."""
    assert _fullest_bars(limited(1, 0, 1)) == ([(0, ((0, 2),)), (2, ((1, 1),))], ((1, 2), (2, 1)))
    # a length named that is used up gives way to the others
    assert _fullest_bars(limited(0, 1, 9), 1) == (
        [(1, ((0, 1), (2, 1))), (2, ((1, 1),)), (2, ((1, 1),)), (2, ((1, 1),))],
        ((0, 1),),
    )
    # the same bar again while pieces and bars last: two bars of 6 m with three of 2 m each, and a seventh in 2.4 m
    many = Problem((2000,), (7,), (6000, 2400), (9, 9), (False, False), 0)
    assert _fullest_bars(many, 0) == ([(0, ((0, 3),)), (0, ((0, 3),)), (0, ((0, 1),))], ())
    assert _fullest_bars(Problem((2000,), (7,), (6000, 2400), (1, 9), (True, False), 0)) == (
        [(0, ((0, 3),)), *[(1, ((0, 1),))] * 4],
        (),
    )


@pytest.mark.parametrize("seed", [1, 2, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17])
def test_a_quick_length_is_that_of_the_fullest_bars(seed: int) -> None:
    problem = of_all_sorts(seed)
    pieces = dict(zip(problem.lengths_mm, problem.demands, strict=True))
    for times in (1, 2):  # the second time out of memory
        assert bought((6000, 4800, 3600), problem.kerf_mm, problem.trim_mm, pieces, times) == bought_of(
            problem, fullest_bars(problem)
        )


def test_a_mark_counts_each_length_in_its_own_place() -> None:
    """The longest lowest; 32 binary digits each, so that no count runs into the next; as far as there is anything."""
    place = {900: 0, 600: 1, 300: 2}
    assert mark_of([900, 600, 900], place) == 2 + (1 << 32)
    assert mark_of([300, 300, 300], place) == 3 << 64
    assert mark_of([], place) == 0
    assert counts_of(2 + (1 << 32)) == [2, 1]
    assert counts_of((70000 << 64) + 5) == [5, 0, 70000]
    assert counts_of(0) == []
