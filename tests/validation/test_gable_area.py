"""A merchant's printed catalogue, page 70: the area of a gable end, 4 x 1/2 x 28 = 56 ft2.

Status: seen. The second check is a wrong rule of another public page (status: seen, shown wrong by arithmetic), which
halves the run once too often.
"""

from __future__ import annotations

from math import atan, degrees

import pytest

from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

FOOT = 304.8


def _gable_ft2(width_ft: float, height_ft: float) -> float:
    x, y = 60 * FOOT, width_ft * FOOT
    job = RoofJob(
        outline=[(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)],
        pitch_deg=degrees(atan(height_ft / (width_ft / 2))),
        edges={2: EdgeJob(kind="gable"), 4: EdgeJob(kind="gable")},
    )
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    areas = {round(upright.area_mm2 / FOOT**2, 6) for upright in roof.uprights}
    assert len(areas) == 1
    return areas.pop()


def test_gable_end_28_ft_wide_and_4_ft_high_is_56_ft2() -> None:
    assert _gable_ft2(28, 4) == pytest.approx(56.0, abs=1e-6)


def test_gable_end_is_not_height_times_run_over_two() -> None:
    """The wrong rule gives 150 ft2 for 12 ft of height over 50 ft of width; the gable has 300."""
    found = _gable_ft2(50, 12)
    assert found == pytest.approx(300.0, abs=1e-6)
    assert abs(found - 150.0) > 100.0
