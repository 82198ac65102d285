"""Where level boards may be joined along their run: on studs, apart from the courses beside, never in a sliver."""

from __future__ import annotations

from itertools import count, pairwise, takewhile

from takeoff.basics.records import record
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
    joint_strip_least_mm of what is seen of the board; a board that so takes more joints than it needs takes any such
    stud, for the fewest joints come first. Where stock is too short for the studs of a course on any of the wall, all
    its courses take any such stud, and the order keeps them apart; only where that will not do either, a board is
    joined beside an opening's edge. longest_mm: the longest piece a bought board gives.
    """
    lap = scarf_mm(zone.board.thickness_mm, settings)
    names = ("board_scarf_deg", "joint_repeat_courses", "board_least_piece_mm", "joint_strip_least_mm")
    terms = tuple(settings.term(name) for name in names)
    places = [_places(boards, piece, face, settings, stud_mm) for piece in boards.pieces]
    reach = longest_mm - lap + CRUMB_MM
    regular = all(place.spans(place.own, reach) for place in places)
    runs = []
    for piece, place in zip(boards.pieces, places, strict=True):
        runs.append(
            RunDemand(
                id=piece.id,
                item=zone.board.id,
                length_mm=piece.length_mm,
                splits_mm=place.fewest(reach) if regular else place.first_that_spans(reach),
                lap_mm=lap,
                row=piece.row,
                stagger_mm=stud_mm,
                group=face.group,
                refs=(f"wall {piece.wall}",),
                offset_mm=place.start,
                working=run_working("length of the board; running joints on studs", piece.length_mm, piece.id, *terms),
                rows_apart=max(1, round(settings.number("joint_repeat_courses")) - 1),
                joint_on="stud",
                spare_joints=1,
                tell=True,
            )
        )
    return tuple(runs)


@record
class _Places:
    """Studs that a board may be joined on [mm from its start]: those of its course where the board is sound, any where
    it is sound, those of its course, any."""

    start: float
    length: float
    own: tuple[float, ...]
    sound: tuple[float, ...]
    course: tuple[float, ...]
    studs: tuple[float, ...]

    def spans(self, among: tuple[float, ...], reach_mm: float) -> bool:
        """Whether pieces between these joints are no longer than a board covers from joint to joint."""
        return self.length <= reach_mm or max(b - a for a, b in pairwise((0.0, *among, self.length))) <= reach_mm

    def fewest(self, reach_mm: float) -> tuple[float, ...]:
        """The studs of the course where the board is sound; every one where it is, if that saves a joint."""
        return self.sound if self._joints(self.sound, reach_mm) < self._joints(self.own, reach_mm) else self.own

    def _joints(self, among: tuple[float, ...], reach_mm: float) -> int:
        """How many joints a board takes at the least, each piece going as far as it may; `among` must span it."""
        if self.length <= reach_mm:
            return 0
        at, joints = 0.0, 0
        for here, beyond in pairwise((*among, self.length)):
            if beyond - at > reach_mm:
                at, joints = here, joints + 1
        return joints

    def first_that_spans(self, reach_mm: float) -> tuple[float, ...]:
        """The first of the wider choices that stock can span."""
        return next((c for c in (self.sound, self.course, self.studs) if self.spans(c, reach_mm)), self.studs)


def _places(boards: WallBoards, piece: BoardPiece, face: Face, settings: Settings, stud_mm: float) -> _Places:
    """The studs along one board."""
    repeat = max(1, round(settings.number("joint_repeat_courses")))
    least, strip = settings.number("board_least_piece_mm"), settings.number("joint_strip_least_mm")
    start = min(x for x, _ in piece.outline_xy) - piece.past_mm
    studs = list(takewhile(lambda x: x < face.right, (n * stud_mm for n in count(1))))
    studs = [x for x in studs if least <= x - start <= piece.length_mm - least]
    course = [x for x in studs if round(x / stud_mm) % repeat == piece.row % repeat]
    sound = {x for x in studs if _strip_at(boards, piece, face, x) >= strip - CRUMB_MM}
    along = tuple(
        tuple(x - start for x in among)
        for among in ([x for x in course if x in sound], [x for x in studs if x in sound], course, studs)
    )
    return _Places(start, piece.length_mm, *along)


def _strip_at(boards: WallBoards, piece: BoardPiece, face: Face, x: float) -> float:
    """Width of the widest strip of a board that is seen at x [mm]; the whole of its cover where no opening cuts it."""
    foot = boards.marks_mm[piece.row - 1]
    top = boards.marks_mm[piece.row] if piece.row < len(boards.marks_mm) else foot + boards.board_width_mm
    cuts = [(hole.foot, hole.head) for hole in face.holes if hole.left - CRUMB_MM < x < hole.right + CRUMB_MM]
    if not any(low < top and high > foot for low, high in cuts):
        return boards.cover_mm
    return max((b - a for a, b in without((foot, min(top, highest(face, x, x))), cuts)), default=0.0)
