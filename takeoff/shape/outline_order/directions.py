"""Directions of sides in families: parallel, square, at half a right angle, mirrored.

Whether a side belongs to a family is judged by how far its ends would move, turned about its middle, never by the angle
alone: a tenth of a degree is nothing on a jog and 20 mm on a wall of 12 m. The longest side leads.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from dataclasses import replace
from math import cos, pi, radians, sin

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.shape.outline_order.means import settled_mean
from takeoff.shape.outline_order.plan_sides import Direction, Side

_QUARTER = pi / 2.0
# the leader itself may be off by as much as a side that follows it
_GATHER = 1.5
_MOST_TURN = radians(TOLERANCES.order_deg)


@record
class _Family:
    """Sides of one axis: the axis' angle [radians, within a quarter turn], the sides, the longest of them, and whether
    the axis was set by another family's."""

    angle: float
    sides: tuple[int, ...]
    longest_mm: float
    related: bool = False


def off_axis(angle: float, axis: float) -> float:
    """Signed angle from the nearest of an axis' four directions [radians]."""
    turn = (angle - axis) % _QUARTER
    return turn - _QUARTER if turn > _QUARTER / 2.0 else turn


def directions(sides: Sequence[Side], free: frozenset[int]) -> tuple[tuple[Direction | None, ...], float]:
    """The ordered direction of every side, None for one that shares its direction with no other; and the most that an
    end of a side lies off it [mm], a measure of how coarse the drawing is. `free`: sides that take no part."""
    taking_part = [i for i, side in enumerate(sides) if side.length_mm > 0.0 and i not in free]
    families = _families(sides, taking_part, TOLERANCES.order_mm)
    shared = sum(sides[i].length_mm for family in families if len(family.sides) > 1 for i in family.sides)
    slack_mm = TOLERANCES.order_mm
    if 2.0 * shared < sum(sides[i].length_mm for i in taking_part):
        # hardly two sides in one direction: where some nearly are, that is chance
        slack_mm = TOLERANCES.order_said_mm
        families = _families(sides, taking_part, slack_mm)
    found: list[Direction | None] = [None] * len(sides)
    coarse = 0.0
    for number, family in enumerate(_related(families, slack_mm)):
        if len(family.sides) == 1 and not family.related:
            continue
        axis = (cos(family.angle), sin(family.angle))
        for place in family.sides:
            side = sides[place]
            quarters = round((side.angle - family.angle) / _QUARTER) % 4
            found[place] = Direction(number, quarters, axis)
            coarse = max(coarse, abs(off_axis(side.angle, family.angle)) * side.length_mm / 2.0)
    return tuple(found), coarse


def _families(sides: Sequence[Side], taking_part: Sequence[int], slack_mm: float) -> list[_Family]:
    """Sides gathered by axis, the family with the greatest length first: each with the leader that it fits best."""
    leaders: list[float] = []
    members: dict[float, list[int]] = {}
    for i in sorted(taking_part, key=lambda i: (-sides[i].length_mm, i)):
        angle = off_axis(sides[i].angle, 0.0)
        near = [leader for leader in _near(leaders, angle) if _end_off(sides[i], leader) <= _GATHER * slack_mm]
        leader = min(near, key=lambda axis: abs(off_axis(angle, axis)), default=angle)
        if not near:
            insort(leaders, leader)
        members.setdefault(leader, []).append(i)
    families = []
    for leader, own in members.items():
        angle = _mean_angle(sides, own, leader)
        kept = [i for i in own if _end_off(sides[i], angle) <= slack_mm]
        if kept:
            longest_mm = max(sides[i].length_mm for i in kept)
            families.append(_Family(_mean_angle(sides, kept, angle), tuple(kept), longest_mm))
    families.sort(key=lambda family: -sum(sides[i].length_mm for i in family.sides))
    return families


def _near(leaders: Sequence[float], angle: float) -> list[float]:
    """Sorted axes within the greatest turn of an angle, round the quarter's end too."""
    found: list[float] = []
    for shift in (0.0, -_QUARTER, _QUARTER):
        low, high = angle + shift - _MOST_TURN, angle + shift + _MOST_TURN
        found += leaders[bisect_left(leaders, low) : bisect_right(leaders, high)]
    return found


def _end_off(side: Side, angle: float) -> float:
    """How far the ends of a side move when it is turned about its middle [mm]."""
    turn = abs(off_axis(side.angle, angle))
    return turn * side.length_mm / 2.0 if turn <= _MOST_TURN else float("inf")


def _mean_angle(sides: Sequence[Side], members: Sequence[int], about: float) -> float:
    """The axis that fits the members best: an end off by 1 mm turns a long side less than a short one."""
    turns = [off_axis(sides[i].angle, about) for i in members]
    lengths = [sides[i].length_mm for i in members]
    return about + settled_mean(turns, lengths, [length**2 for length in lengths])


def _related(families: Sequence[_Family], slack_mm: float) -> list[_Family]:
    """Families set by the first one: at half a right angle to it, or mirrored in it, where they nearly are."""
    found = list(families[:1])
    for family in families[1:]:
        main = found[0]
        turn = off_axis(family.angle, main.angle)
        half = pi / 4.0 if turn > 0.0 else -pi / 4.0
        wanted = [(abs(half - turn) * family.longest_mm, half, 0)]
        for number, other in enumerate(found[1:], start=1):
            mirrored = -off_axis(other.angle, main.angle)
            wanted.append((abs(mirrored - turn) * min(family.longest_mm, other.longest_mm), mirrored, number))
        off_mm, angle, number = min(wanted)
        if off_mm / 2.0 > slack_mm or abs(angle - turn) > _MOST_TURN:
            found.append(family)
            continue
        found.append(replace(family, angle=main.angle + angle, related=True))
        if number:
            found[number] = replace(found[number], related=True)
    return found
