"""Lists as rows of cells: CSV and XLSX alike, bounded, with the file's own row numbers. What cells mean comes later."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.read.lists.raw_table import Cell, RawTable, Row, bound_rows
from takeoff.read.lists.workbook_guard import MOST_BYTES
from takeoff.read.lists.workbook_rows import workbook_tables

MOST_CSV_BYTES = 5_000_000
_KEPT = re.compile(r"\.kept-[0-9]+$")  # the end of a name under which a changed file was kept


def read_tables(path: Path) -> tuple[RawTable, ...]:
    """The sheets of a workbook that are not hidden, or the one table of a CSV file.

    Raises UnreadableFileError for a file that is neither, is damaged, locked or larger than a list can be.
    """
    suffix = Path(_KEPT.sub("", path.name)).suffix.lower()
    if suffix in (".xlsx", ".xlsm"):
        return workbook_tables(path, read_bounded(path, MOST_BYTES, "list"))
    text = suffix in (".csv", ".txt", ".tsv")
    data = read_bounded(path, MOST_CSV_BYTES, "list")
    if not text:
        raise UnreadableFileError(f"{path}: a list is read from CSV or XLSX; save it as one of them")
    return (_csv_table(path, _text(path, data)),)


def _csv_table(path: Path, text: str) -> RawTable:
    delimiter = _delimiter(text)
    rows: list[Row] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        for cells in reader:
            filled: tuple[Cell, ...] = tuple(cell.strip() or None for cell in cells)
            if any(cell is not None for cell in filled):
                rows.append(Row(reader.line_num, filled))
                bound_rows(path, "", len(rows), len(filled))
    except csv.Error as err:
        raise UnreadableFileError(f"{path}, row {reader.line_num}: {err}") from None
    return RawTable(path.name, "", tuple(rows), delimiter=delimiter)


def _text(path: Path, data: bytes) -> str:
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
