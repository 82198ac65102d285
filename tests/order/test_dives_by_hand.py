"""A dive for a plan of less, by hand: which bars are fixed, what is left then, and how far it goes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.order.cut_stock import dive as of_dive
from takeoff.order.cut_stock.columns import Relaxed, columns_of
from takeoff.order.cut_stock.dive import Dive
from takeoff.order.cut_stock.greedy import best_greedy
from takeoff.order.cut_stock.master import LinearMaster
from takeoff.order.cut_stock.problem import Packing, Pattern, Problem, Stock, bought_of
from takeoff.order.cut_stock.search import Found
from takeoff.order.cut_stock.solve import cut_least

FREE = (False, False)
# two pieces of 3 m and three of 2 m out of 6 and 5 m: 3 + 3 and 2 + 2 + 2 m are two of 6 m
PLAIN = Problem((3000, 2000), (2, 3), (6000, 5000), (5, 5), FREE, 0)
THREES, TWOS, BOTH = (0, ((0, 2),)), (0, ((1, 3),)), (1, ((0, 1), (1, 1)))


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
    one = dive(PLAIN, columns, deviations=9)
    relaxed = Relaxed((0.25, 2.5, 0.0, 0.75, 0.9999999, 1e-7), Fraction(0), complete=True, rounds=1)
    by_share = [{columns[1]: 2}, {columns[4]: 1}, {columns[3]: 1}, {columns[0]: 1}]
    assert one._choices(relaxed, (2, 3), 0, 0) == (by_share, 1)
    # with nine strayed already one is tried, and from the depth on
    assert one._choices(relaxed, (2, 3), 2, 9) == (by_share[:1], 3)
    assert one._choices(relaxed, (2, 3), 3, 0) == (by_share[:1], 4)
    level = Relaxed((0.5, 0.5000001, 1.0, 3.0, 0.5, 0.0), Fraction(0), complete=True, rounds=1)
    assert one._choices(level, (2, 3), 0, 0)[0] == [
        {columns[n]: times} for n, times in ((3, 3), (2, 1), (0, 1), (1, 1), (4, 1))
    ]


def test_bars_of_a_whole_part_are_fixed_together() -> None:
    """Two and a half of 3 + 3 m and three of 2 + 2 + 2 m: two and three at once, which is no step further down."""
    one = dive(PLAIN, [THREES, TWOS, BOTH], at_once=True)
    relaxed = Relaxed((2.5, 3.0, 0.25), Fraction(0), complete=True, rounds=1)
    whole = {TWOS: 3, THREES: 2}
    # 39 pieces, of which 26 are left: more than the 20 that are searched
    assert one._choices(relaxed, (30, 9), 1, 0) == ([whole], 1)
    # of 26 pieces 13 are left: the second choice leaves seven more, three bars of two, or of three, as full: by their number
    assert one._choices(relaxed, (17, 9), 1, 0) == ([whole, {TWOS: 2, THREES: 0}], 1)
    assert one._choices(relaxed, (17, 9), 3, 0) == ([whole], 3)
    assert one._choices(relaxed, (17, 9), 1, 2) == ([whole], 1)
    # 20 were searched as they are
    assert one._choices(relaxed, (11, 9), 1, 0) == ([whole], 1)
    assert one._choices(relaxed, (12, 9), 1, 0) == ([whole, {TWOS: 1, THREES: 0}], 1)
    # whole but for a crumb
    crumb = Relaxed((1.9999999, 0.5, 0.25), Fraction(0), complete=True, rounds=1)
    assert one._choices(crumb, (30, 9), 1, 0) == ([{THREES: 2}], 1)
    # none wholly: one after another
    parts = Relaxed((0.5, 0.9, 0.25), Fraction(0), complete=True, rounds=1)
    assert one._choices(parts, (30, 9), 1, 1) == ([{TWOS: 1}, {THREES: 1}], 2)


def test_the_fullest_of_the_bars_stay_fixed() -> None:
    """Bars with 2, 1 and 0 m over, of one, two and three pieces, 20 pieces together. Of 31 pieces 11 are in none of them:
    nine more make up the 20 that are searched: two bars of one, three of two, and one piece is too few for one of three."""
    problem = Problem((3000, 2000, 4000), (9, 99, 9), (6000,), (99,), (False,), 0)
    fours, pair = (0, ((2, 1),)), (0, ((0, 1), (1, 1)))
    one = dive(problem)
    # by share: 4 of 5 m are more than 4.5 of 6
    mixed = Problem((4500, 4000), (9, 99), (6000, 5000), (99, 99), FREE, 0)
    long, short = (0, ((0, 1),)), (1, ((1, 1),))
    assert dive(mixed)._fullest({long: 5, short: 5}, (5, 20)) == {long: 0, short: 5}
    whole = {TWOS: 4, pair: 3, fours: 2}
    for pieces, kept in (
        (31, (0, 0, 4)),
        (30, (0, 0, 4)),
        (29, (0, 0, 3)),
        (36, (0, 2, 4)),
        (39, (1, 3, 4)),
        (60, (2, 3, 4)),
    ):
        assert one._fullest(whole, (9, pieces - 9, 0)) == dict(zip((fours, pair, TWOS), kept, strict=True))


def test_what_is_left_once_bars_are_fixed() -> None:
    one = dive(PLAIN)
    assert one._fix((5, 3), (4, 9), {THREES: 2}) == ((1, 3), (2, 9), {THREES: 2})
    assert one.bars == [THREES, THREES]
    # as often as pieces and bars last
    assert one._fix((5, 3), (4, 9), {THREES: 9}) == ((1, 3), (2, 9), {THREES: 2})
    assert one._fix((9, 3), (1, 9), {THREES: 9}) == ((7, 3), (0, 9), {THREES: 1})
    assert one._fix((2, 1), (4, 9), {BOTH: 5}) == ((1, 0), (4, 8), {BOTH: 1})
    assert len(one.bars) == 6
    # together: once two bars have all of 3 m none is left for a third, and the last two of 6 m for 2 + 2 + 2 m
    assert one._fix((4, 9), (4, 9), {THREES: 2, BOTH: 1, TWOS: 3}) == ((0, 3), (0, 9), {THREES: 2, TWOS: 2})


def test_a_short_rest_is_searched() -> None:
    """20 pieces are few, 21 are not; what is found is added to the bars that are fixed, and kept where it is less."""
    few = Problem((3000,), (16,), (6000, 3000), (16, 16), FREE, 0)
    one = dive(few)
    one.bars = [(1, ((0, 1),))]
    assert one._finish_short((15,), (16, 15), 3000)
    assert (one.best_mm, one.bars) == (7 * 6000 + 3000 + 3000, [(1, ((0, 1),))])
    assert one.best is not None
    assert len(one.best.bars) in range(9, 17)
    many = Problem((3000,), (21,), (6000,), (21,), (False,), 0)
    assert not dive(many)._finish_short((21,), (21,), 0)
    assert dive(many)._finish_short((20,), (21,), 0)
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
    assert settled.best is not None
    assert sorted(settled.best.bars) == [THREES, TWOS]
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


def mocked(
    pieces: int, monkeypatch: pytest.MonkeyPatch, *shares: float, bounds: dict[int, int]
) -> tuple[Any, list[Any]]:
    """A programme of pieces of 3 m that go into bars by two or one, of such shares; bounds by what is left [mm], else 0."""
    asked: list[tuple[Any, ...]] = []
    problem = Problem((3000,), (pieces,), (6000,), (pieces,), (False,), 0)
    columns = [(0, ((0, 2),)), (0, ((0, 1),))]

    def generated(_: Any, rest: Any, left: Any, rounds: int, cutoff: float) -> Relaxed:
        asked.append((rest, left, rounds, cutoff))
        return Relaxed(shares, Fraction(bounds.get(rest[0], 0)), complete=True, rounds=7)

    monkeypatch.setattr(of_dive, "generate", generated)
    told = SimpleNamespace(
        problem=problem, columns=columns, set_rest=lambda rest, left, banned: asked.append((rest, left, banned))
    )
    return told, asked


def test_the_way_of_a_dive(monkeypatch: pytest.MonkeyPatch) -> None:
    """60 pieces of 3 m by hand: nine bars of two, nine more and nine more, the last six pieces are searched, 180 m; then the
    second choice, four bars of one with bars of two banned: 24 m bought and at least 156 m to go are no less than 180 m,
    so it ends there. Each programme took 7 rounds."""
    master, asked = mocked(60, monkeypatch, 9.0, 4.0, bounds={56: 156000})
    two = (0, ((0, 2),))
    way = Dive(master, 10**6, 0, 600, deviations=1, depth=1, near_mm=0)
    way.run()
    assert asked == [
        ((60,), (60,), frozenset()), ((60,), (60,), 400, 10**6),
        ((42,), (51,), frozenset()), ((42,), (51,), 400, 10**6 - 54000),
        ((24,), (42,), frozenset()), ((24,), (42,), 400, 10**6 - 108000),
        ((56,), (56,), frozenset({two})), ((56,), (56,), 400, 180000 - 24000),
    ]  # fmt: skip
    assert way.best == Packing((two,) * 30)
    assert (way.best_mm, way.rounds, way.bars) == (180000, 600 - 28, [])
    # one choice a level below the depth, and none strayed twice
    asked.clear()
    narrow = Dive(master, 10**6, 0, 600, deviations=1, depth=0, near_mm=0)
    narrow.run()
    assert len(asked) == 6
    # few rounds are the most that a programme may take
    asked.clear()
    Dive(master, 10**6, 0, 7, deviations=1, depth=1, near_mm=0).run()
    assert [row for row in asked if len(row) == 4] == [((60,), (60,), 7, 10**6)]


def test_a_path_strays_no_more_than_it_may(monkeypatch: pytest.MonkeyPatch) -> None:
    """23 pieces: two less are 21, and then 19 or 20 are searched; one less, the second choice, are 22, and there only the first
    choice is left: 20."""
    master, asked = mocked(23, monkeypatch, 0.5, 0.4, bounds={})
    Dive(master, 10**6, 0, 600, deviations=1, depth=9, near_mm=0).run()
    assert [row[0] for row in asked if len(row) == 4] == [(23,), (21,), (22,)]


def test_what_a_short_rest_is_searched_for(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[Any, ...]] = []
    monkeypatch.setattr(
        of_dive, "search", lambda *given: asked.append(given) or Found(Packing((TWOS,)), finished=False)
    )
    way = dive(PLAIN, best_mm=20000, floor_mm=9000)
    way.bars = [THREES]
    assert not way._finish_short((0, 3), (4, 5), 6000)
    assert asked == [(PLAIN, (0, 3), (4, 5), 14000, 3000, 4000)]
    assert way.best is not None
    assert (sorted(way.best.bars), way.best_mm) == ([THREES, TWOS], 12000)


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
