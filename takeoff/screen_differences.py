"""What the command line shows of differences: short tables, findings, plain words."""

from __future__ import annotations

from collections.abc import Sequence

from rich.markup import escape
from rich.table import Table as ScreenTable

from takeoff.model.findings import Finding, Severity
from takeoff.model.order import HOLD, Document, Hold, Takeoff
from takeoff.model.order_folder import FolderState, Written
from takeoff.screen import Screen, in_words, show_each, show_written
from takeoff.storing import Stored
from takeoff.write.differences.tables import Cell, Table
from takeoff.write.drawings.frame import state_words
from takeoff.write.explain.explanation import Explanation
from takeoff.write.words.words import number, revision_words

_MOST_ROWS = 40  # of a table on the screen


def show_tables(title: str, tables: Sequence[Table], written: bool) -> None:
    """Print tables of differences under a title; a long one is cut off with a word about the rest, which stands in the
    workbook where one is `written`."""
    console = Screen(highlight=False)
    console.say(title, "bold")
    for table in tables:
        console.print()
        console.say(f"{table.title}. {table.says}")
        if not table.rows:
            console.print("  none")
            continue
        shown = ScreenTable(box=None, pad_edge=False, header_style="bold")
        for heading, right in zip(table.headings, table.right, strict=True):
            shown.add_column(heading, justify="right" if right else "left", overflow="fold")
        for row in table.rows[:_MOST_ROWS]:
            shown.add_row(*(escape(_cell_words(cell)) for cell in row))
        console.print(shown)
        if len(table.rows) > _MOST_ROWS:
            rest = "; the workbook has them all" if written else ": give --out FILE.xlsx for all of them"
            console.print(f"  and {len(table.rows) - _MOST_ROWS} more{rest}")


def show_stored(stored: Stored) -> None:
    """Print what each size of a store gives, what is to be minded, and where the files are."""
    show_tables(stored.title, stored.tables, stored.written is not None)
    if stored.written is not None:
        show_written(Screen(highlight=False), stored.written)


def show_stops(title: str, stops: Sequence[Finding]) -> None:
    """Print what withholds our own order, so that nothing can be held against it."""
    console = Screen(highlight=False)
    console.say(title, "bold")
    show_each(console, stops)
    console.print("NOT AN ORDER: a stop finding withholds it", style="bold red")


def show_explanations(explanations: Sequence[Explanation]) -> None:
    """Print explanations: what it is, the facts, the working a line a term, the planes and edges it came from."""
    console = Screen(highlight=False)
    for place, explanation in enumerate(explanations):
        if place:
            console.print()
        console.say(explanation.title, "bold")
        for fact in explanation.facts:
            console.say(fact, indent="  ")
        for heading, lines in (("worked out", explanation.working), ("came from", explanation.came_from)):
            if lines:
                console.print(f"{heading}:")
            for line in lines:
                console.say(line, indent="  ")


def show_remeasured(takeoff: Takeoff, tables: Sequence[Table], written: Written) -> None:
    """Print what the measured frame changes, what is grave, the order's state, and where the files are."""
    console = Screen(highlight=False)
    title = f"{takeoff.job.job}, {revision_words(takeoff.job.revision, takeoff.supersedes)}"
    grave = [finding for finding in takeoff.findings if finding.severity in (Severity.STOP, Severity.WARN)]
    if takeoff.order is None:
        show_stops(title, [in_words(stop, takeoff) for stop in takeoff.stops])
    else:
        show_tables(title, tables, written=True)
        show_each(console, [in_words(finding, takeoff) for finding in grave])
        console.say(f"sheets: {state_words(takeoff.order, Document.SHEETS)}", "bold")
        if takeoff.order.state is not Hold.HOLD:
            console.say(f"purlins, flashings and the rest: {HOLD}", "bold")
    show_written(console, written)


def show_folder(state: FolderState) -> None:
    """Print how the folder of an order was found."""
    console = Screen(highlight=False)
    if state.job:
        console.print(f"{escape(state.job)}  job {escape(state.fingerprint)}", style="bold", soft_wrap=True)
    for fault in state.faults:
        console.print(f"[bold red]not whole[/]: {escape(fault)}", soft_wrap=True)
    for name in state.edited:
        console.print(f"[yellow]edited since[/]: {escape(name)}", soft_wrap=True)
    if state.job_changed:
        console.print("[yellow]the job has changed[/] since the order was made", soft_wrap=True)
    for note in state.notes:
        console.print(escape(note), soft_wrap=True)
    if state.whole and state.differing:
        words = escape(", ".join(state.differing))
        console.print(f"the order sheet's totals are not those of the data: {words}", soft_wrap=True)
    elif state.whole and state.lines:
        console.print(f"the order sheet's totals are those of the data, {state.lines} lines", soft_wrap=True)
    if state.whole:
        as_written = (
            f"{state.files - len(state.edited)} of {state.files} files in {state.folder} are as they were written"
        )
        console.print(escape(as_written), soft_wrap=True)


def say(text: str, bad: bool = False) -> None:
    """One line; `bad` in red on a terminal."""
    Screen(highlight=False).print(escape(text), style="bold red" if bad else None, soft_wrap=True)


def _cell_words(cell: Cell) -> str:
    if cell is None:
        return ""
    return cell if isinstance(cell, str) else number(cell)
