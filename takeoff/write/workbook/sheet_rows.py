"""The rows of a workbook's sheets as XML, and a writer for the library's workbooks that takes them from here.

The library writes each cell through an XML tree, which takes most of the time of a workbook; what is written here is
the same to the last byte. All else of a workbook is the library's.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from openpyxl.compat import safe_string
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.writer.excel import ExcelWriter

from takeoff.basics.errors import TakeoffError
from takeoff.write.words.xml_text import escaped

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

_EMPTY = "<sheetData></sheetData>"


class _NoRows(WorksheetWriter):
    """Writes everything of a sheet but its rows."""

    def rows(self) -> list[Any]:
        return []


class SheetWriter(ExcelWriter):
    """Writes a workbook of the library into an archive. `values` holds, by sheet, what each formula gives; formulas on
    a sheet that it does not name are left without."""

    def __init__(self, book: Workbook, archive: zipfile.ZipFile, values: Mapping[str, Mapping[str, float]]) -> None:
        super().__init__(book, archive)
        self._out, self._values = archive, values
        self._styles: dict[bytes, int] = {}

    def write_worksheet(self, ws: Any) -> None:
        """One sheet, as the library does it, its rows put in. Raises TakeoffError when a named sheet has a formula
        without a value or a value without a formula."""
        from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing

        drawing = SpreadsheetDrawing()
        drawing.charts, drawing.images = ws._charts, ws._images
        ws._drawing = drawing
        writer: Any = _NoRows(ws, io.BytesIO())
        writer.write()
        ws._rels = writer._rels
        xml = writer.read().decode("utf-8")
        rows = rows_xml(ws, self._values.get(ws.title), self._styles)
        self._out.writestr(ws.path[1:], xml.replace(_EMPTY, f"<sheetData>{rows}</sheetData>", 1).encode("utf-8"))
        self.manifest.append(ws)


def rows_xml(sheet: Any, values: Mapping[str, float] | None, styles: dict[bytes, int]) -> str:
    """All rows of a sheet. `values`: what each formula gives, None to leave them without; `styles`: numbers of the
    styles met so far in this workbook. Raises TakeoffError unless formulas and values match cell by cell."""
    left = dict(values or {})
    by_row: dict[int, list[tuple[int, Any]]] = {
        row: [] for row in (*range(1, sheet.max_row + 1), *sheet.row_dimensions)
    }
    for (row, column), cell in sheet._cells.items():
        by_row.setdefault(row, []).append((column, cell))
    letters = {column: get_column_letter(column) for column in range(1, sheet.max_column + 1)}
    parts: list[str] = []
    for row in sorted(by_row):
        sizes = "".join(f' {name}="{escaped(value)}"' for name, value in _sizes(sheet, row).items())
        parts.append(f'<row r="{row}"{sizes}>')
        for column, cell in sorted(by_row[row], key=_first):
            styled = cell._style is not None and any(cell._style)
            if styled or cell._value is not None:
                style = f' s="{_number(cell, styles)}"' if styled else ""
                parts.append(_cell(cell, style, f"{letters[column]}{row}", sheet.title, left, values is not None))
        parts.append("</row>")
    if left:
        raise TakeoffError(f"order sheet: {sheet.title}: values without a formula: {', '.join(sorted(left))}")
    return "".join(parts)


def _first(pair: tuple[int, Any]) -> int:
    return pair[0]


def _sizes(sheet: Any, row: int) -> dict[str, str]:
    return dict(sheet.row_dimensions[row]) if row in sheet.row_dimensions else {}


def _number(cell: Any, styles: dict[bytes, int]) -> int:
    """The number of a cell's style in the workbook."""
    key = cell._style.tobytes()
    number = styles.get(key)
    if number is None:
        number = styles[key] = cell.style_id
    return number


def _cell(cell: Any, style: str, place: str, title: str, left: dict[str, float], valued: bool) -> str:
    """One cell. What its formula gives is taken out of `left`."""
    value, kind = cell._value, cell.data_type
    if kind == "f":
        if not valued:
            return f'<c r="{place}"{style}><f>{escaped(value[1:])}</f><v /></c>'
        if place not in left:
            raise TakeoffError(f"order sheet: {title}!{place} has a formula without a value: {value[1:]}")
        return f'<c r="{place}"{style}><f>{escaped(value[1:])}</f><v>{left.pop(place)!r}</v></c>'
    sort = "inlineStr" if kind == "s" else kind
    if value is None or value == "":
        return f'<c r="{place}"{style} t="{sort}" />'
    if kind == "s":
        bare = value.strip()
        kept = ' xml:space="preserve"' if bare and bare != value else ""
        return f'<c r="{place}"{style} t="{sort}"><is><t{kept}>{escaped(value)}</t></is></c>'
    return f'<c r="{place}"{style} t="{sort}"><v>{safe_string(value)}</v></c>'
