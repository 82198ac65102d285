"""Makes templates/order_sheet.xlsx and, beside it, order_sheet.json, its prepared parts (see `prepared`):
`python -m takeoff.write.workbook.make_template templates/order_sheet.xlsx`.

The template holds what a user may want to make their own: fonts, styles, widths, titles, print set-up. The figures are
written into it; a sheet or a style that is missing from it is reported by name.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from takeoff.write.workbook.prepare_template import prepare
from takeoff.write.workbook.prepared import prepared_text
from takeoff.write.workbook.steady import library_parts, steady_zip
from takeoff.write.workbook.workbook_grid import BANNER_ROW, GRIDS, HEAD_ROW, JOB_ROW, TITLE_ROW, Grid
from takeoff.write.workbook.workbook_page import LINE_POINTS, lines_needed

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

FONT = "Arial"
BODY = 11

# name -> (number format, horizontal place)
FORMATS: dict[str, tuple[str, str]] = {
    "text": ("General", "left"),
    "mark": ("General", "left"),
    "count": ("#,##0.##", "right"),
    "whole": ("0", "right"),
    "length": ("0", "right"),
    "tenth": ("0.0", "right"),
    "metres": ("#,##0.00#", "right"),
    "area": ("#,##0.00", "right"),
    "kg": ('#,##0.0;-#,##0.0;""', "right"),
    "money": ("#,##0.00##", "right"),
    "degrees": ('0.0"°"', "right"),
    "percent": ('0.0"%"', "right"),
    "blank": ("General", "left"),
}
BOLD = {"mark", "length"}


def make_template() -> bytes:
    """The template as bytes, the same every time."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    _styles(book)
    for grid in GRIDS:
        _sheet(book.create_sheet(grid.title), grid)
    return steady_zip(library_parts(book, None).items(), None)


def _styles(book: Workbook) -> None:
    from openpyxl.styles import Alignment, Border, Font, NamedStyle, PatternFill, Side

    # column widths are counted in digits of this style, in every program
    inner: Any = book
    inner._named_styles["Normal"].font = Font(name=FONT, size=BODY)
    thin, thick = Side(style="thin", color="808080"), Side(style="medium", color="000000")
    grey = PatternFill("solid", fgColor="E4E4E4")

    def style(name: str, **parts: Any) -> None:
        book.add_named_style(NamedStyle(name=f"takeoff {name}", **parts))

    for name, (number_format, place) in FORMATS.items():
        align = Alignment(
            horizontal=place, vertical="top", wrap_text=place == "left", indent=1 if place == "left" else 0
        )
        font = Font(name=FONT, size=BODY, bold=name in BOLD)
        line = Border(left=thin, right=thin, top=thin, bottom=thin) if name == "blank" else Border(bottom=thin)
        style(name, font=font, alignment=align, border=line, number_format=number_format)
        bold = Font(name=FONT, size=BODY, bold=True)
        style(f"{name} total", font=bold, alignment=align, border=Border(top=thick), number_format=number_format)
    style("title", font=Font(name=FONT, size=18, bold=True))
    style("job", font=Font(name=FONT, size=BODY))
    style("banner", font=Font(name=FONT, size=16, bold=True), alignment=Alignment(vertical="center"))
    style("group", font=Font(name=FONT, size=13, bold=True), fill=grey, border=Border(top=thick))
    style("note", font=Font(name=FONT, size=BODY), alignment=Alignment(wrap_text=True, vertical="top"))
    heading = Alignment(wrap_text=True, vertical="bottom", horizontal="left", indent=1)
    for name, align in (("heading", heading), ("heading right", Alignment(wrap_text=True, horizontal="right"))):
        style(name, font=Font(name=FONT, size=BODY, bold=True), fill=grey, border=Border(bottom=thick), alignment=align)


def _sheet(sheet: Worksheet, grid: Grid) -> None:
    from openpyxl.utils import get_column_letter

    for i, column in enumerate(grid.columns, start=1):
        sheet.column_dimensions[get_column_letter(i)].width = column.width
        cell = sheet.cell(HEAD_ROW, i, column.heading or None)
        right = FORMATS[column.style][1] == "right"
        cell.style = "takeoff heading right" if right else "takeoff heading"
    for row, text, style in ((TITLE_ROW, grid.title, "title"), (JOB_ROW, None, "job"), (BANNER_ROW, None, "banner")):
        sheet.cell(row, 1, text).style = f"takeoff {style}"
    sheet.cell(HEAD_ROW - 1, 1, _says(grid) or None).style = "takeoff job"
    sheet.row_dimensions[TITLE_ROW].height = 26
    sheet.row_dimensions[BANNER_ROW].height = 24
    # two lines or more, so that no heading is cut where a program does not fit the height by itself
    lines = max(lines_needed(column.heading, 0.85 * column.width - 1.0) for column in grid.columns)
    sheet.row_dimensions[HEAD_ROW].height = LINE_POINTS * max(2, lines)
    sheet.freeze_panes = f"A{HEAD_ROW + 1}"
    _print_setup(sheet, grid)


def _says(grid: Grid) -> str:
    return f"{grid.says} For the screen: printed as {grid.paper}." if grid.paper else grid.says


def _print_setup(sheet: Worksheet, grid: Grid) -> None:
    from openpyxl.worksheet.properties import PageSetupProperties

    sheet.page_setup.paperSize = 9  # A4
    sheet.page_setup.orientation = "portrait"
    if grid.scale:
        sheet.page_setup.scale = grid.scale
    else:
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        sheet.page_setup.fitToWidth = 1
        sheet.page_setup.fitToHeight = 0
    sheet.print_title_rows = f"{TITLE_ROW}:{HEAD_ROW}"  # every page begins with what it is and what state it is in
    sheet.page_margins.left, sheet.page_margins.right = 0.4, 0.3
    sheet.page_margins.top, sheet.page_margins.bottom = 0.35, 0.55
    sheet.page_margins.header, sheet.page_margins.footer = 0.2, 0.25
    if sheet.oddFooter is not None:
        sheet.oddFooter.right.text = "page &P of &N"


if __name__ == "__main__":
    made = make_template()
    Path(sys.argv[1]).write_bytes(made)
    Path(sys.argv[1]).with_suffix(".json").write_text(prepared_text(prepare(made)), encoding="utf-8", newline="\n")
