"""What former versions left hidden in a folder when they were killed is cleared by the next run, and nothing else is."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from takeoff.basics.manifest import digest_of
from takeoff.write.atomic import write_set

NEW = {"roof_plan.svg": b"a plan", "order_sheet.xlsx": b"an order"}


def leftover(out: Path, name: str = ".takeoff-a1b2c3d_") -> Path:
    """As the writing of former versions was killed between the old set and the new: half of it moved."""
    work = out / name
    for part in ("new", "old"):
        (work / part).mkdir(parents=True)
    (work / "new" / "roof_plan.dxf").write_bytes(b"a plan of the new set")
    whole = {"order_sheet.xlsx": b"an old order", "site_measure.csv": b"blank"}
    for file, data in whole.items():
        (work / "old" / file).write_bytes(data)
    files = {file: digest_of(data) for file, data in whole.items()}
    manifest = {"format": "takeoff-manifest", "version": 1, "job": "old house", "files": files}
    (work / "old" / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")
    return work


def test_it_is_cleared_by_the_next_run(tmp_path: Path) -> None:
    leftover(tmp_path), leftover(tmp_path, ".takeoff-zzzzzzzz")
    written = write_set(NEW, tmp_path, {})
    assert written.kept == ()
    left = {path.name for path in tmp_path.iterdir()} - {".takeoff-lock"}
    assert left == {*NEW, "manifest.json"}


def test_what_was_written_into_the_old_set_is_kept_and_told(tmp_path: Path) -> None:
    work = leftover(tmp_path)
    (work / "old" / "site_measure.csv").write_bytes(b"a morning on the roof")
    written = write_set(NEW, tmp_path, {})
    assert written.kept == (("site_measure.csv", "site_measure.csv.kept-1"),)
    assert (tmp_path / "site_measure.csv.kept-1").read_bytes() == b"a morning on the roof"
    assert not work.exists()


def test_a_manifest_that_is_none_proves_nothing(tmp_path: Path) -> None:
    work = leftover(tmp_path)
    (work / "old" / "manifest.json").write_text("[" * 100_000, encoding="utf-8")
    written = write_set(NEW, tmp_path, {})
    assert {name for name, _ in written.kept} == {"order_sheet.xlsx", "site_measure.csv"}


@pytest.mark.parametrize("what", ["another folder", "another file", "a note", "a link", "another name", "empty"])
def test_what_is_not_surely_one_stays(tmp_path: Path, what: str) -> None:
    work = leftover(tmp_path)
    if what == "another folder":
        (work / "mine").mkdir()
    elif what == "another file":
        (work / "mine.txt").write_bytes(b"mine")
    elif what == "a note":
        (work / "new" / "note.txt").write_bytes(b"mine")
    elif what == "a link":
        (work / "old" / "there.csv").symlink_to(tmp_path)
    elif what == "another name":
        work = work.rename(tmp_path / ".takeoff-Old_One")
    else:
        work = tmp_path / ".takeoff-mine1234"
        work.mkdir()
    before = {path.relative_to(work) for path in work.rglob("*")}
    write_set(NEW, tmp_path, {})
    assert {path.relative_to(work) for path in work.rglob("*")} == before
    assert work.exists()
