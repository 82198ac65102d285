"""Verges that lead water: where a plane falls towards its barge, what lands there runs along it to its foot."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof, RoofPlane
from takeoff.shape.water.fall_cells import Cell, fall_cells

_LEAST_MM2 = TOLERANCES.corner_off_mm2


def skew_verge_findings(roofs: Sequence[Roof]) -> tuple[Finding, ...]:
    """One note a verge along which water runs, with the roof in plan that it brings."""
    found: list[Finding] = []
    for roof in roofs:
        verges = {edge.id for edge in roof.edges if edge.kind is EdgeKind.VERGE}
        if not verges:
            continue
        brought: dict[str, float] = {}
        for plane in roof.planes:
            for cell in fall_cells(plane, roof.edges_of(plane.id)):
                if cell.lower in verges:
                    brought[cell.lower] = brought.get(cell.lower, 0.0) + _plan_mm2(cell, plane)
        found += [_along(edge, area) for edge, area in brought.items() if area > _LEAST_MM2]
    return tuple(found)


def _plan_mm2(cell: Cell, plane: RoofPlane) -> float:
    """Plan area of a cell [mm2]."""
    deep = (cell.up0 - cell.low0 + cell.up1 - cell.low1) / 2.0
    return deep * (cell.u1 - cell.u0) * plane.frame.n[2]


def _along(edge: str, area_mm2: float) -> Finding:
    return Finding(
        "water-along-barge",
        Severity.WARN,
        f"The roof falls towards verge {edge}: {area_mm2 / 1e6:.2f} m2 run along its barge to the foot.",
        "Give the barge a turned-up edge or a gutter of its own, and an outlet near its foot.",
        (edge,),
    )
