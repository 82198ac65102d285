"""Holes and clear sheets on drawings: a crossed rectangle for a hole, its id and name, a light fill for clear sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.openings import Hole
from takeoff.model.sheets import PlaneSheets
from takeoff.write.drawings.drawing import NORMAL_MM, SMALL_MM, Sketch, bounds, text_width
from takeoff.write.words.words import plain, whole

ToDrawing = Callable[[Point2], Point2]  # plane axes to the drawing's


def draw_clear(sketch: Sketch, sheets: PlaneSheets, place: ToDrawing) -> None:
    """A light fill over what the clear sheets of a plane cover."""
    for piece in sheets.pieces:
        if piece.clear:
            for ring in piece.cover_uv:
                sketch.fill("SHEET-CLEAR", (_placed(ring, place),), 0.35)


def draw_holes(sketch: Sketch, holes: Sequence[Hole], place: ToDrawing, named: bool) -> None:
    """Holes as crossed rectangles with their ids beside them; `named`: with their names, too."""
    for hole in holes:
        ring = _placed(hole.ring_uv, place)
        sketch.ring("ROOF-OPENING", ring)
        sketch.line("ROOF-OPENING", ring[0], ring[2])
        sketch.line("ROOF-OPENING", ring[1], ring[3])
        _, _, high_x, high_y = bounds(ring)
        at = (high_x + sketch.paper(1.5), high_y + sketch.paper(1.5))
        sketch.text("ROOF-OPENING", at, _name(hole) if named else hole.id, SMALL_MM if named else NORMAL_MM)


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
