"""The worth of the best pairs, by trying every choice."""

from __future__ import annotations

Worth = dict[tuple[int, int], float]


def best_of_all(worth: Worth, nodes: frozenset[int]) -> float:
    """By trying everything: the first node alone, or with each that it may be paired with."""
    if not nodes:
        return 0.0
    first = min(nodes)
    rest = nodes - {first}
    ways = [worth[first, other] + best_of_all(worth, rest - {other}) for other in rest if (first, other) in worth]
    return max([best_of_all(worth, rest), *ways])
