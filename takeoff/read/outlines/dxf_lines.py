"""A DXF drawing -> its lines, arcs, circles and polylines in plan, blocks resolved, by layer.

Reads only: which lines make a ring, in which unit, is decided later. Nothing that the drawing refers to is opened.
"""

from __future__ import annotations

import re
import struct
from collections import Counter
from collections.abc import Iterator
from io import StringIO
from itertools import islice
from math import radians, tan
from pathlib import Path
from typing import TYPE_CHECKING, Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.basics.vectors import Point2
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.read.outlines.drawing_bounds import GREATEST_BYTES, MOST_PATHS, checked_paths

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"
_ENTITY = re.compile(rb"(?:^|\n)[ \t]*0[ \t]*\r?\n[ \t]*[A-Z0-9_]*[A-Z]")
_CODEPAGE = re.compile(rb"\$DWGCODEPAGE\s+3\s+([A-Za-z0-9_]+)")
_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}  # $INSUNITS of the DXF reference
_DEEPEST = 12  # blocks within blocks
_FLAT = 1e-9
# what a broken file makes the reading library raise
_BROKEN = (ArithmeticError, AttributeError, LookupError, MemoryError, OSError, RecursionError, TypeError, ValueError)
# no shapes: words, signs and dimensions
_WORDS = frozenset(("TEXT", "MTEXT", "ATTDEF", "ATTRIB", "DIMENSION", "LEADER", "MULTILEADER", "POINT", "VIEWPORT"))


def read_dxf(path: Path) -> RawDrawing:
    """Read a DXF file, text or binary, any version. `left_out` counts kinds of curves and faces that are not read.

    Raises UnreadableFileError for a missing, oversized or broken file, blocks that hold themselves, more entities than
    are read, figures that are no numbers, coordinates in degrees, and a drawing without lines.
    """
    data = read_bounded(path, GREATEST_BYTES, "drawing")
    document = _document(path.name, data)
    left_out: Counter[str] = Counter()
    try:
        stated = document.header.get("$INSUNITS") if _states_unit(data) else None
        paths = checked_paths(path.name, _paths(path.name, document, left_out))
    except UnreadableFileError:
        raise
    except (*_BROKEN, _library_errors()) as err:
        raise _broken(path.name, err) from None
    unit = _UNITS.get(stated, "") if isinstance(stated, int) else ""
    return RawDrawing(
        came_from=path.name,
        kind="DXF",
        paths=paths,
        unit=unit,
        unit_words=f"its header says {unit}" if unit else "",
        left_out=tuple(sorted(left_out.items())),
    )


def _document(name: str, data: bytes) -> Drawing:
    if data[:4] == b"AC10":
        raise UnreadableFileError(f"{name}: is a DWG drawing, which is not read; save it as DXF")
    if data[: len(_BINARY)] != _BINARY:
        count = sum(1 for _ in islice(_ENTITY.finditer(data), MOST_PATHS + 1))
        if count > MOST_PATHS:
            raise UnreadableFileError(
                f"{name}: more than the {MOST_PATHS:,} entities that are read; save the outline's layer alone"
            )
    # loading the library takes longer than taking off a house: only jobs with a drawing pay for it
    import ezdxf
    from ezdxf.document import Drawing as Document
    from ezdxf.lldxf.tagger import binary_tags_loader

    try:
        if data[: len(_BINARY)] == _BINARY:
            return Document.load(_bounded_tags(name, binary_tags_loader(data)))
        return ezdxf.read(StringIO(_text(data)))  # type: ignore[attr-defined]
    except UnreadableFileError:
        raise
    except (*_BROKEN, struct.error, _library_errors()) as err:
        raise _broken(name, err) from None


def _bounded_tags(name: str, tags: Any) -> Iterator[Any]:
    """Tags of a binary drawing as they come, stopped where there are more entities than are read."""
    count = 0
    for tag in tags:
        count += tag.code == 0
        if count > MOST_PATHS:
            raise UnreadableFileError(
                f"{name}: more than {MOST_PATHS:,} entities; save the outline's layer alone, as text"
            )
        yield tag


def _library_errors() -> type[Exception]:
    from ezdxf.lldxf.const import DXFError

    return DXFError


def _broken(name: str, err: BaseException) -> UnreadableFileError:
    why = " ".join(str(err).split())[:120]
    return UnreadableFileError(f"{name}: cannot be read as a DXF drawing ({why or type(err).__name__}); save it again")


def _text(data: bytes) -> str:
    """A text drawing's letters: UTF-8, else the code page that its header names, else Latin-1."""
    for encoding in ("utf-8-sig", _codepage(data), "latin-1"):
        try:
            return data.decode(encoding).replace("\r\n", "\n")
        except (UnicodeDecodeError, LookupError):
            continue
    return ""


def _codepage(data: bytes) -> str:
    found = _CODEPAGE.search(data[:20_000])
    return found[1].decode("ascii").lower().replace("ansi_", "cp") if found else "cp1252"


def _states_unit(data: bytes) -> bool:
    """Whether the header holds a unit: the reading library puts one of its own where there is none."""
    return b"$INSUNITS" in data


def _paths(name: str, document: Drawing, left_out: Counter[str]) -> Iterator[RawPath]:
    budget = [MOST_PATHS]
    for entity in document.modelspace():
        yield from _entity(name, entity, entity.dxf.get("layer", "0"), (), budget, left_out)


def _entity(
    name: str, entity: Any, layer: str, blocks: tuple[str, ...], budget: list[int], left_out: Counter[str]
) -> Iterator[RawPath]:
    """Paths of one entity; those of a block through its INSERT, on its layer where they are drawn on layer 0."""
    _spend(name, budget, 1)
    kind = entity.dxftype()
    if kind == "INSERT":
        block = str(entity.dxf.get("name", ""))
        if block in blocks or len(blocks) >= _DEEPEST:
            chain = " in ".join((*blocks, block))[:120]
            raise UnreadableFileError(f"{name}: blocks hold themselves or lie too deep ({chain}); explode them")
        _spend(name, budget, entity.mcount)  # rows and columns of it, before the first is made
        for placed in entity.multi_insert() if entity.mcount > 1 else (entity,):
            for part in placed.virtual_entities():
                own = part.dxf.get("layer", "0")
                yield from _entity(name, part, layer if own == "0" else own, (*blocks, block), budget, left_out)
        return
    made = _READERS[kind](entity, layer) if kind in _READERS else None
    if made is not None:
        yield made
    elif kind not in _WORDS:
        left_out[kind] += 1


def _spend(name: str, budget: list[int], count: int) -> None:
    """Raises UnreadableFileError where blocks make more entities than are read."""
    budget[0] -= count
    if budget[0] < 0:
        raise UnreadableFileError(
            f"{name}: its blocks make more than {MOST_PATHS:,} entities; save the outline's layer alone"
        )


def _where(entity: Any) -> str:
    handle = entity.dxf.get("handle")
    return f"{entity.dxftype()} {handle}" if handle else f"{entity.dxftype()} of a block"


def _line(entity: Any, layer: str) -> RawPath | None:
    a, b = entity.dxf.start, entity.dxf.end
    return RawPath(layer, ((a.x, a.y), (b.x, b.y)), False, where=_where(entity))


def _facing(entity: Any) -> int:
    """1 for what is drawn seen from above, -1 from below, 0 for what does not lie in plan."""
    x, y, z = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
    return 0 if abs(x) > _FLAT or abs(y) > _FLAT else 1 if z > 0 else -1


def _bowed(entity: Any, layer: str, points: list[Point2], bulges: list[float], closed: bool) -> RawPath | None:
    """A path whose corners are in the entity's own axes; drawn from below, its x is turned over."""
    side = _facing(entity)
    if side == 0 or len(points) < 2:
        return None
    turned = tuple((side * x, y) for x, y in points)
    bowed = tuple(side * bulge for bulge in bulges) if any(bulges) else ()
    return RawPath(layer, turned, closed, bowed, _where(entity))


def _arc(entity: Any, layer: str) -> RawPath | None:
    sweep = (entity.dxf.end_angle - entity.dxf.start_angle) % 360.0
    if sweep == 0.0:
        return _circle(entity, layer)
    a, b = entity.start_point, entity.end_point
    side = _facing(entity)
    if side == 0:
        return None
    return RawPath(layer, ((a.x, a.y), (b.x, b.y)), False, (side * tan(radians(sweep) / 4.0),), _where(entity))


def _circle(entity: Any, layer: str) -> RawPath | None:
    (x, y, _), r = entity.dxf.center, entity.dxf.radius
    return _bowed(entity, layer, [(x - r, y), (x + r, y)], [1.0, 1.0], True)


def _lwpolyline(entity: Any, layer: str) -> RawPath | None:
    corners = [(float(x), float(y), float(b)) for x, y, b in entity.get_points("xyb")]
    return _bowed(entity, layer, [(x, y) for x, y, _ in corners], [b for _, _, b in corners], bool(entity.closed))


def _polyline(entity: Any, layer: str) -> RawPath | None:
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        return None
    # points that only steer a spline are none of its own
    corners = [vertex for vertex in entity.vertices if not vertex.dxf.flags & 16]
    points = [(float(vertex.dxf.location.x), float(vertex.dxf.location.y)) for vertex in corners]
    bulges = [float(vertex.dxf.get("bulge", 0.0)) for vertex in corners] if entity.is_2d_polyline else []
    return _bowed(entity, layer, points, bulges, bool(entity.is_closed))


_READERS = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
}
