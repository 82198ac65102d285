"""`takeoff verify`: whole, edited since, or not whole; and that what is not whole is never compared as if it were."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from takeoff.basics.manifest import Manifest, digest_of, parse_manifest
from takeoff.cli import app
from takeoff.write.folder.lock import folder_lock

JOB = """\
job: Test house
roofs:
  - wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2450
    pitch_deg: {pitch}
"""


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("verify")
    (folder / "job.yaml").write_text(JOB.format(pitch=25), encoding="utf-8")
    assert CliRunner().invoke(app, ["run", str(folder / "job.yaml"), "--out", str(folder / "order")]).exit_code == 0
    return folder


@pytest.fixture
def order(written: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(written / "order", tmp_path / "order"))


def verify(*arguments: object) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["verify", *map(str, arguments)])
    return done.exit_code, done.output.replace("\n", " ")


def sealed_again(order: Path, *names: str) -> None:
    """A manifest with a right seal that says the files are as they are now."""
    manifest = parse_manifest((order / "manifest.json").read_bytes())
    assert manifest is not None
    files = {**manifest.files, **{name: digest_of((order / name).read_bytes()) for name in names}}
    (order / "manifest.json").write_bytes(Manifest(files, manifest.facts).to_bytes())


def test_whole(order: Path, written: Path) -> None:
    code, said = verify(order, "--job", written / "job.yaml")
    assert code == 0
    assert "totals are those of the data" in said
    assert "as they were written" in said


def test_a_folder_that_is_not_whole_is_told_before_its_job_is_asked_for(order: Path) -> None:
    (order / "takeoff.json").unlink()
    code, said = verify(order, "--job", order / "nowhere.yaml")
    assert code == 4
    assert "takeoff.json" in said
    assert "nowhere.yaml" not in said


def test_edited_files_are_named(order: Path) -> None:
    with open(order / "site_measure.csv", "ab") as form:
        form.write(b"P1,eave,1000\r\n")
    (order / "my_notes.txt").write_text("not of the set", encoding="utf-8")
    code, said = verify(order)
    assert code == 7
    assert "edited since: site_measure.csv" in said
    assert "my_notes" not in said


def test_totals_changed_in_the_workbook_are_told(order: Path) -> None:
    book = load_workbook(order / "order_sheet.xlsx", data_only=True)
    sheet = book["Order"]
    row = next(row for row in sheet.iter_rows() if row[0].value == "2")
    changed = float(row[5].value) + 3.0
    row[5].value = changed
    book.save(order / "order_sheet.xlsx")
    code, said = verify(order)
    assert code == 7
    assert "edited since: order_sheet.xlsx" in said
    assert f"line 2 ({changed:,.3f}, data {changed - 3.0:,.3f})" in said
    sealed_again(order, "order_sheet.xlsx")
    code, said = verify(order)
    assert code == 4
    assert "not whole: the totals of order_sheet.xlsx are not those of takeoff.json: line 2" in said


@pytest.mark.parametrize(
    "damage", ["missing", "folder", "link", "manifest gone", "manifest edited", "manifest not ours"]
)
def test_not_whole(order: Path, damage: str) -> None:
    if damage == "missing":
        (order / "roof_plan.dxf").unlink()
    elif damage == "folder":
        (order / "roof_plan.dxf").unlink()
        (order / "roof_plan.dxf").mkdir()
    elif damage == "link":
        (order / "roof_plan.dxf").rename(order / "elsewhere")
        (order / "roof_plan.dxf").symlink_to(order / "elsewhere")
    elif damage == "manifest gone":
        (order / "manifest.json").unlink()
    elif damage == "manifest edited":
        text = (order / "manifest.json").read_text(encoding="utf-8")
        (order / "manifest.json").write_text(text.replace("Test house", "Other house"), encoding="utf-8")
    else:
        (order / "manifest.json").write_text("[" * 100_000, encoding="utf-8")
    code, said = verify(order)
    assert code == 4
    assert "not whole: " in said


def test_files_of_two_jobs_are_not_whole(order: Path, tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(JOB.format(pitch=20), encoding="utf-8")
    CliRunner().invoke(app, ["run", str(tmp_path / "job.yaml"), "--out", str(tmp_path / "other")])
    shutil.copy(tmp_path / "other" / "takeoff.json", order / "takeoff.json")
    assert verify(order)[0] == 7
    sealed_again(order, "takeoff.json")
    code, said = verify(order)
    assert code == 4
    assert "takeoff.json is of another job" in said


def test_a_job_that_has_changed_since(order: Path, written: Path, tmp_path: Path) -> None:
    (tmp_path / "later.yaml").write_text(JOB.format(pitch=26), encoding="utf-8")
    code, said = verify(order, "--job", tmp_path / "later.yaml")
    assert (code, "the job has changed" in said) == (7, True)


def test_no_folder_and_a_folder_being_written(order: Path, tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["verify", str(tmp_path / "none")])
    assert done.exit_code != 0
    with folder_lock(order):
        code, said = verify(order)
    assert code == 4
    assert "is being written by process" in said


def test_a_folder_that_is_not_whole_is_not_compared(order: Path, written: Path) -> None:
    (order / "manifest.json").unlink()
    (order / ".takeoff-work").mkdir()
    done = CliRunner().invoke(app, ["compare", str(order), str(written / "order")])
    assert "a run was stopped while it wrote there" in str(done.exception)


def test_an_order_that_was_withheld_is_whole(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(JOB.format(pitch=2), encoding="utf-8")
    assert CliRunner().invoke(app, ["run", str(tmp_path / "job.yaml"), "--out", str(tmp_path / "out")]).exit_code == 6
    assert json.loads((tmp_path / "out" / "takeoff.json").read_text(encoding="utf-8"))["order"] is None
    assert verify(tmp_path / "out")[0] == 0
