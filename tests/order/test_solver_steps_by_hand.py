"""The steps of the long search for a cutting plan, each by hand: short lists, linear programme, dive, fewest lengths."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import product
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.order.cut_stock import programme as of_programme
from takeoff.order.cut_stock.columns import Relaxed, _charges, columns_of, generate
from takeoff.order.cut_stock.dive import Dive
from takeoff.order.cut_stock.fewest import _best_of, _part, cut_few, cut_fewest
from takeoff.order.cut_stock.greedy import best_greedy
from takeoff.order.cut_stock.master import LinearMaster, _entries, _fits, _rows, solve_whole
from takeoff.order.cut_stock.problem import Answer, Bar, Packing, Pattern, Problem, Stock, bought_of, make_problem
from takeoff.order.cut_stock.programme import Effort, Programme, trimmed
from takeoff.order.cut_stock.search import Found, _Walk, full_patterns, search
from takeoff.order.cut_stock.solve import cut_least

FREE = (False, False)
# two pieces of 3 m and three of 2 m out of 6 and 5 m: 3 + 3 and 2 + 2 + 2 m are two of 6 m
PLAIN = Problem((3000, 2000), (2, 3), (6000, 5000), (5, 5), FREE, 0)
THREES, TWOS, BOTH = (0, ((0, 2),)), (0, ((1, 3),)), (1, ((0, 1), (1, 1)))


@pytest.mark.parametrize(
    ("widths", "rest", "room"),
    [
        ((7, 5, 3), (2, 2, 3), 20),
        ((7, 5, 3), (0, 2, 3), 14),
        ((7, 5), (1, 1), 7),
        ((7, 5), (1, 1), 12),
        ((4,), (9,), 11),
    ],
)
def test_every_full_bar_with_the_longest_piece(widths: tuple[int, ...], rest: tuple[int, ...], room: int) -> None:
    """By trying all: with the longest piece that is left, and with no room for one that is."""
    longest = next(kind for kind, n in enumerate(rest) if n)
    every = []
    for taken in product(*(range(n + 1) for n in rest)):
        gap = room - sum(n * wide for n, wide in zip(taken, widths, strict=True))
        left = [wide for wide, n, own in zip(widths, rest, taken, strict=True) if own < n]
        if taken[longest] and gap >= 0 and (not left or gap < min(left)):
            every.append((tuple((kind, n) for kind, n in enumerate(taken) if n), gap))
    found = list(full_patterns(widths, rest, room))
    assert sorted(found) == sorted(every)
    assert len(set(found)) == len(found)
    # with most of the longest piece first
    counts = [dict(pattern)[longest] for pattern, _ in found]
    assert counts == sorted(counts, reverse=True)


def test_no_bar_where_nothing_is_left_or_the_longest_does_not_fit() -> None:
    assert list(full_patterns((7, 5), (0, 0), 20)) == []
    assert list(full_patterns((7, 5), (1, 1), 6)) == []
    assert list(full_patterns((7, 5), (1, 0), 7)) == [(((0, 1),), 0)]


def test_what_is_still_to_buy_at_least() -> None:
    """6 m are filled to 6 m by 3 + 3 m, 5 m to 5 m: a mm for a mm, in whole steps of 1 m. With a cut of 100 mm 6 m hold
    3.1 + 2.1 = 5.2 m of 6.1, 5 m 4.2 m: 6/5.2 of what is asked for, the better of the two."""
    walk = _Walk(PLAIN, PLAIN.demands, 20000, 0, 9)
    assert [walk.least(need) for need in (0, 1, 1000, 1001, 9500)] == [0, 1000, 1000, 2000, 10000]
    cut = Problem((3000, 2000), (1, 1), (6000, 4000), (5, 5), FREE, 100)
    walk = _Walk(cut, (1, 1), 20000, 0, 9)
    assert walk.rates == [(6000, 5200), (4000, 3100)]
    # 3,120 x 6,000 / 5,200 = 3,600; 3,120 x 4,000 / 3,100 = 4,026
    assert [walk.least(need) for need in (3120, 3466, 3467, 5200)] == [4000, 4000, 6000, 6000]
    # of what is left nothing goes into 2.5 m: it has no share
    none = Problem((3000,), (2,), (6000, 2500), (2, 2), FREE, 0)
    assert _Walk(none, (2,), 1, 0, 9).rates == [(6000, 6000)]


def found_by(problem: Problem, cutoff: int = 10**6, floor: int = 0, nodes: int = 10**4) -> Found:
    return search(problem, problem.demands, problem.supplies, cutoff, floor, nodes)


def test_a_short_list_is_searched_to_its_end() -> None:
    """2 + 2 + 2 and 3 + 3 m: 12 m, and nothing below; a plan of 12 m is not below 12 m."""
    found = found_by(PLAIN)
    assert found == Found(Packing((THREES, TWOS)), finished=True)
    assert found_by(PLAIN, cutoff=12001) == found
    assert found_by(PLAIN, cutoff=12000) == Found(None, finished=True)
    # 6.5 m out of 6 and 4 m with one of 6 m: 6.5 = 4 + 2.5 out of 6 and 4
    assert found_by(Problem((4000, 2500), (1, 1), (6000, 4000), (1, 2), (True, False), 0)).packing == Packing(
        ((0, ((1, 1),)), (1, ((0, 1),)))
    ) or found_by(Problem((4000, 2500), (1, 1), (6000, 4000), (1, 2), (True, False), 0)).packing == Packing(
        ((1, ((0, 1),)), (1, ((1, 1),)))
    )


def test_a_limited_length_is_not_used_twice() -> None:
    problem = Problem((3000,), (4,), (6000, 4000), (1, 4), (True, False), 0)
    found = found_by(problem)
    assert found.finished
    assert found.packing is not None
    assert sorted(found.packing.bars) == [(0, ((0, 2),)), (1, ((0, 1),)), (1, ((0, 1),))]
    assert found_by(Problem((3000,), (4,), (6000,), (1,), (True,), 0)) == Found(None, finished=True)


def test_the_search_ends_at_its_limit_of_bars() -> None:
    """3 + 3, 3 + 2 and 3 m alone are the full bars to begin with, of 6 and of 5 m: 3 + 3 / 3 + 2 and 3 + 2: three bars."""
    first = [pattern for room in PLAIN.rooms for pattern, _ in full_patterns(PLAIN.widths, PLAIN.demands, room)]
    assert first == [((0, 2),), ((0, 1), (1, 1)), ((0, 1), (1, 1))]
    # then 2 + 2 + 2 out of 6 and 2 + 2 out of 5 m: the plan is there with five bars looked at, and not with four
    assert found_by(PLAIN, nodes=4) == Found(None, finished=False)
    assert found_by(PLAIN, nodes=5).packing == Packing((THREES, TWOS))
    assert found_by(PLAIN, floor=12000, nodes=5) == Found(Packing((THREES, TWOS)), finished=True)
    assert found_by(PLAIN, nodes=0) == Found(None, finished=False)
    # a plan at the floor that was proven ends the search as one that is finished, whatever is left to look at
    assert found_by(PLAIN, floor=11999).finished


@pytest.mark.parametrize("seed", range(12))
def test_the_search_finds_what_trying_all_bars_finds(seed: int) -> None:
    import random

    chance = random.Random(seed)
    lengths = sorted({chance.randrange(3, 12) for _ in range(4)}, reverse=True)
    demand = {mm: chance.randrange(1, 3) for mm in lengths}
    supply = chance.choice((None, 2))
    problem = make_problem(demand, [Stock(14, supply), Stock(12, supply), Stock(19)], chance.choice((0, 1)))

    def least(rest: tuple[int, ...], left: tuple[int, ...]) -> int:
        if not any(rest):
            return 0
        kind = next(k for k, n in enumerate(rest) if n)
        best = 10**6
        for stock, room in enumerate(problem.rooms):
            if not left[stock]:
                continue
            for taken in product(*(range(n + 1) for n in rest)):
                if taken[kind] and sum(n * w for n, w in zip(taken, problem.widths, strict=True)) <= room:
                    after = tuple(n - own for n, own in zip(rest, taken, strict=True))
                    fewer = tuple(n - (s == stock) for s, n in enumerate(left))
                    best = min(best, problem.stock_mm[stock] + memo(after, fewer))
        return best

    known: dict[tuple[tuple[int, ...], tuple[int, ...]], int] = {}

    def memo(rest: tuple[int, ...], left: tuple[int, ...]) -> int:
        key = rest, (left if any(problem.limited) else ())
        if key not in known:
            known[key] = least(rest, left)
        return known[key]

    want = memo(problem.demands, problem.supplies)
    found = found_by(problem)
    assert found.finished
    assert found.packing is not None
    assert (
        bought_of(problem, found.packing)
        == want
        == cut_least(demand, [Stock(14, supply), Stock(12, supply), Stock(19)], problem.kerf_mm).bought_mm
    )


LIMITED = Problem((3000, 2000), (2, 3), (6000, 5000, 4000), (1, 5, 2), (True, False, True), 0)


def test_columns_as_the_programme_has_them() -> None:
    assert _rows(LIMITED) == {0: 2, 2: 3}
    assert _rows(PLAIN) == {}
    rows = _rows(LIMITED)
    assert _entries(THREES, rows) == ([0, 2], [2.0, 1.0])
    assert _entries(BOTH, rows) == ([0, 1], [1.0, 1.0])
    assert _entries((2, ((1, 2),)), rows) == ([1, 3], [2.0, 1.0])
    assert _charges(LIMITED, [-700.0, 5.0]) == [700.0, 0.0, 0.0]
    assert _charges(LIMITED, [5.0, -1.5]) == [0.0, 0.0, 1.5]
    assert columns_of([THREES, TWOS, THREES]) == [THREES, TWOS]


@pytest.mark.parametrize(
    ("column", "demands", "supplies", "fits"),
    [
        (THREES, (2, 0), (1, 0), True),
        (THREES, (1, 9), (1, 0), False),
        (BOTH, (1, 1), (0, 1), True),
        (BOTH, (1, 0), (0, 1), False),
        (BOTH, (1, 1), (9, 0), False),
        (BOTH, (1, 1), (9, 1), True),
    ],
)
def test_a_column_that_fits_what_is_left(
    column: Any, demands: Sequence[int], supplies: Sequence[int], fits: bool
) -> None:
    assert _fits(column, demands, supplies) is fits


def test_a_linear_programme_by_hand() -> None:
    """3 + 3 m out of 6 m and 2 + 2 + 2 m out of 6 m, once each: a piece of 3 m is worth 3 m and one of 2 m two, and a
    hundredth of a step for each bar, spread over its pieces."""
    master = LinearMaster(PLAIN)
    assert master.bar_mm == pytest.approx(0.01 * 1000 / 5)
    assert (master.add(THREES), master.add(THREES), master.add(TWOS)) == (True, False, True)
    shares, duals, limits = master.solve()
    assert shares == pytest.approx([1.0, 1.0])
    assert duals == pytest.approx([6002.0 / 2, 6002.0 / 3])
    assert (limits, master.missing()) == ([], 0.0)
    # without one of them pieces are missing, at four times a longest bar each
    master.set_rest((2, 3), (5, 5), frozenset({TWOS}))
    shares, duals, _ = master.solve()
    assert (shares, duals) == (pytest.approx([1.0, 0.0]), pytest.approx([3001.0, 24000.0]))
    assert master.missing() == pytest.approx(3.0)
    # let in again, and of less: a column that holds more than is left is shut
    master.set_rest((1, 3), (5, 5), frozenset())
    shares, duals, _ = master.solve()
    assert (shares, duals) == (pytest.approx([0.0, 1.0]), pytest.approx([24000.0, 6002.0 / 3]))
    master.set_rest((2, 6), (5, 5), frozenset())
    assert master.solve()[0] == pytest.approx([1.0, 2.0])


def test_what_a_limited_length_is_worth_more() -> None:
    """One of 6 m for 3 + 3 m, others out of 5 m with 3 m in them each: two of those, 10 m, against one of 6 m: 4 m more."""
    problem = Problem((3000,), (4,), (6000, 5000), (1, 4), (True, False), 0)
    master = LinearMaster(problem)
    two, one = (0, ((0, 2),)), (1, ((0, 1),))
    assert (master.add(two), master.add(one)) == (True, True)
    bar = 0.01 * 1000 / 4
    shares, duals, limits = master.solve()
    assert shares == pytest.approx([1.0, 2.0])
    assert duals == pytest.approx([5000.0 + bar])
    assert limits == pytest.approx([6000.0 + bar - 2 * (5000.0 + bar)])
    master.set_rest((4,), (0, 4), frozenset())
    assert master.solve()[0] == pytest.approx([0.0, 4.0])
    master.set_rest((4,), (2, 4), frozenset())
    assert master.solve()[0] == pytest.approx([2.0, 0.0])


def test_whole_bars_of_a_mix() -> None:
    """Of 3 + 3, 2 + 2 + 2 and 3 + 2 m for two of 3 and three of 2 m: 12 m; of 3 + 2 m alone three of 5 m."""
    found = solve_whole(PLAIN, [THREES, TWOS, BOTH], (2, 3), (5, 5), 20)
    assert found == ((THREES, 1), (TWOS, 1))
    assert solve_whole(PLAIN, [BOTH], (2, 3), (5, 5), 20) == ((BOTH, 3),)
    assert solve_whole(PLAIN, [THREES], (2, 3), (5, 5), 20) is None
    assert solve_whole(PLAIN, [THREES], (4, 0), (5, 5), 20) == ((THREES, 2),)
    # one of 6 m at most: the 2 m pieces of 4 m, two and one
    rest = (2, ((1, 2),))
    assert solve_whole(LIMITED, [THREES, TWOS, rest], (2, 3), (1, 5, 2), 20) == ((THREES, 1), (rest, 2))
    assert solve_whole(LIMITED, [THREES, TWOS, rest], (2, 3), (1, 5, 1), 20) is None
    assert solve_whole(PLAIN, [THREES, TWOS, BOTH], (2, 3), (5, 5), 20, target_mm=12000) == found


def test_columns_are_made_while_they_lower_the_programme() -> None:
    """From bars of single pieces to 3 + 3 and 2 + 2 + 2 m: 12 m, proven, in as many programmes as there are new bars and
    one more. A mm of 3 m is never worth more than a mm of its bar."""
    master = LinearMaster(PLAIN)
    master.add((0, ((0, 1),)))
    master.add((0, ((1, 1),)))
    relaxed = generate(master, PLAIN.demands, PLAIN.supplies, 100)
    assert relaxed.complete
    assert relaxed.bound_mm == pytest.approx(12000, abs=0.5)
    assert relaxed.bound_mm <= 12000
    assert {THREES, TWOS} <= set(master.columns)
    again = generate(master, PLAIN.demands, PLAIN.supplies, 100)
    assert (again.rounds, again.complete) == (1, True)
    used = dict(zip(master.columns, again.shares, strict=True))
    assert sum(share * PLAIN.stock_mm[stock] for (stock, _), share in used.items()) == pytest.approx(12000)


def test_columns_end_with_their_rounds_and_at_the_cutoff() -> None:
    def fresh() -> LinearMaster:
        master = LinearMaster(PLAIN)
        master.add((0, ((0, 1),)))
        master.add((0, ((1, 1),)))
        return master

    assert generate(fresh(), PLAIN.demands, PLAIN.supplies, 0) == Relaxed((0.0,), Fraction(0), complete=False, rounds=0)
    one = generate(fresh(), PLAIN.demands, PLAIN.supplies, 1)
    assert (one.rounds, one.complete, one.shares) == (1, False, pytest.approx((2.0, 3.0)))
    # pieces worth 6002 mm each, 30,010 together; 6 m hold three of 2 m: a third of that is proven after one programme
    assert one.bound_mm == pytest.approx(10000, abs=1)
    assert generate(fresh(), PLAIN.demands, PLAIN.supplies, 9, 9000.0).rounds == 1
    assert generate(fresh(), PLAIN.demands, PLAIN.supplies, 9, 11000.0).rounds > 1
    # no bars at all: the pieces that are missing make the first ones
    bare = LinearMaster(PLAIN)
    assert generate(bare, PLAIN.demands, PLAIN.supplies, 100).complete
    # no length that is left: nothing is made of it
    none = generate(LinearMaster(LIMITED), LIMITED.demands, (0, 0, 0), 100)
    assert (none.rounds, none.complete) == (1, False)


def dive(problem: Problem, columns: Sequence[tuple[int, Pattern]] = (), **more: int) -> Dive:
    master = LinearMaster(problem)
    for column in columns:
        master.add(column)
    given = {"best_mm": 10**6, "floor_mm": 0, "rounds": 600, "deviations": 2, "depth": 3, "near_mm": 0} | more
    return Dive(master, **given)


def test_how_wide_a_dive_is() -> None:
    """The best bar and as many others as are allowed, less those strayed already, down to the depth; then one."""
    one = dive(PLAIN)
    assert [one._width(level, strayed) for level, strayed in ((0, 0), (0, 1), (2, 2), (2, 0), (3, 0), (4, 2))] == [
        3, 2, 1, 3, 1, 1,
    ]  # fmt: skip


def test_when_a_dive_is_done() -> None:
    for best, floor, rounds, done in (
        (12, 12, 5, True),
        (12, 13, 5, True),
        (12, 11, 5, False),
        (12, 11, 0, True),
        (12, 11, 1, False),
    ):
        assert dive(PLAIN, best_mm=best, floor_mm=floor, rounds=rounds).done is done


def test_few_programmes_more_once_a_plan_is_near() -> None:
    for best, near, rounds, left in ((12, 12, 600, 250), (12, 11, 600, 600), (11, 12, 100, 100), (11, 12, 251, 250)):
        one = dive(PLAIN, best_mm=best, near_mm=near, rounds=rounds)
        one._spare()
        assert one.rounds == left


def test_which_bars_are_fixed_first() -> None:
    """Those of a whole part before those of a part, then by their share and by their number; those of no share never."""
    columns = [(0, ((0, 1),)), (0, ((0, 2),)), (0, ((1, 1),)), (0, ((1, 2),)), (1, ((1, 1),)), (1, ((0, 1),))]
    one = dive(PLAIN, columns)
    relaxed = Relaxed((0.25, 2.5, 0.0, 0.75, 0.9999999, 1e-7), Fraction(0), complete=True, rounds=1)
    assert one._ranked(relaxed, (2, 3), (5, 5)) == [(columns[1], 2), (columns[4], 1), (columns[3], 1), (columns[0], 1)]
    level = Relaxed((0.5, 0.5000001, 1.0, 3.0, 0.5, 0.0), Fraction(0), complete=True, rounds=1)
    assert one._ranked(level, (2, 3), (5, 5)) == [
        (columns[3], 3), (columns[2], 1), (columns[0], 1), (columns[1], 1), (columns[4], 1),
    ]  # fmt: skip


def test_what_is_left_once_bars_are_fixed() -> None:
    one = dive(PLAIN)
    assert one._fix((5, 3), (4, 9), THREES, 2) == ((1, 3), (2, 9), 2)
    assert one.bars == [THREES, THREES]
    # as often as pieces and bars last, and once at least
    assert one._fix((5, 3), (4, 9), THREES, 9) == ((1, 3), (2, 9), 2)
    assert one._fix((9, 3), (1, 9), THREES, 9) == ((7, 3), (0, 9), 1)
    assert one._fix((2, 1), (4, 9), BOTH, 5) == ((1, 0), (4, 8), 1)
    assert len(one.bars) == 6


def test_a_short_rest_is_searched() -> None:
    """16 pieces are few, 17 are not; what is found is added to the bars that are fixed, and kept where it is less."""
    few = Problem((3000,), (16,), (6000, 3000), (16, 16), FREE, 0)
    one = dive(few)
    one.bars = [(1, ((0, 1),))]
    assert one._finish_short((15,), (16, 15), 3000)
    assert (one.best_mm, one.bars) == (7 * 6000 + 3000 + 3000, [(1, ((0, 1),))])
    assert one.best is not None
    assert len(one.best.bars) in range(9, 17)
    many = Problem((3000,), (17,), (6000,), (17,), (False,), 0)
    assert not dive(many)._finish_short((17,), (17,), 0)
    assert dive(many)._finish_short((16,), (17,), 0)
    # nothing below what is known: settled, and nothing kept
    settled = dive(PLAIN, best_mm=12000)
    assert settled._finish_short((2, 3), (5, 5), 0)
    assert (settled.best, settled.best_mm) == (None, 12000)
    # 1 m is bought already, so that 12 m more are no less than 13
    settled = dive(PLAIN, best_mm=13000)
    assert settled._finish_short((2, 3), (5, 5), 1000)
    assert settled.best is None
    settled = dive(PLAIN, best_mm=13001)
    settled._finish_short((2, 3), (5, 5), 1000)
    assert settled.best == Packing((THREES, TWOS)) or settled.best == Packing((TWOS, THREES))
    assert settled.best_mm == 12000  # of the bars as they are shrunk


def test_only_less_is_kept() -> None:
    one = dive(PLAIN, best_mm=12000, near_mm=12000)
    one.bars = [THREES, TWOS]
    one._keep(12000)
    assert (one.best, one.rounds) == (None, 600)
    one.best_mm = 12001
    one._keep(12000)
    assert one.best is not None
    assert (sorted(one.best.bars), one.best_mm, one.rounds) == (sorted([THREES, TWOS]), 12000, 250)


@pytest.mark.parametrize("deviations", [0, 2])
def test_a_dive_down_to_the_least(deviations: int) -> None:
    """44 pieces of three lengths that fill bars of 6 m by threes: 3 + 2 + 1 m sixteen times less 4 of 1 m."""
    problem = Problem((3010, 1990, 1000), (16, 16, 12), (6000, 4000), (44, 44), FREE, 0)
    quick = best_greedy(problem)
    one = dive(problem, columns_of(quick.bars), best_mm=bought_of(problem, quick) + 1, deviations=deviations)
    one.run()
    assert one.best is not None
    assert (
        one.best_mm
        == bought_of(problem, one.best)
        == cut_least({3010: 16, 1990: 16, 1000: 12}, [Stock(6000), Stock(4000)]).bought_mm
    )
    assert one.rounds < 600
    assert one.bars == []
    # a plan as short as the floor ends it, and so does a dive without a programme left
    ended = dive(problem, columns_of(quick.bars), best_mm=bought_of(problem, quick) + 1, rounds=0)
    ended.run()
    assert ended.best is None


def programme(problem: Problem, best: Packing, bound: int) -> Programme:
    return Programme(problem, best, bound)


def test_when_a_bound_is_met() -> None:
    """12 m bought against a bound of 10 m is a fifth over it."""
    one = programme(PLAIN, Packing((THREES, TWOS)), 10000)
    assert (one.method, one.master.columns) == ("greedy", [THREES, TWOS])
    assert [one._met(share) for share in (0.0, 0.19, 0.2, 0.21)] == [False, False, True, True]
    one.bound_mm = 12000
    assert one._met(0.0)
    one.best = Packing((THREES,), ((1, 3),))
    assert not one._met(1.0)


def test_how_many_programmes_are_solved() -> None:
    """50 million by the square of the lengths, one at least, and no more than are asked for."""
    one = programme(PLAIN, Packing((THREES, TWOS)), 10000)
    assert [one._rounds(most) for most in (1, 3000)] == [1, 3000]
    for kinds, most, rounds in ((200, 3000, 1250), (200, 600, 600), (7071, 9, 1), (8000, 9, 1), (5000, 9, 2)):
        one.problem = SimpleNamespace(demands=(1,) * kinds)  # type: ignore[assignment]
        assert one._rounds(most) == rounds


def test_the_bound_at_the_root_and_whole_bars_of_its_columns() -> None:
    """3 + 2 m out of 5 m three times over, with 2 m too much: 15 m to begin with; the root proves 12 m and has the bars."""
    begun = Packing((BOTH, BOTH, (1, ((1, 1),))))
    one = programme(PLAIN, begun, 11000)
    one._root()
    assert one.bound_mm == 12000
    one._whole()
    assert (one.method, bought_of(PLAIN, one.best), len(one.best.bars)) == ("columns", 12000, 2)
    one._keep(begun, "none")  # more than is known
    one._keep(one.best, "none")  # no less
    assert one.method == "columns"
    # a bound that was known and is more stays
    known = programme(PLAIN, begun, 13000)
    known._root()
    assert known.bound_mm == 13000


@pytest.mark.parametrize(
    ("best", "bound", "asked"),
    [
        # a wide dive of 4000 programmes, then narrow: as the gap asks
        ((BOTH, BOTH, (1, ((1, 1),))), 0, (15000, 0)),
        ((THREES,), 0, (5 * 6000 + 5 * 5000 + 1, 0)),
    ],
)
def test_what_a_dive_is_asked_for(
    best: tuple[tuple[int, Pattern], ...], bound: int, asked: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With pieces missing any whole plan is less: all the stock there is and a millimetre."""
    seen: list[tuple[Any, ...]] = []

    class Asked:
        best = None

        def __init__(self, *given: Any) -> None:
            seen.append(given[1:])

        def run(self) -> None:
            pass

    monkeypatch.setattr(of_programme, "Dive", Asked)
    missing = () if len(best) > 1 else ((1, 3),)
    one = programme(PLAIN, Packing(best, missing), bound)
    one._dive(Effort(600, 2, 3))
    one.bound_mm = 10001
    one._dive(Effort(4000, 4, 8))
    assert seen == [(asked[0], 0, 600, 2, 3, 0), (asked[0], 10001, 4000, 4, 8, 10051)]


@pytest.mark.parametrize(
    ("kinds", "bought", "bound", "columns", "steps"),
    [
        (2, 12000, 12000, 9, ["root"]),
        (2, 12100, 12000, 9, ["root", "narrow", "whole", "middling"]),  # between 5 and 10 in a thousand
        (2, 12120, 12000, 9, ["root", "narrow", "whole", "middling"]),
        (2, 12121, 12000, 9, ["root", "narrow", "whole", "wide"]),
        (2, 12060, 12000, 9, ["root", "narrow", "whole"]),  # near: no more dives
        (2, 12060, 12000, 400, ["root", "narrow", "whole"]),
        (2, 12060, 12000, 401, ["root", "narrow"]),  # near, and over many columns
        (2, 12061, 12000, 401, ["root", "narrow", "whole", "middling"]),
        (300, 12012, 12000, 9, ["root", "narrow", "whole"]),
        (301, 12012, 12000, 9, []),  # many lengths and hardly over the bound
        (301, 12013, 12000, 9, ["root", "narrow", "whole"]),
    ],
)
def test_how_far_a_plan_is_searched(
    kinds: int, bought: int, bound: int, columns: int, steps: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    one = programme(PLAIN, Packing((THREES, TWOS)), bound)
    one.problem = SimpleNamespace(demands=(1,) * kinds)  # type: ignore[assignment]
    one.master = SimpleNamespace(columns=[()] * columns)  # type: ignore[assignment]
    done: list[str] = []
    efforts = {of_programme.NARROW: "narrow", of_programme.WIDE: "wide", of_programme.MIDDLING: "middling"}
    monkeypatch.setattr(of_programme, "bought_of", lambda *_: bought)
    monkeypatch.setattr(one, "_root", lambda: done.append("root"))
    monkeypatch.setattr(one, "_whole", lambda: done.append("whole"))
    monkeypatch.setattr(one, "_dive", lambda effort: done.append(efforts[effort]))
    one.run()
    assert done == steps


def test_a_mix_is_trimmed_to_what_is_wanted() -> None:
    """3 + 2 m three times holds one 3 m too much: the third bar is left with 2 m in it."""
    found = trimmed(PLAIN, [(BOTH, 3)])
    assert found == Packing(((1, ((1, 1),)), (1, ((0, 1), (1, 1))), (1, ((0, 1), (1, 1)))))
    assert trimmed(PLAIN, [(BOTH, 2)]) is None
    assert trimmed(PLAIN, [(THREES, 2), (TWOS, 1)]) == Packing((THREES, TWOS))


def test_a_part_of_the_lengths() -> None:
    problem = Problem((3000, 2000), (2, 3), (6000, 4000, 2500), (1, 5, 9), (True, False, True), 100, 50)
    # widths 3.1 and 2.1 m, rooms 6.05, 4.05 and 2.55 m: 12.5 m are wanted
    assert _part(problem, (0,)) is None  # one of 6 m
    assert _part(problem, (2,)) is None  # 3 m does not go into 2.5 m
    assert _part(problem, (1,)) == Problem((3000, 2000), (2, 3), (4000,), (5,), (False,), 100, 50)
    assert _part(problem, (0, 2)) == Problem((3000, 2000), (2, 3), (6000, 2500), (1, 9), (True, True), 100, 50)
    exact = Problem((3000,), (4,), (6000, 3000), (2, 1), (True, True), 0)
    assert _part(exact, (0,)) is not None  # just as much as is wanted
    assert _part(exact, (1,)) is None


def test_the_least_of_several_parts() -> None:
    parts = [Problem((3000,), (3,), (length,), (3,), (False,), 0) for length in (8000, 6000, 4000, 3500)]
    # 16, 12, 12 and 10.5 m
    assert _best_of(parts) == Answer((Bar(3500, (3000,)),) * 3, 10500, (), "greedy")
    assert _best_of(parts[:3]) == Answer((Bar(6000, (3000, 3000)), Bar(6000, (3000,))), 12000, (), "greedy")
    assert _best_of([parts[2], parts[1]]) == _best_of(parts[:3])  # of as much the fewer bars
    assert _best_of([]) is None
    short = Problem((3000, 2900), (1, 1), (3000, 2950), (1, 1), (True, True), 0)
    assert _best_of([short]) is not None
    never = Problem((3000,), (3,), (6000,), (1,), (True,), 0)
    assert _best_of([never]) is None


def bars(answer: Answer) -> list[int]:
    return [bar.length_mm for bar in answer.bars]


def test_fewest_lengths() -> None:
    assert cut_fewest({}, [Stock(6000)]) == Answer((), 0, (), "greedy")
    # one of each: no single length has enough, and no two
    three = [Stock(6000, 1), Stock(5000, 1), Stock(4000, 1)]
    assert bars(cut_fewest({3900: 3}, three)) == [6000, 5000, 4000]
    assert bars(cut_fewest({3900: 2}, three)) == [5000, 4000]
    # of 61 lengths one at a time is too many to look at: then the least length over all of them
    many = [Stock(6000 + 100 * k) for k in range(61)]
    assert bars(cut_fewest({3000: 2, 6100: 1}, many)) == [6100, 6000]
    assert bars(cut_fewest({3000: 2, 6100: 1}, many[:60])) == [6100, 6100]
    # with a cut of 10 and 20 docked 3 + 2.97 m do not go into 6 m
    assert bars(cut_fewest({3000: 1, 2970: 1}, [Stock(6000)], 10, 20)) == [6000]
    assert bars(cut_fewest({3000: 1, 2971: 1}, [Stock(6000)], 10, 20)) == [6000, 6000]


def test_a_few_lengths() -> None:
    """5.9, 3.5 and 2.3 m out of 6, 3.6 and 2.4 m: three lengths, 12 m. Of two 6 + 6 (3.5 + 2.3 in 6) is 12 m too."""
    stock, pieces = [Stock(6000), Stock(3600), Stock(2400)], {5900: 1, 3500: 1, 2300: 2}
    assert (
        bars(cut_few(pieces, stock, 0, 0, 3)) == [6000, 3600, 2400, 2400]
        or len(set(bars(cut_few(pieces, stock, 0, 0, 3)))) <= 3
    )
    two = cut_few(pieces, stock, 0, 0, 2)
    assert (len(set(bars(two))), two.bought_mm) == (2, 14400)
    assert bars(cut_few(pieces, stock, 0, 0, 1)) == [6000, 6000, 6000]
    # where the supply of one is not enough more are used
    some = [Stock(6000, 1), Stock(3600), Stock(2400)]
    assert set(bars(cut_few({5900: 1, 3500: 2}, some, 0, 0, 1))) == {6000, 3600}
    assert cut_few({}, stock, 0, 0, 1) == Answer((), 0, (), "greedy")
