"""The book of issues as it lies beside the job: a line an issue, each sealed and naming the seal of the line before.

A line that was edited, taken out, put in or cut short shows, and so does a file of an issue that is gone or changed.
What is damaged is told and never put right here.
"""

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.manifest import MANIFEST, digest_of, is_plain_name, seal_of
from takeoff.basics.regular_files import read_bounded
from takeoff.model.issues import Issue, IssueBook, IssuedLine
from takeoff.read.issues.frozen_marks import frozen_sheets

ISSUES = "issues"  # the folder beside the job
BOOK = "book.jsonl"
BOOK_FORMAT = "takeoff-issue"
BOOK_VERSION = 1
MOST_BYTES = 200_000_000
MOST_FILE_BYTES = 1_000_000_000
_FIRST = "first"  # stands for the seal before the first line


class _Line(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, defer_build=True)
    delivery: str
    item: str
    name: str
    each_mm: float
    unit: str
    count: float
    total: float
    total_unit: str
    kg: float


class _Record(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, defer_build=True)
    number: int
    date: str
    job: str
    revision: str
    job_hash: str
    contents: str
    deliveries: tuple[str, ...]
    to: str
    note: str
    supersedes: tuple[int, ...]
    lines: tuple[_Line, ...]
    files: dict[str, str]


def book_line(record: dict[str, Any], before: str) -> bytes:
    """An issue's data as the line of the book that follows the one whose seal is `before` ("" for none)."""
    body = {"format": BOOK_FORMAT, "version": BOOK_VERSION, "before": before or _FIRST, **record}
    sealed = {**body, "seal": seal_of(body)}
    return (json.dumps(sealed, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8", "backslashreplace")


def read_book(folder: Path, whole: bool = False, marks: bool = False) -> IssueBook | None:
    """The book in a folder; None where there is none. `whole`: its files are looked at too, each with its hash;
    `marks`: those of the sheets of every issue are read.

    Faults of the book stand in it. Raises UnreadableFileError where it cannot be read at all.
    """
    path = folder / BOOK
    loose = _loose_folders(folder, 0)
    if not path.exists() and not path.is_symlink():
        if not loose:
            return None
        return IssueBook((), (f"{path} is gone, but {', '.join(loose)} of its issues is there",))
    issues, faults, last = _parsed(read_bounded(path, MOST_BYTES, "book of issues"))
    if not faults:
        faults += [
            f"{name} holds files of an issue that the book has no line of: the book was cut, or an issue was stopped"
            for name in _loose_folders(folder, len(issues))
        ]
        for issue in issues:
            faults += _file_faults(folder, issue)
    edited = [told for issue in issues for told in _edited(folder, issue)] if whole and not faults else []
    sheets = frozen_sheets(folder, tuple(issues)) if marks and not faults else ()
    return IssueBook(tuple(issues), tuple(faults), tuple(edited), last, sheets)


def _parsed(data: bytes) -> tuple[list[Issue], list[str], str]:
    issues: list[Issue] = []
    faults: list[str] = []
    before = _FIRST
    lines = data.split(b"\n")
    if lines[-1]:
        faults.append(f"{BOOK}, line {len(lines)}: is cut off in the middle")
    for number, line in enumerate(lines[:-1], start=1):
        record, fault, before = _opened(line, before)
        if record is not None and not fault and record.number != number:
            fault = f"is issue {record.number} where issue {number} belongs"
        if fault or record is None:
            faults.append(f"{BOOK}, line {number}: {fault}")
            break  # what follows leans on it
        issues.append(_issue(record))
    return issues, faults, "" if before == _FIRST else before


def _opened(line: bytes, before: str) -> tuple[_Record | None, str, str]:
    """The record of a line, what is wrong with it, and its seal."""
    try:
        body = json.loads(line.decode("utf-8"))
    except (ValueError, RecursionError):
        return None, "is no line of a book: it was cut or overwritten", before
    if not isinstance(body, dict) or body.pop("format", None) != BOOK_FORMAT:
        return None, "is no line of a book of issues", before
    version, seal, named = body.pop("version", None), body.pop("seal", None), body.pop("before", None)
    if version != BOOK_VERSION:
        return None, f"is of version {version!r}, which this program does not read", before
    try:
        whole = seal_of({"format": BOOK_FORMAT, "version": version, "before": named, **body})
        record = _Record.model_validate_json(json.dumps(body))
    except (ValidationError, ValueError, RecursionError):
        return None, "does not hold what an issue holds: it was edited", before
    if seal != whole:
        return None, "was edited: its seal is not that of what it says", before
    if named != before:
        return None, "does not follow the line before it: a line was taken out, put in or moved", before
    return record, "", whole


def _issue(record: _Record) -> Issue:
    values = record.model_dump()
    values["lines"] = tuple(IssuedLine(**line) for line in values["lines"])
    return Issue(**values)


def _loose_folders(folder: Path, known: int) -> list[str]:
    """Folders of issues that the book has no line of."""
    try:
        names = sorted(path.name for path in folder.glob("issue_[0-9]*") if path.is_dir())
    except OSError:
        return []
    return [name for name in names if name[6:].isdigit() and int(name[6:]) > known]


def _file_faults(folder: Path, issue: Issue) -> list[str]:
    """Files of an issue that are gone."""
    faults = [
        f"issue {issue.number}: its file {name} is gone"
        for name in issue.files
        if not is_plain_name(name) or not (folder / issue.folder / name).is_file()
    ]
    if issue.files and not faults and not (folder / issue.folder / MANIFEST).is_file():
        faults.append(f"issue {issue.number}: its {MANIFEST} is gone")
    return faults


def _edited(folder: Path, issue: Issue) -> list[str]:
    """Files of an issue that are no longer what was issued."""
    return [
        f"issue {issue.number}: its file {name} was changed since"
        for name, digest in issue.files.items()
        if _digest(folder / issue.folder / name) != digest
    ]


def _digest(path: Path) -> str:
    try:
        return digest_of(read_bounded(path, MOST_FILE_BYTES, "file of an issue"))
    except UnreadableFileError:
        return ""
