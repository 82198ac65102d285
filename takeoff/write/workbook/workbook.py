"""The order sheet as a workbook: the template filled, formulas live, computed values stored beside them."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.files import template_path
from takeoff.basics.records import record
from takeoff.model.order import Takeoff
from takeoff.write.words.trade_words import trade_words
from takeoff.write.words.words import plain
from takeoff.write.workbook.book_package import book_bytes
from takeoff.write.workbook.carried import Carried, fill_left
from takeoff.write.workbook.prepared import Prepared, prepared
from takeoff.write.workbook.workbook_checks import fill_basis, fill_cautions, fill_checks, fill_measures
from takeoff.write.workbook.workbook_cutting import fill_cutting_list
from takeoff.write.workbook.workbook_flashings import fill_flashings
from takeoff.write.workbook.workbook_issued import fill_issued
from takeoff.write.workbook.workbook_left import fill_left_over
from takeoff.write.workbook.workbook_loads import fill_loads
from takeoff.write.workbook.workbook_mill import fill_mill_order
from takeoff.write.workbook.workbook_order import fill_order
from takeoff.write.workbook.workbook_packs import fill_packs
from takeoff.write.workbook.workbook_page import Page, open_page
from takeoff.write.workbook.workbook_prices import fill_prices, rows_of_lines
from takeoff.write.workbook.workbook_rainwater import fill_rainwater
from takeoff.write.workbook.workbook_runs import fill_purlin_rows, fill_purlins
from takeoff.write.workbook.workbook_walls import fill_wall_lengths, fill_walls

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
    """A filled workbook: its template and its pages in their order."""

    template: Prepared
    pages: tuple[Page, ...]

    @property
    def values(self) -> Mapping[str, Mapping[str, float]]:
        """What each formula must give, by sheet and cell; sheets without formulas are left out."""
        return {page.sheet.title: values for page in self.pages if (values := page.values)}


def workbook_bytes(takeoff: Takeoff, cached: bool = True, carried: Carried | None = None) -> bytes:
    """The order sheet as bytes, the same for the same takeoff. `cached` False leaves the formulas without values, as a
    spreadsheet program must recalculate them. `carried`: what was typed into the last one."""
    filled = fill_workbook(takeoff, carried)
    title = f"{plain(takeoff.job.job)}, order sheet"
    return book_bytes(filled.template, filled.pages, title, takeoff.job.date, cached)


def fill_workbook(takeoff: Takeoff, carried: Carried | None = None) -> FilledWorkbook:
    """Fill the template. Without an order only the findings are left, stamped. Raises TakeoffError for a template that
    lacks a sheet."""
    template, said = prepared(template_path("order_sheet.xlsx")), trade_words(takeoff)
    carried = carried or Carried((), said)
    pages: list[Page] = []

    def opened(title: str) -> Page:
        pages.append(open_page(template, title, takeoff, said))
        return pages[-1]

    if takeoff.order is not None:
        page, mill = opened("Order"), opened("Mill order")
        # the order points to totals of the mill order, so that is filled first
        rows = fill_mill_order(mill, takeoff, takeoff.order, carried)
        fill_order(page, takeoff, takeoff.order, rows.totals, carried)
        if takeoff.order.prices is not None:
            fill_prices(opened("Prices"), takeoff, takeoff.order, rows.lines, rows_of_lines(page))
        if takeoff.issued is not None:
            fill_issued(opened("Issued"), takeoff, takeoff.order)
        if takeoff.order.loads is not None:
            fill_loads(opened("Loads"), takeoff, takeoff.order)
        for title, fill in _BY_ORDER.items():
            fill(opened(title), takeoff, takeoff.order)
        fill_measures(opened("Measures"), takeoff)
        fill_basis(opened("Basis"), takeoff)
        fill_cautions(opened("Cautions"))
    if carried.left:
        fill_left(opened("Not matched"), carried.left)
    fill_checks(opened("Checks"), takeoff.findings, takeoff)
    order = list(template.sheets)
    return FilledWorkbook(template, tuple(sorted(pages, key=lambda page: order.index(page.sheet.title))))
