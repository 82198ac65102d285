"""Screws of whole houses worked by hand, by country, zone, thickness and span; and orders that the code does not allow."""

from __future__ import annotations

from itertools import pairwise

import pytest

from takeoff import pipeline
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

ZONES = ("low", "medium", "high", "very_high", "extra_high")
# one bay width over the whole slope, so that rows are 50, 950, 1850, 2750, 3650 and the ridge row: 6 a side
ONE_BAY = "purlin_edge_bay_mm: {gauge}, purlin_least_bay_mm: 70"


def house(
    zone: str,
    bmt: float,
    gauge: int,
    profile: str = "corrugated",
    code: str = "nz",
    settings: str = ONE_BAY,
    pitch: float = 25.0,
    gables: str = "{2: {kind: gable}, 4: {kind: gable}}",
    outline: str = "[[0, 0], [7620, 0], [7620, 8000], [0, 8000]]",
) -> Takeoff:
    """A gable of 7,620 x 8,000: ten sheets a side."""
    text = f"""
job: house
code: {code}
site: {{wind_zone: {zone}}}
roofs:
  - outline: {outline}
    pitch_deg: {pitch}
    edges: {gables}
    covering: {{lay_from: east, profile: {profile}, bmt_mm: {bmt}}}
purlins: {{spacing_mm: {gauge}}}
settings: {{{settings.format(gauge=gauge)}}}
"""
    return pipeline.run(parse_job(text), until=pipeline.Stage.MEASURE)


def counted(takeoff: Takeoff) -> int:
    return sum(count for plane in takeoff.roofing.screws for _, count in plane.rows)


def stops(takeoff: Takeoff) -> list[str]:
    return [finding.code for finding in takeoff.findings if finding.severity is Severity.STOP]


@pytest.mark.parametrize(
    ("profile", "bmt", "gauge", "screws"),
    [
        # 2 sides x 10 sheets x 6 rows x the pattern's 2, 2, 3, 4, 4
        ("corrugated", 0.40, 900, (240, 240, 360, 480, 480)),
        ("corrugated", 0.55, 900, (240, 240, 240, 240, 360)),
        # 5 rows at 1.2 m: 3, 3, 4, 5 and not allowed
        ("corrugated", 0.40, 1200, (300, 300, 400, 500, 0)),
        # five ribs: 2, 2, 3, 4, 4
        ("trapezoidal_5_rib", 0.40, 1200, (200, 200, 300, 400, 400)),
    ],
)
def test_a_gable_in_every_zone(profile: str, bmt: float, gauge: int, screws: tuple[int, ...]) -> None:
    for zone, count in zip(ZONES, screws, strict=True):
        takeoff = house(zone, bmt, gauge, profile)
        assert stops(takeoff) == ([] if count else ["screws-not-allowed"]), zone
        assert not count or counted(takeoff) == count, zone


def test_with_the_codes_end_bays_a_gable_has_a_row_more() -> None:
    """First and last bay 600 at most: rows 50, 650, 1550, 2450, 3350, 3898, 4263: 7 a side, 2 x 10 x 7 x 3."""
    takeoff = house("high", 0.40, 900, settings="")
    assert counted(takeoff) == 420
    rows = sorted({line.a_uv[1] for line in takeoff.roofing.purlins if line.plane == "P1"})
    bays = [b - a for a, b in pairwise(rows)]
    assert max(bays[0], bays[-1]) <= 600.0 + 1e-6
    assert max(bays) <= 900.0 + 1e-6
    assert min(bays) >= 300.0


def test_a_lean_to_in_very_high_wind() -> None:
    """4.5 sheets of 762 x 6 rows: 3,429 wide, eave 3000 on the slope at 12 degrees: head row 50 below the top: rows 50,
    650, 1550, 2450, 2950: the last bay of 500 is an end bay. 0.55 at 0.9 m, very high: C2: whole sheets 2, the half 1,
    so 5 x (4 x 2 + 1) = 45. The free end gets the overall width: 3429 is 4 covers and 381."""
    deep = 3000.0 * 0.9781476
    takeoff = house(
        "very_high",
        0.55,
        900,
        settings="",
        pitch=12.0,
        gables="{2: {kind: gable}, 3: {kind: gable}, 4: {kind: gable}}",
        outline=f"[[0, 0], [3429, 0], [3429, {deep}], [0, {deep}]]",
    )
    (plane,) = takeoff.roofing.screws
    assert [count for _, count in plane.rows] == [9] * 5
    assert counted(takeoff) == 45


def test_an_australian_gable_has_more_at_the_ends() -> None:
    """0.42 corrugated at 1.2 m, 900 at the ends: rows 50, 950, 2150, 3350, then 913.5 to the ridge row, more than 900:
    shared 4 : 3 into 522 and 391.5. Ends 5, between 4 a sheet: 2 x 10 x (5 + 4 + 4 + 4 + 4 + 5), in all winds that houses are usually in."""
    for zone in ("N1", "N2", "N3"):
        takeoff = house(zone, 0.42, 1200, code="au", settings="purlin_fixing: e")
        assert [count for _, count in takeoff.roofing.screws[0].rows] == [50, 40, 40, 40, 40, 50]
        assert counted(takeoff) == 520
        assert stops(takeoff) == []


def test_a_span_over_the_australian_table_stops_with_its_cure() -> None:
    takeoff = house("N1", 0.42, 1250, code="au", settings="purlin_fixing: e")
    assert stops(takeoff) == ["span-over-code"]
    stop = next(finding for finding in takeoff.findings if finding.severity is Severity.STOP)
    assert stop.advice.startswith("Close the purlins, `purlins: {spacing_mm: 1200}` or less, or take a profile")


def test_an_order_becomes_a_stop_when_the_zone_is_raised() -> None:
    assert stops(house("very_high", 0.40, 1200)) == []
    raised = house("extra_high", 0.40, 1200)
    assert stops(raised) == ["screws-not-allowed"]
    stop = next(finding for finding in raised.findings if finding.severity is Severity.STOP)
    assert "0.40 mm sheet on purlins at 900 mm or 0.55 mm sheet on purlins at 1500 mm" in stop.advice


def test_a_zone_beyond_the_other_codes_table_stops_until_a_fixing_is_designed() -> None:
    """N4 is 61 m/s; the purlin fixings that serve go to 55."""
    assert stops(house("N4", 0.42, 900, code="au", settings="")) == ["purlin-fixing-not-allowed"]
    assert stops(house("N4", 0.42, 900, code="au", settings="purlin_fixing: d")) == []


@pytest.mark.parametrize(("run_m", "codes"), [(14.9, []), (15.2, ["run-off-to-check"]), (20.5, ["run-off-to-check", "movement-provision"])])  # fmt: skip
def test_long_runs_are_told(run_m: float, codes: list[str]) -> None:
    """Corrugate at 8 degrees to 15 m (7.1.1A), provision for movement over 20 m (7.3)."""
    deep = run_m * 1000.0 * 0.9902681 * 2
    takeoff = house("low", 0.55, 900, pitch=8.0, outline=f"[[0, 0], [7620, 0], [7620, {deep}], [0, {deep}]]")
    found = [f.code for f in takeoff.roofing.sheets[0].findings if f.code in ("run-off-to-check", "movement-provision")]
    assert found == codes


def test_sheets_fixed_through_end_at_25_m_in_australia() -> None:
    deep = 25_400.0 * 0.9902681 * 2
    shape = f"[[0, 0], [7620, 0], [7620, {deep}], [0, {deep}]]"
    assert "pierced-too-long" in stops(house("N1", 0.42, 900, code="au", settings="", pitch=8.0, outline=shape))
    assert "pierced-too-long" not in stops(house("low", 0.55, 900, settings="", pitch=8.0, outline=shape))
