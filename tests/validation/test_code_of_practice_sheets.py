"""NZ Metal Roof and Wall Cladding Code of Practice (seen, in excerpts): least pitches, overhang into the gutter, more
pitch for long runs; and E2/AS1 through a building research magazine (seen, restated): the valley's clear gap."""

from __future__ import annotations

from math import hypot

import pytest

from takeoff.measure.roofing.sheets.pitch_rules import least_pitch
from takeoff.measure.roofing.sheets.sheets import Beside, place_sheets
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Severity
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.sheets import PlaneSheets
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.outline.roof_from_outline import roof_from_outline

SETTINGS = default_rules()


def gable(pitch_deg: float, profile: str, bare: tuple[int, ...] = ()) -> PlaneSheets:
    job = RoofJob(
        outline=[(0.0, 0.0), (6000.0, 0.0), (6000.0, 5000.0), (0.0, 5000.0)],
        pitch_deg=pitch_deg,
        fascia_height_mm=2450.0,
        edges={2: EdgeJob(kind="gable"), 4: EdgeJob(kind="gable")},
        covering=CoveringJob(lay_from="east"),
    )
    roof = roof_from_outline(job, 0.0, SETTINGS)
    found = load_catalogue().profiles[profile]
    return place_sheets(roof, job, Site(), 0.0, SETTINGS, found, Beside(bare_edges=bare))[0]


@pytest.mark.parametrize(("profile", "least"), [("corrugated", 8.0), ("trapezoidal_5_rib", 3.0), ("tray_400", 3.0)])
def test_least_pitch_for_unsealed_side_laps(profile: str, least: float) -> None:
    """Corrugate 8, five ribs of 27 mm, asymmetrical, 3, secret-fix tray 3 degrees: on the limit passes, below it stops."""
    assert not [f for f in gable(least, profile).findings if f.severity is Severity.STOP]
    stopped = [f for f in gable(least - 0.1, profile).findings if f.severity is Severity.STOP]
    assert [f.code for f in stopped] == ["pitch-below-least"]
    assert "Code of Practice" in stopped[0].source


def test_overhang_into_the_gutter_is_on_the_rake() -> None:
    """50 mm on the rake at any pitch of the code; 70 where ends are not baffled by spouting."""
    for pitch in (8.0, 25.0, 45.0):
        assert min(v for _, v in gable(pitch, "corrugated").sheeted_uv[0]) == pytest.approx(-50.0)
    assert min(v for _, v in gable(25.0, "corrugated", bare=(1,)).sheeted_uv[0]) == pytest.approx(-70.0)


def test_runs_over_40_m() -> None:
    """Over 40 m and up to 60 m add 1 degree."""
    corrugated = load_catalogue().profiles["corrugated"]
    found = [
        least_pitch(corrugated, run, False, Site(), SETTINGS).terms[-1].value for run in (39_000.0, 41_000.0, 60_000.0)
    ]
    assert found == [8.0, 9.0, 9.0]


def test_clear_gap_of_a_valley() -> None:
    """At least 50 mm clear between the sheets of both sides, measured square to the valley on both slopes."""
    outline = [(0.0, 0.0), (15000.0, 0.0), (15000.0, 6000.0), (6000.0, 6000.0), (6000.0, 12000.0), (0.0, 12000.0)]
    job = RoofJob(outline=outline, pitch_deg=25.0, fascia_height_mm=2450.0, covering=CoveringJob(lay_from="east"))
    roof = roof_from_outline(job, 0.0, SETTINGS)
    placed = place_sheets(roof, job, Site(), 0.0, SETTINGS, load_catalogue().profiles["corrugated"])
    valley = next(edge for edge in roof.edges if edge.kind is EdgeKind.VALLEY)
    gap = 0.0
    for sheets in placed:
        if sheets.plane in valley.faces:
            frame = roof.plane(sheets.plane).frame
            (ax, ay), (bx, by) = frame.to_plane(valley.a_mm), frame.to_plane(valley.b_mm)
            off = [
                abs((u - ax) * (by - ay) - (v - ay) * (bx - ax)) / hypot(bx - ax, by - ay)
                for piece in sheets.pieces
                for u, v in piece.outline_uv
            ]
            gap += min(off)
    assert gap == pytest.approx(50.0, abs=0.01)
