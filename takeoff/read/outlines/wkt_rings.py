"""A file of well-known text (WKT) in projected coordinates -> its rings and lines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.read.outlines.drawing_bounds import GREATEST_BYTES, MOST_CORNERS, checked_paths, refuse_degrees

_SRID = re.compile(r"\s*SRID\s*=\s*(\d{1,9})\s*;", re.IGNORECASE)
_DEGREES = (4326, 4979, 4258, 4269, 4167, 4283, 7844)
_DEEPEST = 40  # brackets within brackets


def read_wkt(path: Path) -> RawDrawing:
    """Read a file of WKT geometries, one after the other, with or without SRID.

    Raises UnreadableFileError, with the line, for a missing, oversized or broken file, an SRID of degrees and
    coordinates in degrees.
    """
    data = read_bounded(path, GREATEST_BYTES, "drawing")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise UnreadableFileError(f"{path.name}: is no text; save it as WKT again") from None
    if text.count(",") > MOST_CORNERS:
        raise UnreadableFileError(f"{path.name}: more than {MOST_CORNERS:,} corners; save the outline alone")
    paths = checked_paths(path.name, _paths(path.name, text))
    return RawDrawing(path.name, "WKT", paths, "m", "map files are drawn in metres")


def _paths(name: str, text: str) -> Iterator[RawPath]:
    import numpy as np
    import shapely

    for line, words in _geometries(name, text):
        where = f"line {line}"
        srid = _SRID.match(words)
        try:
            with np.errstate(invalid="ignore"):  # figures that are none are told with their place
                shape = shapely.from_wkt(words[srid.end() :] if srid else words)
        except (shapely.errors.GEOSException, NotImplementedError, ValueError, TypeError) as err:
            why = " ".join(str(err).split())[:100]
            raise UnreadableFileError(f"{name}: {where} is no WKT geometry ({why}); save it again") from None
        found = list(_rings(name, where, shape))
        if srid and int(srid[1]) in _DEGREES and found:
            refuse_degrees(name, found[0].points[0])
        yield from found


def _geometries(name: str, text: str) -> Iterator[tuple[int, str]]:
    """Each geometry's text with the line it begins at: it goes on until its brackets are closed."""
    held, began, open_ones = "", 0, 0
    for number, line in enumerate(text.splitlines(), start=1):
        if not held and (not line.strip() or line.lstrip().startswith("#")):
            continue
        began = began if held else number
        held = f"{held} {line}" if held else line
        open_ones += line.count("(") - line.count(")")
        if open_ones > _DEEPEST:
            raise UnreadableFileError(f"{name}: line {number}: more than {_DEEPEST} brackets deep; save it again")
        if open_ones <= 0:
            yield began, held
            held, open_ones = "", 0
    if held:
        raise UnreadableFileError(f"{name}: line {began}: a bracket is never closed; save it again")


def _rings(name: str, where: str, shape: Any) -> Iterator[RawPath]:
    if shape.is_empty:
        return
    if shape.geom_type in ("MultiPolygon", "MultiLineString", "GeometryCollection"):
        for part in shape.geoms:
            yield from _rings(name, where, part)
    elif shape.geom_type == "Polygon":
        for ring in (shape.exterior, *shape.interiors):
            yield _path(where, ring, closed=True)
    elif shape.geom_type in ("LineString", "LinearRing"):
        yield _path(where, shape, closed=False)
    elif shape.geom_type not in ("Point", "MultiPoint"):
        raise UnreadableFileError(f"{name}: {where}: a {shape.geom_type} is not read; give a POLYGON")


def _path(where: str, line: Any, closed: bool) -> RawPath:
    return RawPath("", tuple((float(x), float(y)) for x, y, *_ in line.coords), closed, where=where)
