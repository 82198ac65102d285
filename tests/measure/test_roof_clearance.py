"""What is said where a lower roof stops against clad walls: 35 mm over an adjacent roof (E2/AS1, as restated by the code
of practice on ground clearance); lengths by hand."""

from __future__ import annotations

import json

from takeoff import pipeline
from takeoff.model.findings import Finding, Severity
from takeoff.read.job.job_file import parse_job

HOUSE = {"name": "house", "wall_line": [[500, 500], [12500, 500], [12500, 8500], [500, 8500]], "eave_overhang_mm": 600,
         "fascia_height_mm": 2750, "pitch_deg": 25}  # fmt: skip
AROUND = {"name": "verandah", "outline": [[-1900, -1900], [14900, -1900], [14900, 5500], [-1900, 5500]],
          "below": "house", "fascia_height_mm": 2200, "pitch_deg": 8, "edges": {"3": {"kind": "gable"}}}  # fmt: skip
WALLS = {"height_mm": 2400, "zones": [{"board": "bevel_187"}]}


def notes(*roofs: dict[str, object], walls: dict[str, object]) -> list[Finding]:
    text = json.dumps({"job": "by hand", "roofs": roofs, "walls": walls})
    takeoff = pipeline.run(parse_job(text), until=pipeline.Stage.MEASURE)
    return [finding for finding in takeoff.findings if finding.code == "cladding-over-roof"]


def test_a_verandah_round_three_walls() -> None:
    # along the front 12.0, up both sides 5.0
    (note,) = notes(HOUSE, AROUND, walls=WALLS)
    assert note.severity is Severity.NOTE
    assert "Roof verandah" in note.text
    assert "22.00 m of apron" in note.text
    assert "35 mm" in note.text
    assert "E2/AS1" in note.source
    assert len(note.refs) == 3


def test_nothing_is_said_where_no_roof_stops_against_the_clad_walls() -> None:
    assert notes(HOUSE, walls=WALLS) == []
    apart = {**AROUND, "below": None, "outline": [[20000, 0], [24000, 0], [24000, 3000], [20000, 3000]]}
    assert notes(HOUSE, apart, walls=WALLS) == []
    # the walls of a shed beside it
    shed = {**HOUSE, "name": "shed", "wall_line": [[30000, 0], [34000, 0], [34000, 3000], [30000, 3000]]}
    assert notes(HOUSE, AROUND, shed, walls={**WALLS, "roof": "shed"}) == []
