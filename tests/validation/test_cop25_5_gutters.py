"""Gutters against the NZ Metal Roof and Wall Cladding Code of Practice v25.12, chapter 5. Status: seen.

5.4.2.3 brackets at most 750 mm apart under 180 wide, 600 for 180 to 300, at stop ends, 600 in snow; 5.4.2.2 longest
gutter without a joint: steel 25 m and copper or aluminium 12 m on moving brackets, 12 m fastened through; 5.4.2.1 falls
of at least 1 in 500; 5.3.2.3 multipliers for short bursts; 5.3.3A freeboard; 5.4.5.1 internal gutters; 5.3.2.1B rain.
"""

from __future__ import annotations

import pytest
from gutter_houses import count, findings, gutters_of

from takeoff.model.basis import Status
from takeoff.read.codes import rule_set

RAIN = rule_set("nz").rain


@pytest.mark.parametrize(
    ("width_mm", "spacing_mm"),
    [(125.0, 750.0), (179.9, 750.0), (180.0, 600.0), (300.0, 600.0)],
)
def test_brackets_by_width(width_mm: float, spacing_mm: float) -> None:
    row = RAIN.bracket_row(width_mm, snow=False)
    assert row is not None
    assert row.spacing_mm == spacing_mm
    assert row.basis.status is Status.SEEN


def test_wider_than_300_the_code_says_nothing() -> None:
    assert RAIN.bracket_row(301.0, snow=False) is None


def test_in_snow_600() -> None:
    row = RAIN.bracket_row(125.0, snow=True)
    assert row is not None
    assert row.spacing_mm == 600.0
    snowed = gutters_of(12_000, settings={"gutter_in_snow": True})
    assert count(snowed, "gutter brackets") == 2 * (12_000 / 600 + 1)


def test_two_gutters_of_12_m_take_34_brackets() -> None:
    # 12 000 / 750 = 16 spaces, a bracket at each stop end: 17 each
    assert count(gutters_of(12_000), "gutter brackets") == 34


@pytest.mark.parametrize(
    ("metal", "held", "limit_mm"),
    [
        ("steel", "moving_brackets", 25_000),
        ("copper", "moving_brackets", 12_000),
        ("aluminium", "moving_brackets", 12_000),
        ("steel", "fastened_through", 12_000),
        ("copper", "fastened_through", 12_000),
    ],
)
def test_longest_gutter_without_a_joint(metal: str, held: str, limit_mm: int) -> None:
    settings = {"gutter_metal": metal, "gutter_held": held}
    for length_mm, joints in ((limit_mm, 0), (limit_mm + 100, 1)):
        assert count(gutters_of(length_mm, settings=settings), "gutter expansion joints") == 2 * joints


def test_a_steel_gutter_of_13_m_on_brackets_has_no_joint() -> None:
    assert count(gutters_of(13_000), "gutter expansion joints") == 0


@pytest.mark.parametrize("gutter", ["quad_125", "box_125"])
def test_all_gutters_fall_1_in_500(gutter: str) -> None:
    note = findings(gutters_of(12_000, rainwater={"gutter": gutter}))["gutter-fall"]
    assert "1 in 500" in note.text
    assert "5.4.2.1" in note.source


@pytest.mark.parametrize(
    ("place", "times"),
    [
        ("valley", 3.1),
        ("penetration", 3.1),
        ("internal_dwelling", 3.1),
        ("internal_commercial", 2.2),
        ("external_without_overflow", 2.5),
        ("external_with_overflow", 1.0),
    ],
)
def test_short_bursts(place: str, times: float) -> None:
    assert [row.times for row in RAIN.bursts if row.place == place] == [times]


@pytest.mark.parametrize(("place", "mm"), [("external_without_overflow", 15.0), ("internal", 30.0)])
def test_freeboard(place: str, mm: float) -> None:
    assert [row.mm for row in RAIN.freeboard if row.place == place] == [mm]


def test_a_gutter_without_overflow_is_told_its_burst_and_freeboard() -> None:
    note = findings(gutters_of(12_000))["gutter-overflow"]
    assert "2.5 x the rain" in note.text
    assert "15 mm" in note.text


def test_internal_gutters() -> None:
    (row,) = RAIN.internal
    assert (row.least_depth_mm, row.foot_traffic_over_mm) == (50.0, 300.0)


@pytest.mark.parametrize(
    ("town", "mm_per_h"),
    [("Whangarei", 137), ("Auckland", 121), ("Nelson", 114), ("Waikanae", 107), ("Huntly", 126)],
)
def test_ten_minute_rain_of_fifty_years(town: str, mm_per_h: float) -> None:
    assert [row.mm_per_h for row in RAIN.towns if row.town == town] == [mm_per_h]
    assert f"{town} {mm_per_h}" in findings(gutters_of(12_000))["rain-not-given"].advice
