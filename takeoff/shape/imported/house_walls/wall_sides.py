"""One side of a wall line as the model draws it: its top, and where its face has holes or openings go through it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, distance2
from takeoff.shape.imported.house_walls.upright_faces import OpeningBody, UprightFaces

if TYPE_CHECKING:
    from takeoff.model.faces import Points

_ON_LINE_MM = MODEL_LIMITS.on_wall_mm
_GRID_MM = MODEL_LIMITS.wall_grid_mm
_SLIVER_MM = MODEL_LIMITS.hole_sliver_mm
_LEAST_MM2 = MODEL_LIMITS.least_hole_mm2
_WHOLE = 0.95  # share of a wall's width that a gap between storeys goes through
_STOREY_MM = MODEL_LIMITS.storey_gap_mm
_SQUARE = 0.97  # share of its own box that an opening must fill to be square
_DEEP_MM = MODEL_LIMITS.opening_deep_mm

Top = tuple[Point2, ...]


@record
class DrawnOpening:
    """An opening of a wall: its box in wall axes (from the left seen from outside, sill, width, height) [mm], what the
    file calls it, whether it fills its box, and whether its box lies within the wall."""

    box_mm: tuple[float, float, float, float]
    name: str
    square: bool
    fits: bool


@record
class DrawnSide:
    """A wall as drawn: its top at the left and right end and its foot over z = 0 [mm], the share of its length that has
    a face, its openings from left to right."""

    tops_mm: tuple[float, float]
    foot_mm: float
    covered: float
    openings: tuple[DrawnOpening, ...]


def drawn_side(left: Point2, right: Point2, faces: UprightFaces) -> DrawnSide | None:
    """The side of a wall line from its left to its right end, seen from outside; None where no face lies on it."""
    length = distance2(left, right)
    axes = _Axes(left, ((right[0] - left[0]) / length, (right[1] - left[1]) / length), length)
    drawn = _outer_face(axes, faces.corners_mm)
    if drawn.is_empty:
        return None
    tops = _tops(drawn, length)
    if not tops:
        return None
    foot = float(drawn.bounds[1])
    whole = _areas(shapely.union_all([_under(top, foot) for top in tops], grid_size=_GRID_MM))
    stated = _stated(axes, faces.openings, whole)
    holes = [hole for hole in _holes(whole, drawn, length) if not any(_same(hole, area) for area, _ in stated)]
    openings = [_opening(area, name, whole) for area, name in [*stated, *((hole, "") for hole in holes)]]
    return DrawnSide(
        tops_mm=(tops[0][0][1], tops[-1][-1][1]),
        foot_mm=foot,
        covered=sum(top[-1][0] - top[0][0] for top in tops) / length,
        openings=tuple(sorted(openings, key=lambda opening: opening.box_mm)),
    )


@record
class _Axes:
    """A wall's own axes: x from its left end, y up; `out` is positive outside."""

    left: Point2
    along: Point2
    length: float

    def of(self, corners: Points) -> tuple[Points, Points]:
        """(n, 3, 2) places in the wall's face and (n, 3) distances out of it, of corners (n, 3, 3)."""
        x, y = corners[:, :, 0] - self.left[0], corners[:, :, 1] - self.left[1]
        ux, uy = self.along
        return np.stack([x * ux + y * uy, corners[:, :, 2]], axis=2), x * uy - y * ux


def _outer_face(axes: _Axes, corners: Points) -> BaseGeometry:
    flat, out = axes.of(corners)
    near = np.abs(out).max(axis=1) <= _ON_LINE_MM
    polygons = np.asarray(shapely.polygons(flat[near]))
    polygons = polygons[shapely.area(polygons) > 1.0]
    lowest, highest = (float(flat[near][:, :, 1].min()), float(flat[near][:, :, 1].max())) if near.any() else (0.0, 0.0)
    box = shapely.box(0.0, lowest, axes.length, highest)
    return _areas(shapely.union_all(polygons, grid_size=_GRID_MM).intersection(box, grid_size=_GRID_MM))


def _areas(found: BaseGeometry) -> BaseGeometry:
    """The areas of an overlay, without the lines and points that touching leaves."""
    if found.geom_type in ("Polygon", "MultiPolygon"):
        return found
    return shapely.MultiPolygon([part for part in shapely.get_parts(found) if part.geom_type == "Polygon"])


def _tops(drawn: BaseGeometry, length: float) -> list[Top]:
    """The upper edge of a face, in stretches from left to right where it has gaps."""
    sides = [
        (a, b) if a[0] < b[0] else (b, a)
        for part in shapely.get_parts(drawn)
        if part.geom_type == "Polygon"
        for a, b in pairwise(part.exterior.coords)
        if abs(a[0] - b[0]) > _GRID_MM
    ]
    stops = sorted({0.0, length, *(point[0] for side in sides for point in side)})
    found: list[list[Point2]] = []
    open_end = False
    for x0, x1 in pairwise(stops):
        if x1 - x0 <= _GRID_MM:
            continue
        over = [side for side in sides if side[0][0] <= x0 + _GRID_MM and side[1][0] >= x1 - _GRID_MM]
        if not over:
            open_end = False
            continue
        top = max(over, key=lambda side: _at(side, (x0 + x1) / 2.0))
        if not open_end:
            found.append([])
        found[-1] += [(x0, _at(top, x0)), (x1, _at(top, x1))]
        open_end = True
    return [tuple(top) for top in found]


def _at(side: Sequence[Point2], x: float) -> float:
    (ax, ay), (bx, by) = side
    return ay + (x - ax) / (bx - ax) * (by - ay)


def _under(top: Top, foot: float) -> BaseGeometry:
    return shapely.Polygon([(top[0][0], foot), *top, (top[-1][0], foot)]).buffer(0.0)


def _holes(whole: BaseGeometry, drawn: BaseGeometry, length: float) -> list[BaseGeometry]:
    """Where a face is missing from its wall: neither slivers nor the gap that a floor leaves between two storeys."""
    found = []
    for hole in shapely.get_parts(whole.difference(drawn, grid_size=_GRID_MM)):
        left, low, right, high = hole.bounds
        between = right - left >= _WHOLE * length and high - low <= _STOREY_MM
        if (
            hole.geom_type == "Polygon"
            and hole.area >= _LEAST_MM2
            and not between
            and not hole.buffer(-_SLIVER_MM).is_empty
        ):
            found.append(hole)
    return found


def _stated(axes: _Axes, bodies: Sequence[OpeningBody], whole: BaseGeometry) -> list[tuple[BaseGeometry, str]]:
    """Openings that the file states and that go into this wall from its outer face, or are surfaces in it; those that
    overlap are one."""
    found: list[tuple[BaseGeometry, str]] = []
    for body in bodies:
        flat, out = axes.of(body.corners_mm)
        through = out.max() >= -_ON_LINE_MM and out.min() <= -_DEEP_MM
        if not (through or np.abs(out).max() <= _ON_LINE_MM):
            continue
        polygons = np.asarray(shapely.polygons(flat))
        area = shapely.union_all(polygons[shapely.area(polygons) > 1.0], grid_size=_GRID_MM)
        area = _areas(area.intersection(whole, grid_size=_GRID_MM))
        if area.area < _LEAST_MM2:
            continue
        name = body.name
        for other in [other for other in found if _same(other[0], area)]:
            found.remove(other)
            area, name = shapely.union_all([area, other[0]], grid_size=_GRID_MM), other[1] or name
        found.append((area, name))
    return found


def _same(one: BaseGeometry, other: BaseGeometry) -> bool:
    return bool(one.intersection(other).area > 0.3 * min(one.area, other.area))


def _opening(area: BaseGeometry, name: str, whole: BaseGeometry) -> DrawnOpening:
    left, low, right, high = (round(float(value), 2) for value in area.bounds)
    square = area.area >= _SQUARE * (right - left) * (high - low)
    fits = bool(whole.buffer(1.0).covers(shapely.box(left, low, right, high)))
    return DrawnOpening((left, low, round(right - left, 2), round(high - low, 2)), name, square, fits)
