"""One file written as people expect of a save: whole or not at all, where a link leads, with the mode it had."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path

from takeoff.basics.errors import UsageError

_NEW = 0o666  # less what the user's own mask takes away
_ONCE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)


def write_whole(path: Path, data: bytes) -> None:
    """Write a file; its folder is made if it is not there. A link stays one, what it leads to is written. The mode, and
    where the system lets us the owner, stay. Raises UsageError where it cannot be written; then it is as it was."""
    try:
        target = Path(os.path.realpath(path))
        before = _before(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        beside = target.with_name(f".{target.name}.saving")
        try:
            _fill(beside, data, before)
            os.replace(beside, target)
        except BaseException:
            with suppress(OSError):
                beside.unlink()
            raise
        _settle(target.parent)
    except OSError as err:
        raise UsageError(f"{path} cannot be written: {err.strerror or err}; it is as it was.") from err


def _before(target: Path) -> os.stat_result | None:
    try:
        found = target.stat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(found.st_mode):
        raise OSError(0, "it is a folder, a device or the like, not a file")
    if not os.access(target, os.W_OK):
        raise PermissionError(0, "the file is read-only")
    return found


def _fill(beside: Path, data: bytes, before: os.stat_result | None) -> None:
    beside.unlink(missing_ok=True)  # of a save that was killed
    with open(os.open(beside, _ONCE, _NEW), "wb") as file:
        if before is not None:
            if hasattr(os, "fchown"):
                with suppress(OSError):
                    os.fchown(file.fileno(), before.st_uid, before.st_gid)
            os.chmod(beside, stat.S_IMODE(before.st_mode))
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _settle(folder: Path) -> None:
    """Bring the name onto the disk, where the system can."""
    with suppress(OSError):
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)
