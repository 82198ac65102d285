"""The foot of the cladding against the metal roofing code of practice, ground clearance (E2/AS1). Status: seen.

Cladding to paved ground 100 mm, to unpaved ground 175 mm: 120 mm pass over paving and fail over soil.
"""

from __future__ import annotations

import pytest

from takeoff.measure.cladding.clearances import check_clearance
from takeoff.model.findings import Severity
from takeoff.model.job.walls import WallsJob
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()


@pytest.mark.parametrize(
    ("clear_mm", "paved", "passes"),
    [
        (120, True, True),
        (120, False, False),
        (100, True, True),
        (99, True, False),
        (175, False, True),
        (174, False, False),
    ],
)
def test_clearance(clear_mm: float, paved: bool, passes: bool) -> None:
    wall = {"name": "wall", "width_mm": 6000, "height_mm": 2400}
    job = WallsJob.model_validate({"elevations": [wall], "ground_mm": -50 - clear_mm, "paved": paved})
    findings = check_clearance(elevations(job, (), 0.0, SETTINGS)[0], SETTINGS)
    assert (findings == ()) is passes
    assert passes or findings[0].severity is Severity.STOP
