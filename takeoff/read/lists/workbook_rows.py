"""The sheets of a workbook as tables, read as a stream: what holds nothing costs nothing, wherever it is."""

from __future__ import annotations

import datetime
import io
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.read.lists.raw_table import MOST_COLUMNS, Cell, RawTable, Row, bound_rows
from takeoff.read.lists.workbook_guard import check_workbook, readable

MOST_MERGED = 20_000


def workbook_tables(path: Path, data: bytes) -> tuple[RawTable, ...]:
    """The sheets that are not hidden. Raises UnreadableFileError for a file that is no workbook, is damaged, locked or
    larger than a list can be."""
    from openpyxl import load_workbook

    check_workbook(path, data)
    with readable(path, "damaged, it does not open as a workbook"), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        try:
            sheets: list[Any] = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
            return tuple(_sheet_table(path, sheet) for sheet in sheets)
        finally:
            book.close()


def _sheet_table(path: Path, sheet: Any) -> RawTable:
    rows: list[Row] = []
    odd: dict[tuple[int, int], str] = {}
    merged: list[tuple[int, int, int, int]] = []
    last = 0
    for number, cells in _rows(sheet, merged):
        if number <= last:
            raise ValueError(f"row {number} of sheet {sheet.title} stands after row {last}")
        last = number
        filled: dict[int, Cell] = {}
        for cell in cells:
            place, column = f"{_letters(cell['column'])}{number}", cell["column"] - 1
            value, why = _cell(cell["value"], cell["data_type"] == "f", place)
            if value is None and not why:
                continue
            if column >= MOST_COLUMNS:
                raise UnreadableFileError(
                    f"{path}, sheet {sheet.title}: cell {place} is in column {column + 1:,}, more than the "
                    f"{MOST_COLUMNS} a cut list can have; delete what is in it"
                )
            if column in filled:
                raise ValueError(f"cell {place} of sheet {sheet.title} stands in it twice")
            filled[column] = value
            if why:
                odd[(number, column)] = why
        if filled:
            rows.append(Row(number, tuple(filled.get(column) for column in range(max(filled) + 1))))
            bound_rows(path, sheet.title, len(rows), 0)
    return RawTable(path.name, sheet.title, tuple(rows), tuple(sorted(merged)), odd)


def _rows(sheet: Any, merged: list[tuple[int, int, int, int]]) -> Iterator[tuple[int, list[Any]]]:
    """Rows with the cells that stand in the file, by row number; at the end `merged` is filled.

    The library's own rows fill every gap with empty cells, up to the last row and column there can be.
    """
    from openpyxl.utils.cell import range_boundaries
    from openpyxl.worksheet._reader import FORMULA_TAG, WorkSheetParser

    class Cells(WorkSheetParser):
        """Values as stored, and which of them a formula gave."""

        def parse_cell(self, element: Any) -> dict[str, Any]:
            cell: dict[str, Any] = super().parse_cell(element)
            if element.find(FORMULA_TAG) is not None:
                cell["data_type"] = "f"
            return cell

    book: Any = sheet.parent
    with sheet._get_source() as source:
        parser: Any = Cells(
            source,
            sheet._shared_strings,
            data_only=True,
            epoch=book.epoch,
            date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
        )
        yield from parser.parse()
        ranges = parser.merged_cells.mergeCell if parser.merged_cells is not None else []
        if len(ranges) > MOST_MERGED:
            raise ValueError(f"{len(ranges):,} merged ranges, more than the {MOST_MERGED:,} a list can have")
        for entry in ranges:
            left, top, right, bottom = range_boundaries(str(entry.ref))
            if left is None or top is None or right is None or bottom is None:
                raise ValueError(f"{entry.ref} is no range of merged cells")
            merged.append((top, bottom, left - 1, right - 1))


def _letters(column: int) -> str:
    from openpyxl.utils import get_column_letter

    return get_column_letter(column)


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
