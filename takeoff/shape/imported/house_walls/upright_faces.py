"""The upright faces of a model that are walls, and the bodies of its openings, in a roof's own coordinates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.vectors import Point3
from takeoff.model.faces import RawFaces, StatedPart

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takeoff.model.faces import Numbers, Points

_UPRIGHT = 0.05  # a face whose normal rises by less than this share is a wall: 3 degrees
_LEAST_MM2 = MODEL_LIMITS.least_face_mm2
_STRIP_DEG, _STRIP_MM = 1.0, 25.0  # faces are gathered to strips of one direction and one line
_LOW_MM = MODEL_LIMITS.low_strip_mm


@dataclass(frozen=True, slots=True, eq=False)
class OpeningBody:
    """The corners (n, 3, 3) of an opening's triangles [mm], and what the file calls it."""

    corners_mm: Points
    name: str


@dataclass(frozen=True, slots=True, eq=False)
class UprightFaces:
    """Triangles that stand upright (n, 3, 3) [mm], and openings that the file states."""

    corners_mm: Points
    openings: tuple[OpeningBody, ...]


def upright_faces(raw: RawFaces, points_mm: Points, origin_mm: Point3) -> UprightFaces:
    """Upright triangles of the parts that a file states to be walls, of all that it says nothing of where it states no
    wall; strips that are too low to be a wall (boards, gutters) are left out."""
    local = points_mm - np.asarray(origin_mm)
    stated = np.array([list(StatedPart).index(part.stated) for part in raw.parts])[raw.part_of]
    walls = stated == list(StatedPart).index(StatedPart.WALL)
    if not walls.any():
        walls = stated == list(StatedPart).index(StatedPart.UNKNOWN)
    corners = local[raw.triangles[walls]]
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    doubled = np.linalg.norm(crossed, axis=1)
    stand = (doubled > 2.0 * _LEAST_MM2) & (np.abs(crossed[:, 2]) <= _UPRIGHT * doubled)
    corners, crossed, doubled = corners[stand], crossed[stand], doubled[stand]
    if len(corners):
        corners = corners[_high(corners, crossed, doubled)]
    openings = tuple(
        OpeningBody(local[body], part.name)
        for number, part in enumerate(raw.parts)
        if part.stated is StatedPart.OPENING
        for body in _bodies(raw.triangles[raw.part_of == number])
    )
    return UprightFaces(corners, openings)


def _bodies(triangles: Numbers) -> list[Numbers]:
    """Triangles that hang together by corners they share: a part may hold many windows."""
    owner: dict[int, int] = {}

    def top(corner: int) -> int:
        while owner.setdefault(corner, corner) != corner:
            owner[corner] = corner = owner[owner[corner]]
        return corner

    for a, b, c in triangles.tolist():
        owner[top(b)] = owner[top(c)] = top(a)
    groups: dict[int, list[int]] = {}
    for number, corner in enumerate(triangles[:, 0].tolist()):
        groups.setdefault(top(corner), []).append(number)
    return [triangles[group] for group in groups.values()]


def _high(corners: Points, crossed: Points, doubled: Points) -> NDArray[np.bool_]:
    """Which triangles stand in strips that are high enough for a wall: their area over the length they run along."""
    normal = _directions(crossed)
    off = np.einsum("ij,ij->i", corners[:, :, :2].mean(axis=1), normal)
    order = np.lexsort((off, normal[:, 1], normal[:, 0]))
    new = (np.diff(normal[order], axis=0) != 0.0).any(axis=1) | (np.diff(off[order]) > _STRIP_MM)
    strip = np.empty(len(order), dtype=np.int64)
    strip[order] = np.concatenate([[0], np.cumsum(new)])
    along = np.einsum("ijk,ik->ij", corners[:, :, :2], np.stack([-normal[:, 1], normal[:, 0]], axis=1))
    high = np.zeros(int(strip.max()) + 1, dtype=bool)
    for number in range(len(high)):
        own = strip == number
        length = _covered(along[own].min(axis=1), along[own].max(axis=1))
        high[number] = length > 0.0 and doubled[own].sum() / 2.0 >= _LOW_MM * length
    return high[strip]


def _directions(crossed: Points) -> Points:
    """Unit vectors in plan (n, 2) square to triangles, the same for all of nearly one direction, whichever way they
    look: the mean of these by their areas. A rounded one would part the ends of a long wall that runs between."""
    angle = np.degrees(np.arctan2(crossed[:, 1], crossed[:, 0])) % 180.0
    _, group = np.unique(np.round(angle / _STRIP_DEG) % (180.0 / _STRIP_DEG), return_inverse=True)
    group = group.reshape(-1)
    turned = np.where((np.abs(angle - 180.0) <= _STRIP_DEG / 2.0)[:, None], -1.0, 1.0) * _half_turned(crossed)
    total = np.stack([np.bincount(group, turned[:, k]) for k in (0, 1)], axis=1)
    mean: Points = (total / np.linalg.norm(total, axis=1)[:, None])[group]
    return mean


def _half_turned(crossed: Points) -> Points:
    """Ways in plan turned to lie within the half turn from x on."""
    back = (crossed[:, 1] < 0.0) | ((crossed[:, 1] == 0.0) & (crossed[:, 0] < 0.0))
    found: Points = np.where(back[:, None], -crossed[:, :2], crossed[:, :2])
    return found


def _covered(starts: Points, ends: Points) -> float:
    """Length that stretches cover together."""
    order = np.argsort(starts)
    total, reach = 0.0, -np.inf
    for a, b in zip(starts[order].tolist(), ends[order].tolist(), strict=True):
        if b > reach:
            total += b - max(a, reach)
            reach = b
    return total
