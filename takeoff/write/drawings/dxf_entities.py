"""The items of a drawing as entities of a DXF file: tags of code and value, as the DXF library writes them.

An entity has a handle, counted up through the file. A dimension has more: its picture is a block of its own, which
plain readers show as it is, and the first brings the block of the tick at both its ends.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import cos, radians, sin

from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text, text_width
from takeoff.write.drawings.dxf_dimensions import Drawn, drawn
from takeoff.write.words.words import plain

STYLE = "TAKEOFF"  # of dimensions
LETTERS = "ISO"  # style of letters: readers with stroked fonts of their own go by this name, others by the face
_SHARE = 0.88  # of the room kept for a text, taken by it in the common faces
SOLID_CORNERS = 4  # most corners of a solid
_SPACE = "17"  # handle of the space that is drawn in
_TICK = "_OBLIQUE"  # block of the stroke at the ends of a dimension line
_ALIGNED = {"left": "", "centre": " 72\n1\n", "right": " 72\n2\n"}


@dataclass(slots=True)
class Entities:
    """The entities of one drawing while they are written: texts of block records, blocks and entities, and the next
    free handle."""

    drawing: Drawing
    handle: int
    records: list[str] = field(default_factory=list)
    blocks: list[str] = field(default_factory=list)
    entities: list[str] = field(default_factory=list)
    dimensions: int = 0
    tick: bool = False  # whether its block is there

    @property
    def block_count(self) -> int:
        """How many blocks the dimensions brought."""
        return self.dimensions + self.tick

    def add(self, item: Item) -> None:
        """Write one item."""
        match item:
            case Dimension():
                self._dimension(item)
            case Fill():
                self.entities += [made(f"{self._next():X}", _SPACE) for made in _fill(item)]
            case _:
                self.entities.append(_plain_entity(item, f"{self._next():X}"))

    def _next(self) -> int:
        self.handle += 1
        return self.handle - 1

    def _dimension(self, item: Dimension) -> None:
        """A dimension, and the block with its picture. Handles go in the order in which the library makes the parts;
        those that it makes and does not write (an end after each tick, a text that is replaced) are passed over."""
        self.dimensions += 1
        name = f"*D{self.dimensions}"
        shape = drawn(item, self.drawing.scale, self.drawing.text_mm)
        entity = f"{self._next():X}"
        record, begin, end = self._block(name)
        lines = [_line("0", a, b, f"{self._next():X}", record) for a, b in shape.extensions]
        tick_block: tuple[str, ...] = ()
        if not self.tick:
            self.tick = True
            tick_record, tick_begin, tick_end = self._block(_TICK)
            tick_block = (_begin(_TICK, tick_begin, tick_record, 0), _tick_line(f"{self._next():X}", tick_record),
                          _end(tick_end, tick_record))  # fmt: skip
        size = 2.0 * shape.tick_mm
        for at in (shape.start, shape.end):
            lines.append(_tick(item, at, size, f"{self._next():X}", record))
            self._next()
        lines.append(_line("0", shape.start, shape.end, f"{self._next():X}", record))
        self._next()
        for at in (shape.start, item.a_mm, item.b_mm):
            lines.append(_point(at, f"{self._next():X}", record))
        figure = item.figure(self.drawing)
        words = Text(item.layer, shape.text_at, shape.words, shape.letter_mm, item.angle_deg, "centre", True)
        lines.append(_text(words, f"{self._next():X}", record, lower_left(figure), shape.words))
        self.blocks += [_begin(name, begin, record, 1), *lines, _end(end, record), *tick_block]
        self.entities.append(_dimension_entity(item, shape, name, entity))

    def _block(self, name: str) -> tuple[str, str, str]:
        """Handles of a new block: of its record, its beginning and its end."""
        record, begin, end = (f"{self._next():X}" for _ in range(3))
        self.records.append(
            f"  0\nBLOCK_RECORD\n  5\n{record}\n330\n9\n100\nAcDbSymbolTableRecord\n100\nAcDbBlockTableRecord\n"
            f"  2\n{name}\n340\n0\n 70\n0\n280\n1\n281\n0\n"
        )
        return record, begin, end


def _plain_entity(item: Line | Polyline | Circle | Text, handle: str) -> str:
    match item:
        case Line():
            return _line(item.layer, item.a_mm, item.b_mm, handle, _SPACE)
        case Polyline():
            return _polyline(item.layer, item.points_mm, item.closed, handle, _SPACE)
        case Circle():
            return (
                f"{_head('CIRCLE', handle, _SPACE, item.layer)}100\nAcDbCircle\n{_at(0, item.at_mm)}"
                f" 40\n{float(item.radius_mm)}\n"
            )
        case Text():
            plainly = (item.align, item.middle) == ("left", False)
            begins = item.at_mm if plainly else lower_left(item)
            return _text(item, handle, _SPACE, begins, dxf_words(item.text))


def _fill(item: Fill) -> list[Callable[[str, str], str]]:
    """A full fill of a few corners as a solid, a light one as its outline; planes have their edges drawn already."""
    if item.shade >= 1.0 and len(item.rings_mm) == 1 and len(item.rings_mm[0]) <= SOLID_CORNERS:
        a, b, c, *d = item.rings_mm[0]
        # corners of a solid go in a Z
        corners = (a, b, d[0], c) if d else (a, b, c, c)
        return [lambda handle, owner: _solid(item.layer, corners, handle, owner)]
    if item.layer == "ROOF-PLANE":
        return []
    return [
        lambda handle, owner, ring=ring: _polyline(item.layer, ring, True, handle, owner)  # type: ignore[misc]
        for ring in item.rings_mm
    ]


def _head(kind: str, handle: str, owner: str, layer: str) -> str:
    return f"  0\n{kind}\n  5\n{handle}\n330\n{owner}\n100\nAcDbEntity\n  8\n{layer}\n"


def _at(number: int, point: Point2) -> str:
    """A point in the level plane, as the tags of point `number` of an entity."""
    return f" 1{number}\n{float(point[0])}\n 2{number}\n{float(point[1])}\n 3{number}\n0.0\n"


def _line(layer: str, a: Point2, b: Point2, handle: str, owner: str) -> str:
    return f"{_head('LINE', handle, owner, layer)}100\nAcDbLine\n{_at(0, a)}{_at(1, b)}"


def _polyline(layer: str, ring: Ring2 | Sequence[Point2], closed: bool, handle: str, owner: str) -> str:
    corners = "".join([f" 10\n{float(x)}\n 20\n{float(y)}\n" for x, y in ring])
    head = _head("LWPOLYLINE", handle, owner, layer)
    return f"{head}100\nAcDbPolyline\n 90\n{len(ring)}\n 70\n{int(closed)}\n{corners}"


def _solid(layer: str, corners: Sequence[Point2], handle: str, owner: str) -> str:
    places = "".join(_at(i, corner) for i, corner in enumerate(corners))
    return f"{_head('SOLID', handle, owner, layer)}100\nAcDbTrace\n{places}"


def _text(item: Text, handle: str, owner: str, begins: Point2, words: str) -> str:
    turn = f" 50\n{float(item.angle_deg)}\n" if item.angle_deg else ""
    middle = " 73\n2\n" if item.middle else ""
    return (
        f"{_head('TEXT', handle, owner, item.layer)}100\nAcDbText\n{_at(0, begins)} 40\n{float(item.height_mm)}\n"
        f"  1\n{words}\n{turn}  7\n{LETTERS}\n{_ALIGNED[item.align]}{_at(1, item.at_mm)}100\nAcDbText\n{middle}"
    )


def _point(at: Point2, handle: str, owner: str) -> str:
    return f"{_head('POINT', handle, owner, 'Defpoints')}100\nAcDbPoint\n{_at(0, at)}"


def _tick(item: Dimension, at: Point2, size_mm: float, handle: str, owner: str) -> str:
    turn = f" 50\n{float(item.angle_deg)}\n" if item.angle_deg else ""
    return (
        f"{_head('INSERT', handle, owner, item.layer)}100\nAcDbBlockReference\n  2\n{_TICK}\n{_at(0, at)}"
        f" 41\n{size_mm}\n 42\n{size_mm}\n{turn}"
    )


def _tick_line(handle: str, owner: str) -> str:
    """The stroke, half a unit to either side, in the colour and line of what it is put into."""
    head = _head("LINE", handle, owner, "0")
    return f"{head}  6\nBYBLOCK\n 62\n0\n100\nAcDbLine\n{_at(0, (-0.5, -0.5))}{_at(1, (0.5, 0.5))}"


def _begin(name: str, handle: str, owner: str, unnamed: int) -> str:
    head = _head("BLOCK", handle, owner, "0")
    return f"{head}100\nAcDbBlockBegin\n  2\n{name}\n 70\n{unnamed}\n{_at(0, (0.0, 0.0))}  3\n{name}\n  1\n\n"


def _end(handle: str, owner: str) -> str:
    return f"{_head('ENDBLK', handle, owner, '0')}100\nAcDbBlockEnd\n"


def _dimension_entity(item: Dimension, shape: Drawn, block: str, handle: str) -> str:
    return (
        f"{_head('DIMENSION', handle, _SPACE, item.layer)}100\nAcDbDimension\n280\n0\n  2\n{block}\n  3\n{STYLE}\n"
        f"{_at(0, shape.start)}{_at(1, shape.text_at)} 70\n32\n 71\n5\n  1\n<>\n100\nAcDbAlignedDimension\n"
        f"{_at(3, item.a_mm)}{_at(4, item.b_mm)} 50\n{float(item.angle_deg)}\n100\nAcDbRotatedDimension\n"
    )


def lower_left(item: Text) -> Point2:
    """Where a text begins, as wide as it is in the common faces: for readers that place no text by its middle or end.
    Those that do work this point out anew."""
    long = text_width(item.text, item.height_mm) * _SHARE
    x = {"left": 0.0, "centre": -long / 2.0, "right": -long}[item.align]
    y = -item.height_mm / 2.0 if item.middle else 0.0
    c, s = cos(radians(item.angle_deg)), sin(radians(item.angle_deg))
    return item.at_mm[0] + x * c - y * s, item.at_mm[1] + x * s + y * c


def dxf_words(text: str) -> str:
    """A text fit for a DXF line: two percent signs begin a control code there, a caret a control character."""
    return plain(text).replace("%%", "% %").replace("^", "^ ")
