"""A supplied cut list, CSV or XLSX -> SuppliedList. Every fault is told with its file, sheet and row."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.model.findings import Finding, Severity
from takeoff.model.supplied import SuppliedLine, SuppliedList
from takeoff.read.lists.length_words import Length, has_decimal_commas, read_count, read_length, unit_of
from takeoff.read.lists.list_columns import Columns, find_columns
from takeoff.read.lists.list_rows import read_tables
from takeoff.read.lists.raw_table import Cell, RawTable, Row

MOST_FAULTS = 20
_SAID = {"count": "quantity"}
MOST_SHEETS = 20_000
_TOTALS = ("total", "sub-total", "subtotal", "sub total", "grand total", "sum")
# first words of rows under a plane's sheets that are none: its count and metres, sizes to tape
_NOT_SHEETS = frozenset({"sheets", "check", "frame", "on site"})
_PLANE = re.compile(r"(?:(?:roof\s+)?(?:plane|face|slope)\s*)?p?\s*([0-9]{1,4})\b", re.IGNORECASE)
_MARK = re.compile(r"p\s*([0-9]{1,4})\s*[.\-/]\s*[0-9]+(?:-[0-9]+)?[a-z]?$", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]{2}|p\s*[0-9]", re.IGNORECASE)
# where a workbook has several lists, the sheet named like this is the cut list
_SHEET_NAMES = ("mill", "cut list", "cutting", "sheets", "roof")


def read_cut_list(path: Path, sheet: str = "") -> SuppliedList:
    """The cut list in a file; `sheet` names the worksheet where a workbook holds several.

    Raises UnreadableFileError with every fault of the list, UsageError for a worksheet that is not there.
    """
    tables = read_tables(path)
    if sheet:
        named = [table for table in tables if table.sheet.lower() == sheet.lower()]
        if not named:
            known = ", ".join(table.sheet for table in tables if table.sheet) or "none: it is a text file"
            raise UsageError(f"{path} has no sheet {sheet!r}; it has {known}")
        tables = tuple(named)
    found: list[tuple[RawTable, Columns]] = []
    reasons: list[str] = []
    for table in tables:
        try:
            columns = find_columns(table)
        except ValueError as err:
            reasons.append(f"{_where(table)}: {err}")
            continue
        if isinstance(columns, str):
            reasons.append(f"{_where(table)}: {columns}")
        else:
            found.append((table, columns))
    if not found:
        raise UnreadableFileError(*(reasons or [f"{path}: holds no list"])[:MOST_FAULTS])
    table, columns = min(found, key=lambda pair: _rank(pair[0]))
    return _Reader(table, columns).read(len(found))


def _where(table: RawTable) -> str:
    return f"{table.file}, sheet {table.sheet}" if table.sheet else table.file


def _rank(table: RawTable) -> int:
    name = table.sheet.lower()
    return next((i for i, word in enumerate(_SHEET_NAMES) if word in name), len(_SHEET_NAMES))


@dataclass(slots=True)
class _Reader:
    """One list being read row by row; faults are gathered so that all are told at once."""

    table: RawTable
    columns: Columns
    lines: list[SuppliedLine] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    bare: dict[str, list[int]] = field(default_factory=dict)  # rows of lengths without a unit, by the unit taken
    plane: str = ""  # of the heading above the rows
    counted: bool = True
    commas: bool = False  # decimals are parted by commas
    end: int = 0  # row where another table begins

    def read(self, lists: int) -> SuppliedList:
        """All lines. Raises UnreadableFileError with every fault."""
        self.counted = "count" in self.columns.at
        heads = next((row.cells for row in self.table.rows if row.number == self.columns.row), ())
        below = [row for row in self.table.rows if row.number > self.columns.row]
        figures = [self.columns.get(row, kind) for row in below for kind in ("length", "count")]
        self.commas = has_decimal_commas(figures, self.table.delimiter)
        for row in self.table.rows:
            if row.number > self.columns.row and row.cells != heads:
                if self.lines and self._other_table(row):
                    self.end = row.number
                    break
                if self.table.delimiter == "," and heads and len(row.cells) > len(heads):
                    self._fault(
                        row,
                        f"{len(row.cells)} cells under {len(heads)} headings: a comma that is no end of a cell, as in "
                        "4,38? put such cells in quotes, or save with semicolons",
                    )
                    continue
                self._row(row)
        self._merged_faults()
        self._unit_faults()
        count = sum(line.count for line in self.lines)
        if count > MOST_SHEETS:
            self.faults.append(f"{_where(self.table)}: {count:,} sheets, more than the {MOST_SHEETS:,} a roof can have")
        if not self.lines and not self.faults:
            self.faults.append(f"{_where(self.table)}: no line with a quantity and a length under the headings")
        if self.faults:
            more = len(self.faults) - MOST_FAULTS
            rest = [f"{_where(self.table)}: and {more} faults more"] if more > 0 else []
            raise UnreadableFileError(*self.faults[:MOST_FAULTS], *rest)
        lines = tuple(self.lines)
        if "plane" not in self.columns.at and not self.plane and not all(line.plane for line in lines):
            # marks that do not all tell their plane tell none: one cell may name sheets of several
            lines = tuple(replace(line, plane="") for line in lines)
        return SuppliedList(self.table.file, self.table.sheet, lines, tuple(self._findings(lists, lines)))

    def _row(self, row: Row) -> None:
        length, count = self.columns.get(row, "length"), self.columns.get(row, "count")
        odd = [self._odd(row, kind) for kind in ("length", "count")]
        filled = [cell for cell in row.cells if cell is not None]
        note = length is None and _WORD.search(_lone_words(filled))
        if not any(odd) and (note or (length is None and count is None)):
            self._heading(filled)
            return
        words = [cell.lower() for cell in row.cells if isinstance(cell, str)]
        if any(word.startswith(_TOTALS) for word in words) or (words and words[0] in _NOT_SHEETS):
            return
        if length is None and self.columns.get(row, "source") is not None:
            return
        if any(odd):
            self._fault(row, "; ".join(why for why in odd if why))
        elif length is None:
            self._fault(row, f"a quantity ({count}) without a length")
        elif count is None and self.counted:
            self._fault(row, f"a length ({length}) without a quantity")
        else:
            self._line(row, length, count)

    def _line(self, row: Row, length: str | float | int, count: Cell) -> None:
        try:
            number = 1 if count is None else read_count(count, self.commas)
            unit = self.columns.get(row, "unit")
            stated = self.columns.unit or (unit_of(unit) if isinstance(unit, str) else "")
            read = read_length(length, stated, commas=self.commas)
        except ValueError as err:
            self._fault(row, str(err))
            return
        if not read.stated and read.unit:
            self.bare.setdefault(read.unit, []).append(row.number)
        if number:
            self.lines.append(self._supplied(row, read, number))

    def _supplied(self, row: Row, length: Length, count: int) -> SuppliedLine:
        mark, profile = _words(self.columns.get(row, "mark")), _words(self.columns.get(row, "profile"))
        named = _words(self.columns.get(row, "plane"))
        of_mark = _MARK.match(mark)
        plane = plane_name(named) or self.plane or (f"P{int(of_mark.group(1))}" if of_mark else "")
        return SuppliedLine(row.number, count, length.mm, plane, profile, mark)

    def _other_table(self, row: Row) -> bool:
        """A row of words where a length should stand, without a quantity: the headings of another table."""
        length, count = self.columns.get(row, "length"), self.columns.get(row, "count")
        words = isinstance(length, str) and not any(letter.isdigit() for letter in length)
        return words and (count is None or (isinstance(count, str) and not any(letter.isdigit() for letter in count)))

    def _heading(self, filled: list[str | float | int]) -> None:
        """A row of words between the lines: the plane they are for, or a note."""
        words = _lone_words(filled)
        match = _PLANE.match(words)
        if match and not words[:1].isdigit() and "plane" not in self.columns.at:
            self.plane = f"P{int(match.group(1))}"

    def _odd(self, row: Row, kind: str) -> str:
        column = self.columns.at.get(kind)
        return "" if column is None else self.table.odd.get((row.number, column), "")

    def _fault(self, row: Row, words: str) -> None:
        self.faults.append(f"{self.table.place(row.number)}: {words}")

    def _merged_faults(self) -> None:
        """Cells merged over several rows leave rows without a value of their own; merged titles are let be."""
        used = {line.row for line in self.lines}
        for first, last, left, right in self.table.merged:
            kinds = [kind for kind, column in self.columns.at.items() if left <= column <= right]
            below = last > self.columns.row
            if below and kinds and (last > first or (first in used and len(kinds) > 1)):
                rows = f"rows {first} to {last}" if last > first else f"row {first}"
                self.faults.append(
                    f"{self.table.place(first)}: cells under {' and '.join(kinds)} are merged ({rows}); "
                    "unmerge them, so that each row has its own value"
                )

    def _unit_faults(self) -> None:
        if len(self.bare) < 2:
            return
        unit, rows = min(self.bare.items(), key=lambda entry: (len(entry[1]), entry[0]))
        shown = ", ".join(map(str, rows[:10])) + (" ..." if len(rows) > 10 else "")
        self.faults.append(
            f"{self.table.place(rows[0])}: without a unit the lengths look like mm and like m (like {unit} in rows "
            f"{shown}); state the unit in the heading, as length mm"
        )

    def _findings(self, lists: int, lines: tuple[SuppliedLine, ...]) -> list[Finding]:
        found: list[Finding] = []
        where = _where(self.table)
        if self.bare:
            unit = next(iter(self.bare))
            why = "all are under 60" if unit == "m" else "all are 60 or more"
            text = f"{where}: no unit is stated; the lengths were taken as {unit}, since {why}."
            found.append(Finding("list-unit-taken", Severity.NOTE, text, "State it in the heading, as length mm."))
        if not self.columns.row:
            said = ", ".join(f"{_SAID.get(kind, kind)} in column {at + 1}" for kind, at in self.columns.at.items())
            text = f"{where}: it has no headings; its columns were taken as {said}."
            found.append(
                Finding("list-columns-taken", Severity.NOTE, text, "Name them: mark, plane, quantity, length mm.")
            )
        if not self.counted:
            text = f"{where}: no column of quantities; each row was taken as one sheet."
            found.append(Finding("list-count-taken", Severity.NOTE, text))
        if self.end:
            text = f"{where}: another table begins in row {self.end}; it was not read."
            found.append(Finding("list-ends", Severity.NOTE, text))
        if lists > 1:
            text = f"{self.table.file}: {lists} of its sheets hold a list; {self.table.sheet} was read."
            found.append(Finding("list-sheet-taken", Severity.NOTE, text, "Name another with --sheet."))
        bare = [line for line in lines if not line.plane]
        if bare and len(bare) < len(lines):
            rows = ", ".join(str(line.row) for line in bare[:12]) + (" ..." if len(bare) > 12 else "")
            text = f"{where}: rows {rows} name no plane, so the list is checked by totals."
            found.append(Finding("list-planes-incomplete", Severity.NOTE, text))
        return found


def _lone_words(filled: list[str | float | int]) -> str:
    """The words of a row that holds nothing else, "" for any other row."""
    match filled:
        case [str(words)]:
            return words
        case _:
            return ""


def plane_name(words: str) -> str:
    """A plane as we name it: "plane 3", "p3" and "3" are P3; other words stay as they are."""
    match = _PLANE.fullmatch(words)
    return f"P{int(match.group(1))}" if match else words


def _words(cell: Cell) -> str:
    if isinstance(cell, float) and cell == int(cell):
        return str(int(cell))
    return " ".join(str(cell).split()) if cell is not None else ""
