"""The Carpenters' Guide (a public-domain handbook), chapter "Height of Ridge".

Status: seen. The ridge of an intersecting gable wing is half the wing's width plus its projection beyond the main wall.
"""

from __future__ import annotations

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

FOOT = 304.8


@pytest.mark.parametrize("pitch_deg", [20.0, 33.69])
def test_ridge_of_a_wing_16_ft_wide_that_projects_4_ft_is_12_ft(pitch_deg: float) -> None:
    """Half width 8 ft, projection 4 ft."""
    points = [(0, 0), (12, 0), (12, -4), (28, -4), (28, 0), (40, 0), (40, 24), (0, 24)]
    job = RoofJob(
        outline=[(x * FOOT, y * FOOT) for x, y in points],
        pitch_deg=pitch_deg,
        edges={3: EdgeJob(kind="gable"), 6: EdgeJob(kind="gable"), 8: EdgeJob(kind="gable")},
    )
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    ridges = sorted(edge.length_mm / FOOT for edge in roof.edges if edge.kind is EdgeKind.RIDGE)
    assert ridges == [pytest.approx(12.0, abs=1e-9), pytest.approx(40.0, abs=1e-9)]
