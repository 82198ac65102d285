"""Laying one plan over another: the shift and turn under which most edges of the roofs fall on each other.

A house drawn from another corner, or turned together with its north point, is the same house.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import atan2, cos, degrees, hypot, radians, sin

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.edge_kinds import EdgeKind, Place
from takeoff.model.snapshot import SeenEdge, Snapshot

_SAME_MM = TOLERANCES.lay_over_mm
_MOST_EDGES = 150  # the longest are enough to tell how a plan lies
_CELL_MM, _CELL_DEG = 5.0, 0.05
# level edges between planes: their ends come in any order, so they tell no direction
_TURNABLE = frozenset(kind.value for kind in EdgeKind if kind.row.place is Place.INNER and kind.row.level)
_BEST = 4  # votes looked into


@record
class Motion:
    """A turn about the origin (anticlockwise), then a shift: old places to new ones."""

    turn_deg: float = 0.0
    shift: Point2 = (0.0, 0.0)

    def place(self, point: Point2) -> Point2:
        """Where a place of the old plan lies on the new one [mm]."""
        x, y = self.turn(point)
        return (x + self.shift[0], y + self.shift[1])

    def turn(self, vector: Point2) -> Point2:
        """A direction of the old plan on the new one."""
        c, s = cos(radians(self.turn_deg)), sin(radians(self.turn_deg))
        return (vector[0] * c - vector[1] * s, vector[0] * s + vector[1] * c)

    @property
    def words(self) -> str:
        """The motion in words, "" for none."""
        parts = []
        if abs(self.turn_deg) > _CELL_DEG:
            parts.append(f"turned by {self.turn_deg:.1f} degrees")
        if hypot(*self.shift) > _SAME_MM:
            parts.append(f"shifted by {self.shift[0]:.0f} mm east and {self.shift[1]:.0f} mm north")
        return "old plan " + " and ".join(parts) if parts else ""


def lay_over(old: Snapshot, new: Snapshot) -> Motion:
    """The motion that lays the old plan on the new one. None where they lie on each other best as they are; where no
    edge falls on another, none if their extents touch, else middle on middle."""
    one, two = _longest(old.edges), _longest(new.edges)
    found = [Motion()]
    for turn in _turns(one, two):
        found += [Motion(turn, shift) for shift in _shifts(one, two, turn)]
    cells = _by_cell(two)
    scored = [(_score(one, cells, motion), motion) for motion in found]
    best, motion = min(scored, key=lambda pair: (-round(pair[0]), abs(pair[1].turn_deg), hypot(*pair[1].shift)))
    if best > 0.0 or not one or not two:
        return motion
    (x0, y0, x1, y1), (p0, q0, p1, q1) = _extent(one), _extent(two)
    if x0 <= p1 and p0 <= x1 and y0 <= q1 and q0 <= y1:
        return Motion()
    return Motion(0.0, ((p0 + p1 - x0 - x1) / 2.0, (q0 + q1 - y0 - y1) / 2.0))


def _longest(edges: Sequence[SeenEdge]) -> list[SeenEdge]:
    """The longest edges that tell their direction: a ridge's ends come in any order."""
    told = [edge for edge in edges if edge.kind not in _TURNABLE]
    return sorted(told, key=lambda edge: (-round(_length(edge), 3), edge.id))[:_MOST_EDGES]


def _length(edge: SeenEdge) -> float:
    return hypot(edge.b[0] - edge.a[0], edge.b[1] - edge.a[1])


def _bearing(edge: SeenEdge) -> float:
    return degrees(atan2(edge.b[1] - edge.a[1], edge.b[0] - edge.a[0]))


def _alike(one: SeenEdge, two: SeenEdge) -> bool:
    return one.kind == two.kind and abs(_length(one) - _length(two)) <= _SAME_MM


def _turns(one: Sequence[SeenEdge], two: Sequence[SeenEdge]) -> list[float]:
    """Turns that bring most length of edge into the same direction, the most first."""
    votes: dict[int, list[tuple[float, float]]] = {}
    for a in one:
        for b in two:
            if _alike(a, b):
                turn = (_bearing(b) - _bearing(a) + 180.0) % 360.0 - 180.0
                votes.setdefault(round(turn / _CELL_DEG), []).append((turn, _length(a)))
    best = sorted(votes.values(), key=lambda cell: (-sum(length for _, length in cell), abs(cell[0][0])))[:_BEST]
    turns = [sum(turn * length for turn, length in cell) / sum(length for _, length in cell) for cell in best]
    # a turn that is a crumb is none
    return [0.0 if abs(turn) < 1e-6 else turn for turn in turns]


def _shifts(one: Sequence[SeenEdge], two: Sequence[SeenEdge], turn_deg: float) -> list[Point2]:
    motion = Motion(turn_deg)
    votes: dict[tuple[int, int], list[tuple[Point2, float]]] = {}
    for a in one:
        p, q = motion.turn(a.a), motion.turn(a.b)
        for b in two:
            shift = (b.a[0] - p[0], b.a[1] - p[1])
            if _alike(a, b) and hypot(b.b[0] - q[0] - shift[0], b.b[1] - q[1] - shift[1]) <= _SAME_MM:
                cell = (round(shift[0] / _CELL_MM), round(shift[1] / _CELL_MM))
                votes.setdefault(cell, []).append((shift, _length(a)))
    best = sorted(votes.items(), key=lambda entry: (-sum(length for _, length in entry[1]), entry[0]))[:_BEST]
    return [
        (sum(shift[0] for shift, _ in cell) / len(cell), sum(shift[1] for shift, _ in cell) / len(cell))
        for _, cell in best
    ]


def _by_cell(edges: Sequence[SeenEdge]) -> Mapping[tuple[int, int], list[SeenEdge]]:
    cells: dict[tuple[int, int], list[SeenEdge]] = {}
    for edge in edges:
        cells.setdefault((int(edge.a[0] // 100), int(edge.a[1] // 100)), []).append(edge)
    return cells


def _score(edges: Sequence[SeenEdge], cells: Mapping[tuple[int, int], list[SeenEdge]], motion: Motion) -> float:
    """Length of the edges that fall on one of their kind."""
    total = 0.0
    for edge in edges:
        a, b = motion.place(edge.a), motion.place(edge.b)
        column, row = int(a[0] // 100), int(a[1] // 100)
        near = [other for i in (-1, 0, 1) for j in (-1, 0, 1) for other in cells.get((column + i, row + j), ())]
        if any(
            other.kind == edge.kind
            and hypot(other.a[0] - a[0], other.a[1] - a[1]) <= _SAME_MM
            and hypot(other.b[0] - b[0], other.b[1] - b[1]) <= _SAME_MM
            for other in near
        ):
            total += _length(edge)
    return total


def _extent(edges: Sequence[SeenEdge]) -> tuple[float, float, float, float]:
    xs = [point[0] for edge in edges for point in (edge.a, edge.b)]
    ys = [point[1] for edge in edges for point in (edge.a, edge.b)]
    return min(xs), min(ys), max(xs), max(ys)
