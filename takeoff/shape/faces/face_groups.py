"""Faces that lie in one plane and touch become one region; what is left round a region is its border.

A border is kept as directed segments between nodes, the region on their left, so that holes and several parts need no
case of their own.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import cos, radians

from takeoff.basics.records import record
from takeoff.basics.vectors import Point3, dot3, sub3
from takeoff.shape.faces.frames import ring_area3
from takeoff.shape.faces.parts import Face

Segment = tuple[int, int]


@record
class Region:
    """A connected coplanar set of faces. `faces` index the face list, the seed (largest) first; `border` are directed
    node pairs with the region on the left, seen from the side its normal points to."""

    faces: tuple[int, ...]
    border: tuple[Segment, ...]


@record
class Net:
    """Faces as rings of node numbers."""

    nodes: tuple[Point3, ...]
    rings: tuple[tuple[tuple[int, ...], ...], ...]


def index_nodes(faces: Sequence[Face]) -> Net:
    """Give every point of the faces' rings a number; equal points share one, consecutive equal points are one."""
    index: dict[Point3, int] = {}
    rings: list[tuple[tuple[int, ...], ...]] = []
    for face in faces:
        numbered = []
        for ring in face.rings_mm:
            ids = [index.setdefault(point, len(index)) for point in ring]
            kept = tuple(node for i, node in enumerate(ids) if node != ids[i - 1])
            if len(kept) > 2:
                numbered.append(kept)
        rings.append(tuple(numbered))
    return Net(tuple(index), tuple(rings))


def _segments(rings: Sequence[tuple[int, ...]]) -> list[Segment]:
    return [(ring[i - 1], node) for ring in rings for i, node in enumerate(ring)]


def _alike(faces: Sequence[Face], net: Net, seed: int, other: int, flat_mm: float, least_cos: float) -> bool:
    """Whether `other` lies in the plane of `seed`: same sort, turned by no more than the cap, no point further off
    than `flat_mm`."""
    a, b = faces[seed], faces[other]
    if (a.upright, a.covering, a.roof) != (b.upright, b.covering, b.roof) or dot3(a.normal, b.normal) < least_cos:
        return False
    anchor = net.nodes[net.rings[seed][0][0]]
    return all(
        abs(dot3(sub3(net.nodes[node], anchor), a.normal)) <= flat_mm for ring in net.rings[other] for node in ring
    )


def merge_coplanar(faces: Sequence[Face], net: Net, flat_mm: float, flat_deg: float) -> tuple[Region, ...]:
    """Connected coplanar regions, grown from the largest face against its fixed plane.

    `flat_mm`: how far a point may lie off the seed's plane; `flat_deg`: how far a face may be turned from it.
    """
    at: dict[tuple[bool, Segment], list[int]] = defaultdict(list)
    for number, face in enumerate(faces):
        for a, b in _segments(net.rings[number]):
            at[face.upright is not None, (min(a, b), max(a, b))].append(number)
    size = [
        abs(sum(ring_area3([net.nodes[n] for n in ring], faces[i].normal) for ring in rings)) if rings else 0.0
        for i, rings in enumerate(net.rings)
    ]
    least_cos = cos(radians(flat_deg))
    taken: set[int] = set()
    regions: list[Region] = []
    for seed in sorted((i for i, rings in enumerate(net.rings) if rings), key=lambda i: (-size[i], i)):
        if seed in taken:
            continue
        taken.add(seed)
        members = [seed]
        for member in members:
            for a, b in _segments(net.rings[member]):
                for other in at[faces[member].upright is not None, (min(a, b), max(a, b))]:
                    if other not in taken and _alike(faces, net, seed, other, flat_mm, least_cos):
                        taken.add(other)
                        members.append(other)
        regions.append(Region(tuple(members), _border(net, members)))
    return tuple(regions)


def _border(net: Net, members: Sequence[int]) -> tuple[Segment, ...]:
    """Segments of the members that no other member runs the other way."""
    count: dict[Segment, int] = defaultdict(int)
    for member in members:
        for segment in _segments(net.rings[member]):
            count[segment] += 1
    return tuple(s for s, n in count.items() for _ in range(n - count.get((s[1], s[0]), 0)))


def border_loops(border: Sequence[Segment]) -> tuple[tuple[int, ...], ...]:
    """Join directed segments into loops of nodes, cut wherever a loop meets itself so that each is simple.

    Raises ValueError where the segments do not close.
    """
    onward: dict[int, list[int]] = defaultdict(list)
    for a, b in border:
        onward[a].append(b)
    loops: list[tuple[int, ...]] = []
    for start, _ in border:
        path = [start]
        place = {start: 0}
        while onward[path[-1]]:
            node = onward[path[-1]].pop(0)
            if node in place:
                since = place[node]
                loops.append(tuple(path[since:]))
                for gone in path[since + 1 :]:
                    del place[gone]
                del path[since + 1 :]
            else:
                place[node] = len(path)
                path.append(node)
        if len(path) > 1:
            raise ValueError("open border")
    return tuple(loops)
