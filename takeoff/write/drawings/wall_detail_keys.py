"""The keys of details on an elevation: a boxed mark beside every line where claddings meet or end, and what the marks
are. They are those of the table of details, as in the order and in the words on a detail."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, dist, hypot, pi, sin

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.order import Takeoff
from takeoff.model.walls import Elevation
from takeoff.write.drawings.drawing import SMALL_MM, Sketch, text_width
from takeoff.write.drawings.frame import wrap
from takeoff.write.drawings.label_places import inside
from takeoff.write.drawings.label_room import Room, ring_lines
from takeoff.write.drawings.overlaps import Box
from takeoff.write.words.detail_words import details_of

_LAYER = "WALL-DETAIL"
_BESIDE, _OVER = 1.0, 0.8  # between letters and their box [paper mm]
_OFF = 1.3  # between a box and the line that it is for [paper mm]
_CLEAR, _LEGEND_CLEAR = 0.7, 2.0  # kept clear round a box and round the legend [paper mm]
_SHORT = 6.0  # a shorter line has no key of its own where a longer one of its mark stands on the wall [paper mm]
_ALONG = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.04, 0.96)  # places tried along a line, parts of its length
_FAR = (5.0, 7.5, 10.0, 13.0, 17.0, 22.0, 28.0, 35.0)  # how far a key is led out [paper mm]
_WAYS = 16  # directions it is led out in
_PITCH, _STEP, _IN = 4.4, 4.0, 3.0  # lines of the legend, places tried for it, and off the frame [paper mm]
_MARKS = 17.0  # width of the marks in the legend [paper mm]
_WIDEST = 125.0  # the legend's words go on in another line [paper mm]


def draw_detail_keys(room: Room, takeoff: Takeoff, wall: Elevation, page: Box) -> None:
    """Keys of a wall beside their lines, clear of all that is drawn or led out from it, and their legend where the page
    has room for it; the key plan of the walls has that of all. `page`: what words may stand on [mm]."""
    clad = (wall.outline_xy, *wall.covered_xy)
    for key in wall_keys(takeoff, wall, room.sketch):
        _draw_key(room, key, clad)
    rows = legend_rows(takeoff, wall.wall)
    full = (("Details", "parts of each: Walls of the order"), *rows)
    if rows and not _draw_legend(room, full, page):
        _draw_legend(room, (("Details", "Walls, key plan; parts: Walls of the order"),), page)


@record
class Key:
    """A mark and the line of the wall that it is for, in wall axes [mm]."""

    mark: str
    line: Ring2


def wall_keys(takeoff: Takeoff, wall: Elevation, sketch: Sketch) -> tuple[Key, ...]:
    """The keys of a wall: of lines too short for one of their own, the longest of a mark that has no other."""
    keys = [
        Key(junction.detail, line)
        for junction in takeoff.cladding.junctions
        for number, line in junction.lines
        if number == wall.wall
    ]
    longest = {key.mark: key for key in sorted(keys, key=lambda key: dist(key.line[0], key.line[-1]))}
    least = sketch.paper(_SHORT)
    return tuple(key for key in keys if dist(key.line[0], key.line[-1]) >= least or key is longest[key.mark])


def legend_rows(takeoff: Takeoff, wall: int | None = None) -> tuple[tuple[str, str], ...]:
    """Every mark of a wall, or of all walls, with what it is."""
    return tuple((detail.mark, detail.what) for detail in details_of(takeoff, wall))


def _draw_key(room: Room, key: Key, clad: Sequence[Ring2]) -> None:
    """A key beside its line at the first place that is free, off what is clad where it can, else led out from it."""
    sketch = room.sketch
    half = (
        text_width(key.mark, sketch.paper(SMALL_MM)) / 2.0 + sketch.paper(_BESIDE),
        sketch.paper(SMALL_MM / 2.0 + _OVER),
    )
    for at in sorted(_beside(sketch, key.line, half), key=lambda at: inside(clad, at)):
        box = _box(at, half)
        if not room.crowded and room.clear(_box(at, half, sketch.paper(_CLEAR))):
            _put(room, key.mark, at, box)
            return
    for anchor, at in _led_out(sketch, key.line):
        box = _box(at, half)
        leader = room.leader(anchor, box)
        if room.crowded:
            return
        if room.clear(_box(at, half, sketch.paper(_CLEAR))) and room.leads(leader):
            room.draw_leader(leader)
            _put(room, key.mark, at, box)
            return


def _beside(sketch: Sketch, line: Ring2, half: Point2) -> Iterator[Point2]:
    """Middles of boxes that stand off a line on either side of it."""
    (ax, ay), (bx, by) = line[0], line[-1]
    length = max(hypot(bx - ax, by - ay), 1e-9)
    nx, ny = (by - ay) / length, (ax - bx) / length
    off = abs(nx) * half[0] + abs(ny) * half[1] + sketch.paper(_OFF)
    for part in _ALONG:
        for side in (1.0, -1.0):
            yield ax + part * (bx - ax) + side * off * nx, ay + part * (by - ay) + side * off * ny


def _led_out(sketch: Sketch, line: Ring2) -> Iterator[tuple[Point2, Point2]]:
    """Points of a line, and middles of boxes further and further from them."""
    (ax, ay), (bx, by) = line[0], line[-1]
    for far in _FAR:
        for part in _ALONG:
            anchor = (ax + part * (bx - ax), ay + part * (by - ay))
            for way in range(_WAYS):
                turn = (way + 0.5) * 2.0 * pi / _WAYS
                yield anchor, (anchor[0] + sketch.paper(far) * cos(turn), anchor[1] + sketch.paper(far) * sin(turn))


def _box(at: Point2, half: Point2, off: float = 0.0) -> Ring2:
    """The box round a middle, so much wider all round."""
    (x, y), (w, h) = at, (half[0] + off, half[1] + off)
    return ((x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h))


def _put(room: Room, mark: str, at: Point2, box: Ring2) -> None:
    room.sketch.ring(_LAYER, box)
    room.sketch.text(_LAYER, at, mark, SMALL_MM, 0.0, "centre", True)
    room.boxes.append(box)
    room.lines += ring_lines(box)


def _draw_legend(room: Room, rows: Sequence[tuple[str, str]], page: Box) -> bool:
    """The legend at the first free place of the page, from its top right corner leftwards and down. False, and nothing
    drawn, where there is none."""
    sketch = room.sketch
    lines = [
        (mark if n == 0 else "", part)
        for mark, what in rows
        for n, part in enumerate(wrap(what, _WIDEST - _MARKS, SMALL_MM))
    ]
    wide = sketch.paper(_MARKS + max(text_width(what, SMALL_MM) for _, what in lines))
    high, step, off = sketch.paper(_PITCH * len(lines)), sketch.paper(_STEP), sketch.paper(_IN)
    least_x, least_y, most_x, most_y = page
    half = (wide / 2.0, high / 2.0)
    w, h = (size + sketch.paper(_LEGEND_CLEAR) for size in half)
    top = most_y - off
    while top - high >= least_y + off:
        left, y = most_x - off - wide, top - half[1]
        while left >= least_x + off:
            x = left + half[0]
            if room.crowded:
                return False
            if not room.still_taken((x - w, y - h, x + w, y + h)) and room.clear(_box((x, y), (w, h))):
                _write_legend(sketch, lines, (left, top))
                room.boxes.append(_box((x, y), half))
                return True
            left -= step
        top -= step
    return False


def _write_legend(sketch: Sketch, lines: Sequence[tuple[str, str]], top_left: Point2) -> None:
    y = top_left[1] - sketch.paper(_PITCH / 2.0)
    for mark, what in lines:
        sketch.text(_LAYER, (top_left[0], y), mark, SMALL_MM, 0.0, "left", True)
        sketch.text("TEXT", (top_left[0] + sketch.paper(_MARKS), y), what, SMALL_MM, 0.0, "left", True)
        y -= sketch.paper(_PITCH)
