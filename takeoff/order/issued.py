"""Today's order against the book of issues: what was ordered, what has changed since, what is still to order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from hashlib import sha256

from takeoff.basics.errors import UsageError
from takeoff.basics.rounding import half_up
from takeoff.model.findings import Finding, Severity
from takeoff.model.issues import (
    Issue,
    IssueBook,
    IssuedLine,
    IssueWanted,
    LineKey,
    LineState,
    Standing,
    StandingLine,
    Variation,
)
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.order.moved_marks import sheet_marks

BOOK_CODES = ("ordered-lines-changed", "issues-damaged", "marks-moved", "revision-taken")


def standing_of(order: Order, book: IssueBook) -> Standing:
    """Every line of the order or of the book, with what is wanted and what was ordered. Labour is no line of it."""
    if book.faults:
        return Standing((), (), faults=book.faults)
    today = _today(order)
    before = _before(book)
    lines = [_line(key, own, before.get(key, [])) for key, own in today.items()]
    lines += [_line(key, [], own) for key, own in before.items() if key not in today and _counts(own)]
    lines.sort(key=lambda line: DELIVERIES.index(line.delivery))
    known = tuple(lines)
    return Standing(
        known,
        tuple(issue.number for issue in book.issues),
        _variations(known, book),
        marks=sheet_marks(order, book),
        sheets_before=bool(book.sheets),
    )


def against_book(takeoff: Takeoff, book: IssueBook | None) -> Takeoff:
    """The takeoff with how its order stands to the book of issues; as it is without an order or a book."""
    if takeoff.order is None or book is None:
        return takeoff
    issued = standing_of(takeoff.order, book)
    found = (*standing_finding(issued), *_letter_finding(takeoff, book, issued))
    return replace(takeoff, issued=issued, findings=(*takeoff.findings, *found))


def standing_finding(standing: Standing) -> tuple[Finding, ...]:
    """A warning where the book cannot be relied on, or where what was ordered is no longer what is wanted."""
    if standing.faults:
        text = f"The book of issues is damaged: {standing.faults[0]}. What was ordered is not known."
        advice = "Put the folder issues back from a copy before anything is ordered again."
        return (Finding("issues-damaged", Severity.WARN, text, advice),)
    changed = [line for line in standing.lines if line.state is LineState.CHANGED]
    gone = [line for line in standing.lines if line.state is LineState.GONE]
    moved = tuple(_marks_finding(standing))
    if not changed and not gone:
        return moved
    said = [f"{len(changed)} changed since"] if changed else []
    said += [f"{len(gone)} no longer wanted"] if gone else []
    text = f"Lines that were ordered: {', '.join(said)}; see issue {_numbers([*changed, *gone])} of the book."
    advice = "Issue the difference, or go back to what was sent."
    return (Finding("ordered-lines-changed", Severity.WARN, text, advice), *moved)


def left_finding(standing: Standing, issued: Sequence[str]) -> tuple[Finding, ...]:
    """What an issue of some deliveries still leaves to warn of: what has changed in the others."""
    others = tuple(line for line in standing.lines if line.delivery not in issued)
    return standing_finding(replace(standing, lines=others))


def _marks_finding(standing: Standing) -> Iterator[Finding]:
    """A warning that what is written on sheets is not what they are called today."""
    marks = standing.marks
    if marks is not None and marks.moved:
        text = (
            f"Marks have moved: {len(marks.moved)} sheets of earlier issues that stay in use are called otherwise now, "
            f"and {marks.other_lengths} of the old marks name a sheet of another length."
        )
        advice = "Mark the sheets anew by the table in site.pdf before any is laid."
        yield Finding("marks-moved", Severity.WARN, text, advice)


def _letter_finding(takeoff: Takeoff, book: IssueBook, standing: Standing) -> Iterator[Finding]:
    """A warning that the revision's letter is taken, before anybody issues under it."""
    if takeoff.order is None or not standing.variations:
        return
    taken = _taken_by(takeoff, book, contents_of(takeoff.order))
    if taken is not None:
        text = f"Revision {taken.revision} is taken by issue {taken.number}, which had other contents."
        yield Finding("revision-taken", Severity.WARN, text, "Give the next letter before you issue.")


def _taken_by(takeoff: Takeoff, book: IssueBook, contents: str) -> Issue | None:
    """The issue that had the job's letter with other contents; None for none."""
    letter = takeoff.job.revision
    return next((one for one in book.issues if one.revision == letter and one.contents != contents), None)


def _numbers(lines: list[StandingLine]) -> str:
    return ", ".join(map(str, sorted({number for line in lines for number in line.numbers})))


def _today(order: Order) -> dict[LineKey, list[OrderLine]]:
    """Lines of the order that are one to a supplier: sheets of one length in several groups stand together."""
    found: dict[LineKey, list[OrderLine]] = {}
    for line in order.lines:
        if not line.labour:
            found.setdefault((line.delivery, line.item, line.each_mm, line.unit), []).append(line)
    return found


def _before(book: IssueBook) -> dict[LineKey, list[tuple[int, IssuedLine]]]:
    found: dict[LineKey, list[tuple[int, IssuedLine]]] = {}
    for issue in book.issues:
        for line in issue.lines:
            found.setdefault(line.key, []).append((issue.number, line))
    return found


def _counts(lines: list[tuple[int, IssuedLine]]) -> bool:
    return round(sum(line.count for _, line in lines), 6) != 0.0


def _line(key: LineKey, today: list[OrderLine], before: list[tuple[int, IssuedLine]]) -> StandingLine:
    delivery, item, each_mm, unit = key
    ordered = [line for _, line in before]
    total_unit = today[0].total_unit if today else ordered[-1].total_unit
    return StandingLine(
        line=today[0].id if today else "",
        delivery=delivery,
        item=item,
        name=ordered[-1].name if ordered and not today else "",
        each_mm=each_mm,
        unit=unit,
        wanted=round(sum(line.count for line in today), 6),
        ordered=round(sum(line.count for line in ordered), 6),
        total_to_order=half_up(sum(line.total for line in today) - sum(line.total for line in ordered), 3),
        total_unit=total_unit,
        kg_to_order=half_up(sum(line.kg for line in today) - sum(line.kg for line in ordered), 1),
        numbers=tuple(dict.fromkeys(number for number, _ in before)),
    )


def _variations(lines: tuple[StandingLine, ...], book: IssueBook) -> tuple[Variation, ...]:
    found = []
    for delivery in DELIVERIES:
        own = tuple(line for line in lines if line.delivery == delivery and line.to_order != 0.0)
        if own:
            earlier = [issue for issue in book.issues if any(line.delivery == delivery for line in issue.lines)]
            letters = tuple(dict.fromkeys(issue.revision for issue in earlier))
            found.append(Variation(delivery, own, tuple(issue.number for issue in earlier), letters))
    return tuple(found)


def contents_of(order: Order) -> str:
    """Hash of all lines of an order: what one revision letter stands for."""
    found = sha256()
    for (delivery, item, each_mm, unit), lines in sorted(_today(order).items()):
        count = round(sum(line.count for line in lines), 6)
        found.update(f"{delivery}\n{item}\n{each_mm!r}\n{unit}\n{count!r}\n".encode())
    return found.hexdigest()[:16]


def next_issue(takeoff: Takeoff, book: IssueBook, wanted: IssueWanted, names: Mapping[str, str]) -> Issue:
    """The issue that orders what is still to order, of one delivery or of all; `names` says what items are called.

    Raises UsageError for a delivery that brings nothing or is unknown, where nothing is left to order, and where the
    book holds the same revision with other contents.
    """
    order = takeoff.order
    if order is None:
        raise UsageError("the order is withheld by a stop finding: nothing can be issued")
    contents = contents_of(order)
    _refuse_other_contents(takeoff, book, contents)
    standing = standing_of(order, book)
    taken = [one for one in standing.variations if wanted.delivery in ("", one.delivery)]
    if not taken:
        raise UsageError(_nothing_words(standing, wanted.delivery))
    return Issue(
        number=len(book.issues) + 1,
        date=wanted.date,
        job=takeoff.job.job,
        revision=takeoff.job.revision,
        job_hash=takeoff.job_hash,
        contents=contents,
        deliveries=tuple(one.delivery for one in taken),
        to=wanted.to,
        note=wanted.note,
        supersedes=tuple(sorted({number for one in taken for number in one.supersedes})),
        lines=tuple(_issued(line, names) for one in taken for line in one.lines),
        files=wanted.files,
    )


def _issued(line: StandingLine, names: Mapping[str, str]) -> IssuedLine:
    return IssuedLine(
        delivery=line.delivery,
        item=line.item,
        name=names.get(line.item, line.name),
        each_mm=line.each_mm,
        unit=line.unit,
        count=line.to_order,
        total=line.total_to_order,
        total_unit=line.total_unit,
        kg=line.kg_to_order,
    )


def _nothing_words(standing: Standing, delivery: str) -> str:
    if delivery and not any(line.delivery == delivery for line in standing.lines):
        there = ", ".join(dict.fromkeys(line.delivery for line in standing.lines)) or "none"
        return f"the order has no delivery {delivery}; it has {there}"
    numbers = ", ".join(map(str, standing.numbers))
    of = f" of {delivery}" if delivery else ""
    return f"nothing{of} is left to order: all of it stands in the book (issue {numbers})"


def _refuse_other_contents(takeoff: Takeoff, book: IssueBook, contents: str) -> None:
    issue = _taken_by(takeoff, book, contents)
    if issue is not None:
        raise UsageError(
            f"issue {issue.number} of {issue.date} was revision {issue.revision} with other contents: paper of "
            "both would go about under one letter; give the job a new revision"
        )
