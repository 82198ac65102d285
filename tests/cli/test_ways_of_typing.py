"""The command line as it is typed: -h, completion, a folder for a job, where the files go by default, and its width."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.cli import app
from takeoff.pipeline import Stage, run_file

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
HOUSE = """\
job: House of a width
roofs:
  - wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2450
    pitch_deg: 25
"""
COMMANDS = ("new", "run", "check", "measured", "compare", "explain", "page")


def takeoff(*arguments: str | Path, columns: int = 80) -> Result:
    return CliRunner().invoke(app, list(map(str, arguments)), env={"COLUMNS": str(columns)})


@pytest.fixture
def house(tmp_path: Path) -> Path:
    folder = tmp_path / "house"
    folder.mkdir()
    (folder / "job.yaml").write_text(HOUSE, encoding="utf-8")
    return folder


@pytest.mark.parametrize("command", [(), *((name,) for name in COMMANDS)])
def test_h_is_help(command: tuple[str, ...]) -> None:
    runner = CliRunner()
    short, long = (runner.invoke(app, [*command, ask]) for ask in ("-h", "--help"))
    assert short.exit_code == long.exit_code == 0
    assert short.output == long.output
    assert "Usage:" in short.output
    assert max(map(len, short.output.splitlines())) <= 80


def test_the_list_of_commands_breaks_off_no_sentence() -> None:
    assert "..." not in CliRunner().invoke(app, ["--help"]).output.split("Commands:")[1]


@pytest.mark.parametrize(
    ("typed", "word", "due"), [("takeoff r", 1, "run"), ("takeoff run --o", 2, "--out"), ("takeoff ex", 1, "explain")]
)
def test_the_shell_completes_commands_and_options(typed: str, word: int, due: str) -> None:
    asked = {"_TAKEOFF_COMPLETE": "complete_bash", "COMP_WORDS": typed, "COMP_CWORD": str(word)}
    done = CliRunner().invoke(app, [], env=asked, prog_name="takeoff")
    assert due in done.output.split()


def test_a_folder_is_its_job_and_gets_the_order(house: Path, tmp_path: Path) -> None:
    done = takeoff("run", house)
    assert done.exit_code == 0, done.output
    assert done.output.splitlines()[-1].endswith(f"files in {house / 'order'}")
    by_name = takeoff("run", house / "job.yaml", "--out", tmp_path / "elsewhere")
    assert by_name.exit_code == 0, by_name.output
    names = sorted(path.name for path in (house / "order").iterdir())
    assert "order_sheet.xlsx" in names
    assert names == sorted(path.name for path in (tmp_path / "elsewhere").iterdir())
    for name in names:
        assert (house / "order" / name).read_bytes() == (tmp_path / "elsewhere" / name).read_bytes(), name


def test_a_job_named_by_its_file_is_written_beside_it_and_so_is_what_was_measured(house: Path) -> None:
    assert takeoff("run", house / "job.yaml").exit_code == 0
    form = house / "order" / "site_measure.csv"
    with open(form, encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.reader(stream))
    with open(house / "taped.csv", "w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([rows[0], *([*row[:2], row[3], *row[3:]] for row in rows[1:])])
    done = takeoff("measured", house, house / "taped.csv")
    assert done.exit_code == 0, done.output
    assert (house / "order_measured" / "order_sheet.xlsx").is_file()


def test_a_folder_without_a_job_is_said(tmp_path: Path) -> None:
    fault = takeoff("run", tmp_path).exception
    assert isinstance(fault, UnreadableFileError)
    assert fault.faults == (f"{tmp_path}: no job.yaml is in this folder; name the job file",)
    assert list(tmp_path.iterdir()) == []


def test_the_roofs_are_written_as_a_mesh_that_is_read_again(house: Path) -> None:
    done = takeoff("run", house, "--mesh", house / "roof.obj")
    assert done.exit_code == 0, done.output
    assert f"the roofs as a mesh in {house / 'roof.obj'}" in done.output.splitlines()
    again = HOUSE[: HOUSE.index("  - wall_line")] + "  - mesh: {file: roof.obj}\n    name: main\n"
    (house / "again.yaml").write_text(again, encoding="utf-8")
    areas = [
        sum(plane.area_mm2 for plane in run_file(house / name, Stage.SHAPE).roofs[0].planes)
        for name in ("job.yaml", "again.yaml")
    ]
    assert areas[1] == pytest.approx(areas[0], rel=1e-6)


def test_a_mesh_of_no_known_ending_is_refused_and_nothing_written(house: Path) -> None:
    fault = takeoff("run", house, "--mesh", house / "roof.step").exception
    assert isinstance(fault, UsageError)
    assert [path.name for path in house.iterdir()] == ["job.yaml"]


@pytest.mark.parametrize("columns", [80, 50])
def test_what_is_printed_keeps_to_the_width(columns: int, tmp_path: Path) -> None:
    done = takeoff("run", SAMPLES / "verandah", "--out", tmp_path / "out", columns=columns)
    assert done.exit_code == 0, done.output
    *lines, last = done.output.splitlines()
    assert "warn: " in done.output
    assert [line for line in lines if len(line) > columns] == []
    assert last.endswith(f"files in {tmp_path / 'out'}")  # a path is one piece, to be copied


@pytest.mark.parametrize("mark", ["P1", "SP2", "DP1"])
def test_what_is_explained_keeps_to_the_width(mark: str) -> None:
    done = takeoff("explain", SAMPLES / "verandah", mark)
    assert done.exit_code == 0, done.output
    assert [line for line in done.output.splitlines() if len(line) > 80] == []


def test_what_is_compared_keeps_to_the_width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(SAMPLES)
    done = takeoff("compare", "verandah", "porch")
    assert done.exit_code == 7, done.output
    assert [line for line in done.output.splitlines() if len(line) > 80] == []
