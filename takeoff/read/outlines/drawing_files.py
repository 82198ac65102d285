"""Drawings and maps that outlines are taken from, by the ending of their names."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.drawings import RawDrawing
from takeoff.read.outlines.dxf_lines import read_dxf
from takeoff.read.outlines.geojson_rings import read_geojson
from takeoff.read.outlines.ring_table import read_ring_table
from takeoff.read.outlines.wkt_rings import read_wkt

READERS: dict[str, Callable[[Path], RawDrawing]] = {
    ".dxf": read_dxf,
    ".dwg": read_dxf,  # which refuses it by name
    ".geojson": read_geojson,
    ".wkt": read_wkt,
    ".csv": read_ring_table,
}


def is_drawing(name: str) -> bool:
    """Whether a file of that name is a drawing or map with outlines, not a model of a building."""
    return Path(name).suffix.lower() in READERS


def read_drawing(path: Path) -> RawDrawing:
    """Read a drawing by the ending of its name. Raises UnreadableFileError as its reader does, and for other
    endings."""
    if not is_drawing(path.name):
        known = ", ".join(ending[1:].upper() for ending in READERS if ending != ".dwg")
        raise UnreadableFileError(f"{path.name}: drawings of this kind are not read; save it as one of {known}")
    return READERS[path.suffix.lower()](path)
