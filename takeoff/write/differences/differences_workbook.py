"""A workbook of differences: a sheet a table, printed across A4, filters on; figures as figures, texts as texts."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from takeoff.write.differences.tables import Table
from takeoff.write.words.words import plain
from takeoff.write.workbook.safe_texts import cell_text, sheet_name
from takeoff.write.workbook.steady import library_parts, steady_zip
from takeoff.write.workbook.workbook_page import LINE_POINTS, lines_needed

if TYPE_CHECKING:
    from openpyxl.styles import Alignment
    from openpyxl.worksheet.worksheet import Worksheet

_FONT = "Arial"
_HEAD_ROW = 5
_LEAST_WIDE = 100.0  # characters over all columns, so that the lines over the table fit on the page
# a figure with its unit, as tables of changes write it
_FIGURE = re.compile(r"([+-]?[0-9][0-9,]*(?:\.[0-9]+)?) ([a-zA-Z0-9]+)")
_WIDEST = 60.0  # characters; longer texts wrap


def differences_workbook(title: str, tables: Sequence[Table], date: datetime.date | None = None) -> bytes:
    """The tables as a workbook, the same bytes for the same tables. `title` stands over every sheet; a comparison
    without a table says that nothing differs."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    for table in tables or (Table("Differences", "Nothing differs.", ("",), (False,), ()),):
        _sheet(book.create_sheet(sheet_name(table.title, book.sheetnames)), title, table)
    book.properties.title = plain(title)
    return steady_zip(library_parts(book, date).items(), date)


def _sheet(sheet: Worksheet, title: str, table: Table) -> None:
    from openpyxl.styles import Border, Font, PatternFill, Side
    from openpyxl.utils import get_column_letter

    for row, (text, size) in enumerate(((table.title, 16), (title, 11), (table.says, 11)), start=1):
        _put_text(sheet.cell(row, 1), text)
        sheet.cell(row, 1).font = Font(name=_FONT, size=size, bold=row == 1)
        sheet.row_dimensions[row].height = size * 1.6
    sheet.cell(_HEAD_ROW - 1, 1)  # an empty row is a row too
    grey, thin = PatternFill("solid", fgColor="E4E4E4"), Side(style="thin", color="808080")
    for number, heading in enumerate(table.headings):
        cell = sheet.cell(_HEAD_ROW, number + 1)
        _put_text(cell, heading)
        cell.font, cell.fill = Font(name=_FONT, size=11, bold=True), grey
        cell.alignment = _place(table.right[number])
    for row, values in enumerate(table.rows, start=_HEAD_ROW + 1):
        for number, value in enumerate(values):
            cell = sheet.cell(row, number + 1)
            right = table.right[number]
            figure = _FIGURE.fullmatch(value) if right and isinstance(value, str) else None
            if figure:
                cell.value = float(figure[1].replace(",", ""))
                cell.number_format = _format(figure[1], figure[2])
            elif isinstance(value, str):
                _put_text(cell, value)
            elif value is not None:
                cell.value = value
                cell.number_format = "0.###" if isinstance(value, float) and value != int(value) else "0"
            cell.font, cell.border = Font(name=_FONT, size=11), Border(bottom=thin)
            cell.alignment = _place(right)
    widths = [_width(table, number) for number in range(len(table.headings))]
    widths[-1] += max(0.0, _LEAST_WIDE - sum(widths))
    for number, width in enumerate(widths, start=1):
        sheet.column_dimensions[get_column_letter(number)].width = width
    _fit_heights(sheet, table, widths)
    _print_set_up(sheet, table)


def _put_text(cell: Any, text: str) -> None:
    """Store a text in a cell as a text: a leading equals sign must not make a formula of it."""
    words = cell_text(text)
    cell._value = words or None
    cell.data_type = "s" if words else "n"


def _fit_heights(sheet: Worksheet, table: Table, widths: Sequence[float]) -> None:
    """Make each row high enough for its longest wrapped text: not every program does it on opening."""
    for row, values in enumerate(table.rows, start=_HEAD_ROW + 1):
        lines = max(
            (lines_needed(cell, widths[i] - 2.0) for i, cell in enumerate(values) if isinstance(cell, str)), default=1
        )
        if lines > 1:
            sheet.row_dimensions[row].height = LINE_POINTS * lines


def _place(right: bool) -> Alignment:
    from openpyxl.styles import Alignment

    indent = 0 if right else 1
    return Alignment(horizontal="right" if right else "left", wrap_text=True, vertical="top", indent=indent)


def _width(table: Table, number: int) -> float:
    longest = max((len(str(row[number] or "")) for row in table.rows), default=0)
    return min(_WIDEST, max(longest * 1.15, len(table.headings[number]) * 1.3, 6.0) + 2.0)


def _format(figure: str, unit: str) -> str:
    """A number format that shows a figure as it was written: its decimals, its sign, its unit."""
    decimals = len(figure.partition(".")[2])
    digits = f'#,##0{"." if decimals else ""}{"0" * decimals}" {unit}"'
    return f"+{digits};-{digits};{digits}" if figure[0] in "+-" else digits


def _print_set_up(sheet: Worksheet, table: Table) -> None:
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.properties import PageSetupProperties

    last = f"{get_column_letter(len(table.headings))}{max(_HEAD_ROW + len(table.rows), _HEAD_ROW)}"
    if table.rows:
        sheet.auto_filter.ref = f"A{_HEAD_ROW}:{last}"
    sheet.freeze_panes = f"A{_HEAD_ROW + 1}"
    sheet.print_title_rows = f"{_HEAD_ROW}:{_HEAD_ROW}"
    sheet.print_area = f"A1:{last}"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = 9  # A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    if sheet.oddFooter is not None:
        sheet.oddFooter.right.text = "page &P of &N"
