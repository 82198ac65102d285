"""Points welded and edges split at the points that lie on them, for the few hundred of a roof's borders."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import floor

from takeoff.basics.vectors import Point3, dot3, length3, scale3, sub3

Ring = tuple[int, ...]
_MOST_CELLS = 4096  # cells one edge is looked up in, at most


def weld(points: Sequence[Point3], within_mm: float) -> tuple[tuple[Point3, ...], list[int]]:
    """Points with those closer than `within_mm` made one (their mean), and each point's new number."""
    cells: dict[tuple[int, int, int], list[int]] = defaultdict(list)
    new: list[int] = []
    sums: list[list[float]] = []
    firsts: list[Point3] = []
    for point in points:
        home = (floor(point[0] / within_mm), floor(point[1] / within_mm), floor(point[2] / within_mm))
        found = -1
        for cell in _around(home):
            for other in cells.get(cell, ()):
                if length3(sub3(point, firsts[other])) <= within_mm:
                    found = other
                    break
            if found >= 0:
                break
        if found < 0:
            found = len(firsts)
            cells[home].append(found)
            firsts.append(point)
            sums.append([0.0, 0.0, 0.0, 0.0])
        total = sums[found]
        total[0] += point[0]
        total[1] += point[1]
        total[2] += point[2]
        total[3] += 1.0
        new.append(found)
    return tuple((x / n, y / n, z / n) for x, y, z, n in sums), new


def _around(home: tuple[int, int, int]) -> Iterator[tuple[int, int, int]]:
    x, y, z = home
    for i in (0, -1, 1):
        for j in (0, -1, 1):
            for k in (0, -1, 1):
                yield (x + i, y + j, z + k)


def split_edges(nodes: Sequence[Point3], rings: Sequence[Ring], within_mm: float) -> list[Ring]:
    """Rings with every node that lies on one of their edges put into it, in order along the edge."""
    edges = sorted({(min(a, b), max(a, b)) for ring in rings for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)})
    used = sorted({node for ring in rings for node in ring})
    if not used:
        return []
    lengths = sorted(length3(sub3(nodes[b], nodes[a])) for a, b in edges)
    cell_mm = max(lengths[len(lengths) // 2], 10 * within_mm)
    grid: dict[tuple[int, int, int], list[int]] = defaultdict(list)
    for node in used:
        grid[_cell(nodes[node], cell_mm)].append(node)
    on: dict[tuple[int, int], Ring] = {}
    for a, b in edges:
        on[a, b] = _nodes_on(nodes, a, b, _near(nodes, a, b, grid, cell_mm, used), within_mm)
    return [_with_nodes(ring, on) for ring in rings]


def _cell(point: Point3, cell_mm: float) -> tuple[int, int, int]:
    return (floor(point[0] / cell_mm), floor(point[1] / cell_mm), floor(point[2] / cell_mm))


def _near(
    nodes: Sequence[Point3],
    a: int,
    b: int,
    grid: dict[tuple[int, int, int], list[int]],
    cell_mm: float,
    used: Sequence[int],
) -> Sequence[int]:
    """Nodes in the cells round an edge's box; all of them where the box holds too many cells."""
    low = _cell((min(nodes[a][0], nodes[b][0]), min(nodes[a][1], nodes[b][1]), min(nodes[a][2], nodes[b][2])), cell_mm)
    high = _cell((max(nodes[a][0], nodes[b][0]), max(nodes[a][1], nodes[b][1]), max(nodes[a][2], nodes[b][2])), cell_mm)
    spans = [range(low[k] - 1, high[k] + 2) for k in range(3)]
    if len(spans[0]) * len(spans[1]) * len(spans[2]) > min(_MOST_CELLS, len(used)):
        return used
    return [node for x in spans[0] for y in spans[1] for z in spans[2] for node in grid.get((x, y, z), ())]


def _nodes_on(nodes: Sequence[Point3], a: int, b: int, near: Sequence[int], within_mm: float) -> Ring:
    line = sub3(nodes[b], nodes[a])
    size = dot3(line, line)
    found = []
    for node in near:
        if node in (a, b):
            continue
        to = sub3(nodes[node], nodes[a])
        t = dot3(to, line) / size
        if 0.0 < t < 1.0 and length3(sub3(to, scale3(line, t))) <= within_mm:
            found.append((t, node))
    return tuple(node for _, node in sorted(found))


def _with_nodes(ring: Ring, on: dict[tuple[int, int], Ring]) -> Ring:
    full: list[int] = []
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        full.append(a)
        full.extend(on[a, b] if a < b else reversed(on[b, a]))
    return tuple(full)
