"""Underlay and roof ventilation against the NZ Metal Roof and Wall Cladding Code of Practice v25.12, chapter 10. Status:
seen.

10.11.1, 10.11.6: roof underlay laps 150 at sides and ends, at most 20 mm into the gutter, spans 1.2 m, kraft runs to
10 m. 10.11.6 on walls contradicts itself: side 75 and end 150, and five paragraphs on side 150 and end 75; the program
takes the greater of each. 10.10: openings of 1 in 300 of the ceiling, a rule of thumb; 10.6.1 and 10.10E: 20 mm clear
under the roofing, 25 at the eave. 3.10.2 quotes 480 mm for supports of wall cladding.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from takeoff.model.findings import Finding
from takeoff.pipeline import Stage, run
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import default_rules

NZ = default_rules("nz")


def findings(
    depth_mm: float = 8_000.0, pitch_deg: float = 25.0, code: str = "nz", **settings: Any
) -> dict[str, Finding]:
    """Findings of a gabled house 12 m long."""
    roof = {
        "wall_line": [[0, 0], [12000, 0], [12000, depth_mm], [0, depth_mm]],
        "pitch_deg": pitch_deg,
        "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}},
        "covering": {"lay_from": "east"},
    }
    job = parse_job(json.dumps({"job": "house", "code": code, "roofs": [roof], "settings": settings}))
    return {finding.code: finding for finding in run(job, until=Stage.MEASURE).findings}


@pytest.mark.parametrize(
    ("setting", "mm"),
    [
        ("underlay_lap_mm", 150),
        ("underlay_into_gutter_mm", 20),
        ("underlay_span_mm", 1200),
        ("underlay_kraft_run_mm", 10_000),
        ("insulation_gap_mm", 20),
        ("insulation_gap_eave_mm", 25),
        ("nog_most_mm", 480),
    ],
)
def test_values(setting: str, mm: float) -> None:
    assert NZ.number(setting) == mm
    assert "v25.12" in NZ.basis(setting).source


@pytest.mark.parametrize("setting", ["wrap_lap_level_mm", "wrap_lap_upright_mm"])
def test_wall_underlay_takes_the_greater_of_what_the_code_says_twice(setting: str) -> None:
    assert NZ.number(setting) == max(75, 150)
    assert "contradicts itself" in NZ.basis(setting).words()


def test_kraft_runs_to_10_m() -> None:
    # up the slope: half the depth over cos 25 = 9 765 and 9 986 mm, 150 past the ridge and 20 into the gutter
    for depth_mm, told in ((17_700.0, False), (18_100.0, True)):
        assert ("underlay-run-too-long" in findings(depth_mm, underlay_material="kraft")) is told
    assert "underlay-run-too-long" not in findings(18_100.0)


def test_openings_of_1_in_300_of_the_ceiling() -> None:
    note = findings(roof_ventilation=True)["roof-ventilation"]
    # 12 x 8 m = 96 m2: 96 / 300 = 0.32 m2
    assert "openings of 320 000 mm2 in all" in note.text
    assert "20 mm clear under the roofing, 25 mm at the eave" in note.advice


def test_nothing_unless_asked() -> None:
    assert "roof-ventilation" not in findings()
