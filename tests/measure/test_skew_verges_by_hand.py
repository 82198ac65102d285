"""Verges that lead water, by hand: how much of a roof falls towards its barge, and what is said of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from takeoff.measure.rainwater import skew_verges
from takeoff.measure.rainwater.skew_verges import _plan_mm2, skew_verge_findings
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof
from takeoff.shape.water.fall_cells import Cell

Build = Callable[..., Roof]


def test_plan_area_of_a_cell(gable_roof: Build) -> None:
    """From 1 to 5 m along, 0.4 to 2 m up at its left side and 0.6 to 1.2 at its right: 1.6 and 0.6 deep, 1.1 x 4 m on the
    slope."""
    plane = gable_roof(10_000.0, 3000.0, 25.0).planes[0]
    cell = Cell("P1", "E1", "E2", 1000.0, 5000.0, 400.0, 600.0, 2000.0, 1200.0)
    assert _plan_mm2(cell, plane) == pytest.approx(1100.0 * 4000.0 * plane.frame.n[2])


def test_water_along_a_barge(gable_roof: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two cells end at one verge, 4 and 1.5 m2 in plan; what ends at an eave says nothing; a crumb neither."""
    roof = gable_roof(10_000.0, 3000.0, 25.0)
    flat = replace(roof.planes[0].frame, u=(1.0, 0.0, 0.0), v=(0.0, 1.0, 0.0), n=(0.0, 0.0, 1.0))
    roof = replace(roof, planes=tuple(replace(plane, frame=flat) for plane in roof.planes[:1]))
    verges = [edge.id for edge in roof.edges if edge.kind is EdgeKind.VERGE]
    eave = next(edge.id for edge in roof.edges if edge.kind is EdgeKind.EAVE)

    def cell(lower: str, wide: float, deep: float) -> Cell:
        return Cell("P1", lower, "", 100.0, 100.0 + wide, 50.0, 50.0, 50.0 + deep, 50.0 + deep)

    def said(*cells: Cell) -> tuple[Finding, ...]:
        monkeypatch.setattr(skew_verges, "fall_cells", lambda plane, edges: cells)
        return skew_verge_findings((roof,))

    found = said(cell(verges[0], 2000.0, 2000.0), cell(verges[0], 1000.0, 1500.0), cell(eave, 5000.0, 5000.0))
    assert found == (
        Finding(
            "water-along-barge", Severity.WARN,
            f"The roof falls towards verge {verges[0]}: 5.50 m2 run along its barge to the foot.",
            "Give the barge a turned-up edge or a gutter of its own, and an outlet near its foot.", (verges[0],),
        ),
    )  # fmt: skip
    least = skew_verges._LEAST_MM2
    assert said(cell(verges[0], 1.0, least), cell(verges[1], 1.0, least)) == ()
    assert [each.refs for each in said(cell(verges[0], 1.0, least + 1.0), cell(verges[1], 1.0, least + 2.0))] == [
        (verges[0],), (verges[1],),
    ]  # fmt: skip
    bare = replace(roof, edges=tuple(edge for edge in roof.edges if edge.kind is not EdgeKind.VERGE))
    assert skew_verge_findings((bare,)) == ()
