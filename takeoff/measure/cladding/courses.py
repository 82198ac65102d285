"""Horizontal boards in courses, from the foot of the cladding up.

A board starts at its course line and laps the one above; the storey rod says where the lines are. A course of which
all that is seen lies beside an opening is split there; a sill or head line that takes only a part of what is seen
leaves the board whole and notched. What of a board is hidden by the one over it has no say.
"""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.letters import letters
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.face_parts import net_mm2
from takeoff.measure.cladding.panels import level_panels
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
        net_mm2=net_mm2(face),
        gross_mm2=face.gross_mm2,
        pieces=pieces,
        marks_mm=marks,
        working=working_of(face, zone, laid, settings),
        findings=(*not_evened(face, zone, laid, settings), *slivers(face, zone, laid, settings), *bare),
    )


def _row(face: Face, zone: Zone, laid: SetOut, row: int) -> Iterator[BoardPiece]:
    """The boards of one course, left to right."""
    foot, seen_to, lap = course_lines(face, zone, laid, row)
    panels = tuple(level_panels(face, foot, seen_to, lap))
    for i, panel in enumerate(panels):
        rip = laid.top_mm if row + 1 == laid.count else 0.0
        yield BoardPiece(
            id=f"B{face.tag}.{row + 1:02d}" + (letters(i + 1) if len(panels) > 1 else ""),
            wall=face.wall,
            zone=zone.name,
            row=row + 1,
            outline_xy=panel.ring,
            length_mm=panel.end - panel.start,
            ripped_mm=rip,
            notched=notched(face, panel.start, panel.end, foot, seen_to),
            past_mm=panel.past,
            rakes_deg=panel.rakes_deg,
        )


def course_lines(face: Face, zone: Zone, laid: SetOut, row: int) -> tuple[float, float, float]:
    """Where a course begins, to where it is seen, and by how much the one over it laps it [mm]; rows from 0."""
    foot = face.base + row * laid.cover_mm
    if row + 1 == laid.count:
        return foot, face.peak, 0.0
    return foot, foot + laid.cover_mm, zone.board.width_mm - laid.cover_mm


def notched(face: Face, x0: float, x1: float, y0: float, y1: float) -> bool:
    """Whether an opening takes a part of what is seen of a board that covers x0..x1, y0..y1 [mm]."""
    return any(
        min(hole.right, x1) - max(hole.left, x0) > CRUMB_MM and min(hole.head, y1) - max(hole.foot, y0) > CRUMB_MM
        for hole in face.holes
    )
