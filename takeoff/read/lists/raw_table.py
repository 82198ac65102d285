"""Lists as rows of cells, whatever kind of file they came in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.records import record

MOST_ROWS = 20_000  # the largest roof has some thousands of sheets
MOST_COLUMNS = 200

Cell = str | float | int | None


@record
class Row:
    """One row that holds something, by its 1-based number in the file."""

    number: int
    cells: tuple[Cell, ...]


@record
class RawTable:
    """One worksheet or text file. `merged`: first row, last row, first and last column (0-based) of merged cells;
    `odd`: why a cell, by row number and column, holds no value that can be used; `delimiter`: the sign between the
    cells of a text file."""

    file: str
    sheet: str
    rows: tuple[Row, ...]
    merged: tuple[tuple[int, int, int, int], ...] = ()
    odd: Mapping[tuple[int, int], str] = field(default_factory=dict)
    delimiter: str = ""

    def place(self, row: int) -> str:
        """Where a row is, for a message: "list.xlsx, sheet Roof, row 7"."""
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        return f"{self.file}{sheet}, row {row}"


def bound_rows(path: Path, sheet: str, rows: int, columns: int) -> None:
    """Raises UnreadableFileError for more rows or columns than a list has."""
    where = f"{path}, sheet {sheet}" if sheet else str(path)
    if rows > MOST_ROWS:
        raise UnreadableFileError(f"{where}: more than the {MOST_ROWS:,} rows a cut list can have")
    if columns > MOST_COLUMNS:
        raise UnreadableFileError(f"{where}: {columns:,} columns, more than the {MOST_COLUMNS} a cut list can have")
