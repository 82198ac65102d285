"""Writing on one sheet of the order sheet: rows of values and live formulas, each formula with its computed value.

Texts are stored as texts whatever they begin with, so that nothing from a job becomes a formula.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Protocol

from takeoff.basics.errors import TakeoffError
from takeoff.basics.records import record
from takeoff.model.order import Takeoff
from takeoff.write.drawings.frame import state_words
from takeoff.write.words.words import date_words, plain, revision_words
from takeoff.write.workbook.merged import Merged, merge
from takeoff.write.workbook.safe_texts import cell_text, header_text
from takeoff.write.workbook.workbook_grid import BANNER_ROW, FIRST_ROW, GRID, HEAD_ROW, JOB_ROW, Grid

if TYPE_CHECKING:
    from openpyxl.styles import Alignment
    from openpyxl.styles.cell_style import StyleArray
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

_MOST_FOOTER = 190  # of 255: the job's mark and page numbers stand beside it
LINE_POINTS = 15.0  # one line of the body font
# widths of letters of the body font in widths of a digit
_NARROW, _WIDE, _THIN, _THICK = 0.5, 1.4, "ijlrtfI.,;:'|!()[]-", "mw%@"
STOPPED = "NOT AN ORDER: stopped by a finding, no quantity is released"


@record
class Formula:
    """A live formula without its equals sign, and the value it must give."""

    text: str
    value: float


Cell = str | float | int | None | Formula


class Lines(Protocol):
    """What tables are written into: a sheet of the workbook, or a paper that says the same."""

    row: int
    grid: Grid

    def line(self, cells: Sequence[Cell], total: bool = False, styles: Sequence[str] = ()) -> int:
        """A row; returns its number."""

    def group(self, text: str) -> None:
        """A bar with a heading."""

    def heading(self, cells: Sequence[str], right: Sequence[bool] = ()) -> None:
        """The heading of a further table."""

    def note(self, text: str) -> None:
        """Words across the table."""

    def gap(self) -> None:
        """An empty row."""


@dataclass(slots=True)
class Page:
    """One sheet being filled from the first free row down."""

    sheet: Worksheet
    grid: Grid
    row: int = FIRST_ROW
    values: dict[str, float] = field(default_factory=dict)
    styles: dict[str, StyleArray] = field(default_factory=dict)  # of cells, by the column's style: looked up once
    merged: Merged = field(default_factory=dict)

    def line(self, cells: Sequence[Cell], total: bool = False, styles: Sequence[str] = ()) -> int:
        """Write a row in the columns' own styles (or `styles`), bold with a rule over it when `total`. Returns its
        row."""
        for i, value in enumerate(cells):
            style = styles[i] if i < len(styles) else self.grid.columns[i].style
            self.put(i + 1, value, f"{style} total" if total else style)
        self._fit_height(cells, 0.9 if total else 1.0)
        self.row += 1
        return self.row - 1

    def _fit_height(self, cells: Sequence[Cell], part: float = 1.0) -> None:
        """Make the row high enough for its longest wrapped text: not every program does it on opening."""
        lines = max(
            lines_needed(cell, part * (self.grid.columns[i].width - 2.0)) if isinstance(cell, str) else 1
            for i, cell in enumerate(cells)
        )
        if lines > 1:
            self.sheet.row_dimensions[self.row].height = LINE_POINTS * lines

    def put(self, column: int, value: Cell, style: str) -> None:
        """Write one cell of the current row."""
        cell: Any = self.sheet.cell(self.row, column)
        known = self.styles.get(style)
        if known is None:
            cell.style = f"takeoff {style}"
            self.styles[style] = copy(cell._style)
        else:
            cell._style = known  # shared: whoever changes the style of one cell takes a copy first
        if isinstance(value, Formula):
            cell.value = f"={value.text}"
            self.values[cell.coordinate] = float(value.value)
        elif isinstance(value, str):
            put_text(cell, value)
        elif value is not None:
            cell._value = value  # a number, as a new cell takes it to be

    def group(self, text: str) -> None:
        """A grey bar across the sheet with a heading."""
        self.put(1, text, "group")
        first: Any = self.sheet.cell(self.row, 1)
        first._style = copy(first._style)
        first.alignment = no_wrap()
        for i in range(2, len(self.grid.columns) + 1):
            self.put(i, None, "group")
        self.row += 1

    def heading(self, cells: Sequence[str], right: Sequence[bool] = ()) -> None:
        """A heading row of a further table on the sheet."""
        for i, text in enumerate(cells):
            self.put(i + 1, text or None, "heading right" if i < len(right) and right[i] else "heading")
        self._fit_height(cells, 0.9)
        self.row += 1

    def note(self, text: str) -> None:
        """Words across the whole sheet, as many lines high as they need."""
        width = sum(column.width for column in self.grid.columns)
        self.merge(1, len(self.grid.columns))
        self.put(1, text, "note")
        self.sheet.row_dimensions[self.row].height = LINE_POINTS * lines_needed(text, width)
        self.row += 1

    def gap(self) -> None:
        """An empty row."""
        self.row += 1

    def merge(self, first: int, last: int) -> None:
        """One cell of several columns of the current row."""
        merge(self.sheet, self.row, (first, last), self.merged)

    def finish(self) -> None:
        """Limit printing to what is filled; to the head, where a paper prints the rest."""
        from openpyxl.utils import get_column_letter

        last = max(self.row - 1, HEAD_ROW)
        if self.grid.paper:
            last = HEAD_ROW - 1
        self.sheet.print_area = f"A1:{get_column_letter(len(self.grid.columns))}{last}"


def open_page(book: Workbook, title: str, takeoff: Takeoff) -> Page:
    """A sheet of the template with job line, banner and footer filled in. Raises TakeoffError where the template lacks
    it."""
    if title not in book.sheetnames:
        raise TakeoffError(f"templates/order_sheet.xlsx: the sheet {title} is missing; make the template again")
    sheet = book[title]
    grid = GRID[title]
    job = takeoff.job
    houses = f"{takeoff.order.houses.words}, " if takeoff.order is not None and takeoff.order.houses is not None else ""
    words = f"{plain(job.job)}, {houses}{revision_words(job.revision, takeoff.supersedes)}, {date_words(job.date)}"
    put_text(sheet.cell(JOB_ROW, 1), words)
    banner = ""
    if takeoff.order is None:
        banner = STOPPED
    elif grid.document is not None:
        banner = state_words(takeoff.order, grid.document)
    put_text(sheet.cell(BANNER_ROW, 1), banner)
    if sheet.oddFooter is not None:
        sheet.oddFooter.left.text = header_text(words, _MOST_FOOTER)
        if takeoff.job_hash:
            sheet.oddFooter.right.text = f"job {takeoff.job_hash[:8]}, page &P of &N"
    return Page(sheet, grid)


def lines_needed(text: str, width: float) -> int:
    """How many lines a text takes in a column `width` digits wide, broken between words."""
    if len(text) * _WIDE < width:
        return 1
    lines, used = 1, 0.0
    for word in text.split():
        size = _word_width(word)
        if used and used + _NARROW + size > width:
            lines, used = lines + 1, size
        else:
            used += (_NARROW if used else 0.0) + size
        while used > width:
            lines, used = lines + 1, used - width
    return lines


@lru_cache(maxsize=4096)
def _word_width(word: str) -> float:
    return sum(
        _NARROW if letter in _THIN else _WIDE if letter.isupper() or letter in _THICK else 1.0 for letter in word
    )


def put_text(cell: Any, text: str) -> None:
    """Store a text in a cell as a text: a leading equals sign must not make a formula of it."""
    words = cell_text(text)
    cell._value = words or None
    cell.data_type = "s" if words else "n"


def no_wrap() -> Alignment:
    """Words that run on over the empty cells beside them."""
    from openpyxl.styles import Alignment

    return Alignment(wrap_text=False, vertical="center")
