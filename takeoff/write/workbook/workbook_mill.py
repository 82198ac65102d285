"""The sheet Mill order: sheets by profile and length, what the mill must know, raked pairs beside the plain list."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.findings import Severity
from takeoff.model.items import ItemKind
from takeoff.model.order import Hold, Order, OrderLine, Takeoff
from takeoff.model.sheets import PairPlan
from takeoff.write.words.bought import site_sheet_words
from takeoff.write.words.item_names import item_name
from takeoff.write.words.spoken import spoken
from takeoff.write.words.words import counted, finding_words, number, plain, whole
from takeoff.write.workbook.carried import Carried
from takeoff.write.workbook.order_fields import fields_words, group_of, sheet_fields
from takeoff.write.workbook.workbook_order import line_marks, marks_words, share_bases, total_cell
from takeoff.write.workbook.workbook_page import Formula, Page


@record
class MillRows:
    """Where what other sheets point to stands: rows of the profiles' totals by item, of the lines by id."""

    totals: Mapping[str, int]
    lines: Mapping[str, int]


def fill_mill_order(page: Page, takeoff: Takeoff, order: Order, carried: Carried) -> MillRows:
    """Sheets by profile and length, longest first; totals per profile; metres, mass, m2 bought against net. Returns the
    rows that other sheets point to."""
    lines = [
        line for line in order.lines if line.of.kind in (ItemKind.SHEET, ItemKind.CLEAR_SHEET) and line.each_mm > 0.0
    ]
    if not lines:
        page.note("No sheets in this order.")
        _site_lines(page, order)
        return MillRows({}, {})
    if order.state is Hold.RELEASED:
        _open_warnings(page, takeoff)
    totals: dict[str, int] = {}
    rows: dict[str, int] = {}
    for item in sorted({line.item for line in lines}):
        group = sorted((line for line in lines if line.item == item), key=lambda line: -line.each_mm)
        profile = group[0].of.product
        page.group(plain(item_name(group[0].of)))
        _facts(page, takeoff, item)
        first = page.row
        for line in group:
            row = rows[line.id] = page.row
            total = total_cell(line, f"B{row}", f"C{row}")
            kg = half_up(line.kg, 1) if line.kg > 0.0 else None
            typed = carried.take("Mill order", item_name(line.of), line.each_mm)
            marks = line_marks(order, line)
            marks = order.houses.on_marks(marks) if order.houses is not None else marks
            words = _cut_words(order, line, profile)
            page.line((words, line.count, line.each_mm, total, kg, marks, *typed))
        totals[item] = _profile_total(page, group, first)
        _spare_lines(page, order, item, f"{item_name(group[0].of)}, spare sheet", carried)
        page.gap()
    _site_lines(page, order)
    _mill_summary(page, order, list(totals.values()))
    return MillRows(totals, rows)


def _open_warnings(page: Page, takeoff: Takeoff) -> None:
    """What whoever releases the sheets takes upon himself: every warning that still stands."""
    grave = [finding for finding in takeoff.findings if finding.severity in (Severity.STOP, Severity.WARN)]
    page.group("Released with these warnings open" if grave else "Released with no warning open")
    for finding in grave:
        page.note(spoken(finding_words(finding), takeoff))
    page.gap()


def _spare_lines(page: Page, order: Order, item: str, name: str, carried: Carried) -> None:
    """Spare sheets of one order at the mill, under its total: they are no part of it."""
    for line in order.lines:
        if line.of.spare_of == item:
            row = page.row
            kg = half_up(line.kg, 1) if line.kg > 0.0 else None
            total = total_cell(line, f"B{row}", f"C{row}")
            typed = carried.take("Mill order", name, line.each_mm)
            page.line(("spare sheet", line.count, line.each_mm, total, kg, plain(line.note), *typed))


def _site_lines(page: Page, order: Order) -> None:
    """Sheets cut out of what lies on the site: for whoever misses their marks in the lines above."""
    if not order.site_blanks:
        return
    page.group("From site, not ordered: in no line, total or mass of this order")
    for blank in order.site_blanks:
        marks = marks_words(tuple(part.mark for part in blank.pieces))
        page.note(f"{site_sheet_words(blank)}: {plain(marks)}.")
    page.gap()


def _profile_total(page: Page, group: list[OrderLine], first: int) -> int:
    last = page.row - 1
    count = Formula(f"SUM(B{first}:B{last})", sum(line.count for line in group))
    longest = Formula(f"MAX(C{first}:C{last})", max(line.each_mm for line in group))
    metres = Formula(f"ROUND(SUM(D{first}:D{last}),3)", half_up(sum(line.total for line in group), 3))
    kg = half_up(sum(half_up(line.kg, 1) for line in group), 1)
    mass = Formula(f"ROUND(SUM(E{first}:E{last}),1)", kg) if kg > 0.0 else None
    return page.line(("total; longest piece", count, longest, metres, mass, None), total=True)


def _facts(page: Page, takeoff: Takeoff, item: str) -> None:
    """What the mill must know of the sheet, said where the job says it, else to be filled in."""
    group = group_of(takeoff, item)
    data = group.profile if group is not None else None
    cover = "" if data is None else f"Cover {whole(data.cover_mm)}, overall {whole(data.overall_mm)} mm. "
    page.note(f"{cover}Cut square, tolerance +/- 5 mm.")
    page.note(fields_words(sheet_fields(takeoff, item)))


def _cut_words(order: Order, line: OrderLine, profile: str) -> str:
    """How many of these lengths carry more than one sheet."""
    shared = [
        blank
        for blank in order.blanks
        if blank.profile == profile and blank.length_mm == line.each_mm and len(blank.pieces) > 1
    ]
    name = profile.replace("_", " ")
    houses = order.houses.count if order.houses is not None else 1
    return f"{name}; {len(shared) * houses} cut into several" if shared else name


def _mill_summary(page: Page, order: Order, totals: list[int]) -> None:
    page.group("All sheets")
    cells = "+".join(f"D{row}" for row in totals)
    page.line(("bought metres", None, None, Formula(f"ROUND({cells},3)", order.sheets_bought_m), None, "m"))
    bought = page.line(("bought, as it covers", None, None, order.sheets_bought_m2, None, "m2"))
    net = page.line(("net sheeted area", None, None, order.sheets_net_m2, None, "m2"))
    cells_used = f"D{bought}"
    if order.site_blanks:
        site = page.line(("cut from sheets on the site, as it covers", None, None, order.sheets_site_m2, None, "m2"))
        cells_used = f"D{bought}+D{site}"
    offcuts = order.sheets_offcuts_m2
    row = page.line(("offcuts", None, None, Formula(f"ROUND({cells_used}-D{net},3)", offcuts), None, "m2"))
    for of, base, area in share_bases(order, cells_used, f"D{net}"):
        if area > 0.0:
            share = Formula(f"ROUND(D{row}/({base})*100,1)", half_up(offcuts / area * 100.0, 1))
            page.line((f"offcuts, % of {of}", None, None, share, None, "%"))
    if order.sheets_kg > 0.0:
        cells = "+".join(f"E{r}" for r in totals)
        page.line(("mass", None, None, None, Formula(f"ROUND({cells},1)", order.sheets_kg), "kg"))
    if order.spares_m > 0.0:
        page.line(("spare sheets, not in the figures above", None, None, order.spares_m, order.spares_kg, "m, kg"))
    page.note("The mark is written on the end of each sheet.")
    for plan in order.pairs:
        if plan.saving_mm > 0.0:
            _pairs(page, plan, any(blank.profile == plan.profile for blank in order.site_blanks))


def _pairs(page: Page, plan: PairPlan, from_site: bool) -> None:
    """The plain list beside the one with raked pairs: one bad cut spoils two sheets, so a person decides."""
    done = "bought with pairs" if plan.bought else "bought plain"
    page.group(f"{plain(plan.profile)}: plain list and raked pairs, {done}")
    page.heading(("", "", "plain", "with pairs", "saving", ""), (False, True, True, True, True, False))
    less = " without what is cut from site" if from_site else ""
    rows = (
        ("lengths", plan.plain_count, plan.paired_count, 0, ""),
        ("bought m", half_up(plan.plain_mm / 1000.0, 3), half_up(plan.paired_mm / 1000.0, 3), 3, ""),
        ("bought m2, as it covers", plan.plain_m2, plan.paired_m2, 2, f"net {number(plan.net_m2, 2)} m2{less}"),
    )
    for words, one, two, places, note in rows:
        row = page.row
        saved = Formula(f"ROUND(C{row}-D{row},{places})", half_up(one - two, places))
        style = "metres" if places else "whole"
        page.line((words, None, one, two, saved, note), styles=("text", "text", style, style, style, "text"))
    for of in ("bought", "net"):
        _pair_offcuts(page, plan, of)
    page.note(f"{counted(len(plan.pairs), 'pair')} out of one length each: {pairs_words(plan)}.")


def _pair_offcuts(page: Page, plan: PairPlan, of: str) -> None:
    """Offcuts of both lists as a share of what each buys, or of the net area."""
    if plan.net_m2 <= 0.0:
        return
    bought, net = page.row - (1 if of == "bought" else 2), plan.net_m2
    cells = []
    for column, area in (("C", plan.plain_m2), ("D", plan.paired_m2)):
        base = f"{column}{bought}" if of == "bought" else f"{net!r}"
        share = half_up((area - net) / (area if of == "bought" else net) * 100.0, 1)
        cells.append(Formula(f"ROUND(({column}{bought}-{net!r})/{base}*100,1)", share))
    styles = ("text", "text", "tenth", "tenth", "tenth")
    page.line((f"offcuts, % of {of}", None, *cells, None, ""), styles=styles)


def pairs_words(plan: PairPlan) -> str:
    """Pairs in a row; the second sheet of each lies turned end for end where it is not said otherwise."""
    return ", ".join(
        f"{plain(pair.first)} with {plain(pair.second)}" + ("" if pair.turned else " (not turned)")
        for pair in plan.pairs
    )
