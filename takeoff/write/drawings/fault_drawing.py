"""The drawing of a takeoff that stopped: the outline, whatever roof there is, and the faults at their places."""

from __future__ import annotations

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Takeoff
from takeoff.write.drawings.drawing import LARGE_MM, NORMAL_MM, Drawing, Sketch, bounds
from takeoff.write.drawings.frame import A3, choose_scale, finish, free_area, title_block, wrap
from takeoff.write.drawings.label_room import Room
from takeoff.write.drawings.plan_drawing import draw_lines, draw_names, letter
from takeoff.write.drawings.plan_marks import draw_edge_numbers
from takeoff.write.drawings.plan_place import Place
from takeoff.write.words.words import finding_words

_WORDS = 130.0  # width of the column of words [paper mm]
_ROOM = 15.0


def fault_drawing(takeoff: Takeoff) -> Drawing:
    """Faults numbered on the plan where they have a place, in words beside it."""
    rings = _outlines(takeoff)
    points = [point for ring in rings for point in ring] or [(0.0, 0.0), (10_000.0, 10_000.0)]
    extent = bounds(points)
    width, height = free_area(A3)
    room = (width - _WORDS, height)
    size = (extent[2] - extent[0], extent[3] - extent[1])
    sketch = Sketch(choose_scale(size, (room[0] - 2 * _ROOM, room[1] - 2 * _ROOM)))
    for ring in rings:
        sketch.ring("WALL-LINE", ring)
    if takeoff.roofs:
        place = Place(takeoff.roofs[0].origin_mm)
        taken = Room(sketch)
        draw_lines(taken, place, takeoff.roofs)
        for roof in takeoff.roofs:
            draw_edge_numbers(taken, place, roof, letter(takeoff.roofs, roof))
        draw_names(taken, place, takeoff.roofs)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    corner = (middle[0] - sketch.paper(room[0] / 2.0), middle[1] - sketch.paper(height / 2.0))
    _faults(sketch, takeoff, (corner[0] + sketch.paper(room[0]), corner[1] + sketch.paper(height - 8.0)))
    block = title_block(takeoff, "Faults", "F1")
    return finish(sketch, "fault", block, A3, middle, (room[0] / 2.0, height / 2.0))


def _outlines(takeoff: Takeoff) -> tuple[Ring2, ...]:
    """Outlines of the roofs that were raised; else those of the job as typed, from their first point."""
    if takeoff.roofs:
        place = Place(takeoff.roofs[0].origin_mm)
        return tuple(
            tuple(place.at(roof, point) for point in ring) for roof in takeoff.roofs for ring in roof.outline_mm
        )
    typed = [ring for roof in takeoff.job.roofs for ring in (roof.outline, roof.wall_line) if ring]
    if not typed:
        return ()
    x, y = typed[0][0]
    return tuple(tuple((px - x, py - y) for px, py in ring) for ring in typed)


def _faults(sketch: Sketch, takeoff: Takeoff, top_left: Point2) -> None:
    stops = [finding for finding in takeoff.findings if finding.severity is Severity.STOP]
    others = [finding for finding in takeoff.findings if finding.severity is not Severity.STOP]
    y = top_left[1]
    for i, finding in enumerate((*stops, *others), start=1):
        height = LARGE_MM if finding.severity is Severity.STOP else NORMAL_MM
        if y < top_left[1] - sketch.paper(free_area(A3)[1] - 16.0):
            break
        for line in wrap(f"{i}. {finding_words(finding)}", _WORDS - 6.0, height):
            sketch.text("HOLD", (top_left[0], y), line, height)
            y -= sketch.paper(height + 2.0)
        y -= sketch.paper(3.0)
        _mark(sketch, finding, i)


def _mark(sketch: Sketch, finding: Finding, number: int) -> None:
    if finding.at_mm is None:
        return
    x, y, _ = finding.at_mm
    arm = sketch.paper(3.0)
    sketch.line("HOLD", (x - arm, y - arm), (x + arm, y + arm))
    sketch.line("HOLD", (x - arm, y + arm), (x + arm, y - arm))
    sketch.circle("HOLD", (x, y), 5.0)
    sketch.text("HOLD", (x + sketch.paper(6.0), y), str(number), LARGE_MM, 0.0, "left", True)
