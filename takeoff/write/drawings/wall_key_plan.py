"""The key plan of the walls: each on its line with its number, the way it faces, and what clads it."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from takeoff.basics.vectors import Point2
from takeoff.model.order import Takeoff
from takeoff.model.walls import Elevation
from takeoff.write.drawings.drawing import LARGE_MM, NORMAL_MM, SMALL_MM, Drawing, Shows, Sketch, bounds, text_width
from takeoff.write.drawings.frame import A3, A4, choose_scale, finish, free_area, title_block
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import compass_words, plain, whole

NAME = "wall_key_plan"
_LINES = 60  # of the table of walls, at most; the rest stand on the elevations
_PITCH_MM = 4.4  # between lines of the table [paper mm]
_OFFSETS = (4.0, 7.0, 11.0, 16.0, 22.0)  # places tried for a wall's number, outwards from it [paper mm]


def wall_key_plan(takeoff: Takeoff) -> Drawing | None:
    """The plan of all walls that stand on wall lines, with a table of every wall beside it; None without walls."""
    if not takeoff.elevations:
        return None
    standing = [wall for wall in takeoff.elevations if wall.roof]
    lines = list(_table(takeoff))[:_LINES]
    table = max(text_width(text, NORMAL_MM if n == 0 else SMALL_MM) for n, text in enumerate(lines)) + 6.0
    ends = [point for wall in standing for point in (wall.a_mm, wall.b_mm)] or [(0.0, 0.0), (1000.0, 1000.0)]
    extent = bounds(ends)
    paper, scale = _paper((extent[2] - extent[0], extent[3] - extent[1]), table, len(lines))
    sketch = Sketch(scale)
    room = Room(sketch)
    for wall in standing:
        sketch.line("WALL-OUTLINE", wall.a_mm, wall.b_mm)
        room.lines.append((wall.a_mm, wall.b_mm))
    for wall in standing:
        _number(room, wall)
    width, height = free_area(paper)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    place = ((width - table) / 2.0, height / 2.0)
    left, top = middle[0] + sketch.paper(width - table - place[0]), middle[1] + sketch.paper(height - place[1])
    y = top - sketch.paper(4.0)
    for n, text in enumerate(lines):
        size = LARGE_MM if n == 0 else SMALL_MM
        y -= sketch.paper(_PITCH_MM if n else LARGE_MM)
        sketch.text("TEXT", (left, y), text, size)
        y -= sketch.paper(2.0 if n == 0 else 0.0)
    block = title_block(takeoff, "Walls, key plan", "W-0", None)
    return finish(sketch, NAME, block, paper, middle, place, of=Shows.WALLS)


def _paper(size: Point2, table: float, lines: int) -> tuple[tuple[float, float], int]:
    found = (A4, 1)
    for paper in (A4, A3):
        width, height = free_area(paper)
        margin = 2.0 * _OFFSETS[2] + 14.0
        free = (max(20.0, width - table - margin), height - margin)
        found = (paper, max(10, choose_scale(size, free)))
        if found[1] <= 100 and lines * _PITCH_MM + 14.0 <= height and width - table > 60.0:
            break
    return found


def _number(room: Room, wall: Elevation) -> None:
    """The wall's number outside it, at the first place that is free."""
    (ax, ay), (bx, by) = wall.a_mm, wall.b_mm
    length = hypot(bx - ax, by - ay)
    outward = ((by - ay) / length, -(bx - ax) / length)
    words = f"{wall.wall}"
    choices = []
    for offset in _OFFSETS:
        for part in (0.5, 0.4, 0.6, 0.3, 0.7):
            at = tuple(a + part * (b - a) + o * room.sketch.paper(offset) for a, b, o in
                       zip(wall.a_mm, wall.b_mm, outward, strict=True))  # fmt: skip
            choices.append([Label("TEXT", (at[0], at[1]), words, LARGE_MM)])
    room.draw(room.keep_first(choices))


def _table(takeoff: Takeoff) -> Iterator[str]:
    yield "Walls"
    for wall in takeoff.elevations:
        own = [boards for boards in takeoff.cladding.boards if boards.wall == wall.wall]
        name = f"{wall.wall}" if wall.roof else f"{wall.wall} ({plain(wall.id)})"
        faces = f", faces {compass_words(wall.bearing_deg)}" if wall.roof else ""
        zones = "; ".join(plain(words_of(boards.board, takeoff.items)) for boards in own) or "left out"
        yield f"{name}: {whole(wall.width_mm)} wide{faces}: {zones}"
