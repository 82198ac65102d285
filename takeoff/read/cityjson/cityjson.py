"""A CityJSON file (1.0, 1.1, 2.0, or a sequence of its features) -> the surfaces of one building or building part.

Nothing that a file refers to is opened: neither schemas of extensions nor textures. Files by the CityJSON
specifications 1.0.3, 1.1.3 and 2.0.1.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.vectors import Point3
from takeoff.model.faces import RawFaces, RawPart, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.read.cityjson.choice import Unit, chosen, units_of
from takeoff.read.cityjson.documents import documents
from takeoff.read.cityjson.surfaces import Surface, surfaces
from takeoff.read.faces_builder import FacesBuilder

_METRE_MM = 1000.0
_FURTHEST = 1e9  # from the origin of any grid of metres on earth
_IN_DEGREES = ("/4326", "/4979", "/4258", "/4269", "/4283", "/4167", "/7844", "crs84", "crs84h")
"""How names of the commonest systems of longitude and latitude end; others are told by the building's size."""
_LEAST_ACROSS = 0.05  # a building less than 50 mm across is measured in degrees


def read_cityjson(path: Path, shape_job: ShapeJob) -> RawFaces:
    """The surfaces of the building or part that the job means, in metres, z up, by what their semantics say.

    Raises UnreadableFileError for what is no CityJSON or is broken, in degrees or over the bounds; UndecidedError
    where the job must say which building, JobError where it names none of them or one without a roof.
    """
    found: list[tuple[Unit, dict[str, Any]]] = []
    for document in documents(path, shape_job.part):
        objects = document.get("CityObjects")
        if isinstance(objects, dict):
            found += [(unit, document) for unit in units_of(objects)]
    unit = chosen([one for one, _ in found], shape_job.part, path.name)
    document = next(document for one, document in found if one is unit)
    raw = _gathered(path, unit, document)
    _check_metres(path, document, raw)
    return raw


def _gathered(path: Path, unit: Unit, document: dict[str, Any]) -> RawFaces:
    builder, at = FacesBuilder(path.name), _Vertices(path, document)
    numbers: dict[int, int] = {}
    parts: dict[tuple[StatedPart, str], int] = {}
    try:
        for surface in surfaces(dict(unit.geometry or {})):
            kind = (surface.stated, surface.what)
            if kind not in parts:
                parts[kind] = builder.add_part(_part(unit, surface))
            for vertex in (vertex for ring in surface.rings for vertex in ring):
                if vertex not in numbers:
                    numbers[vertex] = builder.add_points([at[vertex]])
            builder.add_polygon([[numbers[vertex] for vertex in ring] for ring in surface.rings], parts[kind])
    except ValueError as err:
        raise UnreadableFileError(f"{path.name}: {unit.key}: a surface cannot be read: {err}") from None
    named = any(stated is StatedPart.ROOF for stated, _ in parts)
    findings = () if named else (_unnamed(path, unit),)
    return builder.done(stated_unit_mm=_METRE_MM, stated_up="z", findings=findings)


def _part(unit: Unit, surface: Surface) -> RawPart:
    return RawPart(f"{unit.key}/{surface.what or 'surfaces'}", unit.name, surface.stated, unit.key)


def _unnamed(path: Path, unit: Unit) -> Finding:
    text = (
        f"{path.name}: {unit.key}: the file does not say which surfaces are its roof (level of detail {unit.lod}, no "
        "semantics): roof and walls are told apart by how steep they are"
    )
    return Finding("roof-surfaces-unnamed", Severity.WARN, text, "check the planes against the drawing")


class _Vertices:
    """The vertices of a document in metres by their numbers, scaled and placed as its transform says.

    Raises UnreadableFileError for a transform of another kind, ValueError for vertices that are no points.
    """

    def __init__(self, path: Path, document: dict[str, Any]) -> None:
        vertices = document.get("vertices")
        self.vertices: Sequence[Any] = vertices if isinstance(vertices, list) else ()
        transform = document.get("transform")
        self.scale, self.translate = (1.0, 1.0, 1.0), (0.0, 0.0, 0.0)
        if transform is not None:
            try:
                self.scale, self.translate = _point(transform["scale"]), _point(transform["translate"])
            except (KeyError, TypeError, ValueError):
                raise UnreadableFileError(f"{path.name}: its transform is no scale and place; save it again") from None

    def __getitem__(self, number: int) -> Point3:
        if not 0 <= number < len(self.vertices):
            raise ValueError(f"vertex {number} does not exist, there are {len(self.vertices):,}")
        x, y, z = _point(self.vertices[number])
        (sx, sy, sz), (tx, ty, tz) = self.scale, self.translate
        placed = (x * sx + tx, y * sy + ty, z * sz + tz)
        if not all(abs(value) <= _FURTHEST for value in placed):
            raise ValueError(f"vertex {number} is absurdly far away")
        return placed


def _point(value: object) -> Point3:
    if not isinstance(value, list) or len(value) != 3 or not all(type(v) in (int, float) for v in value):
        raise ValueError("a vertex is not three figures")
    try:
        x, y, z = (float(v) for v in value)
    except OverflowError:
        raise ValueError("a vertex is absurdly far away") from None
    if not (isfinite(x) and isfinite(y) and isfinite(z)):
        raise ValueError("a vertex is not three figures")
    return (x, y, z)


def _check_metres(path: Path, document: dict[str, Any], raw: RawFaces) -> None:
    """Raises UnreadableFileError for coordinates in degrees, by their system's name or by the building's size."""
    metadata = document.get("metadata")
    system = metadata.get("referenceSystem") if isinstance(metadata, dict) else None
    named = isinstance(system, str) and system.lower().replace("::", "/").replace(":", "/").endswith(_IN_DEGREES)
    across = float((raw.points.max(axis=0) - raw.points.min(axis=0))[:2].max())
    if named or across < _LEAST_ACROSS:
        raise UnreadableFileError(
            f"{path.name}: its coordinates are in degrees of longitude and latitude, not in metres; save it in a "
            "projected system of metres"
        )
