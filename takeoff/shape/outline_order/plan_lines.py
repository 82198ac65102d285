"""Sides on lines: those of one direction that lie within the drawing's coarseness of one line are on one line.

______        ______      two eaves on either side of a recess, a verandah's edge on the wall it touches:
      |______|            one line.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from math import cos, sin

from takeoff.basics.vectors import Point2
from takeoff.shape.outline_order.depths import conditions
from takeoff.shape.outline_order.means import gathered, least_change, settled_mean
from takeoff.shape.outline_order.plan_sides import MOST_APART_MM, Direction, Line, Side, dot2, line_slack_mm


def lines_of(
    sides: Sequence[Side], turned: Sequence[Direction | None], coarse_mm: float, loose: frozenset[int]
) -> tuple[Line, ...]:
    """The lines that the sides with a direction lie on. `loose`: sides whose depths and neighbours in other roofs are
    left as they are."""
    keys: dict[tuple[int, int], list[int]] = {}
    for place, direction in enumerate(turned):
        if direction is not None:
            keys.setdefault(direction.line_key, []).append(place)
    lines: list[Line] = []
    for places in keys.values():
        lines += _lines_in_one_direction(sides, turned, places, line_slack_mm(coarse_mm))
    asked = conditions(sides, lines, coarse_mm, loose)
    offs = least_change([line.off_mm for line in lines], [float(len(line.sides)) for line in lines], asked)
    return tuple(Line(line.direction, off, line.sides) for line, off in zip(lines, offs, strict=True))


def _lines_in_one_direction(
    sides: Sequence[Side], turned: Sequence[Direction | None], places: Sequence[int], slack_mm: float
) -> list[Line]:
    first = turned[places[0]]
    if first is None:
        return []
    chains = _chains(sides, places)
    offs = [_chain_off(sides, chain, first.square) for chain in chains]
    weights = [sum(sides[i].length_mm for i in chain) for chain in chains]
    starts = {sides[chain[0]].corner: n for n, chain in enumerate(chains)}
    jogs = {(n, starts[after]) for n, chain in enumerate(chains) for after in [_past(sides, chain)] if after in starts}
    groups = gathered(offs, weights, slack_mm, lambda a, b: (a, b) in jogs or (b, a) in jogs)
    return [
        Line(first, settled_mean([offs[n] for n in group], [1.0] * len(group)), _members(chains, group))
        for group in groups
    ]


def _members(chains: Sequence[Sequence[int]], group: Sequence[int]) -> tuple[int, ...]:
    return tuple(sorted(i for n in group for i in chains[n]))


def _chains(sides: Sequence[Side], places: Sequence[int]) -> list[list[int]]:
    """Sides of one direction that follow each other, first to last: they are one side with points on it."""
    here = set(places)
    by_after = {sides[i].after: i for i in places}
    starts = [i for i in places if sides[i].corner not in by_after]
    chains = []
    for start in starts:
        chain = [start]
        while sides[chain[-1]].after in here:
            chain.append(sides[chain[-1]].after)
        chains.append(chain)
    return chains


def _chain_off(sides: Sequence[Side], chain: Sequence[int], square: Point2) -> float:
    return (dot2(sides[chain[0]].a, square) + dot2(sides[chain[-1]].b, square)) / 2.0


def _past(sides: Sequence[Side], chain: Sequence[int]) -> int:
    """The first point after the side that follows a chain, where a jog ends."""
    jog = sides[sides[chain[-1]].after]
    return jog.after if jog.length_mm <= 2.0 * MOST_APART_MM else -1


def refitted(
    sides: Sequence[Side], turned: Sequence[Direction | None], lines: Sequence[Line]
) -> tuple[Direction | None, ...]:
    """Directions whose axes fit the ends of all sides on their lines best (least squares): two short sides far apart on
    one line say more of its direction than each by itself."""
    runs: dict[int, float] = defaultdict(float)
    rises: dict[int, float] = defaultdict(float)
    for line in lines:
        ends = [point for i in line.sides for point in (sides[i].a, sides[i].b)]
        along = [dot2(point, line.direction.along) for point in ends]
        offs = [dot2(point, line.direction.square) for point in ends]
        middle, off = sum(along) / len(ends), sum(offs) / len(ends)
        runs[line.direction.family] += sum((t - middle) ** 2 for t in along)
        rises[line.direction.family] += sum((t - middle) * (r - off) for t, r in zip(along, offs, strict=True))
    axes: dict[int, Point2] = {}
    for line in lines:
        family, (x, y) = line.direction.family, line.direction.axis
        turn = rises[family] / runs[family]
        axes[family] = (x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn))
    return tuple(d if d is None or d.family not in axes else replace(d, axis=axes[d.family]) for d in turned)
