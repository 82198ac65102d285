"""Room for labels on a drawing: what is taken by words and lines, so that no label lies over another or is struck
through."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, cos, floor, hypot, pi, radians, sin

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.drawing import SMALL_MM, Dimension, Drawing, Sketch, bounds, text_width
from takeoff.write.drawings.overlaps import Axis, Box, Taken, axes_of, level, overlap, parted

_CLEAR_MM = 0.2  # kept clear round letters [paper mm]
_END_MM = 0.3  # kept clear before the first letter and after the last [paper mm]
_CELL_MM = 12.0  # side of a cell that what is drawn is looked up by [paper mm]
_STEP_MM = 1.5  # between places tried along a line [paper mm]
_FAR_MM = (5.0, 7.5, 10.0, 13.0, 17.0, 22.0, 28.0, 35.0, 43.0, 52.0)  # how far words are led out [paper mm]
_WAYS = 16  # directions they are led out in
_LEADER_GAP_MM = 0.6  # between a leader and its words [paper mm]
MOST_LOOKED = 150_000  # things looked at in one drawing; the fullest house of the samples takes 16 000


@record
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
    ends_mm: float = _END_MM  # more keeps two figures in a row two [paper mm]
    within: Box | None = None  # bounds that all words stand in
    soft: list[tuple[Point2, Point2]] = field(default_factory=list)  # lines that words keep off where they can
    _leaders: list[Taken] = field(default_factory=list)
    _cells: dict[tuple[int, int], list[Taken]] = field(default_factory=dict)
    _known: list[int] = field(default_factory=lambda: [0, 0])  # boxes and lines that stand in the cells
    _looked: int = 0  # things looked at while places were sought
    _last: tuple[Taken, ...] = ()  # what the last place was taken by: most often it takes the next one too

    @property
    def crowded(self) -> bool:
        """True where so much was looked at in vain that further words stand where they come, or not at all: a drawing
        costs no more time than that."""
        return self._looked > MOST_LOOKED

    def add_ring(self, ring: Sequence[Point2]) -> None:
        """A closed ring that no label may cross."""
        self.lines += ring_lines(ring)

    def box(self, label: Label) -> Ring2:
        """The corners round a label's letters, with what is kept clear round them."""
        scale = self.sketch.scale
        clear, ends, height = _CLEAR_MM * scale, self.ends_mm * scale, label.height_mm
        long, half = text_width(label.text, height * scale), height / 2.0 * scale + clear
        left = (0.0 if label.align == "left" else -long if label.align == "right" else -long / 2.0) - ends
        right = left + long + 2.0 * ends
        angle = radians(label.angle_deg)
        c, s = cos(angle), sin(angle)
        (x, y), up_x, up_y = label.at, half * s, half * c
        left_x, left_y, right_x, right_y = x + left * c, y + left * s, x + right * c, y + right * s
        return (
            (left_x + up_x, left_y - up_y),
            (right_x + up_x, right_y - up_y),
            (right_x - up_x, right_y + up_y),
            (left_x - up_x, left_y + up_y),
        )

    def free(self, labels: Iterable[Label]) -> bool:
        """Whether no label lies over what is drawn."""
        for label in labels:  # noqa: SIM110 - asked for every place that is tried: a generator takes longer than the loop
            if not self.clear(self.box(label)):
                return False
        return True

    def clear(self, box: Ring2) -> bool:
        """Whether a convex shape lies over nothing that is drawn, and inside what words may stand in."""
        low_x, low_y, high_x, high_y = bounds(box)
        if self.within is not None:
            least_x, least_y, most_x, most_y = self.within
            if low_x < least_x or low_y < least_y or high_x > most_x or high_y > most_y:
                return False
        return not self._taken(box, (low_x, low_y, high_x, high_y), least=2, plain=level(box))

    def still_taken(self, around: Box) -> bool:
        """Whether what took the last place takes a level box too, as it does most of many places side by side: asked
        before `clear`, it saves looking round. False where it stands askew, which says nothing."""
        for one in self._last:
            least_x, least_y, most_x, most_y = one.box
            low_x, low_y, high_x, high_y = around
            if one.level and most_x > low_x and least_x < high_x and most_y > low_y and least_y < high_y:
                self._looked += 1
                return True
        return False

    def over_soft(self, labels: Iterable[Label]) -> bool:
        """Whether a label lies over a line that words keep off where they can."""
        return any(overlap(box, line) for box in map(self.box, labels) for line in self.soft)

    def over_words(self, shape: Ring2) -> bool:
        """Whether a convex shape lies over words or signs; lines may run through it."""
        return self._taken(shape, bounds(shape), least=3)

    def _taken(self, shape: Ring2, around: Box, least: int, plain: bool = False) -> bool:
        """Whether anything drawn of at least so many corners lies over a convex shape, looked for in the cells that
        `around` touches, by what meets that box; `plain`: that box is the shape."""
        self._settle()
        axes: tuple[Axis, ...] = ()
        low_x, low_y, high_x, high_y = around
        for held in self._held(around):
            for one in held:
                least_x, least_y, most_x, most_y = one.box
                if most_x <= low_x or least_x >= high_x or most_y <= low_y or least_y >= high_y:
                    continue
                self._looked += 1
                if len(one.points) < least:
                    continue
                if not (plain and one.level):
                    if parted(one.axes, shape):
                        continue
                    axes = axes or axes_of(shape)
                    if parted(axes, one.points):
                        continue
                self._last = (one,)
                return True
        return False

    def _held(self, around: Box) -> Iterator[Sequence[Taken]]:
        """What took the last place, then what stands in each cell that a box touches."""
        yield self._last
        side, cells = self.sketch.paper(_CELL_MM), self._cells
        for i in range(floor(around[0] / side), floor(around[2] / side) + 1):
            for j in range(floor(around[1] / side), floor(around[3] / side) + 1):
                if held := cells.get((i, j)):
                    yield held

    def _settle(self) -> None:
        """Put what was drawn since into the cells."""
        boxes, lines = self._known
        if len(self.boxes) == boxes and len(self.lines) == lines:
            return
        for shape in (*self.boxes[boxes:], *self.lines[lines:]):
            own = Taken(shape)
            for cell in self._cells_of(own.box):
                self._cells.setdefault(cell, []).append(own)
        self._known = [len(self.boxes), len(self.lines)]

    def _cells_of(self, box: Box) -> Iterator[tuple[int, int]]:
        side = self.sketch.paper(_CELL_MM)
        for i in range(floor(box[0] / side), floor(box[2] / side) + 1):
            for j in range(floor(box[1] / side), floor(box[3] / side) + 1):
                yield i, j

    def square(self, at: Point2, half_paper_mm: float) -> Ring2:
        """The square round a sign, in drawing mm."""
        half = self.sketch.paper(half_paper_mm)
        x, y = at
        return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))

    def keep(self, labels: Iterable[Label]) -> None:
        """Keep the room of words that are drawn elsewhere or later, as those of a dimension."""
        self.boxes += [self.box(label) for label in labels]

    def keep_figure(self, dimension: Dimension) -> None:
        """Keep the room of a dimension's figure."""
        figure = dimension.figure(Drawing("", "", self.sketch.scale, (0.0, 0.0), (0.0, 0.0), ()))
        self.keep([Label(figure.layer, figure.at_mm, figure.text, SMALL_MM, figure.angle_deg, figure.align)])

    def keep_first(self, choices: Iterable[Sequence[Label]]) -> Sequence[Label]:
        """The first of several choices that is free, its room kept; nothing where none is."""
        for labels in choices:
            if self.crowded:
                break
            if self.free(labels):
                self.keep(labels)
                return labels
        return ()

    def place(self, choices: Iterable[Label], anchor: Point2, least_mm: float = 0.0) -> bool:
        """Draw a label at the first of its places that is free, none of them made before it is tried; where none is,
        level and led out from `anchor` by a thin line, at least `least_mm` on paper away. False, and nothing drawn,
        where that finds no place either."""
        tried: list[Label] = []
        source: Iterable[Label] = _noting(choices, tried)
        for keep_off in (True, False) if self.soft else (False,):
            for label in source:
                if self.crowded:
                    return False
                if not (keep_off and self.over_soft([label])) and self.free([label]):
                    self.put([label])
                    return True
            source = tried
        return bool(tried) and self.lead_out(tried[-1], anchor, least_mm)

    def lead_out(self, label: Label, anchor: Point2, least_mm: float = 0.0) -> bool:
        """Draw a label level, off what it is for, with a line to it; False where there is no place for it."""
        paper = self.sketch.paper
        for far in (paper(one) for one in _FAR_MM if one >= least_mm and not self.crowded):
            for way in range(_WAYS):
                turn = (way + 0.5) * 2.0 * pi / _WAYS
                at = (anchor[0] + far * cos(turn), anchor[1] + far * sin(turn))
                moved = Label(label.layer, at, label.text, label.height_mm)
                box = self.box(moved)
                if not self.clear(box):
                    continue
                leader = self.leader(anchor, box)
                if self.leads(leader):
                    self.draw_leader(leader)
                    self.put([moved])
                    return True
        return False

    def leader(self, anchor: Point2, box: Ring2) -> tuple[Point2, Point2]:
        """The line from a point to the nearest point of a level box, ended short of it."""
        low_x, low_y, high_x, high_y = bounds(box)
        end = (min(max(anchor[0], low_x), high_x), min(max(anchor[1], low_y), high_y))
        far = hypot(end[0] - anchor[0], end[1] - anchor[1])
        part = max(0.0, 1.0 - self.sketch.paper(_LEADER_GAP_MM) / far) if far > 0.0 else 0.0
        return anchor, (anchor[0] + part * (end[0] - anchor[0]), anchor[1] + part * (end[1] - anchor[1]))

    def leads(self, leader: tuple[Point2, Point2]) -> bool:
        """Whether a leader crosses no words and no other leader."""
        self._looked += len(self._leaders)
        around = bounds(leader)
        return not self._crossed(leader, around) and not self._taken(leader, around, least=3)

    def _crossed(self, leader: tuple[Point2, Point2], around: Box) -> bool:
        """Whether another leader crosses a leader with these bounds."""
        low_x, low_y, high_x, high_y = around
        axes: tuple[Axis, ...] = ()
        for one in self._leaders:
            least_x, least_y, most_x, most_y = one.box
            if most_x < low_x or least_x > high_x or most_y < low_y or least_y > high_y:
                continue
            if not parted(one.axes, leader):
                axes = axes or axes_of(leader)
                if not parted(axes, one.points):
                    return True
        return False

    def draw_leader(self, leader: tuple[Point2, Point2]) -> None:
        """Draw a leader with a dot where it starts, and keep words off it."""
        self.sketch.circle("DIM", leader[0], 0.4)
        self.sketch.line("DIM", *leader)
        self.lines.append(leader)
        self._leaders.append(Taken(leader))

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


def _noting(labels: Iterable[Label], made: list[Label]) -> Iterator[Label]:
    """Labels one after the other, each noted as it is made."""
    for label in labels:
        made.append(label)
        yield label


def ring_lines(ring: Sequence[Point2]) -> list[tuple[Point2, Point2]]:
    """The sides of a closed ring."""
    return list(zip(ring, (*ring[1:], ring[0]), strict=True))


def slid(label: Label, reach_mm: float, step_mm: float) -> Iterator[Label]:
    """A label at its place and slid along its own direction up to `reach_mm` either way, nearest first."""
    c, s = cos(radians(label.angle_deg)), sin(radians(label.angle_deg))
    steps = [0.0]
    for k in range(1, ceil(reach_mm / step_mm) + 1):
        far = min(k * step_mm, reach_mm)
        steps += [far, -far]
    layer, (x, y), text, height_mm = label.layer, label.at, label.text, label.height_mm
    for far in steps:
        yield Label(layer, (x + far * c, y + far * s), text, height_mm, label.angle_deg, label.align)
