"""Vertical boards: whole ones inwards from both ends, the two end boards ripped alike, at least half a cover wide.

A board that a jamb line cuts is notched and keeps its full length; only a board whose cover lies wholly within an
opening's width is split above and below it. Under a rake a board is as long as its longer side over its full width.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import floor

from takeoff.basics.letters import letters
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding.courses import notched
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.face_parts import net_mm2
from takeoff.measure.cladding.panels import upright_panels
from takeoff.measure.cladding.short_pieces import without_short
from takeoff.measure.cladding.zones import Zone
from takeoff.measure.terms import run_working
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards

STEP_MM = 5.0  # boards are moved along by this much while looking for a set-out without slivers


@dataclass(frozen=True, slots=True)
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
    if not slivers or rip == 0.0:
        return Lines(even, 0.0, slivers)
    room = min(rip - share * cover, cover - rip)
    for step in range(1, floor(max(0.0, room + CRUMB_MM) / STEP_MM) + 1):
        for moved in (step * STEP_MM, -step * STEP_MM):
            marks = tuple(x if i in (0, len(even) - 1) else x + moved for i, x in enumerate(even))
            if not _slivers(face, marks, least):
                return Lines(marks, moved, ())
    return Lines(even, 0.0, slivers)


def _marks(face: Face, whole: int, rip: float, cover: float) -> tuple[float, ...]:
    if rip == 0.0:
        return (*(face.left + n * cover for n in range(whole)), face.right)
    if whole == 0 and rip * 2.0 <= cover + CRUMB_MM:
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


def lay_vertical(face: Face, zone: Zone, settings: Settings) -> WallBoards:
    """The vertical boards of a wall, with board lines (`marks_mm`, both ends included) and areas of the face."""
    board = zone.board
    lines = board_lines(face, zone, settings)
    strips = tuple(pairwise(lines.marks_mm))
    rows = (piece for row, (x0, x1) in enumerate(strips, start=1) for piece in _pieces(face, zone, row, x0, x1))
    pieces, bare = without_short(face, rows, 1, settings)
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
            ),
        ),
        findings=(*_notes(face, lines), *bare),
    )


def _pieces(face: Face, zone: Zone, row: int, x0: float, x1: float) -> Iterator[BoardPiece]:
    """One board, or its parts below and above an opening, from the foot up."""
    panels = tuple(upright_panels(face, x0, x1, zone.board.width_mm - zone.board.cover_mm))
    rip = x1 - x0
    for i, panel in enumerate(panels):
        yield BoardPiece(
            id=f"B{face.wall}.{row:02d}" + (letters(i + 1) if len(panels) > 1 else ""),
            wall=face.wall,
            zone=zone.name,
            row=row,
            outline_xy=panel.ring,
            length_mm=panel.end - panel.start,
            ripped_mm=rip if rip < zone.board.cover_mm - CRUMB_MM else 0.0,
            notched=notched(face, x0, x1, panel.start, panel.end),
            past_mm=panel.past,
        )


def vertical_runs(
    boards: WallBoards, zone: Zone, nogs_mm: tuple[float, ...], longest_mm: int, lap_mm: float
) -> tuple[tuple[RunDemand, ...], tuple[Finding, ...]]:
    """One run for each board: in one piece, or joined over nogs where it is longer than the longest stock.

    nogs_mm: heights of the nog lines over the floor; longest_mm: the longest piece a bought board gives; lap_mm: what
    the boards share at a joint. The findings name the boards that must be joined.
    """
    runs: list[RunDemand] = []
    joined: list[str] = []
    for piece in boards.pieces:
        foot = min(y for _, y in piece.outline_xy) - piece.past_mm
        splits: tuple[float, ...] = ()
        if piece.length_mm > longest_mm + CRUMB_MM:
            joined.append(piece.id)
            splits = tuple(y - foot for y in nogs_mm if foot < y < foot + piece.length_mm)
        runs.append(
            RunDemand(
                id=piece.id,
                item=zone.board.id,
                length_mm=piece.length_mm,
                splits_mm=splits,
                lap_mm=lap_mm,
                row=piece.row,
                stagger_mm=min(pairwise_gap(nogs_mm), piece.length_mm) if splits else 0.0,
                group=f"wall {piece.wall}",
                refs=(f"wall {piece.wall}",),
                offset_mm=foot,
                working=run_working("length of the board, its raked end to the long point", piece.length_mm, piece.id),
            )
        )
    if not joined:
        return tuple(runs), ()
    finding = Finding(
        code="vertical-board-joined",
        severity=Severity.NOTE,
        text=f"Wall {boards.wall}: {len(joined)} boards are longer than the {longest_mm} mm a docked length gives "
        f"and are joined over nogs.",
        advice="Order longer boards, or plan a level break with a flashing.",
        refs=tuple(joined),
    )
    return tuple(runs), (finding,)


def pairwise_gap(levels_mm: tuple[float, ...]) -> float:
    """Least distance between neighbouring levels [mm], 0 for fewer than two."""
    return min((b - a for a, b in pairwise(levels_mm)), default=0.0)


def _notes(face: Face, lines: Lines) -> tuple[Finding, ...]:
    where = (f"wall {face.wall}",)
    if lines.moved_mm:
        return (
            Finding(
                code="boards-moved-off-centre",
                severity=Severity.NOTE,
                text=f"Wall {face.wall}: boards are moved {abs(lines.moved_mm):.0f} mm to the "
                f"{'right' if lines.moved_mm > 0 else 'left'} to leave no sliver beside a jamb; the end boards differ.",
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
