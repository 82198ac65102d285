"""A drawing as a layered record: lines, polylines, circles, fills, texts and dimensions, all in real mm, y up.

What stands on a drawing is decided where it is drawn (roof plan, sheet layout, elevation); the backends put the record
into a format and decide nothing. Sizes that belong to paper (letters, arrows, gaps) are given in paper mm and
multiplied by the scale once, by `Sketch`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from math import atan2, cos, degrees, hypot, radians, sin

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.words.words import whole

# letter heights on paper [mm], ISO 3098 series; 2.5 mm capitals are a 10 point letter, the least read at arm's length
SMALL_MM, NORMAL_MM, LARGE_MM, TITLE_MM = 2.5, 3.5, 5.0, 7.0
# widths of letters in capital heights: a little more than any common sans serif face takes
_CAPITAL, _OTHER, _THIN, _THIN_LETTERS = 1.06, 0.88, 0.47, " .,:;'ijl"
_WIDE, _WIDE_LETTERS = 1.36, "MWm%@"


class Shows(StrEnum):
    """What a drawing shows, for whoever chooses among them."""

    ROOF = "roof"
    SECTIONS = "sections"
    WALLS = "walls"


@record
class Line:
    """A straight line [mm]."""

    layer: str
    a_mm: Point2
    b_mm: Point2


@record
class Polyline:
    """Joined lines, closed or open [mm]."""

    layer: str
    points_mm: Ring2
    closed: bool = True


@record
class Circle:
    """A circle [mm]."""

    layer: str
    at_mm: Point2
    radius_mm: float


@record
class Fill:
    """A solid fill, outer ring then holes [mm]; `shade` 0 is white, 1 the layer's colour."""

    layer: str
    rings_mm: tuple[Ring2, ...]
    shade: float = 1.0


@record
class Text:
    """One line of text. `height_mm` is that of capitals; `at_mm` is the anchor: `align` left, centre or right, and the
    middle of the capitals when `middle`, else the base line."""

    layer: str
    at_mm: Point2
    text: str
    height_mm: float
    angle_deg: float = 0.0
    align: str = "left"
    middle: bool = False


@record
class Dimension:
    """The distance between `a_mm` and `b_mm`, on a line through `through_mm`, along `angle_deg` (0 level, 90 upright,
    or the direction from a to b)."""

    layer: str
    a_mm: Point2
    b_mm: Point2
    through_mm: Point2
    angle_deg: float

    @property
    def measured_mm(self) -> float:
        """What the dimension says [mm]."""
        along = radians(self.angle_deg)
        return abs((self.b_mm[0] - self.a_mm[0]) * cos(along) + (self.b_mm[1] - self.a_mm[1]) * sin(along))

    def feet(self) -> tuple[Point2, Point2]:
        """Where the extension lines of a and b meet the dimension line [mm]."""
        along = (cos(radians(self.angle_deg)), sin(radians(self.angle_deg)))

        def foot(point: Point2) -> Point2:
            reach = (point[0] - self.through_mm[0]) * along[0] + (point[1] - self.through_mm[1]) * along[1]
            return self.through_mm[0] + reach * along[0], self.through_mm[1] + reach * along[1]

        return foot(self.a_mm), foot(self.b_mm)

    def figure(self, drawing: Drawing) -> Text:
        """The figure over the middle of the dimension line."""
        along = radians(self.angle_deg)
        lift = (drawing.text_mm / 2.0 + 1.0) * drawing.scale
        (ax, ay), (bx, by) = self.feet()
        middle = ((ax + bx) / 2.0 - lift * sin(along), (ay + by) / 2.0 + lift * cos(along))
        height = drawing.text_mm * drawing.scale
        return Text(self.layer, middle, whole(self.measured_mm), height, self.angle_deg, "centre", True)


Item = Line | Polyline | Circle | Fill | Text | Dimension
Box = tuple[float, float, float, float]  # least x, least y, greatest x, greatest y


@record
class Drawing:
    """A drawing on paper at a scale. `corner_mm` is the lower left corner of the paper in drawing coordinates;
    `paper_mm` its width and height on paper; `text_mm` the letter height of dimensions on paper; `of` what it shows;
    `parts_mm` what of it a paper may show by itself, beside words of its own."""

    name: str
    title: str
    scale: int
    paper_mm: tuple[float, float]
    corner_mm: Point2
    items: tuple[Item, ...]
    text_mm: float = SMALL_MM
    parts_mm: tuple[Box, ...] = ()
    of: Shows = Shows.ROOF


@dataclass(slots=True)
class Sketch:
    """Items being drawn at a scale: sizes given in paper mm become real mm here."""

    scale: int
    items: list[Item] = field(default_factory=list)

    def paper(self, paper_mm: float) -> float:
        """A size on paper in drawing mm."""
        return paper_mm * self.scale

    def line(self, layer: str, a: Point2, b: Point2) -> None:
        """A line between two points [mm]."""
        self.items.append(Line(layer, a, b))

    def ring(self, layer: str, points: Sequence[Point2], closed: bool = True) -> None:
        """A closed ring, or an open polyline [mm]."""
        self.items.append(Polyline(layer, tuple(points), closed))

    def fill(self, layer: str, rings: Iterable[Sequence[Point2]], shade: float) -> None:
        """A fill, outer ring first [mm]."""
        self.items.append(Fill(layer, tuple(tuple(ring) for ring in rings), shade))

    def circle(self, layer: str, at: Point2, radius_paper_mm: float) -> None:
        """A circle of a paper radius."""
        self.items.append(Circle(layer, at, self.paper(radius_paper_mm)))

    def text(
        self,
        layer: str,
        at: Point2,
        text: str,
        paper_mm: float,
        angle: float = 0.0,
        align: str = "left",
        middle: bool = False,
    ) -> None:
        """A line of text with capitals `paper_mm` high on paper."""
        self.items.append(Text(layer, at, text, self.paper(paper_mm), angle, align, middle))

    def dimension(self, a: Point2, b: Point2, through: Point2, angle: float) -> None:
        """A dimension between two points on a line through a third."""
        self.items.append(Dimension("DIM", a, b, through, angle))

    def arrow(self, layer: str, a: Point2, b: Point2, head_paper_mm: float = 3.0) -> None:
        """A line from a to b with a filled head at b."""
        length = hypot(b[0] - a[0], b[1] - a[1])
        if length == 0.0:
            return
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        head = self.paper(head_paper_mm)
        back = (b[0] - ux * head, b[1] - uy * head)
        wing = head / 3.0
        self.line(layer, a, back)
        ring = (b, (back[0] - uy * wing, back[1] + ux * wing), (back[0] + uy * wing, back[1] - ux * wing))
        self.fill(layer, (ring,), 1.0)


def text_width(text: str, height: float) -> float:
    """Width of a text letter by letter [unit of `height`, the height of capitals]: room it never goes past."""
    return height * _width(text)


@lru_cache(maxsize=4096)
def _width(text: str) -> float:
    """The letters of a text of height 1; the same few words are tried at many places."""
    return sum(map(_letter_width, text))


@lru_cache(maxsize=512)
def _letter_width(letter: str) -> float:
    if letter in _WIDE_LETTERS:
        return _WIDE
    return _CAPITAL if letter.isupper() else _THIN if letter in _THIN_LETTERS else _OTHER


def readable_angle(a: Point2, b: Point2) -> float:
    """Direction from a to b turned so that text on it is not upside down: over -90 up to 90 [degrees]."""
    angle = degrees(atan2(b[1] - a[1], b[0] - a[0]))
    if angle > 90.0 + 1e-6:
        angle -= 180.0
    elif angle <= -90.0 + 1e-6:
        angle += 180.0
    return angle


def bounds(points: Iterable[Point2]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y. Raises ValueError for no points."""
    (low_x, low_y), *rest = points
    high_x, high_y = low_x, low_y
    for x, y in rest:  # asked for ten thousands of boxes of four corners: quicker than four looks through columns
        if x < low_x:
            low_x = x
        elif x > high_x:
            high_x = x
        if y < low_y:
            low_y = y
        elif y > high_y:
            high_y = y
    return low_x, low_y, high_x, high_y
