"""The order sheet as a workbook: the template filled, formulas live, computed values stored beside them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from takeoff.basics.files import template_path
from takeoff.basics.records import record
from takeoff.model.order import Takeoff
from takeoff.write.words.trade_words import trade_words
from takeoff.write.words.words import plain
from takeoff.write.workbook.cached_values import CachedValues, steady_zip
from takeoff.write.workbook.carried import Carried, fill_left
from takeoff.write.workbook.workbook_checks import fill_basis, fill_cautions, fill_checks, fill_measures
from takeoff.write.workbook.workbook_cutting import fill_cutting_list
from takeoff.write.workbook.workbook_flashings import fill_flashings
from takeoff.write.workbook.workbook_issued import fill_issued
from takeoff.write.workbook.workbook_left import fill_left_over
from takeoff.write.workbook.workbook_loads import fill_loads
from takeoff.write.workbook.workbook_mill import fill_mill_order
from takeoff.write.workbook.workbook_order import fill_order
from takeoff.write.workbook.workbook_packs import fill_packs
from takeoff.write.workbook.workbook_page import Page, open_page, put_text
from takeoff.write.workbook.workbook_prices import fill_prices
from takeoff.write.workbook.workbook_rainwater import fill_rainwater
from takeoff.write.workbook.workbook_runs import fill_purlin_rows, fill_purlins
from takeoff.write.workbook.workbook_walls import fill_wall_lengths, fill_walls

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

_BY_ORDER = {
    "Pack list": fill_packs,
    "Cutting list": fill_cutting_list,
    "Purlins": fill_purlins,
    "Purlin rows": fill_purlin_rows,
    "Flashings": fill_flashings,
    "Rainwater": fill_rainwater,
    "Walls": fill_walls,
    "Wall lengths": fill_wall_lengths,
    "Left over": fill_left_over,
}


@record
class FilledWorkbook:
    """A filled workbook and the value that each of its formulas must give."""

    book: Workbook
    values: CachedValues


def workbook_bytes(takeoff: Takeoff, cached: bool = True, carried: Carried | None = None) -> bytes:
    """The order sheet as bytes, the same for the same takeoff. `cached` False leaves the formulas without values, as a
    spreadsheet program must recalculate them. `carried`: what was typed into the last one."""
    filled = fill_workbook(takeoff, carried)
    written = steady_zip(filled.book, filled.values if cached else {}, takeoff.job.date)
    for sheet in filled.book.worksheets:
        sheet._cells.clear()  # cells and sheets hold each other: without this they stay until the program ends
    return written


def _say_in_trade_words(page: Page, said: Callable[[str], str]) -> None:
    """The trade's own word for gutters in every text of a sheet."""
    for cell in page.sheet._cells.values():
        value = cell.value
        if isinstance(value, str) and cell.data_type == "s" and (words := said(value)) != value:
            put_text(cell, words)


def fill_workbook(takeoff: Takeoff, carried: Carried | None = None) -> FilledWorkbook:
    """Fill the template. Without an order only the findings are left, stamped. Raises TakeoffError for a template that
    lacks a sheet."""
    from openpyxl import load_workbook

    book = load_workbook(template_path("order_sheet.xlsx"))
    pages: list[Page] = []
    said = trade_words(takeoff)
    carried = carried or Carried((), said)
    if takeoff.order is not None:
        # the order points to totals of the mill order, so that is filled first
        mill, page = open_page(book, "Mill order", takeoff), open_page(book, "Order", takeoff)
        rows = fill_mill_order(mill, takeoff, takeoff.order, carried)
        fill_order(page, takeoff, takeoff.order, rows.totals, carried)
        pages += [page, mill]
        if takeoff.order.prices is not None:
            page = open_page(book, "Prices", takeoff)
            fill_prices(page, takeoff, takeoff.order, rows.lines)
            pages.append(page)
        if takeoff.issued is not None:
            page = open_page(book, "Issued", takeoff)
            fill_issued(page, takeoff, takeoff.order)
            pages.append(page)
        if takeoff.order.loads is not None:
            page = open_page(book, "Loads", takeoff)
            fill_loads(page, takeoff, takeoff.order)
            pages.append(page)
        for title, fill in _BY_ORDER.items():
            page = open_page(book, title, takeoff)
            fill(page, takeoff, takeoff.order)
            pages.append(page)
        for title, add in (("Measures", fill_measures), ("Basis", fill_basis)):
            page = open_page(book, title, takeoff)
            add(page, takeoff)
            pages.append(page)
        page = open_page(book, "Cautions", takeoff)
        fill_cautions(page)
        pages.append(page)
    if carried.left:
        page = open_page(book, "Not matched", takeoff)
        fill_left(page, carried.left)
        pages.append(page)
    page = open_page(book, "Checks", takeoff)
    fill_checks(page, takeoff.findings, takeoff)
    pages.append(page)
    kept = {page.sheet.title for page in pages}
    for title in [title for title in book.sheetnames if title not in kept]:
        book.remove(book[title])
    for page in pages:
        for row in range(1, page.sheet.max_row + 1):
            page.sheet.cell(row, 1)  # an empty row is a row too
        page.finish()
        _say_in_trade_words(page, said)
    book.active = 0
    book.properties.title = f"{plain(takeoff.job.job)}, order sheet"
    return FilledWorkbook(book, {page.sheet.title: page.values for page in pages if page.values})
