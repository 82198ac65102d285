"""Rebated bevel-back boards against a maker's public appraisal manual. Status: seen. Least lap 25 mm."""

from __future__ import annotations

import pytest

from takeoff.measure.cladding.zones import resolve_zones
from takeoff.model.job.walls import WallsJob
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()


@pytest.mark.parametrize(("cover", "refused"), [(162, False), (163, True), (150, False)])
def test_a_rebated_lap_under_25_mm_is_refused(cover: float, refused: bool) -> None:
    board = {"width_mm": 187, "cover_mm": cover, "kind": "rebated"}
    job = WallsJob.model_validate({"zones": [{"board": board}]})
    findings = resolve_zones(job, (1,), SETTINGS, load_catalogue())[0].findings
    assert [finding.code for finding in findings] == (["board-lap-too-small"] if refused else [])
