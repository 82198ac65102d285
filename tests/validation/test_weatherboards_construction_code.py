"""Fixings against the National Construction Code 2016, Vol 2 Part 3.5.3. Status: seen.

Boards up to 130 mm wide have one fixing, profiled boards over 130 mm two.
"""

from __future__ import annotations

import pytest

from takeoff.measure.cladding.wall_trims import nails_per_crossing
from takeoff.measure.cladding.zones import resolve_zones
from takeoff.model.job.walls import WallsJob
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()


@pytest.mark.parametrize(("width", "fixings"), [(120, 1), (130, 1), (131, 2), (187, 2)])
def test_fixings_by_width(width: float, fixings: int) -> None:
    board = {"width_mm": width, "cover_mm": width - 20, "kind": "shiplap"}
    job = WallsJob.model_validate({"zones": [{"board": board}]})
    zone = resolve_zones(job, (1,), SETTINGS, load_catalogue())[0]
    assert nails_per_crossing(zone, SETTINGS) == fixings
