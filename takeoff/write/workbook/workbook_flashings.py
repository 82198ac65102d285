"""The sheet Flashings: a block a section, as the folder wants it: legs, angles, hand, colour side, lengths, runs."""

from __future__ import annotations

from takeoff.basics.rounding import half_up
from takeoff.model.measured import FlashingRun, FoldSection
from takeoff.model.order import Order, Takeoff
from takeoff.model.runs import CutPlan
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.item_names import item_name, words_of
from takeoff.write.words.words import counted, hand_words, number, plain
from takeoff.write.workbook.order_fields import fields_words, flashing_fields
from takeoff.write.workbook.workbook_page import Cell, Formula, Page
from takeoff.write.workbook.workbook_runs import bar_groups, needs_of, plans_of

_BOUGHT_STYLES = ("mark", "text", "text", *("whole",) * 3, "length", "whole", "count", "text", "text", "text")
_METRES_STYLES = ("mark", "text", "text", *("whole",) * 3, "metres", "whole", "count", "text", "text", "text")


def fill_flashings(page: Page, takeoff: Takeoff, order: Order) -> None:
    """Sections in the order their runs were measured; then pieces and sundries bought as counted."""
    needs = needs_of(takeoff, ("flashings",))
    plans = {plan.item: plan for plan, _ in plans_of(order, needs, takeoff.items)}
    runs = takeoff.roofing.flashings
    if not runs:
        page.note("No flashings in this order.")
    else:
        page.note(fields_words(flashing_fields(takeoff)))
    for item in dict.fromkeys(run_item(run) for run in runs):
        mine = [run for run in runs if run_item(run) == item]
        page.group(plain(words_of(item, takeoff.items)))
        if mine[0].section is not None:
            page.note(section_words(mine[0].section))
        if item in plans:
            _bought(page, plans[item])
        cuts = cut_pieces(order)
        for run in mine:
            page.line(_run_cells(run, [piece.length_mm for piece in cuts.get(run.run, ())], page.row))
        page.gap()
    lines = [line for line in order.lines if line.delivery == "flashings" and line.each_mm <= 0.0]
    if lines:
        page.group("Pieces and sundries")
    for line in lines:
        cells: list[Cell] = [None] * 12
        cells[2], cells[8] = plain(item_name(line.of)), line.count
        cells[9] = line.unit if line.unit != "each" else ""
        page.line(cells, styles=_BOUGHT_STYLES)


def run_item(run: FlashingRun) -> str:
    """What a run is cut from: its section, or its flashing where it has no section of its own."""
    return run.item or run.flashing


def section_words(section: FoldSection) -> str:
    """Legs and angles of a section for the folder, left to right looking up the run."""
    legs = ", ".join(f"{plain(name)} {length}" for name, length in section.legs)
    folds = ", ".join("hem" if angle == 0.0 else f"{number(angle, 1)}" for angle in section.angles_deg)
    words = [
        f"Girth {section.girth_mm}, {counted(section.folds, 'fold')}, {counted(section.hems, 'hem')}.",
        f"Legs, left to right: {legs}.",
    ]
    if folds:
        words.append(f"Included angles: {folds} degrees.")
    words.append(f"Colour side: {plain(section.colour_side)}.")
    if section.soft_edges:
        words.append(f"Soft edges: {section.soft_edges}.")
    if section.hand:
        words.append(f"{hand_words(section)}.")
    return " ".join(words)


def _bought(page: Page, plan: CutPlan) -> None:
    for bar in plan.site_bars:
        site: list[Cell] = [None] * 12
        site[0], site[2], site[6], site[8] = "site", f"from site {plain(bar.mark)}".rstrip(), bar.stock_mm, 1
        site[11] = " + ".join(str(piece.length_mm) for piece in bar.pieces)
        page.line(site, styles=_BOUGHT_STYLES)
    if not plan.bars:
        return
    first = page.row
    for bars in bar_groups(plan):
        cuts = " + ".join(str(piece.length_mm) for piece in bars[0].pieces)
        cells: list[Cell] = [None] * 12
        cells[0], cells[2], cells[6], cells[8], cells[11] = "buy", "length, count", bars[0].stock_mm, len(bars), cuts
        page.line(cells, styles=_BOUGHT_STYLES)
    last = page.row - 1
    metres = half_up(plan.bought_mm / 1000.0, 3)
    total: list[Cell] = [None] * 12
    total[2] = "metres, lengths"
    total[6] = Formula(f"ROUND(SUMPRODUCT(G{first}:G{last},I{first}:I{last})/1000,3)", metres)
    total[8] = Formula(f"SUM(I{first}:I{last})", float(len(plan.bars)))
    page.line(total, total=True, styles=_METRES_STYLES)


def _run_cells(run: FlashingRun, pieces: list[int], row: int) -> tuple[Cell, ...]:
    net, low, high = (half_up(value, 0) for value in (run.net_mm, run.dress_a_mm, run.dress_b_mm))
    return (
        run.run,
        plain(run.edge),
        plain(f"lap from {run.lap_from}" if run.lap_from else run.kind),
        net,
        low,
        high,
        Formula(f"D{row}+E{row}+F{row}", net + low + high),
        run.girth_mm if run.girth_mm > 0.0 else None,
        run.folds,
        half_up(run.between_deg, 1),
        run.hand,
        " + ".join(str(piece) for piece in pieces),
    )
