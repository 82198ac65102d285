"""The lock as it is taken on the system that has another way of locking: by a made-up one of its library."""

from __future__ import annotations

import importlib.util
import os
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from takeoff.write.folder import lock


class Locks(ModuleType):
    """Locks bytes of files by their place, as that library is described; what is locked is not locked again."""

    LK_NBLCK, LK_UNLCK = 2, 0

    def __init__(self) -> None:
        super().__init__("msvcrt")
        self.held: set[tuple[int, int]] = set()

    def locking(self, number: int, mode: int, count: int) -> None:
        place = os.lseek(number, 0, os.SEEK_CUR)
        bytes_ = {(number, place + n) for n in range(count)}
        if mode == self.LK_NBLCK and bytes_ & self.held:
            raise OSError(13, "locked already")
        if mode == self.LK_UNLCK and not bytes_ <= self.held:
            raise OSError(13, "not locked")
        self.held = self.held | bytes_ if mode == self.LK_NBLCK else self.held - bytes_


def test_one_byte_far_behind_the_words_is_locked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """At 2 to the 30th, far past any words; the place in the file is put there before locking and unlocking."""
    locks = Locks()
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setitem(sys.modules, "msvcrt", locks)
    spec = importlib.util.spec_from_file_location("lock_elsewhere", lock.__file__)
    assert spec is not None
    assert spec.loader is not None
    other: Any = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(other)
    path = tmp_path / "lock"
    path.write_text("process 12\n")
    number = os.open(path, os.O_RDWR)
    try:
        os.lseek(number, 5, os.SEEK_SET)
        assert other._take(number)
        assert locks.held == {(number, 2**30)}
        os.lseek(number, 5, os.SEEK_SET)
        assert not other._take(number)
        other._leave(number)
        assert locks.held == set()
    finally:
        os.close(number)
    with other.folder_lock(tmp_path / "folder", 0.0):
        assert {place for _, place in locks.held} == {2**30}
        assert (tmp_path / "folder" / ".takeoff-lock").read_text() == f"process {os.getpid()}\n"
    assert locks.held == set()
    assert not (tmp_path / "folder").exists()
