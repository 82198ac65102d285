"""Corners put where their ordered lines meet, and what may not be ordered found: corners that would move too far."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, sin

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, cross2, distance2
from takeoff.shape.outline_order.means import gathered, settled_mean
from takeoff.shape.outline_order.plan_sides import Direction, Line, Side, dot2, line_slack_mm

# lines that meet at less than this run on beside each other: where they meet says nothing
_LEAST_TURN = sin(radians(5.0))
_KEPT_MM = TOLERANCES.kept_mm
_LEAST_LEFT = 0.5  # a side that would lose more than this share of its length is not put in order


class Corners:
    """The points of a job's rings: as typed, and where ordered lines put them."""

    def __init__(self, sides: Sequence[Side]) -> None:
        self._sides = sides
        self._before = {side.after: place for place, side in enumerate(sides)}

    def placed(self, lines: Sequence[Line], coarse_mm: float) -> list[Point2]:
        """Every point where its sides' lines meet; on the one line it has, as near as can be; or as typed."""
        line_of = {place: line for line in lines for place in line.sides}
        points: list[Point2] = []
        along: list[tuple[int, Line]] = []
        for corner, side in enumerate(self._sides):
            one, other = line_of.get(self._before[corner]), line_of.get(corner)
            if one is not None and one is other:
                along.append((corner, one))
            points.append(self._meeting(corner, side.a, one, other))
        for corner, point in self._along_lines(along, lines, line_slack_mm(coarse_mm)):
            points[corner] = point
        return [
            side.a if distance2(point, side.a) <= _KEPT_MM else point
            for side, point in zip(self._sides, points, strict=True)
        ]

    def _meeting(self, corner: int, typed: Point2, one: Line | None, other: Line | None) -> Point2:
        if one is not None and other is not None and one is not other:
            turn = cross2(one.direction.along, other.direction.along)
            if abs(turn) >= _LEAST_TURN:
                return _crossing(one, other, turn)
            longer = max((self._before[corner], corner), key=lambda place: self._sides[place].length_mm)
            return _onto(one if longer != corner else other, typed)
        line = one or other
        return typed if line is None else _onto(line, typed)

    def _along_lines(
        self, along: Sequence[tuple[int, Line]], lines: Sequence[Line], slack_mm: float
    ) -> list[tuple[int, Point2]]:
        """Points between two sides of one line: their place along it is that of a line square to it, or of another
        such point, where one is near."""
        across: dict[tuple[int, int], list[float]] = {}
        for line in lines:
            across.setdefault(line.direction.line_key, []).append(_forward(line.direction) * line.off_mm)
        by_key: dict[tuple[int, int], list[tuple[float, int, Line]]] = {}
        for corner, line in along:
            place_mm = dot2(self._sides[corner].a, line.direction.along)
            by_key.setdefault(line.direction.line_key, []).append((place_mm, corner, line))
        found: list[tuple[int, Point2]] = []
        for points in by_key.values():
            known = across.get(points[0][2].direction.cross_key, [])
            for group in gathered([p[0] for p in points], [1.0] * len(points), slack_mm):
                mean = settled_mean([points[n][0] for n in group], [1.0] * len(group))
                near = min(known, key=lambda off: abs(off - mean), default=mean)
                at = near if abs(near - mean) <= slack_mm else mean
                found += [(points[n][1], _at(points[n][2], at)) for n in group]
        return found

    def misplaced(self, points: Sequence[Point2]) -> set[int]:
        """Sides at corners that moved too far, and sides that turned round or nearly vanished."""
        found: set[int] = set()
        for place, side in enumerate(self._sides):
            if distance2(points[side.corner], side.a) > TOLERANCES.order_mm:
                found |= {place, self._before[place]}
            a, b = points[side.corner], points[side.after]
            left = dot2((b[0] - a[0], b[1] - a[1]), (side.b[0] - side.a[0], side.b[1] - side.a[1]))
            if side.length_mm > 0.0 and left < _LEAST_LEFT * side.length_mm**2:
                found |= {place, self._before[place], side.after}
        return found


def _forward(direction: Direction) -> float:
    """1 where a line's offs grow along lines square to it, -1 where they grow the other way."""
    return -1.0 if direction.quarters % 2 else 1.0


def _at(line: Line, place_mm: float) -> Point2:
    (x, y), (nx, ny) = line.direction.along, line.direction.square
    return (x * place_mm + nx * line.off_mm, y * place_mm + ny * line.off_mm)


def _onto(line: Line, point: Point2) -> Point2:
    nx, ny = line.direction.square
    off = line.off_mm - dot2(point, (nx, ny))
    return (point[0] + nx * off, point[1] + ny * off)


def _crossing(one: Line, other: Line, turn: float) -> Point2:
    """Where two lines n.p = off meet."""
    (ax, ay), (bx, by) = one.direction.square, other.direction.square
    return ((one.off_mm * by - other.off_mm * ay) / turn, (other.off_mm * ax - one.off_mm * bx) / turn)
