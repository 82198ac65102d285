"""What every paper says at its head: whose job, which revision, what state."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from takeoff.model.order import Document, Takeoff
from takeoff.write.drawings.frame import state_words
from takeoff.write.papers.blocks import Block, Paper
from takeoff.write.papers.recorded import Recorded
from takeoff.write.words.words import date_words, plain, revision_words

NOT_AN_ORDER = "NOT AN ORDER: STOPPED BY A FINDING"


def job_words(takeoff: Takeoff) -> str:
    """The job, its revision and its date in a line."""
    job = takeoff.job
    order = takeoff.order
    houses = f"{order.houses.words}, " if order is not None and order.houses is not None else ""
    return f"{plain(job.job)}, {houses}{revision_words(job.revision, takeoff.supersedes)}, {date_words(job.date)}"


def banner(takeoff: Takeoff, document: Document | None) -> str:
    """The state of a document; a stopped job has no order whatever the document is."""
    if takeoff.order is None:
        return NOT_AN_ORDER
    return state_words(takeoff.order, document) if document is not None else ""


def paper(takeoff: Takeoff, name: str, title: str, blocks: Iterable[Block], document: Document | None) -> Paper:
    """A paper of this takeoff."""
    mark = f"job {takeoff.job_hash[:8]}" if takeoff.job_hash else ""
    return Paper(name, title, job_words(takeoff), banner(takeoff, document), tuple(blocks), mark)


def recorded(title: str, said: Callable[[str], str], fill: Callable[[Recorded], object]) -> tuple[Block, ...]:
    """A sheet of the workbook as blocks."""
    page = Recorded.of(title, said)
    fill(page)
    return page.finished()
