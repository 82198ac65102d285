"""What the lines of a plan keep to each other: edges of two roofs in one line once moved out, and equal depths.

 ________      two wings nearly as wide as each other are as wide, so that their ridges meet in one point; a verandah
|  ____  |     nearly as deep on one side as on the other is as deep, so that its hip comes to the corner of the wall
| |    | |
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations, pairwise

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.shape.outline_order.means import Condition, gathered
from takeoff.shape.outline_order.plan_sides import FINE_MM, MOST_APART_MM, TIMES_COARSE, Line, Side, dot2, line_slack_mm

_LEAST_FACING_MM = TOLERANCES.facing_mm
_MOST_SIDES = 160  # depths are compared in houses, not in coastlines
_MOST_LINES = 48  # distances between any two lines are compared where there are no more of them
_EXACT_MM = TOLERANCES.crumb_mm
_SAME_RIDGE_MM = TOLERANCES.same_ridge_mm
_SAME_DEPTH_MM = TOLERANCES.same_depth_mm


def conditions(
    sides: Sequence[Side], lines: Sequence[Line], coarse_mm: float, loose: frozenset[int]
) -> list[Condition]:
    """Conditions on the offs of `lines`, the surest first. `loose`: sides that nothing is asked of."""
    line_of = {place: n for n, line in enumerate(lines) for place in line.sides if place not in loose}
    found = _whole_mm(lines, sorted(set(line_of.values())), coarse_mm)
    found += _shared_fascias(sides, lines, line_of, line_slack_mm(coarse_mm))
    if len(sides) <= _MOST_SIDES:
        slack_mm = min(max(TIMES_COARSE * coarse_mm, _SAME_DEPTH_MM), 2.0 * MOST_APART_MM)
        facing_mm = slack_mm if coarse_mm <= FINE_MM else max(slack_mm, _SAME_RIDGE_MM)
        found += _equal(_depths(sides, lines, line_of), facing_mm)
        kept = sorted(set(line_of.values()))
        if len(kept) <= _MOST_LINES:
            found += _equal(_distances(lines, kept), slack_mm)
    return found


def _whole_mm(lines: Sequence[Line], kept: Sequence[int], coarse_mm: float) -> list[Condition]:
    """Distances between lines of the main directions as whole millimetres, where all of them are but for the drawing's
    coarseness: a house is set out in whole millimetres, and 6000.03 mm would buy a length more than 6000."""
    slack_mm = max(3.0 * coarse_mm, _EXACT_MM)
    if coarse_mm > FINE_MM or len(kept) > _MOST_SIDES:
        return []
    first: dict[tuple[int, int], int] = {}
    found: list[Condition] = []
    for number in kept:
        key = lines[number].direction.line_key
        gap = lines[number].off_mm - lines[first.setdefault(key, number)].off_mm
        if key[0] == 0 and first[key] != number:
            if abs(gap - round(gap)) > slack_mm:
                return []
            found.append(({number: 1.0, first[key]: -1.0}, float(round(gap))))
    return found


def _outward(sides: Sequence[Side], line: Line, place: int) -> float:
    """1 where away from the roof is towards greater offs, else -1."""
    side = sides[place]
    ahead = dot2((side.b[0] - side.a[0], side.b[1] - side.a[1]), line.direction.along) > 0.0
    return -1.0 if ahead == (side.inward > 0) else 1.0


def _shared_fascias(
    sides: Sequence[Side], lines: Sequence[Line], line_of: Mapping[int, int], slack_mm: float
) -> list[Condition]:
    """Lines of different roofs that fall together once they are moved out by their overhangs."""
    moved: set[tuple[tuple[int, int], float, int, float, int]] = set()
    for place, number in line_of.items():
        line, side = lines[number], sides[place]
        for shift in (0.0, _outward(sides, line, place) * side.overhang_mm):
            moved.add((line.direction.line_key, line.off_mm + shift, number, shift, side.roof))
    in_order = sorted(moved)
    found: dict[tuple[int, int], Condition] = {}
    for at, one in enumerate(in_order):
        for other in in_order[at + 1 :]:
            if other[0] != one[0] or other[1] - one[1] > slack_mm:
                break
            a, b = one[2], other[2]
            if a != b and one[4] != other[4] and (one[3] or other[3]):
                found.setdefault((min(a, b), max(a, b)), ({a: 1.0, b: -1.0}, other[3] - one[3]))
    return [found[pair] for pair in sorted(found)]


@record
class _Depth:
    """From one line to another; `more_mm` is what overhangs add to it, `depth_mm` both together."""

    low: int
    high: int
    more_mm: float
    depth_mm: float


def _equal(depths: Sequence[_Depth], slack_mm: float) -> list[Condition]:
    """Depths that nearly agree made equal, those that differ least first."""
    values = [depth.depth_mm for depth in depths]
    found: list[tuple[float, Condition]] = []
    for group in gathered(values, [1.0] * len(values), slack_mm):
        for one, other in pairwise(sorted(group, key=lambda n: values[n])):
            a, b = depths[one], depths[other]
            factors: dict[int, float] = {}
            for place, factor in ((a.high, 1.0), (a.low, -1.0), (b.high, -1.0), (b.low, 1.0)):
                factors[place] = factors.get(place, 0.0) + factor
            found.append((b.depth_mm - a.depth_mm, (factors, b.more_mm - a.more_mm)))
    return [condition for _, condition in sorted(found, key=lambda one: one[0])]


def _distances(lines: Sequence[Line], kept: Sequence[int]) -> list[_Depth]:
    """Every distance between two lines of one direction."""
    found = []
    for one, other in combinations(kept, 2):
        low, high = sorted((one, other), key=lambda n: lines[n].off_mm)
        gap = lines[high].off_mm - lines[low].off_mm
        if lines[low].direction.line_key == lines[high].direction.line_key and gap > MOST_APART_MM:
            found.append(_Depth(low, high, 0.0, gap))
    return found


def _depths(sides: Sequence[Side], lines: Sequence[Line], line_of: Mapping[int, int]) -> list[_Depth]:
    """Every depth of every roof once, overhangs included: each side with the nearest one that faces it."""
    found: dict[tuple[int, int, float], _Depth] = {}
    for place, number in line_of.items():
        facing = list(_facing(sides, lines, line_of, place))
        if not facing or _outward(sides, lines[number], place) > 0.0:
            continue
        gap, other = min(facing)
        more = sides[place].overhang_mm + sides[other].overhang_mm
        found[number, line_of[other], more] = _Depth(number, line_of[other], more, gap + more)
    return [found[key] for key in sorted(found)]


def _facing(
    sides: Sequence[Side], lines: Sequence[Line], line_of: Mapping[int, int], place: int
) -> Iterable[tuple[float, int]]:
    """The sides of the same roof that face one with greater offs, and how far off they are."""
    line, side = lines[line_of[place]], sides[place]
    span = sorted(dot2(p, line.direction.along) for p in (side.a, side.b))
    for other, number in line_of.items():
        across = lines[number]
        if across.direction.line_key != line.direction.line_key or sides[other].roof != side.roof:
            continue
        gap = across.off_mm - line.off_mm
        if gap <= MOST_APART_MM or _outward(sides, across, other) < 0.0:
            continue
        ends = sorted(dot2(p, line.direction.along) for p in (sides[other].a, sides[other].b))
        if min(span[1], ends[1]) - max(span[0], ends[0]) > min(_LEAST_FACING_MM, side.length_mm / 2.0):
            yield gap, other
