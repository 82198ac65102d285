"""Nets, patches and borders of imported faces put together by hand."""

from __future__ import annotations

from math import hypot

import numpy as np

from takeoff.shape.imported.mesh_borders import Border
from takeoff.shape.imported.net import Net, make_net
from takeoff.shape.imported.planes import Patch

Point3 = tuple[float, float, float]
Quad = tuple[Point3, ...]


def net_of(*quads: Quad) -> Net:
    """Each quad a polygon of the file."""
    points: list[Point3] = []
    triangles, polygons = [], []
    for number, quad in enumerate(quads):
        first = len(points)
        points += quad
        triangles += [(first, first + k, first + k + 1) for k in range(1, len(quad) - 1)]
        polygons += [number] * (len(quad) - 2)
    return make_net(
        np.array(points, dtype=float), np.array(triangles), np.array(polygons), np.zeros(len(triangles), dtype=np.int64)
    )


def patch(normal: Point3, through: Point3, *facets: int) -> Patch:
    size = hypot(*normal)
    return Patch(facets, tuple(v / size for v in normal), through)  # type: ignore[arg-type]


def border(number: int, a: Point3, b: Point3, plan: tuple[int, int]) -> Border:
    return Border(number, (a, b), plan)
