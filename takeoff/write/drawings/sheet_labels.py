"""What stands on each sheet of a layout: mark, bought length, hand and sides, inside it or beside it with a leader.

A sheet too small for its words carries them off the plane, past the raked end that makes it small, else beside a square
end; a thin line leads from the sheet to its words. No word lies over a line or another word where there is room.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from operator import itemgetter

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.bought_lengths import Bought
from takeoff.model.sheets import CutShape, PlaneSheets, SheetPiece
from takeoff.write.drawings.drawing import NORMAL_MM, SMALL_MM, Sketch, bounds, text_width
from takeoff.write.drawings.label_places import inside
from takeoff.write.drawings.label_room import Label, Room, ring_lines
from takeoff.write.drawings.overlaps import Box
from takeoff.write.words.cut_words import hand, needs_points, raked
from takeoff.write.words.words import whole

_GAP = 1.2  # between words, and to the foot of the sheet [paper mm]
_SIDE_GAP = 0.25  # between a side's length and the sheet's edge or the lap [paper mm]
_COLUMN = 3.0  # from one column of words to the next [paper mm]
_BREAK = 0.9  # radius of a ring round a point to cut to [paper mm]
_FAR = (3.0, 6.0, 10.0, 15.0, 21.0, 28.0, 36.0, 48.0, 60.0)  # tried off the plane [paper mm]
HANDS = {"left": "LH", "right": "RH", "": ""}


def draw_outlines(room: Room, sheets: PlaneSheets) -> None:
    """Outlines of a plane's sheets with the points they are cut to, before any word."""
    for piece in sheets.pieces:
        room.sketch.ring("SHEET-OUTLINE", piece.outline_uv)
        room.add_ring(piece.outline_uv)
        if needs_points(piece):
            _breaks(room, piece)


def draw_sheets(room: Room, ring: Ring2, sheets: PlaneSheets, bought: Mapping[str, Bought]) -> None:
    """Words on a plane's sheets; `ring` is the plane's outline. The room knows edges and outlines."""
    placed: dict[str, Sequence[Label]] = {}
    small: list[tuple[SheetPiece, list[str]]] = []
    for piece in sheets.pieces:
        words = _words(piece, bought)
        sides = _sides(room, piece, sheets) if raked(piece) else []
        tried = (room.keep_first(_inside(room.sketch, piece, sheets, words, high)) for high in (NORMAL_MM, SMALL_MM))
        placed[piece.mark] = next((labels for labels in tried if labels), ()) if not sides else ()
        if not placed[piece.mark]:
            small.append((piece, [*words, *(f"{name} {whole(mm)}" for name, mm in sides)]))
    others = _Outlines(sheets)
    for piece, words in small:
        placed[piece.mark] = _beside(room, ring, piece, words, others)
    # in laying order, whichever found its place first
    for piece in sheets.pieces:
        room.draw(placed[piece.mark])


def _words(piece: SheetPiece, bought: Mapping[str, Bought]) -> list[str]:
    """Mark, length and hand. A sheet out of another's length says its own length and whose."""
    found = bought.get(piece.mark)
    length = whole(piece.order_mm)
    if found is not None and found.length_mm is not None:
        length = whole(found.length_mm)
    elif found is not None:
        length = f"{length} from site" if found.from_site else f"{length} {found.words}"
    return [piece.mark, length, *([HANDS[hand(piece)]] if hand(piece) else [])]


_LAYERS = ("SHEET-MARK", "SHEET-LENGTH", "SHEET-SIDE", "SHEET-SIDE", "SHEET-SIDE")


def _column(sketch: Sketch, words: Sequence[str], at: Point2, height: float) -> list[Label]:
    """Words one after the other up the sheet from a point."""
    labels, v = [], at[1]
    for layer, word in zip(_LAYERS, words, strict=False):
        own = height if layer != "SHEET-SIDE" else SMALL_MM
        labels.append(Label(layer, (at[0], v), word, own, 90.0, "left"))
        v += text_width(word, sketch.paper(own)) + sketch.paper(2.0 * _GAP)
    return labels


def _long(sketch: Sketch, words: Sequence[str], height: float) -> float:
    labels = _column(sketch, words, (0.0, 0.0), height)
    return labels[-1].at[1] + text_width(words[-1], sketch.paper(labels[-1].height_mm))


def _seen(piece: SheetPiece, sheets: PlaneSheets) -> tuple[float, float]:
    """The part of the sheet's width outside the laps at both its edges."""
    low, _, high, _ = bounds(piece.outline_uv)
    lap = min(sheets.overall_mm - sheets.cover_mm, (high - low) / 4.0)
    # the sheet before laps the start side, but for the first
    return low + (lap if piece.strip > 1 or piece.lap_side == "left" else 0.0), high - (
        lap if piece.strip > 1 or piece.lap_side == "right" else 0.0
    )


def _inside(
    sketch: Sketch, piece: SheetPiece, sheets: PlaneSheets, words: Sequence[str], height: float
) -> Iterator[list[Label]]:
    low, high = _seen(piece, sheets)
    long, step = _long(sketch, words, height), sketch.paper(3.0)
    for part in (0.5, 0.4, 0.6, 0.3, 0.7):
        u = low + part * (high - low)
        foot, top = span(piece.outline_uv, u)
        v = foot + sketch.paper(_GAP)
        while v + long <= top:
            yield _column(sketch, words, (u, v), height)
            v += step
    if height == SMALL_MM:
        yield from _two_columns(sketch, piece, (low + high) / 2.0, words)


def _two_columns(sketch: Sketch, piece: SheetPiece, middle: float, words: Sequence[str]) -> Iterator[list[Label]]:
    """The mark beside the rest: half as high."""
    left, right = (middle + sign * sketch.paper(_COLUMN / 2.0) for sign in (-1.0, 1.0))
    spans = [span(piece.outline_uv, u) for u in (left, right)]
    v, step = max(foot for foot, _ in spans) + sketch.paper(_GAP), sketch.paper(2.0)
    while v < min(top for _, top in spans):
        mark, rest = words[:1], words[1:]
        after = [
            replace(label, layer=layer)
            for label, layer in zip(_column(sketch, rest, (right, v), SMALL_MM), _LAYERS[1:], strict=False)
        ]
        yield [*_column(sketch, mark, (left, v), SMALL_MM), *after]
        v += step


def _sides(room: Room, piece: SheetPiece, sheets: PlaneSheets) -> list[tuple[str, float]]:
    """Draw the sides' lengths at the head of the sheet, each at its edge; returns those that found no room."""
    low, high = _seen(piece, sheets)
    off = room.sketch.paper(_SIDE_GAP + SMALL_MM / 2.0)
    left_over = []
    for name, u, length in (("left", low + off, piece.left_mm), ("right", high - off, piece.right_mm)):
        if length >= 1.0:
            labels = room.keep_first(_down(room.sketch, piece, u, whole(length)))
            room.draw(labels)
            if not labels:
                left_over.append((name, length))
    return left_over


def _down(sketch: Sketch, piece: SheetPiece, u: float, words: str) -> Iterator[list[Label]]:
    """Places of a length inside a sheet, from its head down."""
    foot, top = span(piece.outline_uv, u)
    long, step = text_width(words, sketch.paper(SMALL_MM)), sketch.paper(1.0)
    v = top - sketch.paper(0.6)
    while v - long >= foot:
        yield [Label("SHEET-SIDE", (u, v), words, SMALL_MM, 90.0, "right")]
        v -= step


class _Outlines:
    """The sheets of a plane, looked up by where they lie across it."""

    def __init__(self, sheets: PlaneSheets) -> None:
        found = sorted(((bounds(piece.outline_uv), piece.outline_uv) for piece in sheets.pieces), key=itemgetter(0))
        self._sheets: list[tuple[Box, Ring2]] = found
        self._lows = [box[0] for box, _ in found]
        self._widest = max((box[2] - box[0] for box, _ in found), default=0.0) + TOLERANCES.same_point_mm

    def under(self, at: Point2) -> bool:
        """Whether a point lies on one of the sheets."""
        x, y = at
        first, last = bisect_left(self._lows, x - self._widest), bisect_right(self._lows, x)
        return any(
            x <= high_x and low_y <= y <= high_y and inside([ring], at)
            for (_, low_y, high_x, high_y), ring in self._sheets[first:last]
        )


def _beside(room: Room, ring: Ring2, piece: SheetPiece, words: Sequence[str], sheets: _Outlines) -> Sequence[Label]:
    """Words off the sheets and the line that leads to them. They are drawn by the caller. Places are looked at one by
    one: the first that serves ends the search."""
    every = _off_plane(room.sketch, ring, piece, words)
    anchors = _anchors(piece)
    off: list[Point2] = []
    for at in () if room.crowded else every:
        labels = _column(room.sketch, words, at, SMALL_MM)
        if not any(sheets.under(label.at) for label in labels):
            off.append(at)
            if _led_out(room, anchors, labels):
                return labels
    for at in () if room.crowded or off else every:
        labels = _column(room.sketch, words, at, SMALL_MM)
        if _led_out(room, anchors, labels):
            return labels
    choices = off or every
    chosen = room.keep_first(_column(room.sketch, words, at, SMALL_MM) for at in choices)
    room.forced += 1
    if not chosen:
        chosen = _column(room.sketch, words, choices[0], SMALL_MM)
        room.keep(chosen)
    room.draw_leader(_leader(room, anchors[0], chosen))
    return chosen


def _led_out(room: Room, anchors: Sequence[Point2], labels: Sequence[Label]) -> bool:
    """Keep a place for words where it is free and a line leads there from the sheet; False where not."""
    if not room.free(labels):
        return False
    for at in anchors:
        leader = _leader(room, at, labels)
        if room.leads(leader):
            room.draw_leader(leader)
            room.keep(labels)
            return True
    return False


def _anchors(piece: SheetPiece) -> list[Point2]:
    """Points of a sheet that a leader may start from, its middle first."""
    low, _, high, _ = bounds(piece.outline_uv)
    found = []
    for across in (0.5, 0.3, 0.7):
        u = low + across * (high - low)
        foot, top = span(piece.outline_uv, u)
        found += [(u, foot + up * (top - foot)) for up in (0.5, 0.8, 0.2, 0.92, 0.08)]
    return found


def _leader(room: Room, at: Point2, labels: Sequence[Label]) -> tuple[Point2, Point2]:
    """From a point to the nearest point round a column of words, ended short of it."""
    low_x, low_y, high_x, high_y = bounds(point for label in labels for point in room.box(label))
    return room.leader(at, ((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)))


def _off_plane(sketch: Sketch, ring: Ring2, piece: SheetPiece, words: Sequence[str]) -> list[Point2]:
    """Feet of columns of words off the sheet, those that stay within the plane's height first: past the sheet's raked
    end, beside the plane for a sheet at an end of it."""
    low, foot, high, top = bounds(piece.outline_uv)
    least_u, least_v, most_u, most_v = bounds(ring)
    long = _long(sketch, words, SMALL_MM)
    square = piece.top.shape is CutShape.SQUARE and piece.foot.shape is CutShape.SQUARE
    under = piece.top.shape is CutShape.SQUARE and not square
    past: list[Point2] = []
    beside: list[Point2] = []
    aside: list[Point2] = []
    across = [low + part * (high - low) for part in (0.5, 0.3, 0.7, -0.5, 1.5, -1.5, 2.5, -3.0, 4.0)]
    ends = [(u, *span(piece.outline_uv, min(max(u, low), high))) for u in across]
    for far in _FAR:
        for u, bottom, head in ends:
            v = bottom - sketch.paper(far) - long if under else head + sketch.paper(far)
            (past if low < u < high else aside).append((u, v))
        middle = (foot + top - long) / 2.0
        v = max(least_v, min(middle, most_v - long))
        if low - least_u < high - low:
            beside.append((least_u - sketch.paper(far), v))
        if most_u - high < high - low:
            beside.append((most_u + sketch.paper(far), v))
    choices = [*beside, *past, *aside] if square else [*past, *beside, *aside]
    return sorted(choices, key=lambda at: at[1] < least_v or at[1] + long > most_v)


def _breaks(room: Room, piece: SheetPiece) -> None:
    """A ring round each point that the words beside the plane give: the breaks of its ends, all corners of a notched
    sheet."""
    if not piece.corners_mm:
        return
    origin = tuple(piece.outline_uv[0][k] - piece.corners_mm[0][k] for k in (0, 1))
    breaks = [point for cut in (piece.top, piece.foot) for point in cut.points_mm[1:-1]]
    for u, v in piece.corners_mm if piece.notched else breaks:
        at = (origin[0] + u, origin[1] + v)
        room.sketch.circle("SHEET-SIDE", at, _BREAK)
        room.lines += ring_lines(room.square(at, _BREAK))


def span(ring: Ring2, u: float) -> tuple[float, float]:
    """Least and greatest v of a ring at u."""
    hits = [
        a[1] + (b[1] - a[1]) * (u - a[0]) / (b[0] - a[0])
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if min(a[0], b[0]) <= u <= max(a[0], b[0]) and a[0] != b[0]
    ]
    values = hits or [v for _, v in ring]
    return min(values), max(values)
