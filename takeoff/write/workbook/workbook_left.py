"""The sheet Left over: lengths and sheets from the site that are cut first, and what is left after the job, by item."""

from __future__ import annotations

from takeoff.model.order import Order, Takeoff
from takeoff.model.sheets import PlaneSheets
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import number, plain, whole
from takeoff.write.workbook.workbook_page import Lines


def _marks(sheets: PlaneSheets) -> tuple[str, ...]:
    return tuple(piece.mark for piece in sheets.pieces)


def fill_left_over(page: Lines, takeoff: Takeoff, order: Order) -> None:
    """Site lengths with their cuts, then what is left of them and of what was bought."""
    cut = [(plan, bar) for plan in order.plans for bar in plan.site_bars]
    if cut or order.site_blanks:
        page.group("From site: cut these first, they are not ordered")
    names = {mark: group.item for group in takeoff.roofing.groups for s in group.planes for mark in _marks(s)}
    lengths = {piece.mark: piece.order_mm for sheets in takeoff.roofing.sheets for piece in sheets.pieces}
    for blank in order.site_blanks:
        made = names[blank.pieces[0].mark]
        name = plain(words_of(made.id, takeoff.items)) if made is not None else plain(blank.profile)
        cuts = " + ".join(f"{plain(part.mark)} {whole(lengths[part.mark])}" for part in blank.pieces)
        page.line((name, 1, blank.site_mm, f"from site {plain(blank.mark)}".rstrip(), cuts))
    for plan, bar in cut:
        pieces = " + ".join(str(piece.length_mm) for piece in bar.pieces)
        name = plain(words_of(plan.item, takeoff.items))
        page.line((name, 1, bar.stock_mm, f"from site {plain(bar.mark)}".rstrip(), pieces))
    useful = takeoff.settings.number("useful_offcut_mm")
    page.group(f"Left after the job, lengths from {number(useful)} mm up")
    for over in order.left_over:
        where = f"from site {plain(over.mark)}".rstrip() if over.from_site else "bought"
        page.line((plain(words_of(over.item, takeoff.items)), over.count, over.length_mm, where, None))
    if not order.left_over:
        page.note("Nothing that long is left.")
