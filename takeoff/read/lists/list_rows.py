"""Lists as rows of cells: CSV and XLSX alike, bounded, with the file's own row numbers. What cells mean comes later."""

from __future__ import annotations

import csv
import datetime
import io
import warnings
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from takeoff.basics.errors import UnreadableFileError
from takeoff.read.lists.workbook_guard import check_workbook

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

MOST_ROWS = 20_000  # the largest roof has some thousands of sheets
MOST_COLUMNS = 200
MOST_CSV_BYTES = 5_000_000

Cell = str | float | int | None


@dataclass(frozen=True, slots=True)
class Row:
    """One row that holds something, by its 1-based number in the file."""

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class RawTable:
    """One worksheet or text file. `merged`: first row, last row, first and last column (0-based) of merged cells;
    `odd`: why a cell, by row number and column, holds no value that can be used."""

    file: str
    sheet: str
    rows: tuple[Row, ...]
    merged: tuple[tuple[int, int, int, int], ...] = ()
    odd: Mapping[tuple[int, int], str] = field(default_factory=dict)

    def place(self, row: int) -> str:
        """Where a row is, for a message: "list.xlsx, sheet Roof, row 7"."""
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        return f"{self.file}{sheet}, row {row}"


def read_tables(path: Path) -> tuple[RawTable, ...]:
    """The sheets of a workbook that are not hidden, or the one table of a CSV file.

    Raises UnreadableFileError for a file that is neither, is damaged, locked or larger than a list can be.
    """
    if not path.exists():
        raise UnreadableFileError(f"{path}: there is no such file")
    if path.is_dir():
        raise UnreadableFileError(f"{path}: is a folder; name the list in it")
    suffix = path.suffix.lower()
    if suffix in (".xlsx", ".xlsm"):
        return _workbook_tables(path)
    if suffix in (".csv", ".txt", ".tsv"):
        return (_csv_table(path),)
    raise UnreadableFileError(f"{path}: a list is read from CSV or XLSX; save it as one of them")


def _csv_table(path: Path) -> RawTable:
    text = _text(path)
    delimiter = _delimiter(text)
    rows: list[Row] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        for cells in reader:
            filled: tuple[Cell, ...] = tuple(cell.strip() or None for cell in cells)
            if any(cell is not None for cell in filled):
                rows.append(Row(reader.line_num, filled))
                _bounded(path, "", len(rows), len(filled))
    except csv.Error as err:
        raise UnreadableFileError(f"{path}, row {reader.line_num}: {err}") from None
    return RawTable(path.name, "", tuple(rows))


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > MOST_CSV_BYTES:
            raise UnreadableFileError(f"{path}: more than the {MOST_CSV_BYTES:,} bytes a list can be")
        data = path.read_bytes()
    except UnreadableFileError:
        raise
    except OSError as err:
        raise UnreadableFileError(f"{path}: cannot be read: {err.strerror or err}") from None
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as err:
        raise UnreadableFileError(f"{path}: byte {err.start} is no {encoding[:6]} text; save it as CSV UTF-8") from None
    if "\x00" in text:
        raise UnreadableFileError(f"{path}: holds zero bytes, so it is no text file")
    return text


def _delimiter(text: str) -> str:
    """The sign that parts most cells in the first rows."""
    head = text.splitlines()[:40]
    return max(",;\t", key=lambda sign: sum(line.count(sign) for line in head))


def _workbook_tables(path: Path) -> tuple[RawTable, ...]:
    from openpyxl import load_workbook

    check_workbook(path)
    with _readable(path):
        streamed = load_workbook(path, read_only=True, data_only=True, keep_links=False)
        try:
            _bound_rows(path, streamed)
        finally:
            streamed.close()
        values = load_workbook(path, data_only=True, keep_links=False)
        formulas = load_workbook(path, keep_links=False)
        return tuple(
            _sheet_table(path, sheet, formulas[sheet.title])
            for sheet in values.worksheets
            if sheet.sheet_state == "visible"
        )


@contextmanager
def _readable(path: Path) -> Iterator[None]:
    """Faults of a damaged workbook, whatever part of the library trips over them, as one of ours."""
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except UnreadableFileError:
        raise
    except (
        InvalidFileException, zipfile.BadZipFile, zlib.error, SyntaxError, LookupError, TypeError, ValueError,
        AttributeError, EOFError, RuntimeError, OSError,
    ) as err:  # fmt: skip
        raise UnreadableFileError(
            f"{path}: damaged, it does not open as a workbook: {err or type(err).__name__}"
        ) from None


def _bound_rows(path: Path, book: Workbook) -> None:
    for sheet in book.worksheets:
        filled = 0
        for cells in sheet.iter_rows(values_only=True):
            if any(cell is not None for cell in cells):
                filled += 1
                _bounded(path, sheet.title, filled, len(cells))


def _bounded(path: Path, sheet: str, rows: int, columns: int) -> None:
    where = f"{path}, sheet {sheet}" if sheet else str(path)
    if rows > MOST_ROWS:
        raise UnreadableFileError(f"{where}: more than the {MOST_ROWS:,} rows a cut list can have")
    if columns > MOST_COLUMNS:
        raise UnreadableFileError(f"{where}: {columns:,} columns, more than the {MOST_COLUMNS} a cut list can have")


def _sheet_table(path: Path, sheet: Worksheet, formulas: Worksheet) -> RawTable:
    rows: list[Row] = []
    odd: dict[tuple[int, int], str] = {}
    for number, (cells, sources) in enumerate(zip(sheet.iter_rows(), formulas.iter_rows(), strict=True), start=1):
        filled: list[Cell] = []
        for column, (cell, source) in enumerate(zip(cells, sources, strict=True)):
            value, why = _cell(cell.value, source.data_type == "f", cell.coordinate)
            filled.append(value)
            if why:
                odd[(number, column)] = why
        if any(value is not None for value in filled) or any((number, c) in odd for c in range(len(filled))):
            rows.append(Row(number, tuple(filled)))
    merged = tuple(
        (area.min_row, area.max_row, area.min_col - 1, area.max_col - 1)
        for area in sorted(sheet.merged_cells.ranges, key=lambda area: (area.min_row, area.min_col))
    )
    return RawTable(path.name, sheet.title, tuple(rows), merged, odd)


def _cell(value: object, is_formula: bool, place: str) -> tuple[Cell, str]:
    """A cell's value, and why it has none that can be used."""
    if value is None:
        if is_formula:
            return None, f"{place} is a formula without a stored value; open the list, let it calculate, save it"
        return None, ""
    if isinstance(value, bool):
        return None, f"{place} holds {str(value).lower()}, not a figure"
    if isinstance(value, int | float):
        return value, ""
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return None, f"{place} holds a date or time, not a figure"
    text = str(value).strip()
    if text.startswith("#") and text.rstrip("!?").isupper() and len(text) < 10:
        return None, f"{place} holds the error {text}"
    return text or None, ""
