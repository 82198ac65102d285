"""Settings and spacings far from anything built: refused or asked about. The bounds are common practice, no source."""

from __future__ import annotations

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.findings import Finding
from takeoff.read.job.job_file import parse_job

HOUSE = """
job: check
roofs: [{wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]], eave_overhang_mm: 600, pitch_deg: 25}]
"""
WALLS = "walls: {%s}\n"


def _odd(settings: str) -> list[Finding]:
    takeoff = pipeline.run(parse_job(HOUSE + f"settings: {{{settings}}}\n"), until=pipeline.Stage.SHAPE)
    return [finding for finding in takeoff.findings if finding.code == "setting-far-from-default"]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ("settings: {hip_trim_mm: 3000}", "hip_trim_mm: must be at most 500 mm, got 3000; the default is 25 mm"),
        ("settings: {ridge_gap_mm: 501}", "ridge_gap_mm: must be at most 500 mm, got 501"),
        ("settings: {verge_trim_mm: -600}", "verge_trim_mm: must be at most 500 mm, got -600"),
        ("settings: {end_lap_mm: -200}", "end_lap_mm: cannot be negative, got -200; the default is 200 mm"),
        ("settings: {purlin_spacing_mm: 9}", "purlin_spacing_mm: must be 200 to 3000 mm, got 9"),
        ("settings: {purlin_supports_mm: 3001}", "purlin_supports_mm: must be 200 to 3000 mm, got 3001"),
        ("settings: {stud_mm: 60}", "stud_mm: must be 150 to 1500 mm, got 60"),
        ("purlins: {spacing_mm: 9}", "purlins.spacing_mm: must be at least 200"),
        ("purlins: {supports_mm: 3001}", "purlins.supports_mm: must be at most 3000"),
        (WALLS % "height_mm: 24000", "walls.height_mm: must be at most 12000"),
        (WALLS % "height_mm: 2400, stud_mm: 60", "walls.stud_mm: must be at least 150"),
        (WALLS % "height_mm: 2400, stud_mm: 6000", "walls.stud_mm: must be at most 1500"),
        (WALLS % "elevations: [{name: a, width_mm: 9000, height_mm: 24000}]", "height_mm: must be at most 12000"),
    ],
)
def test_what_nobody_builds_is_refused(more: str, words: str) -> None:
    with pytest.raises(JobError, match=words):
        parse_job(HOUSE + more + "\n")


@pytest.mark.parametrize("setting", ["end_lap_mm: 2001", "end_lap_mm: 19", "hip_trim_mm: 251", "hip_trim_mm: 2"])
def test_a_setting_far_from_its_default_is_asked_about(setting: str) -> None:
    (finding,) = _odd(setting)
    name, value = setting.split(": ")
    assert finding.text.startswith(f"setting {name} is {value} mm; the default is ")


@pytest.mark.parametrize(
    "setting", ["end_lap_mm: 2000", "end_lap_mm: 20", "hip_trim_mm: 0", "verge_trim_mm: 500", "fascia_kind: none"]
)
def test_a_setting_near_its_default_and_a_plain_none_are_not(setting: str) -> None:
    assert _odd(setting) == []
