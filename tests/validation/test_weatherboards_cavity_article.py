"""Cavity and foot of the cladding against a trade article of April 2015 restating E2/AS1 9.1.3.5 and 9.1.8.3.

Status: seen as restated. 1 000 mm2 of opening for each metre of cavity base; cladding laps a floor by 50 mm or more (a
maker's manual says the same of the first course).
"""

from __future__ import annotations

import pytest

from takeoff.measure.cladding.battens import vent_area_mm2
from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.model.job.walls import WallsJob
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()


def test_vent_area_of_12_5_metres() -> None:
    assert vent_area_mm2(12500, SETTINGS.number("base_vent_mm2_per_m")) == 12500


def test_vent_area_of_a_wall() -> None:
    wall = {"name": "wall", "width_mm": 12500, "height_mm": 2400, "left": "none", "right": "none"}
    job = WallsJob.model_validate({"elevations": [wall], "ground_mm": -450})
    walls = elevations(job, (), 0.0, SETTINGS)
    measured = measure_cladding(walls, job, (), SETTINGS, load_catalogue())
    vent = next(quantity for quantity in measured.measures if quantity.unit == "mm2")
    assert vent.figure == pytest.approx(12500)
    assert walls[0].base_mm == -50  # the cladding laps the floor
