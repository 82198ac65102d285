"""The sheets Order and Mill order: what is bought, line by line."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.rounding import half_up
from takeoff.model.order import DELIVERIES, Order, OrderLine, Takeoff
from takeoff.model.sheets import PairPlan
from takeoff.write.words import number, plain, whole
from takeoff.write.workbook_page import Formula, Page


def fill_order(page: Page, takeoff: Takeoff, order: Order) -> None:
    """Lines by delivery with mass, count and longest piece of each; sheet metres and waste at the foot."""
    number = 0
    totals: dict[str, int] = {}
    known = [*DELIVERIES, *sorted({line.delivery for line in order.lines} - set(DELIVERIES))]
    for delivery in known:
        lines = [line for line in order.lines if line.delivery == delivery]
        if not lines:
            continue
        page.group(delivery.capitalize())
        first = page.row
        for line in lines:
            number += 1
            styles = ("text", "text", "count", "text", "whole", "metres" if line.total_unit in ("m", "m2") else "count")
            page.line(_cells(line, number, page.row), styles=styles)
        totals[delivery] = _delivery_total(page, lines, first)
        page.gap()
    _deliveries(page, order, totals)
    if order.sheets_bought_m > 0.0:
        _sheet_summary(page, order)


def _cells(line: OrderLine, number: int, row: int) -> tuple[str | float | Formula | None, ...]:
    name, note = plain(line.name), plain(line.note)
    length = line.each_mm if line.each_mm > 0.0 else None
    total = total_cell(line, f"C{row}", f"E{row}")
    kg = half_up(line.kg, 1) if line.kg > 0.0 else None
    return str(number), name, line.count, line.unit, length, total, line.total_unit, kg, note


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
        row = totals[delivery.name]
        longest = Formula(f"E{row}", delivery.longest_mm) if delivery.longest_mm > 0.0 else None
        kg = Formula(f"H{row}", delivery.kg) if delivery.kg > 0.0 else None
        words = [f"packs of sheets: {delivery.packs}"] if delivery.packs else []
        lines = "line" if delivery.unweighed == 1 else "lines"
        words += [f"{delivery.unweighed} {lines} without a mass"] if delivery.unweighed else []
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
    unweighed = "" if len(masses) == len(lines) or not masses else "where a mass is known"
    words = (f"{len(lines)} lines" if len(lines) > 1 else "1 line") + ("; longest piece" if lengths else "")
    return page.line((None, words, None, None, longest, None, None, kg, unweighed), total=True)


def _sheet_summary(page: Page, order: Order) -> None:
    page.group("Sheets: bought against net")
    rows = {
        "bought": page.line((None, "bought, as it covers", order.sheets_bought_m2, "m2")),
        "net": page.line((None, "net sheeted area", order.sheets_net_m2, "m2")),
    }
    waste = half_up(order.sheets_bought_m2 - order.sheets_net_m2, 3)
    row = page.row
    formula = Formula(f"ROUND(C{rows['bought']}-C{rows['net']},3)", waste)
    page.line((None, "waste", formula, "m2"))
    share = Formula(f"ROUND(C{row}/C{rows['bought']}*100,1)", half_up(waste / order.sheets_bought_m2 * 100.0, 1))
    page.line((None, "waste of bought", share, "%"))
    page.line((None, "bought metres, as the mill order", order.sheets_bought_m, "m"))
    if order.sheets_kg > 0.0:
        page.line((None, "mass of the sheets", order.sheets_kg, "kg"))


def fill_mill_order(page: Page, takeoff: Takeoff, order: Order) -> None:
    """Sheets by profile and length, longest first; totals per profile; metres, mass, m2 bought against net."""
    lines = [line for line in order.lines if line.item.startswith("sheet ") and line.each_mm > 0.0]
    if not lines:
        page.note("No sheets in this order.")
        return
    totals: list[int] = []
    for item in sorted({line.item for line in lines}):
        group = sorted((line for line in lines if line.item == item), key=lambda line: -line.each_mm)
        profile = _profile_id(item, takeoff)
        page.group(plain(group[0].name))
        first = page.row
        for line in group:
            row = page.row
            total = total_cell(line, f"B{row}", f"C{row}")
            kg = half_up(line.kg, 1) if line.kg > 0.0 else None
            page.line((_cut_words(order, line, profile), line.count, line.each_mm, total, kg, marks_words(line.refs)))
        totals.append(_profile_total(page, group, first))
        _spare_lines(page, order, item)
        _facts(page, takeoff, profile)
        page.gap()
    _mill_summary(page, order, totals)


def _spare_lines(page: Page, order: Order, item: str) -> None:
    """Spare sheets of one order at the mill, under its total: they are no part of it."""
    for line in order.lines:
        if line.item == f"spare {item}":
            row = page.row
            kg = half_up(line.kg, 1) if line.kg > 0.0 else None
            total = total_cell(line, f"B{row}", f"C{row}")
            page.line(("spare sheet", line.count, line.each_mm, total, kg, plain(line.note)))


def _profile_total(page: Page, group: list[OrderLine], first: int) -> int:
    last = page.row - 1
    count = Formula(f"SUM(B{first}:B{last})", sum(line.count for line in group))
    longest = Formula(f"MAX(C{first}:C{last})", max(line.each_mm for line in group))
    metres = Formula(f"ROUND(SUM(D{first}:D{last}),3)", half_up(sum(line.total for line in group), 3))
    kg = half_up(sum(half_up(line.kg, 1) for line in group), 1)
    mass = Formula(f"ROUND(SUM(E{first}:E{last}),1)", kg) if kg > 0.0 else None
    return page.line(("total; longest piece", count, longest, metres, mass, None), total=True)


def _profile_id(item: str, takeoff: Takeoff) -> str:
    """The profile of an order line "sheet <profile>", with a number behind it where there are several such orders."""
    words = item.removeprefix("sheet ")
    head, _, tail = words.rpartition(" ")
    return head if head.removesuffix("_clear") in takeoff.catalogue.profiles and tail.isdigit() else words


def _facts(page: Page, takeoff: Takeoff, profile: str) -> None:
    data = takeoff.catalogue.profiles.get(profile.removesuffix("_clear"))
    words = "" if data is None else f"Cover {whole(data.cover_mm)}, overall {whole(data.overall_mm)} mm. "
    page.note(
        f"{words}Cut square, tolerance +/- 5 mm. Coating, grade and colour side: as named above, else to be named."
    )


def _cut_words(order: Order, line: OrderLine, profile: str) -> str:
    """How many of these lengths carry more than one sheet."""
    shared = [
        blank
        for blank in order.blanks
        if blank.profile == profile and blank.length_mm == line.each_mm and len(blank.pieces) > 1
    ]
    return f"{profile}; {len(shared)} cut into several" if shared else profile


def _mill_summary(page: Page, order: Order, totals: list[int]) -> None:
    page.group("All sheets")
    cells = "+".join(f"D{row}" for row in totals)
    page.line(("bought metres", None, None, Formula(f"ROUND({cells},3)", order.sheets_bought_m), None, "m"))
    bought = page.line(("bought, as it covers", None, None, order.sheets_bought_m2, None, "m2"))
    net = page.line(("net sheeted area", None, None, order.sheets_net_m2, None, "m2"))
    waste = half_up(order.sheets_bought_m2 - order.sheets_net_m2, 3)
    row = page.line(("waste", None, None, Formula(f"ROUND(D{bought}-D{net},3)", waste), None, "m2"))
    share = half_up(waste / order.sheets_bought_m2 * 100.0, 1)
    page.line(("waste of bought", None, None, Formula(f"ROUND(D{row}/D{bought}*100,1)", share), None, "%"))
    if order.sheets_kg > 0.0:
        cells = "+".join(f"E{r}" for r in totals)
        page.line(("mass", None, None, None, Formula(f"ROUND({cells},1)", order.sheets_kg), "kg"))
    if order.spares_m > 0.0:
        page.line(("spare sheets, not in the figures above", None, None, order.spares_m, order.spares_kg, "m, kg"))
    page.note("The mark is written on the end of each sheet.")
    for plan in order.pairs:
        if plan.saving_mm > 0.0:
            _pairs(page, plan)


def _pairs(page: Page, plan: PairPlan) -> None:
    """The plain list beside the one with raked pairs: one bad cut spoils two sheets, so a person decides."""
    done = "bought with pairs" if plan.bought else "bought plain"
    page.group(f"{plain(plan.profile)}: plain list and raked pairs, {done}")
    page.heading(("", "", "plain", "with pairs", "saving", ""), (False, True, True, True, True, False))
    rows = (
        ("lengths", plan.plain_count, plan.paired_count, 0, ""),
        ("bought m", half_up(plan.plain_mm / 1000.0, 3), half_up(plan.paired_mm / 1000.0, 3), 3, ""),
        ("bought m2, as it covers", plan.plain_m2, plan.paired_m2, 2, f"net {number(plan.net_m2, 2)} m2"),
    )
    for words, one, two, places, note in rows:
        row = page.row
        saved = Formula(f"ROUND(C{row}-D{row},{places})", half_up(one - two, places))
        style = "metres" if places else "whole"
        page.line((words, None, one, two, saved, note), styles=("text", "text", style, style, style, "text"))
    if plan.net_m2 > 0.0:
        net = plan.net_m2
        one, two = half_up(plan.plain_m2 / net * 100.0, 1), half_up(plan.paired_m2 / net * 100.0, 1)
        cells = [Formula(f"ROUND({column}{row}/{net!r}*100,1)", v) for column, v in (("C", one), ("D", two))]
        page.line(("bought of net, %", None, *cells, None, ""), styles=("text", "text", "tenth", "tenth", "tenth"))
    page.note(f"{len(plan.pairs)} pairs out of one length each: {pairs_words(plan)}.")


def pairs_words(plan: PairPlan) -> str:
    """Pairs in a row; the second sheet of each lies turned end for end where it is not said otherwise."""
    return ", ".join(
        f"{plain(pair.first)} with {plain(pair.second)}" + ("" if pair.turned else " (not turned)")
        for pair in plan.pairs
    )


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


def _follows(before: str, mark: str) -> bool:
    head_a, _, tail_a = before.rpartition(".")
    head_b, _, tail_b = mark.rpartition(".")
    return head_a == head_b and tail_a.isdigit() and tail_b.isdigit() and int(tail_b) == int(tail_a) + 1
