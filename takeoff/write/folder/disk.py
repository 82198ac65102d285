"""The few things that are done with files while a set is written, behind one door.

Everything that changes a folder goes through a `Disk`, so that a test can stop it after any step.
"""

from __future__ import annotations

import errno
import os
import stat
from enum import Enum
from hashlib import sha256
from pathlib import Path
from typing import Protocol

_CHUNK = 1 << 20
MOST_BYTES = 1_000_000_000  # a larger file was not written by this program, whatever is in it


class Kind(Enum):
    """What lies under a name."""

    NOTHING = "nothing"
    FILE = "file"
    FOLDER = "folder"
    OTHER = "link, device or pipe"


class Disk(Protocol):
    """Files and folders. Everything may raise OSError; then that one step was not done."""

    def kind(self, path: Path) -> Kind:
        """What lies under a name; links are not followed."""
        ...

    def names(self, folder: Path) -> tuple[str, ...]:
        """What is in a folder, sorted."""
        ...

    def read(self, path: Path, most: int) -> bytes:
        """At most `most` bytes of a file and one more."""
        ...

    def digest(self, path: Path) -> str:
        """The hash of a file; "" for one larger than any of ours."""
        ...

    def make_folder(self, path: Path) -> None:
        """Make one folder."""
        ...

    def write(self, path: Path, data: bytes) -> None:
        """Write a file that is not there yet; it is on the disk when this returns."""
        ...

    def move(self, source: Path, target: Path) -> None:
        """Give a file another name, in one step; what had that name is gone."""
        ...

    def remove(self, path: Path) -> None:
        """Remove a file."""
        ...

    def remove_folder(self, path: Path) -> None:
        """Remove an empty folder."""
        ...

    def settle(self, folder: Path) -> None:
        """Bring the names in a folder onto the disk, where the system can."""
        ...


class RealDisk:
    """The disk of this machine."""

    def kind(self, path: Path) -> Kind:
        """What lies under a name; links are not followed."""
        try:
            mode = path.lstat().st_mode
        except (FileNotFoundError, NotADirectoryError):
            return Kind.NOTHING
        if stat.S_ISREG(mode):
            return Kind.FILE
        return Kind.FOLDER if stat.S_ISDIR(mode) else Kind.OTHER

    def names(self, folder: Path) -> tuple[str, ...]:
        """What is in a folder, sorted."""
        return tuple(sorted(os.listdir(folder)))

    def read(self, path: Path, most: int) -> bytes:
        """At most `most` bytes of a file and one more."""
        with open(path, "rb") as stream:
            return stream.read(most + 1)

    def digest(self, path: Path) -> str:
        """The hash of a file; "" for one larger than any of ours."""
        if path.stat().st_size > MOST_BYTES:
            return ""
        total = sha256()
        with open(path, "rb") as stream:
            while chunk := stream.read(_CHUNK):
                total.update(chunk)
        return total.hexdigest()

    def make_folder(self, path: Path) -> None:
        """Make one folder."""
        path.mkdir()

    def write(self, path: Path, data: bytes) -> None:
        """Write a file that is not there yet; it is on the disk when this returns."""
        with open(path, "xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())

    def move(self, source: Path, target: Path) -> None:
        """Give a file another name, in one step; what had that name is gone."""
        os.replace(source, target)

    def remove(self, path: Path) -> None:
        """Remove a file."""
        path.unlink()

    def remove_folder(self, path: Path) -> None:
        """Remove an empty folder."""
        path.rmdir()

    def settle(self, folder: Path) -> None:
        """Bring the names in a folder onto the disk, where the system can."""
        try:
            number = os.open(folder, os.O_RDONLY)
        except PermissionError:  # some systems do not open folders
            return
        try:
            os.fsync(number)
        except OSError as err:
            if err.errno not in (errno.EINVAL, errno.ENOTSUP, errno.EBADF):
                raise
        finally:
            os.close(number)
