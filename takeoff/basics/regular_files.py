"""Reading files of others: files only, never devices or pipes, and never more than a bound and one byte."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from takeoff.basics.errors import UnreadableFileError

_CHUNK = 1 << 20


def read_bounded(path: Path, most: int, what: str) -> bytes:
    """All bytes of a file that may hold `most` of them; `what` says in messages what it should be ("list").

    Raises UnreadableFileError where there is no such file, for folders, devices, pipes and links to them, for names
    that no file can have, and for files with more bytes, of which no more than one is read.
    """
    with _told(path), _open(path, what, buffering=0) as stream:
        data = _read(stream, most)
    if len(data) > most:
        raise UnreadableFileError(f"{path}: more than the {most:,} bytes a {what} can be")
    return data


@contextmanager
def opened(path: Path, what: str) -> Iterator[BinaryIO]:
    """A file of others opened to be read piece by piece, with the same refusals as `read_bounded`, but no bound."""
    with _told(path):
        stream = _open(path, what)
    with stream:
        yield stream


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """What the system says against a file, as a sentence."""
    try:
        yield
    except FileNotFoundError:
        raise UnreadableFileError(f"{path}: there is no such file; check its name") from None
    except UnreadableFileError:
        raise
    except OSError as err:
        raise UnreadableFileError(f"{path}: cannot be read: {err.strerror or err}") from None
    except ValueError as err:  # a zero byte in its name
        raise UnreadableFileError(f"{str(path)!r}: is no name a file can have: {err}") from None


def _open(path: Path, what: str, buffering: int = -1) -> BinaryIO:
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise UnreadableFileError(f"{path}: is a folder; name the {what} in it")
    if not stat.S_ISREG(mode):
        raise UnreadableFileError(f"{path}: is a device, a pipe or the like, not a file with a {what}")
    # between looking and opening it may have become a pipe: opened so that nothing waits for its other end
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    stream = open(os.open(path, flags), "rb", buffering=buffering)  # noqa: SIM115
    if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
        stream.close()
        raise OSError("is no file any more")
    return stream


def _read(stream: BinaryIO, most: int) -> bytes:
    found: list[bytes] = []
    left = most + 1
    while left > 0 and (chunk := stream.read(min(left, _CHUNK))):
        found.append(chunk)
        left -= len(chunk)
    return b"".join(found)
