"""ABCB Housing Provisions Standard 2022 (1 May 2023), part 7.2 sheet roofing and 7.4.4 valleys (whole text read; seen).

Table 7.2.4 spans; Figure 7.2.3 pitch (read in the order of its captions); Table 7.2.5 screws; 7.2.6(b)(ii) end laps;
7.2.7(1)(d) laps of flashings; 7.2.8 overhang; Table 7.4.4c valleys. Screws a sheet are derived from the words: side lap
and every second of ten ribs is five, side lap and every third four, the far lap being the next sheet's.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.roofing.fixings.screw_patterns import roof_screws
from takeoff.measure.roofing.purlins.spans import span_findings, span_limits
from takeoff.measure.roofing.sheets.pitch_rules import pitch_row
from takeoff.measure.sheeting.end_laps import end_lap, lap_row
from takeoff.model.products import Profile, ProfileShape
from takeoff.pipeline import Stage, run
from takeoff.read.catalogue import load_catalogue
from takeoff.read.codes import rule_set
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules("au")
RULES = rule_set("au")
PROFILES = load_catalogue().profiles
CORRUGATED, RIBBED, TRAY = PROFILES["corrugated"], PROFILES["trapezoidal_5_rib"], PROFILES["tray_400"]
CLOSE = replace(RIBBED, shape=ProfileShape.CLOSE_TRAPEZOIDAL)
WIDE = replace(TRAY, shape=ProfileShape.TRAY_WIDE)
SPANS = [(CORRUGATED, 0.42, 900, 1200), (CLOSE, 0.42, 1800, 2400), (RIBBED, 0.42, 1300, 1700), (TRAY, 0.42, 1750, 2100),
         (WIDE, 0.48, 1800, 2100)]  # fmt: skip


@pytest.mark.parametrize(("profile", "bmt", "end", "internal"), SPANS)
def test_longest_spans(profile: Profile, bmt: float, end: float, internal: float) -> None:
    """Table 7.2.4: on the limit passes, over it stops with what would be allowed; the end bay is the table's."""
    limits = span_limits(profile, bmt, internal, SETTINGS)
    assert (limits.end_mm, limits.internal_mm) == (end, internal)
    codes = [[f.code for f in span_findings(limits, internal, at, SETTINGS)] for at in (internal, internal + 1.0)]
    assert ["span-over-code" in found for found in codes] == [False, True]


def test_a_lap_is_an_end() -> None:
    """Table 7.2.4: an end span is also the end of sheets at a lap."""
    assert SETTINGS.flag("lap_is_end")
    assert not default_rules("nz").flag("lap_is_end")


@pytest.mark.parametrize(("profile", "pitch"), [(CORRUGATED, 5), (CLOSE, 2), (RIBBED, 2), (TRAY, 1)])
def test_least_pitch(profile: Profile, pitch: float) -> None:
    """Figure 7.2.3."""
    row = pitch_row(profile, RULES)
    assert row is not None
    assert row.pitch_deg == pitch


@pytest.mark.parametrize("zone", ["N1", "N2", "N3", "N4", "N5", "N6"])
def test_screws_go_by_the_profile_not_the_wind(zone: str) -> None:
    """Table 7.2.5: corrugated 5 at end spans, 4 between; trapezoidal every rib."""
    corrugated, findings = roof_screws(CORRUGATED, 0.42, 1200.0, zone, SETTINGS)
    assert (corrugated.end, corrugated.between, findings) == (5, 4, ())
    ribbed, _ = roof_screws(RIBBED, 0.42, 1200.0, zone, SETTINGS)
    assert (ribbed.end, ribbed.between) == (4, 4)


def test_a_course_counts_one_less_between() -> None:
    """A university's course gives 3 at internal supports where a literal reading of the table gives 4: the code is
    followed, the course's figures serve where no code has a pattern."""
    assert roof_screws(CORRUGATED, 0.42, 900.0, "N1", SETTINGS)[0].between == 4
    assert SETTINGS.number("screws_middle") == 3.0


@pytest.mark.parametrize(("pitch", "lap"), [(5.0, 200.0), (10.0, 200.0), (15.0, 200.0), (15.01, 150.0), (45.0, 150.0)])
def test_end_laps(pitch: float, lap: float) -> None:
    """7.2.6(b)(ii): 200 mm at 5 to 15 degrees, 150 above 15."""
    assert end_lap(pitch, SETTINGS)[0] == lap


def test_end_laps_hold_from_five_degrees() -> None:
    row = lap_row(4.0, RULES)
    assert row is not None
    assert row.from_deg == 5.0


@pytest.mark.parametrize(
    ("name", "value"),
    [("pierced_most_mm", 25_000.0), ("flashing_lap_mm", 75.0), ("rivet_spacing_mm", 40.0), ("sheet_over_eave_mm", 50.0),
     ("flashing_screw_spacing_mm", 500.0), ("screw_embedment_mm", 30.0)],
)  # fmt: skip
def test_single_values(name: str, value: float) -> None:
    """Table 7.2.4 note 2; 7.2.7(1)(d); 7.2.8; Figure 7.2.7c; 7.5.2 note 3."""
    assert SETTINGS.number(name) == value
    assert SETTINGS.basis(name).code == "au"


@pytest.mark.parametrize(
    ("rain", "width", "depth"), [(200, 355, 32), (250, 375, 35), (300, 395, 38), (350, 415, 40), (400, 435, 43)]
)
def test_valleys(rain: float, width: float, depth: float) -> None:
    """Table 7.4.4c, roof pitch over 12.5 degrees."""
    row = next(row for row in RULES.valleys if rain <= row.to_mm_per_h)
    assert (row.to_mm_per_h, row.width_mm, row.depth_mm) == (rain, width, depth)


def test_a_valley_is_as_wide_as_the_table_says_and_says_so() -> None:
    """Table 7.4.4c: at 210 mm/h the sheet is 375 wide, and the working of the flashing names the width as its term."""
    outline = "[[0, 0], [12000, 0], [12000, 6000], [6000, 6000], [6000, 12000], [0, 12000]]"
    roof = f"{{outline: {outline}, pitch_deg: 25, fascia_height_mm: 2400}}"
    site = "{rain_mm_per_h: 210, wind_zone: N2}"
    house = run(parse_job(f"job: v\ncode: au\nsite: {site}\nroofs: [{roof}]\n"), until=Stage.MEASURE)
    (valley,) = (run_ for run_ in house.roofing.flashings if run_.kind == "valley")
    (width,) = (term for term in valley.working.terms if term.name == "least width of the sheet")
    assert (width.value, width.unit) == (375, "mm")
    assert valley.girth_mm >= 375
