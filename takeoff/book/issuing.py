"""Writing into the book of issues: what is ordered is frozen with its files, and nothing in the book is ever changed.

One process at a time: the folder's lock is held from the reading of the book to its new line; another waits. The files
of an issue are written first, whole, into a folder of their own; then the book with its new line takes the place of the
book without it, in one step.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, replace
from pathlib import Path
from shutil import rmtree

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.interrupts import Stopped
from takeoff.basics.manifest import MANIFEST, parse_manifest
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.records import record
from takeoff.model.issues import Issue, IssueBook, IssueWanted
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Takeoff
from takeoff.order.issued import BOOK_CODES, left_finding, next_issue, standing_of
from takeoff.pipeline import Step, run_file
from takeoff.read.issues.book_file import BOOK, ISSUES, book_line, read_book
from takeoff.read.job.job_file import job_path
from takeoff.write.files import write_all
from takeoff.write.folder.disk import Disk, Kind, RealDisk
from takeoff.write.folder.lock import folder_lock
from takeoff.write.words.item_names import item_name

WAIT_FOR_ISSUE_S = 120.0  # a set is written in seconds, and several may stand in the line
MOST_NOTE = 500
MOST_TO = 120


def _quiet(_what: str) -> None:
    """Progress that nobody watches."""


@record
class Issued:
    """What was done: the issue (None where a stop finding withholds the order), the takeoff, the folder of its
    files."""

    issue: Issue | None
    takeoff: Takeoff
    folder: Path


def issue_file(
    job: Path,
    note: str,
    delivery: str = "",
    to: str = "",
    date: str = "",
    office: Path | None = None,
    step: Step = _quiet,
) -> Issued:
    """Order what is still to order of a job, one delivery or all, and freeze it in the book beside the job.

    `date` is a day as 2026-03-02, else the job's date, else today. Raises UsageError for what cannot be issued and
    where the folder cannot be written, UnreadableFileError for a book that is damaged, and what `run_file` raises.
    """
    wanted = _wanted(note, delivery, to, date)
    takeoff = run_file(job, step=step, office=office)
    folder = job_path(Path(job)).parent / ISSUES
    if takeoff.order is None:
        return Issued(None, takeoff, folder)
    if not wanted.date:
        day = takeoff.job.date or datetime.date.today()
        wanted = replace(wanted, date=day.isoformat())
    step("writing the book of issues")
    return _frozen(takeoff, wanted, folder)


def _wanted(note: str, delivery: str, to: str, date: str) -> IssueWanted:
    """What is wanted, as typed. Raises UsageError for what cannot be."""
    if not note.strip() or len(note) > MOST_NOTE:
        raise UsageError(f"--note: say in 1 to {MOST_NOTE} characters why this is ordered")
    if len(to) > MOST_TO:
        raise UsageError(f"--to: has at most {MOST_TO} characters")
    if delivery and delivery not in DELIVERIES:
        known = f"; deliveries are {', '.join(DELIVERIES)}"
        raise UsageError(f"--delivery: there is no {delivery}{did_you_mean(delivery, DELIVERIES, known)}")
    if date:
        try:
            date = datetime.date.fromisoformat(date).isoformat()
        except ValueError:
            raise UsageError(f"--date: needs a day as 2026-03-02, got {date[:40]!r}") from None
    return IssueWanted(note.strip(), date, delivery, to.strip())


def _frozen(takeoff: Takeoff, wanted: IssueWanted, folder: Path, disk: Disk | None = None) -> Issued:
    disk = disk or RealDisk()
    with _told(folder), folder_lock(folder, WAIT_FOR_ISSUE_S):
        book = read_book(folder, marks=True) or IssueBook(())
        refuse_damaged(book, folder)
        names = {item.id: item_name(item) for item in takeoff.items.values()}
        issue = next_issue(takeoff, book, wanted, names)
        takeoff = _of_issue(takeoff, book, issue)
        stopped = _write_set(takeoff, folder / issue.folder)
        issue = replace(issue, files=_files(folder / issue.folder))
        try:
            _append(disk, folder / BOOK, book_line(asdict(issue), book.last_seal))
        except OSError:
            rmtree(folder / issue.folder, ignore_errors=True)  # of this run, and issued to nobody
            raise
    if stopped is not None:
        raise Stopped(stopped.number, f"issue {issue.number} was written before that and stands in the book")
    return Issued(issue, takeoff, folder / issue.folder)


def _of_issue(takeoff: Takeoff, book: IssueBook, issue: Issue) -> Takeoff:
    """The takeoff as it is frozen: it says which issue it is, bears its day where the job has none, and warns of no
    difference that the issue itself orders."""
    if takeoff.order is None:
        return takeoff
    standing = standing_of(takeoff.order, book)
    standing = replace(standing, issuing=issue.number, issuing_of=issue.deliveries, issuing_on=issue.date)
    findings = tuple(one for one in takeoff.findings if one.code not in BOOK_CODES)
    findings += left_finding(standing, issue.deliveries)
    job = takeoff.job
    if job.date is None:
        job = job.model_copy(update={"date": datetime.date.fromisoformat(issue.date)})
    return replace(takeoff, job=job, issued=standing, findings=findings)


def _write_set(takeoff: Takeoff, folder: Path) -> Stopped | None:
    """Write the files of an issue; a signal that came when they were whole is handed back."""
    try:
        write_all(takeoff, folder)
    except Stopped as stop:
        if not (folder / MANIFEST).is_file():
            raise
        return stop
    return None


def _files(folder: Path) -> dict[str, str]:
    """What was written, with the hash of each."""
    manifest = parse_manifest((folder / MANIFEST).read_bytes())
    return dict(manifest.files) if manifest is not None else {}


def _append(disk: Disk, path: Path, line: bytes) -> None:
    """Put the book with one line more in the place of the book, in one step."""
    before = path.read_bytes() if disk.kind(path) is Kind.FILE else b""
    fresh = path.with_name(f".{path.name}.takeoff-new")
    if disk.kind(fresh) is Kind.FILE:  # of a run that was killed
        disk.remove(fresh)
    disk.write(fresh, before + line)
    disk.move(fresh, path)
    disk.settle(path.parent)


@contextmanager
def _told(folder: Path) -> Iterator[None]:
    try:
        yield
    except UnreadableFileError:
        raise
    except OSError as err:
        raise UsageError(
            f"{err.filename or folder} cannot be written to: {err.strerror or err}; nothing stands in the book of it"
        ) from None


def refuse_damaged(book: IssueBook, folder: Path) -> None:
    """Raises UnreadableFileError for a book that cannot be relied on, with everything that is wrong with it."""
    if book.faults:
        raise UnreadableFileError(
            *(f"{folder}: {fault}" for fault in book.faults),
            f"{folder}: the book is damaged and nothing was done to it; put it back from a copy",
        )


def issues_of(job: Path) -> IssueBook:
    """The book beside a job, its files looked at too; an empty one where nothing was issued. Raises
    UnreadableFileError where it cannot be read at all."""
    return read_book(job_path(Path(job)).parent / ISSUES, whole=True) or IssueBook(())
