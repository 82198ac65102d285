"""Areas of gable ends against two published sums, one right and one wrong.

Right (a merchant's catalogue, p. 70, status: seen): a gable 28 ft wide and 4 ft high is 4 x 1/2 x 28 = 56 square feet.
Wrong (a web page, status: seen): "height x run / 2" for a gable 12 ft high and 50 ft wide gives 150; the run is half the
width, so the true area is 300.
"""

from __future__ import annotations

import pytest

from takeoff.measure.cladding.face import face_of
from takeoff.model.job.walls import WallsJob
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
FOOT_MM = 304.8


def gable_ft2(width_ft: float, height_ft: float) -> float:
    """Area above the frame of a wall with a gable on it."""
    width, frame = width_ft * FOOT_MM, 2400.0
    top = [(0, frame), (width / 2, frame + height_ft * FOOT_MM)]
    wall = {"name": "end", "width_mm": width, "height_mm": frame, "top": top}
    job = WallsJob.model_validate({"elevations": [wall, {**wall, "top": []}], "ground_mm": -450})
    gabled, plain = (face_of(wall, 0.0, 0.0).gross_mm2 for wall in elevations(job, (), 0.0, SETTINGS))
    return (gabled - plain) / FOOT_MM**2


def test_the_published_gable() -> None:
    assert gable_ft2(28, 4) == pytest.approx(56)


def test_the_wrong_rule_is_not_followed() -> None:
    assert gable_ft2(50, 12) == pytest.approx(300)
    assert gable_ft2(50, 12) != pytest.approx(150)
