"""The edges of a wall line as walls: which end is left seen from outside, and what outline edge hangs over it.

Walls are numbered as their edges are typed, outer ring first, then courtyards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import atan2, degrees

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, cross2, distance2
from takeoff.model.roof import Roof, RoofEdge, UprightKind
from takeoff.model.walls import Corner


@record
class WallEdge:
    """One wall in plan, in the roof's own coordinates [mm].

    `left_mm` and `right_mm` are its ends seen from outside, so the house lies left of the way from left to right.
    `outline_edge` is the 1-based outline edge above it (0 where none runs beside it), `overhang_mm` the level distance
    between the two. `named` is what that edge is: eave, gable or wall. `rises` tells that the roof has no eave here:
    the wall goes up to the roof.
    """

    wall: int
    left_mm: Point2
    right_mm: Point2
    left_corner: Corner
    right_corner: Corner
    outline_edge: int
    overhang_mm: float
    named: str
    rises: bool

    @property
    def length_mm(self) -> float:
        """Length on framing [mm]."""
        return distance2(self.left_mm, self.right_mm)


def wall_edges(roof: Roof) -> tuple[WallEdge, ...]:
    """The walls of a roof's wall line, in typed order. Empty where the roof has no wall line."""
    outline = {side.number: side for side in _sides(roof.outline_mm, roof.edge_numbers)}
    found: list[WallEdge] = []
    sides = list(_sides(roof.wall_line_mm, ()))
    # a typed wall has the number of the edge over it; a model's walls need not
    by_number = roof.edge_numbers and all(_over(side, outline.get(side.number)) for side in sides)
    for side in sides:
        over = outline[side.number] if by_number else _beside(side, outline.values())
        named = roof.edge_names[over.number - 1] if over and over.number <= len(roof.edge_names) else "eave"
        found.append(
            WallEdge(
                wall=side.number,
                left_mm=side.left,
                right_mm=side.right,
                left_corner=_corner(side.before, side.left, side.right),
                right_corner=_corner(side.left, side.right, side.after),
                outline_edge=over.number if over else 0,
                overhang_mm=_offset(side, over.left) if over else 0.0,
                named=named,
                rises=named == "gable" or (over is not None and _stands_gable(roof, over)),
            )
        )
    return tuple(found)


def run_beside(wall: WallEdge, run: RoofEdge, shift: Point2) -> float:
    """Plan length over which a roof edge, moved by `shift`, lies in the plane of a wall [mm]; 0 where it does not."""
    a, b = ((p[0] + shift[0], p[1] + shift[1]) for p in (run.a_mm, run.b_mm))
    side = _Side(wall.wall, 0, wall.left_mm, wall.left_mm, wall.right_mm, wall.right_mm)
    if max(abs(_offset(side, point)) for point in (a, b)) > TOLERANCES.same_plane_mm:
        return 0.0
    return max(0.0, _shared(side, _Side(0, 0, a, a, b, b)))


@record
class _Side:
    """A side of a ring, turned so that the house is on its left, with the corners before and after it."""

    number: int
    ring: int
    before: Point2
    left: Point2
    right: Point2
    after: Point2


def _sides(rings: tuple[Ring2, ...], numbers: tuple[tuple[int, ...], ...]) -> Iterator[_Side]:
    """All sides in typed order; without `numbers` they are counted from 1."""
    first = 1
    for which, ring in enumerate(rings):
        turned = (signed_area(ring) > 0.0) != (which == 0)
        count = len(ring)
        known = numbers[which] if numbers else tuple(range(first, first + count))
        first += count
        for i in range(count):
            chain = [ring[(i + k) % count] for k in (-1, 0, 1, 2)]
            yield _Side(known[i], which, *(reversed(chain) if turned else chain))


def _corner(a: Point2, b: Point2, c: Point2) -> Corner:
    """The corner at b on the way a, b, c with the house on the left: a turn to the left is an outside corner."""
    ahead = (b[0] - a[0], b[1] - a[1])
    then = (c[0] - b[0], c[1] - b[1])
    turn = degrees(atan2(cross2(ahead, then), ahead[0] * then[0] + ahead[1] * then[1]))
    if abs(turn) < TOLERANCES.straight_deg:
        return Corner("none", 180.0)
    return Corner("external" if turn > 0.0 else "internal", 180.0 - abs(turn))


def _beside(wall: _Side, outline: Iterable[_Side]) -> _Side | None:
    """The nearest outline side of the same ring that runs the same way beside a wall, for at least half of either."""
    length = distance2(wall.left, wall.right)
    near: list[tuple[float, int, _Side]] = []
    for side in outline:
        off = _offset(wall, side.left)
        if side.ring == wall.ring and _same_way(wall, side) and off > -TOLERANCES.same_plane_mm:
            shared = _shared(wall, side)
            if shared >= 0.5 * min(length, distance2(side.left, side.right)):
                near.append((off, side.number, side))
    return min(near, key=lambda found: found[:2])[2] if near else None


def _over(wall: _Side, side: _Side | None) -> bool:
    """Whether an outline side runs the same way as a wall and not inside it."""
    return side is not None and _same_way(wall, side) and _offset(wall, side.left) > -TOLERANCES.same_plane_mm


def _same_way(one: _Side, other: _Side) -> bool:
    along = (one.right[0] - one.left[0], one.right[1] - one.left[1])
    there = (other.right[0] - other.left[0], other.right[1] - other.left[1])
    scale = distance2(one.left, one.right) * distance2(other.left, other.right)
    return scale > 0.0 and along[0] * there[0] + along[1] * there[1] > 0.9998 * scale


def _offset(wall: _Side, point: Point2) -> float:
    """How far a point lies outside the line of a wall [mm]."""
    (ax, ay), (bx, by) = wall.left, wall.right
    return -cross2((bx - ax, by - ay), (point[0] - ax, point[1] - ay)) / distance2(wall.left, wall.right)


def _shared(wall: _Side, side: _Side) -> float:
    """Length over which an outline side runs beside a wall [mm]."""
    length = distance2(wall.left, wall.right)
    (ax, ay), (bx, by) = wall.left, wall.right
    ux, uy = (bx - ax) / length, (by - ay) / length
    ts = sorted((p[0] - ax) * ux + (p[1] - ay) * uy for p in (side.left, side.right))
    return min(length, ts[1]) - max(0.0, ts[0])


def _stands_gable(roof: Roof, edge: _Side) -> bool:
    """Whether a gable stands on the outline edge itself; one that stands back (a gablet) leaves an eave below it."""
    for face in roof.uprights:
        if face.kind is not UprightKind.GABLE or face.outline_edge != edge.number:
            continue
        points = [face.frame.to_space(point) for point in face.rings_uv[0]]
        if all(abs(_offset(edge, (x, y))) < TOLERANCES.same_plane_mm for x, y, _ in points):
            return True
    return False
