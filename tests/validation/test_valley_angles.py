"""Internal valley angles of the NZ Metal Roof and Wall Cladding Code of Practice, table 5.5.2B (v24.09).

Status: seen. Printed in whole degrees.
"""

from __future__ import annotations

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

ANGLES = {3: 176, 5: 173, 10: 166, 15: 159, 20: 152, 25: 145, 30: 139, 35: 132, 40: 126, 45: 120, 50: 114, 60: 104}


@pytest.mark.parametrize(("pitch", "angle"), ANGLES.items())
def test_angle_between_the_planes_at_a_valley(pitch: int, angle: int) -> None:
    points = [(0, 0), (16, 0), (16, 8), (8, 8), (8, 16), (0, 16)]
    job = RoofJob(outline=[(1000.0 * x, 1000.0 * y) for x, y in points], pitch_deg=float(pitch))
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    valleys = [edge for edge in roof.edges if edge.kind is EdgeKind.VALLEY]
    assert len(valleys) == 1
    assert valleys[0].between_deg == pytest.approx(angle, abs=0.5)
    assert not valleys[0].convex


def test_a_valley_of_a_roof_over_8_degrees_falls_more_than_5_5_degrees() -> None:
    """Clause 5.6.1 (as removed): a valley's least slope is over 5.5 degrees where the roof's pitch is over 8."""
    points = [(0, 0), (16, 0), (16, 8), (8, 8), (8, 16), (0, 16)]
    job = RoofJob(outline=[(1000.0 * x, 1000.0 * y) for x, y in points], pitch_deg=8.0)
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    valley = next(edge for edge in roof.edges if edge.kind is EdgeKind.VALLEY)
    assert 5.5 < valley.slope_deg < 5.7
