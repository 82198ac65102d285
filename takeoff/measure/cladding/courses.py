"""Horizontal boards in courses, from the foot of the cladding up.

A board starts at its course line and laps the one above; the storey rod says where the lines are. A board that a sill
or head line cuts is notched and keeps its full length; only a board that lies wholly within an opening's height is
split there.
"""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.letters import letters
from takeoff.measure.cladding.face import CRUMB_MM, Face, Hole, highest, stretches_above, without
from takeoff.measure.cladding.panels import level_panel
from takeoff.measure.cladding.short_pieces import without_short
from takeoff.measure.cladding.storey_rod import SetOut, not_evened, set_out, slivers, working_of
from takeoff.measure.cladding.zones import Zone
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards


def lay_courses(face: Face, zone: Zone, settings: Settings, head_mm: float | None = None) -> WallBoards:
    """The horizontal boards of a wall.

    Returns every board with the shape that is seen of it, the storey rod (`marks_mm`: course lines over the floor) and
    the areas of the cladding face. A board on a rake is measured along its longer, lower side. `head_mm`: the head over
    the floor that even courses should meet.
    """
    board = zone.board
    laid = set_out(face, zone, settings, head_mm)
    rows = (piece for row in range(laid.count) for piece in _row(face, zone, laid, row))
    pieces, bare = without_short(face, rows, 0, settings)
    marks = tuple(face.base + row * laid.cover_mm for row in range(laid.count))
    return WallBoards(
        wall=face.wall,
        zone=zone.name,
        direction="horizontal",
        board=board.id,
        cover_mm=laid.cover_mm,
        board_width_mm=board.width_mm,
        courses=laid.count,
        net_mm2=face.net_mm2,
        gross_mm2=face.gross_mm2,
        pieces=pieces,
        marks_mm=marks,
        working=working_of(face, zone, laid, settings),
        findings=(*not_evened(face, zone, laid, settings), *slivers(face, zone, laid, settings), *bare),
    )


def _row(face: Face, zone: Zone, laid: SetOut, row: int) -> Iterator[BoardPiece]:
    """The boards of one course, left to right."""
    width = zone.board.width_mm
    foot = face.base + row * laid.cover_mm
    seen_to = foot + laid.cover_mm if row + 1 < laid.count else face.peak
    runs = [
        run
        for stretch in stretches_above(face.top, foot)
        for run in without(
            stretch, [(hole.left, hole.right) for hole in face.holes if _splits(face, hole, foot, width)]
        )
    ]
    shapes = [(x0, x1, level_panel(face, x0, x1, foot, seen_to)) for x0, x1 in runs]
    shapes = [(x0, x1, ring) for x0, x1, ring in shapes if ring]
    for i, (x0, x1, ring) in enumerate(shapes):
        rip = laid.top_mm if row + 1 == laid.count and laid.top_mm else 0.0
        yield BoardPiece(
            id=f"B{face.wall}.{row + 1:02d}" + (letters(i + 1) if len(shapes) > 1 else ""),
            wall=face.wall,
            zone=zone.name,
            row=row + 1,
            outline_xy=ring,
            length_mm=x1 - x0,
            ripped_mm=rip,
            notched=notched(face, x0, x1, foot, seen_to),
        )


def _splits(face: Face, hole: Hole, foot: float, width: float) -> bool:
    """Whether an opening's height holds the whole board, its hidden lap included; at the top of the wall what is there
    of it."""
    top = min(foot + width, highest(face, hole.left, hole.right))
    return hole.foot <= foot + CRUMB_MM and hole.head >= top - CRUMB_MM


def notched(face: Face, x0: float, x1: float, y0: float, y1: float) -> bool:
    """Whether an opening takes a part of what is seen of a board that covers x0..x1, y0..y1 [mm]."""
    return any(
        min(hole.right, x1) - max(hole.left, x0) > CRUMB_MM and min(hole.head, y1) - max(hole.foot, y0) > CRUMB_MM
        for hole in face.holes
    )
