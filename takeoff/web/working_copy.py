"""The job file while it is worked on: its text, every step back, and a copy that outlives a crash.

The file itself is written by an explicit save alone. Until then each step is kept in a hidden file beside it, which the
next start finds; a save takes that away. What others write into the file meanwhile is never taken nor written over
without being asked for, and whichever is chosen, the other is one step back.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.manifest import digest_of
from takeoff.basics.records import record
from takeoff.basics.regular_files import read_bounded
from takeoff.read.job.yaml_tree import MOST_BYTES
from takeoff.web.whole_file import write_whole

BOM = b"\xef\xbb\xbf"  # some editors put it before UTF-8, and want to find it again


class Others(Enum):
    """What others have done with the file since it was read or saved here."""

    NOTHING = "nothing"
    WROTE = "wrote"  # it has another text, which can be taken
    TOOK_AWAY = "took away"
    SPOILT = "spoilt"  # it cannot be read as a text any more


@record
class Step:
    """A state of the text, and in words what led to it."""

    text: str
    said: str


@record
class OnDisk:
    """What stands in a job file. `text`: None where there is no file; `marked`: it begins with a byte order mark;
    `fault`: why it cannot be read."""

    text: str | None = None
    marked: bool = False
    fault: str = ""


def on_disk(path: Path) -> OnDisk:
    """The file as it is now, its line ends as they are. Raises nothing."""
    try:
        if not os.path.lexists(path):
            return OnDisk()
        data = read_bounded(path, MOST_BYTES, "job")
        return OnDisk(data.decode("utf-8-sig"), data.startswith(BOM))
    except UnreadableFileError as err:
        return OnDisk(fault=str(err))
    except UnicodeDecodeError as err:
        return OnDisk(fault=f"{path}: byte {err.start} is not UTF-8 text; save the file as UTF-8")


@dataclass(slots=True)
class WorkingCopy:
    """The text of a job file as it is worked on. `saved`: what stands in the file as far as is known here, None where
    there is none yet; `others`: what others did with it that nobody has answered yet, `theirs` their text; `restored`:
    whether it was found again after a crash; `unkept`: why steps cannot be kept for a crash, "" where they are."""

    path: Path
    saved: str | None
    steps: list[Step]
    at: int = 0
    restored: bool = False
    marked: bool = False
    others: Others = Others.NOTHING
    theirs: str | None = None
    unkept: str = ""
    _seen: OnDisk = field(default_factory=OnDisk, repr=False)

    @classmethod
    def opened(cls, path: Path, otherwise: str) -> WorkingCopy:
        """The job file at `path`, or `otherwise` where there is none; with what an earlier start had not saved. Raises
        UnreadableFileError for a file that is no text."""
        found = on_disk(path)
        if found.fault:
            raise UnreadableFileError(found.fault)
        first = Step(otherwise if found.text is None else found.text, "as it was")
        copy = cls(path, found.text, [first], marked=found.marked, _seen=found)
        copy._found_again()
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

    def put(self, text: str, said: str) -> bool:
        """The next state; what had been undone is gone. A text that is the same is no step: whether it was one."""
        if text == self.text:
            return False
        self._put(text, said)
        self._keep()
        return True

    def undo(self) -> bool:
        """One step back; whether there was one."""
        return self._go(-1)

    def redo(self) -> bool:
        """One step forth; whether there was one."""
        return self._go(1)

    def look_at_disk(self) -> bool:
        """See what others did with the file since it was last looked at; whether there is news of it."""
        now = on_disk(self.path)
        if now == self._seen:
            return False
        self._seen = now
        if now.fault:
            self.others, self.theirs = Others.SPOILT, None
        elif now.text is None:
            self.others, self.theirs = (Others.NOTHING if self.saved is None else Others.TOOK_AWAY), None
        elif now.text in (self.saved, self.text):
            self.saved, self.marked, self.others, self.theirs = now.text, now.marked, Others.NOTHING, None
            self._keep()
        else:
            self.others, self.theirs = Others.WROTE, now.text
        return True

    def take_theirs(self) -> None:
        """What others wrote becomes the next state; a step back has ours again."""
        if self.theirs is not None:
            self._put(self.theirs, "taken from the file, which others had changed")
        self._answered()

    def keep_ours(self) -> None:
        """Ours stays, and a save will write it; a step back has theirs."""
        ours = self.text
        if self.theirs is not None:
            self._put(self.theirs, "what others had written into the file")
            self._put(ours, "ours kept against what others had written")
        self._answered()

    def save(self, over: bool = False) -> None:
        """Write the file, whole or not at all. `over`: also where others have done something with it that nobody has
        answered. Raises UsageError."""
        self.look_at_disk()
        if not over and self.others is not Others.NOTHING:
            raise UsageError(f"{self.path.name} was changed by others: say first whose is to stay.")
        data = self.text.encode("utf-8")
        write_whole(self.path, BOM + data if self.marked else data)
        self.saved, self.others, self.theirs = self.text, Others.NOTHING, None
        self._seen = OnDisk(self.text, self.marked)
        self._keep()

    def _put(self, text: str, said: str) -> None:
        del self.steps[self.at + 1 :]
        self.steps.append(Step(text, said))
        self.at += 1

    def _go(self, by: int) -> bool:
        if not 0 <= self.at + by < len(self.steps):
            return False
        self.at += by
        self._keep()
        return True

    def _answered(self) -> None:
        self.saved, self.others, self.theirs = self._seen.text, Others.NOTHING, None
        self.marked = self._seen.marked if self.saved is not None else self.marked
        self._keep()

    # ---- what outlives a crash

    @property
    def _beside(self) -> Path:
        real = Path(os.path.realpath(self.path))
        return real.with_name(f".{real.name}.working")

    def _found_again(self) -> None:
        """Take up what was not saved before; where the file is not the one that was worked on, others changed it."""
        with suppress(OSError, ValueError, KeyError, TypeError):
            kept = json.loads(read_bounded(self._beside, 8 * MOST_BYTES, "working copy"))
            text, of = str(kept["text"]), str(kept["of"])
            if text == self.text:
                return
            self._put(text, "found again: not saved before")
            self.restored = True
            if self.saved is not None and of != _digest(self.saved):
                self.others, self.theirs = Others.WROTE, self.saved

    def _keep(self) -> None:
        """The working copy on the disk; a disk that is full or closed stops nobody from drawing, but is told. Where it
        has come to be what others wrote, there is nothing to ask any more."""
        if self.others is Others.WROTE and self.text == self.theirs:
            self.saved, self.others, self.theirs = self.theirs, Others.NOTHING, None
        try:
            if not self.changed:
                self._beside.unlink(missing_ok=True)
            else:
                self._beside.parent.mkdir(parents=True, exist_ok=True)
                whole = self._beside.with_name(f"{self._beside.name}-new")
                kept = {"of": _digest(self.saved), "text": self.text}
                whole.write_text(json.dumps(kept, ensure_ascii=False), encoding="utf-8", newline="")
                os.replace(whole, self._beside)
            self.unkept = ""
        except OSError as err:
            self.unkept = err.strerror or str(err)
        except UnicodeEncodeError:
            self.unkept = "half a letter cannot be written"


def _digest(text: str | None) -> str:
    return digest_of((text or "").encode("utf-8", "surrogatepass"))
