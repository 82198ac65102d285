"""The office file while it is worked on: its text, its own faults, and an explicit save."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from takeoff.basics.errors import JobError, UsageError
from takeoff.model.job_edits import Edit
from takeoff.read.job.job_file import read_text
from takeoff.read.office.office_file import OFFICE_FILE, parse_office
from takeoff.web.whole_file import write_whole
from takeoff.write.job_text.edits import edited_text

MOST_LETTERS = 2_000_000


def office_path(folder: Path, named: Path | None) -> Path:
    """Where the office file of a job's folder is or will be: the one that is named, else office.yaml beside the job."""
    path = folder / OFFICE_FILE if named is None else named
    return path / OFFICE_FILE if path.is_dir() else path


@dataclass(slots=True)
class OfficeDraft:
    """`saved`: what stood in the file when it was last read or written, None where there was none."""

    path: Path
    saved: str | None
    text: str

    @classmethod
    def opened(cls, path: Path) -> OfficeDraft:
        """As it stands. Raises UnreadableFileError for a file that is no text."""
        saved = read_text(path) if path.is_file() else None
        return cls(path, saved, saved or "")

    @property
    def changed(self) -> bool:
        """Whether the text differs from the file."""
        return self.text != (self.saved or "")

    @property
    def faults(self) -> tuple[str, ...]:
        """What is wrong with the text, each with its line."""
        try:
            parse_office(self.text, self.path.name)
        except JobError as err:
            return tuple(map(str, err.faults))
        return ()

    def put(self, edit: Edit) -> None:
        """Change one place of the text, all else left as typed. Raises UsageError."""
        self.text = edited_text(self.text, [edit])

    def save(self) -> None:
        """Write the file. Raises UsageError for a text with faults, which would stop every job of the office, and
        where others have written the file since."""
        if len(self.text) > MOST_LETTERS:
            raise UsageError("an office file of two million letters is none.")
        if faults := self.faults:
            raise UsageError("the office file is not saved: put right what is said of it first.", *faults[:5])
        now = read_text(self.path) if self.path.is_file() else None
        if now != self.saved:
            raise UsageError(f"{self.path.name} was changed by others since it was read here: read it again first.")
        write_whole(self.path, self.text.encode("utf-8"))
        self.saved = self.text
