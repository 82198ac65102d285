"""Whether a glTF model may be opened: the sizes it states are trusted by libraries, so they are bounded first."""

from __future__ import annotations

import json
import struct
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError

MOST_FIGURES = 20_000_000  # points, corners and directions of all parts together
MOST_NODES = 20_000
_HEADER = struct.Struct("<4sIIII")


def check_gltf(path: Path, data: bytes) -> None:
    """Raises UnreadableFileError for a model whose parts are said to hold more than a house does. What is no glTF at
    all is left to the reader."""
    if data[:4] == b"glTF" and len(data) >= _HEADER.size:
        length = _HEADER.unpack_from(data)[3]
        data = data[_HEADER.size : _HEADER.size + length]
    try:
        tree = json.loads(data)
    except (ValueError, RecursionError):
        return
    if not isinstance(tree, dict):
        return
    nodes = tree.get("nodes")
    if isinstance(nodes, list) and len(nodes) > MOST_NODES:
        raise UnreadableFileError(f"{path.name}: {len(nodes):,} nodes, more than the {MOST_NODES:,} read")
    accessors = tree.get("accessors")
    stated = [part.get("count") for part in accessors if isinstance(part, dict)] if isinstance(accessors, list) else []
    figures = sum(count for count in stated if isinstance(count, int) and count > 0)
    if figures > MOST_FIGURES:
        raise UnreadableFileError(
            f"{path.name}: states {figures:,} figures, more than the {MOST_FIGURES:,} read; save the roof alone"
        )
