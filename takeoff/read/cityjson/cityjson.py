"""A CityJSON file (1.0, 1.1, 2.0, or a sequence of its features) -> the surfaces of one building or building part.

Nothing that a file refers to is opened: neither schemas of extensions nor textures. Files by the CityJSON
specifications 1.0.3, 1.1.3 and 2.0.1.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.faces import RawFaces, RawPart, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.read.cityjson.choice import Unit, chosen, units_of
from takeoff.read.cityjson.documents import documents
from takeoff.read.cityjson.surfaces import Surface, surfaces
from takeoff.read.cityjson.vertices import Vertices
from takeoff.read.faces_builder import FacesBuilder

_METRE_MM = 1000.0
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
    builder, at = FacesBuilder(path.name), Vertices(path, document)
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
            before = builder.crossed
            builder.add_polygon([[numbers[vertex] for vertex in ring] for ring in surface.rings], parts[kind])
            if builder.crossed > before and surface.stated is StatedPart.ROOF:
                raise ValueError("a roof surface crosses itself; mend the model")
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
