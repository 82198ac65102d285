"""A written result read back, and files that are none."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.results.result_file import parse_result, read_result, snapshot_of
from takeoff.write.data.result_json import result_json

JOB = """\
job: Hut
revision: C
north_deg: 90
site: {wind_zone: high}
roofs: [{wall_line: [[100, 200], [9100, 200], [9100, 6200], [100, 6200]], pitch_deg: 25, edges: {2: {kind: gable}}}]
"""


@pytest.fixture(scope="module")
def text() -> str:
    return result_json(run(parse_job(JOB)))


def fault(text: str) -> str:
    with pytest.raises(UnreadableFileError) as caught:
        parse_result(text, "r.json")
    return "\n".join(caught.value.faults)


def test_places_are_to_true_north(text: str) -> None:
    # north_deg 90: plan up is east and plan right is south, so (9100, 6200) lies 6200 east and 9100 south
    found = parse_result(text, "r.json")
    corners = {(round(x), round(y)) for side in found.sides for x, y in (side.a, side.b)}
    assert corners == {(200, -100), (200, -9100), (6200, -9100), (6200, -100)}
    south = next(plane for plane in found.planes if abs(plane.bearing_deg - 270) < 0.1)
    assert min(x for x, _ in south.ring) == pytest.approx(200, abs=1e-6)
    assert found.name == "Hut, revision C"


def test_a_file_is_read(text: str, tmp_path: Path) -> None:
    (tmp_path / "takeoff.json").write_text(text, encoding="utf-8")
    assert read_result(tmp_path / "takeoff.json") == parse_result(text, "x")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "not the data"),
        ("[1, 2", "not the data"),
        ("[" * 100_000, "not the data"),
        ("[]", "not a result"),
        ("{}", "not a result"),
        ('{"format": "takeoff-result", "version": NaN}', "NaN"),
        ('{"format": "takeoff-result", "version": 99}', "newer"),
        ('{"format": "takeoff-result", "version": 1}', "job is missing"),
        ('{"format": 3, "version": 1}', "should be a text"),
    ],
)
def test_what_is_no_result_is_refused(content: str, words: str) -> None:
    assert words in fault(content)


def test_each_fault_names_its_place(text: str) -> None:
    def broken(change: Any) -> str:
        data = json.loads(text)
        change(data)
        return fault(json.dumps(data))

    assert "r.json.roofs[1].planes[2].pitch_deg: should be a figure" in broken(
        lambda data: data["roofs"][0]["planes"][1].update(pitch_deg="steep")
    )
    assert "r.json.order.lines[1]: count is missing" in broken(lambda data: data["order"]["lines"][0].pop("count"))
    assert "r.json.roofs: should be a list" in broken(lambda data: data.update(roofs=3))
    assert "point" in broken(lambda data: data["roofs"][0].update(origin_mm=[1]))


def test_a_file_that_is_missing_or_no_text(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match="there is no such file"):
        read_result(tmp_path / "no.json")
    (tmp_path / "x.json").write_bytes(b"\xff\xff")
    with pytest.raises(UnreadableFileError, match="UTF-8"):
        read_result(tmp_path / "x.json")


def test_a_result_of_the_first_version_compares_as_this_one(text: str) -> None:
    """In version 1 the items had no list of their own; nothing that comparing reads stood elsewhere."""
    data = json.loads(text)
    assert data.pop("items")
    data["version"] = 1
    assert parse_result(json.dumps(data), "old") == parse_result(text, "new")


def test_data_and_text_are_one_result(text: str) -> None:
    assert snapshot_of(json.loads(text), "x") == parse_result(text, "x")
