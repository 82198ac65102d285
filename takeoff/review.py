"""After the order: a supplied cut list checked against ours. Stages are called in order; no figure is made here."""

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


def write_review(review: Review, path: Path) -> Path:
    """Write the tables as a workbook. Raises UsageError for a name that is none of a workbook or cannot be written."""
    if path.suffix.lower() != ".xlsx":
        raise UsageError(f"{path}: differences are written as a workbook; name it with .xlsx at its end")
    return write_one(path, differences_workbook(review.title, review.tables, review.date))
