"""The boards of an elevation with what must be cut for them, and where level ones are joined."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import inf

from takeoff.model.runs import CutPiece
from takeoff.model.walls import BoardPiece, Elevation, WallBoards
from takeoff.write.drawings.drawing import SMALL_MM, Sketch, bounds, text_width
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.wall_room import wall_room
from takeoff.write.drawings.wall_upright import UPRIGHT_ROOM_MM, draw_upright_words
from takeoff.write.words.words import plain, whole

LEVEL_ROOM_MM = 2.7  # a narrower board on paper carries no words of its own [paper mm]
_PARTS = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)  # places tried along a board, parts of its length


def carries_words(zones: Sequence[WallBoards], scale: int) -> bool:
    """Whether every board of a wall is wide enough on paper to carry its length."""
    return all(
        zone.cover_mm / scale >= (LEVEL_ROOM_MM if zone.direction == "horizontal" else UPRIGHT_ROOM_MM)
        for zone in zones
    )


def draw_boards(sketch: Sketch, wall: Elevation, zone: WallBoards, cuts: Mapping[str, tuple[CutPiece, ...]]) -> bool:
    """Outlines, joints, marks and lengths of the boards of one zone. False where upright ones share their lengths:
    their marks then stand on a further sheet."""
    for piece in zone.pieces:
        sketch.ring("WALL-BOARD", piece.outline_xy)
        _joints(sketch, zone, piece, cuts.get(piece.id, ()))
    if zone.direction != "horizontal":
        return draw_upright_words(sketch, wall, zone, cuts)
    room = wall_room(sketch, wall)
    for piece in zone.pieces:
        _level_label(room, piece, cuts.get(piece.id, ()))
    return True


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


def draw_level_words(
    sketch: Sketch,
    wall: Elevation,
    zone: WallBoards,
    cuts: Mapping[str, tuple[CutPiece, ...]],
    window: tuple[float, float],
) -> None:
    """Joints, marks and lengths of level boards of which x from `window` is shown; marks of those whose middle is."""
    room = wall_room(sketch, wall)
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
        left, right = low_x + start, low_x + start + length
        if window is not None:
            left, right = max(left, window[0]), min(right, window[1])
            if right - left < min(0.3 * length, 0.5 * (window[1] - window[0])):
                continue
        words = (f"{name}: {whole(length)}", whole(length))
        room.draw(room.keep_first(_level_places(room, words, y, left, right)))


def _level_places(room: Room, choices: Sequence[str], y: float, left: float, right: float) -> Iterator[list[Label]]:
    """Words at places between two ends, where they do not go past them."""
    for words in choices:
        half = text_width(words, room.sketch.paper(SMALL_MM)) / 2.0
        for part in _PARTS:
            at = left + part * (right - left)
            if at - half >= left and at + half <= right:
                yield [Label("WALL-BOARD", (at, y), words, SMALL_MM)]
