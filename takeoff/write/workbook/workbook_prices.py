"""The sheet Prices: the user's own rates on the lines of the order, apart from it: the order itself goes out bare."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.model.order import Order, OrderLine, Prices, Takeoff
from takeoff.write.words.item_names import item_name
from takeoff.write.words.words import number, plain
from takeoff.write.workbook.workbook_page import Formula, Page

_STYLES = ("text", "text", "metres", "text", "money", "money")


def fill_prices(
    page: Page, takeoff: Takeoff, order: Order, mill: Mapping[str, int], numbered: Mapping[str, int]
) -> None:
    """Priced lines by delivery, extras apart, totals as sums of rounded lines. Nothing for an order without rates.

    `mill`: rows of the sheets' lines on the sheet Mill order, by id; `numbered`: rows of lines on the sheet Order, by
    their number: it has one line a profile.
    """
    prices = order.prices
    if prices is None:
        return
    rows = {line: f"Order!F{row}" for line, row in numbered.items()}
    rows |= {line.removeprefix("L"): f"'Mill order'!D{row}" for line, row in mill.items()}
    sums: dict[str, int] = {}
    for delivery in prices.deliveries:
        lines = [line for line in order.lines if line.delivery == delivery.delivery]
        page.group(delivery.delivery.capitalize())
        first = page.row
        _lines(page, lines, prices, rows)
        words = f"{delivery.unpriced} without a rate" if delivery.unpriced else ""
        amount = Formula(f"ROUND(SUM(F{first}:F{page.row - 1}),2)", delivery.amount)
        sums[delivery.delivery] = page.line(
            ("", "sum of the lines", None, words, None, amount), total=True, styles=_STYLES
        )
        page.gap()
    _totals(page, prices, sums)


def _lines(page: Page, lines: list[OrderLine], prices: Prices, rows: Mapping[str, str]) -> None:
    rates = {priced.line: priced for priced in prices.lines}
    for line in lines:
        priced = rates.get(line.id)
        place = line.id.removeprefix("L")
        total = Formula(rows[place], line.total)
        amount = Formula(f"ROUND(C{page.row}*E{page.row},2)", priced.amount) if priced else None
        cells = (place, plain(item_name(line.of)), total, line.total_unit, priced.rate if priced else None, amount)
        page.line(cells, styles=_STYLES)


def _totals(page: Page, prices: Prices, sums: dict[str, int]) -> None:
    page.group(f"Totals{', ' + plain(prices.currency) if prices.currency else ''}")
    cells = "+".join(f"F{row}" for row in sums.values())
    whole = page.line(
        ("", "sum of the deliveries", None, "", None, Formula(f"ROUND({cells},2)", prices.amount)), styles=_STYLES
    )
    by_delivery: dict[str, int] = {}
    for delivery in prices.deliveries:
        if delivery.extra_percent > 0.0:
            row = page.row
            formula = Formula(f"ROUND(F{sums[delivery.delivery]}*E{row}/100,2)", delivery.extra_amount)
            metres = f"{number(delivery.extra_m)} m more" if delivery.extra_m else ""
            words = f"extra on {delivery.delivery}, %, beside the computed waste"
            cells_of = ("", words, None, metres, delivery.extra_percent, formula)
            by_delivery[delivery.delivery] = page.line(cells_of, styles=_STYLES)
    if by_delivery:
        cells = "+".join(f"F{row}" for row in by_delivery.values())
        extra = page.line(("", "extras", None, "", None, Formula(f"ROUND({cells},2)", prices.extra)), styles=_STYLES)
        both = Formula(f"ROUND(F{whole}+F{extra},2)", prices.total)
        page.line(("", "together", None, "", None, both), total=True, styles=_STYLES)
    if prices.tax_percent:
        _tax(page, prices, sums, by_delivery)
    page.note("Rates are the user's own. Each line is rounded half up; totals are sums of rounded lines.")
    for words in _given_by(prices):
        page.note(words)


def _tax(page: Page, prices: Prices, sums: Mapping[str, int], extras: Mapping[str, int]) -> None:
    """Tax a delivery, on its lines and its extra together, and all with it."""
    name = plain(prices.tax_name)
    rows = []
    for delivery in prices.deliveries:
        base = "+".join(f"F{rows_of[delivery.delivery]}" for rows_of in (sums, extras) if delivery.delivery in rows_of)
        formula = Formula(f"ROUND(({base})*E{page.row}/100,2)", delivery.tax_amount)
        cells = ("", f"{name} on {delivery.delivery}, %", None, "", prices.tax_percent, formula)
        rows.append(page.line(cells, styles=_STYLES))
    every = "+".join(f"F{row}" for row in (*sums.values(), *extras.values(), *rows))
    whole = Formula(f"ROUND({every},2)", prices.with_tax)
    page.line(("", f"together with {name}", None, "", None, whole), total=True, styles=_STYLES)


def _given_by(prices: Prices) -> list[str]:
    """Who gave the rates: the job, the office and where it has them from."""
    found: dict[str, int] = {}
    for line in prices.lines:
        words = plain(line.basis.words())
        found[words] = found.get(words, 0) + 1
    return [f"{count} rates {words}." for words, count in found.items()]


def rows_of_lines(order: Page) -> dict[str, int]:
    """Row of each line on the filled sheet Order, by its number in the first column."""
    firsts = ((row, str(cells[1][1])) for row, cells in order.cells.items() if 1 in cells)
    return {number: row for row, number in firsts if number.isdigit()}
