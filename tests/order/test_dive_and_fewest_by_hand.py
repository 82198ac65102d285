"""The last steps of the long search for a cutting plan, each by hand: how far it is searched, fewest lengths."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.order.cut_stock import programme as of_programme
from takeoff.order.cut_stock.columns import Relaxed
from takeoff.order.cut_stock.fewest import _best_of, _part, cut_few, cut_fewest
from takeoff.order.cut_stock.problem import Answer, Bar, Packing, Pattern, Problem, Stock, bought_of
from takeoff.order.cut_stock.programme import Effort, Programme, trimmed

FREE = (False, False)
# two pieces of 3 m and three of 2 m out of 6 and 5 m: 3 + 3 and 2 + 2 + 2 m are two of 6 m
PLAIN = Problem((3000, 2000), (2, 3), (6000, 5000), (5, 5), FREE, 0)
THREES, TWOS, BOTH = (0, ((0, 2),)), (0, ((1, 3),)), (1, ((0, 1), (1, 1)))


def programme(problem: Problem, best: Packing, bound: int) -> Programme:
    return Programme(problem, best, bound)


def test_when_a_bound_is_met() -> None:
    """12 m bought against a bound of 10 m is a fifth over it."""
    one = programme(PLAIN, Packing((THREES, TWOS)), 10000)
    assert one.method == "greedy"
    # those of the plan, and 5 m full beside a piece of 3 m
    assert one.master.columns == [THREES, TWOS, BOTH]
    assert programme(PLAIN, Packing((BOTH,)), 0).master.columns == [BOTH, THREES, TWOS]
    assert Programme(PLAIN, Packing((BOTH,)), 0, [TWOS]).master.columns == [BOTH, TWOS]
    assert [one._met(share) for share in (0.0, 0.19, 0.2, 0.21)] == [False, False, True, True]
    one.bound_mm = 12000
    assert one._met(0.0)
    one.best = Packing((THREES,), ((1, 3),))
    assert not one._met(1.0)


def test_another_quick_plan_is_taken_where_it_is_better() -> None:
    """3 + 2 m out of 5 m and the rest out of three more, 20 m, against 12 m: the better one stands, its bars are known."""
    begun = Packing((BOTH, BOTH, (1, ((1, 1),))))
    one = programme(PLAIN, begun, 10000)
    one._take(Packing((THREES, TWOS)))
    assert (one.best, one.master.columns) == (Packing((THREES, TWOS)), [BOTH, (1, ((1, 1),)), THREES, TWOS])
    one._take(begun)
    assert one.best == Packing((THREES, TWOS))


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

        def __init__(self, *given: Any, at_once: bool) -> None:
            seen.append((*given[1:], at_once))

        def run(self, known: Any = None) -> None:
            told.append(known)

    monkeypatch.setattr(of_programme, "Dive", Asked)
    missing = () if len(best) > 1 else ((1, 3),)
    one = programme(PLAIN, Packing(best, missing), bound)
    one._at_root = root = Relaxed((), Fraction(0), True, 1)
    one._dive(Effort(600, 2, 3))
    one.bound_mm = 10001
    one._dive(Effort(4000, 4, 8))
    assert seen == [(asked[0], 0, 600, 2, 3, 0, False), (asked[0], 10001, 4000, 4, 8, 10051, False)]
    assert told == [root, None]
    # a plan of 15 m at its bound: as much in fewer bars is looked for, less than a millimetre more
    one.bound_mm = 15000
    one._dive(Effort(600, 2, 3, at_once=True))
    assert seen[2][:5] == (15001 if len(best) > 1 else asked[0], 15000, 600, 2, 3)
    assert seen[2][6]


@pytest.mark.parametrize(
    ("kinds", "bought", "bound", "columns", "steps"),
    [
        (2, 12000, 12000, 9, ["root", "quick"]),
        (2, 12100, 12000, 9, ["root", "quick", "all", "narrow", "whole", "middling"]),  # between 5 and 10 in a thousand
        (2, 12120, 12000, 9, ["root", "quick", "all", "narrow", "whole", "middling"]),
        (2, 12121, 12000, 9, ["root", "quick", "all", "narrow", "whole", "wide"]),
        (2, 12060, 12000, 9, ["root", "quick", "all", "narrow", "whole"]),  # near: no more dives
        (2, 12060, 12000, 400, ["root", "quick", "all", "narrow", "whole"]),
        (2, 12060, 12000, 401, ["root", "quick", "all", "narrow"]),  # near, and over many columns
        (2, 12061, 12000, 401, ["root", "quick", "all", "narrow", "whole", "middling"]),
        (300, 12012, 12000, 9, ["root", "quick", "all", "narrow", "whole"]),
        (301, 12012, 12000, 9, ["all"]),  # many lengths and hardly over the bound
        (301, 12013, 12000, 9, ["root", "quick", "all", "narrow", "whole"]),
    ],
)
def test_how_far_a_plan_is_searched(
    kinds: int, bought: int, bound: int, columns: int, steps: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    one = programme(PLAIN, Packing((THREES, TWOS)), bound)
    one.problem = SimpleNamespace(demands=(1,) * kinds)  # type: ignore[assignment]
    one.master = SimpleNamespace(columns=[()] * columns)  # type: ignore[assignment]
    done: list[str] = []
    efforts = {
        of_programme.QUICK: "quick",
        of_programme.NARROW: "narrow",
        of_programme.WIDE: "wide",
        of_programme.MIDDLING: "middling",
    }
    monkeypatch.setattr(of_programme, "bought_of", lambda *_: bought)
    monkeypatch.setattr(of_programme, "best_greedy", lambda problem: Packing((BOTH,)))
    monkeypatch.setattr(one, "_take", lambda quick: done.append("all") if quick == Packing((BOTH,)) else None)
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
