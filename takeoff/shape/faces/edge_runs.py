"""Edges of a roof as runs: the longest straight line along which the same faces meet, before it gets its id."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from takeoff.basics.records import record
from takeoff.basics.vectors import Point3, cross3, length3, scale3, sub3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import UprightKind
from takeoff.shape.faces.face_groups import Region, Segment
from takeoff.shape.faces.name_edges import Side, Touch, included_deg, name_edge, opens_downward, touch
from takeoff.shape.faces.parts import Face

_UPRIGHTS = {UprightKind.ABUTTING: Side.WALL, UprightKind.KERB: Side.KERB}


@record
class Run:
    """One edge between nodes `a` and `b`. `left` and `right` are the regions with a -> b and b -> a on their border
    (-1: none), `others` further regions that touch it. A roof region stands left or right; `segments` are undirected.
    """

    kind: EdgeKind
    a: int
    b: int
    left: int
    right: int
    others: tuple[int, ...]
    segments: tuple[Segment, ...]
    between_deg: float
    convex: bool

    def turned(self) -> Run:
        """The same run from its other end."""
        return Run(
            self.kind,
            self.b,
            self.a,
            self.right,
            self.left,
            self.others,
            self.segments,
            self.between_deg,
            self.convex,
        )

    def regions(self) -> tuple[int, ...]:
        """Every region that meets here, left and right first."""
        return tuple(r for r in (self.left, self.right, *self.others) if r >= 0)


def off_line(point: Point3, a: Point3, b: Point3) -> float:
    """Distance [mm] of a point from the line through a and b (from a where they are one point)."""
    line, to = sub3(b, a), sub3(point, a)
    length = length3(line)
    return length3(cross3(line, to)) / length if length else length3(to)


def find_runs(
    nodes: Sequence[Point3], faces: Sequence[Face], regions: Sequence[Region], straight_mm: float
) -> tuple[Run, ...]:
    """All edges that a roof face has on its border. Segments join while they are straight to `straight_mm`."""
    sides: dict[Segment, list[tuple[int, bool]]] = defaultdict(list)
    for number, region in enumerate(regions):
        for a, b in region.border:
            sides[min(a, b), max(a, b)].append((number, a < b))
    meeting: dict[tuple[int, ...], list[Segment]] = defaultdict(list)
    for segment, who in sides.items():
        if any(faces[regions[number].faces[0]].upright is None for number, _ in who):
            meeting[tuple(sorted(number for number, _ in who))].append(segment)
    runs = []
    for segments in meeting.values():
        for chain in _chains(nodes, segments, straight_mm):
            runs.append(_run(nodes, faces, regions, sides, chain))
    return tuple(runs)


def _chains(nodes: Sequence[Point3], segments: Sequence[Segment], straight_mm: float) -> list[list[int]]:
    """Paths of nodes through `segments`, each straight."""
    beside: dict[int, list[int]] = defaultdict(list)
    for a, b in segments:
        beside[a].append(b)
        beside[b].append(a)

    def through(node: int) -> bool:
        if len(beside[node]) != 2:
            return False
        a, b = (nodes[n] for n in beside[node])
        here = nodes[node]
        ahead = sum((p - q) * (r - p) for p, q, r in zip(here, a, b, strict=True)) > 0
        return ahead and off_line(here, a, b) <= straight_mm

    done: set[Segment] = set()
    chains: list[list[int]] = []
    for a, b in segments:
        if (a, b) in done:
            continue
        path = [a, b]
        done.add((a, b))
        for _ in range(2):
            while through(path[-1]):
                ahead = next(n for n in beside[path[-1]] if n != path[-2])
                key = (min(path[-1], ahead), max(path[-1], ahead))
                if key in done:
                    break
                done.add(key)
                path.append(ahead)
            path.reverse()
        chains.extend(_straight_parts(nodes, path, straight_mm))
    return chains


def _straight_parts(nodes: Sequence[Point3], path: list[int], straight_mm: float) -> list[list[int]]:
    """A path cut at the node furthest from its chord until every part is straight: many small bends make a bend."""
    if len(path) == 2:
        return [path]
    far = max(range(1, len(path) - 1), key=lambda i: off_line(nodes[path[i]], nodes[path[0]], nodes[path[-1]]))
    if off_line(nodes[path[far]], nodes[path[0]], nodes[path[-1]]) <= 2 * straight_mm:
        return [path]
    return _straight_parts(nodes, path[: far + 1], straight_mm) + _straight_parts(nodes, path[far:], straight_mm)


def _run(
    nodes: Sequence[Point3],
    faces: Sequence[Face],
    regions: Sequence[Region],
    sides: dict[Segment, list[tuple[int, bool]]],
    chain: list[int],
) -> Run:
    a, b = chain[0], chain[-1]
    first = (min(chain[0], chain[1]), max(chain[0], chain[1]))
    forward = first == (chain[0], chain[1])
    who = sorted((number, up == forward) for number, up in sides[first])
    touches = [_touch(faces[regions[n].faces[0]], nodes[a], nodes[b], ahead) for n, ahead in who]
    touches.sort(key=lambda t: t.side is not Side.ROOF)
    roofs = [(n, ahead) for n, ahead in who if faces[regions[n].faces[0]].upright is None]
    left = next((n for n, ahead in roofs if ahead), -1)
    right = next((n for n, ahead in roofs if not ahead), -1)
    others = [n for n, _ in who if n not in (left, right)]
    # an upright takes the side the roof leaves free
    if len(roofs) == 1 and others:
        left, right = (others.pop(0), right) if left < 0 else (left, others.pop(0))
    return Run(
        kind=name_edge(nodes[a], nodes[b], touches),
        a=a,
        b=b,
        left=left,
        right=right,
        others=tuple(others),
        segments=tuple((min(p, q), max(p, q)) for p, q in pairwise(chain)),
        between_deg=included_deg(touches[0], touches[1]) if len(touches) > 1 else 180.0,
        convex=opens_downward(touches[0], touches[1]) if len(touches) > 1 else True,
    )


def _touch(face: Face, a: Point3, b: Point3, ahead: bool) -> Touch:
    side = Side.ROOF if face.upright is None else _UPRIGHTS.get(face.upright, Side.FREE_UPRIGHT)
    found = touch(side, face.normal, a, b) if ahead else touch(side, face.normal, b, a)
    if side is Side.WALL and found.into[2] < 0:
        # the solver's upright hangs below the roof; the wall it stands for goes on above
        return Touch(side, found.normal, scale3(found.into, -1.0))
    return found


def plan_length(a: Point3, b: Point3) -> float:
    """Length in plan [mm]."""
    return hypot(b[0] - a[0], b[1] - a[1])
