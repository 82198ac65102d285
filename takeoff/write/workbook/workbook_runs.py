"""The sheet Purlins: runs of timber, the stock they are cut from, where they lie."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from takeoff.basics.rounding import half_up
from takeoff.basics.vectors import distance2
from takeoff.model.items import Item
from takeoff.model.measured import Need
from takeoff.model.order import Order, Takeoff
from takeoff.model.runs import CutPlan, StockBar
from takeoff.write.drawings.purlin_drawing import setting_out_words
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import plain
from takeoff.write.workbook.workbook_page import Cell, Formula, Lines


def needs_of(takeoff: Takeoff, trades: Iterable[str]) -> tuple[Need, ...]:
    """What those trades need."""
    wanted = set(trades)
    every = (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs)
    return tuple(need for need in every if need.trade in wanted)


def plans_of(order: Order, needs: Iterable[Need], items: Mapping[str, Item]) -> tuple[tuple[CutPlan, str], ...]:
    """Cut plans whose runs those needs asked for, each with its name on the order."""
    found: list[tuple[CutPlan, str]] = []
    for need in needs:
        runs = {demand.id for demand in need.demands}
        for plan in order.plans:
            if any(piece.run in runs for bar in plan.all_bars for piece in bar.pieces):
                found.append((plan, plain(words_of(plan.item, items))))
    return tuple(found)


def bar_groups(plan: CutPlan) -> tuple[tuple[StockBar, ...], ...]:
    """Bars cut alike, longest stock first: same stock length, same pieces in the same order."""
    groups: dict[tuple[int, tuple[int, ...]], list[StockBar]] = {}
    for bar in plan.bars:
        groups.setdefault((bar.stock_mm, tuple(piece.length_mm for piece in bar.pieces)), []).append(bar)
    ordered = sorted(groups.items(), key=lambda entry: (-entry[0][0], tuple(-cut for cut in entry[0][1])))
    return tuple(tuple(bars) for _, bars in ordered)


def fill_purlins(page: Lines, takeoff: Takeoff, order: Order) -> None:
    """Stock lengths with their pieces, and totals, an item a block."""
    plans = plans_of(order, needs_of(takeoff, ("purlins",)), takeoff.items)
    if not plans:
        page.note("No purlins in this order.")
    else:
        page.note(" ".join(setting_out_words(takeoff)))
        page.note(_lengths_words(takeoff))
    for plan, name in plans:
        page.group(name)
        put_bars(page, plan)
        page.gap()


def _lengths_words(takeoff: Takeoff) -> str:
    """How the stock lengths were chosen, and how to have fewer different ones."""
    settings = takeoff.settings
    most = int(settings.number("purlin_most_lengths"))
    if settings.word("purlin_objective") == "fewest_lengths":
        return "Stock lengths: as few different ones as can be, as set."
    if most > 0:
        return f"Stock lengths: at most {most} different ones a section, as set; then least metres."
    return (
        "Stock lengths: least metres. Fewer different lengths to load and pick from cost a little more: set "
        "'purlin most lengths' to the number wanted, or 'purlin objective' to fewest lengths."
    )


def put_bars(page: Lines, plan: CutPlan) -> None:
    """Bars of one plan on the grid of the sheet Purlins, with what was bought, placed, lapped and wasted."""
    _put_site(page, plan)
    if not plan.bars:
        page.note("Nothing of it is bought.")
        return
    first = page.row
    for bars in bar_groups(plan):
        bar, row = bars[0], page.row
        cuts = " + ".join(str(piece.length_mm) for piece in bar.pieces)
        pieces = "; ".join(" + ".join(plain(piece.id) for piece in each.pieces) for each in bars)
        left = Formula(f"C{row}-({cuts.replace(' ', '')})", float(bar.stock_mm - bar.used_mm))
        page.line(("", len(bars), bar.stock_mm, cuts, pieces, left))
    last = page.row - 1
    count = Formula(f"SUM(B{first}:B{last})", float(len(plan.bars)))
    page.line(("lengths", count, None, None, None, None), total=True)
    metres = Formula(
        f"ROUND(SUMPRODUCT(B{first}:B{last},C{first}:C{last})/1000,3)", half_up(plan.bought_mm / 1000.0, 3)
    )
    styles = ("text", "count", "metres", "text", "text", "whole")
    bought = page.line(("bought m", None, metres, None), styles=styles)
    placed = page.line(("placed m", None, half_up(plan.placed_mm / 1000.0, 3), None), styles=styles)
    laps = page.line(("laps m", None, half_up(plan.laps_mm / 1000.0, 3), None), styles=styles)
    shown = [half_up(mm / 1000.0, 3) for mm in (plan.bought_mm, plan.placed_mm, plan.laps_mm, plan.site_mm)]
    waste = half_up(shown[0] - shown[1] - shown[2] + shown[3], 3)
    site = ""
    if plan.site_bars:
        site = f"+C{page.line(('from site m', None, shown[3], None), styles=styles)}"
    formula = Formula(f"ROUND(C{bought}-C{placed}-C{laps}{site},3)", waste)
    page.line(("offcuts m", None, formula, _shares(waste, plan)), styles=styles)
    proof = f"no list of these pieces buys less: {plain(plan.proof)}" if plan.proof else "proven least"
    page.line(("proven least m", None, half_up(plan.bound_mm / 1000.0, 3), proof), styles=styles)


def _put_site(page: Lines, plan: CutPlan) -> None:
    """Lengths that lie on the site with what is cut from them, before those that are bought."""
    for bar in plan.site_bars:
        cuts = " + ".join(str(piece.length_mm) for piece in bar.pieces)
        pieces = " + ".join(plain(piece.id) for piece in bar.pieces)
        left = float(bar.stock_mm - bar.used_mm)
        page.line((f"from site {plain(bar.mark)}".rstrip(), 1, bar.stock_mm, cuts, pieces, left))


def _shares(offcuts_m: float, plan: CutPlan) -> str:
    """Offcuts as a share of what is bought and of what is placed; saw cuts are in them."""
    if plan.bought_mm <= 0 or plan.placed_mm <= 0.0:
        return "saw cuts too"
    bought, net = (half_up(offcuts_m * 1e5 / length, 1) for length in (plan.bought_mm, plan.placed_mm))
    return f"{bought:.1f} % of bought, {net:.1f} % of net; saw cuts too"


def fill_purlin_rows(page: Lines, takeoff: Takeoff, order: Order) -> None:
    """Every row of every plane with its place up the slope and the pieces that make it."""
    cuts = cut_pieces(order)
    for line in takeoff.roofing.purlins:
        pieces = " + ".join(f"{plain(piece.id)} {piece.length_mm}" for piece in cuts.get(line.run, ()))
        level = abs(line.a_uv[1] - line.b_uv[1]) < 1.0
        up: Cell = half_up(line.a_uv[1], 0) if level else None
        length = half_up(distance2(line.a_uv, line.b_uv), 0)
        page.line((line.plane, line.row, plain(line.role), up, length, pieces))
    if not takeoff.roofing.purlins:
        page.note("No purlins in this order.")
