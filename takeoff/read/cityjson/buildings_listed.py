"""The buildings and parts of a CityJSON file, each with its size: what a job can name."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.looked import LookedBody
from takeoff.read.cityjson.choice import Unit, units_of
from takeoff.read.cityjson.documents import documents
from takeoff.read.cityjson.surfaces import surfaces
from takeoff.read.cityjson.vertices import Vertices

_METRE_MM = 1000.0


def list_cityjson(path: Path) -> tuple[tuple[LookedBody, ...], tuple[str, ...]]:
    """Buildings and parts with a roof, the file's order kept, their keys as names; then why others have none. Raises
    UnreadableFileError as reading does."""
    found: list[LookedBody] = []
    without: list[str] = []
    for document in documents(path, None):
        objects = document.get("CityObjects")
        for unit in units_of(objects) if isinstance(objects, dict) else ():
            if unit.geometry is None:
                without.append(f"{unit.key} {unit.why_not}")
            else:
                found.append(_body(path, len(found) + 1, unit, document))
    return tuple(found), tuple(without)


def _body(path: Path, number: int, unit: Unit, document: dict[str, Any]) -> LookedBody:
    try:
        points, count = _points(path, unit, document)
    except ValueError as err:
        raise UnreadableFileError(f"{path.name}: {unit.key}: a surface cannot be read: {err}") from None
    spans = [max(p[k] for p in points) - min(p[k] for p in points) if points else 0.0 for k in range(3)]
    size = (max(spans[:2]) * _METRE_MM, min(spans[:2]) * _METRE_MM, spans[2] * _METRE_MM)
    low = min((p[2] for p in points), default=0.0) * _METRE_MM
    words = [unit.name, "" if unit.key == unit.building else f"part of {unit.building}", f"level of detail {unit.lod}"]
    return LookedBody(number, unit.key, ", ".join(word for word in words if word), size, low, count)


def _points(path: Path, unit: Unit, document: dict[str, Any]) -> tuple[list[tuple[float, float, float]], int]:
    at, count = Vertices(path, document), 0
    numbers: set[int] = set()
    for surface in _surfaces(unit):
        count += 1
        numbers.update(surface)
    return [at[number] for number in numbers], count


def _surfaces(unit: Unit) -> Iterator[list[int]]:
    for surface in surfaces(dict(unit.geometry or {})):
        yield [corner for ring in surface.rings for corner in ring]
