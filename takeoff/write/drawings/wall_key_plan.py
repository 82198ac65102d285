"""The key plan of the walls: each on its line with its number, the way it faces, and what clads it."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.model.order import Takeoff
from takeoff.model.walls import Elevation
from takeoff.write.drawings.drawing import LARGE_MM, NORMAL_MM, SMALL_MM, Drawing, Shows, Sketch, bounds, text_width
from takeoff.write.drawings.frame import A3, A4, choose_scale, finish, free_area, title_block
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place
from takeoff.write.drawings.wall_detail_keys import legend_rows
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import compass_words, plain, whole

NAME = "wall_key_plan"
_LINES = 60  # of the table of walls, at most; the rest stand on the elevations
_PITCH_MM = 4.4  # between lines of the table [paper mm]
_BESIDE_MM = 1.2  # a wall that nothing clads is drawn so far inside its line [paper mm]
_OFFSETS = (4.0, 7.0, 11.0, 16.0, 22.0)  # places tried for a wall's number, outwards from it [paper mm]


def wall_key_plan(takeoff: Takeoff) -> Drawing | None:
    """The plan of all walls that stand on wall lines, with a table of every wall beside it; None without walls."""
    if not takeoff.elevations:
        return None
    standing = [wall for wall in takeoff.elevations if wall.roof]
    lines = _table(takeoff)[:_LINES]
    table = max(text_width(text, NORMAL_MM if n == 0 else SMALL_MM) for n, text in enumerate(lines)) + 6.0
    every: tuple[Elevation | _Bare, ...] = (*standing, *_bare(takeoff))
    ends = [point for wall in every for point in (wall.a_mm, wall.b_mm)] or [(0.0, 0.0), (1000.0, 1000.0)]
    extent = bounds(ends)
    paper, scale = _paper((extent[2] - extent[0], extent[3] - extent[1]), table, len(lines))
    sketch = Sketch(scale)
    room = Room(sketch)
    for wall in standing:
        sketch.line("WALL-OUTLINE", wall.a_mm, wall.b_mm)
        room.lines.append((wall.a_mm, wall.b_mm))
    for one in every:
        if isinstance(one, _Bare):  # beside the wall that it stands against, so that both are seen
            sketch.line("WALL-LINE", *_inside(one, sketch.paper(_BESIDE_MM)))
    for one in every:
        _number(room, one)
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
    margin = 2.0 * _OFFSETS[2] + 14.0
    for paper in (A4, A3):
        width, height = free_area(paper)
        free = (max(20.0, width - table - margin), height - margin)
        scale = max(10, choose_scale(size, free))
        if scale <= 100 and lines * _PITCH_MM + 14.0 <= height and width - table > 60.0:
            break
    return paper, scale


@record
class _Bare:
    """A wall of a wall line that nothing clads: its number, and its ends in the drawing's mm, left end first."""

    wall: int
    a_mm: Point2
    b_mm: Point2


def _bare(takeoff: Takeoff) -> Iterator[_Bare]:
    """The walls of clad wall lines that are not among the elevations, numbered as those are: as their edges are typed,
    roof after roof. None where the numbers of the elevations do not stand at the ends that this gives."""
    job = takeoff.job.walls
    roofs = [r for r in takeoff.roofs if r.wall_line_mm and (job is None or job.roof in (None, r.name))]
    known = {wall.wall: {wall.a_mm, wall.b_mm} for wall in takeoff.elevations if wall.roof}
    found: list[_Bare] = []
    before = 0
    if not known:
        return
    for roof in roofs:
        place = Place(roofs[0].origin_mm)
        count = 0
        for which, ring in enumerate(roof.wall_line_mm):
            points = [place.at(roof, point) for point in ring]
            backwards = (signed_area(ring) > 0.0) != (which == 0)
            for a, b in zip(points, (*points[1:], points[0]), strict=True):
                count += 1
                number = before + count
                if number in known and not _ends_near(known[number], {a, b}):
                    return
                if number not in known:
                    found.append(_Bare(number, *((b, a) if backwards else (a, b))))
        before += count
    yield from sorted(found, key=lambda edge: edge.wall)


def _ends_near(some: set[Point2], others: set[Point2]) -> bool:
    return all(any(hypot(a[0] - b[0], a[1] - b[1]) < 1.0 for b in others) for a in some)


def _inside(edge: _Bare, off: float) -> tuple[Point2, Point2]:
    """The line of a wall moved into the house."""
    (ax, ay), (bx, by) = edge.a_mm, edge.b_mm
    length = hypot(bx - ax, by - ay)
    dx, dy = -(by - ay) / length * off, (bx - ax) / length * off
    return (ax + dx, ay + dy), (bx + dx, by + dy)


def _number(room: Room, wall: Elevation | _Bare) -> None:
    """The wall's number outside it, at the first place that is free; that of a wall which nothing clads inside it."""
    (ax, ay), (bx, by) = wall.a_mm, wall.b_mm
    length = hypot(bx - ax, by - ay)
    outward = ((by - ay) / length, -(bx - ax) / length)
    words = f"{wall.wall}"
    size = LARGE_MM
    if isinstance(wall, _Bare):
        words, size, outward = f"{wall.wall}: not clad", SMALL_MM, (-outward[0], -outward[1])
    choices = []
    for offset in _OFFSETS:
        for part in (0.5, 0.4, 0.6, 0.3, 0.7):
            at = tuple(a + part * (b - a) + o * room.sketch.paper(offset) for a, b, o in
                       zip(wall.a_mm, wall.b_mm, outward, strict=True))  # fmt: skip
            choices.append([Label("TEXT", (at[0], at[1]), words, size)])
    room.draw(room.keep_first(choices))


def _table(takeoff: Takeoff) -> list[str]:
    """The walls by number, then the details that their drawings key."""
    rows: list[tuple[int, str]] = []
    for wall in takeoff.elevations:
        own = [boards for boards in takeoff.cladding.boards if boards.wall == wall.wall]
        name = f"{wall.wall}" if wall.roof else f"{wall.wall} ({plain(wall.id)})"
        faces = f", faces {compass_words(wall.bearing_deg)}" if wall.roof else ""
        zones = "; ".join(plain(words_of(boards.board, takeoff.items)) for boards in own) or "left out"
        rows.append((wall.wall, f"{name}: {whole(wall.width_mm)} wide{faces}: {zones}"))
    for edge in _bare(takeoff):
        wide = hypot(edge.b_mm[0] - edge.a_mm[0], edge.b_mm[1] - edge.a_mm[1])
        rows.append((edge.wall, f"{edge.wall}: {whole(wide)} wide: not clad, nothing of it stands outside"))
    details = [f"{mark}: {what}" for mark, what in legend_rows(takeoff)]
    if details:
        details.insert(0, "Details, as keyed on the walls; parts of each: Walls of the order")
    return ["Walls", *(text for _, text in sorted(rows, key=lambda row: row[0])), *details]
