"""Whether convex shapes lie over each other: two do where no side of either parts them."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.drawing import bounds

Box = tuple[float, float, float, float]  # least x, least y, greatest x, greatest y
Axis = tuple[float, float, float, float]  # square to a side: its x and y, least and greatest of the shape along it


class Taken:
    """A convex shape, or a line, made ready to be held against many others. `level`: it is its own bounds."""

    __slots__ = ("_axes", "box", "level", "points")

    def __init__(self, points: Ring2) -> None:
        self.points, self.box, self.level = points, bounds(points), level(points)
        self._axes: tuple[Axis, ...] = ()

    @property
    def axes(self) -> tuple[Axis, ...]:
        """The axes that may part it from another; of most shapes nobody asks for them."""
        if not self._axes:
            self._axes = axes_of(self.points)
        return self._axes


def level(shape: Sequence[Point2]) -> bool:
    """Whether a convex shape is its own bounds: a box that is not turned, or a line along x or y. Two of those lie over
    each other where their bounds do."""
    ax, ay = shape[-1]
    for bx, by in shape:
        if ax != bx and ay != by:
            return False
        ax, ay = bx, by
    return True


def axes_of(shape: Sequence[Point2]) -> tuple[Axis, ...]:
    """The axes square to the sides of a shape; of two sides that run exactly against each other one says all."""
    found: dict[Point2, Axis] = {}
    ax, ay = shape[-1]
    for bx, by in shape:
        nx, ny = by - ay, ax - bx
        if (-nx, -ny) not in found:
            along = [nx * x + ny * y for x, y in shape]
            found[nx, ny] = (nx, ny, min(along), max(along))
        ax, ay = bx, by
    return tuple(found.values())


def parted(axes: Sequence[Axis], points: Sequence[Point2]) -> bool:
    """Whether points lie all on one side of a shape, along one of its axes; touching is parted."""
    x0, y0 = points[0]
    for nx, ny, low, high in axes:
        along = nx * x0 + ny * y0
        if along >= high:
            for x, y in points:
                if nx * x + ny * y < high:
                    break
            else:
                return True
        if along <= low:
            for x, y in points:
                if nx * x + ny * y > low:
                    break
            else:
                return True
    return False


def overlap(one: Sequence[Point2], other: Sequence[Point2]) -> bool:
    """Whether two convex shapes, or a shape and a line, lie over each other.

    >>> overlap(((0, 0), (2, 0), (2, 2), (0, 2)), ((1, -1), (1, 3))), overlap(((0, 0), (1, 0)), ((0, 1), (1, 1)))
    (True, False)
    """
    return not parted(axes_of(one), other) and not parted(axes_of(other), one)
