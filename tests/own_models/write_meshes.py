"""The own houses as mesh files of every kind, written by hand but for GLB."""

from __future__ import annotations

import struct
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import numpy as np
import trimesh
from own_houses import House, Point

from takeoff.basics.face_cutting import cut_face

Mesh = tuple[list[Point], list[tuple[int, int, int]]]


def triangles_of(house: House) -> Mesh:
    """Points, each once, and triangles, turned outwards."""
    numbers: dict[Point, int] = {}
    found: list[tuple[int, int, int]] = []
    for face in house.faces:
        corners = [point for ring in face.rings for point in ring]
        for triangle in cut_face(face.rings):
            a, b, c = (numbers.setdefault(corners[k], len(numbers)) for k in triangle)
            found.append((a, b, c))
    return list(numbers), found


def subdivided(mesh: Mesh) -> Mesh:
    """Every triangle as four."""
    points, triangles = list(mesh[0]), []
    middles: dict[tuple[int, int], int] = {}

    def middle(a: int, b: int) -> int:
        key = (min(a, b), max(a, b))
        if key not in middles:
            middles[key] = len(points)
            p, q = points[a], points[b]
            points.append(((p[0] + q[0]) / 2, (p[1] + q[1]) / 2, (p[2] + q[2]) / 2))
        return middles[key]

    for a, b, c in mesh[1]:
        ab, bc, ca = middle(a, b), middle(b, c), middle(c, a)
        triangles += [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return points, triangles


def unwelded(mesh: Mesh) -> Mesh:
    """Every triangle with corners of its own."""
    points = [mesh[0][k] for triangle in mesh[1] for k in triangle]
    return points, [(k, k + 1, k + 2) for k in range(0, len(points), 3)]


def flipped(mesh: Mesh) -> Mesh:
    """Every other triangle turned over."""
    return mesh[0], [t if n % 2 else (t[0], t[2], t[1]) for n, t in enumerate(mesh[1])]


def obj_polygons(house: House) -> bytes:
    """Faces with more than three corners where they have no holes, else triangles."""
    numbers: dict[Point, int] = {}
    lines: list[str] = []
    for face in house.faces:
        corners = [point for ring in face.rings for point in ring]
        cut = [tuple(range(len(corners)))] if len(face.rings) == 1 else cut_face(face.rings)
        for polygon in cut:
            lines.append("f " + " ".join(str(numbers.setdefault(corners[k], len(numbers)) + 1) for k in polygon))
    return "\n".join([*(f"v {x!r} {y!r} {z!r}" for x, y, z in numbers), *lines, ""]).encode()


def obj(mesh: Mesh) -> bytes:
    lines = [f"v {float(x)!r} {float(y)!r} {float(z)!r}" for x, y, z in mesh[0]]
    return "\n".join([*lines, *(f"f {a + 1} {b + 1} {c + 1}" for a, b, c in mesh[1]), ""]).encode()


def off(mesh: Mesh) -> bytes:
    lines = [
        "OFF",
        f"{len(mesh[0])} {len(mesh[1])} 0",
        *(f"{float(x)!r} {float(y)!r} {float(z)!r}" for x, y, z in mesh[0]),
    ]
    return "\n".join([*lines, *(f"3 {a} {b} {c}" for a, b, c in mesh[1]), ""]).encode()


def ply(mesh: Mesh) -> bytes:
    head = ["ply", "format ascii 1.0", f"element vertex {len(mesh[0])}"]
    head += [f"property double {axis}" for axis in "xyz"]
    head += [f"element face {len(mesh[1])}", "property list uchar int vertex_indices", "end_header"]
    lines = [*head, *(f"{float(x)!r} {float(y)!r} {float(z)!r}" for x, y, z in mesh[0])]
    return "\n".join([*lines, *(f"3 {a} {b} {c}" for a, b, c in mesh[1]), ""]).encode()


def stl_text(mesh: Mesh) -> bytes:
    lines = ["solid house"]
    for triangle in mesh[1]:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex {!r} {!r} {!r}".format(*map(float, mesh[0][k])) for k in triangle]
        lines += ["endloop", "endfacet"]
    return "\n".join([*lines, "endsolid house", ""]).encode()


def stl_binary(mesh: Mesh) -> bytes:
    data = [b"\0" * 80, struct.pack("<I", len(mesh[1]))]
    for triangle in mesh[1]:
        data.append(struct.pack("<12fH", 0, 0, 0, *(v for k in triangle for v in mesh[0][k]), 0))
    return b"".join(data)


def glb(mesh: Mesh) -> bytes:
    """glTF has y up: (x, y, z) is written as (x, z, -y)."""
    points = np.array([(x, z, -y) for x, y, z in mesh[0]])
    return bytes(trimesh.Trimesh(points, np.array(mesh[1]), process=False).export(file_type="glb"))


def three_mf(mesh: Mesh, unit: str = "meter") -> bytes:
    """A 3MF package by the core specification 1.3: the parts it must have."""
    vertices = "".join(f'<vertex x="{float(x)!r}" y="{float(y)!r}" z="{float(z)!r}"/>' for x, y, z in mesh[0])
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh[1])
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>'
        f'<model unit="{unit}" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>'
        f'<object id="1" type="model"><mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh></object>'
        '</resources><build><item objectid="1"/></build></model>'
    )
    types = (
        '<?xml version="1.0" encoding="UTF-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
    )
    links = (
        '<?xml version="1.0" encoding="UTF-8"?>'
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="m" '
        'Target="/3D/3dmodel.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
    )
    data = BytesIO()
    with ZipFile(data, "w", ZIP_DEFLATED) as package:
        package.writestr("[Content_Types].xml", types)
        package.writestr("_rels/.rels", links)
        package.writestr("3D/3dmodel.model", model)
    return data.getvalue()


MESHES = {
    "obj": obj,
    "off": off,
    "ply": ply,
    "text.stl": stl_text,
    "binary.stl": stl_binary,
    "glb": glb,
    "3mf": three_mf,
}
"""Writer by ending."""
