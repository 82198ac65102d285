"""NZ Metal Roof and Wall Cladding Code of Practice v25.12, chapter 3: wind, screws, spans, feet (read as full text; seen).

3.2.2 wind speeds; 3.5.1.1 and 3.11.2 end spans; 3.8.3 hold of a screw; 3.9.1 purlins on rafters; 3.9.3A, B patterns;
3.10.1 patterns by profile, thickness, span and wind zone; 3.11.2 point loads. Screws a sheet of 762 mm (ten crests, or
four of five ribs) are derived from the patterns' words.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.roofing.fixings.screw_counts import screw_length
from takeoff.measure.roofing.fixings.screw_patterns import roof_screws
from takeoff.measure.roofing.purlins.spans import span_findings, span_limits
from takeoff.model.findings import Severity
from takeoff.model.products import Profile
from takeoff.read.catalogue import load_catalogue
from takeoff.read.codes import rule_set
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules("nz")
RULES = rule_set("nz")
ZONES = ("low", "medium", "high", "very_high", "extra_high")
CORRUGATED = load_catalogue().profiles["corrugated"]
FIVE_RIBS = load_catalogue().profiles["trapezoidal_5_rib"]
SIX_RIBS = replace(FIVE_RIBS, id="six", rib_pitch_mm=762.0 / 5)


def test_wind_speeds() -> None:
    """3.2.2: 32, 37, 44, 50, 55 m/s."""
    assert [(zone.id, zone.speed_m_s) for zone in RULES.zones] == list(zip(ZONES, (32, 37, 44, 50, 55), strict=True))


@pytest.mark.parametrize(
    ("pattern", "screws", "words"),
    [
        ("C5", 5, "hit 1 miss 1"),
        ("C4", 4, "hit 1 miss 2, hit 1 miss 1"),
        ("C3", 3, "hit 1 miss 2, hit 1 miss 3"),
        ("C2", 2, "hit 1 miss 4"),
    ],
)
def test_patterns_of_corrugate(pattern: str, screws: int, words: str) -> None:
    """3.9.3A. The words, walked along ten crests of endless sheet, give the count of a sheet."""
    found = RULES.pattern(pattern)
    assert (found.screws, found.of, found.says) == (screws, 10, words)
    numbers = [int(word) for word in words.replace(",", "").split() if word.isdigit()]
    cycle, hits = sum(numbers), sum(numbers[::2])
    assert round(10.0 * hits / cycle) == screws


@pytest.mark.parametrize(("pattern", "screws"), [("5T4", 4), ("5T3", 3), ("5T2", 2)])
def test_patterns_of_five_ribs(pattern: str, screws: int) -> None:
    """3.9.3B: all four, hit 2 miss 1 hit 1, hit 1 miss 1."""
    assert (RULES.pattern(pattern).screws, RULES.pattern(pattern).of) == (screws, 4)


TABLE = [
    # profile, thickness, span, what 3.10.1 prints for low, medium, high, very high, extra high
    (CORRUGATED, 0.40, 600, "C2 C2 C2 C2 C4"),
    (CORRUGATED, 0.40, 900, "C2 C2 C3 C4 C4"),
    (CORRUGATED, 0.40, 1200, "C3 C3 C4 C5 N/A"),
    (CORRUGATED, 0.55, 600, "C2 C2 C2 C2 C2"),
    (CORRUGATED, 0.55, 900, "C2 C2 C2 C2 C3"),
    (CORRUGATED, 0.55, 1200, "C2 C2 C3 C3 C4"),
    (CORRUGATED, 0.55, 1500, "C2 C2 C3 C4 C4"),
    (FIVE_RIBS, 0.40, 600, "5T2 5T2 5T2 5T2 5T2"),
    (FIVE_RIBS, 0.40, 900, "5T2 5T2 5T2 5T3 5T3"),
    (FIVE_RIBS, 0.40, 1200, "5T2 5T2 5T3 5T4 5T4"),
    (FIVE_RIBS, 0.55, 600, "5T2 5T2 5T2 5T2 5T2"),
    (FIVE_RIBS, 0.55, 900, "5T2 5T2 5T2 5T2 5T3"),
    (FIVE_RIBS, 0.55, 1200, "5T2 5T2 5T2 5T3 5T3"),
    (FIVE_RIBS, 0.55, 1500, "5T2 5T2 5T3 5T3 5T4"),
    (SIX_RIBS, 0.40, 900, "6T3 6T3 6T3 6T5 6T5"),
    (SIX_RIBS, 0.55, 900, "6T3 6T3 6T3 6T3 6T3"),
    (SIX_RIBS, 0.40, 1200, "6T3 6T3 6T5 6T5 6T5"),
    (SIX_RIBS, 0.55, 1200, "6T3 6T3 6T3 6T3 6T3"),
    (SIX_RIBS, 0.55, 1500, "6T3 6T3 6T3 6T5 6T5"),
]
CELLS = [
    (profile, bmt, span, zone, cell)
    for profile, bmt, span, cells in TABLE
    for zone, cell in zip(ZONES, cells.split(), strict=True)
]


@pytest.mark.parametrize(("profile", "bmt", "span", "zone", "cell"), CELLS)
def test_every_cell_of_the_table(profile: Profile, bmt: float, span: float, zone: str, cell: str) -> None:
    """3.10.1: the same pattern on every row; N/A is a stop."""
    screws, findings = roof_screws(profile, bmt, span, zone, SETTINGS)
    if cell == "N/A":
        assert [(f.code, f.severity) for f in findings] == [("screws-not-allowed", Severity.STOP)]
        return
    assert findings == ()
    assert screws.words.startswith(f"{cell}: ")
    assert screws.end == screws.between == int(cell[-1])


@pytest.mark.parametrize(
    ("bmt", "span", "allowed"),
    [(0.40, 1200.5, True), (0.40, 1201.0, False), (0.55, 1500.0, True), (0.55, 1501.0, False), (0.48, 1200.0, True),
     (0.39, 600.0, False)],
)  # fmt: skip
def test_the_table_ends(bmt: float, span: float, allowed: bool) -> None:
    """3.10.1 ends at 1.2 m for 0.40 and 1.5 m for 0.55; 0.48 reads the thinner row, nothing is said under 0.40."""
    _, findings = roof_screws(CORRUGATED, bmt, span, "low", SETTINGS)
    assert (findings == ()) == allowed


def test_the_stop_says_what_would_be_allowed() -> None:
    """3.10.1, extra high: 0.40 to 0.9 m, 0.55 to 1.5 m."""
    (stop,) = roof_screws(CORRUGATED, 0.40, 1200.0, "extra_high", SETTINGS)[1]
    assert (
        stop.advice
        == "Allowed there: 0.40 mm sheet on purlins at 900 mm or 0.55 mm sheet on purlins at 1500 mm, or closer."
    )
    assert "v25.12" in stop.source


def test_a_shallower_corrugate_is_in_no_table() -> None:
    """3.10.1 holds from a depth of 16.5 mm."""
    assert roof_screws(replace(CORRUGATED, depth_mm=16.5), 0.40, 900.0, "low", SETTINGS)[1] == ()
    (finding,) = roof_screws(replace(CORRUGATED, depth_mm=16.0), 0.40, 900.0, "low", SETTINGS)[1]
    assert finding.code == "screw-pattern-not-known"


@pytest.mark.parametrize(("gauge", "end"), [(600.0, 400.0), (900.0, 600.0), (1200.0, 800.0)])
def test_an_end_span_is_two_thirds(gauge: float, end: float) -> None:
    """3.5.1.1, 3.11.2: at most 2/3 of the intermediate span."""
    assert span_limits(CORRUGATED, 0.40, gauge, SETTINGS).end_mm == pytest.approx(end)


FEET = [
    # profile, thickness, span, what 3.11.2 allows
    (CORRUGATED, 0.40, 900.0, "restricted-foot-traffic"),
    (CORRUGATED, 0.40, 901.0, "no-foot-traffic"),
    (CORRUGATED, 0.55, 1200.0, ""),
    (CORRUGATED, 0.55, 1201.0, "restricted-foot-traffic"),
    (CORRUGATED, 0.55, 1500.0, "restricted-foot-traffic"),
    (CORRUGATED, 0.55, 1501.0, "no-foot-traffic"),
    (FIVE_RIBS, 0.40, 1400.0, "restricted-foot-traffic"),
    (FIVE_RIBS, 0.40, 1401.0, "no-foot-traffic"),
    (FIVE_RIBS, 0.55, 1500.0, ""),
    (FIVE_RIBS, 0.55, 1501.0, "restricted-foot-traffic"),
    (FIVE_RIBS, 0.55, 2100.0, "restricted-foot-traffic"),
    (FIVE_RIBS, 0.55, 2101.0, "no-foot-traffic"),
]


@pytest.mark.parametrize(("profile", "bmt", "span", "code"), FEET)
def test_point_loads_at_both_ends_of_every_span(profile: Profile, bmt: float, span: float, code: str) -> None:
    """3.11.2: 0.9 restricted; 1.2 and 1.5; five ribs 1.4; 1.5 and 2.1 m."""
    found = span_findings(span_limits(profile, bmt, span, SETTINGS), span, span, SETTINGS)
    assert [finding.code for finding in found] == ([code] if code else [])


def test_the_hold_of_a_screw_and_its_length() -> None:
    """3.8.3, 14.12.2: 30 mm in timber (and more than six diameters): 17.5 + 33 is 65, 27 + 33 is 65, 50 more is 115."""
    assert SETTINGS.number("screw_embedment_mm") == 30.0
    assert [screw_length(profile, SETTINGS).mm for profile in (CORRUGATED, FIVE_RIBS)] == [65, 65]
    packed = replace(
        SETTINGS, values={**SETTINGS.values, "over_purlin_mm": replace(SETTINGS.values["over_purlin_mm"], value=50.0)}
    )
    assert screw_length(FIVE_RIBS, packed).mm == 115


def test_the_sections_go_with_their_supports() -> None:
    """3.9.1A: 70 x 45 on flat with rafters at 0.9 m, 90 x 45 with rafters at 1.2 m."""
    names = ("purlin_section", "purlin_wide_section", "purlin_narrow_supports_mm")
    assert [SETTINGS.values[name].value for name in names] == ["70x45", "90x45", 900]
