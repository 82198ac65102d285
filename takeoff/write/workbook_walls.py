"""The sheet Walls: boards by wall and zone, openings, the lengths boards are cut from, what else is bought."""

from __future__ import annotations

from takeoff.basics.rounding import half_up
from takeoff.model.order import Order, Takeoff
from takeoff.model.runs import CutPlan
from takeoff.model.walls import Elevation, WallBoards
from takeoff.write.words import number, plain, whole
from takeoff.write.workbook_page import Formula, Page
from takeoff.write.workbook_runs import bar_groups, needs_of, plans_of


def fill_walls(page: Page, takeoff: Takeoff, order: Order) -> None:
    """A row a zone of each wall with gross and net area."""
    if not takeoff.elevations:
        page.note("No walls in this job.")
        return
    first = page.row
    for wall in takeoff.elevations:
        for boards in takeoff.cladding.boards:
            if boards.wall == wall.wall:
                _zone(page, takeoff, wall, boards)
    if page.row > first:
        _totals(page, takeoff, first)


def fill_wall_lengths(page: Page, takeoff: Takeoff, order: Order) -> None:
    """Bars with their pieces, an item a block, then the quantities bought as counted."""
    needs = needs_of(takeoff, ("cladding",))
    plans = plans_of(order, needs)
    for plan, name in plans:
        page.group(name)
        _bars(page, plan)
        page.gap()
    counted = [(quantity, dict(need.names)) for need in needs for quantity in need.quantities]
    if counted:
        page.group("Bought as counted")
    for quantity, names in counted:
        name = plain(names.get(quantity.item, quantity.item))
        refs = ", ".join(plain(ref) for ref in quantity.refs)
        page.line((name, half_up(quantity.figure, 2), quantity.unit, None, refs, None))
    if not plans and not counted:
        page.note("Nothing for walls in this order.")


def _zone(page: Page, takeoff: Takeoff, wall: Elevation, boards: WallBoards) -> None:
    names = dict(name for need in needs_of(takeoff, ("cladding",)) for name in need.names)
    openings = ", ".join(f"{plain(o.name)} {whole(o.width_mm)} x {whole(o.height_mm)}" for o in wall.openings)
    note = plain(names.get(boards.board, boards.board))
    page.line(
        (
            f"wall {wall.wall}",
            boards.direction,
            half_up(wall.width_mm, 0),
            boards.courses,
            half_up(boards.cover_mm, 1),
            half_up(boards.gross_mm2 / 1e6, 2),
            half_up(boards.net_mm2 / 1e6, 2),
            f"{note}; openings {openings}" if openings else note,
        )
    )


def _totals(page: Page, takeoff: Takeoff, first: int) -> None:
    last = page.row - 1
    walls = {wall.wall for wall in takeoff.elevations}
    zones = [boards for boards in takeoff.cladding.boards if boards.wall in walls]
    gross = half_up(sum(half_up(boards.gross_mm2 / 1e6, 2) for boards in zones), 2)
    net = half_up(sum(half_up(boards.net_mm2 / 1e6, 2) for boards in zones), 2)
    cells = (
        "all walls", None, None, None, None,
        Formula(f"ROUND(SUM(F{first}:F{last}),2)", gross), Formula(f"ROUND(SUM(G{first}:G{last}),2)", net), None,
    )  # fmt: skip
    page.line(cells, total=True)


def _bars(page: Page, plan: CutPlan) -> None:
    first = page.row
    for bars in bar_groups(plan):
        cuts = [piece.length_mm for piece in bars[0].pieces]
        left = Formula(f"D{page.row}-({'+'.join(map(str, cuts))})", float(bars[0].stock_mm - sum(cuts)))
        page.line(("", len(bars), "each", bars[0].stock_mm, " + ".join(map(str, cuts)), left))
    last = page.row - 1
    metres = half_up(plan.bought_mm / 1000.0, 3)
    count = Formula(f"SUM(B{first}:B{last})", float(len(plan.bars)))
    bought = Formula(f"ROUND(SUMPRODUCT(B{first}:B{last},D{first}:D{last})/1000,3)", metres)
    share = half_up(plan.waste_mm / plan.bought_mm * 100.0, 1) if plan.bought_mm else 0.0
    parts = (
        f"m bought; placed {number(plan.placed_mm / 1000.0)}, laps {number(plan.laps_mm / 1000.0)}",
        f"waste {number(plan.waste_mm / 1000.0)} m or {number(share, 1)} %",
        f"proven least {number(plan.bound_mm / 1000.0)} m",
    )
    styles = ("text", "count", "text", "metres", "text", "text")
    page.line(("", count, "", bought, ", ".join(parts), None), total=True, styles=styles)
