"""The sides of an outline by edge number: which of them points of the roof lie on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import floor

from takeoff.basics.vectors import Point2, Point3, cross2, distance2
from takeoff.shape.faces.parts import Plan

_FEW = 40  # sides that are looked at one by one
_MOST_CELLS = 64  # across an outline


class OutlineSides:
    """Looks up sides of a plan's outline by edge number, in mm from the plan's origin."""

    def __init__(self, plan: Plan) -> None:
        self._near_mm = plan.near_mm
        self._ends: dict[int, tuple[Point2, Point2]] = {}
        for ring, numbers in zip(plan.outline_mm, plan.edge_numbers, strict=True):
            for i, number in enumerate(numbers):
                self._ends[number] = (ring[i], ring[(i + 1) % len(ring)])
        self._cells = _Cells(self._ends, self._near_mm)

    def along(self, number: int, point: Point3) -> float:
        """How far along a side a point lies, from the side's first point [mm]."""
        (ax, ay), (bx, by) = self._ends[number]
        run = (point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)
        return run / distance2((ax, ay), (bx, by))

    def holds(self, number: int, points: Iterable[Point3]) -> bool:
        """Whether all points lie on a side in plan. False for numbers that the outline does not have."""
        if number not in self._ends:
            return False
        a, b = self._ends[number]
        length, near = distance2(a, b), self._near_mm
        line = (b[0] - a[0], b[1] - a[1])
        return all(
            abs(cross2(line, (point[0] - a[0], point[1] - a[1]))) <= near * length
            and -near <= self.along(number, point) <= length + near
            for point in points
        )

    def _beside(self, number: int, segment: tuple[Point3, Point3]) -> bool:
        """Whether a segment and a side lie on each other for some of their length."""
        if self.holds(number, segment):
            return True
        if number not in self._ends:
            return False
        side = self._ends[number]
        flat = ((segment[0][0], segment[0][1]), (segment[1][0], segment[1][1]))
        (a, b), ends = sorted((side, flat), key=lambda pair: -distance2(*pair))
        length = distance2(a, b)
        if length <= self._near_mm:
            return False
        line = (b[0] - a[0], b[1] - a[1])
        if any(abs(cross2(line, (x - a[0], y - a[1]))) > self._near_mm * length for x, y in ends):
            return False
        along = sorted(((x - a[0]) * line[0] + (y - a[1]) * line[1]) / length for x, y in ends)
        return min(along[1], length) - max(along[0], 0.0) > self._near_mm

    def under(self, segments: Sequence[tuple[Point3, Point3]], first: Iterable[int], single: bool) -> tuple[int, ...]:
        """Numbers of the sides that any of the segments lies on: looked for among `first`, then, for an edge with a
        single face, among all."""
        near = self._cells.near([end for segment in segments for end in segment]) if single else ()
        for numbers in (first, near):
            found = tuple(sorted(n for n in numbers if any(self._beside(n, segment) for segment in segments)))
            if found:
                return found
        return ()

    def through(self, point: Point3) -> tuple[int, ...]:
        """Numbers of the sides a point lies on: two at a corner."""
        return tuple(number for number in self._cells.near((point,)) if self.holds(number, (point,)))

    def starting_at(self, point: Point3) -> int | None:
        """The least number of the sides that start at a point in plan."""
        near = [
            n for n in self._cells.near((point,)) if distance2(self._ends[n][0], (point[0], point[1])) < self._near_mm
        ]
        return min(near, default=None)


class _Cells:
    """The sides of a long outline by the cells of a plan grid that their boxes touch, so that those far off are not
    looked at. Short outlines have one cell."""

    def __init__(self, ends: Mapping[int, tuple[Point2, Point2]], near_mm: float) -> None:
        self._ends, self._pad = ends, 2.0 * near_mm
        self._side = 0.0
        if len(ends) > _FEW:
            lengths = sorted(distance2(a, b) for a, b in ends.values())
            across = max(max(at[k] for at, _ in ends.values()) - min(at[k] for at, _ in ends.values()) for k in (0, 1))
            self._side = max(2.0 * lengths[len(lengths) // 2], across / _MOST_CELLS, 1.0)
        self._held: dict[tuple[int, int], list[int]] = {}
        if self._side:
            for number, side in ends.items():
                for cell in self._touched(side):
                    self._held.setdefault(cell, []).append(number)

    def near(self, points: Sequence[Point2 | Point3]) -> tuple[int, ...]:
        """Numbers of all sides that may lie on the box of some points, in the outline's order."""
        if not self._side:
            return tuple(self._ends)
        if not points:
            return ()
        found = {number for cell in self._touched(points) for number in self._held.get(cell, ())}
        return tuple(number for number in self._ends if number in found) if found else ()

    def _touched(self, points: Sequence[Point2 | Point3]) -> Iterator[tuple[int, int]]:
        xs, ys = [point[0] for point in points], [point[1] for point in points]
        rows = range(floor((min(ys) - self._pad) / self._side), floor((max(ys) + self._pad) / self._side) + 1)
        for i in range(floor((min(xs) - self._pad) / self._side), floor((max(xs) + self._pad) / self._side) + 1):
            for j in rows:
                yield i, j
