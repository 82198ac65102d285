"""After the order: a figure explained, a supplied cut list checked. Stages are called in order, no figure is made."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

from takeoff.basics.errors import UsageError
from takeoff.model.findings import Finding
from takeoff.order.check_list import check_list
from takeoff.pipeline import Step, run_file
from takeoff.read.cut_list import read_cut_list
from takeoff.write.atomic import write_one
from takeoff.write.differences_workbook import differences_workbook
from takeoff.write.explain_words import explain, near_names
from takeoff.write.explanation import Explanation
from takeoff.write.tables import Table, check_tables


def _quiet(_what: str) -> None:
    """Progress that nobody watches."""


@dataclass(frozen=True, slots=True)
class Review:
    """What was found: tables to show or to write, whether anything differs, and the stop findings that withhold it."""

    title: str
    tables: tuple[Table, ...]
    differs: bool
    stops: tuple[Finding, ...] = ()
    date: datetime.date | None = None


def check_file(job: Path, supplied: Path, sheet: str = "", step: Step = _quiet) -> Review:
    """Check a supplied cut list against a job's. Raises the errors of both files: JobError, UnreadableFileError ..."""
    step("reading the list")
    theirs = read_cut_list(supplied, sheet)
    takeoff = run_file(job, step=step)
    title = f"{takeoff.job.job}, revision {takeoff.job.revision}"
    if takeoff.order is None:
        return Review(title, (), False, takeoff.stops)
    step("matching the lists")
    check = check_list(theirs, takeoff.order, takeoff.roofing.sheets, takeoff.settings)
    return Review(title, check_tables(check), bool(check.differences), date=takeoff.job.date)


def explain_file(job: Path, mark: str, step: Step = _quiet) -> tuple[Explanation, ...]:
    """Everything of a job that goes by that name. Raises UsageError, with names near it, where there is nothing."""
    takeoff = run_file(job, step=step)
    found = explain(takeoff, mark)
    if not found:
        near = ", ".join(near_names(takeoff, mark))
        hint = (
            f"; did you mean {near}?" if near else "; ask for a sheet, plane, edge, order line, run, piece or quantity"
        )
        raise UsageError(f"{job}: nothing is called {mark!r}{hint}")
    return found


def write_review(review: Review, path: Path) -> Path:
    """Write the tables as a workbook. Raises UsageError for a name that is none of a workbook or cannot be written."""
    if path.suffix.lower() != ".xlsx":
        raise UsageError(f"{path}: differences are written as a workbook; name it with .xlsx at its end")
    return write_one(path, differences_workbook(review.title, review.tables, review.date))
