"""Borders of patches: as directed segments, as loops, and as polygons in plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from takeoff.shape.faces.face_groups import border_loops
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.planes import Patch

if TYPE_CHECKING:
    from takeoff.shape.imported.joining import Numbers

Segment = tuple[int, int]


def owners(net: Net, patches: Sequence[Patch]) -> Numbers:
    """The patch each facet is in, -1 for none."""
    owner = np.full(len(net.corners), -1, dtype=np.int64)
    for number, patch in enumerate(patches):
        owner[list(patch.facets)] = number
    return owner


def borders(net: Net, patches: Sequence[Patch]) -> list[list[Segment]]:
    """The segments round each patch, the patch on their left, seen from above."""
    owner = owners(net, patches)[net.sides[:, 0]]
    rows = np.flatnonzero(owner >= 0)
    a, b = net.sides[rows, 1], net.sides[rows, 2]
    low, high = np.minimum(a, b), np.maximum(a, b)
    many = int(high.max(initial=0)) + 1
    key = (owner[rows] * many + low) * many + high  # patch by patch, side by side
    _, first, group = np.unique(key, return_index=True, return_inverse=True)
    ways = np.rint(np.bincount(group, np.where(a < b, 1, -1))).astype(np.int64)
    left = np.flatnonzero(ways)  # a side inside a patch is gone along both ways
    at = first[left]
    found: list[list[Segment]] = [[] for _ in patches]
    for patch, p, q, way in zip(*(x[at].tolist() for x in (owner[rows], low, high)), ways[left].tolist(), strict=True):
        found[patch] += [(p, q) if way > 0 else (q, p)] * abs(way)
    return found


def plan_shapes(net: Net, patches: Sequence[Patch]) -> list[BaseGeometry]:
    """What each patch covers in plan."""
    return [_shape(net, patch, border) for patch, border in zip(patches, borders(net, patches), strict=True)]


def _shape(net: Net, patch: Patch, border: Sequence[Segment]) -> BaseGeometry:
    try:
        loops = [loop for loop in border_loops(border) if len(loop) > 2]
    except ValueError:
        return _from_facets(net, patch)
    rings = [shapely.Polygon(net.nodes[list(loop), :2]) for loop in loops]
    if not rings or not all(ring.is_valid for ring in rings):
        return _from_facets(net, patch)
    whole = [ring for ring in rings if shapely.is_ccw(ring.exterior)]
    holes = [ring for ring in rings if not shapely.is_ccw(ring.exterior)]
    shape = shapely.union_all(whole)
    return shape.difference(shapely.union_all(holes)) if holes else shape


def _from_facets(net: Net, patch: Patch) -> BaseGeometry:
    triangles = shapely.polygons(net.nodes[net.corners[list(patch.facets)]][:, :, :2])
    return shapely.union_all(shapely.make_valid(np.asarray(triangles)))
