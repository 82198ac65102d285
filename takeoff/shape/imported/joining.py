"""What is joined to what, in arrays: connected sets by number, points closer than a distance made one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.errors import ShapeError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Numbers = NDArray[np.int64]

_MOST_CELLS = 1 << 20  # along one axis: 2 km in steps of 2 mm
# half of the cells round one, itself left out: the other half looks back
_AHEAD = [(x, y, z) for x in (-1, 0, 1) for y in (-1, 0, 1) for z in (-1, 0, 1) if (x, y, z) > (0, 0, 0)]


def connected(count: int, a: Numbers, b: Numbers) -> Numbers:
    """The least member of the set that each of `count` things is in, where a[i] and b[i] are in one."""
    labels = np.arange(count, dtype=np.int64)
    while len(a):
        low = np.minimum(labels[a], labels[b])
        np.minimum.at(labels, labels[a], low)
        np.minimum.at(labels, labels[b], low)
        while True:
            jumped = labels[labels]
            if np.array_equal(jumped, labels):
                break
            labels = jumped
        apart = labels[a] != labels[b]
        a, b = a[apart], b[apart]
    return labels


def welded(points: Floats, within_mm: float) -> tuple[Floats, Numbers]:
    """Points with those closer than `within_mm` made one (their mean), and each point's new number.

    Raises ShapeError where they lie further apart than any house is wide.
    """
    firsts, first_of = _without_doubles(points)
    a, b = _close_pairs(firsts, within_mm)
    _, group = np.unique(connected(len(firsts), a, b), return_inverse=True)
    new = group[first_of]
    count = np.bincount(new).astype(np.float64)
    means = np.stack([np.bincount(new, points[:, k]) / count for k in range(3)], axis=1)
    return means, new.astype(np.int64)


def _without_doubles(points: Floats) -> tuple[Floats, Numbers]:
    order = np.lexsort(points.T)
    ordered = points[order]
    fresh = np.ones(len(points), dtype=bool)
    fresh[1:] = (ordered[1:] != ordered[:-1]).any(axis=1)
    number = np.empty(len(points), dtype=np.int64)
    number[order] = np.cumsum(fresh) - 1
    return ordered[fresh], number


def _close_pairs(points: Floats, within_mm: float) -> tuple[Numbers, Numbers]:
    """Numbers of points no further apart than a distance, each pair once."""
    cells = np.floor((points - points.min(axis=0)) / within_mm).astype(np.int64) + 1
    if len(cells) and cells.max() >= _MOST_CELLS:
        raise ShapeError("the model is more than 2 km across; save the house alone")
    keys = (cells[:, 0] * _MOST_CELLS + cells[:, 1]) * _MOST_CELLS + cells[:, 2]
    order = np.argsort(keys, kind="stable")
    keys, points = keys[order], points[order]
    found = [_pairs_at(keys, (x * _MOST_CELLS + y) * _MOST_CELLS + z) for x, y, z in _AHEAD]
    found.append(_pairs_at(keys, 0))
    a, b = (np.concatenate([pair[k] for pair in found]) for k in (0, 1))
    near = np.linalg.norm(points[a] - points[b], axis=1) <= within_mm
    return order[a[near]], order[b[near]]


def _pairs_at(keys: Numbers, offset: int) -> tuple[Numbers, Numbers]:
    """Places in sorted keys whose keys differ by an offset; later ones for 0."""
    low = np.searchsorted(keys, keys + offset, "left")
    high = np.searchsorted(keys, keys + offset, "right")
    if offset == 0:
        low = np.arange(1, len(keys) + 1)
    return expanded(low, high)


def expanded(low: Numbers, high: Numbers) -> tuple[Numbers, Numbers]:
    """Every i with each of low[i] .. high[i] - 1."""
    counts = np.maximum(high - low, 0)
    owner = np.repeat(np.arange(len(low)), counts)
    before = np.cumsum(counts) - counts
    return owner, np.arange(int(counts.sum())) - np.repeat(before, counts) + np.repeat(low, counts)


def sharing(keys: Numbers) -> tuple[Numbers, Numbers]:
    """Every pair of places with the same key, each once."""
    order = np.argsort(keys, kind="stable")
    ordered = keys[order]
    ends = np.searchsorted(ordered, ordered, "right")
    a, b = expanded(np.arange(1, len(keys) + 1), ends)
    return order[a], order[b]
