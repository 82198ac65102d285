"""Where a file says which of its parts are roof: those alone, of bodies with thickness the one face the sheets lie on.

A roof slab is a closed body: top, underside and cut ends. Its top is its greatest plane that looks up. Other planes
count beside it where a plane of the underside lies as deep below them: so one body may be a whole roof, while the end
of a slab cut square at the ridge, which looks up too, is no roof.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.model.faces import RawFaces, RawPart, StatedPart
from takeoff.model.findings import Finding, Severity

if TYPE_CHECKING:
    from takeoff.model.faces import Numbers, Points

_UP = 0.087  # a face whose normal rises by this share is 85 degrees steep: no roof beyond
_PARALLEL = 0.9998  # 1.1 degrees
_PLANE_MM = MODEL_LIMITS.stated_plane_mm
_PARTNER = 0.3  # share of a plane's area that what lies parallel below it must have to be its underside
_DEEPER = 1.5  # how much thicker than at its greatest plane a body may be elsewhere


@dataclass(frozen=True, slots=True, eq=False)
class StatedRoof:
    """Triangles that are roof, by their numbers, each turned up, and what is to be said. `triangles` holds all of them
    where the file names no roof."""

    numbers: Numbers
    triangles: Numbers
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Plane:
    """Triangles of a body in one plane: numbers, unit normal, distance of the plane from the origin, area [mm2]."""

    numbers: Numbers
    normal: Points
    off_mm: float
    area_mm2: float


def stated_roof(raw: RawFaces, points_mm: Points, face: Literal["top", "underside"] | None) -> StatedRoof:
    """The roof of a model by what its file states of its parts; `points_mm` are its points, z up. `face`: which face of
    bodies with thickness the sheets lie on, the top without it."""
    every = np.arange(len(raw.triangles))
    roofs = [number for number, part in enumerate(raw.parts) if part.stated is StatedPart.ROOF]
    if not roofs:
        return StatedRoof(every, raw.triangles)
    numbers: list[Numbers] = []
    turned: list[Numbers] = []
    thick: list[tuple[RawPart, float]] = []
    for part in roofs:
        own = every[raw.part_of == part]
        corners = raw.triangles[own]
        if _closed(corners):
            kept, thickness_mm = _skin(points_mm, corners, face == "underside")
            own, corners = own[kept], corners[kept]
            if thickness_mm > 0.0:
                thick.append((raw.parts[part], thickness_mm))
            if face == "underside" and thickness_mm > 0.0:
                corners = corners[:, ::-1]
        numbers.append(own)
        turned.append(corners)
    findings = tuple(_findings(raw.came_from, thick, face or "top"))
    return StatedRoof(np.concatenate(numbers), np.concatenate(turned), findings)


def _closed(triangles: Numbers) -> bool:
    """Whether every side of a part's triangles is the side of another, run the other way."""
    sides = np.concatenate([triangles[:, (0, 1)], triangles[:, (1, 2)], triangles[:, (2, 0)]])
    forth = {(int(a), int(b)) for a, b in sides}
    return all((b, a) in forth for a, b in forth)


def _skin(points: Points, triangles: Numbers, under: bool) -> tuple[Numbers, float]:
    """Triangles of a body that the sheets lie on, and how thick it is below its greatest plane [mm], 0 where no plane
    lies parallel below: then all that looks up is roof."""
    planes = _planes(points, triangles)
    tops = [plane for plane in planes if plane.normal[2] > _UP]
    if not tops:
        return np.zeros(0, dtype=np.int64), 0.0
    greatest = max(tops, key=lambda plane: plane.area_mm2)
    below = _underside(greatest, planes)
    if below is None:
        return np.concatenate([plane.numbers for plane in tops]), 0.0
    thickness = _depth(greatest, below)
    pairs = [(top, low) for top in tops if (low := _underside(top, planes)) is not None]
    kept = [low if under else top for top, low in pairs if _depth(top, low) <= _DEEPER * thickness]
    return np.concatenate([plane.numbers for plane in kept]), thickness


def _planes(points: Points, triangles: Numbers) -> list[_Plane]:
    a, b, c = (points[triangles[:, k]] for k in range(3))
    crossed = np.cross(b - a, c - a)
    doubled = np.linalg.norm(crossed, axis=1)
    left = doubled > 0.0
    normals = crossed / np.where(left, doubled, 1.0)[:, None]
    middle = (a + b + c) / 3.0
    origin = middle.mean(axis=0)
    found: list[_Plane] = []
    while left.any():
        seed = int(np.argmax(np.where(left, doubled, -1.0)))
        off = (middle - middle[seed]) @ normals[seed]
        own = left & (normals @ normals[seed] > _PARALLEL) & (np.abs(off) <= _PLANE_MM)
        left &= ~own
        distance = float((middle[seed] - origin) @ normals[seed])
        found.append(_Plane(np.flatnonzero(own), normals[seed], distance, float(doubled[own].sum()) / 2.0))
    return found


def _underside(top: _Plane, planes: list[_Plane]) -> _Plane | None:
    """The nearest plane parallel below one, looking down, that is large enough to be its underside."""
    below = [
        plane
        for plane in planes
        if plane.normal @ top.normal < -_PARALLEL
        and plane.area_mm2 >= _PARTNER * top.area_mm2
        and _depth(top, plane) > 0.0
    ]
    return min(below, key=lambda plane: _depth(top, plane), default=None)


def _depth(top: _Plane, below: _Plane) -> float:
    return top.off_mm + below.off_mm


def _findings(name: str, thick: list[tuple[RawPart, float]], face: str) -> Iterator[Finding]:
    if not thick:
        return
    depths = sorted({round(depth) for _, depth in thick})
    words = f"{depths[0]} mm" if len(depths) == 1 else f"{depths[0]} to {depths[-1]} mm"
    other = "underside" if face == "top" else "top"
    yield Finding(
        "roof-face-taken",
        Severity.NOTE,
        f"{name}: its {len(thick)} roof bodies are {words} thick; the sheets are taken to lie on the {face}",
        f"where the {other} is meant: `face: {other}` in the job's shape; heights change by the thickness upright, "
        "and lengths at hips, valleys and ridges with it",
    )
