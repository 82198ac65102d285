"""Roof ventilation against the ABCB Housing Provisions Standard 2022, Table 10.8.3. Status: seen.

mm2 a metre of the longest side: below 10 degrees 25 000 at two ends; 10 to 15 degrees 25 000 at the eaves and 5 000 high
up; 15 to 75 degrees 7 000 and 5 000, and 18 000 more at the eaves under a cathedral ceiling.
"""

from __future__ import annotations

import json

import pytest

from takeoff.measure.roofing.ventilation import openings_mm2, vent_row, ventilation_need
from takeoff.read.codes import rule_set
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

ROWS = rule_set("au").walls.ventilation


@pytest.mark.parametrize(
    ("pitch_deg", "two_ends", "eaves", "high"),
    [
        (5.0, 25_000, 0, 0),
        (9.9, 25_000, 0, 0),
        (10.0, 0, 25_000, 5_000),
        (14.9, 0, 25_000, 5_000),
        (15.0, 0, 7_000, 5_000),
        (74.9, 0, 7_000, 5_000),
    ],
)
def test_openings_by_pitch(pitch_deg: float, two_ends: int, eaves: int, high: int) -> None:
    row = vent_row(pitch_deg, ROWS)
    assert row is not None
    named = {"at two opposite ends, each": two_ends, "at the eaves": eaves, "high up": high}
    assert dict(openings_mm2(row, 1.0, 0.0, False)) == {place: mm2 for place, mm2 in named.items() if mm2}


def test_cathedral_ceiling_adds_18_000_at_the_eaves() -> None:
    row = vent_row(25.0, ROWS)
    assert row is not None
    assert dict(openings_mm2(row, 1.0, 0.0, True)) == {"at the eaves": 25_000, "high up": 5_000}


def test_steeper_than_the_table() -> None:
    assert vent_row(75.1, ROWS) is None


def test_a_house_of_14_2_m() -> None:
    roof = {"name": "main", "outline": [[0, 0], [14200, 0], [14200, 8000], [0, 8000]], "pitch_deg": 25}
    text = json.dumps({"job": "air", "code": "au", "roofs": [roof], "settings": {"roof_ventilation": True}})
    job = parse_job(text)
    settings = resolve_settings(job)
    (note,) = ventilation_need([roof_from_outline(job.roofs[0], 0.0, settings)], settings).findings
    # 14.2 x 7 000 and 14.2 x 5 000
    assert "99 400 mm2 at the eaves and 71 000 mm2 high up" in note.text
