"""A 3MF package (core specification 1.3) -> the triangles of what its build list places.

Read by hand: bounded, without document types, and nothing that the package names outside itself is opened.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from math import isfinite
from pathlib import Path
from typing import NoReturn
from xml.parsers import expat
from zipfile import BadZipFile, ZipFile

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.basics.vectors import Point3
from takeoff.model.faces import RawFaces, RawPart
from takeoff.read.faces_builder import MOST_TRIANGLES, FacesBuilder

GREATEST_BYTES = 100_000_000
MOST_UNPACKED = 200_000_000
_DEEPEST = 20  # objects made of objects
_MODEL = "3D/3dmodel.model"
_LINKS = "_rels/.rels"
_UNITS_MM = {
    "micron": 0.001,
    "millimeter": 1.0,
    "centimeter": 10.0,
    "inch": 25.4,
    "foot": 304.8,
    "meter": 1000.0,
}
_HERE = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0)
_BROKEN = (BadZipFile, EOFError, KeyError, NotImplementedError, OSError, RuntimeError, ValueError, expat.ExpatError)

Placing = tuple[float, ...]
"""A 3MF transform: four rows of three, a point a row vector before it."""


@dataclass(slots=True)
class _Object:
    """A mesh, or other objects placed."""

    name: str = ""
    points: list[Point3] = field(default_factory=list)
    triangles: list[tuple[int, int, int]] = field(default_factory=list)
    parts: list[tuple[str, Placing]] = field(default_factory=list)


@dataclass(slots=True)
class _Model:
    unit: str = "millimeter"
    objects: dict[str, _Object] = field(default_factory=dict)
    build: list[tuple[str, Placing]] = field(default_factory=list)
    current: str = ""


def read_three_mf(path: Path) -> RawFaces:
    """All meshes that the build list places, as parts, in the unit that the file states. Raises UnreadableFileError for
    what is no 3MF, is broken or over the bounds."""
    data = read_bounded(path, GREATEST_BYTES, "model")
    try:
        model = _parsed(_model_part(data))
        unit = _UNITS_MM.get(model.unit)
        if unit is None:
            raise ValueError(f"it states no known unit ({model.unit[:20]})")
        return _gathered(path, model).done(stated_unit_mm=unit)
    except UnreadableFileError:
        raise
    except _BROKEN as err:
        raise UnreadableFileError(f"{path.name}: cannot be read as 3MF ({err}); save it again") from None


def _model_part(data: bytes) -> bytes:
    """The model in the package: where its links say, else where it always lies. Raises ValueError where it unpacks to
    more than is read."""
    with ZipFile(BytesIO(data)) as package:
        names = {name.lower(): name for name in package.namelist()}
        found = _MODEL.lower()
        if _LINKS in names:
            found = next(_linked(_unpacked(package, names[_LINKS])), found)
        if found not in names:
            found = _MODEL.lower()
        return _unpacked(package, names[found])


def _unpacked(package: ZipFile, name: str) -> bytes:
    with package.open(name) as stream:
        data = stream.read(MOST_UNPACKED + 1)
    if len(data) > MOST_UNPACKED:
        raise ValueError(f"it unpacks to more than {MOST_UNPACKED:,} bytes")
    return data


def _linked(data: bytes) -> Iterator[str]:
    found: list[str] = []

    def start(name: str, given: dict[str, str]) -> None:
        if _bare(name) == "Relationship" and given.get("Type", "").endswith("/3dmodel"):
            found.append(given.get("Target", "").lstrip("/").lower())

    _parser(start).Parse(data, True)
    yield from found


def _parsed(data: bytes) -> _Model:
    model = _Model()

    def start(name: str, given: dict[str, str]) -> None:
        _element(model, _bare(name), given)

    _parser(start).Parse(data, True)
    return model


def _parser(start: object) -> expat.XMLParserType:
    parser = expat.ParserCreate()
    parser.StartElementHandler = start  # type: ignore[assignment]
    parser.StartDoctypeDeclHandler = _no_doctype
    return parser


def _no_doctype(*_: object) -> NoReturn:
    raise ValueError("it declares a document type, which no 3MF has")


def _bare(name: str) -> str:
    return name.rpartition(":")[2]


def _element(model: _Model, name: str, given: Mapping[str, str]) -> None:
    """One element as it opens. Raises KeyError or ValueError for one that lacks what it must have."""
    if name == "model":
        model.unit = given.get("unit", "millimeter")
    elif name == "object":
        model.current = given["id"]
        model.objects[model.current] = _Object(given.get("name", ""))
    elif name == "vertex":
        point = (float(given["x"]), float(given["y"]), float(given["z"]))
        if not all(isfinite(value) and abs(value) <= 1e12 for value in point):
            raise ValueError("a vertex is no point")
        model.objects[model.current].points.append(point)
    elif name == "triangle":
        triangles = model.objects[model.current].triangles
        triangles.append((int(given["v1"]), int(given["v2"]), int(given["v3"])))
        if len(triangles) > MOST_TRIANGLES:
            raise ValueError(f"it has more than the {MOST_TRIANGLES:,} triangles that are read")
    elif name == "component":
        model.objects[model.current].parts.append((given["objectid"], _placing(given)))
    elif name == "item":
        model.build.append((given["objectid"], _placing(given)))


def _placing(given: Mapping[str, str]) -> Placing:
    figures = tuple(float(word) for word in given["transform"].split()) if "transform" in given else _HERE
    if len(figures) != 12 or not all(isfinite(value) for value in figures):
        raise ValueError("a transform is not twelve figures")
    return figures


def _gathered(path: Path, model: _Model) -> FacesBuilder:
    builder = FacesBuilder(path.name)
    waiting = [(key, [placing]) for key, placing in reversed(model.build)]
    placed = 0
    while waiting:
        key, placings = waiting.pop()
        one = model.objects[key]
        placed += 1
        if len(placings) > _DEEPEST or placed > MOST_TRIANGLES:
            raise ValueError("its objects are made of each other without end")
        waiting += [(below, [placing, *placings]) for below, placing in reversed(one.parts)]
        if one.triangles:
            first = builder.add_points([_placed(point, placings) for point in one.points])
            part = builder.add_part(RawPart(str(placed), one.name[:120]))
            for triangle in one.triangles:
                if min(triangle) < 0 or max(triangle) >= len(one.points):
                    raise ValueError("a triangle has corners that do not exist")
                builder.add_polygon([[first + k for k in triangle]], part)
    return builder


def _placed(point: Point3, placings: list[Placing]) -> Point3:
    x, y, z = point
    for m in placings:
        x, y, z = (
            x * m[0] + y * m[3] + z * m[6] + m[9],
            x * m[1] + y * m[4] + z * m[7] + m[10],
            x * m[2] + y * m[5] + z * m[8] + m[11],
        )
    return (x, y, z)
