"""Means that a single slip of the pen does not move, values gathered where they nearly agree, and least changes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import sqrt

_STRAY = 3.0  # values further from the median than this many times the middle distance are strays
_CRUMB = 1e-12


def settled_mean(
    values: Sequence[float], weights: Sequence[float], mean_weights: Sequence[float] | None = None
) -> float:
    """The mean of values without strays: where most agree (by `weights`), it is what they agree on. `mean_weights`: how
    much each of the rest counts in the mean, else their weights.

    >>> settled_mean((0.0, 0.0, 0.0, 1.0), (1.0, 1.0, 1.0, 1.0)), settled_mean((1.0, 2.0), (1.0, 1.0))
    (0.0, 1.5)
    """
    middle = _weighted_median(values, weights)
    off = [abs(value - middle) for value in values]
    usual = _STRAY * _weighted_median(off, weights) + _CRUMB * max(1.0, abs(middle))
    counted = zip(values, mean_weights or weights, off, strict=True)
    kept = [(value - middle, weight) for value, weight, far in counted if far <= usual]
    return middle + sum(value * weight for value, weight in kept) / sum(weight for _, weight in kept)


def _weighted_median(values: Sequence[float], weights: Sequence[float]) -> float:
    """The value with half the weight on either side; the middle of two where they share it."""
    pairs = sorted(zip(values, weights, strict=True))
    half, below = sum(weights) / 2.0, 0.0
    for place, (value, weight) in enumerate(pairs):
        below += weight
        if abs(below - half) <= 1e-9 * half and place + 1 < len(pairs):
            return (value + pairs[place + 1][0]) / 2.0
        if below > half:
            return value
    return pairs[-1][0]


def gathered(
    values: Sequence[float],
    weights: Sequence[float],
    within: float,
    apart: Callable[[int, int], bool] = lambda _a, _b: False,
) -> list[list[int]]:
    """Places of values in groups that lie within `within` of their heaviest member, the heaviest group's first.

    `apart`: whether two places must never be in one group.
    """
    by_value = sorted(range(len(values)), key=lambda i: values[i])
    rank = {place: n for n, place in enumerate(by_value)}
    taken: set[int] = set()
    groups: list[list[int]] = []
    for leader in sorted(range(len(values)), key=lambda i: (-weights[i], values[i])):
        if leader in taken:
            continue
        group = [leader]
        for step in (1, -1):
            at = rank[leader] + step
            while 0 <= at < len(by_value) and abs(values[by_value[at]] - values[leader]) <= within:
                place = by_value[at]
                if place not in taken and not any(apart(place, member) for member in group):
                    group.append(place)
                at += step
        taken |= set(group)
        groups.append(group)
    return groups


Condition = tuple[Mapping[int, float], float]


def least_change(values: Sequence[float], weights: Sequence[float], conditions: Sequence[Condition]) -> list[float]:
    """Values changed as little as possible (weighted squares) so that every condition holds.

    A condition is (factor by place, sum). One that follows from those before it, or contradicts them, is left out.
    """
    scale = [sqrt(weight) for weight in weights]
    rows: list[tuple[dict[int, float], float]] = []
    for factors, total in conditions:
        row = {place: factor / scale[place] for place, factor in factors.items() if factor}
        size = sqrt(sum(x * x for x in row.values()))
        if size == 0.0:
            continue
        for _ in range(2):  # twice: what is left of a nearly dependent row must be square to the others
            for known, known_total in rows:
                share = sum(x * known[place] for place, x in row.items() if place in known)
                if share:
                    total -= share * known_total
                    for place, x in known.items():
                        row[place] = row.get(place, 0.0) - share * x
        rest = sqrt(sum(x * x for x in row.values()))
        if rest > 1e-6 * size:
            rows.append(({place: x / rest for place, x in row.items() if x}, total / rest))
    found = [value * s for value, s in zip(values, scale, strict=True)]
    for _ in range(2):
        for row, total in rows:
            off = sum(x * found[place] for place, x in row.items()) - total
            for place, x in row.items():
                found[place] -= off * x
    return [value / s for value, s in zip(found, scale, strict=True)]
