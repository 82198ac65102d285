"""The job file while it is worked on: its text, every step back, and a copy that outlives a crash.

The file itself is written by an explicit save alone. Until then each step is kept in a hidden file beside it, which the
next start finds; a save takes that away.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from takeoff.basics.errors import UsageError
from takeoff.basics.manifest import digest_of
from takeoff.read.job.job_file import read_text


@dataclass(frozen=True, slots=True)
class Step:
    """A state of the text, and in words what led to it."""

    text: str
    said: str


@dataclass(slots=True)
class WorkingCopy:
    """The text of a job file as it is worked on. `saved`: what stands in the file, None where there is none yet;
    `restored`: whether it was found again after a crash."""

    path: Path
    saved: str | None
    steps: list[Step]
    at: int = 0
    restored: bool = False
    _marked: str | None = field(default=None, repr=False)

    @classmethod
    def opened(cls, path: Path, otherwise: str) -> WorkingCopy:
        """The job file at `path`, or `otherwise` where there is none; with what an earlier start had not saved. Raises
        UnreadableFileError for a file that is no text."""
        saved = read_text(path) if path.exists() else None
        steps = [Step(otherwise if saved is None else saved, "as it was")]
        copy = cls(path, saved, steps)
        kept = copy._kept()
        if kept is not None and kept != steps[0].text:
            copy.steps.append(Step(kept, "found again: not saved before"))
            copy.at, copy.restored = 1, True
        return copy

    @property
    def text(self) -> str:
        """The text as it is now."""
        return self.steps[self.at].text

    @property
    def changed(self) -> bool:
        """Whether the text differs from the file."""
        return self.text != self.saved

    @property
    def back(self) -> str:
        """What a step back would undo, in words; "" where there is none."""
        return self.steps[self.at].said if self.at else ""

    @property
    def forth(self) -> str:
        """What a step forth would do again, in words; "" where there is none."""
        return self.steps[self.at + 1].said if self.at + 1 < len(self.steps) else ""

    def put(self, text: str, said: str) -> None:
        """The next state; what had been undone is gone. A text that is the same is no step."""
        if text == self.text:
            return
        del self.steps[self.at + 1 :]
        self.steps.append(Step(text, said))
        self.at += 1
        self._keep()

    def undo(self) -> bool:
        """One step back; whether there was one."""
        return self._go(-1)

    def redo(self) -> bool:
        """One step forth; whether there was one."""
        return self._go(1)

    def disk_changed(self) -> bool:
        """Whether somebody else wrote the file since it was read or saved here."""
        try:
            now = read_text(self.path) if self.path.exists() else None
        except OSError:
            return True
        return now != self.saved

    def take_disk(self) -> None:
        """What stands in the file becomes the next state. Raises UnreadableFileError where it cannot be read."""
        self.saved = read_text(self.path)
        self.put(self.saved, "taken from the file, which others had changed")
        self._keep()

    def save(self, over: bool = False) -> None:
        """Write the file, whole or not at all. `over`: also where others have written it since. Raises UsageError."""
        if not over and self.disk_changed():
            raise UsageError(f"{self.path.name} was changed by others since it was read: take that, or save over it.")
        beside = self.path.with_name(f".{self.path.name}.saving")
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with beside.open("w", encoding="utf-8", newline="") as file:
                file.write(self.text)
                file.flush()
                os.fsync(file.fileno())
            os.replace(beside, self.path)
        except OSError as err:
            with suppress(OSError):
                beside.unlink()
            raise UsageError(f"{self.path} cannot be written: {err.strerror or err}.") from err
        self.saved = self.text
        self._keep()

    def _go(self, by: int) -> bool:
        if not 0 <= self.at + by < len(self.steps):
            return False
        self.at += by
        self._keep()
        return True

    @property
    def _beside(self) -> Path:
        return self.path.with_name(f".{self.path.name}.working")

    def _kept(self) -> str | None:
        with suppress(OSError, ValueError, KeyError, TypeError):
            found = json.loads(self._beside.read_text(encoding="utf-8"))
            return str(found["text"])
        return None

    def _keep(self) -> None:
        """The working copy on the disk; a disk that is full or closed stops nobody from drawing."""
        with suppress(OSError):
            if not self.changed:
                self._beside.unlink(missing_ok=True)
            elif self.path.parent.is_dir():
                whole = self.path.with_name(f".{self.path.name}.working-new")
                of = digest_of((self.saved or "").encode("utf-8"))
                whole.write_text(json.dumps({"of": of, "text": self.text}, ensure_ascii=False), encoding="utf-8")
                os.replace(whole, self._beside)
