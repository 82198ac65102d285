"""What a model file says of a shape, undecided: points, triangles, parts, and what its format states of unit and axis.

A reader fills these records and decides nothing. What is up, what a figure is worth in mm, which bodies are the roof:
one room decides that for every kind of file (shape/imported/deciding).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any, Literal

from takeoff.basics.records import record
from takeoff.model.findings import Finding

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Points = NDArray[np.float64]
    Numbers = NDArray[np.int64]

Unit = Literal["mm", "cm", "m", "in", "ft"]
Axis = Literal["x", "y", "z", "-x", "-y", "-z"]

MM_PER_UNIT: dict[Unit, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
AXES: tuple[Axis, ...] = ("z", "y", "x", "-z", "-y", "-x")


class StatedPart(StrEnum):
    """What a file says a part of it is. Most mesh files say nothing."""

    UNKNOWN = "unknown"
    ROOF = "roof"
    WALL = "wall"
    FLOOR = "floor"
    GROUND = "ground"
    OPENING = "opening"
    OTHER = "other"


@record
class RawPart:
    """One part that a file names: `id` as the file has it (a GlobalId, a key, an object's number), `name` for people.

    `building` and `storey` are ids or names of what the part belongs to, "" where the file says nothing.
    """

    id: str
    name: str = ""
    stated: StatedPart = StatedPart.UNKNOWN
    building: str = ""
    storey: str = ""


@record
class StatedArea:
    """An area that a file itself gives for one of its parts: the part's id, the file's word for it, and m2."""

    part: str
    word: str
    m2: float


WHOLE = RawPart("1")
"""The one part of a file that names none."""


@dataclass(frozen=True, slots=True, eq=False)
class RawFaces:
    """Triangles as the file has them, in its own unit and axes. The arrays are never written to.

    `points` (n, 3) float64; `triangles` (m, 3) int64 into them, every corner in its polygon's order; `polygon_of` (m,):
    which polygon of the file a triangle was cut from, numbers never shared between parts; `part_of` (m,): its part, a
    place in `parts`, of which there is at least one. `stated_unit_mm`: mm to one unit where format or file state it,
    `stated_up`: the axis that the FORMAT fixes (glTF y, CityJSON and IFC z); None where nothing is stated.
    `stated_areas`: what the file says its parts measure.
    """

    points: Points
    triangles: Numbers
    polygon_of: Numbers
    part_of: Numbers
    came_from: str
    parts: tuple[RawPart, ...] = (WHOLE,)
    stated_unit_mm: float | None = None
    stated_up: Axis | None = None
    stated_areas: tuple[StatedArea, ...] = ()
    findings: tuple[Finding, ...] = ()


def raw_faces(
    points: Sequence[Sequence[float]] | Points,
    triangles: Sequence[Sequence[int]] | Numbers,
    came_from: str,
    *,
    polygon_of: Sequence[int] | Numbers | None = None,
    part_of: Sequence[int] | Numbers | None = None,
    **stated: Any,
) -> RawFaces:
    """RawFaces from lists or arrays; every triangle its own polygon and all of one part where nothing else is given.

    `stated`: any of parts, stated_unit_mm, stated_up, stated_areas, findings.
    """
    import numpy as np

    corners = np.asarray(triangles, dtype=np.int64).reshape(-1, 3)
    count = len(corners)
    polygons = np.arange(count) if polygon_of is None else np.asarray(polygon_of, dtype=np.int64)
    owners = np.zeros(count, dtype=np.int64) if part_of is None else np.asarray(part_of, dtype=np.int64)
    placed = np.asarray(points, dtype=np.float64).reshape(-1, 3)
    return RawFaces(placed, corners, polygons, owners, came_from, **stated)
