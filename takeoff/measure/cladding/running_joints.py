"""Where level boards may be joined along their run: on studs, apart from the courses beside, never in a sliver."""

from __future__ import annotations

from itertools import pairwise, takewhile

from takeoff.measure.cladding.face import CRUMB_MM, Face, without
from takeoff.measure.cladding.face_parts import highest
from takeoff.measure.cladding.supply import scarf_mm
from takeoff.measure.cladding.zones import Zone
from takeoff.measure.terms import run_working
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece, WallBoards


def board_runs(
    boards: WallBoards, face: Face, zone: Zone, settings: Settings, stud_mm: float, longest_mm: int
) -> tuple[RunDemand, ...]:
    """One run for each board of a wall, to be cut from stock: scarfed on studs only, no two joints in line within the
    courses of setting joint_repeat_courses (joints at least two full boards apart).

    Course r takes its joints at every n-th stud, counted from stud r, where an opening leaves at least setting
    joint_strip_least_mm of what is seen of the board. Where stock is too short for that, at any such stud; only where
    that will not do either, beside an opening's edge. longest_mm: the longest piece a bought board gives.
    """
    lap = scarf_mm(zone.board.thickness_mm, settings)
    names = ("board_scarf_deg", "joint_repeat_courses", "board_least_piece_mm", "joint_strip_least_mm")
    terms = tuple(settings.term(name) for name in names)
    runs = []
    for piece in boards.pieces:
        start = min(x for x, _ in piece.outline_xy)
        runs.append(
            RunDemand(
                id=piece.id,
                item=zone.board.id,
                length_mm=piece.length_mm,
                splits_mm=_splits(boards, piece, start, face, settings, stud_mm, longest_mm - lap),
                lap_mm=lap,
                row=piece.row,
                stagger_mm=stud_mm,
                group=f"wall {piece.wall}",
                refs=(f"wall {piece.wall}",),
                offset_mm=start,
                working=run_working("length of the board; running joints on studs", piece.length_mm, piece.id, *terms),
            )
        )
    return tuple(runs)


def _splits(
    boards: WallBoards, piece: BoardPiece, start: float, face: Face, settings: Settings, stud_mm: float, reach_mm: float
) -> tuple[float, ...]:
    """Places for joints along one board [mm from its start]: the first choice of studs that stock can span.

    reach_mm: what a board with a scarf at both ends covers from joint to joint.
    """
    repeat = max(1, round(settings.number("joint_repeat_courses")))
    least, strip = settings.number("board_least_piece_mm"), settings.number("joint_strip_least_mm")
    studs = list(takewhile(lambda x: x < face.right, (n * stud_mm for n in range(1, 10**6))))
    studs = [x for x in studs if least <= x - start <= piece.length_mm - least]
    staggered = [x for x in studs if round(x / stud_mm) % repeat == piece.row % repeat]
    sound = {x for x in studs if _strip_at(boards, piece, face, x) >= strip - CRUMB_MM}
    choices = ([x for x in staggered if x in sound], [x for x in studs if x in sound], staggered, studs)
    for among in choices:
        stops = (0.0, *(x - start for x in among), piece.length_mm)
        if piece.length_mm <= reach_mm or max(b - a for a, b in pairwise(stops)) <= reach_mm:
            return stops[1:-1]
    return tuple(x - start for x in studs)


def _strip_at(boards: WallBoards, piece: BoardPiece, face: Face, x: float) -> float:
    """Width of the widest strip of a board that is seen at x [mm]; the whole of its cover where no opening cuts it."""
    foot = boards.marks_mm[piece.row - 1]
    top = boards.marks_mm[piece.row] if piece.row < len(boards.marks_mm) else foot + boards.board_width_mm
    cuts = [(hole.foot, hole.head) for hole in face.holes if hole.left - CRUMB_MM < x < hole.right + CRUMB_MM]
    if not any(low < top and high > foot for low, high in cuts):
        return boards.cover_mm
    return max((b - a for a, b in without((foot, min(top, highest(face, x, x))), cuts)), default=0.0)
