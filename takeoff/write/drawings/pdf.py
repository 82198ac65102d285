"""A drawing, or the part of it that a paper shows, put on a page of a PDF: the same items as in DXF and SVG.

Fills lie below lines, lines below words, as in the SVG; a layer is drawn in one path. The white rim that keeps words
legible over lines is no text to whoever searches or copies the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import cos, hypot, radians, sin

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.write.drawings.drawing import Box, Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text
from takeoff.write.drawings.layers import LAYERS, Layer
from takeoff.write.letters.pdf_letters import CAPITAL, Typed, width
from takeoff.write.words.words import plain

POINT = 72.0 / 25.4  # points in a millimetre
_STROKE = 1.5  # half an oblique stroke that ends a dimension line [paper mm]
_GAP = 1.0  # between a measured point and its extension line [paper mm]
_NO_TEXT = "/Span <</ActualText ()>> BDC"  # what follows is no text, up to EMC
_RIM = 6.0  # height of letters over the width of their rim
_ROUND = 0.5523  # a quarter of a circle as one curve: how far its handles reach, in radii
_BOLD_LAYERS = ("HOLD",)
_FRAME_LAYERS = ("TITLE", "HOLD")
_INK = "0.0667 g"  # letters are as black as the lines


@record
class OnPage:
    """Where a drawing comes to lie: `left_mm` and `foot_mm` on the page for the lower left corner of what is shown;
    `size` 1 at the drawing's own scale; `shown` the part shown [drawing mm], None for the whole sheet."""

    left_mm: float = 0.0
    foot_mm: float = 0.0
    size: float = 1.0
    shown: Box | None = None


@record
class _Pen:
    """The way from drawing mm to points of the page, and the letters of the PDF."""

    typed: Typed
    drawing: Drawing
    at: OnPage

    @property
    def factor(self) -> float:
        """Points of the page in a drawing mm."""
        return POINT * self.at.size / self.drawing.scale

    def place(self, points: Iterable[Point2]) -> list[Point2]:
        """Points of the drawing on the page [points]."""
        low_x, low_y = self.at.shown[:2] if self.at.shown is not None else self.drawing.corner_mm
        factor, left, foot = self.factor, self.at.left_mm * POINT, self.at.foot_mm * POINT
        return [(left + (x - low_x) * factor, foot + (y - low_y) * factor) for x, y in points]


def page_operators(typed: Typed, drawing: Drawing, at: OnPage) -> str:
    """The operators that draw it on a page. A part that is shown comes without frame and title block."""
    pen = _Pen(typed, drawing, at)
    by_layer: dict[str, list[Item]] = {}
    for item in drawing.items:
        if at.shown is None or _is_shown(item, at.shown):
            by_layer.setdefault(item.layer, []).append(item)
    parts = ["q 1 J 1 j"]
    for name, layer in LAYERS.items():
        parts += (_fill(pen, item, layer) for item in by_layer.get(name, ()) if isinstance(item, Fill))
    for name, layer in LAYERS.items():
        parts += _lines(pen, by_layer.get(name, ()), layer)
    parts += _words(pen, by_layer)
    return "\n".join((*parts, "Q"))


def _is_shown(item: Item, box: Box) -> bool:
    if item.layer in _FRAME_LAYERS:
        return False
    return any(box[0] <= x <= box[2] and box[1] <= y <= box[3] for x, y in _points(item))


def _points(item: Item) -> tuple[Point2, ...]:
    match item:
        case Line():
            return item.a_mm, item.b_mm
        case Polyline():
            return item.points_mm
        case Fill():
            return item.rings_mm[0]
        case Dimension():
            return item.feet()
        case Circle() | Text():
            return (item.at_mm,)


def _fill(pen: _Pen, item: Fill, layer: Layer) -> str:
    rings = " ".join(_trace(pen.place(ring), closed=True) for ring in item.rings_mm)
    return f"{_colour(layer.colour, item.shade)} rg {rings} f*"


def _lines(pen: _Pen, items: Sequence[Item], layer: Layer) -> list[str]:
    """All lines of a layer in one path."""
    path = []
    for item in items:
        if isinstance(item, Circle):
            (centre,) = pen.place((item.at_mm,))
            path.append(_circle(centre, item.radius_mm * pen.factor))
        else:
            path += (_trace(pen.place(points), closed) for points, closed in strokes(item, pen.drawing))
    if not path:
        return []
    size = pen.at.size * POINT
    dash = " ".join(f"{part * size:.2f}" for part in layer.dash_mm)
    return [f"{_colour(layer.colour, 1.0)} RG {layer.weight_mm * size:.2f} w [{dash}] 0 d", *path, "S"]


def strokes(item: Item, drawing: Drawing) -> Iterator[tuple[Sequence[Point2], bool]]:
    """The lines of an item, each as its points and whether it closes [drawing mm]. None for what has no lines."""
    match item:
        case Line():
            yield (item.a_mm, item.b_mm), False
        case Polyline():
            yield item.points_mm, item.closed
        case Dimension():
            yield from _dimension(item, drawing.scale)
        case _:
            return


def _dimension(item: Dimension, scale: int) -> Iterator[tuple[Sequence[Point2], bool]]:
    feet = item.feet()
    yield feet, False
    along = radians(item.angle_deg)
    dx, dy = (_STROKE * scale * part for part in (cos(along + radians(45)), sin(along + radians(45))))
    for point, foot in zip((item.a_mm, item.b_mm), feet, strict=True):
        far = hypot(foot[0] - point[0], foot[1] - point[1])
        if far > _GAP * scale:
            t = _GAP * scale / far
            x, y = (foot[0] - point[0]) * t, (foot[1] - point[1]) * t
            yield ((point[0] + x, point[1] + y), (foot[0] + x, foot[1] + y)), False
        yield ((foot[0] - dx, foot[1] - dy), (foot[0] + dx, foot[1] + dy)), False


def _trace(points: Sequence[Point2], closed: bool) -> str:
    (x, y), *rest = points
    lines = "".join(f" {x:.2f} {y:.2f} l" for x, y in rest)
    return f"{x:.2f} {y:.2f} m{lines}{' h' if closed else ''}"


def _circle(centre: Point2, radius: float) -> str:
    x, y = centre
    reach = radius * _ROUND
    parts = [f"{x + radius:.2f} {y:.2f} m"]
    for turn in range(4):  # a quarter each: c, s turn (1, 0) by so many quarters
        c, s = (1, 0, -1, 0)[turn], (0, 1, 0, -1)[turn]
        handles = ((radius, reach), (reach, radius), (0.0, radius))
        parts.append(" ".join(f"{x + a * c - b * s:.2f} {y + a * s + b * c:.2f}" for a, b in handles) + " c")
    return " ".join((*parts, "h"))


def _words(pen: _Pen, by_layer: Mapping[str, Sequence[Item]]) -> list[str]:
    """Rims of all words, then the words."""
    said = [
        item.figure(pen.drawing) if isinstance(item, Dimension) else item
        for name in LAYERS
        for item in by_layer.get(name, ())
    ]
    texts = [item for item in said if isinstance(item, Text)]
    if not texts:
        return []
    put = [(text.height_mm * pen.factor, _word(pen, text)) for text in texts]
    rims = (f"{height / _RIM:.2f} w {word}" for height, word in put)
    words = (word for _, word in put)
    return [_NO_TEXT, "q 1 1 1 RG [] 0 d BT 1 Tr", *rims, "ET Q", "EMC", f"BT {_INK}", *words, "ET"]


def _word(pen: _Pen, item: Text) -> str:
    bold = item.layer in _BOLD_LAYERS
    height = item.height_mm * pen.factor
    words, size = plain(item.text), height / CAPITAL
    back = {"left": 0.0, "centre": 0.5, "right": 1.0}[item.align]
    back = back and back * width(words, size, bold)
    drop = height / 2.0 if item.middle else 0.0
    ((x, y),) = pen.place((item.at_mm,))
    c, s = cos(radians(item.angle_deg)), sin(radians(item.angle_deg))
    x, y = x - back * c + drop * s, y - back * s - drop * c
    return f"{c:.4f} {s:.4f} {-s:.4f} {c:.4f} {x:.2f} {y:.2f} Tm {pen.typed.shows(words, size, bold)}"


def _colour(colour: str, shade: float) -> str:
    return " ".join(f"{1.0 - (1.0 - int(colour[i : i + 2], 16) / 255.0) * shade:.3f}" for i in (1, 3, 5))
