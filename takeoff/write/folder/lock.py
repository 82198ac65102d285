"""One run at a time writes into a folder: the operating system's lock, which dies with its process.

The lock is held on a small hidden file that says which process it is; the file is removed with the lock, and a file
left by a process that was killed is simply taken over.
"""

from __future__ import annotations

import os
import re
import stat
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from takeoff.basics.errors import UsageError

LOCK = ".takeoff-lock"
WAIT_S = 5.0  # a set is written in a second or two
_PAUSE_S = 0.05
_MOST_WORDS = 100
_WORDS = re.compile(rb"process [0-9]+\n?$")

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 30  # what is locked cannot be read there, so a byte behind the words is

    def _take(number: int) -> bool:
        os.lseek(number, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _leave(number: int) -> None:
        os.lseek(number, _FAR, os.SEEK_SET)
        msvcrt.locking(number, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _take(number: int) -> bool:
        try:
            fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _leave(number: int) -> None:
        fcntl.flock(number, fcntl.LOCK_UN)


@contextmanager
def folder_lock(folder: Path, wait_s: float = WAIT_S) -> Iterator[None]:
    """Make `folder` where it is not there, and hold its lock. Folders made are removed again if they end empty.

    Raises UsageError where another process holds the lock for longer than `wait_s`, naming it, or a foreign file has
    the lock's name; OSError where the folder cannot be made or written to.
    """

    def busy(who: str) -> str:
        return f"{folder} is being written by {who}; wait until it is done, then run again"

    with file_lock(folder / LOCK, busy, wait_s):
        yield


@contextmanager
def file_lock(lock: Path, busy: Callable[[str], str], wait_s: float = 0.0) -> Iterator[None]:
    """As `folder_lock`, with a file of any name; `busy` says, given who holds it, what UsageError says."""
    made: list[Path] = []
    number = _locked(lock, time.monotonic() + wait_s, made, busy)
    try:
        yield
    finally:
        with suppress(OSError):
            lock.unlink()
        with suppress(OSError):
            _leave(number)
        os.close(number)
        if sys.platform == "win32":  # an open file cannot be removed there, nor one that another run has open
            with suppress(OSError):
                lock.unlink()
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir()


def writer_of(folder: Path) -> str:
    """Which process is writing into a folder, "" for none. Changes nothing."""
    path = folder / LOCK
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            return ""
        number = os.open(path, os.O_RDWR | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    except OSError:
        return ""
    try:
        if not _take(number):
            return _words(path)
        _leave(number)
        return ""
    finally:
        os.close(number)


def _locked(lock: Path, until: float, made: list[Path], busy: Callable[[str], str]) -> int:
    while True:
        _make(lock.parent, made)
        number = _open(lock)
        if number is not None:
            if _take(number):
                if _is_still(number, lock):
                    return _signed(number, lock)
                _leave(number)
            os.close(number)
        if time.monotonic() > until:
            raise UsageError(busy(_words(lock)))
        time.sleep(_PAUSE_S)


def _signed(number: int, path: Path) -> int:
    """The lock's file with this process written into it. Raises UsageError for a file that holds anything else."""
    os.lseek(number, 0, os.SEEK_SET)  # locking may have left it elsewhere
    words = os.read(number, _MOST_WORDS)
    if words and not _WORDS.match(words):
        _leave(number)
        os.close(number)
        raise UsageError(f"{path} was not written by this program; move it, or name another folder")
    os.ftruncate(number, 0)
    os.lseek(number, 0, os.SEEK_SET)
    os.write(number, f"process {os.getpid()}\n".encode("ascii"))
    return number


def _make(folder: Path, made: list[Path]) -> None:
    missing = [path for path in (folder, *folder.parents) if not os.path.lexists(path)]
    for path in reversed(missing):
        with suppress(FileExistsError):
            path.mkdir()
            if path not in made:
                made.append(path)


def _open(path: Path) -> int | None:
    """The lock's file, opened; None where its folder has just been removed by the run that had made it."""
    if os.path.lexists(path) and not stat.S_ISREG(path.lstat().st_mode):
        raise UsageError(f"{path} was not written by this program; move it, or name another folder")
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        return os.open(path, flags, 0o666)
    except FileNotFoundError:
        return None


def _is_still(number: int, path: Path) -> bool:
    """Whether the file that was locked still has that name: its last holder may have removed it."""
    try:
        return os.path.samestat(os.fstat(number), path.lstat())
    except OSError:
        return False


def _words(lock: Path) -> str:
    try:
        with open(lock, "rb") as stream:
            words = stream.read(_MOST_WORDS)
    except OSError:
        words = b""
    return words.decode("ascii").strip() if _WORDS.match(words) else "another process"
