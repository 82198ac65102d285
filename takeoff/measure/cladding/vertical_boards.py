"""Vertical boards: whole ones inwards from both ends, the two end boards ripped alike, at least half a cover wide.

A board that a jamb line cuts is notched and keeps its full length; only a board whose cover lies wholly within an
opening's width is split above and below it. Under a rake a board is as long as its longer side over its full width.
Where stock is too short, every board is cut on one level.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import floor, inf

from takeoff.basics.letters import letters
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding.courses import notched
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.face_parts import net_mm2
from takeoff.measure.cladding.level_breaks import BreakRule, Breaks, break_findings, level_breaks
from takeoff.measure.cladding.panels import BoardCut, Panel, foot_and_peak, upright_cuts, upright_panel
from takeoff.measure.cladding.short_pieces import without_short
from takeoff.measure.cladding.zones import Zone
from takeoff.measure.terms import run_working
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Board
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards

STEP_MM = TOLERANCES.set_out_step_mm


@record
class Lines:
    """Board lines of a wall, left to right, both ends included [mm]; `moved_mm` from even ends, and the jambs beside
    which a sliver is left."""

    marks_mm: tuple[float, ...]
    moved_mm: float
    slivers: tuple[str, ...]


def end_rips(width_mm: float, cover_mm: float, least_share: float) -> tuple[int, float]:
    """Whole boards and the width of the two equal end boards of a wall [mm].

    A width of whole covers has no rips: (boards, 0). A wall narrower than two least rips is one board: (0, width / 2).

    >>> end_rips(6000, 135, 0.5)
    (43, 97.5)
    """
    boards = floor((width_mm + CRUMB_MM) / cover_mm)
    if abs(boards * cover_mm - width_mm) <= CRUMB_MM:
        return boards, 0.0
    whole = floor(width_mm / cover_mm - 2.0 * least_share + TOLERANCES.closure_rel)
    return max(0, whole), (width_mm - max(0, whole) * cover_mm) / 2.0


def board_lines(face: Face, zone: Zone, settings: Settings) -> Lines:
    """Where boards meet. End rips are equal; only where that leaves a strip beside a jamb narrower than setting
    jamb_strip_least_mm are the boards moved along, by as little as clears every jamb, end rips staying at least
    end_rip_least_share of the cover."""
    cover = zone.board.cover_mm
    share = min(max(settings.number("end_rip_least_share"), 0.0), 0.5)  # over a half, an end board outgrows its cover
    least = settings.number("jamb_strip_least_mm")
    whole, rip = end_rips(face.width, cover, share)
    even = _marks(face, whole, rip, cover)
    slivers = _slivers(face, even, least)
    room = max(0.0, min(rip - share * cover, cover - rip))
    if rip > 0.0 and (full := _full_beside(face, even, room, least)):
        return full
    if not slivers or rip == 0.0:
        return Lines(even, 0.0, slivers)
    for step in range(1, floor((room + CRUMB_MM) / STEP_MM) + 1):
        for moved in (step * STEP_MM, -step * STEP_MM):
            marks = _moved(even, moved)
            if not _slivers(face, marks, least):
                return Lines(marks, moved, ())
    return Lines(even, 0.0, slivers)


def _full_beside(face: Face, even: tuple[float, ...], room: float, least: float) -> Lines | None:
    """Lines moved so that both jambs of as many openings as can be stand on them, a full board on either side; None
    where no opening is whole covers wide, or where lines are so already or may not move as far."""
    best: tuple[int, float, float] | None = None
    for hole in face.holes:
        moved = min((hole.left - x for x in even[1:-1]), key=abs, default=room + 1.0)
        if abs(moved) > room:
            continue
        marks = _moved(even, moved)
        full = sum(
            all(any(abs(x - jamb) < CRUMB_MM for x in marks[1:-1]) for jamb in (h.left, h.right)) for h in face.holes
        )
        if full and not _slivers(face, marks, least):
            rated = (-full, round(abs(moved), 6), moved)
            best = rated if best is None else min(best, rated)
    if best is None:
        return None
    return Lines(_moved(even, best[2]), best[2] if abs(best[2]) > CRUMB_MM else 0.0, ())


def _moved(even: tuple[float, ...], by: float) -> tuple[float, ...]:
    return tuple(x if i in (0, len(even) - 1) else x + by for i, x in enumerate(even))


def _marks(face: Face, whole: int, rip: float, cover: float) -> tuple[float, ...]:
    if rip == 0.0:
        return (*(face.left + n * cover for n in range(whole)), face.right)
    if whole == 0 and rip * 2.0 <= cover:
        return (face.left, face.right)
    return (face.left, *(face.left + rip + n * cover for n in range(whole + 1)), face.right)


def _slivers(face: Face, marks: tuple[float, ...], least: float) -> tuple[str, ...]:
    """Jambs beside which the board is narrower than `least`, as words."""
    found = []
    for hole in face.holes:
        left = hole.left - max((x for x in marks if x <= hole.left + CRUMB_MM), default=hole.left)
        right = min((x for x in marks if x >= hole.right - CRUMB_MM), default=hole.right) - hole.right
        for side, strip in (("left", left), ("right", right)):
            if CRUMB_MM < strip < least - CRUMB_MM:
                found.append(f"{hole.name} {side} ({strip:.0f} mm)")
    return tuple(found)


def lay_vertical(
    face: Face, zone: Zone, settings: Settings, longest_mm: float = inf, nogs_mm: tuple[float, ...] = ()
) -> WallBoards:
    """The vertical boards of a wall, with board lines (`marks_mm`, both ends included) and areas of the face.

    longest_mm: the longest piece a bought board gives; nogs_mm: heights of the nog lines over the floor. Where boards
    are longer they are cut on a level break.
    """
    board = zone.board
    lines = board_lines(face, zone, settings)
    strips = tuple(pairwise(lines.marks_mm))
    lap = board.width_mm - board.cover_mm
    rule = break_rule(zone, settings, longest_mm)
    cuts, breaks = cut_boards(face, strips, lap, nogs_mm, rule)
    rows = (
        piece
        for row, (lines_mm, own) in enumerate(zip(strips, cuts, strict=True), start=1)
        for piece in _pieces(face, zone, row, lines_mm, tuple(map(upright_panel, own)))
    )
    kept, bare = without_short(face, rows, 1, settings)
    pieces = from_one_board(kept, board, settings.number("board_kerf_mm"))
    return WallBoards(
        wall=face.wall,
        zone=zone.name,
        direction="vertical",
        board=board.id,
        cover_mm=board.cover_mm,
        board_width_mm=board.width_mm,
        courses=len(strips),
        net_mm2=net_mm2(face),
        gross_mm2=face.gross_mm2,
        pieces=pieces,
        marks_mm=lines.marks_mm,
        working=Working(
            "whole boards inwards from both ends; end boards equal and at least half a cover",
            (
                Term("width of the face", round(face.width, 3), "mm", None, f"wall {face.wall}"),
                zone.term("cover_mm"),
                Term("end boards", round(strips[0][1] - strips[0][0], 3), "mm", None, f"wall {face.wall}"),
                settings.term("end_rip_least_share"),
                settings.term("jamb_strip_least_mm"),
                *((settings.term("board_least_piece_mm"),) if breaks.levels_mm else ()),
            ),
        ),
        findings=(*_notes(face, lines), *bare, *break_findings(face.wall, breaks, rule)),
        breaks_mm=breaks.levels_mm,
    )


def cut_boards(
    face: Face, strips: Sequence[tuple[float, float]], lap_mm: float, nogs_mm: Sequence[float], rule: BreakRule
) -> tuple[list[tuple[BoardCut, ...]], Breaks]:
    """From where to where the boards of each strip go, from the foot up, and the level breaks that they are cut on."""
    reach = foot_and_peak(face)
    whole = [tuple(upright_cuts(face, x0, x1, lap_mm, (), reach)) for x0, x1 in strips]
    breaks = level_breaks(face, [cut for own in whole for cut in own], nogs_mm, rule)
    if not breaks.levels_mm:
        return whole, breaks
    return [tuple(upright_cuts(face, x0, x1, lap_mm, breaks.levels_mm, reach)) for x0, x1 in strips], breaks


def break_rule(zone: Zone, settings: Settings, longest_mm: float) -> BreakRule:
    """What level breaks of a zone's boards go by."""
    return BreakRule(longest_mm, settings.number("board_least_piece_mm"), zone.break_mm)


def _pieces(
    face: Face, zone: Zone, row: int, lines_mm: tuple[float, float], panels: tuple[Panel, ...]
) -> Iterator[BoardPiece]:
    """One board, or its parts below and above an opening and a level break, from the foot up."""
    x0, x1 = lines_mm
    rip = x1 - x0
    for i, panel in enumerate(panels):
        yield BoardPiece(
            id=f"B{face.tag}.{row:02d}" + (letters(i + 1) if len(panels) > 1 else ""),
            wall=face.wall,
            zone=zone.name,
            row=row,
            outline_xy=panel.ring,
            length_mm=panel.end - panel.start,
            ripped_mm=rip if rip < zone.board.cover_mm - CRUMB_MM else 0.0,
            notched=notched(face, x0, x1, panel.start, panel.end),
            past_mm=panel.past,
            rakes_deg=panel.rakes_deg,
        )


def from_one_board(pieces: Sequence[BoardPiece], board: Board, kerf_mm: float) -> tuple[BoardPiece, ...]:
    """The boards of a wall, the rip of one end cut from what that of the other leaves where a board is wide enough.

    Of the two end boards one laps under its neighbour and one does not: together they take their seen widths and a lap,
    and the saw its kerf. What is left over goes as far as it is long: the shorter of two rips comes from the longer.
    """
    last = max((piece.row for piece in pieces), default=0)
    first, end = ([p for p in pieces if p.row == row and p.ripped_mm] for row in (1, last))
    if last < 2 or not first or len(first) != len(end):
        return tuple(pieces)
    taken: dict[str, str] = {}
    for one, other in zip(first, end, strict=True):
        wide = one.ripped_mm + other.ripped_mm + board.width_mm - board.cover_mm + kerf_mm
        if wide <= board.width_mm + CRUMB_MM:
            longer, shorter = (one, other) if one.length_mm >= other.length_mm else (other, one)
            taken[shorter.id] = longer.id
    return tuple(replace(piece, rest_of=taken[piece.id]) if piece.id in taken else piece for piece in pieces)


def vertical_runs(boards: WallBoards, face: Face, zone: Zone) -> tuple[RunDemand, ...]:
    """One run for each board, in one piece; none for what the rip of another leaves."""
    return tuple(
        RunDemand(
            id=piece.id,
            item=zone.board.id,
            length_mm=piece.length_mm,
            row=piece.row,
            group=face.group,
            refs=(f"wall {piece.wall}",),
            offset_mm=min(y for _, y in piece.outline_xy) - piece.past_mm,
            working=run_working("length of the board, its raked end to the long point", piece.length_mm, piece.id),
        )
        for piece in boards.pieces
        if not piece.rest_of
    )


def _notes(face: Face, lines: Lines) -> tuple[Finding, ...]:
    where = (f"wall {face.wall}",)
    if lines.moved_mm:
        return (
            Finding(
                code="boards-moved-off-centre",
                severity=Severity.NOTE,
                text=f"Wall {face.wall}: boards are moved {abs(lines.moved_mm):.0f} mm to the "
                f"{'right' if lines.moved_mm > 0 else 'left'} so that no sliver or a full board is beside jambs; the "
                f"end boards differ.",
                refs=where,
            ),
        )
    if lines.slivers:
        return (
            Finding(
                code="sliver-beside-jamb",
                severity=Severity.NOTE,
                text=f"Wall {face.wall}: narrow strips of board are left beside {', '.join(lines.slivers)}.",
                advice="Move the opening a few mm, or cover the strip with a wider facing.",
                refs=where,
            ),
        )
    return ()
