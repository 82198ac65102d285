"""The boards of an elevation with what must be cut for them, and the storey rod or board lines beside them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import ceil, inf

from takeoff.basics.vectors import Point2
from takeoff.model.runs import CutPiece
from takeoff.model.walls import BoardPiece, Elevation, WallBoards
from takeoff.write.drawings.drawing import SMALL_MM, Sketch, bounds, text_width
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.words.words import plain, whole

LEVEL_ROOM_MM, UPRIGHT_ROOM_MM = 2.7, 3.2  # a narrower board on paper carries no words of its own [paper mm]
_PARTS = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)  # places tried along a board, parts of its length
_STEPS = (1, 2, 5, 10, 20, 50, 100)  # every how many courses the storey rod is numbered


@dataclass(frozen=True, slots=True)
class _Label:
    """Words for neighbouring upright boards cut alike: x of the middle of the middle one; foot, least height and width
    of them all [mm]."""

    x: float
    foot: float
    height: float
    width: float
    words: str


def carries_words(zones: Sequence[WallBoards], scale: int) -> bool:
    """Whether every board of a wall is wide enough on paper to carry its length."""
    return all(
        zone.cover_mm / scale >= (LEVEL_ROOM_MM if zone.direction == "horizontal" else UPRIGHT_ROOM_MM)
        for zone in zones
    )


def draw_boards(sketch: Sketch, wall: Elevation, zone: WallBoards, cuts: Mapping[str, tuple[CutPiece, ...]]) -> None:
    """Outlines, joints and lengths of the boards of one zone. Equal upright neighbours share one label."""
    for piece in zone.pieces:
        sketch.ring("WALL-BOARD", piece.outline_xy)
        _joints(sketch, zone, piece, cuts.get(piece.id, ()))
    if zone.direction != "horizontal":
        _upright_labels(sketch, wall, zone, cuts)
        return
    room = _wall_room(sketch, wall)
    for piece in zone.pieces:
        _level_label(room, piece, cuts.get(piece.id, ()))


def _joints(sketch: Sketch, zone: WallBoards, piece: BoardPiece, cuts: tuple[CutPiece, ...]) -> None:
    low_x, low_y, high_x, high_y = bounds(piece.outline_xy)
    for before, cut in pairwise(cuts):
        at = _joint(before, cut) - piece.past_mm
        if zone.direction == "horizontal":
            sketch.line("WALL-BOARD-JOINT", (low_x + at, low_y), (low_x + at, high_y))
        else:
            sketch.line("WALL-BOARD-JOINT", (low_x, low_y + at), (high_x, low_y + at))


def joint_places(zones: Sequence[WallBoards], cuts: Mapping[str, tuple[CutPiece, ...]]) -> tuple[float, ...]:
    """Where level boards are joined, from the left end of the framing [mm]."""
    found = {
        round(bounds(piece.outline_xy)[0] - piece.past_mm + _joint(before, cut))
        for zone in zones
        if zone.direction == "horizontal"
        for piece in zone.pieces
        for before, cut in pairwise(cuts.get(piece.id, ()))
    }
    return tuple(float(at) for at in sorted(found))


def _joint(before: CutPiece, cut: CutPiece) -> float:
    """The middle of a scarf along its board [mm]."""
    return (before.start_mm + before.length_mm + cut.start_mm) / 2.0


def draw_joint_places(
    sketch: Sketch,
    zones: Sequence[WallBoards],
    cuts: Mapping[str, tuple[CutPiece, ...]],
    top: float,
    window: tuple[float, float] = (-inf, inf),
) -> None:
    """Every place of a joint over the wall, from the left end of its framing, which studs are counted from."""
    places = joint_places(zones, cuts)
    if not places:
        return
    last = -inf
    for at, words in ((0.0, "0, studs"), *((at, whole(at)) for at in places)):
        if not window[0] <= at <= window[1]:
            continue
        sketch.line("WALL-BOARD-JOINT", (at, top + sketch.paper(1.0)), (at, top + sketch.paper(2.5)))
        if at - last >= sketch.paper(SMALL_MM + 0.4):
            sketch.text("WALL-BOARD-JOINT", (at, top + sketch.paper(3.0)), words, SMALL_MM, 90.0, "left", True)
            last = at


def _wall_room(sketch: Sketch, wall: Elevation) -> Room:
    """Room for words on a wall, off its outline and its openings."""
    room = Room(sketch)
    for ring in (wall.outline_xy, *wall.covered_xy):
        room.add_ring(ring)
    for opening in wall.openings:
        left, right = opening.from_left_mm, opening.from_left_mm + opening.width_mm
        low, high = opening.sill_mm, opening.head_mm
        room.add_ring(((left, low), (right, low), (right, high), (left, high)))
        # a board's words keep off the whole of it, not only off its frame
        room.boxes.append(((left, low), (right, low), (right, high), (left, high)))
    return room


def draw_level_words(
    sketch: Sketch,
    wall: Elevation,
    zone: WallBoards,
    cuts: Mapping[str, tuple[CutPiece, ...]],
    window: tuple[float, float],
) -> None:
    """Joints, marks and lengths of level boards of which x from `window` is shown; marks of those whose middle is."""
    room = _wall_room(sketch, wall)
    for piece in zone.pieces:
        own = cuts.get(piece.id, ())
        low_x, low_y, _, high_y = bounds(piece.outline_xy)
        for before, cut in pairwise(own):
            at = low_x + _joint(before, cut) - piece.past_mm
            if window[0] <= at <= window[1]:
                sketch.line("WALL-BOARD-JOINT", (at, low_y), (at, high_y))
        _level_label(room, piece, own, window)


def _level_label(
    room: Room, piece: BoardPiece, cuts: tuple[CutPiece, ...], window: tuple[float, float] | None = None
) -> None:
    """Mark and length on each piece, clear of openings and of a raked top; the length alone where both do not fit.
    `window`: what of the wall is shown; words of pieces whose greater part is not stand on another sheet."""
    low_x, low_y, _, high_y = bounds(piece.outline_xy)
    paper = room.sketch.paper
    if high_y - low_y < paper(LEVEL_ROOM_MM):
        return
    spans = [(plain(cut.id), cut.start_mm, float(cut.length_mm)) for cut in cuts]
    if len(spans) < 2:
        spans = [(plain(piece.id), 0.0, spans[0][2] if spans else piece.length_mm)]
    y = (low_y + high_y) / 2.0
    for name, start, length in spans:
        choices = []
        left, right = low_x + start, low_x + start + length
        if window is not None:
            left, right = max(left, window[0]), min(right, window[1])
            if right - left < min(0.3 * length, 0.5 * (window[1] - window[0])):
                continue
        for words in (f"{name}: {whole(length)}", whole(length)):
            half = text_width(words, paper(SMALL_MM)) / 2.0
            for part in _PARTS:
                at = left + part * (right - left)
                if at - half >= left and at + half <= right:
                    choices.append([Label("WALL-BOARD", (at, y), words, SMALL_MM)])
        room.draw(room.keep_first(choices))


def _upright_labels(
    sketch: Sketch, wall: Elevation, zone: WallBoards, cuts: Mapping[str, tuple[CutPiece, ...]]
) -> None:
    """Lengths up the boards from their feet, each at the first of its places that is clear of openings, of the wall's
    outline and of other words."""
    room = _wall_room(sketch, wall)
    labels = sorted(_groups(wall, zone, cuts), key=lambda label: (label.foot, label.x))
    for foot, row in groupby(labels, key=lambda label: round(label.foot)):
        step = 0.0
        for label in row:
            step = step or text_width(label.words, sketch.paper(SMALL_MM)) + sketch.paper(2.0)
            room.draw(room.keep_first(_upright_places(sketch, label, foot, step)))


def _upright_places(sketch: Sketch, label: _Label, foot: float, step: float) -> Iterator[list[Label]]:
    """Places of a length on its boards: upwards from the foot, a little aside, else lying across boards that are wide
    enough together where it is too long to stand."""
    wide = text_width(label.words, sketch.paper(SMALL_MM))
    offset = sketch.paper(2.0)
    for aside in (0.0, 0.5, -0.5, 1.0, -1.0, 1.6, -1.6):
        up = offset
        while up + wide <= label.height:
            at = (label.x + sketch.paper(aside), foot + up)
            yield [Label("WALL-BOARD", at, label.words, SMALL_MM, 90.0, "left")]
            up += step
    if wide <= label.width and label.height > sketch.paper(SMALL_MM):
        yield [Label("WALL-BOARD", (label.x, label.foot + label.height / 2.0), label.words, SMALL_MM)]


def _groups(wall: Elevation, zone: WallBoards, cuts: Mapping[str, tuple[CutPiece, ...]]) -> list[_Label]:
    """Neighbouring upright boards with one foot, cut alike, as one label in the middle one."""
    groups: list[tuple[tuple[int, tuple[int, ...], int], list[BoardPiece]]] = []
    for piece in sorted(zone.pieces, key=lambda piece: (round(bounds(piece.outline_xy)[1]), piece.row)):
        made = tuple(cut.length_mm for cut in cuts.get(piece.id, ())) or (ceil(piece.length_mm - 0.5),)
        key = (round(bounds(piece.outline_xy)[1]), made, round(piece.ripped_mm))
        if groups and groups[-1][0] == key and groups[-1][1][-1].row + 1 == piece.row:
            groups[-1][1].append(piece)
        else:
            groups.append((key, [piece]))
    labels = []
    for (_, made, rip), pieces in groups:
        words = " + ".join(str(length) for length in made)
        words = f"{len(pieces)} x {words}" if len(pieces) > 1 else words
        words += f", ripped to {rip}{' seen' if zone.direction == 'vertical' else ''}" if rip else ""
        left, foot, right, _ = bounds(pieces[(len(pieces) - 1) // 2].outline_xy)
        # the first and last board go past the framing: words keep off its line
        middle = (max(left, 0.0) + min(right, wall.width_mm)) / 2.0
        height = min(box[3] - box[1] for box in (bounds(piece.outline_xy) for piece in pieces))
        width = bounds(pieces[-1].outline_xy)[2] - bounds(pieces[0].outline_xy)[0]
        labels.append(_Label(middle, foot, height, width, words))
    return labels


def draw_marks(sketch: Sketch, zones: Sequence[WallBoards], extent: tuple[float, float, float, float]) -> None:
    """The storey rod beside level boards, heights from the finished floor, and board lines under upright ones, from the
    left end of the boards. Of upright zones over each other the lines of the first alone stand under the wall."""
    level = [zone for zone in zones if zone.direction == "horizontal"]
    if level:
        top: Point2 = (-sketch.paper(3.0), extent[3] + sketch.paper(2.5))
        sketch.text("WALL-MARK", top, "course: over floor", SMALL_MM, 0.0, "right", True)
    taken: list[float] = []
    for zone in level:
        _storey_rod(sketch, zone, taken)
    under: list[tuple[float, float]] = []
    for zone in zones:
        ends = (zone.marks_mm[0], zone.marks_mm[-1]) if zone.marks_mm else (0.0, 0.0)
        if zone.direction != "horizontal" and not any(a < ends[1] and ends[0] < b for a, b in under):
            room = sketch.paper(SMALL_MM + 0.4)
            _board_lines(sketch, zone, extent, any(abs(ends[0] - b) < room for _, b in under))
            under.append(ends)


def _board_lines(sketch: Sketch, zone: WallBoards, extent: tuple[float, float, float, float], beside: bool) -> None:
    """Board lines under a wall. `beside`: the words of another zone's last line stand where its first is."""
    origin = zone.marks_mm[0] if zone.marks_mm else 0.0
    step = _step(sketch, zone)
    for number, mark in enumerate(zone.marks_mm):
        sketch.line("WALL-MARK", (mark, extent[1] - sketch.paper(4.5)), (mark, extent[1] - sketch.paper(1.5)))
        if number == 0 and beside:
            continue
        if (number % step == 0 and not _near_end(number, zone, step)) or number == len(zone.marks_mm) - 1:
            at = (mark, extent[1] - sketch.paper(5.2))
            sketch.text("WALL-MARK", at, whole(mark - origin), SMALL_MM, 90.0, "right", True)


def _storey_rod(sketch: Sketch, zone: WallBoards, taken: list[float]) -> None:
    """The courses of a zone with their heights; words keep off those at `taken` heights, which grow."""
    step, apart = _step(sketch, zone), sketch.paper(SMALL_MM + 0.4)
    for number, mark in enumerate(zone.marks_mm):
        sketch.line("WALL-MARK", (-sketch.paper(5.0), mark), (-sketch.paper(1.5), mark))
        if any(abs(mark - other) < apart for other in taken):
            continue
        if (number % step == 0 and not _near_end(number, zone, step)) or number == len(zone.marks_mm) - 1:
            taken.append(mark)
            words = f"{number + 1}: {whole(mark)}"
            sketch.text("WALL-MARK", (-sketch.paper(6.0), mark), words, SMALL_MM, 0.0, "right", True)


def _step(sketch: Sketch, zone: WallBoards) -> int:
    """Every how many marks have words, so that these stand a line apart; the marks themselves are all drawn."""
    needed = sketch.paper(SMALL_MM + 0.4) / zone.cover_mm
    return next((step for step in _STEPS if step >= needed), _STEPS[-1])


def _near_end(number: int, zone: WallBoards, step: int) -> bool:
    """Whether a mark stands so near the last one, which always has its words, that theirs would meet."""
    return len(zone.marks_mm) - 1 - step < number < len(zone.marks_mm) - 1
