"""What a run finds in an order folder and what it leaves there, state by state: every name and every byte."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.basics.manifest import Manifest, digest_of
from takeoff.write.atomic import write_one
from takeoff.write.folder import disk as disk_module
from takeoff.write.folder import former, lock, plan, swap
from takeoff.write.folder.disk import Kind, RealDisk
from takeoff.write.folder.plan import Plan, free_name, parse_plan, plan_set

DISK = RealDisk()
WORK, OLD, NEW = ".takeoff-work", ".takeoff-work/old", ".takeoff-work/new"
State = dict[str, str | None]  # bytes of a file as text, None for a folder


def laid(out: Path, state: State) -> None:
    for name, text in state.items():
        path = out / name
        if text is None:
            path.mkdir(parents=True, exist_ok=True)
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="ascii")


def lies(out: Path) -> State:
    """Every file, and every folder that is empty."""
    return {
        path.relative_to(out).as_posix(): path.read_text(encoding="ascii") if path.is_file() else None
        for path in sorted(out.rglob("*"))
        if path.is_file() or not any(path.iterdir())
    }


def of(text: str) -> str:
    return digest_of(text.encode("ascii"))


# a and the manifest go and come; gone goes; more comes; form was written in and stays as form.kept-1
PLAN = Plan(
    {"a": of("old a"), "gone": of("old gone"), "manifest.json": of("old list")},
    {"form": of("my form")},
    {"form": "form.kept-1"},
    {"a": of("new a"), "more": of("new more"), "form": of("new form"), "manifest.json": of("new list")},
)
JOURNAL = PLAN.to_bytes().decode("ascii")
BEGUN: State = {f"{WORK}/journal.json": JOURNAL, NEW: None, OLD: None}
COME: State = {
    f"{NEW}/a": "new a",
    f"{NEW}/more": "new more",
    f"{NEW}/form": "new form",
    f"{NEW}/manifest.json": "new list",
}
BEFORE: State = {"a": "old a", "gone": "old gone", "manifest.json": "old list", "form": "my form", "mine": "my own"}
AFTER: State = {
    "a": "new a", "more": "new more", "form": "new form", "manifest.json": "new list", "form.kept-1": "my form",
    "mine": "my own",
}  # fmt: skip
OUT: State = {f"{OLD}/a": "old a", f"{OLD}/gone": "old gone", f"{OLD}/manifest.json": "old list"}


def without(state: State, *names: str) -> State:
    return {name: text for name, text in state.items() if name not in names}


STATES: dict[str, tuple[State, State, tuple[str, ...]]] = {
    "nothing was begun": (BEFORE, BEFORE, ()),
    "an empty folder": ({**BEFORE, WORK: None}, BEFORE, ()),
    "half a journal": ({**BEFORE, f"{WORK}/journal.new": "{"}, BEFORE, ()),
    "a journal alone": ({**BEFORE, f"{WORK}/journal.json": JOURNAL}, BEFORE, ()),
    "all laid ready": ({**BEFORE, **BEGUN, **COME}, BEFORE, ()),
    "half of it laid ready": ({**BEFORE, **BEGUN, f"{NEW}/a": "new a"}, BEFORE, ()),
    "the old list is out": (
        {**without(BEFORE, "manifest.json"), **BEGUN, **COME, f"{OLD}/manifest.json": "old list"}, BEFORE, ()
    ),
    "all old ones are out": ({"form": "my form", "mine": "my own", **BEGUN, **COME, **OUT}, BEFORE, ()),
    "the form is kept": ({"form.kept-1": "my form", "mine": "my own", **BEGUN, **COME, **OUT}, BEFORE, ()),
    "all but the list came in": (
        {**without(AFTER, "manifest.json"), **BEGUN, **OUT, f"{NEW}/manifest.json": "new list"}, BEFORE, ()
    ),
    "the list came in": ({**AFTER, **BEGUN, **OUT}, AFTER, ()),
    "half is cleared": ({**AFTER, **BEGUN, f"{OLD}/gone": "old gone"}, AFTER, ()),
    "a folder is cleared": ({**AFTER, f"{WORK}/journal.json": JOURNAL, NEW: None}, AFTER, ()),
    "somebody wrote where an old one goes back": (
        {"a": "mine now", "form": "my form", "mine": "my own", **BEGUN, **COME, **OUT},
        {**BEFORE, "a.kept-1": "mine now"},
        ("a.kept-1",),
    ),
    "somebody wrote into a new one": (
        {**without(AFTER, "manifest.json"), "more": "and I", **BEGUN, **OUT, f"{NEW}/manifest.json": "new list"},
        {**BEFORE, "more": "and I"},
        (),
    ),
    "somebody wrote into an old one that is out": (
        {**AFTER, **BEGUN, **OUT, f"{OLD}/gone": "old gone, and I"},
        {**AFTER, "gone.kept-1": "old gone, and I"},
        ("gone.kept-1",),
    ),
    "somebody wrote into what was kept": (
        {"form.kept-1": "my form, and I", "mine": "my own", **BEGUN, **COME, **OUT},
        {**without(BEFORE, "form"), "form.kept-1": "my form, and I"},
        (),
    ),
    "somebody wrote a form anew": (
        {"form.kept-1": "my form", "form": "another", "mine": "my own", **BEGUN, **COME, **OUT},
        {**BEFORE, "form": "another", "form.kept-1": "my form"},
        (),
    ),
    "an old one like the new one still stands": (
        {**BEFORE, "a": "new a", **BEGUN, **without(COME, f"{NEW}/a")}, {**BEFORE, "a": "new a"}, ()
    ),
}  # fmt: skip


@pytest.mark.parametrize(("state", "left", "kept"), STATES.values(), ids=list(STATES))
def test_what_a_run_left_is_put_right(tmp_path: Path, state: State, left: State, kept: tuple[str, ...]) -> None:
    laid(tmp_path, state)
    assert swap.put_right(DISK, tmp_path) == kept
    assert lies(tmp_path) == left
    assert swap.put_right(DISK, tmp_path) == ()


@pytest.mark.parametrize(
    "state",
    [
        {WORK: "a file"},
        {f"{WORK}/mine": "mine"},
        {f"{WORK}/journal.new": None},
        {f"{WORK}/journal.new": "{", f"{WORK}/mine": "mine"},
        {f"{WORK}/journal.json": "{}"},
        {f"{WORK}/journal.json": None},
    ],
)
def test_work_that_is_not_ours_stays_and_is_named(tmp_path: Path, state: State) -> None:
    laid(tmp_path, state)
    with pytest.raises(UsageError) as stopped:
        swap.put_right(DISK, tmp_path)
    words = f"{tmp_path / WORK} was not written by this program; move it, or name another folder with --out"
    assert str(stopped.value) == words
    assert lies(tmp_path) == state


def test_a_set_is_laid_ready_and_exchanged(tmp_path: Path) -> None:
    laid(tmp_path, BEFORE)
    files = {"a": b"new a", "more": b"new more", "form": b"new form", "manifest.json": b"new list"}
    swap.prepare(DISK, tmp_path, PLAN, files)
    assert lies(tmp_path) == {**BEFORE, **without(BEGUN, NEW), **COME}
    swap.exchange(DISK, tmp_path, PLAN)
    assert lies(tmp_path) == {**AFTER, **without(BEGUN, OLD), **OUT}


def test_what_is_kept_is_kept_once(tmp_path: Path) -> None:
    """A form that was taken away meanwhile is not kept; nothing stands in its place."""
    laid(tmp_path, without(BEFORE, "form"))
    swap.prepare(DISK, tmp_path, PLAN, {"a": b"1", "more": b"2", "form": b"3", "manifest.json": b"4"})
    swap.exchange(DISK, tmp_path, PLAN)
    assert "form.kept-1" not in lies(tmp_path)


# ------------------------------------------------------------------------- plan


def listed(**files: str) -> str:
    return Manifest({name: of(text) for name, text in files.items()}).to_bytes().decode("ascii")


def test_what_will_be_done_to_every_name(tmp_path: Path) -> None:
    """a is as it was written, b was changed since, c is the same in both, d was taken away, e is no more wanted and was
    changed, f is no more wanted, g lies there as it is to come though no list names it."""
    manifest = listed(a="a", b="b", c="c", d="d", e="e", f="f")
    laid(tmp_path, {"manifest.json": manifest, "a": "a", "b": "mine", "c": "c", "e": "my e", "f": "f", "g": "new g"})
    after = {"a": of("new a"), "b": of("new b"), "c": of("c"), "g": of("new g"), "manifest.json": of("list")}
    assert plan_set(DISK, tmp_path, after) == Plan(
        {"a": of("a"), "c": of("c"), "g": of("new g"), "manifest.json": of(manifest), "f": of("f")},
        {"b": of("mine"), "e": of("my e")},
        {"b": "b.kept-1", "e": "e.kept-1"},
        after,
    )


NO_LIST = (
    "{out}/manifest.json is not as this program writes it, so nobody can tell which files here are its own; move it, or "
    "name another folder with --out"
)


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ({"a": None}, "{out}/a is a folder, not a file of ours; move it, or name another folder"),
        ({"a": "mine"}, "{out}/a was not written by this program; move it, or name another folder with --out"),
        ({"manifest.json": "{}"}, NO_LIST),
        ({"manifest.json": None}, NO_LIST),
    ],
)  # fmt: skip
def test_what_is_not_ours_stops_the_run(tmp_path: Path, state: State, words: str) -> None:
    laid(tmp_path, state)
    with pytest.raises(UsageError) as stopped:
        plan_set(DISK, tmp_path, {"a": of("new a")})
    assert str(stopped.value) == words.format(out=tmp_path)


def test_a_link_is_not_ours(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path)
    with pytest.raises(UsageError) as stopped:
        plan_set(DISK, tmp_path, {"link": ""})
    words = f"{tmp_path}/link is a link, device or pipe, not a file of ours; move it, or name another folder"
    assert str(stopped.value) == words


def test_the_least_number_that_nothing_has(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert free_name(DISK, tmp_path, "form") == "form.kept-1"
    laid(tmp_path, {"form.kept-1": "", "form.kept-3": None, "other.kept-2": ""})
    assert free_name(DISK, tmp_path, "form") == "form.kept-2"
    monkeypatch.setattr(plan, "MOST_KEPT", 3)
    laid(tmp_path, {"form.kept-2": ""})
    with pytest.raises(UsageError) as stopped:
        free_name(DISK, tmp_path, "form")
    assert str(stopped.value) == f"{tmp_path}/form was changed since it was written and there are 3 kept of it already"
    monkeypatch.setattr(plan, "MOST_KEPT", 4)
    assert free_name(DISK, tmp_path, "form") == "form.kept-4"


def test_a_journal_reads_back_and_nothing_else_does() -> None:
    assert parse_plan(PLAN.to_bytes()) == PLAN
    bad = Plan(PLAN.before, PLAN.changed, {"form": "../form"}, PLAN.after)
    assert parse_plan(bad.to_bytes()) is None
    assert parse_plan(Plan(PLAN.before, PLAN.changed, PLAN.kept, {"../a": ""}).to_bytes()) is None
    assert parse_plan(Manifest({}).to_bytes()) is None


# ----------------------------------------------------------------------- former


def test_an_old_set_whose_list_is_of_another_kind_proves_nothing(tmp_path: Path) -> None:
    work = ".takeoff-a1b2c3d4"
    files = {"a.csv": of("a"), "b.csv": of("b")}
    for body, kept in (
        ({"format": "takeoff-manifest", "files": files}, ("b.csv.kept-1",)),
        ({"format": "other", "files": files}, ("a.csv.kept-1", "b.csv.kept-1")),
        ({"format": "takeoff-manifest", "files": [1]}, ("a.csv.kept-1", "b.csv.kept-1")),
        ([1], ("a.csv.kept-1", "b.csv.kept-1")),
    ):
        out = tmp_path / str(len(list(tmp_path.iterdir())))
        old = {f"{work}/old/a.csv": "a", f"{work}/old/b.csv": "my b", f"{work}/old/manifest.json": json.dumps(body)}
        laid(out, {**old, f"{work}/new/c.csv": "mine or not", "a.csv": "stands"})
        assert former.clear_former(DISK, out) == kept
        texts = {"a.csv.kept-1": "a", "b.csv.kept-1": "my b"}
        assert lies(out) == {"a.csv": "stands", **{name: texts[name] for name in kept}}


@pytest.mark.parametrize(
    ("state", "ours"),
    [
        ({"w/new": None}, True),
        ({"w/old/a.xlsx": ""}, True),
        ({"w/old/a.pdf": ""}, False),
        ({"w/old/.a.csv": ""}, False),
        ({"w/old/a.csv": None}, False),
        ({"w/new": "a file"}, False),
        ({"w/new": None, "w/mine": None}, False),
        ({"w": None}, False),
        ({"w": "a file"}, False),
    ],
)
def test_which_hidden_folder_is_surely_one(tmp_path: Path, state: State, ours: bool) -> None:
    laid(tmp_path, state)
    assert former._is_ours(DISK, tmp_path / "w") is ours


# ------------------------------------------------------------------ disk and lock


def test_what_lies_under_a_name_and_what_is_in_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    laid(tmp_path, {"b": "four", "a": None})
    (tmp_path / "c").symlink_to(tmp_path / "b")
    kinds = [DISK.kind(tmp_path / name) for name in ("a", "b", "c", "d", "b/e")]
    assert kinds == [Kind.FOLDER, Kind.FILE, Kind.OTHER, Kind.NOTHING, Kind.NOTHING]
    assert DISK.names(tmp_path) == ("a", "b", "c")
    assert [DISK.read(tmp_path / "b", most) for most in (2, 3, 9)] == [b"fou", b"four", b"four"]
    for most, digest in ((3, ""), (4, of("four"))):
        monkeypatch.setattr(disk_module, "MOST_BYTES", most)
        assert DISK.digest(tmp_path / "b") == digest
    DISK.settle(tmp_path)
    with pytest.raises(FileExistsError):
        DISK.write(tmp_path / "b", b"")


def test_the_lock_says_who_holds_it(tmp_path: Path) -> None:
    path = tmp_path / "new" / "folder"
    own = f"process {os.getpid()}"
    with lock.folder_lock(path):
        assert lies(tmp_path) == {"new/folder/.takeoff-lock": f"{own}\n"}
        assert lock.writer_of(path) == own
        with pytest.raises(UsageError) as stopped, lock.folder_lock(path, 0.0):
            raise AssertionError
        assert str(stopped.value) == f"{path} is being written by {own}; wait until it is done, then run again"
        assert lock._words(path / "nothing") == "another process"
    assert lies(tmp_path) == {}
    assert lock.writer_of(path) == ""


@pytest.mark.parametrize(
    ("words", "ours"),
    [("process 12\n", True), ("process 12", True), ("", True), ("process x", False), ("mine", False), ("process 1\n2", False)],
)  # fmt: skip
def test_a_file_with_the_locks_name(tmp_path: Path, words: str, ours: bool) -> None:
    """What a killed run left is taken over; anything else is somebody's own and stays."""
    laid(tmp_path, {".takeoff-lock": words})
    assert lock.writer_of(tmp_path) == ""
    if ours:
        with lock.folder_lock(tmp_path, 0.0):
            assert (tmp_path / ".takeoff-lock").read_text() == f"process {os.getpid()}\n"
        assert lies(tmp_path) == {}
        return
    with pytest.raises(UsageError) as stopped, lock.folder_lock(tmp_path, 0.0):
        raise AssertionError
    assert (
        str(stopped.value)
        == f"{tmp_path}/.takeoff-lock was not written by this program; move it, or name another folder"
    )
    assert "Lock" not in str(stopped.value)


def test_a_lock_that_is_a_link_is_not_ours(tmp_path: Path) -> None:
    (tmp_path / "there").write_text("")
    (tmp_path / ".takeoff-lock").symlink_to(tmp_path / "there")
    assert lock.writer_of(tmp_path) == ""
    with pytest.raises(UsageError, match="was not written by this program"), lock.folder_lock(tmp_path, 0.0):
        raise AssertionError


# --------------------------------------------------------------------- one file


@pytest.mark.parametrize(
    ("state", "kept", "left"),
    [
        ({}, "", {"x.csv": "new"}),
        ({"x.csv": "new"}, "", {"x.csv": "new"}),
        ({"x.csv": "mine"}, "x.csv.kept-1", {"x.csv": "new", "x.csv.kept-1": "mine"}),
        ({".x.csv.takeoff-new": "ne"}, "", {"x.csv": "new"}),
        ({"x.csv": "mine", "x.csv.kept-1": "1"}, "x.csv.kept-2", {"x.csv": "new", "x.csv.kept-1": "1", "x.csv.kept-2": "mine"}),
    ],
)  # fmt: skip
def test_one_file(tmp_path: Path, state: Any, kept: str, left: Any) -> None:
    laid(tmp_path, state)
    written = write_one(tmp_path / "x.csv", b"new")
    assert (written.path, written.kept) == (tmp_path / "x.csv", kept)
    assert lies(tmp_path) == left


@pytest.mark.parametrize("state", [{}, {"x.csv": "mine"}])
def test_one_file_that_cannot_come_leaves_what_was_there(tmp_path: Path, state: Any) -> None:
    class Full(RealDisk):
        def move(self, source: Path, target: Path) -> None:
            if source.name.startswith(".x"):
                raise PermissionError(13, "Permission denied", str(target))
            super().move(source, target)

    laid(tmp_path, state)
    with pytest.raises(UsageError) as stopped:
        write_one(tmp_path / "x.csv", b"new", Full())
    words = (
        f"{tmp_path}/x.csv cannot be written to: Permission denied, is it open in another program?; nothing was changed"
    )
    assert str(stopped.value) == words
    assert lies(tmp_path) == state
    with pytest.raises(UsageError, match="is a folder; name a file"):
        write_one(tmp_path, b"")
    (tmp_path / "y.csv").symlink_to(tmp_path / "none")
    with pytest.raises(UsageError, match="is a link, device or pipe, not a file; name another"):
        write_one(tmp_path / "y.csv", b"")
