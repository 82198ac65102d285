"""The sheet Cutting list: one printed page a plane, sheets in laying order, check dimensions with room to write."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takeoff.basics.rounding import half_up
from takeoff.model.bought_lengths import Bought, bought_lengths
from takeoff.model.openings import Hole
from takeoff.model.order import Order, Takeoff
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.model.sheets import CutShape, PlaneSheets, SheetPiece
from takeoff.model.supplied import SITE_ITEMS, SiteMeasure
from takeoff.write.drawings.check_dimensions import frame_words, tape_rows
from takeoff.write.words.bought import pair_words, paired_blanks
from takeoff.write.words.cut_words import (
    MARKING_OUT,
    first_and_last_words,
    foot_words,
    hand,
    marking_words,
    needs_points,
    raked,
    top_words,
)
from takeoff.write.words.screw_words import screw_words
from takeoff.write.words.words import over_words, plain, side_words, whole
from takeoff.write.workbook.workbook_page import Cell, Formula, Page


def fill_cutting_list(page: Page, takeoff: Takeoff, order: Order) -> None:
    """A block a plane. Every bought piece stands on a row of its own, by its mark."""
    bought = bought_lengths(order)
    first = True
    for roof in takeoff.roofs:
        for plane in roof.planes:
            sheets = takeoff.sheets_of(plane.id)
            if sheets is None or not sheets.pieces:
                continue
            first = False
            holes = [hole for hole in takeoff.roofing.holes if hole.plane == plane.id]
            _plane_block(page, plane, sheets, bought, order, holes, screw_words(takeoff, plane.id))
            page.gap()
            _check_rows(page, plane, roof.edges_of(plane.id), takeoff.site.measures if takeoff.site is not None else ())
            page.gap()
    if first:
        page.note("No sheets in this order.")


def _plane_block(
    page: Page,
    plane: RoofPlane,
    sheets: PlaneSheets,
    bought: Mapping[str, Bought],
    order: Order,
    holes: Sequence[Hole],
    screws: str,
) -> None:
    what = f"{plane.id}, {side_words(plane)}: {plane.pitch_deg:.1f} degrees, {plain(sheets.profile)}"
    what += f", cover {whole(sheets.cover_mm)}"
    page.group(f"{what}. LAY {lay_words(sheets)}")
    page.note(setting_out_words(sheets))
    if screws:
        page.note(screws)
    first = page.row
    for piece in sheets.pieces:
        page.line(piece_cells(piece, bought.get(piece.mark)))
    last = page.row - 1
    lengths = [bought[p.mark].length_mm or 0.0 for p in sheets.pieces if p.mark in bought]
    count = Formula(f"SUM(B{first}:B{last})", float(len(sheets.pieces)))
    metres = Formula(f"ROUND(SUM(C{first}:C{last})/1000,3)", half_up(sum(lengths) / 1000.0, 3))
    styles = ("mark", "count", "metres", "text")
    page.line(("sheets", count, metres, "m"), total=True, styles=styles)
    for words in marking_lines(sheets):
        page.note(words)
    pairs = paired_blanks(order, {piece.mark for piece in sheets.pieces})
    if pairs:
        page.note("TWO OUT OF ONE LENGTH: mark both before the first cut; a wrong cut spoils two sheets.")
        for blank in pairs:
            page.note(pair_words(blank))
    for words in (*clear_words(sheets), *(line for hole in holes for line in hole_lines(hole))):
        page.note(words)


def marking_lines(sheets: PlaneSheets) -> tuple[str, ...]:
    """A line a sheet that two side lengths do not say how to cut, under what is measured from where."""
    kinked = [piece for piece in sheets.pieces if needs_points(piece)]
    if not kinked:
        return ()
    lines = [f"CUT TO POINTS. {MARKING_OUT}"]
    for piece in kinked:
        lines.append(f"CUT {piece.mark}: {marking_words(piece, sheets.overall_mm)}.")
    return tuple(lines)


def clear_words(sheets: PlaneSheets) -> tuple[str, ...]:
    """Which sheets are clear, a line; nothing where none is."""
    marks = tuple(piece.mark for piece in sheets.pieces if piece.clear)
    if not marks:
        return ()
    return (f"CLEAR SHEETS, not to be walked on: {', '.join(marks)}.",)


def hole_lines(hole: Hole) -> tuple[str, ...]:
    """Where to cut a hole on site: a line a sheet that carries it, measured from its foot and its left edge."""
    name = hole.id if hole.name == hole.id else f"{hole.id} {plain(hole.name)}"
    size = f"{whole(hole.width_mm)} x {whole(hole.length_mm)} mm"
    return tuple(
        f"HOLE {name}, {size}, cut on site: {sheet.mark}, {whole(sheet.low_mm)} to {whole(sheet.high_mm)} from its "
        f"foot, {whole(sheet.left_mm)} to {whole(sheet.right_mm)} from its left edge."
        for sheet in hole.sheets
    )


def setting_out_words(sheets: PlaneSheets) -> str:
    """Start line, which edge lies over, first and last sheet, movement: one sentence each."""
    words = [f"START: {plain(sheets.start_edge)}."]
    if sheets.over_edge:
        words.append(over_words(sheets) + ".")
    words += first_and_last_words(sheets)
    if sheets.movement_mm > 0.0:
        words.append(f"Movement of the longest run {sheets.movement_mm:.1f} mm.")
    return " ".join(words)


def lay_words(sheets: PlaneSheets) -> str:
    """Which way to lay, seen from outside, with an arrow."""
    return "left to right -->" if sheets.start_side == "left" else "<-- right to left"


def piece_cells(piece: SheetPiece, bought: Bought | None) -> tuple[Cell, ...]:
    length = bought.length_mm if bought is not None else piece.order_mm
    source = ""
    if bought is not None and bought.length_mm is None:
        source = plain(bought.words if bought.from_site else bought.cut_from) + (", turned" if bought.turned else "")
    elif piece.cut_from:
        source = piece.cut_from
    rake = next((cut for cut in (piece.top, piece.foot) if cut.shape is not CutShape.SQUARE and cut.rake_deg), None)
    across, up = piece.long_point_mm
    pointed = raked(piece)
    return (
        piece.mark,
        1,
        length,
        half_up(piece.left_mm, 0),
        half_up(piece.right_mm, 0),
        half_up(up, 0) if pointed else None,
        half_up(across, 0) if pointed else None,
        foot_words(piece),
        top_words(piece),
        half_up(rake.rake_deg, 1) if rake else None,
        hand(piece),
        source,
        None,
    )


def _check_rows(page: Page, plane: RoofPlane, edges: tuple[RoofEdge, ...], taped: Sequence[SiteMeasure]) -> None:
    """Three rows across the page: what to tape, what the frame should measure, and what it does or room to write it;
    then what else the frame has."""
    rows = tape_rows(plane, edges)
    measured = [next((m.mm for m in taped if m.item == item and m.plane == plane.id), None) for item in SITE_ITEMS]
    for label, height in (("check", 45.0), ("frame", 18.0), ("on site", 30.0)):
        page.put(1, label, "heading")
        for (first, last), (name, length), on_site in zip(_CHECK_COLUMNS, rows, measured, strict=True):
            if last > first:
                page.merge(first, last, "blank")
            if label == "check":
                page.put(first, name, "heading")
            elif label == "frame":
                page.put(first, half_up(length, 0) if length is not None else None, "length")
            else:
                page.put(first, whole(on_site) if on_site is not None else None, "blank")
        page.heights[page.row] = height
        page.row += 1
    words = frame_words(plane, edges)
    if words:
        page.note(words)


# columns of the cutting list that each of the six check dimensions spans
_CHECK_COLUMNS = ((2, 3), (4, 5), (6, 7), (8, 8), (9, 10), (11, 13))
