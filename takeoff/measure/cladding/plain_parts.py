"""What is seen of a plain strip of a wall, without the geometry library: a box less openings that go right across it,
or reach into it from its sides.

Most strips are so: a course between two windows or over the sill of one, a board beside a door, a board that goes up to
the rake of a gable. What is not - a course cut by a rake, an opening in the middle of a strip or one that reaches up to
a rake - is left to the library. Same corners, to the same millionth of a mm; under a rake to a millionth or two.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.cladding.face import CRUMB_MM, Face, Hole
from takeoff.measure.cladding.face_rings import Rings, clean_ring

_PLACES = 6  # decimals of a mm, as regions are rounded to
_Box = tuple[float, float, float, float]  # x0, y0, x1, y1


def plain_parts(face: Face, x0: float, x1: float, y0: float, y1: float) -> tuple[Rings, ...] | None:
    """As `seen_parts`; None where the strip is not plain."""
    if face.rings or (face.top[0][0], face.top[-1][0]) != (face.left, face.right):
        return None
    tops = [y for _, y in face.top]
    lowest = min(tops)
    if y1 > lowest and lowest != max(tops):
        return _up_to_rake(face, x0, x1, y0, y1)
    box = (max(x0, face.left), max(y0, face.base), min(x1, face.right), min(y1, lowest))
    if box[2] - box[0] <= CRUMB_MM or box[3] - box[1] <= CRUMB_MM:
        return None
    taken = _taken(face.holes, (x0, y0, x1, y1), box)
    if taken is None:
        return _notched(face.holes, (x0, y0, x1, y1), box)
    across, upright = taken
    if not across and not upright:
        found = [box]
    elif not across:
        ends = _left((box[0], box[2]), upright)
        found = [(a, box[1], b, box[3]) for a, b in ends]
    elif not upright:
        ends = _left((box[1], box[3]), across)
        found = [(box[0], a, box[2], b) for a, b in ends]
    else:
        return None
    return tuple(_ring(part) for part in found if _counts(part))


def _notched(holes: Sequence[Hole], lines: _Box, box: _Box) -> tuple[Rings, ...] | None:
    """A box less openings that each reach into it from its foot or its head, or each from its left or its right; None
    where they do neither, or anything is left or missed by a crumb."""
    inside = [
        reach
        for hole in holes
        if hole.head > hole.foot
        and (reach := _reach(hole, lines))[0] < box[2]
        and reach[2] > box[0]
        and reach[1] < box[3]
        and reach[3] > box[1]
    ]
    if all(foot <= box[1] or head >= box[3] for _, foot, _, head in inside):
        return _bitten(inside, box)
    if all(left <= box[0] or right >= box[2] for left, _, right, _ in inside):
        turned = _bitten([(y0, x0, y1, x1) for x0, y0, x1, y1 in inside], (box[1], box[0], box[3], box[2]))
        if turned is None:
            return None
        rings = [tuple((x, y) for y, x in reversed(part[0])) for part in turned]
        return tuple(sorted(((clean_ring(ring),) for ring in rings), key=lambda part: (min(part[0]), part)))
    return None


def _bitten(bites: Sequence[_Box], box: _Box) -> tuple[Rings, ...] | None:
    """A box less boxes that each reach from beyond its foot or its head into it: column by column between their sides,
    joined where neighbours share more than a crumb."""
    sides = {min(max(side, box[0]), box[2]) for bite in bites for side in (bite[0], bite[2])}
    stops = sorted({box[0], box[2], *sides})
    if any(b - a <= CRUMB_MM for a, b in pairwise(stops)):
        return None
    runs: list[list[_Box]] = [[]]
    for a, b in pairwise(stops):
        own = [bite for bite in bites if bite[0] < b and bite[2] > a]
        low = max([box[1], *(bite[3] for bite in own if bite[1] <= box[1])])
        high = min([box[3], *(bite[1] for bite in own if bite[1] > box[1])])
        if abs(high - low) <= CRUMB_MM:
            return None
        if high < low:
            runs.append([])
            continue
        if runs[-1]:
            _, last_low, _, last_high = runs[-1][-1]
            shared = min(high, last_high) - max(low, last_low)
            if abs(shared) <= CRUMB_MM:
                return None
            if shared < 0.0:
                runs.append([])
        runs[-1].append((a, low, b, high))
    rings = [_outline(columns) for columns in runs if sum(map(_area, columns)) > TOLERANCES.least_area_mm2]
    return tuple(sorted(((ring,) for ring in rings), key=lambda part: (min(part[0]), part)))


def _area(box: _Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def _outline(columns: Sequence[_Box]) -> Ring2:
    """The ring round columns that stand side by side."""
    foot = [point for a, low, b, _ in columns for point in ((a, low), (b, low))]
    head = [point for a, _, b, high in reversed(columns) for point in ((b, high), (a, high))]
    points = [*foot, *head]
    return clean_ring([point for n, point in enumerate(points) if point != points[n - 1]])


def _up_to_rake(face: Face, x0: float, x1: float, y0: float, y1: float) -> tuple[Rings, ...] | None:
    """The strip where the rake of the top alone ends it above; None where it does not."""
    left, right = max(x0, face.left), min(x1, face.right)
    top = _top_between(face.top, left, right) if right - left > CRUMB_MM else ()
    foot, low, high = max(y0, face.base), min((y for _, y in top), default=y1), max((y for _, y in top), default=y1)
    if y1 - high <= CRUMB_MM or low - foot <= CRUMB_MM:
        return None
    taken = _taken(face.holes, (x0, y0, x1, y1), (left, foot, right, high))
    if taken is None:
        return _notched_to_rake(face.holes, (x0, y0, x1, y1), (left, foot, right, low), top)
    if taken[1] or any(head >= low - CRUMB_MM for _, head in taken[0]):
        return None
    *below, (start, _) = _left((foot, low), taken[0])
    boxes = [(left, a, right, b) for a, b in below]
    raked = clean_ring(((left, start), (right, start), *reversed(top)))
    return (*(_ring(part) for part in boxes if _counts(part)), (raked,))


def _notched_to_rake(
    holes: Sequence[Hole], lines: _Box, box: _Box, top: tuple[Point2, ...]
) -> tuple[Rings, ...] | None:
    """A box notched by openings well below its head, and on it what lies under a rake; None where it is not so."""
    left, _, right, low = box
    under_rake = (left, low, right, max(y for _, y in top))
    parts = None if _near(holes, under_rake) else _notched(holes, lines, box)
    if parts is None:
        return None
    ends = [(round(x, _PLACES) + 0.0, round(low, _PLACES) + 0.0) for x in (right, left)]
    found: list[Rings] = []
    for (ring,) in parts:
        at = next((n for n, sides in enumerate(pairwise(ring)) if list(sides) == ends), None)
        found.append((ring if at is None else clean_ring((*ring[:at], *reversed(top), *ring[at + 2 :])),))
    return tuple(sorted(found, key=lambda part: (min(part[0]), part))) if tuple(found) != parts else None


def _top_between(top: tuple[Point2, ...], left: float, right: float) -> tuple[Point2, ...]:
    """The top of a face between two places, left to right, its corners on the grid of the regions; () where it steps,
    or a corner of it lies by a crumb beside one of them."""
    line = _without_steps(top)
    if not line or any(0.0 < abs(x - end) <= CRUMB_MM for x, _ in line for end in (left, right)):
        return ()
    inside = [point for point in line if left < point[0] < right]
    return ((left, _height(line, left)), *inside, (right, _height(line, right)))


@lru_cache(maxsize=64)
def _without_steps(top: tuple[Point2, ...]) -> tuple[Point2, ...]:
    """The top of a face on the grid of the regions; () where it steps."""
    line = tuple((round(x, _PLACES), round(y, _PLACES)) for x, y in top)
    return () if any(b[0] - a[0] <= CRUMB_MM for a, b in pairwise(line)) else line


def _height(line: Sequence[Point2], x: float) -> float:
    a, b = next(((a, b) for a, b in pairwise(line) if a[0] <= x <= b[0]))
    return round(a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]), _PLACES)


_Stretches = list[tuple[float, float]]


def _taken(holes: Sequence[Hole], lines: _Box, box: _Box) -> tuple[_Stretches, _Stretches] | None:
    """What openings take right across a box, as stretches of height, and right up it, as stretches of its width; None
    where one takes neither."""
    across: _Stretches = []
    upright: _Stretches = []
    for hole in _near(holes, box):
        if hole.head <= hole.foot:
            continue
        left, foot, right, head = _reach(hole, lines)
        wide, high = min(right, box[2]) - max(left, box[0]), min(head, box[3]) - max(foot, box[1])
        if wide <= 0.0 or high <= 0.0:
            continue
        if wide <= CRUMB_MM or high <= CRUMB_MM:
            return None
        if left <= box[0] and right >= box[2]:
            across.append((foot, head))
        elif foot <= box[1] and head >= box[3]:
            upright.append((left, right))
        else:
            return None
    return across, upright


def _near(holes: Sequence[Hole], box: _Box) -> list[Hole]:
    """The openings that could lie in a box, drawn out by a crumb or not."""
    clear = 2.0 * CRUMB_MM
    left, foot, right, head = box[0] - clear, box[1] - clear, box[2] + clear, box[3] + clear
    return [hole for hole in holes if hole.left < right and hole.right > left and hole.foot < head and hole.head > foot]


def _reach(hole: Hole, lines: _Box) -> _Box:
    """An opening, drawn out to lines that it misses by a crumb."""
    sides = (hole.left, hole.foot, hole.right, hole.head)
    near = [line if abs(side - line) <= CRUMB_MM else side for side, line in zip(sides, lines, strict=True)]
    return min(near[0], hole.left), min(near[1], hole.foot), max(near[2], hole.right), max(near[3], hole.head)


def _left(stretch: tuple[float, float], taken: _Stretches) -> _Stretches:
    low, high = stretch
    found: _Stretches = []
    for a, b in sorted(taken):
        if a > low:
            found.append((low, a))
        low = max(low, b)
    if high > low:
        found.append((low, high))
    return found


def _counts(box: _Box) -> bool:
    wide, high = box[2] - box[0], box[3] - box[1]
    return wide * high > TOLERANCES.least_area_mm2 and min(wide, high) > TOLERANCES.same_length_mm


def _ring(box: _Box) -> Rings:
    x0, y0 = round(box[0], _PLACES) + 0.0, round(box[1], _PLACES) + 0.0
    x1, y1 = round(box[2], _PLACES) + 0.0, round(box[3], _PLACES) + 0.0
    return (((x0, y0), (x1, y0), (x1, y1), (x0, y1)),)
