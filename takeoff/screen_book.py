"""What the command line shows of the book of issues: what was ordered now, what was ordered when."""

from __future__ import annotations

from rich.markup import escape
from rich.table import Table

from takeoff.book.issuing import Issued
from takeoff.model.issues import Issue, IssueBook, LineState, Standing
from takeoff.model.items import DELIVERIES
from takeoff.screen import Screen, shown
from takeoff.screen_differences import show_stops


def show_issued(done: Issued) -> None:
    """Print what was ordered, or what withholds it."""
    console = Screen(highlight=False)
    job = done.takeoff.job
    if done.issue is None:
        show_stops(f"{job.job}, revision {job.revision}", done.takeoff.stops)
        return
    issue = done.issue
    varied = f", varies issue {', '.join(map(str, issue.supersedes))}" if issue.variation else ""
    to = f" to {issue.to}" if issue.to else ""
    console.say(f"issue {issue.number} of {issue.date}{to}: {job.job}, revision {issue.revision}{varied}", "bold")
    console.print(_lines(issue))
    console.say(f"frozen with {len(issue.files)} files in {done.folder}")


def _lines(issue: Issue) -> Table:
    table = _table(("delivery", False), ("what", False), ("length mm", True), ("count", True), ("unit", False))
    for line in issue.lines:
        sign = "+" if issue.variation and line.count > 0 else ""
        length = f"{line.each_mm:.0f}" if line.each_mm else ""
        table.add_row(line.delivery, escape(line.name), length, f"{sign}{line.count:,.10g}", line.unit)
    return table


def show_book(book: IssueBook) -> None:
    """Print the issues, first to last, then what is wrong with the book."""
    console = Screen(highlight=False)
    if not book.issues and not book.faults:
        console.say("nothing was issued yet")
    else:
        table = _table(
            ("no", True), ("date", False), ("rev", False), ("deliveries", False), ("lines", True), ("varies", False),
            ("to", False), ("note", False),
        )  # fmt: skip
        for one in book.issues:
            varied = ", ".join(map(str, one.supersedes))
            cells = (str(one.number), one.date, one.revision, ", ".join(one.deliveries), str(len(one.lines)), varied)
            table.add_row(*map(escape, (*cells, one.to, one.note)))
        console.print(table)
    for fault in book.faults:
        console.say(f"damaged: {fault}", "bold red", head=8)
    for fault in book.edited:
        console.say(f"edited: {fault}", "yellow", head=7)


def show_standing(console: Screen, standing: Standing) -> None:
    """Print how today's order stands to the book, a row a delivery."""
    if standing.faults:
        return
    states = (LineState.ORDERED, LineState.CHANGED, LineState.GONE, LineState.TO_ORDER)
    table = _table(("against the book", False), *((state.value, True) for state in states))
    for delivery in DELIVERIES:
        own = [line for line in standing.lines if line.delivery == delivery]
        if own:
            table.add_row(delivery, *(_count(sum(line.state is state for line in own)) for state in states))
    console.print(table)


def _count(lines: int) -> str:
    return shown(lines, 0) if lines else ""


def _table(*headings: tuple[str, bool]) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading, right in headings:
        table.add_column(heading, justify="right" if right else "left", overflow="fold")
    return table
