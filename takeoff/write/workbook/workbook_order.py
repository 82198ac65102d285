"""The sheet Order: what is bought, by delivery. Sheets of one profile are one line that points to the mill order."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.rounding import half_up
from takeoff.model.bought_lengths import bought_in
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.write.words.item_names import item_name
from takeoff.write.words.words import counted, plain
from takeoff.write.workbook.carried import Carried
from takeoff.write.workbook.order_fields import fields_of, fields_words
from takeoff.write.workbook.workbook_page import Cell, Formula, Page

_MILL = "'Mill order'!"
_FIELDS = ("flashings", "rainwater")  # said over their lines here too; those of the sheets stand on the mill order


def fill_order(page: Page, takeoff: Takeoff, order: Order, mill: Mapping[str, int], carried: Carried) -> None:
    """Lines by delivery with mass, count and longest piece of each, labour under its delivery; offcuts at the foot.

    `mill`: rows of the totals on the sheet Mill order, by item; `carried`: what was typed beside lines before.
    """
    totals: dict[str, int] = {}
    numbers = {line.id: number for number, line in enumerate(order.lines, start=1)}
    known = [*DELIVERIES, *sorted({line.delivery for line in order.lines} - set(DELIVERIES))]
    for delivery in known:
        lines = [line for line in order.lines if line.delivery == delivery]
        if not lines:
            continue
        page.group(delivery.capitalize())
        if delivery in _FIELDS:
            page.note(fields_words(fields_of(takeoff, delivery)))
        bought = [line for line in lines if not line.labour]
        if bought:
            totals[delivery] = _bought(page, bought, numbers, mill, carried)
        labour = [line for line in lines if line.labour]
        if labour:
            page.heading(("", "labour, nothing to buy"))
            for line in labour:
                page.line(_cells(line, str(numbers[line.id]), page.row), styles=_styles(line))
        page.gap()
    _deliveries(page, order, totals)
    if order.sheets_bought_m > 0.0 or order.site_blanks:
        _sheet_summary(page, order)


def _bought(
    page: Page, lines: list[OrderLine], numbers: Mapping[str, int], mill: Mapping[str, int], carried: Carried
) -> int:
    """The lines of a delivery and their total; sheets of one profile in one line. Returns the row of the total."""
    first = page.row
    for item in dict.fromkeys(line.item if line.item in mill else line.id for line in lines):
        if item in mill:
            page.line(*_profile_line([line for line in lines if line.item == item], numbers, mill[item]))
        else:
            line = next(line for line in lines if line.id == item)
            typed = carried.take("Order", item_name(line.of), line.each_mm)
            page.line((*_cells(line, str(numbers[line.id]), page.row), *typed), styles=_styles(line))
    return _delivery_total(page, lines, first)


def _styles(line: OrderLine) -> tuple[str, ...]:
    return ("text", "text", "count", "text", "whole", "metres" if line.total_unit in ("m", "m2") else "count")


def _profile_line(
    lines: list[OrderLine], numbers: Mapping[str, int], row: int
) -> tuple[tuple[Cell, ...], bool, tuple[str, ...]]:
    """One line for all sheets of a profile: count, longest, metres and mass are those of the mill order."""
    count = sum(line.count for line in lines)
    longest = max(line.each_mm for line in lines)
    metres = half_up(sum(line.total for line in lines), 3)
    kg = half_up(sum(half_up(line.kg, 1) for line in lines), 1)
    first, last = numbers[lines[0].id], numbers[lines[-1].id]
    cells = (
        str(first) if first == last else f"{first} to {last}",
        plain(item_name(lines[0].of)),
        Formula(f"{_MILL}B{row}", count),
        "each",
        Formula(f"{_MILL}C{row}", longest),
        Formula(f"{_MILL}D{row}", metres),
        "m",
        Formula(f"{_MILL}E{row}", kg) if kg > 0.0 else None,
        "every length: Mill order; longest here",
    )
    return cells, False, _styles(lines[0])


def _cells(line: OrderLine, number: str, row: int) -> tuple[Cell, ...]:
    name, note = plain(item_name(line.of)), plain(line.note)
    length = line.each_mm if line.each_mm > 0.0 else None
    total = total_cell(line, f"C{row}", f"E{row}")
    kg = half_up(line.kg, 1) if line.kg > 0.0 else None
    return number, name, line.count, line.unit, length, total, line.total_unit, kg, note


def total_cell(line: OrderLine, count: str, length: str) -> float | Formula:
    """The line's total as a formula over its count and length cells, a plain number where it is no such product."""
    if line.each_mm > 0.0 and line.total_unit == "m":
        product = line.count * line.each_mm / 1000.0
        for places in (3, 2, 1, 0):
            if half_up(product, places) == line.total:
                return Formula(f"ROUND({count}*{length}/1000,{places})", line.total)
    if line.each_mm <= 0.0 and line.total == line.count:
        return Formula(count, line.total)
    return line.total


def _deliveries(page: Page, order: Order, totals: Mapping[str, int]) -> None:
    """What comes in which order, and how heavy and long it is."""
    if not order.deliveries:
        return
    page.group("Deliveries, in the order the site wants them")
    right = (False, False, True, False, True, True, False, True, False)
    page.heading(("", "delivery", "lines", "", "longest", "pieces", "", "kg", ""), right)
    first = page.row
    for place, delivery in enumerate(order.deliveries, start=1):
        row = totals.get(delivery.name, 0)
        longest = Formula(f"E{row}", delivery.longest_mm) if row and delivery.longest_mm > 0.0 else None
        kg = Formula(f"H{row}", delivery.kg) if row and delivery.kg > 0.0 else None
        words = [f"packs of sheets: {delivery.packs}"] if delivery.packs else []
        words += [f"{counted(delivery.unweighed, 'line')} without a mass"] if delivery.unweighed else []
        pieces = delivery.pieces or None
        cells = (None, f"{place}. {delivery.name}", delivery.lines, None, longest, pieces, None, kg, "; ".join(words))
        page.line(cells, styles=("text", "text", "count", "text", "whole", "count", "text", "kg", "text"))
    last = page.row - 1
    total = half_up(sum(delivery.kg for delivery in order.deliveries), 1)
    weight = Formula(f"ROUND(SUM(H{first}:H{last}),1)", total) if total > 0.0 else None
    page.line((None, "all that has a mass", None, None, None, None, None, weight, None), total=True)
    page.gap()


def _delivery_total(page: Page, lines: list[OrderLine], first: int) -> int:
    last = page.row - 1
    masses = [half_up(line.kg, 1) for line in lines if line.kg > 0.0]
    lengths = [line.each_mm for line in lines if line.each_mm > 0.0]
    longest = Formula(f"MAX(E{first}:E{last})", max(lengths)) if lengths else None
    kg = Formula(f"ROUND(SUM(H{first}:H{last}),1)", half_up(sum(masses), 1)) if masses else None
    unweighed = "" if len(masses) == len(lines) or not masses else "known masses"
    words = counted(len(lines), "line") + ("; longest piece" if lengths else "")
    return page.line((None, words, None, None, longest, None, None, kg, unweighed), total=True)


def _sheet_summary(page: Page, order: Order) -> None:
    page.group("Sheets: bought against net")
    rows = {
        "bought": page.line((None, "bought, as it covers", order.sheets_bought_m2, "m2")),
        "net": page.line((None, "net sheeted area", order.sheets_net_m2, "m2")),
    }
    used = f"C{rows['bought']}"
    if order.site_blanks:
        site = page.line((None, "cut from sheets on the site, as it covers", order.sheets_site_m2, "m2"))
        used += f"+C{site}"
    offcuts = order.sheets_offcuts_m2
    row = page.line((None, "offcuts", Formula(f"ROUND({used}-C{rows['net']},3)", offcuts), "m2"))
    for of, base, area in share_bases(order, used, f"C{rows['net']}"):
        if area > 0.0:
            share = Formula(f"ROUND(C{row}/({base})*100,1)", half_up(offcuts / area * 100.0, 1))
            page.line((None, f"offcuts, % of {of}", share, "%"))
    page.line((None, "bought metres, as the mill order", order.sheets_bought_m, "m"))
    if order.sheets_kg > 0.0:
        page.line((None, "mass of the sheets", order.sheets_kg, "kg"))


def share_bases(order: Order, used: str, net: str) -> tuple[tuple[str, str, float], ...]:
    """What offcuts are a share of: the words, the cells `used` or `net`, and the area [m2]."""
    words = "bought and from site" if order.site_blanks else "bought"
    return ((words, used, order.sheets_bought_m2 + order.sheets_site_m2), ("net", net, order.sheets_net_m2))


def marks_words(marks: tuple[str, ...]) -> str:
    """Marks in a row, runs of neighbours joined: "P1.05 to P1.09, P3.02".

    >>> marks_words(("P1.05", "P1.06", "P1.07", "P3.02", "P3.04a"))
    'P1.05 to P1.07, P3.02, P3.04a'
    """
    groups: list[list[str]] = []
    for mark in marks:
        if groups and _follows(groups[-1][-1], mark):
            groups[-1].append(mark)
        else:
            groups.append([mark])
    parts: list[str] = []
    for group in groups:
        parts += [f"{group[0]} to {group[-1]}"] if len(group) > 2 else group
    return ", ".join(parts)


def line_marks(order: Order, line: OrderLine) -> str:
    """Marks of the sheets of a line; where a length gives several, which is cut from which: "P2.12 (P2.13 cut from
    it)", as fewer lengths are bought than marks stand there."""
    own = set(line.refs)
    blanks = [blank for blank in (*order.blanks, *order.wall_blanks) if any(part.mark in own for part in blank.pieces)]
    others = {mark: found.others for mark, found in bought_in(blanks).items() if found.others}
    seconds = {mark for marks in others.values() for mark in marks}
    parts: list[str] = []
    run: list[str] = []
    for mark in (*(mark for mark in line.refs if mark not in seconds), ""):
        if mark and mark not in others:
            run.append(mark)
            continue
        parts += [marks_words(tuple(run))] if run else []
        parts += [f"{mark} ({marks_words(others[mark])} cut from it)"] if mark else []
        run = []
    return ", ".join(parts)


def _follows(before: str, mark: str) -> bool:
    head_a, _, tail_a = before.rpartition(".")
    head_b, _, tail_b = mark.rpartition(".")
    return head_a == head_b and tail_a.isdigit() and tail_b.isdigit() and int(tail_b) == int(tail_a) + 1
