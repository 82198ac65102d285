"""Upright faces as a model draws them, for the tests of its walls."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np

Point = tuple[float, float]


def face(a: Point, b: Point, low: float, high: float) -> list[list[tuple[float, float, float]]]:
    """Two triangles of an upright rectangle from a to b."""
    p, q, r, s = (*a, low), (*b, low), (*b, high), (*a, high)
    return [[p, q, r], [p, r, s]]


def corners(*faces: list[list[tuple[float, float, float]]]) -> np.ndarray:
    return np.array([triangle for one in faces for triangle in one], dtype=float)


def room(ring: list[Point], low: float = 0.0, high: float = 2400.0) -> np.ndarray:
    return corners(*(face(a, b, low, high) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)))


def under(*rings: list[Point]) -> Any:
    """A roof by its outline alone."""
    return SimpleNamespace(name="main", outline_mm=tuple(tuple(ring) for ring in rings), origin_mm=(0.0, 0.0, 0.0))


def same(found: Sequence[Point], expected: Sequence[Point]) -> bool:
    """Whether two rings are one, corner by corner, to a thousandth of a millimetre."""
    return len(found) == len(expected) and bool(np.abs(np.array(found) - np.array(expected)).max(initial=0.0) < 1e-3)
