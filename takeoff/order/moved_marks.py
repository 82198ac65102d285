"""What stands on sheets of earlier issues against what they are called today: marks run on from the eave, so a plane
that grows gives most of its sheets another mark."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from takeoff.basics.records import record
from takeoff.model.issues import IssueBook, IssuedSheets, LineMarks, MarkedSheet, Marks, MovedMark, SheetMarks
from takeoff.model.order import Order

_Kind = tuple[str, float]  # item and length: sheets that stand in for each other


@record
class _Made:
    """A sheet that was ordered: what its issue wrote on it, and what it is called since."""

    issue: int
    written: Marks
    now: Marks


def marked_sheets(order: Order) -> tuple[MarkedSheet, ...]:
    """Every bought sheet of today's order, with the marks of all that is cut from it."""
    marks = {part.mark: tuple(p.mark for p in blank.pieces) for blank in order.blanks for part in blank.pieces[:1]}
    return tuple(
        MarkedSheet(line.item, line.each_mm, marks[ref])
        for line in order.lines
        if not line.labour and line.each_mm > 0.0
        for ref in line.refs
        if ref in marks
    )


def sheet_marks(order: Order, book: IssueBook) -> SheetMarks | None:
    """Which marks stay, move, are to be made and are taken back; None where the marks of an issue are not known, or
    where issues were for another number of houses."""
    houses = order.houses.count if order.houses is not None else 1
    if not book.sheets or any(one is None or one.houses != houses for one in book.sheets):
        return None
    state: dict[_Kind, list[_Made]] = {}
    for one in book.sheets:
        if one is not None:
            state = _after(state, one)[0]
    today = marked_sheets(order)
    kept, made, back = _after(state, IssuedSheets(0, houses, today))
    moved = tuple(
        MovedMark(one.issue, item, each_mm, one.written, one.now)
        for (item, each_mm), sheets in kept.items()
        for one in sheets
        if one.written != one.now  # what is made today is called what is written on it
    )
    return SheetMarks(moved, _line_marks(made), _line_marks(back), _other_lengths(state, today))


def _after(
    state: dict[_Kind, list[_Made]], order: IssuedSheets
) -> tuple[dict[_Kind, list[_Made]], dict[_Kind, list[Marks]], dict[_Kind, list[Marks]]]:
    """The sheets there are after an order, what it makes anew, and what it takes back by the marks written on it."""
    wanted: dict[_Kind, list[Marks]] = {}
    for sheet in order.sheets:
        wanted.setdefault((sheet.item, sheet.each_mm), []).append(sheet.marks)
    kept: dict[_Kind, list[_Made]] = {}
    made: dict[_Kind, list[Marks]] = {}
    back: dict[_Kind, list[Marks]] = {}
    for kind in dict.fromkeys((*state, *wanted)):
        pairs, old, new = _paired(state.get(kind, []), wanted.get(kind, []))
        own = [_Made(order.issue, marks, marks) for marks in new]
        kept[kind] = [_Made(one.issue, one.written, marks) for one, marks in pairs] + own
        made[kind] = new
        back[kind] = [one.written for one in old]
    return kept, made, back


def _paired(old: list[_Made], new: list[Marks]) -> tuple[list[tuple[_Made, Marks]], list[_Made], list[Marks]]:
    """Sheets that stay with what they are called now: first those of the same mark, then those of the same plane."""
    pairs: list[tuple[_Made, Marks]] = []
    old, new = list(old), list(new)
    alike: tuple[Callable[[_Made, Marks], bool], ...] = (
        lambda one, marks: one.now == marks,
        lambda one, marks: one.written == marks,
        lambda one, marks: _plane(one.now) == _plane(marks),
        lambda one, marks: True,
    )
    for same in alike:
        for one in tuple(old):
            found = next((marks for marks in new if same(one, marks)), None)
            if found is not None:
                pairs.append((one, found))
                old.remove(one)
                new.remove(found)
    return pairs, old, new


def _plane(marks: Marks) -> str:
    return marks[0].rpartition(".")[0]


def _line_marks(found: dict[_Kind, list[Marks]]) -> tuple[LineMarks, ...]:
    return tuple(LineMarks(item, each_mm, tuple(marks)) for (item, each_mm), marks in found.items() if marks)


def _other_lengths(state: dict[_Kind, list[_Made]], today: Iterable[MarkedSheet]) -> int:
    """How many marks that stand on sheets name a sheet of another length or another kind today."""
    now = {mark: (sheet.item, sheet.each_mm) for sheet in today for mark in sheet.marks}
    return sum(now.get(mark, kind) != kind for kind, sheets in state.items() for one in sheets for mark in one.written)
