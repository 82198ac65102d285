"""Writing on one sheet of the order sheet: rows of values and live formulas, each formula with its computed value.

Texts are stored as texts whatever they begin with, so that nothing from a job becomes a formula.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from string import ascii_uppercase
from typing import Protocol

from takeoff.basics.records import record
from takeoff.model.order import Takeoff
from takeoff.write.drawings.frame import state_words
from takeoff.write.words.words import date_words, plain, revision_words
from takeoff.write.workbook.prepared import Prepared, PreparedSheet
from takeoff.write.workbook.safe_texts import cell_text, header_text
from takeoff.write.workbook.workbook_grid import (
    BANNER_ROW,
    BOX_INSIDE,
    BOX_LAST,
    FIRST_ROW,
    GRID,
    GROUP_WORDS,
    HEAD_ROW,
    JOB_ROW,
    Grid,
)

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
    """One sheet being filled from the first free row down. `said`: the trade's own words in a text; `left` and `right`:
    its footer; `cells`: by row and column, each the number of its format and its value; `merged`: ranges of cells."""

    template: Prepared
    sheet: PreparedSheet
    grid: Grid
    said: Callable[[str], str]
    left: str = ""
    right: str = ""
    row: int = FIRST_ROW
    cells: dict[int, dict[int, tuple[int, Cell]]] = field(default_factory=dict)
    heights: dict[int, float] = field(default_factory=dict)
    merged: list[str] = field(default_factory=list)

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
            self.heights[self.row] = LINE_POINTS * lines

    def put(self, column: int, value: Cell, style: str) -> None:
        """Write one cell of the current row."""
        if isinstance(value, str):
            value = cell_text(self.said(value)) or None
        self.cells.setdefault(self.row, {})[column] = (self.template.style(style), value)

    def group(self, text: str) -> None:
        """A grey bar across the sheet with a heading."""
        self.put(1, text, GROUP_WORDS)
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
        self.heights[self.row] = LINE_POINTS * lines_needed(text, width)
        self.row += 1

    def gap(self) -> None:
        """An empty row."""
        self.row += 1

    def merge(self, first: int, last: int, style: str = "") -> None:
        """One cell of several columns of the current row, with the box of a style behind the first."""
        self.merged.append(f"{ascii_uppercase[first - 1]}{self.row}:{ascii_uppercase[last - 1]}{self.row}")
        for column in range(first + 1, last + 1):
            if style:
                self.put(column, None, (BOX_LAST if column == last else BOX_INSIDE).format(style))

    @property
    def print_area(self) -> str:
        """What is printed: all that is filled; the head, where a paper prints the rest."""
        last = HEAD_ROW - 1 if self.grid.paper else max(self.row - 1, HEAD_ROW)
        return f"$A$1:${ascii_uppercase[len(self.grid.columns) - 1]}${last}"

    @property
    def values(self) -> dict[str, float]:
        """What each formula must give, by its cell."""
        return {
            f"{ascii_uppercase[column - 1]}{row}": float(value.value)
            for row, cells in self.cells.items()
            for column, (_, value) in cells.items()
            if isinstance(value, Formula)
        }


def open_page(template: Prepared, title: str, takeoff: Takeoff, said: Callable[[str], str]) -> Page:
    """A sheet of the template with job line, banner and footer filled in. Raises TakeoffError where the template lacks
    it."""
    page = Page(template, template.sheet(title), GRID[title], said)
    for row, _, cells in page.sheet.rows:
        page.cells[row] = {
            column: (style, said(value) if isinstance(value, str) else value) for column, style, value in cells
        }
    page.merged += page.sheet.merged
    job = takeoff.job
    houses = f"{takeoff.order.houses.words}, " if takeoff.order is not None and takeoff.order.houses is not None else ""
    words = f"{plain(job.job)}, {houses}{revision_words(job.revision, takeoff.supersedes)}, {date_words(job.date)}"
    banner = ""
    if takeoff.order is None:
        banner = STOPPED
    elif page.grid.document is not None:
        banner = state_words(takeoff.order, page.grid.document)
    for row, text in ((JOB_ROW, words), (BANNER_ROW, banner)):
        style, _ = page.cells.setdefault(row, {}).get(1, (0, None))
        page.cells[row][1] = style, cell_text(said(text)) or None
    page.left = header_text(words, _MOST_FOOTER)
    page.right = f"job {takeoff.job_hash[:8]}, page &P of &N" if takeoff.job_hash else page.sheet.right
    return page


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
