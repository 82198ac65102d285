"""Lengths and angles as people type them. Ways of writing: common practice, no source."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import UsageError
from takeoff.web.entries import degrees, figure_words, length_mm


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("6200", 6200), ("6200 mm", 6200), ("6200mm", 6200), (" 6 200 ", 6200), ("12 600 mm", 12600),
        ("6.2", 6200), ("6,2", 6200), ("6.2 m", 6200), ("6,2m", 6200), ("6 m", 6000), ("6 metres", 6000), ("1 metre", 1000),
        ("900 millimetres", 900), (".9", 900), ("0.09 m", 90), ("90", 90), ("1.200", 1200), ("1,200", 1200), ("12,600", 12600),
        ("99.9", 99900), ("100.5", 100.5), ("2450.5", 2450.5), ("6.2 mm", 6.2), ("0", 0), ("6.", 6000),
    ],
)  # fmt: skip
def test_lengths_in_the_trades_way(text: str, mm: float) -> None:
    assert length_mm(text) == pytest.approx(mm)


@pytest.mark.parametrize(
    "text", ["", " ", "six", "6 ft", "6'", "6.2.1", "6 2", "62 00", "1e3", "nan", "inf", "6200 m m", "1,2,3", "--6"]
)
def test_what_is_no_length_says_what_to_type(text: str) -> None:
    with pytest.raises(UsageError, match=r"type millimetres \(6200\) or metres"):
        length_mm(text)


def test_a_comma_that_may_part_thousands_is_asked_about() -> None:
    """120,600: 120 600 mm or 120.6 mm; below 100 both readings give the same millimetres."""
    with pytest.raises(UsageError, match="two ways"):
        length_mm("120,600")


def test_lengths_below_nothing_only_where_they_may_be() -> None:
    with pytest.raises(UsageError, match="below nothing"):
        length_mm("-450")
    assert length_mm("-450", signed=True) == -450
    assert length_mm("\N{MINUS SIGN}0.45", signed=True) == -450


def test_lengths_end_at_a_kilometre() -> None:
    assert length_mm("1000 m") == 1e6
    with pytest.raises(UsageError, match="kilometre"):
        length_mm("1001 m")
    with pytest.raises(UsageError):
        length_mm("9" * 400)


@pytest.mark.parametrize(
    ("text", "deg"),
    [("25", 25), ("22.5", 22.5), ("22,5", 22.5), ("25°", 25), ("25 deg", 25), ("8 degrees", 8), ("-90", -90)],
)
def test_angles(text: str, deg: float) -> None:
    assert degrees(text) == deg


@pytest.mark.parametrize("text", ["", "steep", "1:4", "25%", "361", "nan"])
def test_what_is_no_angle_says_what_to_type(text: str) -> None:
    with pytest.raises(UsageError, match="type degrees"):
        degrees(text)


@pytest.mark.parametrize("value", [6200.0, 0.0, 22.5, 1200, 1e6, 0.1])
def test_what_is_shown_reads_back(value: float) -> None:
    shown = figure_words(value)
    assert "e" not in shown
    assert length_mm(f"{shown} mm") == pytest.approx(value)
