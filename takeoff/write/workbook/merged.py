"""Cells of a row made one: the library works out the styles once, and they are given to every row that is alike.

The library works out borders side by side for each cell, and asks of each new range whether it lies in one there is.
"""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

# styles of the cells of a row before they are made one -> as the library leaves them
Merged = dict[tuple[bytes, ...], tuple[Any, ...]]


def merge(sheet: Worksheet, row: int, columns: tuple[int, int], known: Merged) -> None:
    """Make one cell of the columns from the first to the last, as the library does it; no range lies over another."""
    from openpyxl.cell.cell import MergedCell
    from openpyxl.worksheet.cell_range import CellRange

    first, last = columns
    cells: dict[tuple[int, int], Any] = sheet._cells
    spanned = range(first, last + 1)
    styles = (getattr(cells.get((row, column)), "_style", None) for column in spanned)
    key = tuple(b"" if style is None else style.tobytes() for style in styles)
    if key not in known:
        for column in spanned:
            if (row, column) in cells:  # the library changes styles where they stand
                cells[row, column]._style = copy(cells[row, column]._style)
        sheet.merge_cells(start_row=row, end_row=row, start_column=first, end_column=last)
        known[key] = tuple(copy(cells[row, column]._style) for column in spanned)
        return
    sheet.merged_cells.ranges.add(CellRange(min_col=first, min_row=row, max_col=last, max_row=row))
    sheet.cell(row, first)
    for column, style in zip(spanned, known[key], strict=True):
        if column > first:
            cells[row, column] = MergedCell(sheet, row, column)
        cells[row, column]._style = style
