"""Opens an IFC file with the reading library, in a process of its own, and writes down what it holds.

The library is compiled: a broken or malicious file may bring its process down or keep it busy for ever. So it runs
where that does no harm, with bounds on time and memory; it gets the file's bytes and gives back arrays.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from takeoff.basics.errors import JobError, TakeoffError, UnreadableFileError
from takeoff.basics.nearest import did_you_mean
from takeoff.model.faces import RawPart, StatedArea, StatedPart
from takeoff.read.ifc.gathering import (
    RoofUnit,
    floors_of,
    named,
    openings_in,
    part_of,
    roof_units,
    walls_of,
)
from takeoff.read.ifc.said_in_file import area_scale_m2, areas_of, plan_bearing_deg
from takeoff.read.part_choice import undecided

Entity = Any
MOST_SECONDS = 120
MOST_MEMORY = 4_000_000_000
MOST_TRIANGLES = 400_000
_LISTED = 12
_COUNTED = (("walls", "IfcWall"), ("windows", "IfcWindow"), ("doors", "IfcDoor"))
_ENTITY = re.compile(rb"^\s*#\d+\s*=", re.MULTILINE)  # as every program writes them, one a line


@dataclass(slots=True)
class Gathered:
    """Points in metres, z up, triangles, the part of each, and what is to be said."""

    name: str = ""
    points: list[float] = field(default_factory=list)
    triangles: list[int] = field(default_factory=list)
    part_of: list[int] = field(default_factory=list)
    parts: list[RawPart] = field(default_factory=list)
    areas: list[StatedArea] = field(default_factory=list)
    without_shape: list[str] = field(default_factory=list)


def main() -> None:
    """Bytes of a file on standard input; "read" or "list", its name and the wanted roof ("" for the only one) as the
    last three arguments; an archive of arrays on standard output."""
    _bound()
    what, name, wanted = sys.argv[-3:]
    data = sys.stdin.buffer.read()
    try:
        answer = _listing(data, name) if what == "list" else _answer(data, name, wanted)
    except TakeoffError as err:
        answer = _packed({"faults": list(err.faults), "kind": type(err).__name__}, Gathered())
    sys.stdout.buffer.write(answer)


def _bound() -> None:
    try:
        import resource
    except ImportError:  # no such bounds on this system; the caller still bounds the time
        return
    for what, most in ((resource.RLIMIT_AS, MOST_MEMORY), (resource.RLIMIT_CPU, MOST_SECONDS)):
        hard = resource.getrlimit(what)[1]
        resource.setrlimit(what, (most if hard < 0 else min(most, hard), hard))


def _answer(data: bytes, name: str, wanted: str) -> bytes:
    model = _opened(data, name)
    known = sum(1 for _ in model)
    unit = _chosen(roof_units(model), name, wanted)
    found = _gathered(model, name, unit)
    bearing, no_bearing = plan_bearing_deg(model)
    said = {
        "bearing": bearing,
        "no_bearing": no_bearing,
        "lost": max(0, len(_ENTITY.findall(data)) - known),
        "without_shape": found.without_shape,
    }
    return _packed(said, found)


def _listing(data: bytes, name: str) -> bytes:
    """What there is to choose from, and what the house has."""
    from ifcopenshell.util.unit import calculate_unit_scale

    model = _opened(data, name)
    roofs = []
    for unit in roof_units(model):
        points = _bodies_of(unit, name)
        low, high = ([pick(points[k::3]) for k in range(3)] if points else [0.0] * 3 for pick in (min, max))
        roofs.append([unit.key, unit.name, unit.building, len(unit.products), low, high])
    storeys = [(named(one), one.Elevation) for one in model.by_type("IfcBuildingStorey")[:100]]
    scale = float(calculate_unit_scale(model))
    said = {
        "roofs": roofs,
        "storeys": [[words, level * scale] for words, level in storeys if isinstance(level, float)],
        "counts": {word: len(model.by_type(kind)) for word, kind in _COUNTED},
    }
    return _packed(said, Gathered())


def _bodies_of(unit: RoofUnit, name: str) -> list[float]:
    found = Gathered(name)
    settings = _settings()
    for product in unit.products:
        _add(found, product, part_of(product, StatedPart.ROOF, unit.key), settings)
    return found.points


def _settings(cut_openings: bool = True) -> Entity:
    """How shapes are built: in metres from the file's own origin."""
    import ifcopenshell.geom

    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    settings.set("disable-opening-subtractions", not cut_openings)
    return settings


def _opened(data: bytes, name: str) -> Entity:
    import ifcopenshell

    # the library knows the published 4.3 by its full name alone
    data = re.sub(rb"(FILE_SCHEMA\s*\(\s*\(\s*)'IFC4X3'", rb"\1'IFC4X3_ADD2'", data, count=1, flags=re.IGNORECASE)
    try:
        # only from a file does it tell broken text from sound
        with TemporaryDirectory() as folder:
            path = Path(folder) / "model.ifc"
            path.write_bytes(data)
            return ifcopenshell.open(path)
    except (ifcopenshell.Error, OSError, RuntimeError, ValueError) as err:
        words = str(err).split(",")[0]
        raise UnreadableFileError(f"{name}: cannot be read as IFC ({words[:200]}); save it again") from None


def _chosen(units: Sequence[RoofUnit], name: str, wanted: str) -> RoofUnit:
    """Raises UnreadableFileError for a file without a roof, UndecidedError where the job must say which, JobError where
    it names none of them."""
    if not units:
        raise UnreadableFileError(
            f"{name}: holds no roof: no IfcRoof with a shape, no slab of type ROOF, no covering of type ROOFING"
        )
    fitting = list(units)
    if wanted:
        fitting = [unit for unit in units if wanted == unit.key] or [
            unit for unit in units if wanted in (unit.name, unit.building)
        ]
    if not fitting:
        near = did_you_mean(wanted, [word for unit in units for word in (unit.key, unit.name) if word], ".")
        listed = ", ".join(f"{unit.key} ({unit.name or 'no name'})" for unit in units[:_LISTED])
        raise JobError(f"{name}: there is no roof {wanted}{near} It has {listed}")
    if len(fitting) > 1:
        raise undecided(name, "roofs", [(unit.key, unit.name) for unit in fitting])
    return fitting[0]


def _gathered(model: Entity, name: str, unit: RoofUnit) -> Gathered:
    # openings are told by their own bodies: walls cut by them take hundreds of times as long
    cut, whole = _settings(), _settings(cut_openings=False)
    found = Gathered(name)
    scale = area_scale_m2(model)
    for product in unit.products:
        _add(found, product, part_of(product, StatedPart.ROOF, unit.key, named(product) or unit.name), cut)
        found.areas += areas_of(product, scale)
    for wall in walls_of(model, unit):
        _add(found, wall, part_of(wall, StatedPart.WALL, unit.key), whole)
        found.areas += areas_of(wall, scale)
        for opening, fill in openings_in(wall):
            name = named(fill if fill is not None else opening)
            _add(found, opening, part_of(opening, StatedPart.OPENING, unit.key, name), whole)
    for floor in floors_of(model, unit):
        _add(found, floor, part_of(floor, StatedPart.FLOOR, unit.key), whole)
    if not any(part.stated is StatedPart.ROOF for part in found.parts):
        raise UnreadableFileError(
            f"{name}: roof {unit.name or unit.key}: none of its parts has a shape that can be built"
        )
    return found


def _add(found: Gathered, product: Entity, part: RawPart, settings: Entity) -> None:
    import ifcopenshell.geom

    try:
        shape = ifcopenshell.geom.create_shape(settings, product).geometry
        points, corners = shape.verts, shape.faces
    except RuntimeError:
        points, corners = (), ()
    if not corners:
        found.without_shape.append(f"{part.stated.value} {part.name or part.id}")
        return
    if len(found.part_of) + len(corners) // 3 > MOST_TRIANGLES:
        raise UnreadableFileError(
            f"{found.name}: more than the {MOST_TRIANGLES:,} triangles that are read; save the house alone"
        )
    first = len(found.points) // 3
    found.points.extend(points)
    found.triangles.extend(first + corner for corner in corners)
    found.part_of.extend([len(found.parts)] * (len(corners) // 3))
    found.parts.append(part)


def _packed(said: Mapping[str, object], found: Gathered) -> bytes:
    import numpy as np

    words = {**said, "parts": _listed(found.parts), "areas": _listed(found.areas)}
    packed = BytesIO()
    np.savez(
        packed,
        points=np.asarray(found.points, dtype=np.float64).reshape(-1, 3),
        triangles=np.asarray(found.triangles, dtype=np.int64).reshape(-1, 3),
        part_of=np.asarray(found.part_of, dtype=np.int64),
        words=np.frombuffer(json.dumps(words).encode(), dtype=np.uint8),
    )
    return packed.getvalue()


def _listed(records: Iterable[Any]) -> list[dict[str, Any]]:
    return [asdict(record) for record in records]
