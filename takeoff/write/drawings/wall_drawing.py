"""One elevation a wall: boards with their cut lengths, joints, openings, storey rod, ground, dimensions.

Wall axes: x from the left seen from outside, y up from the finished floor, real mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from takeoff.basics.vectors import Point2
from takeoff.model.order import Takeoff
from takeoff.model.runs import CutPiece
from takeoff.model.walls import Elevation, Opening, WallBoards
from takeoff.write.drawings.drawing import LARGE_MM, NORMAL_MM, SMALL_MM, Drawing, Shows, Sketch, bounds, text_width
from takeoff.write.drawings.frame import A3, A4, choose_scale, finish, free_area, title_block
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.wall_boards import carries_words, draw_boards, draw_joint_places, joint_places
from takeoff.write.drawings.wall_cut import draw_cuts
from takeoff.write.drawings.wall_detail_keys import draw_detail_keys
from takeoff.write.drawings.wall_in_parts import wall_parts
from takeoff.write.drawings.wall_laps import draw_laps, lap_words
from takeoff.write.drawings.wall_marks import draw_marks
from takeoff.write.drawings.wall_room import drawn_room
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import compass_words, number, plain, whole

# scales of elevations, close enough together that a wall fills its paper
_SCALES = (10, 12, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200)
_GROUND_MM = 1500.0  # ground further under a wall is not drawn with it
_JOINTS = 8.0  # more room over a wall whose joints are told there [paper mm]
_HEAD, _FOOT, _LEFT, _RIGHT = 28.0, 30.0, 43.0, 24.0  # room over, under and beside the wall [paper mm]


def wall_drawings(takeoff: Takeoff) -> tuple[Drawing, ...]:
    """One drawing a wall, named wall_<number>, and wall_<number>a, b ... of those whose boards do not carry their marks
    on it; walls given by themselves are numbered as they come."""
    cuts = cut_pieces(takeoff.order)
    found: list[Drawing] = []
    for wall in takeoff.elevations:
        drawing, unmarked = _elevation(takeoff, wall, cuts)
        level = [zone for zone in takeoff.cladding.boards if zone.wall == wall.wall and zone.direction == "horizontal"]
        found.append(drawing)
        parts = wall_parts(takeoff, wall, level, cuts) if not carries_words(level, drawing.scale) else ()
        for zone in unmarked:
            parts += wall_parts(takeoff, wall, [zone], cuts, len(parts))
        found += parts
    return tuple(found)


def _elevation(
    takeoff: Takeoff, wall: Elevation, cuts: Mapping[str, tuple[CutPiece, ...]]
) -> tuple[Drawing, tuple[WallBoards, ...]]:
    """The drawing of a wall, and its upright zones whose boards do not carry their marks on it."""
    zones = [zone for zone in takeoff.cladding.boards if zone.wall == wall.wall]
    near = [level for level in (*wall.ground_mm, 0.0) if wall.base_mm - level < _GROUND_MM]
    extent = bounds((*wall.outline_xy, *((0.0, level) for level in near)))
    head = _HEAD + 5.5 * max(0, len(zones) - 1) + (_JOINTS if joint_places(zones, cuts) else 0.0)
    head += 5.0 * len(lap_words(zones))
    paper, scale = _paper((extent[2] - extent[0], extent[3] - extent[1]), zones, head)
    sketch = Sketch(scale)
    unmarked = tuple(zone for zone in zones if not draw_boards(sketch, wall, zone, cuts))
    for batten in takeoff.cladding.battens:
        if batten.wall == wall.wall:
            sketch.line("WALL-BATTEN", batten.a_xy, batten.b_xy)
    sketch.ring("WALL-OUTLINE", wall.outline_xy)
    draw_cuts(sketch, wall, takeoff.settings)
    for zone in zones:
        for line in zone.flashed_xy:
            sketch.ring("WALL-FLASHING", line, closed=False)
    for opening in wall.openings:
        _opening(sketch, opening)
    _levels(sketch, wall)
    draw_marks(sketch, zones, extent, wall.ground_mm[0])
    draw_joint_places(sketch, zones, cuts, extent[3])
    _dimensions(sketch, wall, extent, any(zone.direction != "horizontal" for zone in zones))
    draw_laps(sketch, zones)
    width, height = free_area(paper)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    size = (extent[3] - extent[1]) / scale
    spare = max(0.0, (height - head - _FOOT - size) / 2.0)
    room = ((width + _LEFT - _RIGHT) / 2.0, _FOOT + spare + size / 2.0)
    top_left = (middle[0] - sketch.paper(room[0]), middle[1] + sketch.paper(height - room[1]))
    _heading(sketch, wall, zones, unmarked, top_left, takeoff)
    low = (top_left[0], top_left[1] - sketch.paper(height))
    page = (*low, low[0] + sketch.paper(width), top_left[1])
    words = drawn_room(sketch, page)
    _name_grounds(words, wall)
    draw_detail_keys(words, takeoff, wall, page)
    block = title_block(takeoff, f"Wall {wall.wall} from outside", f"W-{wall.wall}", None)
    return finish(sketch, f"wall_{wall.wall}", block, paper, middle, room, of=Shows.WALLS), unmarked


def _paper(size: Point2, zones: list[WallBoards], head: float) -> tuple[tuple[float, float], int]:
    """The smaller paper on which the boards carry their lengths, at a scale that can be read; else the larger."""
    for paper in (A4, A3):
        width, height = free_area(paper)
        room = (width - _LEFT - _RIGHT, height - head - _FOOT)
        fitting = (scale for scale in _SCALES if size[0] <= room[0] * scale and size[1] <= room[1] * scale)
        scale = next(fitting, choose_scale(size, room))
        if scale <= 50 and carries_words(zones, scale):
            break
    return paper, scale


def _opening(sketch: Sketch, opening: Opening) -> None:
    """An opening with its name, size and sill; a size too wide for it goes on two lines."""
    left, right = opening.from_left_mm, opening.from_left_mm + opening.width_mm
    ring = ((left, opening.sill_mm), (right, opening.sill_mm), (right, opening.head_mm), (left, opening.head_mm))
    sketch.ring("WALL-OPENING", ring)
    room = opening.width_mm - sketch.paper(1.0)
    size = [f"{whole(opening.width_mm)} x {whole(opening.height_mm)}"]
    if text_width(size[0], sketch.paper(SMALL_MM)) > room:
        size = [f"{whole(opening.width_mm)} x", whole(opening.height_mm)]
    small = [*size, f"sill {whole(opening.sill_mm)}"]
    lines = [(plain(opening.name), LARGE_MM), *((text, SMALL_MM) for text in small)]
    lines = [(text, height) for text, height in lines if text_width(text, sketch.paper(height)) <= room]
    gap = 1.2
    high = (opening.head_mm - opening.sill_mm) / sketch.scale - 1.0
    while len(lines) > 1 and sum(height + gap for _, height in lines) - gap > high:
        lines.pop()
    if lines and lines[0][1] > high:
        lines = [(lines[0][0], SMALL_MM)]
    tall = sum(height + gap for _, height in lines) - gap
    y = (opening.sill_mm + opening.head_mm) / 2.0 + sketch.paper(tall) / 2.0
    for text, height in lines:
        y -= sketch.paper(height / 2.0)
        sketch.text("WALL-OPENING", ((left + right) / 2.0, y), text, height, 0.0, "centre", True)
        y -= sketch.paper(height / 2.0 + gap)


def _levels(sketch: Sketch, wall: Elevation) -> None:
    past = sketch.paper(6.0)
    shown = wall.base_mm - min(wall.ground_mm) < _GROUND_MM
    if shown:
        sketch.line("GROUND", (-past, wall.ground_mm[0]), (0.0, wall.ground_mm[0]))
        sketch.line("GROUND", (0.0, wall.ground_mm[0]), (wall.width_mm, wall.ground_mm[1]))
        sketch.line("GROUND", (wall.width_mm, wall.ground_mm[1]), (wall.width_mm + past, wall.ground_mm[1]))
    right = wall.width_mm + sketch.paper(2.0)
    floors = [(level, f"floor {whole(level)}") for level in wall.floors_mm]
    if 0.0 not in wall.floors_mm and wall.base_mm <= 0.0:
        floors.insert(0, (0.0, "floor 0"))
    for part in wall.grounds:
        sketch.line("GROUND", (part.left_mm, part.level_mm), (part.right_mm, part.level_mm))
    for level, words in (*floors, *([(wall.ground_mm[1], f"ground {whole(wall.ground_mm[1])}")] if shown else [])):
        sketch.line("GROUND", (wall.width_mm, level), (wall.width_mm + past, level))
        sketch.text("GROUND", (right, level + sketch.paper(0.8)), words, SMALL_MM)


def _name_grounds(room: Room, wall: Elevation) -> None:
    """What the parts of the ground are that differ from the rest, and their levels, under their lines or over them."""
    paper = room.sketch.paper
    for part in wall.grounds:
        words = f"{part.kind} {whole(part.level_mm)}"
        long = text_width(words, paper(SMALL_MM))
        choices = [
            [Label("GROUND", (x, part.level_mm + side * paper(2.2)), words, SMALL_MM)]
            for side in (-1.0, 1.0)
            for x in (part.left_mm + n / 8.0 * (part.right_mm - part.left_mm) for n in (4, 2, 6, 1, 3, 5, 7))
            if part.left_mm <= x - long / 2.0 and x + long / 2.0 <= part.right_mm
        ]
        room.draw(room.keep_first(choices))


def _dimensions(sketch: Sketch, wall: Elevation, extent: tuple[float, float, float, float], marked: bool) -> None:
    """Overall, openings and height. `marked`: board lines are named under the wall, extension lines start below."""
    low = min(extent[1], wall.base_mm)
    foot = low - sketch.paper(15.0) if marked else wall.base_mm
    chain, whole_y = low - sketch.paper(18.5), low - sketch.paper(25.5)
    xs = {0.0, wall.width_mm}
    for opening in wall.openings:
        xs |= {opening.from_left_mm, opening.from_left_mm + opening.width_mm}
    ordered = sorted(xs)
    if len(ordered) > 2:
        for a, b in pairwise(ordered):
            if _fits(sketch, b - a):
                sketch.dimension((a, foot), (b, foot), (a, chain), 0.0)
    if _fits(sketch, wall.width_mm):
        sketch.dimension((0.0, foot), (wall.width_mm, foot), (0.0, whole_y), 0.0)
    left = -sketch.paper(34.0)
    beside = left + sketch.paper(4.0)  # its extension lines end before the words of the storey rod
    if _fits(sketch, extent[3] - wall.base_mm):
        sketch.dimension((beside, wall.base_mm), (beside, extent[3]), (left, wall.base_mm), 90.0)
    ground = wall.ground_mm[0]
    if wall.base_mm - ground < _GROUND_MM and _fits(sketch, wall.base_mm - ground):
        sketch.dimension((beside, ground), (beside, wall.base_mm), (left, ground), 90.0)


def _fits(sketch: Sketch, length_mm: float) -> bool:
    """Whether a dimension is longer than its figure, which would else lie over the lines at its ends: the heading or
    the openings then say the size."""
    return length_mm >= text_width(whole(length_mm), sketch.paper(SMALL_MM)) + sketch.paper(0.6)


def _heading(
    sketch: Sketch,
    wall: Elevation,
    zones: list[WallBoards],
    unmarked: tuple[WallBoards, ...],
    top_left: Point2,
    takeoff: Takeoff,
) -> None:
    x, y = top_left[0] + sketch.paper(4.0), top_left[1]
    lines = [(f"Wall {wall.wall}: {whole(wall.width_mm)} wide, faces {compass_words(wall.bearing_deg)}", LARGE_MM)]
    lines += [(_zone_words(zone, plain(words_of(zone.board, takeoff.items))), NORMAL_MM) for zone in zones]
    lines += [(words, SMALL_MM) for words in (*_laid_words(zones, takeoff), *lap_words(zones))]
    level = [zone for zone in zones if zone.direction == "horizontal"]
    if unmarked or not carries_words(level, sketch.scale):
        words = "Marks and lengths of all boards: sheets of the parts of this wall, and Wall lengths of the order"
        lines.append((words, SMALL_MM))
    for text, height in lines:
        y -= sketch.paper(height + 2.5)
        sketch.text("TEXT", (x, y), text, height)


def _laid_words(zones: list[WallBoards], takeoff: Takeoff) -> list[str]:
    """Which end sheets are laid from, a line for each way there is on the wall."""
    marks = {piece.id for zone in zones for piece in zone.pieces}
    sides = {
        plane.start_side
        for group in takeoff.cladding.groups
        for plane in group.planes
        if any(piece.mark in marks for piece in plane.pieces)
    }
    return [
        f"Sheets are laid from the {side} end; sides of raked ones: Wall lengths of the order" for side in sorted(sides)
    ]


def _zone_words(zone: WallBoards, board: str) -> str:
    """Board, direction and cover, nothing of it said twice."""
    cover = number(zone.cover_mm, 1)
    words = board if zone.direction in board else f"{board}, {zone.direction}"
    if f"cover {cover}" not in board:
        words += f", cover {cover}"
    what = {"horizontal": "courses", "sheets": "sheets"}.get(zone.direction, "boards")
    words += f"; {zone.courses} {what}, net {zone.net_mm2 / 1e6:.2f} m²"
    upright = zone.direction != "horizontal" and zone.marks_mm
    return f"{words}; first line {_from_framing(zone.marks_mm[0])}" if upright else words


def _from_framing(at: float) -> str:
    """A place across a wall, by the left end of its framing."""
    if abs(at) < 0.5:
        return "at the left end of the framing"
    return f"{whole(abs(at))} {'left of' if at < 0.0 else 'from'} the left end of the framing"
