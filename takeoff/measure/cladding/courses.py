"""Horizontal boards in courses, from the foot of the cladding up.

A board starts at its course line and laps the one above. Bevel-back boards may be evened out: the lap grows until the
last board is a whole one at the frame height. Other boards have one cover: the top one is ripped. A board that a sill
or head line cuts is notched and keeps its full length; only a board that lies wholly within an opening's height is
split there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding.face import CRUMB_MM, Face, Hole, highest, letters, stretches_above, without
from takeoff.measure.cladding.panels import level_panel
from takeoff.measure.cladding.short_pieces import without_short
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards


@dataclass(frozen=True, slots=True)
class SetOut:
    """Courses of a wall: `cover_mm` as set out, `count` over the whole height, `top_mm` width of the top board where
    it is ripped (0: whole)."""

    cover_mm: float
    count: int
    top_mm: float
    evened: bool


def course_count(height_mm: float, width_mm: float, cover_mm: float) -> int:
    """Courses that close a height: ceil((height - board width) / cover) + 1; all in mm.

    >>> course_count(2400, 187, 155)
    16
    """
    return count_up(height_mm - width_mm, cover_mm) + 1


def set_out(frame_mm: float, peak_mm: float, zone: Zone) -> SetOut:
    """Courses of a wall whose cladding is `frame_mm` high at the frame height and `peak_mm` at its highest [mm].

    Even coursing takes the frame height, so that course lines meet round the house, and goes on with the same cover up
    a gable. It is left alone where it would make the lap grow over the board's most lap.
    """
    board = zone.board
    width, cover, evened = board.width_mm, board.cover_mm, False
    bays = course_count(frame_mm, width, cover) - 1
    if zone.evened and bays:
        even = (frame_mm - width) / bays
        if not board.most_lap_mm or width - even <= board.most_lap_mm + TOLERANCES.same_length_mm:
            cover, evened = even, True
    count = course_count(peak_mm, width, cover)
    rest = peak_mm - (count - 1) * cover
    return SetOut(cover, count, rest if rest < width - CRUMB_MM else 0.0, evened)


def lay_courses(face: Face, zone: Zone, settings: Settings) -> WallBoards:
    """The horizontal boards of a wall.

    Returns every board with the shape that is seen of it, the storey rod (`marks_mm`: course lines over the floor) and
    the areas of the cladding face. A board on a rake is measured along its longer, lower side.
    """
    board = zone.board
    laid = set_out(face.frame_top - face.base, face.peak - face.base, zone)
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
        working=_working(face, zone, laid),
        findings=(*_notes(face, zone, laid), *bare),
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
            id=f"B{face.wall}.{row + 1:02d}" + (letters(i) if len(shapes) > 1 else ""),
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


def _working(face: Face, zone: Zone, laid: SetOut) -> Working:
    rule = "courses = ceil((height - board width) / cover) + 1"
    if laid.evened:
        rule += "; cover as set out = (frame height - board width) / (courses to the frame height - 1)"
    elif laid.top_mm:
        rule += "; whole boards from the foot, the top one ripped"
    return Working(
        rule,
        (
            Term("height of the cladding", round(face.peak - face.base, 3), "mm", None, f"wall {face.wall}"),
            Term("height to the frame", round(face.frame_top - face.base, 3), "mm", None, f"wall {face.wall}"),
            zone.term("width_mm"),
            zone.term("cover_mm"),
            zone.term("least_lap_mm"),
            Term("cover as set out", round(laid.cover_mm, 3), "mm", None, f"wall {face.wall}"),
        ),
    )


def _notes(face: Face, zone: Zone, laid: SetOut) -> tuple[Finding, ...]:
    if not zone.evened or laid.evened or not laid.top_mm:
        return ()
    return (
        Finding(
            code="coursing-not-evened",
            severity=Severity.NOTE,
            text=f"Wall {face.wall}: even courses would lap more than {zone.board.most_lap_mm:g} mm; "
            f"boards keep their cover of {laid.cover_mm:g} mm and the top one is ripped to {laid.top_mm:.0f} mm.",
            advice="Change the floor lap or the frame height by a few mm if a ripped board is not wanted.",
            refs=(f"wall {face.wall}",),
        ),
    )
