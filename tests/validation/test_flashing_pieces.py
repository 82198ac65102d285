"""Lengths of flashing for a run, and the width of a valley tray, from published laps and covers.

Sources: lap of flashings at least 150 mm unsealed, NZ Metal Roof and Wall Cladding Code of Practice, flashing laps
(status: seen); 80 mm of roofing over each side of a valley and a clear gap of 50 mm, E2/AS1 as restated in a building
research magazine, no. 153 p. 38-39 (status: seen, restated). Counts are derived from the lap: n = ceil((R - l) / (S -
l)).
"""

from __future__ import annotations

import pytest

from takeoff.measure.roofing.flashings.dressings import pieces_needed
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()


@pytest.mark.parametrize(
    ("run_mm", "pieces"),
    [
        (11600.0, 2),  # two lengths lapped reach 11.85 m
        (11850.0, 2),
        (11850.1, 3),
        (11900.0, 3),
        (6000.0, 1),
        (6000.1, 2),
        (100.0, 1),
    ],
)
def test_pieces_of_six_metre_stock(run_mm: float, pieces: int) -> None:
    assert pieces_needed(run_mm, 6000.0, SETTINGS.number("flashing_lap_mm")) == pieces


def test_the_lap_is_the_published_one() -> None:
    assert SETTINGS.number("flashing_lap_mm") == 150.0


def test_stock_no_longer_than_its_lap_is_refused() -> None:
    with pytest.raises(ValueError, match="not longer than the lap"):
        pieces_needed(3000.0, 150.0, 150.0)


def test_valley_tray_is_two_covers_and_the_gap() -> None:
    cover, gap = SETTINGS.number("valley_cover_mm"), SETTINGS.number("valley_gap_mm")
    assert (cover, gap) == (80.0, 50.0)
    assert 2 * cover + gap == SETTINGS.number("valley_least_width_mm") == 210.0


def test_a_large_valley_catchment_is_fifty_square_metres() -> None:
    assert SETTINGS.number("valley_needs_downpipe_m2") == 50.0
