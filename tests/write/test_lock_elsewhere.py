"""The lock as it is taken on systems that lock bytes of a file: the same code run over a stand-in for their library."""

from __future__ import annotations

import importlib.util
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from takeoff.basics.errors import UsageError
from takeoff.write.folder import lock as here

FAR = 1 << 30  # far behind the words: what is locked cannot be read there


class Bytes(ModuleType):
    """Locks one byte of a file at the place the file stands at, as that library does; a second holder is refused."""

    LK_NBLCK, LK_UNLCK = 2, 0

    def __init__(self) -> None:
        super().__init__("msvcrt")
        self.held: dict[int, int] = {}

    def locking(self, number: int, mode: int, count: int) -> None:
        assert count == 1
        assert os.lseek(number, 0, os.SEEK_CUR) == FAR
        file = os.fstat(number).st_ino
        if mode == self.LK_UNLCK:
            assert self.held.pop(file) == number
        elif file in self.held:
            raise PermissionError(13, "Permission denied")
        else:
            self.held[file] = number


@pytest.fixture
def lock(monkeypatch: pytest.MonkeyPatch) -> Iterator[ModuleType]:
    monkeypatch.setitem(sys.modules, "msvcrt", Bytes())
    monkeypatch.setattr(sys, "platform", "win32")
    spec = importlib.util.spec_from_file_location("lock_elsewhere", here.__file__)
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    yield made
    assert sys.modules["msvcrt"].held == {}  # type: ignore[attr-defined]


def test_one_run_at_a_time_and_the_other_is_named(lock: ModuleType, tmp_path: Path) -> None:
    out = tmp_path / "order"
    with lock.folder_lock(out):
        assert lock.writer_of(out) == f"process {os.getpid()}"
        with pytest.raises(UsageError, match=f"is being written by process {os.getpid()}; wait"):
            lock.folder_lock(out, 0.0).__enter__()
        (out / "a.txt").write_bytes(b"a")
    assert [path.name for path in out.iterdir()] == ["a.txt"]
    assert lock.writer_of(out) == ""
    with lock.folder_lock(out):
        pass


def test_a_lock_of_a_run_that_was_killed_is_taken_over(lock: ModuleType, tmp_path: Path) -> None:
    (tmp_path / lock.LOCK).write_bytes(b"process 123456\n")
    with lock.folder_lock(tmp_path):
        assert (tmp_path / lock.LOCK).read_bytes() == f"process {os.getpid()}\n".encode()


def test_a_file_of_others_under_its_name_is_refused_and_stays(lock: ModuleType, tmp_path: Path) -> None:
    (tmp_path / lock.LOCK).write_bytes(b"my own notes")
    with pytest.raises(UsageError, match="was not written by this program"):
        lock.folder_lock(tmp_path).__enter__()
    assert (tmp_path / lock.LOCK).read_bytes() == b"my own notes"
