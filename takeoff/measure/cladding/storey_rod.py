"""The storey rod: how many courses close a wall, with which cover, and whether a course line meets the heads.

Bevel-back boards may be evened out: the lap grows until the last board is a whole one at the frame height or, better,
until a course line stands on the commonest head of the walls that carry the board. Other boards have one cover: the top
one is ripped.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings


@record
class SetOut:
    """Courses of a wall: `cover_mm` as set out, `count` over the whole height, `top_mm` width of the top board where
    it is ripped (0: whole), `head_mm` the head over the floor that a course line stands on (0: none is sought)."""

    cover_mm: float
    count: int
    top_mm: float
    evened: bool
    head_mm: float = 0.0


def course_count(height_mm: float, width_mm: float, cover_mm: float) -> int:
    """Courses that close a height: ceil((height - board width) / cover) + 1; all in mm.

    >>> course_count(2400, 187, 155)
    16
    """
    return count_up(height_mm - width_mm, cover_mm) + 1


def commonest_head(faces: Iterable[Face]) -> float | None:
    """The head that most openings of some walls share, the higher of equals [mm over the floor]; None without any."""
    counts: dict[int, int] = {}
    for face in faces:
        for hole in face.holes:
            if hole.head < face.frame_top - CRUMB_MM:
                counts[round(hole.head)] = counts.get(round(hole.head), 0) + 1
    return float(max(counts, key=lambda head: (counts[head], head))) if counts else None


def set_out(face: Face, zone: Zone, settings: Settings, head_mm: float | None = None) -> SetOut:
    """The courses of a wall. `head_mm`: the head over the floor that a course line should meet.

    Even coursing takes the frame height, so that course lines meet round the house, and goes on with the same cover up
    a gable. It is left alone where it would make the lap grow over the board's most lap. A cover that meets the head is
    taken where lap limits allow it and no course more is bought for it.
    """
    board, frame = zone.board, face.frame_top - face.base
    width, cover, evened = board.width_mm, board.cover_mm, False
    bays = course_count(frame, width, cover) - 1
    if zone.evened and bays:
        even = (frame - width) / bays
        if _within(zone, even):
            cover, evened = even, True
    if evened and head_mm is not None and settings.flag("course_to_heads"):
        met = _to_head(frame, head_mm - face.base, zone, bays, settings)
        if met is not None:
            cover, gap = met
            return _made(face, zone, cover, gap, True, head_mm)
    return _made(face, zone, cover, 0.0, evened, 0.0)


def _made(face: Face, zone: Zone, cover: float, gap: float, evened: bool, head: float) -> SetOut:
    width, peak = zone.board.width_mm, face.peak - face.base
    over = peak - gap if peak <= face.frame_top - face.base + CRUMB_MM else peak
    count = course_count(over, width, cover)
    rest = peak - (count - 1) * cover
    return SetOut(cover, count, rest if rest < width - CRUMB_MM else 0.0, evened, head)


def _within(zone: Zone, cover: float) -> bool:
    """Whether a cover keeps the lap of a board within its least and most."""
    board = zone.board
    return cover <= board.cover_mm + TOLERANCES.same_length_mm and (
        not board.most_lap_mm or board.width_mm - cover <= board.most_lap_mm + TOLERANCES.same_length_mm
    )


def _to_head(frame: float, rise: float, zone: Zone, bays: int, settings: Settings) -> tuple[float, float] | None:
    """The largest cover with a course line `rise` over the foot, in no more courses than even coursing takes, and what
    the mould under the soffit closes over the top board, at most setting course_top_gap_mm; None where none serves."""
    width = zone.board.width_mm
    for lines in range(1, bays + 1):
        cover = rise / lines
        if cover <= 0.0 or not _within(zone, cover):
            continue
        count = course_count(frame - settings.number("course_top_gap_mm"), width, cover)
        if count <= bays + 1:
            return cover, max(0.0, frame - (count - 1) * cover - width)
    return None


def slivers(face: Face, zone: Zone, laid: SetOut, settings: Settings) -> tuple[Finding, ...]:
    """Notes of the sills and heads that leave a strip of a course narrower than setting course_sliver_mm."""
    least = settings.number("course_sliver_mm")
    found: dict[tuple[str, float, float], list[str]] = {}
    for hole in face.holes:
        low = _rest(hole.foot - face.base, laid.cover_mm)
        high = laid.cover_mm - _rest(hole.head - face.base, laid.cover_mm)
        row = (hole.head - face.base) / laid.cover_mm
        if CRUMB_MM < low < least - CRUMB_MM:
            found.setdefault(("under the sill", round(hole.foot, 1), round(low, 1)), []).append(hole.name)
        if row < laid.count - 1 and CRUMB_MM < high < least - CRUMB_MM:
            found.setdefault(("over the head", round(hole.head, 1), round(high, 1)), []).append(hole.name)
    return tuple(
        Finding(
            code="sliver-of-a-course",
            severity=Severity.NOTE,
            text=f"Wall {face.wall}: {strip:.0f} mm of a board show {where} of {', '.join(names)} at {level:.0f} mm "
            f"over the floor; course lines are {laid.cover_mm:.1f} mm apart.",
            advice=_offer(face, zone, level, settings) or _moved(level - face.base, strip, laid, settings),
            refs=(f"wall {face.wall}",),
        )
        for (where, level, strip), names in found.items()
    )


def _rest(height: float, cover: float) -> float:
    """How far a height lies over the course line below it [mm]; 0 within the tolerance of a line."""
    rest = height - floor(height / cover) * cover
    return 0.0 if cover - rest <= CRUMB_MM else rest


def _offer(face: Face, zone: Zone, level: float, settings: Settings) -> str:
    """The largest cover that meets the line of an opening, where the lap lets any; else nothing."""
    if zone.evened and settings.flag("course_to_heads"):
        rise, frame = level - face.base, face.frame_top - face.base
        covers = (rise / n for n in range(max(1, count_up(rise, zone.board.cover_mm)), 400))
        cover = next((cover for cover in covers if _within(zone, cover)), None)
        if cover is not None:
            count = course_count(frame, zone.board.width_mm, cover)
            own = f"{{width_mm: {zone.board.width_mm:g}, cover_mm: {cover:.4f}, kind: {zone.board.kind}}}"
            return (
                f"A cover of {cover:.1f} mm puts a line there, in {count} courses; or move the line of the opening. "
                f"For that cover, in the zone: `board: {own}` and in the zone: `even_coursing: false`."
            )
    return ""


def _moved(rise: float, strip: float, laid: SetOut, settings: Settings) -> str:
    """What else helps: boards of one cover all move with the floor lap, evened ones stretch."""
    words = f"Move the line of the opening by {strip:.0f} mm"
    if laid.evened:
        return f"{words}."
    lap = settings.number("floor_lap_mm") + laid.cover_mm - _rest(rise, laid.cover_mm)
    return f"{words}, or all boards, lower: `settings: {{floor_lap_mm: {lap:g}}}`."


def working_of(face: Face, zone: Zone, laid: SetOut, settings: Settings) -> Working:
    """How the courses of a wall were found, in words and figures."""
    rule = "courses = ceil((height - board width) / cover) + 1"
    where = f"wall {face.wall}"
    terms = [
        Term("height of the cladding", round(face.peak - face.base, 3), "mm", None, where),
        Term("height to the frame or soffit line", round(face.frame_top - face.base, 3), "mm", None, where),
        zone.term("width_mm"),
        zone.term("cover_mm"),
        zone.term("least_lap_mm"),
        Term("cover as set out", round(laid.cover_mm, 3), "mm", None, where),
    ]
    if laid.head_mm:
        lines = round((laid.head_mm - face.base) / laid.cover_mm)
        rule += (
            f"; cover as set out = (head + floor lap) / {lines}, so that a course line stands on the commonest head; "
            f"the mould under the soffit closes what is left over the top board"
        )
        terms += [
            Term("commonest head over the floor", laid.head_mm, "mm", None, where),
            settings.term("course_to_heads"),
            settings.term("course_top_gap_mm"),
        ]
    elif laid.evened:
        rule += "; cover as set out = (height to the frame or soffit line - board width) / (courses to there - 1)"
    elif laid.top_mm:
        rule += "; whole boards from the foot, the top one ripped"
    return Working(rule, tuple(terms))


def not_evened(face: Face, zone: Zone, laid: SetOut, settings: Settings) -> tuple[Finding, ...]:
    """A note where even coursing was wanted and the lap would have grown too much."""
    if not zone.evened or laid.evened or not laid.top_mm:
        return ()
    board, frame = zone.board, face.frame_top - face.base
    bays = course_count(frame, board.width_mm, board.cover_mm) - 1
    more = ceil(board.width_mm + bays * (board.width_mm - board.most_lap_mm) - frame - CRUMB_MM)
    lap = settings.number("floor_lap_mm") + more
    return (
        Finding(
            code="coursing-not-evened",
            severity=Severity.NOTE,
            text=f"Wall {face.wall}: even courses would lap more than {zone.board.most_lap_mm:g} mm; "
            f"boards keep their cover of {laid.cover_mm:g} mm and the top one is ripped to {laid.top_mm:.0f} mm.",
            advice="Where a ripped board is not wanted, frame the wall higher or lap the floor further: "
            f"`settings: {{floor_lap_mm: {lap:g}}}`.",
            refs=(f"wall {face.wall}",),
        ),
    )
