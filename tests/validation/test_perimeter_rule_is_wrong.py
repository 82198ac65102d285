"""An old text on hip roofs: area = outside perimeter x principal rafter / 2. It holds for square plans only.

Status: the rule is seen; that it is wrong elsewhere is derived (12 x 8 m at 25 degrees: 88.27 against 105.92 m2).
"""

from __future__ import annotations

from math import cos, radians

import pytest

from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline


def _areas_m2(x: float, y: float, pitch_deg: float) -> tuple[float, float]:
    """Area of the hip roof, and what the perimeter rule makes of it."""
    job = RoofJob(outline=[(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)], pitch_deg=pitch_deg)
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    rafter = min(x, y) / 2 / cos(radians(pitch_deg))
    return sum(plane.area_mm2 for plane in roof.planes) / 1e6, 2 * (x + y) * rafter / 2 / 1e6


def test_the_rule_holds_for_a_square_plan() -> None:
    area, by_rule = _areas_m2(10_000.0, 10_000.0, 30.0)
    assert area == pytest.approx(by_rule, rel=1e-9)


def test_the_rule_fails_for_an_oblong_plan() -> None:
    area, by_rule = _areas_m2(12_000.0, 8_000.0, 25.0)
    assert by_rule == pytest.approx(88.27, abs=0.005)
    assert area == pytest.approx(105.92, abs=0.005)
