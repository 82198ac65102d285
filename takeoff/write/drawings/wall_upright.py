"""Words on upright boards and sheets: the mark and length of each where all find room, else lengths for neighbours that
are cut alike, and the marks on a further sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from math import ceil, inf

from takeoff.basics.records import record
from takeoff.model.runs import CutPiece
from takeoff.model.walls import BoardPiece, Elevation, WallBoards
from takeoff.write.drawings.drawing import SMALL_MM, Sketch, bounds, text_width
from takeoff.write.drawings.label_room import Label
from takeoff.write.drawings.wall_room import wall_room
from takeoff.write.words.words import plain

UPRIGHT_ROOM_MM = 3.2  # a narrower board on paper carries no words of its own [paper mm]
TWO_LINES_MM = 6.2  # wide enough for mark and length beside each other [paper mm]
_PARTS = (0.5, 0.35, 0.65, 0.2, 0.8)  # places tried up a board, parts of what is free of its height


@record
class _Label:
    """Words for neighbouring upright boards cut alike: x of the middle of the middle one; foot, least height and width
    of them all [mm]."""

    x: float
    foot: float
    height: float
    width: float
    words: str


def draw_upright_words(
    sketch: Sketch,
    wall: Elevation,
    zone: WallBoards,
    cuts: Mapping[str, tuple[CutPiece, ...]],
    window: tuple[float, float] = (-inf, inf),
) -> bool:
    """Mark and length on each board whose middle is in the window; False, and shared lengths, where one finds no room
    for its mark on a whole wall. On a part of a wall what finds room is drawn."""
    room = wall_room(sketch, wall)
    found = []
    every = sketch.paper(UPRIGHT_ROOM_MM) <= zone.cover_mm
    for piece in zone.pieces:
        left, _, right, _ = bounds(piece.outline_xy)
        if not every or not window[0] <= (left + right) / 2.0 <= window[1]:
            continue
        labels = room.keep_first(_own_places(sketch, piece, cuts.get(piece.id, ()), wall, window[0] > -inf))
        every = every and bool(labels)
        found.append(labels)
    if every or window[0] > -inf:
        for labels in found:
            room.draw(labels)
        return every
    _shared_labels(sketch, wall, zone, cuts)
    return False


def _own_places(
    sketch: Sketch, piece: BoardPiece, cuts: tuple[CutPiece, ...], wall: Elevation, over_top: bool
) -> Iterator[list[Label]]:
    """Places of a board's mark and length: in a line up the board, else beside each other, else `over_top` of it."""
    lengths = " + ".join(str(cut.length_mm) for cut in cuts) or str(ceil(piece.length_mm - 0.5))
    lengths += f", ripped to {piece.ripped_mm:.0f} seen" if piece.ripped_mm else ""
    mark, gap = plain(piece.id), sketch.paper(1.6)
    left, low, right, high = bounds(piece.outline_xy)
    # the first and last board go past the framing: words keep off its line
    middle = (max(left, 0.0) + min(right, wall.width_mm)) / 2.0
    for lines in ((f"{mark}: {lengths}",), (mark, lengths)):
        wide = max(text_width(line, sketch.paper(SMALL_MM)) for line in lines)
        free = _least_height(piece) - wide - 2.0 * gap
        if free < 0.0 or (len(lines) > 1 and right - left < sketch.paper(TWO_LINES_MM)):
            continue
        off = sketch.paper(SMALL_MM / 2.0 + 0.3) if len(lines) > 1 else 0.0
        for part in _PARTS:
            y = low + gap + part * free + wide / 2.0
            yield [
                Label("WALL-BOARD", (middle + (2 * n - 1) * off, y), line, SMALL_MM, 90.0)
                for n, line in enumerate(lines)
            ]
    if over_top:
        top = (middle, high + gap)
        yield [Label("WALL-BOARD", top, f"{mark}: {lengths}", SMALL_MM, 90.0, "left")]


def _least_height(piece: BoardPiece) -> float:
    """How high a board is at its shorter side, as words stand in it from its foot up."""
    left, low, right, high = bounds(piece.outline_xy)
    sides = [max(y for x, y in piece.outline_xy if abs(x - at) < 1.0) for at in (left, right)]
    return (min(sides) + max(sides)) / 2.0 - low if max(sides) > low else high - low


def _shared_labels(sketch: Sketch, wall: Elevation, zone: WallBoards, cuts: Mapping[str, tuple[CutPiece, ...]]) -> None:
    """Lengths up the boards from their feet, each at the first of its places that is clear of openings, of the wall's
    outline and of other words."""
    room = wall_room(sketch, wall)
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
