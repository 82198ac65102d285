"""Flashing cover against the metal roofing code of practice, clause 8.3.

Source: NZ Metal Roof and Wall Cladding Code of Practice, flashing cover. Status: seen; the table's captions were lost
where it was read, so that the role of each row is inferred from its values. The purlin position X is 165, 150 and 130
mm (category A), 150, 200 and 180 mm (B and C) in the bands 8-15, 15-30 and 30-45 degrees.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.roofing.flashings.flashing_cover import cover_category, flashing_row
from takeoff.model.basis import Basis, Status
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()


@pytest.mark.parametrize(
    ("zone", "pitch_deg", "category"),
    [
        ("low", 5.0, "a"),
        ("medium", 30.0, "a"),
        ("high", 8.0, "a"),
        ("very_high", 10.0, "a"),
        ("very_high", 7.9, "b"),
        ("very_high", 9.9, "b"),
        ("extra_high", 5.0, "b"),
    ],
)
def test_categories(zone: str, pitch_deg: float, category: str) -> None:
    cover = cover_category(zone, pitch_deg, SETTINGS)
    assert (cover.category, cover.doubt) == (category, "")


@pytest.mark.parametrize("pitch_deg", [10.0, 25.0])
def test_where_the_wording_overlaps_the_wider_cover_is_taken_and_said(pitch_deg: float) -> None:
    cover = cover_category("extra_high", pitch_deg, SETTINGS)
    assert cover.category == "b"
    assert "wider cover" in cover.doubt


@pytest.mark.parametrize(
    ("category", "pitch_deg", "position_mm"),
    [
        ("a", 10.0, 165.0),
        ("a", 20.0, 150.0),
        ("a", 40.0, 130.0),
        ("b", 10.0, 150.0),
        ("b", 20.0, 200.0),
        ("b", 40.0, 180.0),
        ("c", 10.0, 150.0),
        ("c", 20.0, 200.0),
        ("c", 40.0, 180.0),
    ],
)
def test_purlin_position(category: str, pitch_deg: float, position_mm: float) -> None:
    setting = replace(SETTINGS.values["flashing_category"], value=category, basis=Basis(Status.SET_IN_JOB))
    settings = replace(SETTINGS, values={**SETTINGS.values, "flashing_category": setting})
    assert flashing_row("high", pitch_deg, settings)[0] == position_mm


@pytest.mark.parametrize(("pitch_deg", "position_mm"), [(15.0, 165.0), (15.01, 150.0), (30.0, 150.0), (30.01, 130.0)])
def test_limits_of_bands_take_the_lower_band(pitch_deg: float, position_mm: float) -> None:
    # rule of reading: common practice, no source
    distance, _, words = flashing_row("high", pitch_deg, SETTINGS)
    assert distance == position_mm
    assert ("lower band" in words) == (pitch_deg in (15.0, 30.0))
