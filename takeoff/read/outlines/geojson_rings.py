"""A GeoJSON file in projected coordinates -> its rings, with what their properties say of a roof and its edges."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.basics.vectors import Point2
from takeoff.model.drawings import EDGE_KEYS, RING_KEYS, Facts, RawDrawing, RawPath
from takeoff.read.outlines.drawing_bounds import GREATEST_BYTES, checked_paths, refuse_degrees

# grids of longitude and latitude that map files name: the world's, and those of the countries whose codes are known
DEGREES_NAMED = re.compile(r"(CRS84|(EPSG|epsg)[:/]+[\d.]*[:/]*(4326|4979|4258|4269|4167|4283|7844))\b")
_DEEPEST = 8  # collections within collections


def read_geojson(path: Path) -> RawDrawing:
    """Read a GeoJSON file (RFC 7946, with coordinates in a projected grid). Properties named as the keys of a roof
    (pitch_deg, fascia_height_mm, eave_overhang_mm, verge_overhang_mm) are kept, and `edges`: a kind for each edge in
    order, or a mapping from its number to its keys.

    Raises UnreadableFileError for a missing, oversized or broken file, one that names a grid of degrees or whose
    coordinates are degrees, and properties of those names that are no figures or words.
    """
    data = read_bounded(path, GREATEST_BYTES, "drawing")
    try:
        tree = json.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError) as err:  # also for what is no text
        raise UnreadableFileError(f"{path.name}: is no GeoJSON ({str(err)[:80]}); save it again") from None
    if not isinstance(tree, dict):
        raise UnreadableFileError(f"{path.name}: is no GeoJSON: it holds no features or geometry")
    named = json.dumps(tree.get("crs", ""))[:400]
    paths = checked_paths(path.name, _paths(path.name, tree))
    if DEGREES_NAMED.search(named):
        refuse_degrees(path.name, paths[0].points[0])
    return RawDrawing(path.name, "GeoJSON", paths, "m", "map files are drawn in metres")


def _paths(name: str, tree: Mapping[str, Any]) -> Iterator[RawPath]:
    features = tree.get("features") if tree.get("type") == "FeatureCollection" else [tree]
    if not isinstance(features, list):
        raise UnreadableFileError(f"{name}: its features are no list; save it again")
    for number, feature in enumerate(features, start=1):
        where = f"feature {number}"
        if not isinstance(feature, dict):
            raise UnreadableFileError(f"{name}: {where} is no feature; save it again")
        own = feature.get("properties") if feature.get("type") == "Feature" else None
        properties = own if isinstance(own, dict) else {}
        geometry = feature.get("geometry") if feature.get("type") == "Feature" else feature
        label = properties.get("name", feature.get("id", ""))
        facts, edges = _facts(name, where, properties), edge_facts(name, where, properties.get("edges"))
        first = True
        for points, closed in geometry_lines(name, where, geometry):
            # what is said of a feature is said of its first ring; the edges of its holes are numbered on from it
            said, sides = (facts, edges) if first else ((), ())
            yield RawPath("", points, closed, (), where, str(label)[:60], said, sides)
            first = False


def geometry_lines(name: str, where: str, geometry: Any, depth: int = 0) -> Iterator[tuple[tuple[Point2, ...], bool]]:
    """Corners of every ring and line of a geometry, and whether it closes. Raises UnreadableFileError for one that is
    broken or of a kind that is not known; points are left out."""
    if geometry is None:
        return
    if not isinstance(geometry, dict) or depth > _DEEPEST:
        raise UnreadableFileError(f"{name}: {where} has no geometry that can be read; save it again")
    kind, held = geometry.get("type"), geometry.get("coordinates")
    if kind == "GeometryCollection":
        for part in _listed(name, where, geometry.get("geometries")):
            yield from geometry_lines(name, where, part, depth + 1)
    elif kind in ("Polygon", "MultiLineString"):
        for line in _listed(name, where, held):
            yield _points(name, where, line), kind == "Polygon"
    elif kind == "MultiPolygon":
        for polygon in _listed(name, where, held):
            for line in _listed(name, where, polygon):
                yield _points(name, where, line), True
    elif kind == "LineString":
        yield _points(name, where, held), False
    elif kind not in ("Point", "MultiPoint"):
        raise UnreadableFileError(f"{name}: {where}: a geometry of type {str(kind)[:40]!r} is not known; save it again")


def _listed(name: str, where: str, value: Any) -> Sequence[Any]:
    if not isinstance(value, list):
        raise UnreadableFileError(f"{name}: {where}: its coordinates are no lists of points; save it again")
    return value


def _points(name: str, where: str, value: Any) -> tuple[Point2, ...]:
    found: list[Point2] = []
    for point in _listed(name, where, value):
        numbers = point[:2] if isinstance(point, list) else []
        if len(numbers) < 2 or not all(isinstance(n, int | float) and not isinstance(n, bool) for n in numbers):
            raise UnreadableFileError(f"{name}: {where}: {str(point)[:60]} is no point; save it again")
        found.append((_float(numbers[0]), _float(numbers[1])))
    if not found:
        raise UnreadableFileError(f"{name}: {where}: a ring has no points; save it again")
    return tuple(found)


def _float(number: float) -> float:
    """A number; one with more digits than a float can hold is as far away as can be."""
    try:
        return float(number)
    except OverflowError:
        return float("inf")


def _facts(name: str, where: str, held: Mapping[str, Any], keys: Sequence[str] = RING_KEYS) -> Facts:
    """What is said under names of a job's keys: a number each, a word for `kind`."""
    found: list[tuple[str, float | str]] = []
    for key in keys:
        value = held.get(key)
        if value is None:
            continue
        right = isinstance(value, str) if key == "kind" else isinstance(value, int | float)
        if not right or isinstance(value, bool):
            wanted = "eave, gable or wall" if key == "kind" else "a number"
            raise UnreadableFileError(f"{name}: {where}: {key} is {str(value)[:40]!r}; it is {wanted}")
        found.append((key, value if isinstance(value, str) else _float(value)))
    return tuple(found)


def edge_facts(name: str, where: str, edges: Any) -> tuple[tuple[int, Facts], ...]:
    """What is said of edges: a kind for each in order, or a mapping from its number to its keys. Raises
    UnreadableFileError for anything else."""
    if edges is None:
        return ()
    if isinstance(edges, list):
        edges = {str(number): {"kind": word} for number, word in enumerate(edges, start=1) if word is not None}
    if not isinstance(edges, dict):
        raise UnreadableFileError(f"{name}: {where}: edges is no list of kinds and no mapping by number")
    found: list[tuple[int, Facts]] = []
    for number, held in edges.items():
        if not str(number).isdecimal() or len(str(number)) > 6 or not isinstance(held, dict):
            raise UnreadableFileError(f"{name}: {where}: edges: {str(number)[:20]!r} is no number of an edge with keys")
        found.append((int(number), _facts(name, f"{where}, edge {number}", held, EDGE_KEYS)))
    return tuple(found)
