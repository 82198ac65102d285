"""The steps by which very many pairs are chosen, each on a few nodes by hand; all of them against every choice there is."""

from __future__ import annotations

import random
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from every_pairing import best_of_all

from takeoff.order.sheets import matching
from takeoff.order.sheets.matching import best_pairs


def arrays(*rows: tuple[int, int, float]) -> tuple[Any, Any]:
    """Edges by the places of their nodes, and the share that a linear programme gives each."""
    return np.array([row[:2] for row in rows], dtype=np.int32), np.array([row[2] for row in rows])


# a triangle of halves, a pair that is sure, two that hang together by halves, and an edge that is not taken
MIXED = arrays(
    (0, 1, 0.5),
    (1, 2, 0.5),
    (0, 2, 0.5),
    (3, 4, 1.0),
    (5, 6, 0.25),
    (6, 7, 0.75),
    (2, 3, 0.0),
    (8, 9, 1.0 - 5e-7),
    (10, 11, 5e-7),
)


def test_nodes_that_hang_together() -> None:
    """A share within a millionth of none or all is none or all."""
    assert list(matching._parts(*MIXED)) == [frozenset({0, 1, 2}), frozenset({5, 6, 7})]
    near = arrays((8, 9, 1.0 - 2e-6), (10, 11, 2e-6), (11, 12, 0.5))
    assert list(matching._parts(*near)) == [frozenset({8, 9}), frozenset({10, 11, 12})]


def test_edges_within_a_part() -> None:
    ends, _ = MIXED
    assert matching._within(frozenset({0, 1, 2, 3}), ends, 12).tolist() == [0, 1, 2, 6]
    assert matching._within(frozenset({4, 5}), ends, 12).tolist() == []


@pytest.mark.parametrize(
    ("part", "shares", "breaks"),
    [
        ({0, 1, 2}, (0.5, 0.5, 0.5), True),  # a pair and a half of three nodes
        ({0, 1, 2}, (0.5, 0.5, 0.0), False),
        ({0, 1, 2}, (0.5, 0.5, 5e-7), False),
        ({0, 1, 2}, (0.5, 0.5, 2e-6), True),
        ({0, 1, 2, 3}, (0.9, 0.9, 0.9), False),  # of an even number none need stay alone
    ],
)
def test_shares_that_an_odd_part_cannot_have(part: set[int], shares: tuple[float, ...], breaks: bool) -> None:
    ends, own = arrays(*((*edge, share) for edge, share in zip(((0, 1), (1, 2), (0, 2)), shares, strict=True)))
    assert matching._breaks(frozenset(part), ends, own, 4) is breaks


def opened(rows: tuple[tuple[int, int, float], ...], costs: tuple[float, ...], nodes: int) -> list[int]:
    ends, shares = arrays(*rows)
    return np.flatnonzero(matching._open(ends, shares, np.array(costs), nodes)).tolist()


def test_nodes_that_are_looked_at_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """0 to 2 hang in the balance. Of the sure pairs 3-4, 5-6 and 7-8 the one is parted for them whose nodes cost least with
    them: 2 + 9, 4 + 3 and 1 + 7; what it costs with another counts for nothing."""
    halves = ((0, 1, 0.5), (1, 2, 0.5), (0, 2, 0.5))
    sure = ((3, 4, 1.0), (5, 6, 1.0), (7, 8, 1.0))
    beside = ((0, 3, 0.0), (1, 4, 0.0), (2, 5, 0.0), (0, 6, 0.0), (1, 7, 0.0), (2, 8, 0.0), (1, 3, 0.0), (4, 6, 0.0))
    costs = (0.0,) * 6 + (2.0, 9.0, 4.0, 3.0, 1.0, 7.0, 8.0, -50.0)
    found = {}
    for most in (0, 1, 2, 3):
        monkeypatch.setattr(matching, "_PARTED", most)
        found[most] = opened((*halves, *sure, *beside), costs, 10)
    assert found == {0: [0, 1, 2], 1: [0, 1, 2, 5, 6], 2: [0, 1, 2, 5, 6, 7, 8], 3: [0, 1, 2, 3, 4, 5, 6, 7, 8]}
    # nothing hangs in the balance: nothing is parted
    assert opened((*sure, *beside), costs[3:], 10) == []
    # a pair at which no open node lies is parted last
    assert opened((*halves, (3, 4, 1.0), (5, 6, 1.0), (0, 5, 0.0), (0, 6, 0.0)), (0.0,) * 7, 7) == list(range(7))


def test_partners_by_their_places() -> None:
    """Nodes 10, 20, 30, 40 and 50, of which 50 stands alone; 10-30 is no pair."""
    rows = {10: 0, 20: 1, 30: 2, 40: 3, 50: 4}
    worth = {(10, 20): 3.0, (30, 40): 4.0, (10, 50): 6.0, (20, 40): 1.0}
    partners = matching._Partners([(10, 20), (30, 40), (50, None)], rows, worth)
    assert partners.pairs() == [(10, 20), (30, 40), (50, None)]
    assert partners._worth.tolist() == [3.0, 4.0, 0.0]
    never = -matching._NEVER
    assert partners._with(0).tolist() == [never, 3.0, never, never, 6.0, 0.0]
    assert partners._with(5).tolist() == [0.0] * 6
    # 10 goes with 50 and leaves 20 alone: 6 in place of 3
    assert [partners.exchange(place) for place in (1, 0, 2)] == [False, True, False]
    assert partners.pairs() == [(10, 50), (30, 40), (20, None)]
    assert partners._worth.tolist() == [6.0, 4.0, 0.0]


def test_one_exchange_after_another() -> None:
    """0-1 with 2-3, then what has become of it with 4-5, then with 6-7: 0 goes from 1 to 2 to 4 to 6, worth more each time."""
    worth = {
        (0, 1): 1.0,
        (2, 3): 1.0,
        (4, 5): 1.0,
        (6, 7): 1.0,
        (0, 2): 5.0,
        (1, 3): 1.0,
        (0, 4): 9.0,
        (2, 5): 1.0,
        (0, 6): 13.0,
        (4, 7): 1.0,
    }
    rows = {node: node for node in range(8)}
    partners = matching._Partners([(0, 1), (2, 3), (4, 5), (6, 7)], rows, worth)
    assert partners.exchange(0)
    assert partners.pairs() == [(0, 6), (1, 3), (2, 5), (4, 7)]
    assert partners._worth.tolist() == [13.0, 1.0, 1.0, 1.0]
    assert not partners.exchange(0)
    # a millionth more is not worth an exchange
    even = matching._Partners([(0, 1), (2, 3)], rows, {(0, 1): 1.0, (2, 3): 1.0, (0, 2): 1.0 + 5e-7, (1, 3): 1.0})
    assert not even.exchange(0)


def test_of_too_many_pairs_the_best_of_each(monkeypatch: pytest.MonkeyPatch) -> None:
    worth = {(0, 1): 5.0, (0, 2): 4.0, (0, 3): 3.0, (1, 2): 9.0, (1, 3): 1.0, (2, 3): 2.0}
    monkeypatch.setattr(matching, "BEST", 1)
    monkeypatch.setattr(matching, "MOST_EDGES", 6)
    assert matching._most_worth(worth) == (sorted(worth), True)
    monkeypatch.setattr(matching, "MOST_EDGES", 5)
    assert matching._most_worth(worth) == ([(0, 1), (0, 3), (1, 2)], False)
    assert best_pairs(worth) == (((0, 3), (1, 2)), False)
    # of pairs that are worth the same the first by their places
    assert matching._most_worth(dict.fromkeys(combinations(range(4), 2), 1.0)) == ([(0, 1), (0, 2), (0, 3)], False)


def test_a_half_that_is_taken_is_not_taken_twice() -> None:
    assert matching._each_once([(0, 1), (1, 2), (2, 3), (3, 4)]) == ((0, 1), (2, 3))


@pytest.mark.parametrize("rounds", [1, 30])
@pytest.mark.parametrize("seed", range(8))
def test_the_linear_programme_and_what_is_left_over(seed: int, rounds: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Eleven nodes in triangles that are worth much in themselves, so that halves are left after one round."""
    chance = random.Random(seed)
    worth = {
        (a, b): (90.0 if a // 3 == b // 3 else 20.0) + chance.random() * 10.0
        for a, b in combinations(range(11), 2)
        if a // 3 == b // 3 or chance.random() < 0.4
    }
    monkeypatch.setattr(matching, "_MANY_EDGES", 0)
    monkeypatch.setattr(matching, "_ROUNDS", rounds)
    best = best_of_all(worth, frozenset(range(11)))
    chosen, bound = matching._by_odd_sets(sorted(worth), worth)
    assert sum(worth[edge] for edge in chosen) == pytest.approx(best, abs=1e-5)
    assert bound >= best - 1e-5
    assert best_pairs(worth)[1] is (bound - best < 1e-6)


@pytest.mark.parametrize(
    ("least", "way"), [((2, 5), "_whole"), ((1, 5), "_by_trees"), ((1, 1), "_by_odd_sets"), ((2, 2), "_whole")]
)
def test_by_which_way_pairs_are_chosen(least: tuple[int, int], way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """By how many there are: two, over some and over many or on either limit."""
    asked: list[str] = []
    answers: dict[str, Any] = {"_whole": (((0, 1),), False), "_by_trees": ((0, 1),), "_by_odd_sets": (((0, 1),), 6.0)}
    for name, answer in answers.items():
        monkeypatch.setattr(matching, name, lambda *_, name=name, answer=answer: asked.append(name) or answer)
    monkeypatch.setattr(matching, "_SOME_EDGES", least[0])
    monkeypatch.setattr(matching, "_MANY_EDGES", least[1])
    chosen, proven = best_pairs({(0, 1): 5.0, (1, 2): 3.0})
    assert (asked, chosen, proven) == ([way], ((0, 1),), way == "_by_trees")
    assert best_pairs({}) == ((), True)
