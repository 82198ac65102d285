"""Cut ends held against many others at once say what the rule of two ends says of each pair alone: a second way, over ends of all
sorts. The rule of two itself stands by hand in test_sheets_bought_by_hand.py."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from made_up_sheets import piece

from takeoff.order.sheets.nesting import EndLine
from takeoff.order.sheets.pair_ends import CutEnds
from takeoff.order.sheets.raked_pairs import Half, PairRule, _laying_refuses, pair_length, why_not

# (rises to, rake, slack from left to right); two that are no rake over the whole width
LINES = [
    ("right", 20.0, ((0.0, 291.0), (800.0, 0.0))),
    ("left", 20.0, ((0.0, 0.0), (800.0, 291.0))),
    ("right", 20.5, ((0.0, 299.0), (800.0, 0.0))),
    ("right", 20.75, ((0.0, 303.0), (800.0, 0.0))),
    ("", 0.0, ((0.0, 200.0), (300.0, 0.0), (800.0, 150.0))),
    ("", 0.0, ((0.0, 0.0), (500.0, 0.0), (800.0, 400.0))),
]
REACHES = [(1203.0, 0.0, 0.0), (1610.0, 20.0, 0.0), (90.0, 15.0, 0.0), (2500.0, 0.0, 400.0)]


def ends() -> list[Half]:
    """Over profiles, ends, sides and cuts; reach, what is turned down and short pieces go round by turns."""
    found = []
    for n, (profile, end, side, cut) in enumerate(product(("rib", "wavy"), ("top", "foot"), ("left", "right"), LINES)):
        rises, rake, points = cut
        reach, turn, guests = REACHES[(n + n // 4) % 4]
        own = piece(f"P1.{n:02d}", reach, start_side=side, profile=profile, reach_mm=reach, foot_turn_mm=turn)
        found.append(Half(own, end, EndLine(points), rises, rake, reach + turn + 60.0 + (n % 3) * 20.0, guests))
    return found


HALVES = ends()


def rule(
    half_turn_same: bool = False, limit_mm: float = 9000.0, step_mm: float = 10.0, least_mm: float = 0.0
) -> PairRule:
    return PairRule(800.0, half_turn_same, limit_mm, 0.5, 50.0, step_mm, least_mm)


@pytest.mark.parametrize("half_turn_same", [False, True])
def test_whom_hand_rake_and_laps_let_be_a_pair(half_turn_same: bool) -> None:
    own = rule(half_turn_same)
    many = CutEnds(list(enumerate(HALVES)), own)
    found = many.laid_as(np.arange(len(HALVES))).tolist()
    assert found == [[not _laying_refuses(one, other, own) for other in HALVES] for one in HALVES]
    assert 0 < sum(map(sum, found)) < len(HALVES) ** 2
    assert many.laid_as(np.array([7, 3])).tolist() == [found[7], found[3]]
    assert many.kind.tolist() == list(range(len(HALVES)))


# limits by the step that lengths are bought in, so that some pair meets one exactly
@pytest.mark.parametrize(
    "own",
    [
        rule(),
        rule(True),
        rule(True, 3000.0),
        rule(True, 3200.0, 1.0),
        rule(True, 9000.0, 7.0, 1500.0),
        *(rule(True, 4000.0 + 10.0 * more) for more in range(12)),
    ],
)
def test_the_pairs_and_their_lengths(own: PairRule) -> None:
    many = CutEnds(list(enumerate(HALVES)), own)
    one, others = np.nonzero(many.laid_as(np.arange(24)))
    pair, lengths = many.pairs(one, others)
    both = [(HALVES[a], HALVES[b]) for a, b in zip(one.tolist(), others.tolist(), strict=True)]
    assert pair.tolist() == [not why_not(a, b, own) for a, b in both]
    wanted = [pair_length(*ends, own) for ends, is_one in zip(both, pair, strict=True) if is_one]
    assert lengths[pair].tolist() == [pytest.approx(length, abs=1e-9) for length in wanted]
    assert wanted


def test_a_pair_that_saves_nothing() -> None:
    """1203 and 1203 and both allowances are 2506, less 291 that nest 2215: alone they are to be more by a crumb."""
    for alone, is_one in ((1107.5, False), (1107.504, False), (1107.506, True)):
        own = [
            Half(piece(f"P1.{n}", 1203.0, reach_mm=1203.0), "top", EndLine(LINES[0][2]), "right", 20.0, alone)
            for n in (0, 1)
        ]
        many = CutEnds(list(enumerate(own)), rule(True, step_mm=1.0))
        pair, lengths = many.pairs(np.array([0]), np.array([1]))
        assert (pair.tolist(), lengths.tolist()) == ([is_one], [2215.0])


def test_a_crumb_buys_no_step_more() -> None:
    """1203.002 twice with allowances, less 291, is 2215.004: 2215 still."""
    cut = EndLine(LINES[0][2])
    own = [Half(piece(f"P1.{n}", 1203.0, reach_mm=1203.002), "top", cut, "right", 20.0, 1400.0) for n in (0, 1)]
    lengths = CutEnds(list(enumerate(own)), rule(True, step_mm=1.0)).pairs(np.array([0]), np.array([1]))[1]
    assert lengths.tolist() == [2215.0] == [pair_length(*own, rule(True, step_mm=1.0))]
