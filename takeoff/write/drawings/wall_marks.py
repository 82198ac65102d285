"""The storey rod beside level boards and the lines under upright ones."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from takeoff.basics.vectors import Point2
from takeoff.model.walls import WallBoards
from takeoff.write.drawings.drawing import SMALL_MM, Sketch
from takeoff.write.words.words import whole

_STEPS = (1, 2, 5, 10, 20, 50, 100)  # every how many courses the storey rod is numbered


def draw_marks(
    sketch: Sketch, zones: Sequence[WallBoards], extent: tuple[float, float, float, float], ground: float = -inf
) -> None:
    """The storey rod beside level boards, heights from the finished floor, and board lines under upright ones, from the
    left end of the boards. Of upright zones over each other the lines of the first alone stand under the wall.
    `ground`: its height at the left end, which words keep off."""
    level = [zone for zone in zones if zone.direction == "horizontal"]
    if level:
        top: Point2 = (-sketch.paper(3.0), extent[3] + sketch.paper(2.5))
        sketch.text("WALL-MARK", top, "course: over floor", SMALL_MM, 0.0, "right", True)
    taken: list[float] = []
    for zone in level:
        _storey_rod(sketch, zone, taken)
    under: list[tuple[float, float]] = []
    room = sketch.paper(SMALL_MM + 0.4)
    for zone in (zone for zone in zones if zone.direction != "horizontal" and zone.marks_mm):
        first, last = zone.marks_mm[0], zone.marks_mm[-1]
        if any(a < last and first < b for a, b in under):
            continue
        _board_lines(sketch, zone, extent, any(abs(first - b) < room for _, b in under))
        if not under:
            _origin(sketch, zone, extent, ground)
        under.append((first, last))


def _board_lines(sketch: Sketch, zone: WallBoards, extent: tuple[float, float, float, float], beside: bool) -> None:
    """Board lines under a wall, words a line apart: the first and the last, and of the others what finds room.
    `beside`: the words of another zone's last line stand where its first is."""
    marks = zone.marks_mm
    step, apart = _step(sketch, zone), sketch.paper(SMALL_MM + 0.4)
    taken = [marks[0], marks[-1]]
    shown = [*([] if beside else [marks[0]]), *([marks[-1]] if marks[-1] - marks[0] >= apart else [])]
    for number, mark in enumerate(marks):
        sketch.line("WALL-MARK", (mark, extent[1] - sketch.paper(4.5)), (mark, extent[1] - sketch.paper(1.5)))
        if number % step == 0 and all(abs(mark - other) >= apart for other in taken):
            taken.append(mark)
            shown.append(mark)
    for mark in sorted(shown):
        at = (mark, extent[1] - sketch.paper(5.2))
        sketch.text("WALL-MARK", at, whole(mark - marks[0]), SMALL_MM, 90.0, "right", True)


def _origin(sketch: Sketch, zone: WallBoards, extent: tuple[float, float, float, float], ground: float) -> None:
    """Where the first board line lies, counted from the left end of the framing: in the margin beside the lines, off
    the line of the ground."""
    origin = zone.marks_mm[0]
    if abs(origin) < 0.5:
        return
    for down in (8.0, 11.5, 5.2):
        y = extent[1] - sketch.paper(down)
        if abs(y - ground) >= sketch.paper(SMALL_MM):
            at = (min(0.0, origin) - sketch.paper(3.0), y)
            sketch.text("WALL-MARK", at, f"0 is at {whole(origin)}", SMALL_MM, 0.0, "right", True)
            return


def _storey_rod(sketch: Sketch, zone: WallBoards, taken: list[float]) -> None:
    """The courses of a zone with their heights; words keep off those at `taken` heights, which grow."""
    step, apart = _step(sketch, zone), sketch.paper(SMALL_MM + 0.4)
    for number, mark in enumerate(zone.marks_mm):
        sketch.line("WALL-MARK", (-sketch.paper(5.0), mark), (-sketch.paper(1.5), mark))
        if any(abs(mark - other) < apart for other in taken):
            continue
        if (number % step == 0 and not _near_end(number, zone, step)) or number == len(zone.marks_mm) - 1:
            taken.append(mark)
            words = f"{number + 1}: {whole(mark)}"
            sketch.text("WALL-MARK", (-sketch.paper(6.0), mark), words, SMALL_MM, 0.0, "right", True)


def _step(sketch: Sketch, zone: WallBoards) -> int:
    """Every how many marks have words, so that these stand a line apart; the marks themselves are all drawn."""
    needed = sketch.paper(SMALL_MM + 0.4) / zone.cover_mm
    return next((step for step in _STEPS if step >= needed), _STEPS[-1])


def _near_end(number: int, zone: WallBoards, step: int) -> bool:
    """Whether a mark stands so near the last one, which always has its words, that theirs would meet."""
    return len(zone.marks_mm) - 1 - step < number < len(zone.marks_mm) - 1
