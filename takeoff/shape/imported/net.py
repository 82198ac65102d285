"""Imported triangles made a net in arrays: points welded, crumbs and doubles dropped, split sides joined.

A T-junction is a point that lies on another triangle's side but is no corner of it. Each becomes a node of that side,
so that neighbours share every node between them and a common edge is the same segments on both sides.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from takeoff.basics.tolerances import TOLERANCES
from takeoff.shape.imported.joining import welded

if TYPE_CHECKING:
    from takeoff.shape.imported.joining import Floats, Numbers


@dataclass(frozen=True, slots=True, eq=False)
class Net:
    """Welded points and the facets between them.

    `nodes` (k, 3) [mm]; of each facet `corners` (m, 3), counter-clockwise in plan, `polygon_of` and `part_of` as in the
    file, `normals` (unit, turned upward), `areas` [mm2], `thin` (least height [mm]); `sides` (s, 3): facet, from, to,
    with the T-junctions on them. What was dropped is counted.
    """

    nodes: Floats
    corners: Numbers
    polygon_of: Numbers
    part_of: Numbers
    normals: Floats
    areas: Floats
    thin: Floats
    sides: Numbers
    crumbs: int
    doubles: int

    def keys(self) -> Numbers:
        """A number for each side that is the same for the same two nodes."""
        low, high = np.minimum(self.sides[:, 1], self.sides[:, 2]), np.maximum(self.sides[:, 1], self.sides[:, 2])
        return low * len(self.nodes) + high


def make_net(points: Floats, triangles: Numbers, polygon_of: Numbers, part_of: Numbers) -> Net:
    """Weld points closer than the weld distance, drop triangles thinner than it and repeated ones, add T-junctions."""
    nodes, new = welded(points, TOLERANCES.weld_mm)
    corners = new[triangles]
    normals, areas, thin = _measured(nodes, corners)
    whole = thin >= TOLERANCES.weld_mm
    same = np.sort(corners, axis=1)
    keys = (same[:, 0] * len(nodes) + same[:, 1]).astype(np.float64) * len(nodes) + same[:, 2]
    exact = len(nodes) < 200_000
    first = np.unique(keys, return_index=True)[1] if exact else np.unique(same, axis=0, return_index=True)[1]
    fresh = np.zeros(len(corners), dtype=bool)
    fresh[first] = True
    keep = whole & fresh
    corners, normals = corners[keep].copy(), normals[keep].copy()
    down = normals[:, 2] < 0
    corners[down] = corners[down][:, ::-1]
    normals[down] = -normals[down]
    return Net(
        nodes=nodes,
        corners=corners,
        polygon_of=polygon_of[keep],
        part_of=part_of[keep],
        normals=normals,
        areas=areas[keep],
        thin=thin[keep],
        sides=_sides(nodes, corners),
        crumbs=int((~whole & fresh).sum()),
        doubles=int((~fresh).sum()),
    )


def part_of_net(net: Net, keep: Numbers) -> Net:
    """The net of some of its facets, by their numbers; nodes keep their numbers."""
    number = np.full(len(net.corners), -1, dtype=np.int64)
    number[keep] = np.arange(len(keep))
    sides = net.sides[number[net.sides[:, 0]] >= 0].copy()
    sides[:, 0] = number[sides[:, 0]]
    corners, polygons, parts = (field[keep] for field in (net.corners, net.polygon_of, net.part_of))
    normals, areas, thin = (field[keep] for field in (net.normals, net.areas, net.thin))
    return Net(net.nodes, corners, polygons, parts, normals, areas, thin, sides, net.crumbs, net.doubles)


def _measured(nodes: Floats, corners: Numbers) -> tuple[Floats, Floats, Floats]:
    """Unit normal, area and least height of triangles; zeros for one without area."""
    a, b, c = (nodes[corners[:, k]] for k in range(3))
    across = np.cross(b - a, c - a)
    twice = np.linalg.norm(across, axis=1)
    longest = np.max([np.linalg.norm(side, axis=1) for side in (b - a, c - b, a - c)], axis=0)
    normals = across / np.where(twice > 0.0, twice, 1.0)[:, None]
    return normals, twice / 2.0, twice / np.where(longest > 0.0, longest, 1.0)


def _sides(nodes: Floats, corners: Numbers) -> Numbers:
    """Sides of all facets, those that no other shares split at the nodes of others that lie on them."""
    count = len(corners)
    ends = np.stack([corners, np.roll(corners, -1, axis=1)], axis=2).reshape(-1, 2)
    sides = np.column_stack([np.repeat(np.arange(count), 3), ends])
    keys = ends.min(axis=1) * len(nodes) + ends.max(axis=1)
    _, inverse, times = np.unique(keys, return_inverse=True, return_counts=True)
    alone = np.flatnonzero(times[inverse] == 1)
    if not len(alone):
        return sides
    on = _junctions(nodes, ends[alone])
    if not on:
        return sides
    added = []
    for place, between in on.items():
        facet, a, b = (int(value) for value in sides[alone[place]])
        added += [(facet, p, q) for p, q in pairwise((a, *between, b))]
    kept = np.ones(len(sides), dtype=bool)
    kept[alone[list(on)]] = False
    return np.concatenate([sides[kept], np.array(added, dtype=np.int64)])


def _junctions(nodes: Floats, ends: Numbers) -> dict[int, tuple[int, ...]]:
    """Nodes that lie on sides but are not their ends, in order along each, by the side's place."""
    used = np.unique(ends)
    lines = shapely.linestrings(nodes[ends][:, :, :2])
    tree = shapely.STRtree(np.asarray(shapely.points(nodes[used][:, :2])))
    side, found = tree.query(lines, predicate="dwithin", distance=TOLERANCES.weld_mm)
    node = used[found]
    a, b = nodes[ends[side, 0]], nodes[ends[side, 1]]
    line, to = b - a, nodes[node] - a
    along = (line * to).sum(axis=1) / np.maximum((line * line).sum(axis=1), 1e-12)
    off = np.linalg.norm(to - along[:, None] * line, axis=1)
    own = (node == ends[side, 0]) | (node == ends[side, 1])
    good = np.flatnonzero(~own & (along > 0.0) & (along < 1.0) & (off <= TOLERANCES.weld_mm))
    good = good[np.lexsort((along[good], side[good]))]
    between: dict[int, list[int]] = {}
    for i in good.tolist():
        between.setdefault(int(side[i]), []).append(int(node[i]))
    return {place: tuple(numbers) for place, numbers in between.items()}
