"""A set is written whole or not at all, wherever a run is stopped: killed after any step, a step that fails, half a
file written, stopped again while the next run puts it right. Every step of the disk is failed in turn."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from takeoff.basics.errors import UsageError
from takeoff.basics.manifest import digest_of, parse_manifest
from takeoff.write.atomic import write_one, write_set
from takeoff.write.folder.disk import Kind, RealDisk

OLD = {"a.txt": b"a of the old set", "b.txt": b"the same in both", "form.csv": b"blank", "gone.svg": b"old drawing",
       "stale.svg": b"old drawing too"}  # fmt: skip
NEW = {"a.txt": b"a of the new set", "b.txt": b"the same in both", "form.csv": b"blank again", "more.dxf": b"new"}
TAPED, NOTED, MINE = b"a morning on the roof", b"old drawing too, with a note", b"my own file"


class Killed(BaseException):
    """The process is dead: nothing after this is done."""


class StoppingDisk(RealDisk):
    """A disk that stops at its k-th step. "killed": before it; "torn": half a file is written, then killed; "fault": that
    step alone fails; "broken": that step and all like it after it fail."""

    def __init__(self, stop_at: int, how: str) -> None:
        self.stop_at, self.how, self.steps, self.dead = stop_at, how, 0, False

    def _step(self) -> bool:
        if self.dead:
            raise Killed
        self.steps += 1
        if self.steps < self.stop_at or (self.steps > self.stop_at and self.how != "broken"):
            return False
        if self.how in ("fault", "broken"):
            raise OSError(28, "No space left on device")
        self.dead = True
        return True

    def kind(self, path: Path) -> Kind:
        if self.dead:
            raise Killed
        return super().kind(path)

    def make_folder(self, path: Path) -> None:
        self._do(super().make_folder, path)

    def write(self, path: Path, data: bytes) -> None:
        if self._step():
            if self.how == "torn":
                path.write_bytes(data[: len(data) // 2])
            raise Killed
        super().write(path, data)

    def move(self, source: Path, target: Path) -> None:
        self._do(super().move, source, target)

    def remove(self, path: Path) -> None:
        self._do(super().remove, path)

    def remove_folder(self, path: Path) -> None:
        self._do(super().remove_folder, path)

    def _do(self, act: Callable[..., None], *paths: Path) -> None:
        if self._step():
            raise Killed
        act(*paths)


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def lived_in(out: Path) -> None:
    """The old set, with a form that was filled in, a drawing with a note on it, and a file of somebody's own."""
    write_set(OLD, out, {"job": "old"})
    (out / "form.csv").write_bytes(TAPED)
    (out / "stale.svg").write_bytes(NOTED)
    (out / "mine.txt").write_bytes(MINE)


def whole_as(out: Path) -> str:
    """Which set the manifest says the folder holds whole: "old", "new", "" for none. Edited files may differ."""
    if not (out / "manifest.json").is_file():
        return ""
    manifest = parse_manifest((out / "manifest.json").read_bytes())
    assert manifest is not None
    for name, digest in manifest.files.items():
        assert (out / name).is_file(), f"{name} is named and not there"
        if digest_of((out / name).read_bytes()) != digest:
            assert manifest.facts["job"] == "old"
            assert (out / name).read_bytes() in (TAPED, NOTED), name
    extra = {name for name in {*OLD, *NEW} if (out / name).exists()} - set(manifest.files)
    assert extra == set(), f"files of another set: {extra}"
    return manifest.facts["job"]


def assert_nothing_lost(out: Path) -> None:
    found = list(contents(out).values())
    for written in (TAPED, NOTED, MINE):
        assert written in found


def assert_new_and_clean(out: Path) -> None:
    assert whole_as(out) == "new"
    found = contents(out)
    assert not [name for name in found if name.startswith(".takeoff")], found.keys()
    assert {name: data for name, data in found.items() if name in NEW} == NEW
    assert set(found) == {*NEW, "manifest.json", "mine.txt", "form.csv.kept-1", "stale.svg.kept-1"}
    assert (found["form.csv.kept-1"], found["stale.svg.kept-1"], found["mine.txt"]) == (TAPED, NOTED, MINE)


def steps_of_a_run(tmp_path: Path) -> int:
    out = tmp_path / "counted"
    lived_in(out)
    disk = StoppingDisk(10**9, "killed")
    write_set(NEW, out, {"job": "new"}, disk)
    assert_new_and_clean(out)
    return disk.steps


@pytest.mark.parametrize("how", ["killed", "torn"])
def test_killed_at_every_step(tmp_path: Path, how: str) -> None:
    steps = steps_of_a_run(tmp_path)
    assert steps > 25
    seen = set()
    for stop_at in range(1, steps + 1):
        out = tmp_path / f"{how}{stop_at}"
        lived_in(out)
        with pytest.raises(Killed):
            write_set(NEW, out, {"job": "new"}, StoppingDisk(stop_at, how))
        seen.add(whole_as(out))
        assert_nothing_lost(out)
        write_set(NEW, out, {"job": "new"})
        assert_new_and_clean(out)
    assert seen == {"old", "", "new"}


def test_killed_again_while_the_next_run_puts_it_right(tmp_path: Path) -> None:
    steps = steps_of_a_run(tmp_path)
    for first in range(1, steps + 1, 3):
        killed = tmp_path / f"first{first}"
        lived_in(killed)
        with pytest.raises(Killed):
            write_set(NEW, killed, {"job": "new"}, StoppingDisk(first, "killed"))
        for again in range(1, 16, 3):
            out = tmp_path / "again"
            shutil.rmtree(out, ignore_errors=True)
            shutil.copytree(killed, out)
            with pytest.raises(Killed):
                write_set(NEW, out, {"job": "new"}, StoppingDisk(again, "killed"))
            whole_as(out)
            assert_nothing_lost(out)
            write_set(NEW, out, {"job": "new"})
            assert_new_and_clean(out)


def test_the_next_run_may_be_of_another_job(tmp_path: Path) -> None:
    other = {"a.txt": b"a third house", "plan.dxf": b"third"}
    for stop_at in range(1, steps_of_a_run(tmp_path) + 1):
        out = tmp_path / str(stop_at)
        lived_in(out)
        with pytest.raises(Killed):
            write_set(NEW, out, {"job": "new"}, StoppingDisk(stop_at, "killed"))
        write_set(other, out, {"job": "third"})
        found = contents(out)
        assert {n: d for n, d in found.items() if n in {*OLD, *NEW, *other}} == other
        assert_nothing_lost(out)
        assert not [name for name in found if name.startswith(".takeoff")]


def test_the_same_set_again(tmp_path: Path) -> None:
    for stop_at in range(1, 40):
        out = tmp_path / str(stop_at)
        write_set(NEW, out, {"job": "new"})
        before = contents(out)
        try:
            write_set(NEW, out, {"job": "new"}, StoppingDisk(stop_at, "killed"))
        except Killed:
            assert whole_as(out) in ("", "new")
            write_set(NEW, out, {"job": "new"})
        assert contents(out) == before


@pytest.mark.parametrize("how", ["fault", "broken"])
def test_a_step_that_fails_changes_nothing_or_the_message_says_so(tmp_path: Path, how: str) -> None:
    unsaid = 0
    for stop_at in range(1, steps_of_a_run(tmp_path) + 1):
        out = tmp_path / f"{how}{stop_at}"
        lived_in(out)
        before = contents(out)
        said = ""
        try:
            write_set(NEW, out, {"job": "new"}, StoppingDisk(stop_at, how))
        except UsageError as err:
            said = str(err)
        if not said:
            assert whole_as(out) == "new"  # cleaning up failed: the next run does it
        elif "not whole" in said:
            assert how == "broken"
        else:
            assert "No space left on device" in said
            assert contents(out) == before
            unsaid += 1
        assert_nothing_lost(out)
        write_set(NEW, out, {"job": "new"})
        assert_new_and_clean(out)
    assert unsaid > (20 if how == "fault" else 0)


def test_a_file_open_elsewhere_is_named_and_nothing_changes(tmp_path: Path) -> None:
    lived_in(tmp_path)
    before = contents(tmp_path)

    class Busy(RealDisk):
        def move(self, source: Path, target: Path) -> None:
            if source == tmp_path / "b.txt":
                raise PermissionError(13, "The process cannot access the file", str(source))
            super().move(source, target)

    with pytest.raises(UsageError, match=r"b\.txt cannot be written to.*open in another program.*nothing was changed"):
        write_set(NEW, tmp_path, {"job": "new"}, Busy())
    assert contents(tmp_path) == before


def test_what_somebody_does_after_a_kill_stays(tmp_path: Path) -> None:
    """Between the kill and the next run somebody writes into files that were placed, and makes some of their own."""
    for stop_at in range(1, steps_of_a_run(tmp_path) + 1):
        out = tmp_path / str(stop_at)
        lived_in(out)
        with pytest.raises(Killed):
            write_set(NEW, out, {"job": "new"}, StoppingDisk(stop_at, "killed"))
        (out / "a.txt").write_bytes(b"written after the kill")
        write_set(NEW, out, {"job": "new"})
        assert b"written after the kill" in contents(out).values()
        assert_nothing_lost(out)
        assert whole_as(out) == "new"


def test_one_file_is_whole_at_every_step_and_what_was_there_stays(tmp_path: Path) -> None:
    for stop_at in range(1, 9):
        folder = tmp_path / str(stop_at)
        folder.mkdir()
        (folder / "list.xlsx").write_bytes(MINE)
        try:
            write_one(folder / "list.xlsx", b"differences", StoppingDisk(stop_at, "torn"))
        except Killed:
            assert MINE in contents(folder).values()
            write_one(folder / "list.xlsx", b"differences")
        found = contents(folder)
        assert found.pop("list.xlsx") == b"differences"
        assert set(found.values()) == {MINE}
        assert all(name.startswith("list.xlsx.kept-") for name in found)
