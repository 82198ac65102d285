"""Lines of a drawing joined end to end, layer by layer: closed rings, and chains that stay open.

Figures stay in the file's own unit: which unit that is, is decided from what is found here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import acos, atan, ceil, cos, floor, sin, tan

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2, distance2
from takeoff.model.drawings import RawPath

_SAME_REL = 1e-12  # of the largest coordinate: crumbs of writing and reading a figure
_MOST_FACETS = 180  # sides of one arc, however large it is


@record
class Chain:
    """Lines that follow each other. `points`: corners, of a closed chain without the first one again; `bulges` one a
    side or none; `first` the place of its first line in the file; `gap`: the widest gap bridged between two lines that
    follow each other, of an open chain the distance between its two ends; `fork`: where more than two lines meet, so
    that nobody can tell which follows which."""

    layer: str
    points: Ring2
    bulges: tuple[float, ...]
    closed: bool
    path: RawPath
    first: int
    lines: int
    gap: float = 0.0
    fork: Point2 | None = None


def join_lines(paths: Sequence[RawPath], near: float) -> tuple[Chain, ...]:
    """Chains of all layers, in the order of their first lines. Ends within `near` of each other are one, in the unit of
    the file: the corner is where the later line begins."""
    chains: list[Chain] = []
    loose: dict[str, list[tuple[int, RawPath]]] = {}
    for place, path in enumerate(paths):
        if path.closed or _meets_itself(path, near):
            chains.append(_closed(path, place, near))
        elif len(path.points) > 1 and (len(path.points) > 2 or distance2(path.points[0], path.points[-1]) > 0.0):
            loose.setdefault(path.layer.casefold(), []).append((place, path))
    for lines in loose.values():
        chains += _joined(_once(lines, near), near)
    return tuple(sorted(chains, key=lambda chain: chain.first))


def _meets_itself(path: RawPath, near: float) -> bool:
    return len(path.points) > 3 and distance2(path.points[0], path.points[-1]) <= max(near, _crumb(path.points))


def _crumb(points: Iterable[Point2]) -> float:
    return _SAME_REL * max(max(abs(x), abs(y)) for x, y in points)


def _closed(path: RawPath, place: int, near: float) -> Chain:
    points, bulges = path.points, path.bulges
    gap = 0.0
    if len(points) > 1 and _ends_meet(path, near):
        gap = distance2(points[0], points[-1])
        points, bulges = points[:-1], bulges[: len(points) - 1]
    return Chain(path.layer, points, tuple(bulges), True, path, place, 1, gap)


def _ends_meet(path: RawPath, near: float) -> bool:
    """Whether the last corner is the first one again; an arc between them keeps both."""
    last = path.bulges[-1] if len(path.bulges) == len(path.points) else 0.0
    return distance2(path.points[0], path.points[-1]) <= max(near, _crumb(path.points)) and not last


def _once(lines: Sequence[tuple[int, RawPath]], near: float) -> list[tuple[int, RawPath]]:
    """Lines without those that lie on another from end to end; a path with corners goes another way than a line."""
    step = max(near, max(_crumb(path.points) for _, path in lines)) * 2.0 or 1.0
    seen: set[tuple[object, ...]] = set()
    kept = []
    for place, path in lines:
        if len(path.points) > 2:
            kept.append((place, path))
            continue
        one, other = ((round(x / step), round(y / step)) for x, y in (path.points[0], path.points[-1]))
        bulge = round(path.bulges[0], 6) if path.bulges else 0.0
        key = (one, other, bulge) if one <= other else (other, one, -bulge)
        if key not in seen:
            kept.append((place, path))
        seen.add(key)
    return kept


class _Ends:
    """Ends of lines that are one where they are near: each gets the number of its meeting point."""

    def __init__(self, near: float) -> None:
        self.near = near
        self.at: list[Point2] = []
        self.widest: list[float] = []
        self._cells: dict[tuple[int, int], list[int]] = {}

    def number(self, point: Point2) -> int:
        x, y = (floor(value / self.near) for value in point)
        for i in (x, x - 1, x + 1):
            for j in (y, y - 1, y + 1):
                for number in self._cells.get((i, j), ()):
                    far = distance2(self.at[number], point)
                    if far <= self.near:
                        self.widest[number] = max(self.widest[number], far)
                        return number
        self._cells.setdefault((x, y), []).append(len(self.at))
        self.at.append(point)
        self.widest.append(0.0)
        return len(self.at) - 1


def _joined(lines: Sequence[tuple[int, RawPath]], near: float) -> Iterator[Chain]:
    """Chains of the loose lines of one layer: through every point where exactly two of them end."""
    ends = _Ends(max(near, max(_crumb(path.points) for _, path in lines)) or 1.0)
    pairs = [(ends.number(path.points[0]), ends.number(path.points[-1])) for _, path in lines]
    meeting: dict[int, list[int]] = {}
    for line, pair in enumerate(pairs):
        for end in pair:
            meeting.setdefault(end, []).append(line)
    for group in _groups(pairs, meeting):
        forks = sorted({end for line in group for end in pairs[line] if len(meeting[end]) > 2})
        if forks:
            where = ends.at[forks[0]]
            yield _chain([(line, False) for line in group], lines, pairs, ends, False, where)
            continue
        row, closed = _row(group, pairs, meeting)
        yield _chain(row, lines, pairs, ends, closed, None)


def _groups(pairs: Sequence[tuple[int, int]], meeting: dict[int, list[int]]) -> Iterator[list[int]]:
    """Lines that hang together, each group in the order of the file."""
    seen = [False] * len(pairs)
    for first in range(len(pairs)):
        if seen[first]:
            continue
        seen[first] = True
        group, to_see = [], [first]
        while to_see:
            line = to_see.pop()
            group.append(line)
            for other in (other for end in pairs[line] for other in meeting[end] if not seen[other]):
                seen[other] = True
                to_see.append(other)
        yield sorted(group)


def _row(
    group: Sequence[int], pairs: Sequence[tuple[int, int]], meeting: dict[int, list[int]]
) -> tuple[list[tuple[int, bool]], bool]:
    """The lines of a group one after the other, each with whether it is run backwards, and whether they close. A ring
    begins with its first line in the file as that was drawn."""
    open_ends = [end for line in group for end in pairs[line] if len(meeting[end]) == 1]
    line = meeting[open_ends[0]][0] if open_ends else group[0]
    start = open_ends[0] if open_ends else pairs[line][0]
    row: list[tuple[int, bool]] = []
    done: set[int] = set()
    at = start
    while line not in done:
        done.add(line)
        back = pairs[line][0] != at
        row.append((line, back))
        at = pairs[line][0] if back else pairs[line][1]
        line = next((other for other in meeting[at] if other not in done), line)
    return row, not open_ends and len(group) > 1 and at == start


def _chain(
    row: Sequence[tuple[int, bool]],
    lines: Sequence[tuple[int, RawPath]],
    pairs: Sequence[tuple[int, int]],
    ends: _Ends,
    closed: bool,
    fork: Point2 | None,
) -> Chain:
    points: list[Point2] = []
    bulges: list[float] = []
    for line, back in row:
        path = lines[line][1]
        own = list(path.points[::-1] if back else path.points)
        sides = list(path.bulges[: len(own) - 1]) or [0.0] * (len(own) - 1)
        points += own[:-1]
        bulges += [-bulge for bulge in reversed(sides)] if back else sides
    last, back = row[-1]
    if not closed:
        points.append(lines[last][1].points[0 if back else -1])
    touched = {end for line, _ in row for end in pairs[line]}
    gap = max(ends.widest[end] for end in touched) if closed else distance2(points[0], points[-1])
    first = min(line for line, _ in row)
    place, path = lines[first]
    bowed = tuple(bulges) if any(bulges) else ()
    return Chain(path.layer, tuple(points), bowed, closed, path, place, len(row), gap, fork)


def extent(chain: Chain) -> tuple[float, float]:
    """Length and width of a chain's box, arcs taken at their middles, in the unit of the file."""
    points = [*chain.points]
    for i, bulge in enumerate(chain.bulges):
        if bulge and (chain.closed or i + 1 < len(chain.points)):
            points.append(_middle(chain.points[i], chain.points[(i + 1) % len(chain.points)], bulge))
    size = [max(point[k] for point in points) - min(point[k] for point in points) for k in (0, 1)]
    return max(size), min(size)


def _middle(a: Point2, b: Point2, bulge: float) -> Point2:
    """The middle of an arc: half its bulge times its chord to the right of the chord for an arc that turns left."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return ((a[0] + b[0] + bulge * dy) / 2.0, (a[1] + b[1] - bulge * dx) / 2.0)


def faceted(a: Point2, b: Point2, bulge: float, off: float) -> list[Point2]:
    """Corners between a and b on an arc, so that no side lies further than `off` from it.

    A chord of an arc of radius r that turns through t lies r (1 - cos(t / 2)) off it: the height of a circle segment.

    >>> [round(x, 6) for point in faceted((0.0, 0.0), (2.0, 0.0), 1.0, 0.3) for x in point]
    [1.0, -1.0]
    """
    chord = distance2(a, b)
    if not bulge or chord == 0.0:
        return []
    turn = 4.0 * atan(bulge)
    radius = chord / (2.0 * abs(sin(turn / 2.0)))
    most = 2.0 * acos(max(-1.0, 1.0 - off / radius))
    count = min(max(1, ceil(abs(turn) / max(most, 1e-9) - 1e-9)), _MOST_FACETS)
    dx, dy = b[0] - a[0], b[1] - a[1]
    # from the middle of the chord to the centre, to the left of a -> b for an arc that turns left by less than half
    reach = 1.0 / (2.0 * tan(turn / 2.0))
    cx, cy = (a[0] + b[0]) / 2.0 - reach * dy, (a[1] + b[1]) / 2.0 + reach * dx
    found = []
    for k in range(1, count):
        c, s = cos(turn * k / count), sin(turn * k / count)
        x, y = a[0] - cx, a[1] - cy
        found.append((cx + x * c - y * s, cy + x * s + y * c))
    return found
