"""Hip pitch and backing angle from a carpenters' public forum (2007), 10 in 12 at equal pitch.

Status: seen. The backing angle is half of what the angle between the two planes falls short of 180 degrees.
"""

from __future__ import annotations

from math import atan, degrees

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline


def test_hip_of_a_10_in_12_roof_falls_30_51_degrees_and_is_backed_26_92() -> None:
    job = RoofJob(
        outline=[(0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)], pitch_deg=degrees(atan(10 / 12))
    )
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    hips = [edge for edge in roof.edges if edge.kind is EdgeKind.HIP]
    assert len(hips) == 4
    for hip in hips:
        assert hip.slope_deg == pytest.approx(30.51, abs=0.01)
        assert (180.0 - hip.between_deg) / 2 == pytest.approx(26.92, abs=0.01)
        assert hip.convex
