"""Raw faces of an imported shape: polygons in space, uninterpreted."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.basics.vectors import Point3
from takeoff.model.findings import Finding


@dataclass(frozen=True, slots=True)
class RawFaces:
    """Triangles in mm, z up. `triangles` index into `vertices_mm`. Units and up axis are already settled, see
    `findings`."""

    vertices_mm: tuple[Point3, ...]
    triangles: tuple[tuple[int, int, int], ...]
    came_from: str
    findings: tuple[Finding, ...] = ()
