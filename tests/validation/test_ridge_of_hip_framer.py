"""A framer's public page, "Calculating the Ridge Length": 900 - 192 - 192 = 516 in.

Status: seen. The theoretical ridge of an equal-pitch hip roof; the board's own thickness is not part of the shape.
"""

from __future__ import annotations

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

INCH = 25.4
FOOT = 12 * INCH


@pytest.mark.parametrize("pitch_deg", [10.0, 26.565, 45.0])
def test_ridge_of_a_75_by_32_ft_hip_roof(pitch_deg: float) -> None:
    """75 x 32 ft hip: 516 in of ridge, whatever the pitch."""
    x, y = 75 * FOOT, 32 * FOOT
    job = RoofJob(outline=[(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)], pitch_deg=pitch_deg)
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    ridges = [edge for edge in roof.edges if edge.kind is EdgeKind.RIDGE]
    assert [edge.length_mm / INCH for edge in ridges] == [pytest.approx(516.0, abs=1e-6)]
