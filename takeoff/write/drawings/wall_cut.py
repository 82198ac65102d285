"""What of a wall is not clad behind a lower roof or another part of the house: its sides dimensioned, and words."""

from __future__ import annotations

from takeoff.basics.vectors import Ring2
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation
from takeoff.write.drawings.drawing import SMALL_MM, Sketch, bounds, text_width
from takeoff.write.drawings.frame import wrap
from takeoff.write.drawings.label_places import inside
from takeoff.write.drawings.label_room import Label
from takeoff.write.drawings.wall_room import wall_room
from takeoff.write.words.words import whole

_IN_MM = 8.0  # dimension lines stand so far inside the cut [paper mm]
_PITCH_MM = 4.0  # between lines of words [paper mm]
_PLACES = (0.6, 0.65, 0.5, 0.7, 0.4, 0.8, 0.3)  # heights tried for the words, parts of the cut's


def draw_cuts(sketch: Sketch, wall: Elevation, settings: Settings) -> None:
    """Dimensions and words in every part of a wall that is not clad, as far as they find room."""
    over = settings.number("apron_over_sheets_mm") + settings.number("clearance_roof_mm")
    for ring in wall.covered_xy:
        sketch.ring("WALL-OUTLINE", ring)
        _sides(sketch, ring)
        _words(sketch, wall, ring, over)


def _sides(sketch: Sketch, ring: Ring2) -> None:
    """How wide the cut is along its foot, and how high at its left and right end."""
    left, low, right, _ = bounds(ring)
    off, least = sketch.paper(_IN_MM), sketch.paper(3.0 * _IN_MM)
    if right - left < least:
        return
    ends = [sorted(y for x, y in ring if abs(x - at) < 1.0) for at in (left, right)]
    for at, ys, way in ((left, ends[0], 1.0), (right, ends[1], -1.0)):
        if ys[-1] - ys[0] >= least:
            sketch.dimension((at, ys[0]), (at, ys[-1]), (at + way * off, ys[0]), 90.0)
    if min(ys[-1] for ys in ends) - low >= least and abs(ends[0][0] - ends[1][0]) < 1.0:
        sketch.dimension((left, low), (right, low), (left, low + off), 0.0)


def _words(sketch: Sketch, wall: Elevation, ring: Ring2, over_mm: float) -> None:
    left, low, right, high = bounds(ring)
    lines = [
        "not clad: a lower roof or part of the house",
        f"cut {whole(over_mm)} over the underside of its sheets",
        f"{whole(left)} to {whole(right)} from the left end",
    ]
    if low > wall.base_mm + 1.0:
        lines.append(f"its foot {whole(low)} over the floor")
    room = wall_room(sketch, wall)
    # dimension lines and their figures stand at either side
    wide = (right - left) / sketch.scale - 2.0 * (_IN_MM + SMALL_MM)
    lines = [part for line in lines for part in wrap(line, wide, SMALL_MM)]
    half = max(text_width(line, sketch.paper(SMALL_MM)) for line in lines) / 2.0
    if right - left < 2.0 * (half + sketch.paper(_IN_MM + SMALL_MM)):
        return
    pitch, middle = sketch.paper(_PITCH_MM), (left + right) / 2.0
    choices = []
    for part in _PLACES:
        top = low + part * (high - low) + pitch * (len(lines) - 1) / 2.0
        block = [(middle, top - n * pitch) for n in range(len(lines))]
        corners = [(x + side * half, y) for x, y in (block[0], block[-1]) for side in (-1.0, 1.0)]
        clear = block[-1][1] - low > sketch.paper(_IN_MM + 2.0 * SMALL_MM)
        if clear and all(inside((ring,), corner) for corner in corners):
            choices.append([Label("TEXT", at, line, SMALL_MM) for at, line in zip(block, lines, strict=True)])
    room.draw(room.keep_first(choices))
