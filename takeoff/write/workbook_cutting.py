"""The sheet Cutting list: one printed page a plane, sheets in laying order, check dimensions with room to write."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.rounding import half_up
from takeoff.model.order import Order, Takeoff
from takeoff.model.roof import RoofPlane
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.write.bought import Bought, bought_lengths
from takeoff.write.check_dimensions import check_dimensions
from takeoff.write.words import plain, whole
from takeoff.write.workbook_page import Cell, Formula, Page, no_wrap


def fill_cutting_list(page: Page, takeoff: Takeoff, order: Order) -> None:
    """A block a plane. Every bought piece stands on a row of its own, by its mark."""
    bought = bought_lengths(order)
    first = True
    for roof in takeoff.roofs:
        for plane in roof.planes:
            sheets = takeoff.sheets_of(plane.id)
            if sheets is None or not sheets.pieces:
                continue
            if not first:
                page.new_page()
            first = False
            _plane_block(page, plane, sheets, bought)
    if first:
        page.note("No sheets in this order.")


def _plane_block(page: Page, plane: RoofPlane, sheets: PlaneSheets, bought: Mapping[str, Bought]) -> None:
    page.group(f"{plane.id}   {plane.pitch_deg:.1f} degrees   {plain(sheets.profile)}, cover {whole(sheets.cover_mm)}")
    page.note(setting_out_words(sheets))
    first = page.row
    for piece in sheets.pieces:
        page.line(_piece_cells(piece, bought.get(piece.mark)))
    last = page.row - 1
    lengths = [bought[p.mark].length_mm or 0.0 for p in sheets.pieces if p.mark in bought]
    count = Formula(f"SUM(B{first}:B{last})", float(len(sheets.pieces)))
    metres = Formula(f"ROUND(SUM(C{first}:C{last})/1000,3)", half_up(sum(lengths) / 1000.0, 3))
    styles = ("mark", "count", "metres", "text")
    page.line(("sheets", count, metres, "m bought on this plane"), total=True, styles=styles)
    page.sheet.cell(page.row - 1, 4).alignment = no_wrap()
    page.gap()
    _check_rows(page, plane)


def setting_out_words(sheets: PlaneSheets) -> str:
    """Start line, which way to lay, which edge lies over: one sentence each."""
    right = sheets.start_side == "left"
    way = "left to right -->" if right else "<-- right to left"
    words = [f"START: {plain(sheets.start_edge)}.", f"LAY {way}."]
    if sheets.over_edge:
        words.append(over_words(sheets) + ".")
    if abs(sheets.first_cover_mm - sheets.cover_mm) > 0.5:
        words.append(f"First strip shows {whole(sheets.first_cover_mm)} mm.")
    if sheets.movement_mm > 0.0:
        words.append(f"Movement of the longest run {sheets.movement_mm:.1f} mm.")
    return " ".join(words)


def over_words(sheets: PlaneSheets) -> str:
    """Which edge of a sheet lies over its neighbour: "the left edge lies over"."""
    edge = plain(sheets.over_edge)
    return f"The {edge} edge of each sheet lies over" if edge in ("left", "right") else f"Over: {edge}"


def _piece_cells(piece: SheetPiece, bought: Bought | None) -> tuple[Cell, ...]:
    length = bought.length_mm if bought is not None else piece.order_mm
    source = ""
    if bought is not None and bought.length_mm is None:
        source = bought.cut_from + (", turned half round" if bought.turned else "")
    elif piece.cut_from:
        source = piece.cut_from
    raked = next((cut for cut in (piece.top, piece.foot) if cut.shape is not CutShape.SQUARE and cut.rake_deg), None)
    hand = next((cut.hand for cut in (piece.top, piece.foot) if cut.hand), "")
    if not hand and abs(piece.left_mm - piece.right_mm) >= 1.0:
        hand = "left" if piece.left_mm > piece.right_mm else "right"
    return (
        piece.mark,
        1,
        length,
        half_up(piece.left_mm, 0),
        half_up(piece.right_mm, 0),
        cut_words(piece.foot),
        cut_words(piece.top),
        half_up(raked.rake_deg, 1) if raked else None,
        hand,
        source,
        None,
    )


def cut_words(cut: EndCut) -> str:
    """How an end is cut and along what: "raked, hip 2"."""
    edges = ", ".join(plain(edge) for edge in cut.edges)
    return f"{cut.shape.value}, {edges}" if edges and cut.shape is not CutShape.SQUARE else cut.shape.value


def _check_rows(page: Page, plane: RoofPlane) -> None:
    page.heading(("check", "", "", "frame mm", "on site mm"), (False, False, False, True, False))
    for name, length in check_dimensions(plane).rows():
        for first, last in ((1, 3), (5, 6)):
            page.sheet.merge_cells(start_row=page.row, end_row=page.row, start_column=first, end_column=last)
        page.put(6, None, "blank")
        page.line((name, None, None, half_up(length, 0), None), styles=("text", "text", "text", "length", "blank"))
