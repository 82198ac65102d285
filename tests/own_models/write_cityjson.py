"""The own houses as CityJSON of every version that is read, and as a sequence."""

from __future__ import annotations

import json
from typing import Any

from own_houses import Face, House, Point

WORDS = {"roof": "RoofSurface", "wall": "WallSurface", "ground": "GroundSurface", "window": "Window", "door": "Door"}
BARE = ("roof", "wall", "ground")
SCALE = 0.001


class _Vertices:
    """Vertices as whole millimetres from a place."""

    def __init__(self, place: Point) -> None:
        self.place = place
        self.numbers: dict[tuple[int, int, int], int] = {}

    def number(self, point: Point) -> int:
        x, y, z = (round((value - origin) / SCALE) for value, origin in zip(point, self.place, strict=True))
        return self.numbers.setdefault((x, y, z), len(self.numbers))


def _surface(face: Face, vertices: _Vertices) -> list[list[int]]:
    return [[vertices.number(point) for point in ring] for ring in face.rings]


def _geometry(house: House, vertices: _Vertices, kind: str, lod: object, named: bool) -> dict[str, Any]:
    surfaces = [_surface(face, vertices) for face in house.faces]
    words = [what for what in WORDS if what in BARE or any(face.what == what for face in house.faces)]
    values = [words.index(face.what) for face in house.faces]
    deep = {"MultiSurface": 0, "Solid": 1, "MultiSolid": 2}[kind]
    boundaries: Any = surfaces
    numbers: Any = values
    for _ in range(deep):
        boundaries, numbers = [boundaries], [numbers]
    found: dict[str, Any] = {"type": kind, "lod": lod, "boundaries": boundaries}
    if named:
        found["semantics"] = {"surfaces": [{"type": WORDS[word]} for word in words], "values": numbers}
    return found


def block(house: House, vertices: _Vertices, lod: object) -> dict[str, Any]:
    """The house as a block of level 1, its top called a roof."""
    ring = house.ground
    top: Face = Face((tuple((x, y, 5.0) for x, y in ring),), "roof")
    foot: Face = Face((tuple((x, y, 0.0) for x, y in reversed(ring)),), "ground")
    sides = [
        Face((((*a, 0.0), (*b, 0.0), (*b, 5.0), (*a, 5.0)),), "wall")
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    ]
    return _geometry(House("block", (top, foot, *sides), ring, 1, 0.0, {}, {}), vertices, "Solid", lod, True)


def cityjson(
    houses: dict[str, House],
    version: str = "2.0",
    kind: str = "Solid",
    place: Point = (0.0, 0.0, 0.0),
    named: bool = True,
    parts: bool = False,
) -> dict[str, Any]:
    """Buildings by key; with `parts` each as a building with a footprint whose only part is drawn twice: as a block and in
    detail."""
    vertices = _Vertices(place)
    finer: object = 2.2 if version == "1.0" else "2.2"
    objects: dict[str, Any] = {}
    for key, house in houses.items():
        shape = _geometry(house, vertices, kind, finer, named)
        if not parts:
            objects[key] = {"type": "Building", "attributes": {"name": f"house {house.name}"}, "geometry": [shape]}
            continue
        coarse: object = 1.2 if version == "1.0" else "1.2"
        foot = [_surface(face, vertices) for face in house.faces if face.what == "ground"]
        flat = {"type": "MultiSurface", "lod": 0 if version == "1.0" else "0", "boundaries": foot}
        objects[key] = {"type": "Building", "children": [f"{key}-0"], "geometry": [flat]}
        shapes = [block(house, vertices, coarse), shape]
        objects[f"{key}-0"] = {"type": "BuildingPart", "parents": [key], "geometry": shapes}
    return {
        "type": "CityJSON",
        "version": version,
        "transform": {"scale": [SCALE] * 3, "translate": list(place)},
        "CityObjects": objects,
        "vertices": [list(vertex) for vertex in vertices.numbers],
    }


def sequence(houses: dict[str, House], place: Point = (0.0, 0.0, 0.0)) -> bytes:
    """A first line without objects, then a feature a line."""
    head = {**cityjson({}, place=place), "CityObjects": {}, "vertices": []}
    lines = [json.dumps(head)]
    for key, house in houses.items():
        one = cityjson({key: house}, place=place)
        feature = {"type": "CityJSONFeature", "id": key, "CityObjects": one["CityObjects"], "vertices": one["vertices"]}
        lines.append(json.dumps(feature))
    return ("\n".join(lines) + "\n").encode()
