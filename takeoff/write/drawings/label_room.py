"""Room for labels on a drawing: what is taken by words and lines, so that no label lies over another or is struck
through."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import cos, radians, sin

from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.drawing import Sketch, bounds

_CLEAR_MM = 0.2  # kept clear round letters [paper mm]
# widths of letters in capital heights, sans serif
_CAPITAL, _OTHER, _THIN, _THIN_LETTERS = 1.0, 0.78, 0.4, " .,:;'ijl"


@dataclass(frozen=True, slots=True)
class Label:
    """A text with its place, as `Sketch.text` takes it; `height_mm` on paper. `at` is the middle of the capitals."""

    layer: str
    at: Point2
    text: str
    height_mm: float
    angle_deg: float = 0.0
    align: str = "centre"


@dataclass(slots=True)
class Room:
    """Boxes of words and lines drawn so far."""

    sketch: Sketch
    boxes: list[Ring2] = field(default_factory=list)
    forced: int = 0  # labels that found no free place
    lines: list[tuple[Point2, Point2]] = field(default_factory=list)

    def add_ring(self, ring: Sequence[Point2]) -> None:
        """A closed ring that no label may cross."""
        self.lines += list(zip(ring, (*ring[1:], ring[0]), strict=True))

    def box(self, label: Label) -> Ring2:
        """The corners round a label's letters, with what is kept clear round them."""
        paper = self.sketch.paper
        clear = paper(_CLEAR_MM)
        long, half = words_width(label.text, paper(label.height_mm)), paper(label.height_mm / 2.0) + clear
        left = {"left": 0.0, "centre": -long / 2.0, "right": -long}[label.align] - clear
        c, s = cos(radians(label.angle_deg)), sin(radians(label.angle_deg))
        corners = ((left, -half), (left + long + 2 * clear, -half), (left + long + 2 * clear, half), (left, half))
        return tuple((label.at[0] + x * c - y * s, label.at[1] + x * s + y * c) for x, y in corners)

    def free(self, labels: Iterable[Label]) -> bool:
        """Whether no label lies over what is drawn."""
        return all(self.clear(self.box(label)) for label in labels)

    def clear(self, box: Ring2) -> bool:
        """Whether a convex shape lies over nothing that is drawn."""
        low_x, low_y, high_x, high_y = bounds(box)
        for drawn in (self.boxes, self.lines):
            for shape in drawn:
                xs, ys = [x for x, _ in shape], [y for _, y in shape]
                apart = max(xs) <= low_x or min(xs) >= high_x or max(ys) <= low_y or min(ys) >= high_y
                if not apart and _overlap(box, shape):
                    return False
        return True

    def square(self, at: Point2, half_paper_mm: float) -> Ring2:
        """The square round a sign, in drawing mm."""
        half = self.sketch.paper(half_paper_mm)
        x, y = at
        return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))

    def keep(self, labels: Iterable[Label]) -> None:
        """Keep the room of words that are drawn elsewhere or later, as those of a dimension."""
        self.boxes += [self.box(label) for label in labels]

    def keep_first(self, choices: Iterable[Sequence[Label]]) -> Sequence[Label]:
        """The first of several choices that is free, its room kept; nothing where none is."""
        for labels in choices:
            if self.free(labels):
                self.keep(labels)
                return labels
        return ()

    def force(self, labels: Sequence[Label]) -> None:
        """Keep the room of words that found no free place, and count them."""
        self.keep(labels)
        self.forced += 1

    def draw(self, labels: Iterable[Label]) -> None:
        """Draw labels."""
        for label in labels:
            self.sketch.text(
                label.layer, label.at, label.text, label.height_mm, label.angle_deg, label.align, middle=True
            )

    def put(self, labels: Sequence[Label]) -> None:
        """Draw labels and keep their room."""
        self.keep(labels)
        self.draw(labels)

    def extent(self) -> tuple[float, float, float, float]:
        """Bounds of everything that room is kept for."""
        points = [point for box in self.boxes for point in box]
        return bounds([*points, *(point for line in self.lines for point in line)])


def words_width(text: str, height_mm: float) -> float:
    """Width of a text letter by letter [unit of `height_mm`], a little more than any sans serif face takes."""
    letters = (_CAPITAL if x.isupper() else _THIN if x in _THIN_LETTERS else _OTHER for x in text)
    return height_mm * sum(letters)


def _overlap(one: Sequence[Point2], other: Sequence[Point2]) -> bool:
    """Whether two convex shapes (or a shape and a line) overlap: no line parts them."""
    for shape in (one, other):
        for a, b in zip(shape, (*shape[1:], shape[0]), strict=True):
            nx, ny = b[1] - a[1], a[0] - b[0]
            ours = [nx * x + ny * y for x, y in one]
            theirs = [nx * x + ny * y for x, y in other]
            if max(ours) <= min(theirs) or max(theirs) <= min(ours):
                return False
    return True
