"""What is said of a part that is touched: short lines for a person, the longest facts first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takeoff.model.bought_lengths import bought_of
from takeoff.model.items import Item
from takeoff.model.measured import FlashingRun, PurlinLine
from takeoff.model.openings import Hole
from takeoff.model.order import Takeoff
from takeoff.model.roof import Roof, RoofEdge, RoofPlane, UprightFace
from takeoff.model.sheets import PlaneSheets, SheetPiece
from takeoff.model.walls import BoardPiece, Elevation, Opening, WallBoards
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.cut_words import foot_words, marking_words, needs_points, raked, top_words
from takeoff.write.words.item_names import item_words
from takeoff.write.words.words import compass_words, number, over_words, plain, refs_words, whole

Facts = tuple[str, ...]
SHEETS = "sheets"  # direction of a zone of walls that is clad with profiled sheets


def _kept(*facts: str) -> Facts:
    return tuple(fact for fact in facts if fact)


def plane_facts(takeoff: Takeoff, roof: Roof, plane: RoofPlane) -> Facts:
    """Pitch, fall, areas, and how its sheets are set out."""
    sheets = takeoff.sheets_of(plane.id)
    laid = ""
    if sheets is not None and sheets.pieces:
        laid = f"{len(sheets.pieces)} sheets: start {plain(sheets.start_edge)}. {over_words(sheets)}."
    areas = f"{number(plane.area_mm2 / 1e6, 2)} m2 on the slope, {number(plane.plan_area_mm2 / 1e6, 2)} m2 in plan"
    named = f", roof {plain(roof.name)}" if len(takeoff.roofs) > 1 else ""
    return _kept(
        f"roof plane at {number(plane.pitch_deg, 1)} degrees, falls {compass_words(plane.bearing_deg)}{named}",
        areas,
        laid,
    )


def upright_facts(face: UprightFace) -> Facts:
    """What an upright face is."""
    return (f"{face.kind.value}, an upright face: {number(face.area_mm2 / 1e6, 2)} m2, no part of the roof area",)


def edge_facts(edge: RoofEdge, runs: Sequence[FlashingRun]) -> Facts:
    """Kind, length, slope and angle, and the flashing on it."""
    angle = f", {number(edge.between_deg, 1)} degrees between them" if len(edge.faces) > 1 else ""
    of = f"of {' and '.join(edge.faces)}{angle}" if edge.faces else ""
    flashings = [
        f"flashing {run.run}: net {whole(run.net_mm)} mm, dressings {whole(run.dress_a_mm)} and "
        f"{whole(run.dress_b_mm)} mm, girth {whole(run.girth_mm)} mm"
        for run in runs
    ]
    return _kept(
        f"{edge.kind.value}, {whole(edge.length_mm)} mm, at {number(edge.slope_deg, 1)} degrees", of, *flashings
    )


def bought_words(takeoff: Takeoff) -> Mapping[str, str]:
    """By mark of a sheet: the length bought for it, or whose length it comes out of."""
    return {mark: bought.words for mark, bought in bought_of(takeoff.roofing.sheets, takeoff.order).items()}


def sheet_facts(sheets: PlaneSheets, piece: SheetPiece, bought: str) -> Facts:
    """What is bought for it, its sides, and how it is cut."""
    length = f"{bought} mm" if bought.isdigit() else bought
    sides = f"sides {whole(piece.left_mm)} mm left, {whole(piece.right_mm)} mm right, seen from below the eave"
    cut = f"foot {foot_words(piece)}, top {top_words(piece)}" if raked(piece) else "square at both ends"
    lap = f"lapped {whole(piece.lap_mm)} mm under the part above" if piece.lap_mm else ""
    points = marking_words(piece, sheets.overall_mm) if needs_points(piece) else ""
    what = "clear sheet" if piece.clear else "sheet"
    return _kept(f"{what} on {sheets.plane}: {length}", sides, cut, points, lap)


def cut_words_by_run(takeoff: Takeoff) -> Mapping[str, str]:
    """By run: the pieces it is cut as."""
    return {
        run: "cut as " + " + ".join(f"{piece.length_mm}" for piece in pieces) + " mm"
        for run, pieces in cut_pieces(takeoff.order).items()
    }


def timber_facts(line: PurlinLine, item: Item | None, cut: str) -> Facts:
    """Which row it is and how it is cut."""
    name = plain(item_words(item)) if item is not None else "timber"
    row = f"{line.role} row {line.row}" if line.row else line.role
    return _kept(f"{name}, {row} of {line.plane}", cut)


def hole_facts(hole: Hole) -> Facts:
    """What goes through the roof there."""
    marks = refs_words(place.mark for place in hole.sheets)
    size = f"{whole(hole.width_mm)} x {whole(hole.length_mm)} mm on the slope"
    return _kept(f"{plain(hole.name)}, {hole.kind.replace('_', ' ')}: {size}", f"in {marks}" if marks else "")


def wall_facts(wall: Elevation, zones: Sequence[WallBoards]) -> Facts:
    """Size, facing and what is laid on it."""
    lines = [
        f"{plain(zone.zone)}: {zone.direction}, {number(zone.cover_mm, 1)} mm cover, "
        f"{number(zone.net_mm2 / 1e6, 2)} m2 net of {number(zone.gross_mm2 / 1e6, 2)} m2"
        for zone in zones
    ]
    return _kept(f"{whole(wall.width_mm)} mm wide, faces {compass_words(wall.bearing_deg)}", *lines)


def opening_facts(wall: Elevation, opening: Opening) -> Facts:
    """Size and place of an opening."""
    what = plain(opening.kind.replace("_", " ")) or "opening"
    return (
        f"{what}, {whole(opening.width_mm)} x {whole(opening.height_mm)} mm",
        f"on {wall.id}, {whole(opening.from_left_mm)} mm from its left end",
        f"sill {whole(opening.sill_mm)} mm and head {whole(opening.head_mm)} mm over the floor",
    )


def board_facts(boards: WallBoards, piece: BoardPiece) -> Facts:
    """Length, course and what is cut of it; of a sheet its sides too."""
    if boards.direction == SHEETS:
        left, right = piece.sides_mm
        return _kept(
            f"{whole(piece.length_mm)} mm, sheet {piece.row} of wall {piece.wall}, {plain(piece.zone)}",
            f"sides {whole(left)} mm left, {whole(right)} mm right, seen from outside",
            f"lapped {whole(piece.lap_mm)} mm under the sheet above" if piece.lap_mm else "",
            "notched by an opening" if piece.notched else "",
        )
    row = "course" if boards.direction == "horizontal" else "board"
    return _kept(
        f"{whole(piece.length_mm)} mm, {row} {piece.row} of wall {piece.wall}, {plain(piece.zone)}",
        f"ripped to {whole(piece.ripped_mm)} mm" if piece.ripped_mm else "",
        f"the rest of the board that {plain(piece.rest_of)} is ripped from" if piece.rest_of else "",
        "notched by an opening" if piece.notched else "",
    )
