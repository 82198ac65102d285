"""Patches with their nodes brought onto the planes that meet there: the rings that a roof is put together from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.errors import ShapeError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, dot3, sub3
from takeoff.shape.faces.closure import place
from takeoff.shape.faces.edge_runs import off_line
from takeoff.shape.faces.face_groups import border_loops
from takeoff.shape.faces.frames import ring_area3
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.patch_borders import Segment, borders
from takeoff.shape.imported.planes import Patch

if TYPE_CHECKING:
    from takeoff.shape.imported.joining import Floats

_FURTHEST_MM = MODEL_LIMITS.node_moves_mm
_NEARLY_ONE = 0.02  # ratio of singular values below which planes count as one: about 1 degree between two
_STRAIGHT_MM = MODEL_LIMITS.node_straight_mm


@record
class Raised:
    """Patches and walls, the rings of every patch in space (the outer first), the segments that no other patch shares
    (patch, from, to), and the greatest move of a node [mm]. `wall_borders`: segments round each wall, in space."""

    patches: Sequence[Patch]
    walls: Sequence[Patch]
    rings: Sequence[tuple[tuple[Point3, ...], ...]]
    free: Sequence[tuple[int, Point3, Point3]]
    wall_borders: Sequence[Sequence[tuple[Point3, Point3]]]
    moved_mm: float


def raise_patches(
    name: str, net: Net, patches: Sequence[Patch], walls: Sequence[Patch], bridged: frozenset[int] = frozenset()
) -> Raised:
    """Rings of all patches, their nodes on the planes. `bridged` nodes may move far: a gap was closed at them. Raises
    ShapeError where a border does not close."""
    edges, wall_edges = borders(net, patches), borders(net, walls)
    at, moved_mm = snap(net, (patches, walls), (edges, wall_edges), bridged)
    found = [_loops(name, patch, border, at) for patch, border in zip(patches, edges, strict=True)]
    patches = [patch for patch, loops in zip(patches, found, strict=True) if loops]
    found = [loops for loops in found if loops]
    plain = _plain([*edges, *wall_edges], at, [*patches, *walls])
    loops = [[_without(loop, plain) for loop in rings] for rings in found]
    sides = [(number, pair) for number, rings in enumerate(loops) for loop in rings for pair in _pairs(loop)]
    shared = {pair for _, pair in sides}
    free = [(number, at[a], at[b]) for number, (a, b) in sides if (b, a) not in shared and at[a] != at[b]]
    rings = [tuple(tuple(at[n] for n in loop) for loop in found) for found in loops]
    upright = [[(_point(net, a), _point(net, b)) for a, b in border] for border in wall_edges]
    return Raised(patches, walls, rings, free, upright, moved_mm)


def _point(net: Net, node: int) -> Point3:
    x, y, z = net.nodes[node].tolist()
    return (x, y, z)


def _pairs(loop: Sequence[int]) -> list[Segment]:
    return list(pairwise((*loop, loop[0])))


def _loops(name: str, patch: Patch, border: Sequence[Segment], at: Mapping[int, Point3]) -> list[tuple[int, ...]]:
    """Border loops of a patch, the outer first. Slits that dropped crumbs left open are closed."""
    try:
        loops = border_loops(border)
    except ValueError:
        where = place(at[border[0][0]])
        raise ShapeError(f"roof {name}: the border of the plane at {where} does not close") from None
    sized = [(ring_area3([at[n] for n in loop], patch.normal), loop) for loop in loops]
    sized.sort(key=lambda pair: -pair[0])
    return [loop for area, loop in sized if abs(area) > TOLERANCES.least_area_mm2 and sized[0][0] > 0.0]


def _plain(edges: Sequence[Sequence[Segment]], at: Mapping[int, Point3], patches: Sequence[Patch]) -> frozenset[int]:
    """Nodes that lie straight between two others along the border of the same faces, walls too: a subdivided side, or
    the end of a fold that was straightened, in plan straight and in height off by no more than the fold is."""
    who: dict[Segment, list[int]] = defaultdict(list)
    for number, border in enumerate(edges):
        for a, b in border:
            who[min(a, b), max(a, b)].append(number)
    beside: dict[int, list[tuple[int, tuple[int, ...]]]] = defaultdict(list)
    for (a, b), numbers in who.items():
        beside[a].append((b, tuple(numbers)))
        beside[b].append((a, tuple(numbers)))
    return frozenset(
        node
        for node, ways in beside.items()
        if len(ways) == 2
        and node in at
        and all(other in at for other, _ in ways)
        and sorted(ways[0][1]) == sorted(ways[1][1])
        and _straight(at[ways[0][0]], at[node], at[ways[1][0]], [patches[number] for number in ways[0][1]])
        and dot3(sub3(at[node], at[ways[0][0]]), sub3(at[ways[1][0]], at[node])) > 0.0
    )


def _straight(before: Point3, here: Point3, after: Point3, patches: Sequence[Patch]) -> bool:
    off = off_line(here, before, after)
    if off <= _STRAIGHT_MM:
        return True
    folded = max(patch.off_mm for patch in patches)
    flat = [(x, y, 0.0) for x, y, _ in (here, before, after)]
    return off <= 3.0 * folded and off_line(flat[0], flat[1], flat[2]) <= TOLERANCES.same_plane_mm


def _without(loop: tuple[int, ...], plain: frozenset[int]) -> tuple[int, ...]:
    kept = tuple(node for node in loop if node not in plain)
    return kept if len(kept) > 2 else loop


def snap(
    net: Net,
    patches: tuple[Sequence[Patch], Sequence[Patch]],
    edges: tuple[Sequence[Sequence[Segment]], Sequence[Sequence[Segment]]],
    bridged: frozenset[int],
) -> tuple[dict[int, Point3], float]:
    """Every border node of the patches moved onto all planes that meet there, walls too, and the greatest move [mm].

    The least move that brings a node onto its planes: onto one plane, the line of two, the point of three. Planes that
    are nearly one (turned by less than about 1 degree) do not throw it far. A twisted face moves nothing: its corners
    are as good as it is. `patches` and `edges`: of roof, of walls.
    """
    meeting: dict[int, list[Patch]] = defaultdict(list)
    for patch, border in zip((*patches[0], *patches[1]), (*edges[0], *edges[1]), strict=True):
        if patch.off_mm > TOLERANCES.same_plane_mm:
            continue  # and a wall alone moves nothing either
        for node in sorted({a for a, _ in border}):
            meeting[node].append(patch)
    roof = {node for border in edges[0] for node, _ in border}
    moved: dict[int, Point3] = {}
    furthest = 0.0
    for node in sorted(roof):
        planes = meeting.get(node, [])
        at = net.nodes[node]
        if not planes or planes[0].normal[2] == 0.0:
            x, y, z = at.tolist()
            moved[node] = (x, y, z)
            continue
        normals = np.array([plane.normal for plane in planes])
        gaps = np.array([float(np.dot(np.array(plane.through) - at, plane.normal)) for plane in planes])
        step = normals[0] * gaps[0] if len(planes) == 1 else _least_step(normals, gaps, node in bridged)
        furthest = max(furthest, float(np.linalg.norm(step)))
        x, y, z = (at + step).tolist()
        moved[node] = (x, y, z)
    return moved, furthest


def _least_step(normals: Floats, gaps: Floats, far: bool) -> Floats:
    """Least move onto the planes; planes nearly one count as one where the move would be too far."""
    for ratio in (_NEARLY_ONE, 0.1, 0.3, 0.7):
        step: Floats = np.linalg.pinv(normals, rcond=ratio) @ gaps
        if far or float(np.linalg.norm(step)) <= _FURTHEST_MM:
            return step
    return np.zeros(3)
