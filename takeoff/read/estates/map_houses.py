"""Houses of a map: GeoJSON, or GeoJSON text sequences (a feature a line, RFC 8142), in projected coordinates."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import opened, read_bounded
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.model.estate import EstateHouse
from takeoff.read.estates.attributes import EDGES, house_name, split_attributes
from takeoff.read.outlines.drawing_bounds import checked_paths
from takeoff.read.outlines.geojson_rings import DEGREES_NAMED, edge_facts, geometry_lines

GREATEST_BYTES = 400_000_000  # read whole; a sequence is read line by line and has no bound but that of a line
GREATEST_LINE = 4_000_000
_MARK = b"\x1e"  # begins a record of a sequence


def read_features(path: Path) -> Iterator[EstateHouse]:
    """Every feature of a GeoJSON file as a house. Raises UnreadableFileError for a file that is none, or names a grid
    of degrees."""
    data = read_bounded(path, GREATEST_BYTES, "map")
    try:
        tree = json.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError) as err:
        raise UnreadableFileError(f"{path.name}: is no GeoJSON ({str(err)[:80]}); save it again") from None
    features = tree.get("features") if isinstance(tree, dict) else None
    if not isinstance(features, list):
        raise UnreadableFileError(f"{path.name}: is no GeoJSON: it holds no features")
    if DEGREES_NAMED.search(json.dumps(tree.get("crs", ""))[:400]):
        raise UnreadableFileError(
            f"{path.name}: its grid is degrees of longitude and latitude; save it in a projected grid, in metres"
        )
    for number, feature in enumerate(features, start=1):
        yield feature_house(path.name, number, feature)


def read_sequence(path: Path) -> Iterator[EstateHouse]:
    """Every line of a GeoJSON sequence as a house; a line that is no feature is a house that is refused. Raises
    UnreadableFileError where the file cannot be read."""
    with opened(path, "map") as stream:
        number = 0
        while line := stream.readline(GREATEST_LINE + 1):
            text = line.strip(_MARK + b" \t\r\n")
            if not text:
                continue
            number += 1
            if len(line) > GREATEST_LINE:
                raise UnreadableFileError(f"{path.name}: line {number} is longer than {GREATEST_LINE:,} bytes")
            try:
                feature = json.loads(text)
            except (ValueError, RecursionError) as err:
                yield EstateHouse(number, f"line {number}", refused=f"is no GeoJSON feature ({str(err)[:80]})")
                continue
            yield feature_house(path.name, number, feature)


def feature_house(name: str, number: int, feature: Any) -> EstateHouse:
    """A feature as a house, or as one that is refused with its reason."""
    where = f"feature {number}"
    if not isinstance(feature, dict) or feature.get("type") != "Feature":
        return EstateHouse(number, where, refused="is no feature")
    own = feature.get("properties")
    properties: Mapping[str, Any] = own if isinstance(own, dict) else {}
    named = house_name({"id": feature.get("id"), **properties}, where)
    return geometry_house(name, number, named, feature.get("geometry"), properties)


def geometry_house(name: str, number: int, named: str, geometry: Any, properties: Mapping[str, object]) -> EstateHouse:
    """A house of a geometry and what its table says of it; refused where either is broken."""
    where = f"feature {number}"
    known, unread = split_attributes(properties)
    attributes = dict(known)
    try:
        edges = edge_facts(name, where, _listed(attributes.get(EDGES)))
        first = True
        paths = []
        for points, closed in geometry_lines(name, where, geometry):
            paths.append(RawPath("", points, closed, (), where, named, (), edges if first else ()))
            first = False
        drawing = RawDrawing(name, "map", checked_paths(name, paths), "m", "map files are drawn in metres")
    except UnreadableFileError as err:
        return EstateHouse(number, named, refused=str(err).removeprefix(f"{name}: ").removeprefix(f"{where}: "))
    other = tuple((key, value) for key, value in attributes.items() if key != EDGES)
    return EstateHouse(number, named, drawing, other, unread=unread)


def _listed(edges: object) -> object:
    """Edges as tables can hold them: words with commas are a kind for each edge in order."""
    if isinstance(edges, str):
        return [word.strip() or None for word in edges.split(",")]
    return edges
