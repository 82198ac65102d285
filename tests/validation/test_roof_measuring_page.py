"""A public page on measuring roofs: the hip end and the long side of a hip roof.

Status: seen. (30 x 15) / 2 = 225 ft2 for the end; 15 x 55 + 2 x 112.5 = 1050 ft2 for the side. The page's 15 ft is half
of its 30 ft of width and its 55 ft of ridge are 85 less 30: its figures are those on the plan, and on the slope each is
the plan's times the factor of the pitch (derived).
"""

from __future__ import annotations

from math import cos, radians

import pytest

from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

FOOT = 304.8


@pytest.mark.parametrize("pitch_deg", [5.0, 22.5, 45.0])
def test_ends_of_225_ft2_and_sides_of_1050_ft2(pitch_deg: float) -> None:
    x, y = 85 * FOOT, 30 * FOOT
    job = RoofJob(outline=[(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)], pitch_deg=pitch_deg)
    planes = roof_from_outline(job, 0.0, resolve_settings(Job(job="check"))).planes
    assert [plane.plan_area_mm2 / FOOT**2 for plane in planes] == pytest.approx([1050.0, 225.0, 1050.0, 225.0])
    factor = 1.0 / cos(radians(pitch_deg))
    assert [plane.area_mm2 / FOOT**2 for plane in planes] == pytest.approx(
        [1050.0 * factor, 225.0 * factor, 1050.0 * factor, 225.0 * factor]
    )
