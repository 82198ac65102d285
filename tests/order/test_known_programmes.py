"""Linear programmes of a dive whose end is known: what is left once bars of a mix are fixed is the mix less these bars."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from takeoff.order.cut_stock import dive
from takeoff.order.cut_stock.bounds import material_bound
from takeoff.order.cut_stock.columns import PRICE_SCALE, Priced, Relaxed, less_bars
from takeoff.order.cut_stock.greedy import best_greedy
from takeoff.order.cut_stock.master import Column, LinearMaster
from takeoff.order.cut_stock.problem import Problem, Stock, bought_of, make_problem
from takeoff.order.cut_stock.programme import Programme

# four pieces of 3 m and six of 2 m out of 6 m: two bars of 3 + 3 m and two of 2 + 2 + 2 m, a mm for a mm
PLAIN = Problem((3000, 2000), (4, 6), (6000,), (9,), (False,), 0)
THREES, TWOS = (0, ((0, 2),)), (0, ((1, 3),))
A_MM_EACH = Priced((3000 * PRICE_SCALE, 2000 * PRICE_SCALE), (6000 * PRICE_SCALE,))
FREE: frozenset[Column] = frozenset()


@pytest.fixture
def master() -> LinearMaster:
    made = LinearMaster(PLAIN)
    made.add(THREES)
    made.add(TWOS)
    return made


def _mix(threes: float, twos: float, priced: Priced | None = A_MM_EACH) -> Relaxed:
    return Relaxed((threes, twos), Fraction(24000), complete=True, rounds=5, priced=priced)


def test_what_is_left_is_the_mix_less_the_bars(master: LinearMaster) -> None:
    """One bar of 3 + 3 m is fixed: one of them and two of 2 + 2 + 2 m are left, 18 m, by one programme."""
    left = less_bars(master, _mix(2.0, 2.0), {THREES: 1}, (2, 6), (8,), FREE)
    assert left == Relaxed((1.0, 2.0), Fraction(18000), complete=True, rounds=1, priced=A_MM_EACH)
    both = less_bars(master, _mix(2.0, 2.0), {THREES: 2}, (0, 6), (7,), FREE)
    assert both == Relaxed((0.0, 2.0), Fraction(12000), complete=True, rounds=1, priced=A_MM_EACH)
    # one of each together: 3 + 3 m and 2 + 2 + 2 m are left
    each = less_bars(master, _mix(2.0, 2.0), {THREES: 1, TWOS: 1}, (2, 3), (7,), FREE)
    assert each == Relaxed((1.0, 1.0), Fraction(12000), complete=True, rounds=1, priced=A_MM_EACH)


def test_what_the_mix_does_not_have_is_solved(master: LinearMaster) -> None:
    """A bar more than the mix has; half a bar; a half left of a bar that no longer goes in; one that may not be used."""
    assert less_bars(master, _mix(2.0, 2.0), {THREES: 3}, (0, 6), (6,), FREE) is None
    assert less_bars(master, _mix(0.5, 2.0), {THREES: 1}, (2, 6), (8,), FREE) is None
    assert less_bars(master, _mix(1.5, 2.0), {THREES: 1}, (1, 6), (8,), FREE) is None
    assert less_bars(master, _mix(2.0, 2.0), {THREES: 2}, (0, 6), (7,), frozenset({TWOS})) is None
    assert less_bars(master, _mix(2.0, 2.0), {THREES: 2}, (0, 6), (0,), FREE) is None
    # one that is used up has no say
    assert less_bars(master, _mix(2.0, 2.0), {THREES: 2}, (0, 6), (7,), frozenset({THREES})) is not None


def test_where_a_pattern_is_worth_more_nothing_is_known(master: LinearMaster) -> None:
    assert less_bars(master, _mix(2.0, 2.0, None), {THREES: 1}, (2, 6), (8,), FREE) is None


@pytest.mark.parametrize("seed", range(6))
def test_plans_are_as_long_as_those_of_all_programmes_solved(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lists of some 60 pieces that go badly into three stock lengths: as much is bought with every programme solved."""
    random = Random(seed)
    pieces = {random.randrange(700, 4200): random.randrange(1, 6) for _ in range(22)}
    problem = make_problem(pieces, [Stock(6000), Stock(5400), Stock(4800)], 4)
    found = _planned(problem)
    asked: list[int] = []
    monkeypatch.setattr(dive, "less_bars", lambda *_: asked.append(1))
    assert _planned(problem) == found
    assert asked


def _planned(problem: Problem) -> tuple[int, int]:
    programme = Programme(problem, best_greedy(problem), material_bound(problem))
    programme.run()
    return bought_of(problem, programme.best), programme.bound_mm
