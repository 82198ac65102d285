"""Directions of sides in families: parallel, square, at half a right angle, mirrored.

Whether a side belongs to a family is judged by how far its ends would move, turned about its middle, never by the angle
alone: a tenth of a degree is nothing on a jog and 20 mm on a wall of 12 m. The longest side leads.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, pi, radians, sin

from takeoff.basics.tolerances import TOLERANCES
from takeoff.shape.outline_order.means import settled_mean
from takeoff.shape.outline_order.record import Direction, Side

_QUARTER = pi / 2.0
# the leader itself may be off by as much as a side that follows it
_GATHER_MM = 1.5 * TOLERANCES.order_mm
_MOST_TURN = radians(TOLERANCES.order_deg)


@dataclass(frozen=True, slots=True)
class _Family:
    """Sides of one axis: the axis' angle [radians, within a quarter turn], and the sides."""

    angle: float
    sides: tuple[int, ...]
    longest_mm: float


def off_axis(angle: float, axis: float) -> float:
    """Signed angle from the nearest of an axis' four directions [radians]."""
    turn = (angle - axis) % _QUARTER
    return turn - _QUARTER if turn > _QUARTER / 2.0 else turn


def directions(sides: Sequence[Side], free: frozenset[int]) -> tuple[tuple[Direction | None, ...], float]:
    """The ordered direction of every side, None for one that shares its direction with no other; and the most that an
    end of a side lies off it [mm], a measure of how coarse the drawing is. `free`: sides that take no part."""
    families = [family for family in _families(sides, free) if family.longest_mm > 0.0]
    found: list[Direction | None] = [None] * len(sides)
    coarse = 0.0
    for number, family in enumerate(_related(families, sides)):
        # the axis is kept within a quarter turn, so that a house square to the plan has 1, 0
        axis = (cos(family.angle), sin(family.angle))
        if len(family.sides) == 1 and family.angle == families[number].angle:
            continue
        for place in family.sides:
            side = sides[place]
            quarters = round((side.angle - family.angle) / _QUARTER) % 4
            found[place] = Direction(number, quarters, axis)
            coarse = max(coarse, abs(off_axis(side.angle, family.angle)) * side.length_mm / 2.0)
    return tuple(found), coarse


def _families(sides: Sequence[Side], free: frozenset[int]) -> list[_Family]:
    """Sides gathered by axis, the family with the greatest length first."""
    by_axis = sorted((off_axis(s.angle, 0.0), i) for i, s in enumerate(sides) if s.length_mm > 0.0 and i not in free)
    angles = [angle for angle, _ in by_axis]
    taken: set[int] = set()
    families: list[_Family] = []
    for leader in sorted((i for _, i in by_axis), key=lambda i: (-sides[i].length_mm, i)):
        if leader in taken:
            continue
        angle = off_axis(sides[leader].angle, 0.0)
        near = [by_axis[place][1] for place in _window(angles, angle)]
        near = [i for i in near if i not in taken]
        members = [i for i in near if _end_off(sides[i], angle) <= _GATHER_MM]
        angle = _mean_angle(sides, members, angle)
        members = [i for i in near if i == leader or _end_off(sides[i], angle) <= TOLERANCES.order_mm]
        angle = _mean_angle(sides, members, angle)
        taken |= set(members)
        families.append(_Family(angle, tuple(members), sides[leader].length_mm))
    families.sort(key=lambda family: -sum(sides[i].length_mm for i in family.sides))
    return families


def _window(angles: Sequence[float], angle: float) -> Iterable[int]:
    """Places in sorted `angles` within the greatest turn of an angle, round the quarter's end too."""
    places: list[int] = []
    for shift in (0.0, -_QUARTER, _QUARTER):
        low, high = angle + shift - _MOST_TURN, angle + shift + _MOST_TURN
        places += range(bisect_left(angles, low), bisect_right(angles, high))
    return places


def _end_off(side: Side, angle: float) -> float:
    """How far the ends of a side move when it is turned about its middle [mm]."""
    turn = abs(off_axis(side.angle, angle))
    return turn * side.length_mm / 2.0 if turn <= _MOST_TURN else float("inf")


def _mean_angle(sides: Sequence[Side], members: Sequence[int], about: float) -> float:
    """The axis that fits the members best: an end off by 1 mm turns a long side less than a short one."""
    turns = [off_axis(sides[i].angle, about) for i in members]
    return about + settled_mean(turns, [sides[i].length_mm ** 2 for i in members])


def _related(families: Sequence[_Family], sides: Sequence[Side]) -> list[_Family]:
    """Families set by the first one: at half a right angle to it, or mirrored in it, where they nearly are."""
    if not families:
        return []
    main = families[0]
    found = [main]
    for family in families[1:]:
        turn = off_axis(family.angle, main.angle)
        wanted = [(pi / 4.0 if turn > 0.0 else -pi / 4.0, family.longest_mm)]
        for other in found[1:]:
            wanted.append((-off_axis(other.angle, main.angle), min(family.longest_mm, other.longest_mm)))
        best = min(wanted, key=lambda one: abs(one[0] - turn) * one[1])
        near = abs(best[0] - turn) * best[1] / 2.0 <= TOLERANCES.order_mm and abs(best[0] - turn) <= _MOST_TURN
        found.append(_Family(main.angle + best[0], family.sides, family.longest_mm) if near else family)
    return found
