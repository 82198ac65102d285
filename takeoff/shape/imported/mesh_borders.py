"""Free borders of imported planes in plan: where a plane ends over another, a step; where it ends alone, the outline.

Two borders that run against each other over the same line in plan, one high and one low, are the top and the foot of an
upright step between two planes. What is left over when all steps are taken out is the outline.

    plan            P1  | P2          section    P1 ____|
                 -->----+----                           |  step
                        |                               |____ P2
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Point3, Ring2, distance2, sub3, unit3
from takeoff.model.roof import UprightKind
from takeoff.shape.faces.face_groups import border_loops
from takeoff.shape.faces.parts import Face
from takeoff.shape.imported.mesh_clean import split_edges, weld

Segment = tuple[int, int]
_LEAST_STEP_MM = MODEL_LIMITS.border_step_mm


@record
class Border:
    """One straight piece of free border in plan. `ends` are its points in space with the plane `patch` on the left;
    `plan` are the numbers of its plan points."""

    patch: int
    ends: tuple[Point3, Point3]
    plan: Segment


@record
class Borders:
    """Free borders sorted: outline pieces, and step pairs (the higher first). `points`: plan points [mm].

    `extra` are the points put into a free segment from a to b (in space), in order; `same` maps the points of a top
    border that coincide with its foot onto the foot's.
    """

    points: tuple[Point2, ...]
    outline: tuple[Border, ...]
    steps: tuple[tuple[Border, Border], ...]
    extra: dict[tuple[Point3, Point3], tuple[Point3, ...]]
    same: dict[Point3, Point3]


def sort_borders(free: Sequence[tuple[int, Point3, Point3]], near_mm: float) -> Borders:
    """Sort free segments (patch, from, to; the patch on the left) into outline and steps.

    Points within `near_mm` of each other in plan are one.
    """
    flat = [(p[0], p[1], 0.0) for _, a, b in free for p in (a, b)]
    points, new = weld(flat, near_mm)
    chains = [(new[2 * i], new[2 * i + 1]) for i in range(len(free))]
    runs = split_edges(points, [chain for chain in chains if chain[0] != chain[1]], near_mm)
    split = iter(runs)
    borders: list[Border] = []
    extra: dict[tuple[Point3, Point3], tuple[Point3, ...]] = {}
    same: dict[Point3, Point3] = {}
    for (patch, a, b), chain in zip(free, chains, strict=True):
        if chain[0] == chain[1]:
            _make_same(same, a, b)
            continue
        ring = next(split)
        nodes = ring[: ring.index(chain[1]) + 1]
        places = _along(a, b, nodes, points)
        if len(places) > 2:
            extra[a, b] = tuple(places[1:-1])
        for k in range(len(nodes) - 1):
            borders.append(Border(patch, (places[k], places[k + 1]), (nodes[k], nodes[k + 1])))
    outline, steps = _paired(borders)
    return Borders(tuple((x, y) for x, y, _ in points), outline, steps, extra, _coinciding(steps, same))


def _coinciding(steps: Sequence[tuple[Border, Border]], same: dict[Point3, Point3]) -> dict[Point3, Point3]:
    """Add the ends of tops that lie on their foot's ends, but for the least step; every point leads to its last one."""
    for top, foot in steps:
        for high, low in zip(top.ends, reversed(foot.ends), strict=True):
            if abs(high[2] - low[2]) <= _LEAST_STEP_MM:
                _make_same(same, high, low)
    return {point: _last(same, point) for point in same}


def _make_same(same: dict[Point3, Point3], one: Point3, other: Point3) -> None:
    one, other = _last(same, one), _last(same, other)
    if one != other:
        same[one] = other


def _last(same: dict[Point3, Point3], point: Point3) -> Point3:
    while point in same:
        point = same[point]
    return point


def _along(a: Point3, b: Point3, nodes: Sequence[int], points: Sequence[Point3]) -> list[Point3]:
    """Points in space on a-b over the plan nodes between its ends."""
    length = distance2((a[0], a[1]), (b[0], b[1]))
    places = [a]
    for node in nodes[1:-1]:
        run = (points[node][0] - a[0]) * (b[0] - a[0]) + (points[node][1] - a[1]) * (b[1] - a[1])
        t = run / (length * length)
        places.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])))
    return [*places, b]


def _paired(borders: Sequence[Border]) -> tuple[tuple[Border, ...], tuple[tuple[Border, Border], ...]]:
    waiting: dict[Segment, list[Border]] = defaultdict(list)
    steps: list[tuple[Border, Border]] = []
    for border in borders:
        back = waiting.get((border.plan[1], border.plan[0]))
        if back:
            other = back.pop(0)
            pair = (border, other) if _height(border) >= _height(other) else (other, border)
            steps.append(pair)
        else:
            waiting[border.plan].append(border)
    return tuple(border for left in waiting.values() for border in left), tuple(steps)


def _height(border: Border) -> float:
    return border.ends[0][2] + border.ends[1][2]


def step_faces(borders: Borders) -> list[Face]:
    """Upright faces of the steps, each from the top border down to the foot, facing the lower plane."""
    faces = []
    same = borders.same
    for top, foot in borders.steps:
        a, b = (same.get(point, point) for point in foot.ends)
        # the top runs the other way: c over b, d over a; ends that meet are one point
        c, d = (same.get(point, point) for point in top.ends)
        ring = [point for point, before in ((a, d), (b, a), (c, b), (d, c)) if point != before]
        if len(ring) < 3:
            continue
        along = sub3(b, a)
        normal = unit3((-along[1], along[0], 0.0))
        faces.append(Face((tuple(reversed(ring)),), normal, upright=UprightKind.STEP))
    return faces


def outline_rings(borders: Borders, straight_mm: float) -> tuple[tuple[Ring2, ...], tuple[Ring2, ...]]:
    """Rings of the outline: outer ones (counter-clockwise, greatest first) and holes.

    Raises ValueError where the pieces do not close.
    """
    loops = border_loops([border.plan for border in borders.outline])
    rings = [_straightened([borders.points[n] for n in loop], straight_mm) for loop in loops]
    sized = [(_area(ring), ring) for ring in rings]
    outer = sorted((pair for pair in sized if pair[0] > 0), key=lambda pair: -pair[0])
    holes = sorted((pair for pair in sized if pair[0] < 0), key=lambda pair: pair[0])
    return tuple(ring for _, ring in outer), tuple(ring for _, ring in holes)


def _area(ring: Sequence[Point2]) -> float:
    ox, oy = ring[0]
    return sum(
        (ring[i][0] - ox) * (ring[i + 1][1] - oy) - (ring[i][1] - oy) * (ring[i + 1][0] - ox)
        for i in range(len(ring) - 1)
    )


def _straightened(ring: list[Point2], straight_mm: float) -> Ring2:
    """A ring without the points that lie on the line between those kept, started at its lowest left corner."""
    start = min(range(len(ring)), key=lambda i: (round(ring[i][1], 1), round(ring[i][0], 1)))
    turned = ring[start:] + ring[:start]
    kept = [turned[0]]
    i = 0
    while i < len(turned):
        j = i + 1
        while j < len(turned) and _straight_to(turned, i, j + 1, straight_mm):
            j += 1
        if j < len(turned):
            kept.append(turned[j])
        i = j
    return tuple(kept)


def _straight_to(ring: Sequence[Point2], i: int, j: int, straight_mm: float) -> bool:
    a, b = ring[i], ring[j % len(ring)]
    length = distance2(a, b)
    if length == 0.0:
        return False
    for k in range(i + 1, j):
        dx, dy = ring[k][0] - a[0], ring[k][1] - a[1]
        along = (dx * (b[0] - a[0]) + dy * (b[1] - a[1])) / length
        off = abs(dx * (b[1] - a[1]) - dy * (b[0] - a[0])) / length
        if off > straight_mm or not 0.0 < along < length:
            return False
    return True
