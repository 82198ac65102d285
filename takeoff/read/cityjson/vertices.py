"""The vertices of a CityJSON document as points."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.vectors import Point3

_FURTHEST = 1e9  # from the origin of any grid of metres on earth


class Vertices:
    """The vertices of a document in metres by their numbers, scaled and placed as its transform says.

    Raises UnreadableFileError for a transform of another kind, ValueError for vertices that are no points.
    """

    def __init__(self, path: Path, document: dict[str, Any]) -> None:
        vertices = document.get("vertices")
        self.vertices: Sequence[Any] = vertices if isinstance(vertices, list) else ()
        transform = document.get("transform")
        self.scale, self.translate = (1.0, 1.0, 1.0), (0.0, 0.0, 0.0)
        if transform is not None:
            try:
                self.scale, self.translate = _point(transform["scale"]), _point(transform["translate"])
            except (KeyError, TypeError, ValueError):
                raise UnreadableFileError(f"{path.name}: its transform is no scale and place; save it again") from None

    def __getitem__(self, number: int) -> Point3:
        if not 0 <= number < len(self.vertices):
            raise ValueError(f"vertex {number} does not exist, there are {len(self.vertices):,}")
        x, y, z = _point(self.vertices[number])
        (sx, sy, sz), (tx, ty, tz) = self.scale, self.translate
        placed = (x * sx + tx, y * sy + ty, z * sz + tz)
        if not all(abs(value) <= _FURTHEST for value in placed):
            raise ValueError(f"vertex {number} is absurdly far away")
        return placed


def _point(value: object) -> Point3:
    if not isinstance(value, list) or len(value) != 3 or not all(type(v) in (int, float) for v in value):
        raise ValueError("a vertex is not three figures")
    try:
        x, y, z = (float(v) for v in value)
    except OverflowError:
        raise ValueError("a vertex is absurdly far away") from None
    if not (isfinite(x) and isfinite(y) and isfinite(z)):
        raise ValueError("a vertex is not three figures")
    return (x, y, z)
