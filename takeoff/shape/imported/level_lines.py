"""Planes turned so that what is drawn level in them is level: eaves and ridges are built so, whatever a face is off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import atan2, cos, hypot, radians, sin

import numpy as np

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.patch_borders import Segment, borders
from takeoff.shape.imported.planes import Moments, Patch, Tables

_LEAST_MM = MODEL_LIMITS.direction_least_mm
_LEVEL = (
    1.0,
    0.004,
)  # mm, and share of its length, by which the ends of a level line differ at most; less on flat ones
_MOST_TURN = radians(2.0)
_FLAT = 0.02  # planes that fall less have no direction worth keeping


def levelled(net: Net, patches: Sequence[Patch]) -> tuple[Patch, ...]:
    """Patches fitted anew with the mean direction of their level borders as a level line, where that turns them by no
    more than 2 degrees in plan. A twisted face stays as it is fitted."""
    tables = Tables(net)
    return tuple(_levelled(net, tables, *pair) for pair in zip(patches, borders(net, patches), strict=True))


def _levelled(net: Net, tables: Tables, patch: Patch, border: Sequence[Segment]) -> Patch:
    x, y, z = patch.normal
    if hypot(x, y) < _FLAT * z or patch.off_mm > TOLERANCES.same_plane_mm:
        return patch
    strike = atan2(x, -y)  # direction of the level lines of the fitted plane
    total = weight = 0.0
    for a, b in border:
        dx, dy, dz = (net.nodes[b] - net.nodes[a]).tolist()
        length = hypot(dx, dy)
        if length < _LEAST_MM or abs(dz) > _LEVEL[0] + _LEVEL[1] * length * min(1.0, hypot(x, y) / z):
            continue
        turn = (atan2(dy, dx) - strike + radians(90.0)) % radians(180.0) - radians(90.0)
        if abs(turn) <= _MOST_TURN:
            total += turn * length * length
            weight += length * length
    if not weight:
        return patch
    moments = tables.moments(patch.facets)
    normal = _across(moments, strike + total / weight, patch.normal)
    middle = moments.first / moments.area
    off = tables.off_mm(patch.facets, normal, (float(middle[0]), float(middle[1]), float(middle[2])))
    return replace(patch, normal=normal, off_mm=off)


def _across(moments: Moments, strike: float, near: Point3) -> Point3:
    """Normal of the best plane that holds the level direction `strike` [radians from x]."""
    across = np.array((-sin(strike), cos(strike), 0.0))
    axes = np.stack([across, np.array((0.0, 0.0, 1.0))])
    middle = moments.first / moments.area
    spread = axes @ (moments.second / moments.area - np.outer(middle, middle)) @ axes.T
    x, y, z = (np.linalg.eigh(spread)[1][:, 0] @ axes).tolist()
    return (x, y, z) if x * near[0] + y * near[1] + z * near[2] > 0 else (-x, -y, -z)
