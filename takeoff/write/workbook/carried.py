"""What people typed beside the lines of the last workbook, carried into the new one by item and length."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from takeoff.basics.rounding import half_up
from takeoff.model.ordered import Typed, TypedLine
from takeoff.write.words.words import number, plain
from takeoff.write.workbook.workbook_page import Cell, Page

Entries = tuple[Cell, Cell]
_Key = tuple[str, str, float]
NOTHING: Entries = (None, None)


class Carried:
    """What was typed, given out line by line; what no line asks for is left."""

    def __init__(self, typed: Iterable[TypedLine], said: Callable[[str], str]) -> None:
        self._said = said
        self._by_line: dict[_Key, list[TypedLine]] = {}
        for line in typed:
            key = (line.sheet, plain(said(line.item)), half_up(line.length_mm, 0))
            self._by_line.setdefault(key, []).append(line)

    def take(self, sheet: str, item: str, length_mm: float) -> Entries:
        """What was typed beside a line, as cells for its columns."""
        found = self._by_line.get((sheet, plain(self._said(item)), half_up(length_mm, 0)))
        if not found:
            return NOTHING
        line = found.pop(0)
        return _cell(line.ordered), _cell(line.received)

    @property
    def left(self) -> tuple[TypedLine, ...]:
        """What stands beside no line of this order, in the order it was read."""
        return tuple(line for lines in self._by_line.values() for line in lines)


def _cell(value: Typed) -> Cell:
    return value if value != "" else None


def left_words(line: TypedLine) -> str:
    """A line that is no longer there, in words: "Purlin 70 x 45, 4800 mm: ordered 12"."""
    length = f", {number(line.length_mm)} mm" if line.length_mm > 0.0 else ""
    parts = [f"{what} {_words(value)}" for what, value in _entries(line) if value != ""]
    return f"{plain(line.item)}{length}: {', '.join(parts)}"


def _entries(line: TypedLine) -> tuple[tuple[str, Typed], ...]:
    return ("ordered", line.ordered), ("received", line.received)


def _words(value: Typed) -> str:
    return plain(value) if isinstance(value, str) else number(value)


def fill_left(page: Page, left: Iterable[TypedLine]) -> None:
    """What was typed beside lines that are in no order any more: it stays here until somebody deletes it."""
    for line in left:
        length = line.length_mm if line.length_mm > 0.0 else None
        page.line((line.sheet, plain(line.item), length, _cell(line.ordered), _cell(line.received)))
