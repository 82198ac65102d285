"""Sides on lines: those of one direction that lie within the drawing's coarseness of one line are on one line.

______        ______      two eaves on either side of a recess, a verandah's edge on the wall it touches:
      |______|            one line. Then depths: two wings nearly as wide as each other are as wide.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.shape.outline_order.directions import Direction
from takeoff.shape.outline_order.means import Condition, gathered, least_change, settled_mean
from takeoff.shape.outline_order.record import Side

_TIMES_COARSE = 4.0  # two ends each of two lines: what four corners off by as much as one can add up to
_MOST_MM = 2.0 * TOLERANCES.order_mm
_LEAST_FACING_MM = 300.0  # sides that face each other for less make no depth of a roof
_MOST_SIDES = 400  # depths are compared in houses, not in coastlines


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the plan: its direction, its distance from the origin along `direction.square` [mm], its sides."""

    direction: Direction
    off_mm: float
    sides: tuple[int, ...]


def dot2(a: Point2, b: Point2) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def line_slack_mm(coarse_mm: float) -> float:
    """How far apart lines may be that are one: what points a little off the line may be, more in a coarse drawing."""
    return min(max(TOLERANCES.in_line_mm, _TIMES_COARSE * coarse_mm), _MOST_MM)


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
    conditions = _conditions(sides, lines, coarse_mm, loose)
    offs = least_change([line.off_mm for line in lines], [float(len(line.sides)) for line in lines], conditions)
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
    return jog.after if jog.length_mm <= 2.0 * _MOST_MM else -1


def _conditions(
    sides: Sequence[Side], lines: Sequence[Line], coarse_mm: float, loose: frozenset[int]
) -> list[Condition]:
    """What the lines must keep: edges of one roof moved out onto edges of another, then equal depths."""
    line_of = {place: n for n, line in enumerate(lines) for place in line.sides if place not in loose}
    found = _shared_fascias(sides, lines, line_of, line_slack_mm(coarse_mm))
    return found + _equal_depths(sides, lines, line_of, max(_TIMES_COARSE * coarse_mm, 1e-6))


def _outward(sides: Sequence[Side], line: Line, place: int) -> float:
    """1 where away from the roof is towards greater offs, else -1."""
    side = sides[place]
    ahead = dot2((side.b[0] - side.a[0], side.b[1] - side.a[1]), line.direction.along) > 0.0
    return -1.0 if ahead == (side.inward > 0) else 1.0


def _shared_fascias(
    sides: Sequence[Side], lines: Sequence[Line], line_of: dict[int, int], slack_mm: float
) -> list[Condition]:
    """Lines of different roofs that fall together once they are moved out by their overhangs."""
    moved: list[tuple[tuple[int, int], float, int, float, int]] = []
    for place, number in line_of.items():
        line = lines[number]
        out = _outward(sides, line, place) * sides[place].overhang_mm
        for shift in {0.0, out}:
            moved.append((line.direction.line_key, line.off_mm + shift, number, shift, sides[place].roof))
    moved.sort()
    found: dict[tuple[int, int], Condition] = {}
    for at, one in enumerate(moved):
        for other in moved[at + 1 :]:
            if other[0] != one[0] or other[1] - one[1] > slack_mm:
                break
            a, b = one[2], other[2]
            if a != b and one[4] != other[4] and (one[3] or other[3]):
                found.setdefault((min(a, b), max(a, b)), ({a: 1.0, b: -1.0}, other[3] - one[3]))
    return [found[pair] for pair in sorted(found)]


@dataclass(frozen=True, slots=True)
class _Depth:
    """From one line to one that faces it across a roof, overhangs included [mm]."""

    low: int
    high: int
    more_mm: float
    depth_mm: float


def _equal_depths(
    sides: Sequence[Side], lines: Sequence[Line], line_of: dict[int, int], slack_mm: float
) -> list[Condition]:
    depths = _depths(sides, lines, line_of)
    values = [depth.depth_mm for depth in depths]
    found: list[tuple[float, Condition]] = []
    for group in gathered(values, [1.0] * len(values), min(slack_mm, 2.0 * _MOST_MM)):
        for one, other in pairwise(sorted(group, key=lambda n: values[n])):
            a, b = depths[one], depths[other]
            factors: dict[int, float] = {}
            for place, factor in ((a.high, 1.0), (a.low, -1.0), (b.high, -1.0), (b.low, 1.0)):
                factors[place] = factors.get(place, 0.0) + factor
            found.append((b.depth_mm - a.depth_mm, (factors, b.more_mm - a.more_mm)))
    return [condition for _, condition in sorted(found, key=lambda one: one[0])]


def _depths(sides: Sequence[Side], lines: Sequence[Line], line_of: dict[int, int]) -> list[_Depth]:
    """Every depth of every roof once, each side with the nearest one that faces it."""
    found: dict[tuple[int, int, float], _Depth] = {}
    if len(sides) > _MOST_SIDES:
        return []
    for place, number in line_of.items():
        facing = list(_facing(sides, lines, line_of, place))
        if not facing or _outward(sides, lines[number], place) > 0.0:
            continue
        gap, other = min(facing)
        more = sides[place].overhang_mm + sides[other].overhang_mm
        key = (number, line_of[other], more)
        found[key] = _Depth(number, line_of[other], more, gap + more)
    return [found[key] for key in sorted(found)]


def _facing(
    sides: Sequence[Side], lines: Sequence[Line], line_of: dict[int, int], place: int
) -> Iterable[tuple[float, int]]:
    line, side = lines[line_of[place]], sides[place]
    span = sorted(dot2(p, line.direction.along) for p in (side.a, side.b))
    for other, number in line_of.items():
        across = lines[number]
        if across.direction.line_key != line.direction.line_key or sides[other].roof != side.roof:
            continue
        gap = across.off_mm - line.off_mm
        if gap <= _MOST_MM or _outward(sides, across, other) < 0.0:
            continue
        ends = sorted(dot2(p, line.direction.along) for p in (sides[other].a, sides[other].b))
        if min(span[1], ends[1]) - max(span[0], ends[0]) > min(_LEAST_FACING_MM, side.length_mm / 2.0):
            yield gap, other
