"""The sheet Walls: boards by wall and zone, openings, the lengths boards are cut from, what else is bought."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from math import ceil

from takeoff.basics.rounding import half_up
from takeoff.model.order import Order, Takeoff
from takeoff.model.runs import CutPlan
from takeoff.model.walls import Elevation, WallBoards
from takeoff.write.words.bought import site_words
from takeoff.write.words.detail_words import details_of
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import number, plain, whole
from takeoff.write.workbook.workbook_boards import course_lines, wall_pair_lines
from takeoff.write.workbook.workbook_page import Cell, Formula, Lines
from takeoff.write.workbook.workbook_runs import bar_groups, needs_of, plans_of


def fill_walls(page: Lines, takeoff: Takeoff, order: Order) -> None:
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
        _areas(page, takeoff)
        _details(page, takeoff)


def _areas(page: Lines, takeoff: Takeoff) -> None:
    """Gross and net area by zone and by the way walls face, with what openings take."""
    found = {measure.id: half_up(measure.figure, 2) for measure in takeoff.measures if measure.unit == "m2"}
    names = [key.removesuffix(".gross") for key in found if key.endswith(".gross") and not key.startswith("wall ")]
    if not names:
        return
    page.gap()
    page.group("Area of the cladding by zone and by the way walls face")
    for name in names:
        gross, net, openings = (found[f"{name}.{what}"] for what in ("gross", "net", "openings"))
        page.line((plain(name), None, None, None, None, gross, net, f"openings {number(openings)}"))


def _details(page: Lines, takeoff: Takeoff) -> None:
    """Corners and lines between claddings, a line a detail: its mark, metres, walls, what is ordered for it and why."""
    details = tuple(details_of(takeoff))
    if not details:
        return
    page.gap()
    page.group("Corners and lines between claddings: detail, metres, what it is, where, what is ordered for it, why")
    for detail in details:
        where = f"{detail.lines} on walls {', '.join(map(str, detail.walls))}"
        words = f"{detail.what}; {where}: {detail.parts}. {detail.why}"
        page.line((detail.mark, f"{number(detail.metres)} m", None, None, None, None, None, words))


def fill_wall_lengths(page: Lines, takeoff: Takeoff, order: Order) -> None:
    """Bars with their pieces, an item a block, then the quantities bought as counted; both halves of the page used."""
    needs = needs_of(takeoff, ("cladding",))
    plans = plans_of(order, needs, takeoff.items)
    for plan, name in plans:
        page.group(name)
        _bars(page, plan)
        page.gap()
    counted: list[tuple[Cell, ...]] = []
    for need in needs:
        for quantity in need.quantities:
            name = plain(words_of(quantity.item, takeoff.items))
            counted.append((half_up(quantity.figure, 2), quantity.unit, name, None))
    if counted:
        page.group("Bought as counted")
        _two_columns(page, counted, ("count", "text", "text", "text"))
        page.gap()
    lines = course_lines(takeoff, order) if plans else ()
    if lines:
        page.group("Boards by wall and course, from the left end or the foot; + is a joint, / an opening")
        _two_columns(page, [(None, None, line, None) for line in lines], ("count", "length", "text", "whole"))
    pairs = wall_pair_lines(order)
    if pairs:
        page.group("Wall sheets out of one length, turned end for end where it says so")
        for line in pairs:
            page.note(f"{line}.")
    if not plans and not counted:
        page.note("Nothing for walls in this order.")


def _two_columns(page: Lines, rows: Sequence[tuple[Cell, ...]], styles: tuple[str, ...]) -> None:
    """Rows of four cells, the first half of them on the left, the rest on the right."""
    half = ceil(len(rows) / 2)
    empty: tuple[Cell, ...] = (None,) * 4
    for left, right in zip_longest(rows[:half], rows[half:], fillvalue=empty):
        page.line((*left, None, *right), styles=(*styles, "text", *styles))


def _zone(page: Lines, takeoff: Takeoff, wall: Elevation, boards: WallBoards) -> None:
    openings = ", ".join(f"{plain(o.name)} {whole(o.width_mm)} x {whole(o.height_mm)}" for o in wall.openings)
    note = plain(words_of(boards.board, takeoff.items))
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


def _totals(page: Lines, takeoff: Takeoff, first: int) -> None:
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


def _bars(page: Lines, plan: CutPlan) -> None:
    for bar in plan.site_bars:
        cuts_of = " + ".join(str(piece.length_mm) for piece in bar.pieces)
        page.note(f"{bar.stock_mm} mm{site_words(plan, bar)}: {cuts_of}.")
    if not plan.bars:
        return
    first, groups = page.row, bar_groups(plan)
    half = ceil(len(groups) / 2)
    rows: list[tuple[Cell, ...]] = []
    for place, bars in enumerate(groups):
        cuts = [piece.length_mm for piece in bars[0].pieces]
        length = f"{'B' if place < half else 'G'}{first + (place if place < half else place - half)}"
        left = Formula(f"{length}-({'+'.join(map(str, cuts or (0,)))})", float(bars[0].stock_mm - sum(cuts)))
        rows.append((len(bars), bars[0].stock_mm, " + ".join(map(str, cuts)) or "uncut: fills a pack", left))
    _two_columns(page, rows, ("count", "length", "text", "whole"))
    last = page.row - 1
    sides = [(c, n) for c, n in (("AB", half), ("FG", len(groups) - half)) if n]
    count = "+".join(f"SUM({c[0]}{first}:{c[0]}{last})" for c, _ in sides)
    metres = "+".join(f"SUMPRODUCT({c[0]}{first}:{c[0]}{last},{c[1]}{first}:{c[1]}{last})" for c, _ in sides)
    offcuts = plan.waste_mm / 1000.0
    shares = [offcuts / length * 1e5 for length in (plan.bought_mm, plan.placed_mm) if length > 0.0]
    words = f"m bought; proven least {number(plan.bound_mm / 1000.0)}"
    said = [f"laps {number(plan.laps_mm / 1000.0)} m"] if plan.laps_mm > 0.0 else []
    if len(shares) == 2:
        bought, net = (number(half_up(share, 1), 1) for share in shares)
        said.append(f"offcuts {number(offcuts)} m, {bought} % of bought, {net} % of net")
    cells = (
        Formula(count, float(len(plan.bars))),
        Formula(f"ROUND(({metres})/1000,3)", half_up(plan.bought_mm / 1000.0, 3)),
        words,
        None,
        None,
        None,
        None,
        "; ".join(said),
        None,
    )
    page.line(cells, total=True, styles=("count", "metres", *("text",) * 7))
