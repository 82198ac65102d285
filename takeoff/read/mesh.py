"""A mesh file (OBJ, STL, PLY, GLB, OFF) -> triangles in mm, z up.

Reads only: what is roof and what is wall is found later. Unit and up axis are taken from the job; where it is silent
they are found, and a finding says what was taken and how large the house then is.
"""

from __future__ import annotations

import struct
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from takeoff.basics.errors import ShapeError, UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.model.faces import RawFaces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import MeshJob
from takeoff.read.files_beside import Beside
from takeoff.read.gltf_guard import check_gltf

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from trimesh import Scene

    Points = NDArray[np.float64]
    Triangles = NDArray[np.int64]

MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
_TEXT = (".obj", ".off")  # always text; STL is where its size is not that of a binary one
FORMATS = (".obj", ".stl", ".ply", ".glb", ".gltf", ".off")
GREATEST_BYTES = 200_000_000
MOST_TRIANGLES = 400_000
# a house is some 4 to 60 m long: figures up to 200 are metres, up to 3000 centimetres, above that millimetres
_METRES_UP_TO = 200.0
_CENTIMETRES_UP_TO = 3000.0
# a whole shape outside these is drawn in another unit; a unit is offered where it makes a house of the figures
_LEAST_MM = 500.0
_MOST_MM = 1_000_000.0
_HOUSE_MM = (3_000.0, 100_000.0)
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
_UPRIGHT = 0.05  # a face whose normal rises by less than this share is a wall
_PLAIN_LIFT = 0.2  # a house with walls reaches 0.25 and more the right way up
_LIFT_MARGIN = 0.05  # z is taken unless another axis is better by more than this share of the height


def read_mesh(path: Path, mesh_job: MeshJob) -> RawFaces:
    """Read a mesh file. Node transforms of scenes are applied; points and triangles are as in the file, unmerged.

    A stated up axis that the faces contradict is a finding, a stop where they do so strongly. Raises
    UnreadableFileError for a missing, oversized, empty or broken file and for formats that are not read, ShapeError
    where the unit makes the shape less than 500 mm or more than 1 km across.
    """
    points, triangles = _load(path)
    _check(path, points, triangles)
    findings: list[Finding] = []
    lifts = _lifts(points, triangles)
    if mesh_job.up is not None:
        findings += _up_findings(path, mesh_job.up, lifts)
    up = mesh_job.up or _found_up(path, lifts, findings)
    points = _turned(points, up)
    unit = mesh_job.unit or _found_unit(path, points, findings)
    _check_size(path, points, unit)
    points = points * MM_PER_UNIT[unit]
    return RawFaces(
        vertices_mm=tuple((float(x), float(y), float(z)) for x, y, z in points),
        triangles=tuple((int(a), int(b), int(c)) for a, b, c in triangles),
        came_from=path.name,
        findings=tuple(findings),
    )


def _load(path: Path) -> tuple[Points, Triangles]:
    if path.suffix.lower() not in FORMATS:
        known = ", ".join(ending[1:].upper() for ending in FORMATS)
        raise UnreadableFileError(f"{path.name}: mesh files of this kind are not read; save it as one of {known}")
    data = read_bounded(path, GREATEST_BYTES, "model")
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


def _check(path: Path, points: Points, triangles: Triangles) -> None:
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


def _turned(points: Points, up: str) -> Points:
    """Points turned so that the axis `up` is +z; a proper rotation, so nothing is mirrored."""
    x, y, z = points[:, 0], points[:, 1], points[:, 2]
    import numpy as np

    columns = {
        "z": (x, y, z),
        "-z": (x, -y, -z),
        "y": (x, -z, y),
        "-y": (x, z, -y),
        "x": (y, z, x),
        "-x": (y, -z, -x),
    }
    return np.stack(columns[up], axis=1)


def _lifts(points: Points, triangles: Triangles) -> dict[str, float]:
    """How plainly each axis points up: how much further the roof lies over the walls than turned upside down.

    The end of a closed house counts as roof whichever way it lies; set against the opposite axis that falls out. 0
    where there is nothing to compare.
    """
    over = {axis: _roof_over_walls(_turned(points, axis), triangles) for axis in ("z", "y", "x", "-z", "-y", "-x")}
    return {axis: (lift - over[_opposite(axis)]) / 2.0 for axis, lift in over.items()}


def _opposite(axis: str) -> str:
    return axis[1:] if axis.startswith("-") else f"-{axis}"


def _best_up(lifts: dict[str, float]) -> str:
    best = max(lifts, key=lambda axis: lifts[axis])
    return "z" if lifts["z"] >= lifts[best] - _LIFT_MARGIN else best


def _up_findings(path: Path, up: str, lifts: dict[str, float]) -> list[Finding]:
    """What the faces say against a stated up axis: a warning, a stop where they say so plainly."""
    best = _best_up(lifts)
    if lifts[best] - lifts[up] <= _LIFT_MARGIN:
        return []
    plain = lifts[best] >= _PLAIN_LIFT and lifts[up] <= _LIFT_MARGIN
    return [
        Finding(
            "mesh-up-contradicted",
            Severity.STOP if plain else Severity.WARN,
            f"{path.name}: up: {up} is stated, but the faces look built with {best} up",
            f"is up right? say up: {best} in the job's mesh, or turn the model",
        )
    ]


def _found_up(path: Path, lifts: dict[str, float], findings: list[Finding]) -> str:
    """The axis that points up: glTF says y; else the one along which the roof lies above the walls."""
    if path.suffix.lower() in (".glb", ".gltf"):
        return "y"
    best = _best_up(lifts)
    findings.append(
        Finding(
            "mesh-up-taken",
            Severity.WARN,
            f"{path.name}: no up axis given; {best} was taken",
            "say so with up: in the job's mesh",
        )
    )
    return best


def _roof_over_walls(points: Points, triangles: Triangles) -> float:
    """How far, in shares of the model's height, sloping and level faces lie above the upright ones on average.

    Level faces at the very bottom, a floor or the ground, are left out. -1 where there is nothing to compare.
    """
    import numpy as np

    a, b, c = (points[triangles[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    areas = np.linalg.norm(normals, axis=1)
    low, high = float(points[:, 2].min()), float(points[:, 2].max())
    if high <= low or not areas.any():
        return -1.0
    steep = np.abs(normals[:, 2]) <= _UPRIGHT * areas
    top = np.maximum(np.maximum(a[:, 2], b[:, 2]), c[:, 2])
    roof = ~steep & (top > low + 0.01 * (high - low))
    if not areas[steep].any() or not areas[roof].any():
        return -1.0
    middle = (a[:, 2] + b[:, 2] + c[:, 2]) / 3.0
    over = np.average(middle[roof], weights=areas[roof]) - np.average(middle[steep], weights=areas[steep])
    return float(over) / (high - low)


def _found_unit(path: Path, points: Points, findings: list[Finding]) -> str:
    size = points.max(axis=0) - points.min(axis=0)
    across = float(max(size[0], size[1]))
    if path.suffix.lower() in (".glb", ".gltf") or across <= _METRES_UP_TO:
        unit = "m"
    else:
        unit = "cm" if across <= _CENTIMETRES_UP_TO else "mm"
    metres = [float(s) * MM_PER_UNIT[unit] / 1000.0 for s in size]
    findings.append(
        Finding(
            "mesh-unit-taken",
            Severity.WARN,
            f"{path.name}: no unit given; {unit} was taken, so the model is {metres[0]:.2f} x {metres[1]:.2f} m and "
            f"{metres[2]:.2f} m high",
            "say so with unit: in the job's mesh",
        )
    )
    return unit


def _check_size(path: Path, points: Points, unit: str) -> None:
    """Raise ShapeError where the unit makes the whole shape no house's size, naming the units that would."""
    size = points.max(axis=0) - points.min(axis=0)
    across = float(max(size[0], size[1]))
    if _LEAST_MM <= across * MM_PER_UNIT[unit] <= _MOST_MM:
        return
    fitting = [
        f"unit: {name} makes it {across * factor / 1000.0:.2f} m"
        for name, factor in MM_PER_UNIT.items()
        if _HOUSE_MM[0] <= across * factor <= _HOUSE_MM[1]
    ]
    asked = "was this drawn in metres? " if across * MM_PER_UNIT["m"] <= _HOUSE_MM[1] and unit != "m" else ""
    raise ShapeError(
        f"{path.name}: with unit {unit} the whole shape is {_size_words(across * MM_PER_UNIT[unit])} across, no "
        f"house's size; {asked}{', '.join(fitting) or 'scale the model to a house'}"
    )


def _size_words(mm: float) -> str:
    return f"{mm:.3g} mm" if mm < _LEAST_MM else f"{mm / 1e6:.3g} km"
