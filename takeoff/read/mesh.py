"""A mesh file (OBJ, STL, PLY, GLB, OFF) -> its triangles as the file has them.

Reads only: what is up, how large a figure is and what is roof are decided elsewhere.
"""

from __future__ import annotations

import re
import struct
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.model.faces import RawFaces, raw_faces
from takeoff.read.files_beside import Beside
from takeoff.read.gltf_guard import check_gltf
from takeoff.read.text_meshes import read_obj, read_off

if TYPE_CHECKING:
    from trimesh import Scene

    from takeoff.model.faces import Numbers, Points

_TEXT = (".obj", ".off")  # always text; STL is where its size is not that of a binary one
FORMATS = (".obj", ".stl", ".ply", ".glb", ".gltf", ".off")
_GLTF = (".glb", ".gltf")  # metres, y up, by the format's own specification
GREATEST_BYTES = 200_000_000
MOST_TRIANGLES = 400_000
# what a broken file makes the reading library raise
_BROKEN = (
    ArithmeticError,
    AttributeError,
    ImportError,
    LookupError,
    MemoryError,
    NotImplementedError,
    OSError,
    RecursionError,
    TypeError,
    ValueError,
    struct.error,
)


def read_mesh(path: Path) -> RawFaces:
    """Read a mesh file. Node transforms of scenes are applied; points and triangles are as in the file, unmerged.

    Raises UnreadableFileError for a missing, oversized, empty or broken file and for formats that are not read.
    """
    _check_kind(path)
    data = read_bounded(path, GREATEST_BYTES, "model")
    kind = path.suffix.lower()
    if kind in _TEXT:
        text = _as_utf8(path, data).decode("utf-8", errors="replace")
        return read_obj(path, text) if kind == ".obj" else read_off(path, text)
    _check_claims(path, data)
    points, triangles = _load(path, data)
    _check(path, points, triangles)
    if path.suffix.lower() in _GLTF:
        return raw_faces(points, triangles, path.name, stated_unit_mm=1000.0, stated_up="y")
    return raw_faces(points, triangles, path.name)


def _check_kind(path: Path) -> None:
    if path.suffix.lower() not in FORMATS:
        known = ", ".join(ending[1:].upper() for ending in FORMATS)
        raise UnreadableFileError(f"{path.name}: mesh files of this kind are not read; save it as one of {known}")


def _check_claims(path: Path, data: bytes) -> None:
    """Raises UnreadableFileError for more triangles than are read, before a library makes room for them."""
    kind = path.suffix.lower()
    claims = 0
    if kind == ".stl":
        text = data[:5].lower() == b"solid" and b"facet" in data[:1000]
        claims = data.count(b"endfacet") if text else max((len(data) - 84) // 50, 0)
    elif kind == ".ply":
        found = re.search(rb"element\s+face\s+(\d{1,15})", data[:100_000])
        claims = int(found[1]) if found else 0
        points = re.search(rb"element\s+vertex\s+(\d{1,15})", data[:100_000])
        if claims + (int(points[1]) if points else 0) > len(data):
            raise UnreadableFileError(f"{path.name}: says it holds more than there is in it; save it again")
    if claims > MOST_TRIANGLES:
        raise UnreadableFileError(
            f"{path.name}: {claims} triangles are more than the {MOST_TRIANGLES} read; save the roof alone"
        )


def _load(path: Path, data: bytes) -> tuple[Points, Numbers]:
    if path.suffix.lower() in (".glb", ".gltf"):
        check_gltf(path, data)
    # loading the library takes longer than taking off a house: only jobs with a mesh pay for it
    import trimesh

    try:
        kind = path.suffix[1:].lower()
        beside = Beside(path.parent, GREATEST_BYTES) if kind == "gltf" else None
        scene = trimesh.load_scene(BytesIO(_as_utf8(path, data)), file_type=kind, resolver=beside, process=False)
        _check_placed(path, scene)
        mesh = scene.to_geometry() if scene.geometry else None
    except UnreadableFileError:
        raise
    except _BROKEN as err:
        # what a library misses says nothing about the file
        why = "" if isinstance(err, ImportError) else f" ({err})"
        kind = path.suffix[1:].upper()
        raise UnreadableFileError(
            f"{path.name}: cannot be read as a mesh, it is no {kind}{why}; save it again"
        ) from None
    if not isinstance(mesh, trimesh.Trimesh):
        raise UnreadableFileError(
            f"{path.name}: holds no faces; save the roof as a mesh of faces, not of lines or points"
        )
    import numpy as np

    return np.asarray(mesh.vertices, dtype=np.float64), np.asarray(mesh.faces, dtype=np.int64)


def _check_placed(path: Path, scene: Scene) -> None:
    """Raises UnreadableFileError for more triangles than are read: a part may be placed any number of times."""
    parts = (scene.geometry[scene.graph[node][1]] for node in scene.graph.nodes_geometry)
    count = sum(len(getattr(part, "faces", ())) for part in parts)
    if count > MOST_TRIANGLES:
        raise UnreadableFileError(
            f"{path.name}: {count} triangles are more than the {MOST_TRIANGLES} read; save the roof alone"
        )


def _as_utf8(path: Path, content: bytes) -> bytes:
    """A text file's bytes as UTF-8, taken as Latin-1 where they are not; those of a file that is not text as they are.

    Letters matter in names and comments alone, but the reading library refuses a file it cannot decode.
    """
    ending = path.suffix.lower()
    if ending not in (*_TEXT, ".stl"):
        return content
    if ending == ".stl":
        # binary STL: 80 bytes of heading, the count of triangles, 50 bytes a triangle
        count = struct.unpack("<I", content[80:84])[0] if len(content) >= 84 else -1
        if len(content) == 84 + 50 * count or content.lstrip()[:5].lower() != b"solid":
            return content
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("latin-1").encode("utf-8")
    return content


def _check(path: Path, points: Points, triangles: Numbers) -> None:
    import numpy as np

    if len(triangles) == 0:
        raise UnreadableFileError(f"{path.name}: holds no faces; save the roof as a mesh of faces")
    if len(triangles) > MOST_TRIANGLES:
        raise UnreadableFileError(
            f"{path.name}: {len(triangles)} triangles are more than the {MOST_TRIANGLES} read; save the roof alone"
        )
    if triangles.min() < 0 or triangles.max() >= len(points):
        raise UnreadableFileError(f"{path.name}: has faces between points that do not exist; save it again")
    if not np.isfinite(points).all() or np.abs(points).max() > 1e12:
        raise UnreadableFileError(f"{path.name}: has points that are not numbers or absurdly far away; save it again")
