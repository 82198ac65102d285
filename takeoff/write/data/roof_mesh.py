"""Roofs as a mesh file for other programs: OBJ written here, STL, PLY and GLB through the mesh library.

OBJ, STL and PLY are in mm with z up; GLB is in metres with y up, as that format says. Same roofs, same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.basics.triangles import Triangle, triangulate
from takeoff.basics.vectors import Point3
from takeoff.model.roof import Roof, RoofPlane, UprightFace

FORMATS = (".obj", ".stl", ".ply", ".glb")


@record
class MeshPart:
    """One face as triangles: its id, its points in space [mm] and triangles between them."""

    id: str
    points_mm: tuple[Point3, ...]
    triangles: tuple[Triangle, ...]


def mesh_parts(roofs: Sequence[Roof], uprights: bool = True) -> tuple[MeshPart, ...]:
    """Every plane (and upright face) of the roofs as triangles facing outward, in the plan's own coordinates."""
    parts = []
    for roof in roofs:
        faces: list[RoofPlane | UprightFace] = [*roof.planes, *(roof.uprights if uprights else ())]
        parts += [_part(face, roof.origin_mm) for face in faces]
    return tuple(parts)


def _part(face: RoofPlane | UprightFace, origin_mm: Point3) -> MeshPart:
    x0, y0, z0 = origin_mm
    spaced = [face.frame.to_space(point) for ring in face.rings_uv for point in ring]
    points = tuple((x + x0, y + y0, z + z0) for x, y, z in spaced)
    return MeshPart(face.id, points, tuple(triangulate(face.rings_uv)))


def mesh_bytes(roofs: Sequence[Roof], path: Path, uprights: bool = True) -> bytes:
    """Roofs in the mesh format that the ending of `path` names. Raises UsageError for any other ending."""
    ending = path.suffix.lower()
    if ending not in FORMATS:
        known = ", ".join(name[1:].upper() for name in FORMATS)
        raise UsageError(f"{path.name}: meshes are written as {known}; end its name in {', '.join(FORMATS)}")
    parts = mesh_parts(roofs, uprights)
    return obj_text(parts).encode("utf-8") if ending == ".obj" else _library_bytes(parts, ending)


def obj_text(parts: Sequence[MeshPart]) -> str:
    """The parts as OBJ, one group a face, mm, z up, to a thousandth of a mm."""
    lines = ["# roof planes and upright faces, unit mm, z up"]
    first = 1
    for part in parts:
        lines.append(f"g {part.id}")
        lines += [f"v {x:.3f} {y:.3f} {z:.3f}" for x, y, z in part.points_mm]
        lines += [f"f {first + a} {first + b} {first + c}" for a, b, c in part.triangles]
        first += len(part.points_mm)
    return "\n".join(lines) + "\n"


def _library_bytes(parts: Sequence[MeshPart], ending: str) -> bytes:
    # loading the library takes longer than writing the file: only these formats pay for it
    import numpy as np
    import trimesh

    points: list[Point3] = []
    triangles: list[Triangle] = []
    for part in parts:
        shift = len(points)
        points += part.points_mm
        triangles += [(a + shift, b + shift, c + shift) for a, b, c in part.triangles]
    vertices = np.array(points, dtype=np.float64).reshape(-1, 3)
    if ending == ".glb":
        vertices = np.stack([vertices[:, 0], vertices[:, 2], -vertices[:, 1]], axis=1) / 1000.0
    mesh = trimesh.Trimesh(vertices, np.array(triangles, dtype=np.int64).reshape(-1, 3), process=False)
    data = mesh.export(file_type=ending[1:])
    return data if isinstance(data, bytes) else str(data).encode("utf-8")
