"""Pairs of greatest worth: against every choice there is on small graphs, against their bound on a large one."""

from __future__ import annotations

import random
import time
from itertools import combinations

import pytest
from every_pairing import Worth, best_of_all

from takeoff.order.sheets import matching
from takeoff.order.sheets.matching import best_pairs


def graph(nodes: int, share: float, seed: int) -> Worth:
    """Worths in steps of 10 with crumbs, as those of sheets are: what two lengths save, for a share of all pairs."""
    chance = random.Random(seed)
    saves = [chance.randrange(20, 300) * 10 for _ in range(nodes)]
    edges = (edge for edge in combinations(range(nodes), 2) if chance.random() < share)
    return {(a, b): min(saves[a], saves[b]) + chance.random() / 100.0 for a, b in edges}


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("many", [0, 4000])
def test_pairs_are_the_best_of_all(seed: int, many: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nine nodes: by the linear programme with odd sets (`many` 0) as by the solver alone."""
    monkeypatch.setattr(matching, "_MANY_EDGES", many)
    worth = graph(9, 0.7, seed)
    chosen, _ = best_pairs(worth)
    assert len({node for edge in chosen for node in edge}) == 2 * len(chosen)
    assert sum(worth[edge] for edge in chosen) == pytest.approx(best_of_all(worth, frozenset(range(9))), abs=1e-5)


def test_three_alike_are_one_pair_and_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    """Halves of all three edges are worth 15 to a linear programme; of an odd number one stays alone, so 10 is proven."""
    monkeypatch.setattr(matching, "_MANY_EDGES", 0)
    chosen, proven = best_pairs({(0, 1): 10.0, (0, 2): 10.0, (1, 2): 10.0})
    assert (len(chosen), proven) == (1, True)


def test_hundreds_of_sheets_are_paired_in_seconds() -> None:
    """A hundred and one sheets, an odd number, that all go together: no more than half of what each could save with its longest
    partner, and at least nine tenths of that."""
    worth = graph(101, 1.0, 3)
    begin = time.process_time()
    chosen, _ = best_pairs(worth)
    assert time.process_time() - begin < 10.0
    best = [max(worth[min(a, b), max(a, b)] for b in range(101) if b != a) for a in range(101)]
    assert len(chosen) == 50
    assert 0.9 * sum(best) / 2.0 < sum(worth[edge] for edge in chosen) <= sum(best) / 2.0


def test_partners_are_exchanged_while_that_is_worth_more() -> None:
    """0-1 and 2-3 are worth 2 together, 0-2 and 1-3 worth 9; 4 stands alone and is worth 5 with 0 in place of 2."""
    worth = {(0, 1): 1.0, (2, 3): 1.0, (0, 2): 4.0, (1, 3): 5.0, (0, 4): 5.0}
    assert matching._bettered([(0, 1), (2, 3)], range(5), worth) == ((0, 4), (1, 3))


@pytest.mark.parametrize("seed", range(12))
def test_trees_of_pairs_come_to_what_the_whole_number_programme_comes_to(seed: int) -> None:
    """Two methods that share nothing; which pairs they are is decided by the crumbs."""
    worth = graph(31, 0.6, seed)
    assert matching._by_trees(sorted(worth), worth) == tuple(sorted(matching._whole(sorted(worth), worth)[0]))


def test_more_pairs_than_the_solver_looks_at_at_once_are_chosen_by_trees(monkeypatch: pytest.MonkeyPatch) -> None:
    worth = graph(14, 0.7, 3)
    monkeypatch.setattr(matching, "_SOME_EDGES", len(worth) - 1)
    monkeypatch.setattr(matching, "_whole", None)
    chosen, proven = best_pairs(worth)
    assert proven
    assert sum(worth[edge] for edge in chosen) == pytest.approx(best_of_all(worth, frozenset(range(14))))


@pytest.mark.parametrize("seed", range(8))
def test_shares_first_come_to_the_best_pairs_too(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether or not a share comes out broken, as it does where three go in a ring."""
    worth = graph(9, 0.7, seed)
    monkeypatch.setattr(matching, "_FEW_EDGES", 0)
    chosen, proven = best_pairs(worth)
    assert proven
    assert sum(worth[edge] for edge in chosen) == pytest.approx(best_of_all(worth, frozenset(range(9))), abs=1e-5)


def test_whole_numbers_are_asked_for_only_where_a_share_is_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    """A chain of three is 2-3 in shares too; a ring of three is a half of each, and one of them in whole numbers. Of few
    edges, and of those with a limit to the search, shares are not asked for."""
    asked: list[bool] = []
    in_shares = matching._whole_in_shares
    monkeypatch.setattr(matching, "_whole_in_shares", lambda solver: asked.append(in_shares(solver)) or asked[-1])
    chain, ring = {(0, 1): 3.0, (1, 2): 5.0}, {(0, 1): 10.0, (0, 2): 11.0, (1, 2): 10.0}
    monkeypatch.setattr(matching, "_FEW_EDGES", 1)
    assert matching._whole(sorted(chain), chain) == (((1, 2),), True)
    assert matching._whole(sorted(ring), ring) == (((0, 2),), True)
    assert asked == [True, False]
    matching._whole(sorted(ring), ring, 20)
    monkeypatch.setattr(matching, "_FEW_EDGES", 2)
    matching._whole(sorted(chain), chain)
    assert asked == [True, False]
