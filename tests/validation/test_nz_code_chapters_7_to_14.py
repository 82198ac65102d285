"""NZ Metal Roof and Wall Cladding Code of Practice v25.12: chapters 7, 8, 11 and 14 as far as sheets and flashings go
(read as full text; status: seen).

7.1.1A pitch by shape and depth; 7.3 movement; 7.4 end laps; 8.4 categories; 8.4.4 laps of flashings; 8.5.3A expansion;
11.6A clear sheets; 14.10 overhang; 14.16 turn-downs.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.roofing.flashings.flashing_cover import cover_category
from takeoff.measure.roofing.flashings.flashing_movement import expansion_row
from takeoff.measure.roofing.sheets.pitch_rules import pitch_row
from takeoff.measure.roofing.sheets.sheet_pieces import is_turned_down
from takeoff.measure.sheeting.end_laps import end_lap
from takeoff.model.products import ProfileKind, ProfileShape
from takeoff.read.catalogue import load_catalogue
from takeoff.read.codes import rule_set
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules("nz")
RULES = rule_set("nz")
PLAIN = load_catalogue().profiles["corrugated"]
KINDS = {"corrugate": ProfileKind.CORRUGATED, "tray": ProfileKind.TRAY, "standing_seam": ProfileKind.TRAY}


@pytest.mark.parametrize(
    ("shape", "depth", "pitch", "run_m"),
    [
        ("corrugate", 16.5, 8, 15),
        ("corrugate", 20.9, 8, 15),
        ("corrugate", 21.0, 4, 20),
        ("corrugate", 35.0, 3, 65),
        ("trapezoidal_asymmetrical", 20.0, 4, 20),
        ("trapezoidal_asymmetrical", 26.9, 4, 20),
        ("trapezoidal_asymmetrical", 27.0, 3, 40),
        ("trapezoidal_asymmetrical", 36.0, 3, 65),
        ("trapezoidal", 20.0, 4, 15),
        ("trapezoidal", 30.0, 4, 25),
        ("tray", 25.0, 3, 30),
        ("tray", 30.0, 3, 60),
        ("standing_seam", 25.0, 3, 35),
        ("standing_seam", 30.0, 3, 85),
    ],
)
def test_least_pitch_by_shape_and_depth(shape: str, depth: float, pitch: float, run_m: float) -> None:
    """7.1.1A, with the run after which the run-off is to be checked."""
    kind = KINDS.get(shape, ProfileKind.TRAPEZOIDAL)
    row = pitch_row(replace(PLAIN, kind=kind, shape=ProfileShape(shape), depth_mm=depth), RULES)
    assert row is not None
    assert (row.pitch_deg, row.run_m) == (pitch, run_m)


def test_shallower_profiles_are_in_no_row() -> None:
    """7.1.1A begins at 16.5 mm of corrugate."""
    assert pitch_row(replace(PLAIN, depth_mm=16.4), RULES) is None


@pytest.mark.parametrize(("pitch", "lap"), [(3.0, 200.0), (9.99, 200.0), (10.0, 150.0), (15.0, 150.0), (45.0, 150.0)])
def test_end_laps(pitch: float, lap: float) -> None:
    """7.4: 150 mm; 200 recommended below 10 degrees."""
    assert end_lap(pitch, SETTINGS)[0] == lap


def test_laps_are_screwed_not_riveted() -> None:
    """7.4: fixed to the purlin with screws; an older edition riveted sheet to sheet."""
    assert SETTINGS.number("rivets_an_end_lap") == 0.0


def test_clear_sheets_lap_further() -> None:
    """11.6A: 250 mm."""
    assert SETTINGS.number("clear_lap_mm") == 250.0


def test_provision_for_movement() -> None:
    """7.3: all runs over 20 m into timber or hot-rolled steel."""
    assert SETTINGS.number("movement_over_mm") == 20_000.0


@pytest.mark.parametrize(("pitch", "down"), [(3.0, True), (7.99, True), (8.0, False), (10.0, False)])
def test_turn_downs(pitch: float, down: bool) -> None:
    """14.16: below 8 degrees."""
    assert is_turned_down(pitch, SETTINGS) == down


def test_overhang() -> None:
    """14.10: 50 past the fascia, 70 where not baffled."""
    assert [SETTINGS.number(name) for name in ("sheet_over_eave_mm", "sheet_over_bare_eave_mm")] == [50.0, 70.0]


@pytest.mark.parametrize(
    ("zone", "pitch", "category"),
    [
        ("low", 3.0, "a"), ("low", 45.0, "a"), ("medium", 3.0, "a"), ("medium", 45.0, "a"),
        ("high", 3.0, "a"), ("high", 45.0, "a"), ("very_high", 10.0, "a"), ("very_high", 45.0, "a"),
        ("very_high", 9.99, "b"), ("very_high", 3.0, "b"), ("extra_high", 9.99, "b"),
    ],
)  # fmt: skip
def test_categories(zone: str, pitch: float, category: str) -> None:
    """8.4: A low to high all pitches, very high from 10; B very high below 10 and extra high."""
    cover = cover_category(zone, pitch, SETTINGS)
    assert (cover.category, cover.doubt) == (category, "")


def test_the_code_puts_extra_high_wind_under_two_categories() -> None:
    """8.4: extra high from 10 degrees stands under A and B: it contradicts itself, the safer is taken and said."""
    cover = cover_category("extra_high", 10.0, SETTINGS)
    assert cover.category == "b"
    assert "stands under categories A and B" in cover.doubt


def test_laps_of_flashings() -> None:
    """8.4.4: 150 unsealed, sealed ones fixed at 50."""
    assert [SETTINGS.number(name) for name in ("flashing_lap_mm", "rivet_spacing_mm")] == [150.0, 50.0]


@pytest.mark.parametrize(("metal", "fixed", "clipped"), [("aluminium", 6000, 12_000), ("steel", 12_000, 20_000)])
def test_expansion_of_caps(metal: str, fixed: float, clipped: float) -> None:
    """8.5.3A."""
    row = expansion_row(metal, RULES)
    assert row is not None
    assert (row.fixed_mm, row.clipped_mm) == (fixed, clipped)


def test_a_metal_of_no_table_has_no_expansion() -> None:
    """8.5.3A names aluminium and steel; no code stands behind this one."""
    assert RULES.silent is None
    assert expansion_row("lead", RULES) is None
