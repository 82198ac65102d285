"""Further sheets of long walls: a wall whose boards do not carry their marks on one sheet is drawn again in parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil

from takeoff.basics.letters import letters
from takeoff.basics.vectors import Ring2
from takeoff.model.order import Takeoff
from takeoff.model.runs import CutPiece
from takeoff.model.walls import Elevation, Opening, WallBoards
from takeoff.write.drawings.drawing import LARGE_MM, SMALL_MM, Drawing, Shows, Sketch, bounds, text_width
from takeoff.write.drawings.frame import A3, finish, free_area, title_block
from takeoff.write.drawings.wall_boards import draw_joint_places, draw_level_words
from takeoff.write.drawings.wall_marks import draw_marks
from takeoff.write.drawings.wall_upright import TWO_LINES_MM, UPRIGHT_ROOM_MM, draw_upright_words
from takeoff.write.words.words import plain, whole

_SCALES = (100, 75, 60, 50, 40, 30, 25, 20, 15, 12, 10)
_LEFT, _RIGHT, _HEAD, _FOOT = 36.0, 12.0, 32.0, 12.0  # room beside, over and under a part [paper mm]
_OVERLAP_MM = 200.0  # parts of a wall show this much of each other
_OVER_TOP = 28.0  # more room over upright boards [paper mm]
_LONG_MM = 32.0  # a board so long carries mark and length in a line [paper mm]
_BOARD_MM = 3.0  # words of one board keep clear of those of the next where boards are as wide on paper [paper mm]


def wall_parts(
    takeoff: Takeoff,
    wall: Elevation,
    zones: Sequence[WallBoards],
    cuts: Mapping[str, tuple[CutPiece, ...]],
    before: int = 0,
) -> tuple[Drawing, ...]:
    """Boards of a wall that run one way, from left to right, on as many sheets as let each carry its mark and length,
    `before` of this wall's being drawn already; nothing where a wall is too high for that."""
    shown = [zone for zone in zones if zone.pieces]
    if not shown:
        return ()
    extent = bounds(point for zone in shown for piece in zone.pieces for point in piece.outline_xy)
    width, height = free_area(A3)
    head = _head(shown)
    room = (width - _LEFT - _RIGHT, height - head - _FOOT)
    high = extent[3] - extent[1]
    scale = next((s for s in _SCALES if high / s <= room[1] and all(_carried(zone, s) for zone in shown)), None)
    if scale is None:
        return ()
    count = _count(extent[2] - extent[0], room[0], scale)
    if all(zone.direction == "horizontal" for zone in shown):
        # as large as that many sheets allow: short boards have room for their marks too
        larger = (s for s in reversed(_SCALES) if s <= scale and high / s <= room[1])
        scale = next(s for s in larger if _count(extent[2] - extent[0], room[0], s) == count)
    step = (extent[2] - extent[0] - _OVERLAP_MM) / count
    return tuple(
        _part(
            takeoff,
            wall,
            shown,
            cuts,
            scale,
            (extent[0] + n * step, extent[0] + (n + 1) * step + _OVERLAP_MM),
            n,
            before,
        )
        for n in range(count)
    )


def _count(wide: float, room: float, scale: int) -> int:
    """How many sheets a wall takes whose boards are so wide together [mm]; `room` on paper."""
    return max(1, ceil((wide - _OVERLAP_MM) / (room * scale - _OVERLAP_MM)))


def _head(zones: Sequence[WallBoards]) -> float:
    """Room over a part: words of short upright boards stand over their tops [paper mm]."""
    return _HEAD if all(zone.direction == "horizontal" for zone in zones) else _HEAD + _OVER_TOP


def _carried(zone: WallBoards, scale: int) -> bool:
    """Whether boards are wide enough on paper for their words: upright short ones for mark and length beside each
    other."""
    if zone.direction == "horizontal":
        return zone.cover_mm / scale >= _BOARD_MM
    boxes = (bounds(piece.outline_xy) for piece in zone.pieces)
    short = min(box[3] - box[1] for box in boxes) / scale < _LONG_MM
    return zone.cover_mm / scale >= (TWO_LINES_MM if short else UPRIGHT_ROOM_MM)


def _part(
    takeoff: Takeoff,
    wall: Elevation,
    zones: Sequence[WallBoards],
    cuts: Mapping[str, tuple[CutPiece, ...]],
    scale: int,
    window: tuple[float, float],
    number: int,
    before: int,
) -> Drawing:
    sketch = Sketch(scale)
    shown = [_within(zone, window) for zone in zones]
    extent = bounds(point for zone in shown for piece in zone.pieces for point in piece.outline_xy)
    for zone, whole_zone in zip(shown, zones, strict=True):
        for piece in zone.pieces:
            sketch.ring("WALL-BOARD", piece.outline_xy)
        if zone.direction == "horizontal":
            draw_level_words(sketch, wall, whole_zone, cuts, window)
        else:
            draw_upright_words(sketch, wall, whole_zone, cuts, window)
    for number_of, ring in _clipped([_corners(opening) for opening in wall.openings], window):
        sketch.ring("WALL-OPENING", ring)
        x0, y0, x1, y1 = bounds(ring)
        name = wall.openings[number_of].name
        if text_width(name, sketch.paper(SMALL_MM)) < x1 - x0:
            at = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
            sketch.text("WALL-OPENING", at, plain(name), SMALL_MM, 0.0, "centre", True)
    draw_joint_places(sketch, zones, cuts, extent[3], window)
    if number == 0:
        draw_marks(sketch, zones, extent)
    width, height = free_area(A3)
    middle = ((window[0] + window[1]) / 2.0, (extent[1] + extent[3]) / 2.0)
    place = ((width + _LEFT - _RIGHT) / 2.0, _FOOT + (height - _head(zones) - _FOOT) / 2.0)
    x, y = middle[0] - sketch.paper(place[0] - 4.0), middle[1] + sketch.paper(height - place[1])
    y -= sketch.paper(LARGE_MM + 2.5)
    sketch.text("TEXT", (x, y), f"Wall {wall.wall}, part {before + number + 1}: {_span(wall, window)}", LARGE_MM)
    y -= sketch.paper(SMALL_MM + 2.5)
    sketch.text(
        "TEXT", (x, y), "Every board with its mark and length; openings, levels and details on the whole wall", SMALL_MM
    )
    mark = letters(before + number + 1)
    block = title_block(takeoff, f"Wall {wall.wall}, part {before + number + 1}", f"W-{wall.wall}{mark}", None)
    return finish(sketch, f"wall_{wall.wall}{mark}", block, A3, middle, place, of=Shows.WALLS)


def _corners(opening: Opening) -> Ring2:
    left, right = opening.from_left_mm, opening.from_left_mm + opening.width_mm
    return ((left, opening.sill_mm), (right, opening.sill_mm), (right, opening.head_mm), (left, opening.head_mm))


def _span(wall: Elevation, window: tuple[float, float]) -> str:
    left, right = max(0.0, window[0]), min(wall.width_mm, window[1])
    return f"from {whole(left)} to {whole(right)} mm from the left end"


def _within(zone: WallBoards, window: tuple[float, float]) -> WallBoards:
    """The boards of a zone as far as they are shown."""
    shown = _clipped([piece.outline_xy for piece in zone.pieces], window)
    return replace(zone, pieces=tuple(replace(zone.pieces[number], outline_xy=ring) for number, ring in shown))


def _clipped(rings: Sequence[Ring2], window: tuple[float, float]) -> Iterator[tuple[int, Ring2]]:
    """What lies of each ring in a window, with the ring's number: all asked of the geometry library at once."""
    from shapely import Polygon, area, box, buffer, get_coordinates, get_exterior_ring, get_parts, intersection

    bounded = [(number, bounds(ring)) for number, ring in enumerate(rings)]
    near = [(number, box_) for number, box_ in bounded if box_[2] > window[0] and box_[0] < window[1]]
    if not near:
        return
    shapes = buffer([Polygon(rings[number]) for number, _ in near], 0.0)
    lows, highs = [box_[1] - 1.0 for _, box_ in near], [box_[3] + 1.0 for _, box_ in near]
    windows = box([window[0]] * len(near), lows, [window[1]] * len(near), highs)
    parts, places = get_parts(intersection(shapes, windows), return_index=True)
    for part, place, square_mm in zip(parts, places.tolist(), area(parts).tolist(), strict=True):
        if isinstance(part, Polygon) and square_mm > 1.0:
            corners = get_coordinates(get_exterior_ring(part))[:-1].tolist()
            yield near[place][0], tuple((x, y) for x, y in corners)
