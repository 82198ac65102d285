"""The steps of the long search for a cutting plan, each by hand: short lists and the linear programme."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import product
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.order.cut_stock import master as of_master
from takeoff.order.cut_stock.columns import Relaxed, _charges, columns_of, generate
from takeoff.order.cut_stock.master import LinearMaster, _entries, _rows, fits, solve_whole
from takeoff.order.cut_stock.problem import Packing, Problem, Stock, bought_of, make_problem
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
    # 4 and 2.5 m out of 4 m each: 8 m, where 6 and 4 m would be 10
    problem = Problem((4000, 2500), (1, 1), (6000, 4000), (1, 2), (True, False), 0)
    assert found_by(problem) == Found(Packing(((1, ((0, 1),)), (1, ((1, 1),)))), finished=True)


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
    ("column", "demands", "supplies", "held"),
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
    column: Any, demands: Sequence[int], supplies: Sequence[int], held: bool
) -> None:
    assert fits(column, demands, supplies) is held


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


@pytest.mark.parametrize(
    ("duals", "supplies", "added"),
    [
        # 6 m and 2 mm for the bar; a millionth over that is no gain, two are
        ((3001.0, 0.0), (5, 5), []),
        ((3001.0 + 1e-6, 0.0), (5, 5), []),
        ((3001.0 + 2e-4, 0.0), (5, 5), [(0, ((0, 2),))]),
        # 5 m are limited, at 700 more: 3001 and 2701 are just its worth
        ((3001.0, 2701.0), (0, 5), []),
        ((3001.0, 2701.0 + 4e-4), (0, 1), [(1, ((0, 1), (1, 1)))]),
        ((3001.0, 2701.0 + 4e-4), (0, 0), []),
        ((3001.0, 2701.0 + 4e-4), (1, 0), [(0, ((1, 3),))]),
    ],
)
def test_which_bars_are_worth_more_than_they_cost(
    duals: tuple[float, float], supplies: tuple[int, int], added: list[Any]
) -> None:
    """By given prices of 3 and 2 m pieces, 2 mm for each bar and 700 for one of 5 m."""
    limited = Problem((3000, 2000), (2, 3), (6000, 5000), (5, 5), (False, True), 0)
    columns: list[Any] = []
    master: Any = SimpleNamespace(
        problem=limited, bar_mm=2.0, missing=lambda: 0.0, solve=lambda: ([1.0], duals, [-700.0]), add=columns.append
    )
    relaxed = generate(master, limited.demands, supplies, 1)
    assert columns == added
    assert (relaxed.shares, relaxed.complete, relaxed.rounds) == ((1.0,), True, 1)


def test_a_negative_price_is_none_and_missing_pieces_are_not_complete() -> None:
    master: Any = SimpleNamespace(
        problem=PLAIN, bar_mm=2.0, missing=lambda: 0.5, solve=lambda: ([1.0], (-5.0, 2000.0), []), add=lambda _: True
    )
    found = generate(master, PLAIN.demands, PLAIN.supplies, 1)
    # three pieces of 2 m at 2000 mm each are 6 m of 6 m
    assert (found.bound_mm, found.complete) == (6000, False)
    assert not generate(
        SimpleNamespace(**{**vars(master), "add": lambda _: False}), PLAIN.demands, PLAIN.supplies, 5
    ).complete  # type: ignore[arg-type]


def test_what_the_solver_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nodes, no gap, and half a step over the target: steps are 1 m."""
    told: list[tuple[str, Any]] = []
    plain = of_master.quiet_solver

    class Told:
        def __init__(self) -> None:
            self.own = plain()

        def setOptionValue(self, name: str, value: Any) -> None:  # noqa: N802 - the library's name
            told.append((name, value))
            self.own.setOptionValue(name, value)

        def __getattr__(self, name: str) -> Any:
            return getattr(self.own, name)

    monkeypatch.setattr(of_master, "quiet_solver", Told)
    assert solve_whole(PLAIN, [THREES, TWOS], (2, 3), (5, 5), 7, target_mm=12000) is not None
    assert told == [("mip_max_nodes", 7), ("mip_rel_gap", 0.0), ("objective_target", 12.5)]
    told.clear()
    LinearMaster(PLAIN)
    assert told == [("presolve", "off"), ("simplex_strategy", 1)]
