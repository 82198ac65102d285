"""The sheet Pack list: which sheets lie in which pack, top first, and where the pack is craned to."""

from __future__ import annotations

from takeoff.basics.rounding import half_up
from takeoff.model.order import Order, Pack, Takeoff
from takeoff.write.words.item_names import item_name
from takeoff.write.words.screw_words import screw_words
from takeoff.write.words.words import compass_words, number, plain, refs_words, whole
from takeoff.write.workbook.workbook_order import marks_words
from takeoff.write.workbook.workbook_page import Formula, Lines

_OVERVIEW = ("pack", "plane", "longest mm", "kg", "craned to", "sheets", "")
_RIGHT = (False, False, True, True, False, True, False)


def fill_packs(page: Lines, takeoff: Takeoff, order: Order) -> None:
    """All packs in a table, then each with its sheets from the top down."""
    if order.site_blanks:
        marks = marks_words(tuple(part.mark for blank in order.site_blanks for part in blank.pieces))
        page.note(f"In no pack, cut from sheets on the site: {plain(marks)}.")
    if not order.packs:
        page.note("No sheets in this order.")
        return
    page.note(
        "In each pack the sheet laid first lies on top, colour side up: lay them as they lie. "
        f"The mark is written on the end of each sheet. Lifting limit {number(order.packs[0].limit_kg)} kg."
    )
    page.group("All packs, in laying order")
    page.heading(_OVERVIEW, _RIGHT)
    first = page.row
    styles = ("mark", "text", "length", "kg", "text", "count", "text")
    for pack in order.packs:
        cells = (pack.id, pack.plane, pack.longest_mm, pack.kg, craned_to(pack), len(pack.sheets), None)
        page.line(cells, styles=styles)
    last = page.row - 1
    kg = Formula(f"ROUND(SUM(D{first}:D{last}),1)", half_up(sum(pack.kg for pack in order.packs), 1))
    longest = Formula(f"MAX(C{first}:C{last})", max(pack.longest_mm for pack in order.packs))
    count = Formula(f"SUM(F{first}:F{last})", float(sum(len(pack.sheets) for pack in order.packs)))
    page.line(("all", "", longest, kg, "", count, None), total=True, styles=styles)
    for pack in order.packs:
        page.gap()
        _pack_block(page, pack, screw_words(takeoff, pack.plane))


def craned_to(pack: Pack) -> str:
    """Where a pack is lifted to: the side of the house, and the eave by its outline edge."""
    words = f"{compass_words(pack.bearing_deg)} side"
    if pack.outline_edges:
        edges = refs_words(map(str, pack.outline_edges))
        words += f", side{'s' if len(pack.outline_edges) > 1 else ''} {edges} (ringed on the roof plan)"
    return f"{words}, {plain(pack.edge)}" if pack.edge else words


def _pack_block(page: Lines, pack: Pack, screws: str) -> None:
    part = f", pack {pack.number} of {pack.of}" if pack.of > 1 else ""
    page.group(f"PACK {pack.id}: plane {plain(pack.plane)}{part}. Crane to: {craned_to(pack)}")
    name = " and ".join(plain(item_name(item)) for item in (pack.item, *pack.also) if item is not None) or pack.profile
    page.note(f"{name}. Longest {whole(pack.longest_mm)} mm. Colour side up.")
    if screws:
        page.note(screws)
    page.heading([column.heading for column in page.grid.columns], _RIGHT)
    first = page.row
    for place, sheet in enumerate(pack.sheets, start=1):
        also = "; ".join(words for words in ("CLEAR SHEET" if sheet.clear else "", refs_words(sheet.also)) if words)
        cells = (str(place), sheet.mark, sheet.length_mm, sheet.kg, also, 1, None)
        page.line(cells)
    last = page.row - 1
    count = Formula(f"SUM(F{first}:F{last})", float(len(pack.sheets)))
    longest = Formula(f"MAX(C{first}:C{last})", pack.longest_mm)
    kg = Formula(f"ROUND(SUM(D{first}:D{last}),1)", pack.kg)
    over = "OVER the lifting limit" if pack.over_limit else ""
    page.line(("total", "", longest, kg, over, count, None), total=True)
