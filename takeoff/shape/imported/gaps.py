"""Gaps between planes closed: slabs with thickness meet at their tops or at their undersides, not at both.

undersides meet           the planes brought together
  \\ ___   ___ /                    .
   /   \\ /   \\                  .'   '.
  /     v     \\               .'       '.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import hypot

import numpy as np
import shapely

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, dot3
from takeoff.shape.faces.face_groups import border_loops
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.patch_borders import borders
from takeoff.shape.imported.planes import Patch

_LEVEL_SHARE = 0.6  # two ends that gape are this share of their distance apart in height, at most: more is a step
_CRACK_MM = MODEL_LIMITS.crack_mm
_ALONGSIDE = 0.999  # cosine from which on planes run alongside each other and have no line to meet in


@record
class Closed:
    """A net with ends of different patches brought together, how many pairs, and the widest that gaped [mm]."""

    net: Net
    pairs: int
    widest_mm: float
    nodes: frozenset[int]


@record
class _End:
    """A corner of a patch's free border: its node, its patch, and the way out of the patch in plan (unit)."""

    node: int
    patch: int
    at: Point3
    out: tuple[float, float]


def close_gaps(net: Net, patches: Sequence[Patch], thick: Sequence[bool], most_mm: float) -> Closed:
    """Bring corners of different patches together that face each other over no more than `most_mm`, where their planes
    meet in a line as near; where a third plane gapes there too, all three. Only `thick` patches, of slabs, gape: what
    lies apart elsewhere is a step."""
    ends = [end for end in _free_ends(net, patches) if thick[end.patch]]
    if not ends:
        return Closed(net, 0, 0.0, frozenset())
    tree = shapely.STRtree(np.asarray(shapely.points([end.at[:2] for end in ends])))
    pairs = tree.query(np.asarray(shapely.points([end.at[:2] for end in ends])), "dwithin", most_mm)
    near: dict[int, list[tuple[float, int]]] = {}
    for a, b in zip(*pairs.tolist(), strict=True):
        if ends[a].node != ends[b].node and _face(ends[a], ends[b], patches, most_mm):
            near.setdefault(a, []).append((_apart(ends[a], ends[b]), b))
    best = {a: min(found)[1] for a, found in near.items()}
    mates = sorted(
        {
            (min(ends[a].node, ends[b].node), max(ends[a].node, ends[b].node))
            for a, b in best.items()
            if best.get(b) == a or _apart(ends[a], ends[b]) <= min(near[b])[0] + TOLERANCES.same_point_mm
        }
    )
    if not mates:
        return Closed(net, 0, 0.0, frozenset())
    widest = max(float(np.linalg.norm(net.nodes[a] - net.nodes[b])) for a, b in mates)
    joined, kept = _merged(net, mates)
    return Closed(joined, len(mates), widest, kept)


def _free_ends(net: Net, patches: Sequence[Patch]) -> list[_End]:
    edges = borders(net, patches)
    taken = {segment for border in edges for segment in border}
    found = []
    for number, border in enumerate(edges):
        try:
            loops = border_loops(border)
        except ValueError:
            continue
        for loop in loops:
            ring = (*loop, loop[0])
            ways: dict[int, list[tuple[float, float]]] = {}
            for a, b in pairwise(ring):
                if (b, a) not in taken:
                    out = _right(net, a, b)
                    for node in (a, b):
                        ways.setdefault(node, []).append(out)
            found += [_End(node, number, _at(net, node), out) for node, outs in ways.items() for out in outs]
    return found


def _at(net: Net, node: int) -> Point3:
    x, y, z = net.nodes[node].tolist()
    return (x, y, z)


def _right(net: Net, a: int, b: int) -> tuple[float, float]:
    x, y, _ = (net.nodes[b] - net.nodes[a]).tolist()
    length = hypot(x, y) or 1.0
    return (y / length, -x / length)


def _apart(a: _End, b: _End) -> float:
    return float(np.linalg.norm(np.subtract(a.at, b.at)))


def _face(a: _End, b: _End, patches: Sequence[Patch], most_mm: float) -> bool:
    """Whether two corners of different patches gape or overlap across a fold of their planes."""
    one, other = patches[a.patch], patches[b.patch]
    if a.patch == b.patch or abs(dot3(one.normal, other.normal)) > _ALONGSIDE:
        return False
    x, y, z = (q - p for p, q in zip(a.at, b.at, strict=True))
    across = hypot(x, y)
    if abs(z) > max(_LEVEL_SHARE * across + TOLERANCES.same_plane_mm, _CRACK_MM) or across > most_mm:
        return False
    # both borders run along the line that the planes meet in, and lie on opposite sides of it
    line = np.cross(one.normal, other.normal)
    line /= np.linalg.norm(line)
    if a.out[0] * b.out[0] + a.out[1] * b.out[1] > -0.9 and abs(float(line[2])) < TOLERANCES.level_slope:
        return False
    if max(abs(line[0] * out[0] + line[1] * out[1]) for out in (a.out, b.out)) > 0.2:
        return False
    middle = np.add(a.at, b.at) / 2.0
    gaps = [float(np.dot(np.subtract(patch.through, middle), patch.normal)) for patch in (one, other)]
    step = np.linalg.pinv(np.array([one.normal, other.normal])) @ np.array(gaps)
    return float(np.linalg.norm(step)) <= most_mm


def _merged(net: Net, mates: Sequence[tuple[int, int]]) -> tuple[Net, frozenset[int]]:
    """The net with pairs of nodes made one, in their middle."""
    home: dict[int, int] = {}

    def root(node: int) -> int:
        while node in home:
            node = home[node]
        return node

    groups: dict[int, set[int]] = {}
    for a, b in mates:
        one, other = sorted((root(a), root(b)))
        if one == other:
            continue
        home[other] = one
        groups[one] = groups.pop(one, {one}) | groups.pop(other, {other})
    nodes = net.nodes.copy()
    new = np.arange(len(nodes))
    for one, members in groups.items():
        nodes[one] = net.nodes[sorted(members)].mean(axis=0)
        for member in members:
            new[member] = one
    sides = net.sides.copy()
    sides[:, 1:] = new[sides[:, 1:]]
    sides = sides[sides[:, 1] != sides[:, 2]]
    return replace(net, nodes=nodes, corners=new[net.corners], sides=sides), frozenset(groups)
