"""The sheet Issued: every line of the order against the book of issues."""

from __future__ import annotations

from takeoff.model.issues import Standing, StandingLine
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Order, Takeoff
from takeoff.write.words.item_names import words_of
from takeoff.write.words.mark_words import moved_words, sheet_words
from takeoff.write.words.words import plain
from takeoff.write.workbook.workbook_page import Page


def fill_issued(page: Page, takeoff: Takeoff, _order: Order) -> None:
    """What is wanted, what was ordered by which issues, and what is still to order, by delivery."""
    standing = takeoff.issued
    if standing is None:
        return
    for fault in standing.faults:
        page.note(f"The book of issues is damaged, what was ordered is not known: {plain(fault)}")
    for delivery in DELIVERIES:
        lines = [line for line in standing.lines if line.delivery == delivery]
        if lines:
            page.group(delivery.capitalize())
        for line in lines:
            _line(page, line, takeoff)
    _moved(page, standing)


def _moved(page: Page, standing: Standing) -> None:
    """What sheets of earlier issues are called now, where it is not what is written on them."""
    words = moved_words(standing)
    if not words:
        return
    page.gap()
    page.group("Marks on sheets of earlier issues")
    page.note(words)
    if standing.marks is None:
        return
    heads = ("mark on the sheet", "length mm", "", "", "", "", "mark now", "issue")
    page.heading(heads, (False, True, False, False, False, False, False, False))
    for one in standing.marks.moved:
        page.line((sheet_words(one.written), one.each_mm, None, None, None, "", sheet_words(one.now), str(one.issue)))


def _line(page: Page, line: StandingLine, takeoff: Takeoff) -> None:
    name = words_of(line.item, takeoff.items) if line.item in takeoff.items else line.name
    numbers = ", ".join(map(str, line.numbers))
    page.line(
        (plain(name), line.each_mm or None, line.wanted, line.ordered, line.to_order or None, line.unit,
         line.state.value, numbers)
    )  # fmt: skip
