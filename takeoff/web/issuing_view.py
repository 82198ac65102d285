"""What a person sees before an order is frozen in the book of issues: why it cannot be, what is held, what is open."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.model.findings import Severity
from takeoff.model.issues import Issue
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Order, Takeoff
from takeoff.web.downloads import why_not
from takeoff.web.house import House
from takeoff.web.working_copy import Others
from takeoff.write.papers.start_paper import holds
from takeoff.write.words.spoken import spoken
from takeoff.write.words.trade_words import trade_words
from takeoff.write.words.words import SEVERITY_WORDS, refs_words

EVERY = "every delivery"


@record
class Open:
    """What is held and what is open of an order, in sentences."""

    held: tuple[str, ...]
    open: tuple[str, ...]


def why_not_issued(house: House) -> str:
    """Why nothing can be issued now; "" where it can."""
    if house.copy.changed:
        return "Save the job file first: what is issued is what the file says."
    if house.copy.others is not Others.NOTHING:
        return "Others have changed the job file: say first whose is to stay."
    return why_not(house)


def open_of(takeoff: Takeoff) -> Open:
    """The holds of an order, and its warnings."""
    said = trade_words(takeoff)
    held = [f"{word}: {said(words)}" for word, words in holds(takeoff.order)] if takeoff.order is not None else []
    warned = []
    for finding in dict.fromkeys(takeoff.findings):
        if finding.severity in (Severity.STOP, Severity.WARN):
            where = f" ({refs_words(finding.refs)})" if finding.refs else ""
            text = said(spoken(f"{finding.text} {finding.advice}".strip(), takeoff))
            warned.append(f"{SEVERITY_WORDS[finding.severity]}{where}: {text}")
    return Open(tuple(held), tuple(warned))


def deliveries_of(order: Order | None) -> tuple[str, ...]:
    """What can be issued: every delivery at once, or one of those that bring anything."""
    there = {line.delivery for line in order.lines if not line.labour} if order is not None else set()
    return (EVERY, *(name for name in DELIVERIES if name in there))


def issue_words(issue: Issue) -> str:
    """An issue of the book in a line."""
    varied = f", varies issue {', '.join(map(str, issue.supersedes))}" if issue.variation else ""
    to = f" to {issue.to}" if issue.to else ""
    lines = f"{len(issue.lines)} lines of {', '.join(issue.deliveries)}"
    return f"{issue.number}. {issue.date}{to}, revision {issue.revision}{varied}: {lines}. {issue.note}"
