"""The list of what was found: stops first, where each leads, and the lines that a cure writes."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.model.findings import Finding, Severity
from takeoff.model.job_edits import EditPath
from takeoff.model.order import Takeoff
from takeoff.pipeline import run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.web.findings_view import Asked, codes_of, counts_words, marks_of, panel_of, rows_of, written_lines
from takeoff.write.job_text.edits import edited_text

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
FLAT = """job: Shed
roofs:
  - name: main
    outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]]
    fascia_height_mm: 2400
    pitch_deg: 1
"""


@pytest.fixture(scope="module")
def flat() -> Takeoff:
    return run(parse_job(FLAT, "job.yaml"))


@pytest.fixture(scope="module")
def homestead() -> tuple[Asked, Takeoff]:
    path = SAMPLES / "homestead" / "job.yaml"
    takeoff, text = run_file(path), path.read_text(encoding="utf-8")
    return Asked(text, read_yaml(text).value, takeoff, takeoff.findings), takeoff


def test_stops_stand_first_and_are_counted_in_words(flat: Takeoff) -> None:
    asked = Asked(FLAT, read_yaml(FLAT).value, flat, (*reversed(flat.findings), *flat.findings))
    rows = rows_of(asked)
    codes = [row.code for row in rows]
    stops = codes.count("stop")
    assert stops == len(flat.stops) > 0
    assert codes[:stops] == ["stop"] * stops
    assert len(rows) == len(set(flat.findings))
    assert rows[0].grave == "STOP"
    assert counts_words(codes_of(asked)).startswith(f"Stops: {stops}")


def test_a_stop_leads_to_its_plane_on_the_house(flat: Takeoff) -> None:
    row = rows_of(Asked(FLAT, read_yaml(FLAT).value, flat, flat.stops))[0]
    assert row.marks[0].startswith("P")
    assert row.panel == "House"


def test_a_finding_of_a_wall_leads_to_its_elevation(homestead: tuple[Asked, Takeoff]) -> None:
    asked, takeoff = homestead
    for finding, row in zip(dict.fromkeys(takeoff.findings), rows_of(asked), strict=True):
        if finding.refs and finding.refs[0].startswith("wall "):
            assert row.panel == "Walls"
            assert row.marks == finding.refs


def test_a_cure_writes_the_very_line_and_no_other(homestead: tuple[Asked, Takeoff]) -> None:
    asked, _ = homestead
    row = next(row for row in rows_of(asked) if "downpipe_scale_by_intensity" in row.advice)
    (cure,) = row.cures
    after = edited_text(asked.text, cure.edits)
    assert written_lines(asked.text, after) == (
        f"+ {len(asked.text.splitlines()) + 1:4d}  settings: {{downpipe_scale_by_intensity: true}}",
    )


def test_a_fault_has_its_line_and_its_cure() -> None:
    text = FLAT.replace("pitch_deg", "pitch")
    asked = Asked(
        text, read_yaml(text).value, None, (), ("job.yaml:6:5: roofs[1].pitch: unknown key; did you mean pitch_deg?",)
    )
    (row,) = rows_of(asked)
    assert (row.code, row.line, row.panel) == ("stop", 6, "Job file")
    (cure,) = row.cures
    assert edited_text(text, cure.edits) == FLAT
    assert counts_words(codes_of(asked)) == "Stops: 1"


@pytest.mark.parametrize(
    ("path", "marks", "panel"),
    [
        (("roofs", 0, "edges", 5, "kind"), ("roof 1 edge 5",), "Plan"),
        (("roofs", 1, "outline", 2), ("roof 2 edge 3",), "Plan"),
        (("roofs", 0, "wall_line", 0, 1), ("roof 1 edge 1",), "Plan"),
        (("walls", "zones", 0), (), "Walls"),
        (("tanks", 0), (), "Tank"),
        (("settings", "x"), (), "Products"),
        ((), (), "Job file"),
    ],
)
def test_what_names_nothing_leads_to_its_place_in_the_job(path: EditPath, marks: tuple[str, ...], panel: str) -> None:
    finding = Finding("x", Severity.WARN, "something")
    assert marks_of(finding, path) == marks
    assert panel_of(finding, path) == panel


def test_nothing_is_listed_of_a_house_that_is_not_there() -> None:
    assert rows_of(Asked("", {}, None)) == ()
    assert counts_words(()) == ""


def test_texts_that_are_the_same_differ_in_nothing() -> None:
    assert written_lines(FLAT, FLAT) == ()
