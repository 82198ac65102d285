"""One elevation a wall: boards with their cut lengths, joints, openings, storey rod, ground, dimensions.

Wall axes: x from the left seen from outside, y up from the finished floor, real mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from takeoff.basics.vectors import Point2
from takeoff.model.items import Item
from takeoff.model.order import Takeoff
from takeoff.model.runs import CutPiece
from takeoff.model.walls import Elevation, Opening, WallBoards
from takeoff.write.drawings.drawing import LARGE_MM, NORMAL_MM, SMALL_MM, Drawing, Sketch, bounds, text_width
from takeoff.write.drawings.frame import A3, A4, choose_scale, finish, free_area, title_block
from takeoff.write.drawings.wall_boards import carries_words, draw_boards, draw_marks
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import compass_words, number, plain, whole

_HEAD, _FOOT, _LEFT, _RIGHT = 28.0, 30.0, 43.0, 24.0  # room over, under and beside the wall [paper mm]


def wall_drawings(takeoff: Takeoff) -> tuple[Drawing, ...]:
    """One drawing a wall, named wall_<number>; walls given by themselves are numbered as they come."""
    cuts = cut_pieces(takeoff.order)
    return tuple(_elevation(takeoff, wall, cuts) for wall in takeoff.elevations)


def _elevation(takeoff: Takeoff, wall: Elevation, cuts: Mapping[str, tuple[CutPiece, ...]]) -> Drawing:
    zones = [zone for zone in takeoff.cladding.boards if zone.wall == wall.wall]
    extent = bounds((*wall.outline_xy, (0.0, min(wall.ground_mm)), (wall.width_mm, 0.0)))
    paper, scale = _paper((extent[2] - extent[0], extent[3] - extent[1]), zones)
    sketch = Sketch(scale)
    for zone in zones:
        draw_boards(sketch, wall, zone, cuts)
    for batten in takeoff.cladding.battens:
        if batten.wall == wall.wall:
            sketch.line("WALL-BATTEN", batten.a_xy, batten.b_xy)
    sketch.ring("WALL-OUTLINE", wall.outline_xy)
    for opening in wall.openings:
        _opening(sketch, opening)
    _levels(sketch, wall)
    for zone in zones:
        draw_marks(sketch, zone, extent)
    _dimensions(sketch, wall, extent, any(zone.direction != "horizontal" for zone in zones))
    width, height = free_area(paper)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    size = (extent[3] - extent[1]) / scale
    spare = max(0.0, (height - _HEAD - _FOOT - size) / 2.0)
    room = ((width + _LEFT - _RIGHT) / 2.0, _FOOT + spare + size / 2.0)
    top_left = (middle[0] - sketch.paper(room[0]), middle[1] + sketch.paper(height - room[1]))
    _heading(sketch, wall, zones, top_left, takeoff.items)
    block = title_block(takeoff, f"Wall {wall.wall} from outside", f"W-{wall.wall}", None)
    return finish(sketch, f"wall_{wall.wall}", block, paper, middle, room)


def _paper(size: Point2, zones: list[WallBoards]) -> tuple[tuple[float, float], int]:
    """The smaller paper on which the boards carry their lengths, at a scale that can be read; else the larger."""
    found = (A4, 1)
    for paper in (A4, A3):
        width, height = free_area(paper)
        found = (paper, max(10, choose_scale(size, (width - _LEFT - _RIGHT, height - _HEAD - _FOOT))))
        if found[1] <= 50 and carries_words(zones, found[1]):
            break
    return found


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
    tall = sum(height + gap for _, height in lines) - gap
    y = (opening.sill_mm + opening.head_mm) / 2.0 + sketch.paper(tall) / 2.0
    for text, height in lines:
        y -= sketch.paper(height / 2.0)
        sketch.text("WALL-OPENING", ((left + right) / 2.0, y), text, height, 0.0, "centre", True)
        y -= sketch.paper(height / 2.0 + gap)


def _levels(sketch: Sketch, wall: Elevation) -> None:
    past = sketch.paper(6.0)
    sketch.line("GROUND", (-past, wall.ground_mm[0]), (0.0, wall.ground_mm[0]))
    sketch.line("GROUND", (0.0, wall.ground_mm[0]), (wall.width_mm, wall.ground_mm[1]))
    sketch.line("GROUND", (wall.width_mm, wall.ground_mm[1]), (wall.width_mm + past, wall.ground_mm[1]))
    right = wall.width_mm + sketch.paper(2.0)
    for level, words in ((0.0, "floor 0"), (wall.ground_mm[1], f"ground {whole(wall.ground_mm[1])}")):
        sketch.line("GROUND", (wall.width_mm, level), (wall.width_mm + past, level))
        sketch.text("GROUND", (right, level + sketch.paper(0.8)), words, SMALL_MM)


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


def _fits(sketch: Sketch, length_mm: float) -> bool:
    """Whether a dimension is longer than its figure, which would else lie over the lines at its ends: the heading or
    the openings then say the size."""
    return length_mm >= text_width(whole(length_mm), sketch.paper(SMALL_MM)) + sketch.paper(0.6)


def _heading(
    sketch: Sketch, wall: Elevation, zones: list[WallBoards], top_left: Point2, items: Mapping[str, Item]
) -> None:
    x, y = top_left[0] + sketch.paper(4.0), top_left[1]
    lines = [(f"Wall {wall.wall}: {whole(wall.width_mm)} wide, faces {compass_words(wall.bearing_deg)}", LARGE_MM)]
    lines += [(_zone_words(zone, plain(words_of(zone.board, items))), NORMAL_MM) for zone in zones]
    if not carries_words(zones, sketch.scale):
        lines.append(("Lengths of the boards by course: sheet Wall lengths of the order", SMALL_MM))
    for text, height in lines:
        y -= sketch.paper(height + 2.5)
        sketch.text("TEXT", (x, y), text, height)


def _zone_words(zone: WallBoards, board: str) -> str:
    """Board, direction and cover, nothing of it said twice."""
    cover = number(zone.cover_mm, 1)
    words = board if zone.direction in board else f"{board}, {zone.direction}"
    if f"cover {cover}" not in board:
        words += f", cover {cover}"
    what = {"horizontal": "courses", "sheets": "sheets"}.get(zone.direction, "boards")
    return f"{words}; {zone.courses} {what}, net {zone.net_mm2 / 1e6:.2f} m²"
