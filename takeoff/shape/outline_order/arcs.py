"""Sides that make an arc: many in a row that turn the same way by a little. They are round, not nearly in line."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, radians

from takeoff.shape.outline_order.plan_sides import PlanRing, Side, sides_of

_TURN = (radians(0.2), radians(15.0))  # corners that turn by so much may be those of an arc ...
_IN_A_ROW = 5  # ... where so many follow each other


def arcs(rings: Sequence[PlanRing]) -> frozenset[int]:
    """Sides between the corners of arcs, by their place among all sides."""
    sides = sides_of(rings)
    found: set[int] = set()
    first = 0
    for ring in rings:
        count = len(ring.points)
        found |= {first + (i % count) for i in _round_sides(sides[first : first + count])}
        first += count
    return frozenset(found)


def _round_sides(sides: Sequence[Side]) -> set[int]:
    count = len(sides)
    bends = [_bend(sides[i - 1], side) for i, side in enumerate(sides)]
    found: set[int] = set()
    for i, bend in enumerate(bends):
        if bend and all(bends[(i + k) % count] == bend for k in range(_IN_A_ROW)):
            found |= {(i + k) % count for k in range(_IN_A_ROW - 1)}
    return found


def _bend(before: Side, after: Side) -> int:
    """1 where a corner bends a little to the left, -1 to the right, 0 where it does not, or is a corner of a house."""
    turn = (after.angle - before.angle + pi) % (2.0 * pi) - pi
    return 0 if not _TURN[0] <= abs(turn) <= _TURN[1] else 1 if turn > 0.0 else -1
