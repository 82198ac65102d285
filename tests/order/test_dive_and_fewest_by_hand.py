"""The last steps of the long search for a cutting plan, each by hand: dives, how far it is searched, fewest lengths."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.order.cut_stock import dive as of_dive
from takeoff.order.cut_stock import programme as of_programme
from takeoff.order.cut_stock.columns import Relaxed, columns_of
from takeoff.order.cut_stock.dive import Dive
from takeoff.order.cut_stock.fewest import _best_of, _part, cut_few, cut_fewest
from takeoff.order.cut_stock.greedy import best_greedy
from takeoff.order.cut_stock.master import LinearMaster
from takeoff.order.cut_stock.problem import Answer, Bar, Packing, Pattern, Problem, Stock, bought_of
from takeoff.order.cut_stock.programme import Effort, Programme, trimmed
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


def test_the_way_of_a_dive(monkeypatch: pytest.MonkeyPatch) -> None:
    """40 pieces of 3 m by hand: ten bars of two, then ten more, 120 m; then the second choice, four bars of one with bars of
    two banned: 24 m bought and at least 96 m to go are no less than 120 m, so it ends there. Each programme took 7 rounds."""
    two, one = (0, ((0, 2),)), (0, ((0, 1),))
    asked: list[tuple[Any, ...]] = []
    problem = Problem((3000,), (40,), (6000,), (40,), (False,), 0)
    master: Any = SimpleNamespace(
        problem=problem, columns=[two, one], set_rest=lambda rest, left, banned: asked.append((rest, left, banned))
    )

    def generated(_: Any, rest: Any, left: Any, rounds: int, cutoff: float) -> Relaxed:
        asked.append((rest, left, rounds, cutoff))
        return Relaxed((10.0, 4.0), Fraction(96000 if rest == (36,) else 0), complete=True, rounds=7)

    monkeypatch.setattr(of_dive, "generate", generated)
    way = Dive(master, 10**6, 0, 600, deviations=1, depth=1, near_mm=0)
    way.run()
    assert asked == [
        ((40,), (40,), frozenset()), ((40,), (40,), 400, 10**6),
        ((20,), (30,), frozenset()), ((20,), (30,), 400, 10**6 - 60000),
        ((36,), (36,), frozenset({two})), ((36,), (36,), 400, 120000 - 24000),
    ]  # fmt: skip
    assert way.best == Packing((two,) * 20)
    assert (way.best_mm, way.rounds, way.bars) == (120000, 600 - 21, [])
    # one choice a level below the depth, and none strayed twice
    asked.clear()
    narrow = Dive(master, 10**6, 0, 600, deviations=1, depth=0, near_mm=0)
    narrow.run()
    assert len(asked) == 4
    # few rounds are the most that a programme may take
    asked.clear()
    Dive(master, 10**6, 0, 7, deviations=1, depth=1, near_mm=0).run()
    assert [row for row in asked if len(row) == 4] == [((40,), (40,), 7, 10**6)]


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
    """With pieces missing any whole plan is less: all the stock there is and a millimetre. The first dive is told the end of
    the linear programme at the root."""
    seen: list[tuple[Any, ...]] = []
    told: list[Any] = []

    class Asked:
        best = None

        def __init__(self, *given: Any) -> None:
            seen.append(given[1:])

        def run(self, known: Any = None) -> None:
            told.append(known)

    monkeypatch.setattr(of_programme, "Dive", Asked)
    missing = () if len(best) > 1 else ((1, 3),)
    one = programme(PLAIN, Packing(best, missing), bound)
    one._at_root = root = Relaxed((), Fraction(0), True, 1)
    one._dive(Effort(600, 2, 3))
    one.bound_mm = 10001
    one._dive(Effort(4000, 4, 8))
    assert seen == [(asked[0], 0, 600, 2, 3, 0), (asked[0], 10001, 4000, 4, 8, 10051)]
    assert told == [root, None]


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
    short = Problem((3000,), (4,), (6000, 3000), (1, 3), (True, True), 0)
    assert _part(short, (0, 1)) is not None
    assert _part(short, (1,)) is None  # 9 m of 12


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
    """5.9 m out of 6 m, 3.5 + 2.3 m out of 6 m, 2.3 m out of 2.4 m: 14.4 m of two lengths; 6 m alone takes three."""
    stock, pieces = [Stock(6000), Stock(3600), Stock(2400)], {5900: 1, 3500: 1, 2300: 2}
    assert bars(cut_few(pieces, stock, 0, 0, 3)) == [6000, 6000, 2400]
    two = cut_few(pieces, stock, 0, 0, 2)
    assert (len(set(bars(two))), two.bought_mm) == (2, 14400)
    assert bars(cut_few(pieces, stock, 0, 0, 1)) == [6000, 6000, 6000]
    # where the supply of one is not enough more are used
    some = [Stock(6000, 1), Stock(3600), Stock(2400)]
    assert set(bars(cut_few({5900: 1, 3500: 2}, some, 0, 0, 1))) == {6000, 3600}
    assert cut_few({}, stock, 0, 0, 1) == Answer((), 0, (), "greedy")
