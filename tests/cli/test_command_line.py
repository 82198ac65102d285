"""The command line end to end: what it writes, how it leaves, and that bad input never shows a traceback."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
HOUSE = """\
job: Test house
roofs:
  - wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2450
    pitch_deg: 25
walls:
  height_mm: 2450
  ground_mm: -300
  zones: [{board: bevel_187}]
  openings:
    - {wall: 1, from_left_mm: 1000, sill_mm: 900, width_mm: 1200, height_mm: 1200}
"""


def takeoff(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "takeoff", *map(str, arguments)], capture_output=True, text=True, check=False
    )


def run_text(text: str, folder: Path, name: str = "job.yaml") -> subprocess.CompletedProcess[str]:
    job = folder / name
    job.write_text(text, encoding="utf-8")
    return takeoff("run", job, "--out", folder / "out")


def assert_refused(done: subprocess.CompletedProcess[str], folder: Path, code: int, *words: str) -> None:
    """The one shape of a refusal: its exit code, one line a fault, no traceback, nothing written."""
    assert done.returncode == code, (done.returncode, done.stdout, done.stderr)
    assert "Traceback" not in done.stderr
    for word in words:
        assert word in done.stderr, done.stderr
    assert all(line.startswith("error: ") for line in done.stderr.strip().splitlines()), done.stderr
    assert not (folder / "out").exists()
    assert not [path for path in folder.iterdir() if path.is_dir()], "something half-written was left"


def test_a_house_gives_an_order_and_drawings(tmp_path: Path) -> None:
    done = run_text(HOUSE, tmp_path)
    assert done.returncode == 0, done.stderr
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"order_sheet.xlsx", "roof_plan.dxf", "house.html", "takeoff.json", "manifest.json"} <= names
    assert "sheets:" in done.stdout
    result = json.loads((tmp_path / "out" / "takeoff.json").read_text(encoding="utf-8"))
    assert result["version"] == 2
    assert len(result["roofs"][0]["planes"]) == 4


def test_the_same_job_gives_the_same_files_byte_for_byte(tmp_path: Path) -> None:
    for turn in ("a", "b"):
        (tmp_path / turn).mkdir()
        assert run_text(HOUSE, tmp_path / turn).returncode == 0
    first, second = ({p.name: p.read_bytes() for p in (tmp_path / turn / "out").iterdir()} for turn in ("a", "b"))
    assert first.keys() == second.keys()
    assert [name for name in first if first[name] != second[name]] == []


def test_new_writes_a_job_that_runs(tmp_path: Path) -> None:
    made = takeoff("new", tmp_path / "house")
    assert made.returncode == 0
    assert made.stdout.splitlines()[-1] == f"next: python -m takeoff run {tmp_path / 'house'}"
    assert takeoff("run", tmp_path / "house" / "job.yaml", "--out", tmp_path / "out").returncode == 0
    again = takeoff("new", tmp_path / "house")
    assert again.returncode == 2
    assert "is there already" in again.stderr


@pytest.mark.parametrize(
    ("old", "new", "code", "words"),
    [
        ("[9000, 0], [9000, 6000], [0, 6000]", "[9000, 6000], [9000, 0], [0, 6000]", 5, ["edge", "cross"]),
        ("[9000, 0], [9000, 6000], [0, 6000]", "[9000, 0]", 3, ["job.yaml:3:16", "at least 3 points"]),
        ("pitch_deg: 25", "pitch_deg: 0", 3, ["job.yaml:6:16", "at least 1.0, got 0"]),
        ("pitch_deg: 25", "pitch_deg: .nan", 3, ["job.yaml:6:16", "finite number"]),
        ("pitch_deg: 25", "pitch_deg: 25 deg", 3, ["job.yaml:6:16", "number without a unit, got '25 deg'"]),
        ("pitch_deg: 25", "pich_deg: 25", 3, ["job.yaml:6:5", "did you mean pitch_deg?"]),
        ("pitch_deg: 25", "pitch_deg: 25\n    covering: {profile: tile}", 3, ["unknown profile tile"]),
        ("[[0, 0], [9000, 0], [9000, 6000], [0, 6000]]", "[[0, 0], [9, 0], [9, 6], [0, 6]]", 3, ["in metres?"]),
        ("from_left_mm: 1000", "from_left_mm: 8000", 3, ["wall 1", "200 mm"]),
        ("eave_overhang_mm: 600", "edges: {1: {kind: gable}, 2: {kind: gable}, 3: {kind: gable}, 4: {kind: gable}}", 5, ["edge"]),
    ],
)  # fmt: skip
def test_an_impossible_job_is_refused(tmp_path: Path, old: str, new: str, code: int, words: list[str]) -> None:
    assert old in HOUSE
    assert_refused(run_text(HOUSE.replace(old, new), tmp_path), tmp_path, code, *words)


def test_a_missing_job_is_refused(tmp_path: Path) -> None:
    assert_refused(takeoff("run", tmp_path / "no.yaml", "--out", tmp_path / "out"), tmp_path, 4, "no.yaml")


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("house.obj", None, "house.obj"),
        ("house.obj", "", "house.obj"),
        ("house.obj", "# only a comment\n", "house.obj"),
        ("house.stl", "not a mesh at all", "house.stl"),
        ("house.xyz", "0 0 0", "house.xyz"),
    ],
)
def test_a_mesh_that_is_none_is_refused(tmp_path: Path, name: str, content: str | None, words: str) -> None:
    if content is not None:
        (tmp_path / name).write_text(content, encoding="utf-8")
    job = f"job: x\nroofs:\n  - mesh: {{file: {name}, unit: m, up: z}}\n"
    assert_refused(run_text(job, tmp_path), tmp_path, 4, words)


def test_a_stop_finding_withholds_the_order_but_says_why(tmp_path: Path) -> None:
    done = run_text(HOUSE.replace("pitch_deg: 25", "pitch_deg: 3"), tmp_path)
    assert done.returncode == 6, done.stderr
    assert "NOT AN ORDER" in done.stdout
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"order_sheet.xlsx", "takeoff.json"} <= names
    assert not [name for name in names if name.startswith(("sheets_", "wall_"))]


def test_a_folder_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file where the folder should be", encoding="utf-8")
    done = run_text(HOUSE, tmp_path)
    assert done.returncode in (2, 4), done.stderr
    assert "Traceback" not in done.stderr
    assert (tmp_path / "out").read_text(encoding="utf-8") == "a file where the folder should be"


def test_a_typing_mistake_leaves_with_usage() -> None:
    assert takeoff("runn", "x").returncode == 2
    assert takeoff("run").returncode == 2


def test_only_the_kinds_of_output_that_are_named(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(HOUSE, encoding="utf-8")
    assert_refused(
        takeoff("run", tmp_path, "--out", tmp_path / "out", "--only", "orders"), tmp_path, 2, "'orders'", "all"
    )
    assert takeoff("run", tmp_path, "--out", tmp_path / "out", "--only", "order,site").returncode == 0
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"order_sheet.xlsx", "site_measure.csv", "takeoff.json", "manifest.json"} <= names
    assert not [name for name in names if name.endswith((".dxf", ".svg", ".html"))]
