"""Files with shapes -> RawFaces: which reader takes a file, by its ending. A new kind of file is a row here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.faces import RawFaces
from takeoff.model.job.roofs import ShapeJob

Reader = Callable[[Path, ShapeJob], RawFaces]


def _mesh(path: Path, _: ShapeJob) -> RawFaces:
    # readers are loaded when they are needed: their libraries take longer to load than a house to take off
    from takeoff.read.mesh import read_mesh

    return read_mesh(path)


def _three_mf(path: Path, _: ShapeJob) -> RawFaces:
    from takeoff.read.three_mf import read_three_mf

    return read_three_mf(path)


def _cityjson(path: Path, shape_job: ShapeJob) -> RawFaces:
    from takeoff.read.cityjson.cityjson import read_cityjson

    return read_cityjson(path, shape_job)


def _ifc(path: Path, shape_job: ShapeJob) -> RawFaces:
    from takeoff.read.ifc.ifc import read_ifc

    return read_ifc(path, shape_job)


READERS: Mapping[str, Reader] = {
    ".obj": _mesh,
    ".stl": _mesh,
    ".ply": _mesh,
    ".glb": _mesh,
    ".gltf": _mesh,
    ".off": _mesh,
    ".3mf": _three_mf,
    ".ifc": _ifc,
    ".city.json": _cityjson,
    ".json": _cityjson,
    ".jsonl": _cityjson,
}
"""Reader by the ending of a file's name, in small letters; the longest ending that fits is taken."""


def read_shape(path: Path, shape_job: ShapeJob) -> RawFaces:
    """What a file says of a shape, nothing decided. Of the job a reader may use what says which part of the file is
    meant (`part`, `layer`). Raises UnreadableFileError for files that cannot be used and endings that are not read."""
    endings = ("".join(path.suffixes[-2:]).lower(), path.suffix.lower())
    fitting = [ending for ending in endings if ending in READERS]
    if not fitting:
        known = ", ".join(ending[1:].upper() for ending in READERS)
        raise UnreadableFileError(f"{path.name}: files of this kind are not read as a shape; save it as one of {known}")
    return READERS[fitting[0]](path, shape_job)
