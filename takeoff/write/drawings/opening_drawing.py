"""Holes and clear sheets on drawings: a crossed rectangle for a hole, its id and name, a light fill for clear sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.openings import Hole
from takeoff.model.sheets import PlaneSheets
from takeoff.write.drawings.drawing import NORMAL_MM, SMALL_MM, Sketch, bounds, text_width
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.words.words import plain, whole

ToDrawing = Callable[[Point2], Point2]  # plane axes to the drawing's


def draw_clear(sketch: Sketch, sheets: PlaneSheets, place: ToDrawing) -> None:
    """A light fill over what the clear sheets of a plane cover."""
    for piece in sheets.pieces:
        if piece.clear:
            for ring in piece.cover_uv:
                sketch.fill("SHEET-CLEAR", (_placed(ring, place),), 0.35)


def name_clear(room: Room, sheets: PlaneSheets, place: ToDrawing) -> None:
    """What a light fill is, in or beside it, once for clear sheets that lie side by side."""
    beside: list[list[Point2]] = []
    last = None
    for piece in sorted((piece for piece in sheets.pieces if piece.clear), key=lambda one: one.strip):
        points = [point for ring in piece.cover_uv for point in _placed(ring, place)]
        if last is not None and piece.strip - last <= 1:
            beside[-1] += points
        else:
            beside.append(points)
        last = piece.strip
    off = room.sketch.paper(1.5 + SMALL_MM / 2.0)
    for points in beside:
        low_x, low_y, high_x, high_y = bounds(points)
        x, y = (low_x + high_x) / 2.0, (low_y + high_y) / 2.0
        choices = [Label("SHEET-CLEAR", (x, at), "clear", SMALL_MM) for at in (y, high_y + off, low_y - off)]
        room.place(choices, (x, y))


def draw_holes(room: Room, holes: Sequence[Hole], place: ToDrawing, named: bool) -> None:
    """Holes as crossed rectangles; `named`: with their ids and names beside them."""
    for hole in holes:
        ring = _placed(hole.ring_uv, place)
        room.sketch.ring("ROOF-OPENING", ring)
        room.add_ring(ring)
        for a, b in ((ring[0], ring[2]), (ring[1], ring[3])):
            room.sketch.line("ROOF-OPENING", a, b)
            room.lines.append((a, b))
    if named:
        name_holes(room, holes, place, with_names=True)


def name_holes(room: Room, holes: Sequence[Hole], place: ToDrawing, with_names: bool = False) -> None:
    """Ids of holes, with their names or without, beside a corner of theirs that is free, else led out."""
    paper = room.sketch.paper
    for hole in holes:
        low_x, low_y, high_x, high_y = bounds(_placed(hole.ring_uv, place))
        choices = []
        for height in (SMALL_MM,) if with_names else (NORMAL_MM, SMALL_MM):
            above, below = high_y + paper(1.5 + height / 2.0), low_y - paper(1.5 + height / 2.0)
            for x, align in ((high_x + paper(1.5), "left"), (low_x - paper(1.5), "right")):
                for y in (above, (low_y + high_y) / 2.0, below):
                    text = _name(hole) if with_names else hole.id
                    choices.append(Label("ROOF-OPENING", (x, y), text, height, 0.0, align))
            choices.append(Label("ROOF-OPENING", ((low_x + high_x) / 2.0, above), choices[-1].text, height))
            choices.append(Label("ROOF-OPENING", ((low_x + high_x) / 2.0, below), choices[-1].text, height))
        room.place(choices, (high_x, high_y))


def hole_words(holes: Sequence[Hole], room_paper_mm: float) -> str:
    """The holes of a plane in one line with their sizes; where that has no room, where to find them."""
    if not holes:
        return ""
    each = [f"{_name(hole)} {whole(hole.width_mm)} x {whole(hole.length_mm)}" for hole in holes]
    words = f"Holes, cut on site: {'; '.join(each)}"
    if text_width(words, SMALL_MM) <= room_paper_mm:
        return words
    return f"{len(holes)} holes, cut on site: sizes and places are in the cutting list"


def _name(hole: Hole) -> str:
    return hole.id if hole.name == hole.id else f"{hole.id} {plain(hole.name)}"


def _placed(ring: Ring2, place: ToDrawing) -> Ring2:
    return tuple(place(point) for point in ring)
