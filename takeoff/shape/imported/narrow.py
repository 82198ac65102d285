"""Faces too narrow to be planes of their own: part of the plane they run on from, where they lie nearly in it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import replace
from math import cos, dist, radians

import numpy as np

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.vectors import dot3
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.patch_borders import borders
from takeoff.shape.imported.planes import Patch

_MOST_OFF_MM = MODEL_LIMITS.narrow_off_mm
_LEAST_COS = cos(radians(30.0))


def absorbed(net: Net, found: Sequence[Patch], narrow: Collection[int]) -> tuple[dict[int, Patch], set[int]]:
    """Patches that take in narrow neighbours, by number, and the numbers of those taken in.

    A narrow face goes to the plane that it shares most of its border with, if it is turned from that by no more than 30
    degrees and no node lies further off than 50 mm. The plane stays as it is fitted; how far it is out grows.
    """
    edges = borders(net, found)
    owner = {segment: number for number, border in enumerate(edges) for segment in border}
    grown: dict[int, Patch] = {}
    gone: set[int] = set()
    for strip in sorted(narrow):
        shared: dict[int, float] = defaultdict(float)
        for a, b in edges[strip]:
            other = owner.get((b, a), -1)
            if other >= 0 and other not in narrow:
                shared[other] += dist(net.nodes[a].tolist(), net.nodes[b].tolist())
        for home in sorted(shared, key=lambda number: -shared[number]):
            plane = grown.get(home, found[home])
            off = _off(net, found[strip], plane)
            if off <= _MOST_OFF_MM and dot3(plane.normal, found[strip].normal) >= _LEAST_COS:
                facets = tuple(sorted((*plane.facets, *found[strip].facets)))
                grown[home] = replace(plane, facets=facets, strip_mm=max(plane.strip_mm, off))
                gone.add(strip)
                break
    return grown, gone


def _off(net: Net, strip: Patch, plane: Patch) -> float:
    nodes = net.nodes[np.unique(net.corners[list(strip.facets)])]
    return float(np.abs((nodes - np.array(plane.through)) @ np.array(plane.normal)).max())
