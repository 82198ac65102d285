"""house.glb: the house as a binary glTF, metres, y up, a node a part under its mark, what is known of it as extras.

The format is that of the published glTF 2.0 specification: a header, a chunk of JSON and a chunk of figures, each
filled up to four bytes. Points are single precision, measured from the first roof's origin, which the root node gives.
"""

from __future__ import annotations

import json
import struct
from array import array
from typing import Any

from takeoff import __version__
from takeoff.basics.triangles import Triangle
from takeoff.basics.vectors import Point3
from takeoff.model.order import Takeoff
from takeoff.write.house_view.house_parts import Part, house_parts
from takeoff.write.models.solid_mesh import mesh_of
from takeoff.write.words.words import plain, revision_words

_COLOURS = {
    "plane": 0xDEDAD0, "sheet": 0xB9C0C5, "clear sheet": 0xEAF3F6, "hole": 0x4A4A4A, "edge": 0x3C3C3C,
    "timber": 0xC8A870, "gutter": 0x66717A, "downpipe": 0x66717A, "wall": 0xECE6D8, "opening": 0x7D909D,
    "board": 0xE6DFCF, "wall sheet": 0xC2C8CC,
    "batten": 0xB59A68, "upright": 0xE4DECE,
}  # fmt: skip
_FLOAT, _UNSIGNED = 5126, 5125  # component types of the specification
_POINTS, _CORNERS = 34962, 34963  # what a buffer view is for
_JSON, _BIN = 0x4E4F534A, 0x004E4942


class _Figures:
    """The chunk of figures as it grows, with the views and accessors into it."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, int]] = []
        self.accessors: list[dict[str, Any]] = []

    def points(self, points: list[Point3]) -> int:
        """Places of points [m, y up]. Returns the number of the accessor."""
        flat = array("f", (value for point in points for value in point))
        low, high = ([pick(flat[k::3]) for k in range(3)] for pick in (min, max))
        return self._add(
            flat, _POINTS, {"componentType": _FLOAT, "count": len(points), "type": "VEC3", "min": low, "max": high}
        )

    def corners(self, triangles: list[Triangle]) -> int:
        """Corners of triangles. Returns the number of the accessor."""
        flat = array("I", (corner for triangle in triangles for corner in triangle))
        return self._add(flat, _CORNERS, {"componentType": _UNSIGNED, "count": len(flat), "type": "SCALAR"})

    def _add(self, flat: array[Any], target: int, accessor: dict[str, Any]) -> int:
        data = flat.tobytes() if struct.pack("=H", 1) == struct.pack("<H", 1) else _swapped(flat)
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(data), "target": target})
        self.accessors.append({"bufferView": len(self.views) - 1, **accessor})
        self.data += data
        return len(self.accessors) - 1


def _swapped(flat: array[Any]) -> bytes:
    turned = array(flat.typecode, flat)
    turned.byteswap()
    return turned.tobytes()


def house_glb(takeoff: Takeoff) -> bytes:
    """The model; the same bytes for the same takeoff."""
    origin = takeoff.roofs[0].origin_mm if takeoff.roofs else (0.0, 0.0, 0.0)
    figures = _Figures()
    kinds = list(_COLOURS)
    nodes: list[dict[str, Any]] = [
        {"name": plain(takeoff.job.job), "translation": list(_metres(origin)), "extras": _about(takeoff)}
    ]
    meshes: list[dict[str, Any]] = []
    for part in house_parts(takeoff):
        points, triangles = mesh_of(part)
        if not triangles:
            continue
        near = [_metres((x - origin[0], y - origin[1], z - origin[2])) for x, y, z in points]
        primitive = {
            "attributes": {"POSITION": figures.points(near)},
            "indices": figures.corners(triangles),
            "material": kinds.index(part.kind),
        }
        name = plain(part.mark)
        meshes.append({"name": name, "primitives": [primitive]})
        nodes.append({"name": name, "mesh": len(meshes) - 1, "extras": extras_of(part)})
    nodes[0]["children"] = list(range(1, len(nodes)))
    if len(nodes) == 1:
        del nodes[0]["children"]
    return _packed(nodes, meshes, figures)


def extras_of(part: Part) -> dict[str, Any]:
    """What is known of a part: its mark, kind, what it lies on, length [m], area [m2], facts in words."""
    found: dict[str, Any] = {"mark": plain(part.mark), "kind": part.kind, "on": plain(part.on)}
    if part.length_mm:
        found["length_m"] = round(part.length_mm / 1e3, 4)
    if part.area_mm2:
        found["area_m2"] = round(part.area_mm2 / 1e6, 6)
    return {**found, "facts": list(part.facts)}


def _about(takeoff: Takeoff) -> dict[str, str]:
    said = revision_words(takeoff.job.revision, takeoff.supersedes)
    return {"job_hash": takeoff.job_hash, "revision": said, "unit": "m", "up": "y"}


def _metres(point: Point3) -> Point3:
    x, y, z = point
    return (x / 1e3, z / 1e3, -y / 1e3)


def _packed(nodes: list[dict[str, Any]], meshes: list[dict[str, Any]], figures: _Figures) -> bytes:
    model: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": f"takeoff {__version__}"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": nodes,
    }
    if meshes:
        model |= {
            "meshes": meshes,
            "materials": [_material(kind, colour) for kind, colour in _COLOURS.items()],
            "accessors": figures.accessors,
            "bufferViews": figures.views,
            "buffers": [{"byteLength": len(figures.data)}],
        }
    text = json.dumps(model, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")
    chunks = [(_JSON, text + b" " * (-len(text) % 4))]
    if meshes:
        chunks.append((_BIN, bytes(figures.data)))
    body = b"".join(struct.pack("<II", len(data), kind) + data for kind, data in chunks)
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body


def _material(kind: str, colour: int) -> dict[str, Any]:
    shares = [round(((colour >> shift & 255) / 255.0) ** 2.2, 4) for shift in (16, 8, 0)]
    look = {"baseColorFactor": [*shares, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.9}
    return {"name": kind, "pbrMetallicRoughness": look, "doubleSided": True}
