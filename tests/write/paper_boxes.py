"""What stands where on a printed drawing: boxes round its words, and the lines that words must keep off.

Widths are the advance widths of the two faces that a sans serif text most often comes out in, in thousandths of the
size of the letter: the core font metrics for Helvetica (from memory; Arial and Liberation Sans share them), and those
of DejaVu Sans, read from the face itself. Of the two, the wider counts. A letter that is in neither table takes as much
as a wide one, an accented one as much as its base letter.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from math import cos, hypot, radians, sin

from shapely import LineString, Point, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from takeoff.basics.vectors import Point2
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Line, Polyline, Text

OVERLAP_MM = 0.2  # on paper; less is no fault
_HELVETICA = {
    222: "'ijl",
    260: "|",
    278: " !,./:;I[\\]ft",
    333: "()-`r",
    355: '"',
    389: "*",
    400: "°",
    500: "Jcksvxyz",
    556: "#$0123456789?L_abdeghnopqu",
    584: "+<=>~",
    611: "FTZ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    889: "%",
    944: "W",
    1015: "@",
}
_DEJAVU = {
    275: "'",
    278: "ijl",
    295: "IJ",
    318: " ,.",
    337: "/:;\\|",
    352: "f",
    361: "-",
    390: "()[]",
    392: "t",
    401: "!²",
    411: "r",
    460: '"',
    500: "*_`°",
    521: "s",
    525: "z",
    531: "?",
    550: "c",
    557: "L",
    575: "F",
    579: "k",
    592: "vxy",
    603: "P",
    611: "TY",
    612: "o",
    613: "a",
    615: "e",
    632: "E",
    634: "hnu",
    635: "Sbdgpq",
    636: "$0123456789{}",
    656: "K",
    684: "AV",
    685: "XZ",
    686: "B",
    695: "R",
    698: "C",
    732: "U",
    748: "N",
    752: "H",
    770: "D",
    775: "G",
    780: "&",
    787: "OQ",
    818: "w",
    838: "#+<=>^~",
    863: "M",
    950: "%",
    974: "m",
    989: "W",
    1000: "@",
}


def _each(widths: dict[int, str], capital: float) -> dict[str, float]:
    return {letter: width / 1000.0 / capital for width, letters in widths.items() for letter in letters}


_IN_CAPITALS = (_each(_HELVETICA, 0.718), _each(_DEJAVU, 0.729))  # height of capitals over the size of the letter

# lines that say what is built, cut or measured; wall line, boards, battens and light fills may run under words
MATTER = frozenset(
    [
        *("ROOF-EAVE", "ROOF-VERGE", "ROOF-RIDGE", "ROOF-HIP", "ROOF-VALLEY", "ROOF-HEAD", "ROOF-APRON"),
        *("ROOF-CHANGE", "ROOF-GUTTER", "ROOF-OPENING", "GUTTER", "DOWNPIPE", "EDGE-NUMBER", "FALL-ARROW"),
        *("PURLIN-ROW", "PURLIN-JOINT", "SHEET-OUTLINE", "SHEET-SIDE", "LAY-ARROW", "START-LINE"),
        *(
            "WALL-OUTLINE",
            "WALL-OPENING",
            "WALL-DETAIL",
            "WALL-MARK",
            "WALL-BOARD-JOINT",
            "GROUND",
            "FOLD-SECTION",
            "DIM",
            "TITLE",
        ),
        *("OUTRIGGER", "VALLEY-BOARD", "PURLIN-TRIMMER", "HOLD"),
    ]
)


@dataclass(frozen=True, slots=True)
class Clash:
    """Words over other words, or over a line that matters; `what` is the other's words or its layer."""

    drawing: str
    words: str
    layer: str
    what: str
    other: str


def width(text: str, height: float) -> float:
    """Width of a line of text whose capitals are `height` high."""
    letters = [x for x in unicodedata.normalize("NFD", text) if not unicodedata.combining(x)]
    return max(sum(face.get(x, 1.2) for x in letters) for face in _IN_CAPITALS) * height


def box(item: Text) -> Polygon:
    """The box round the capitals of a text [mm]."""
    long = width(item.text, item.height_mm)
    left = {"left": 0.0, "centre": -long / 2.0, "right": -long}[item.align]
    foot = -item.height_mm / 2.0 if item.middle else 0.0
    c, s = cos(radians(item.angle_deg)), sin(radians(item.angle_deg))
    corners = ((left, foot), (left + long, foot), (left + long, foot + item.height_mm), (left, foot + item.height_mm))
    return Polygon([(item.at_mm[0] + x * c - y * s, item.at_mm[1] + x * s + y * c) for x, y in corners])


def texts(drawing: Drawing) -> Iterator[Text]:
    """Every line of text, the figures of dimensions with them."""
    for item in drawing.items:
        if isinstance(item, Text) and item.text.strip():
            yield item
        elif isinstance(item, Dimension):
            yield item.figure(drawing)


def lines(drawing: Drawing, matter: Collection[str] = MATTER) -> Iterator[tuple[str, BaseGeometry]]:
    """Every line that matters."""
    for item in drawing.items:
        if item.layer not in matter:
            continue
        if isinstance(item, Line):
            yield item.layer, LineString([item.a_mm, item.b_mm])
        elif isinstance(item, Polyline):
            points = (*item.points_mm, item.points_mm[0]) if item.closed else item.points_mm
            yield item.layer, LineString(points)
        elif isinstance(item, Circle):
            yield item.layer, Point(item.at_mm).buffer(item.radius_mm).exterior
        elif isinstance(item, Dimension):
            feet = item.feet()
            yield item.layer, LineString(feet)
            for point, foot in zip((item.a_mm, item.b_mm), feet, strict=True):
                if (line := _extension(point, foot, drawing.scale)) is not None:
                    yield item.layer, line


def _extension(point: Point2, foot: Point2, scale: int) -> BaseGeometry | None:
    far = hypot(foot[0] - point[0], foot[1] - point[1])
    if far <= scale:
        return None
    t = scale / far
    return LineString([(point[0] + (foot[0] - point[0]) * t, point[1] + (foot[1] - point[1]) * t), foot])


def clashes(drawing: Drawing, matter: Collection[str] = MATTER) -> list[Clash]:
    """Words that lie over words or over lines that matter by more than the overlap [mm on paper]."""
    words = list(texts(drawing))
    half = -OVERLAP_MM / 2.0 * drawing.scale
    boxes = [box(item).buffer(half, join_style="mitre") for item in words]
    found = [
        Clash(drawing.name, words[i].text, words[i].layer, words[j].text, words[j].layer)
        for i, j in _pairs(boxes, boxes)
        if i < j
    ]
    drawn = list(lines(drawing, matter))
    deep = [shape.buffer(half, join_style="mitre") for shape in boxes]
    found += [
        Clash(drawing.name, words[i].text, words[i].layer, "line", drawn[j][0])
        for i, j in _pairs(deep, [line for _, line in drawn])
    ]
    return found


def _pairs(some: list[BaseGeometry], others: list[BaseGeometry]) -> Iterable[tuple[int, int]]:
    if not some or not others:
        return []
    hits = STRtree(others).query(some, predicate="intersects")
    return [(int(i), int(j)) for i, j in hits.T if not some[i].is_empty and not others[j].is_empty]
