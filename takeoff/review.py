"""After the order: a figure explained, a list of others checked, two results compared. No figure is made here."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.manifest import MANIFEST
from takeoff.basics.records import record
from takeoff.model.findings import Finding
from takeoff.model.order import Takeoff
from takeoff.model.order_folder import ORDER_SHEET, FolderState, OneWritten, Written
from takeoff.model.snapshot import Snapshot
from takeoff.order.comparing.check_list import check_list
from takeoff.order.comparing.check_quotation import check_quotation
from takeoff.order.comparing.compare import compare
from takeoff.order.comparing.reissue import refuse_other_lengths, superseded
from takeoff.order.comparing.remeasured import mark_changes, released
from takeoff.pipeline import Step, run_file
from takeoff.read.fingerprint import is_of_job
from takeoff.read.job.job_file import job_path, parse_job, read_text
from takeoff.read.lists.cut_list import read_cut_list
from takeoff.read.lists.quotation_file import read_quotation
from takeoff.read.lists.site_measures import read_site_measures
from takeoff.read.lists.typed_columns import typed_before
from takeoff.read.office.office_file import find_office
from takeoff.read.results.folder_state import read_folder_state
from takeoff.read.results.result_file import read_result, snapshot_of
from takeoff.write.atomic import write_one
from takeoff.write.data.result_json import result_data
from takeoff.write.differences.differences_workbook import differences_workbook
from takeoff.write.differences.quotation_tables import quotation_tables
from takeoff.write.differences.tables import (
    Table,
    check_tables,
    comparison_tables,
    in_trade_words,
    measured_tables,
)
from takeoff.write.differences.totals_table import totals_table
from takeoff.write.explain.explain_words import explain, near_names
from takeoff.write.explain.explanation import Explanation
from takeoff.write.files import write_all
from takeoff.write.folder.lock import writer_of
from takeoff.write.folder.swap import WORK
from takeoff.write.words.item_names import item_name
from takeoff.write.words.trade_words import one_word, trade_words
from takeoff.write.words.words import revision_words

CHANGES = "measured_changes.xlsx"


def _quiet(_what: str) -> None:
    """Progress that nobody watches."""


@record
class Review:
    """What was found: tables to show or to write, whether anything differs, and the stop findings that withhold it."""

    title: str
    tables: tuple[Table, ...]
    differs: bool
    stops: tuple[Finding, ...] = ()
    date: datetime.date | None = None


def check_file(job: Path, supplied: Path, sheet: str = "", step: Step = _quiet, office: Path | None = None) -> Review:
    """Check a supplied cut list against a job's. Raises the errors of both files: JobError, UnreadableFileError ..."""
    step("reading the list")
    theirs = read_cut_list(supplied, sheet)
    takeoff = run_file(job, step=step, office=office)
    title = f"{takeoff.job.job}, revision {takeoff.job.revision}"
    if takeoff.order is None:
        return Review(title, (), False, takeoff.stops)
    step("matching the lists")
    check = check_list(theirs, takeoff.order, takeoff.roofing.sheets, takeoff.settings)
    tables = in_trade_words(check_tables(check), trade_words(takeoff))
    return Review(title, tables, bool(check.differences), date=takeoff.job.date)


def quotation_file(
    job: Path, quoted: Path, sheet: str = "", delivery: str = "", step: Step = _quiet, office: Path | None = None
) -> Review:
    """Hold a supplier's quotation against a job's order, one delivery or those it quotes. Raises what `check_file`
    raises."""
    step("reading the quotation")
    theirs = read_quotation(quoted, sheet)
    takeoff = run_file(job, step=step, office=office)
    title = f"{takeoff.job.job}, revision {takeoff.job.revision}"
    if takeoff.order is None:
        return Review(title, (), False, takeoff.stops)
    said = trade_words(takeoff)
    names = {item.id: said(item_name(item)) for item in takeoff.items.values()}
    check = check_quotation(theirs, takeoff.order, names, delivery)
    return Review(title, quotation_tables(check), bool(check.differences), date=takeoff.job.date)


def compare_files(old: Path, new: Path, step: Step = _quiet) -> Review:
    """Compare two results line by line; each is a job file, a written result (takeoff.json) or a folder with one."""
    before, after = _snapshot(old, step), _snapshot(new, step)
    step("comparing")
    found = compare(before, after)
    names = f"{old} ({found.old}) -> {new} ({found.new})"
    title = f"{names}: {found.matched_planes} planes and {found.matched_sheets} sheets matched"
    tables = (*totals_table(before, after), *comparison_tables(found))
    said = one_word(after.word, (*before.own, *after.own))
    return Review(title, in_trade_words(tables, said), bool(found.changes))


def _snapshot(path: Path, step: Step) -> Snapshot:
    if path.is_dir():
        if (path / WORK).is_dir() and not (path / MANIFEST).exists():
            raise UnreadableFileError(f"{path}: a run was stopped while it wrote there; run it again to put that right")
        names = [name for name in ("takeoff.json", "job.yaml") if (path / name).is_file()]
        if not names:
            raise UnreadableFileError(f"{path}: neither takeoff.json nor job.yaml is in this folder")
        path = path / names[0]
    if path.suffix.lower() == ".json":
        step(f"reading {path}")
        return read_result(path)
    return snapshot_of(result_data(run_file(path, step=step)), str(path))


def explain_file(job: Path, mark: str, step: Step = _quiet, office: Path | None = None) -> tuple[Explanation, ...]:
    """Everything of a job that goes by that name. Raises UsageError, with names near it, where there is nothing."""
    takeoff = run_file(job, step=step, office=office)
    found = explain(takeoff, mark)
    if not found:
        near = ", ".join(near_names(takeoff, mark))
        hint = (
            f"; did you mean {near}?" if near else "; ask for a sheet, plane, edge, order line, run, piece or quantity"
        )
        raise UsageError(f"{job}: nothing is called {mark!r}{hint}")
    said = trade_words(takeoff)
    return tuple(_in_trade_words(one, said) for one in found)


def _in_trade_words(one: Explanation, said: Callable[[str], str]) -> Explanation:
    facts, working, came_from = (tuple(map(said, lines)) for lines in (one.facts, one.working, one.came_from))
    return replace(one, title=said(one.title), facts=facts, working=working, came_from=came_from)


@record
class Remeasured:
    """An order made again from sizes taped on the frame, what that changes, and the files."""

    takeoff: Takeoff
    tables: tuple[Table, ...]
    written: Written


def measured_file(
    job: Path,
    taped: Path,
    out: Path,
    release: bool = False,
    revision: str = "",
    step: Step = _quiet,
    only: str | None = None,
    office: Path | None = None,
) -> Remeasured:
    """Take a job off again with the frame as measured and write its files into `out`, with a table of old and new.

    `only`: the kinds of output, None for the usual ones. `release`: mark the sheets released for manufacture, which
    needs every sheeted plane measured. `revision`: the letter of this issue, "" for the job's own. Sizes that cannot be
    true are stop findings; the set is then one without an order. Raises UnreadableFileError for faults in `taped`, and
    UsageError where `out` holds the same letter with other lengths.
    """
    drawn = run_file(job, step=step, office=office)
    planes = [plane.id for roof in drawn.roofs for plane in roof.planes]
    measures = read_site_measures(taped, planes)
    takeoff = run_file(job, step=step, taped=measures, office=office)
    if release:
        takeoff = released(takeoff)
    issued = _issued(out)
    letter = revision or takeoff.job.revision
    takeoff = replace(
        takeoff,
        job=takeoff.job.model_copy(update={"revision": letter}),
        supersedes=superseded(letter, drawn.job.revision, issued),
    )
    refuse_other_lengths(snapshot_of(result_data(takeoff), str(out)), issued, str(out))
    tables = measured_tables(mark_changes(drawn, takeoff))
    typed = typed_before(out / ORDER_SHEET)
    if takeoff.order is None:
        return Remeasured(takeoff, (), write_all(takeoff, out, only=only, typed=typed))
    letters = revision_words(takeoff.job.revision, takeoff.supersedes)
    title = f"{takeoff.job.job}, {letters}, measured on site"
    step("writing the files")
    more = {CHANGES: differences_workbook(title, tables, takeoff.job.date)}
    return Remeasured(takeoff, tables, write_all(takeoff, out, more, only, typed))


def _issued(out: Path) -> Snapshot | None:
    """The order that lies in a folder, None where there is none."""
    path = out / "takeoff.json"
    return read_result(path) if path.is_file() else None


def verify_folder(folder: Path, job: Path | None = None, office: Path | None = None) -> FolderState:
    """Whether a folder holds one whole order, what was edited since, and, where `job` is given, whether it is of that
    job as it is now. Raises UnreadableFileError for no folder and for a job that cannot be read."""
    writer = writer_of(folder)
    if writer:
        return FolderState(folder, faults=(f"it is being written by {writer}",))
    state = read_folder_state(folder)
    if job is None or not state.whole:
        return state
    path = job_path(job)
    text = read_text(path)
    held = find_office(path.parent, office)
    read = parse_job(text, path.name, held)
    return replace(state, job_changed=not is_of_job(state.fingerprint, read, path.parent, text, held))


def write_review(review: Review, path: Path) -> OneWritten:
    """Write the tables as a workbook; another file under its name is kept beside. Raises UsageError for a name that is
    none of a workbook or cannot be written."""
    if path.suffix.lower() != ".xlsx":
        raise UsageError(f"{path}: differences are written as a workbook; name it with .xlsx at its end")
    return write_one(path, differences_workbook(review.title, review.tables, review.date))
