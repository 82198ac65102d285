"""Checks of sheets: least pitch, movement over a limit, transport, turned-down feet, profiles by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.roofing.sheets.pitch_rules import least_pitch
from takeoff.measure.roofing.sheets.sheet_labour import end_labour
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.basis import Status
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.products import ProfileJob
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue, Profile, ProfileKind
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets
from takeoff.pipeline import run_file
from takeoff.read.job.settings import default_rules
from takeoff.read.own_profiles import with_own_profiles

JOB = RoofJob(covering=CoveringJob(lay_from="east"))


def lay(
    roof: Roof, settings: Settings, profile: Profile, site: Site | None = None, **given: object
) -> tuple[PlaneSheets, ...]:
    return place_sheets(roof, JOB, site or Site(), 0.0, settings, profile, **given)  # type: ignore[arg-type]


def stops(sheets: PlaneSheets) -> list[str]:
    return [finding.code for finding in sheets.findings if finding.severity is Severity.STOP]


def test_end_laps_need_more_pitch(gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue) -> None:
    """8.5 degrees is enough for corrugate in one length (8), not end-lapped (10)."""
    roof, corrugated = gable_roof(5000.0, 12000.0, 8.5), catalogue.profiles["corrugated"]
    assert stops(lay(roof, settings, corrugated)[0]) == []
    lapped = lay(roof, settings, corrugated, Site(longest_piece_mm=4000.0))[0]
    assert stops(lapped) == ["pitch-below-least"]
    assert "end-lapped" in lapped.findings[0].text
    assert stops(lay(gable_roof(5000.0, 12000.0, 10.0), settings, corrugated, Site(longest_piece_mm=4000.0))[0]) == []


def test_long_runs_need_more_pitch(settings: Settings, catalogue: Catalogue) -> None:
    """Over 40 m one degree more; above 100 mm/h a further degree for each 10 m over 40: 45 m at 120 mm/h 8 + 1 + 1."""
    corrugated = catalogue.profiles["corrugated"]

    def least(run_mm: float, rain: float | None) -> float:
        site = Site(rain_mm_per_h=rain)
        return float(least_pitch(corrugated, run_mm, False, site, settings).terms[-1].value)

    assert [least(40_000.0, None), least(45_000.0, None), least(45_000.0, 100.0)] == [8.0, 9.0, 9.0]
    assert [least(45_000.0, 120.0), least(50_000.0, 120.0), least(50_100.0, 120.0)] == [10.0, 10.0, 11.0]


def test_movement_stops_only_over_a_given_limit(
    gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    """8 m wide at 20 degrees: run 4000 / cos 20 + 25 = 4281.7; 0.012 x 75 x 4.2817 = 3.85 mm."""
    corrugated = catalogue.profiles["corrugated"]
    free = lay(gable_roof(), settings, corrugated)[0]
    assert free.movement_mm == pytest.approx(3.853, abs=0.001)
    assert free.movement_working is not None
    assert stops(free) == []
    assert stops(lay(gable_roof(), settings, replace(corrugated, expansion_limit_mm=3.9))[0]) == []
    assert stops(lay(gable_roof(), settings, replace(corrugated, expansion_limit_mm=3.8))[0]) == ["movement-over-limit"]


def test_a_lap_does_not_lessen_movement(
    gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    corrugated = catalogue.profiles["corrugated"]
    whole = lay(gable_roof(), settings, corrugated)[0]
    lapped = lay(gable_roof(), settings, corrugated, Site(longest_piece_mm=2500.0))[0]
    assert len(lapped.pieces) == 2 * len(whole.pieces)
    assert lapped.movement_mm == pytest.approx(whole.movement_mm)


def test_pieces_too_short_to_lap_are_a_stop(
    gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    sheets = lay(gable_roof(), settings, catalogue.profiles["corrugated"], Site(longest_piece_mm=700.0))[0]
    assert stops(sheets) == ["longest-piece-too-short"]


@pytest.mark.parametrize(
    ("code", "pitch", "lap"), [("nz", 10.0, 150.0), ("nz", 15.0, 150.0), ("au", 15.0, 200.0), ("au", 15.1, 150.0)]
)
def test_lap_length_goes_by_the_code_and_the_pitch(
    gable_roof: Callable[..., Roof], catalogue: Catalogue, code: str, pitch: float, lap: float
) -> None:
    """The sheets are cut by it, and their working names the clause; what the job sets prevails."""
    site, rules = Site(longest_piece_mm=4000.0), default_rules(code)
    roof, corrugated = gable_roof(5000.0, 12000.0, pitch), catalogue.profiles["corrugated"]
    lapped = [piece for piece in lay(roof, rules, corrugated, site)[0].pieces if piece.lap_mm]
    assert {piece.lap_mm for piece in lapped} == {lap}
    term = next(term for term in lapped[0].working.terms if term.name == "end lap")
    assert term.basis is not None
    assert term.basis.code == code
    own = replace(rules, values={**rules.values, "end_lap_mm": replace(rules.values["end_lap_mm"], value=230.0)})
    assert {p.lap_mm for p in lay(roof, own, corrugated, site)[0].pieces} == {0.0, 230.0}


def test_special_transport_is_said(gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue) -> None:
    sheets = lay(gable_roof(5000.0, 52000.0, 20.0), settings, catalogue.profiles["corrugated"])[0]
    assert [finding.code for finding in sheets.findings] == [
        "run-off-to-check",
        "movement-provision",
        "special-transport",
    ]


def test_trays_turn_down_at_low_eaves(
    gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    """A tray at 5 degrees is bought 25 longer than its reach; at 20 degrees and in corrugate nothing is added.

    5 degrees: 4000 / cos 5 + 25 = 4040.28, + 25 = 4065.28, bought 4066.
    """
    tray = catalogue.profiles["tray_400"]
    low = lay(gable_roof(5000.0, 8000.0, 5.0), settings, tray)[0].pieces[0]
    assert (low.reach_mm, low.order_mm) == pytest.approx((4040.28, 4066.0), abs=0.01)
    steep = lay(gable_roof(5000.0, 8000.0, 20.0), settings, tray)[0].pieces[0]
    assert steep.order_mm - steep.reach_mm < 1.0


def test_end_labour_counts_ends(gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue) -> None:
    """7.62 m: 10 sheets a plane, 20 ends at the ridge; turned down at the eaves below 8 degrees, not at 8."""
    corrugated = catalogue.profiles["corrugated"]
    for pitch, lines in (
        (20.0, {"main stop-ends": 20.0}),
        (7.9, {"main stop-ends": 20.0, "main turned-down": 20.0}),
        (8.0, {"main stop-ends": 20.0}),
    ):
        roof = gable_roof(7620.0, 8000.0, pitch)
        found = end_labour(lay(roof, settings, corrugated), roof, settings).quantities
        assert {quantity.id: quantity.figure for quantity in found} == lines
        assert found[0].item == "sheet ends stop-ended, roof main"


def test_profiles_of_the_job_and_the_catalogue(catalogue: Catalogue, settings: Settings) -> None:
    given = {"kind": "trapezoidal", "cover_mm": 900.0, "overall_mm": 960.0, "rib_pitch_mm": 90.0, "depth_mm": 20.0}
    own = ProfileJob(**given, least_pitch_deg=6.0)
    found = with_own_profiles(catalogue, Job(job="x", profiles={"shed": own}), settings)
    made = found.profiles["shed"]
    assert (made.cover_mm, made.least_pitch_lapped_deg) == (900.0, 6.0)
    assert made.basis["*"].status is Status.SET_IN_JOB
    assert made.kind is ProfileKind.TRAPEZOIDAL  # ribs at 90 mm make no corrugate of it
    assert found.profiles["corrugated"] is catalogue.profiles["corrugated"]


@pytest.mark.parametrize("profile", ["corrugated", "corrugated_wide", "trapezoidal_5_rib", "tray_400"])
def test_every_profile_lays_a_hip_roof(
    profile: str, hip_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    for sheets in lay(hip_roof(), settings, catalogue.profiles[profile]):
        assert sheets.pieces
        assert stops(sheets) == []


@pytest.mark.parametrize(("sample", "ends"), [("dormer", 36), ("loft_house", 32)])
def test_a_sheet_notched_under_a_dormer_has_an_end_there_too(sample: str, ends: int) -> None:
    """The dormer's house is 12 m long: ceil((12000 - 83) / 762) = 16 tops a side lie at the ridge, two sheets end under
    the dormer's front and two beside it are notched there: 16 + 16 + 2 + 2. The loft house is lapped there: its 14 tops
    a side, two sheets under the front, and the lower parts of the two beside.
    """
    order = run_file(Path("geometry_samples") / sample).order
    assert order is not None
    assert [line.count for line in order.lines if line.item == "sheet ends stop-ended, roof house"] == [ends]
