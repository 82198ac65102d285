"""The sheeted area of a plane: its polygon with every edge moved by that edge's own signed trim.

Lines are moved square to themselves on the slope and met again. Where neighbours run in one line but move differently
(spouting ends, an apron begins) the boundary steps; a side that shrinks to nothing goes; what then still crosses
itself (a neck narrower than its trims) is taken apart and only what stays inside is kept.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import hypot

from takeoff.basics.errors import TakeoffError
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.shape.strips.slabs import cut_slabs, slabs_area

_FAR_MITRE = 20.0  # neighbours that would meet further off than this many trims step instead: nothing ends far away
_CLOSE_TO_EDGE_MM = TOLERANCES.close_to_edge_mm


@record
class SheetedArea:
    """Rings in plane axes [mm], outer counter-clockwise and holes clockwise; for each ring the edge id of the side
    that starts at each point, "" for a step between two trims or a side that no edge lies on."""

    rings: tuple[Ring2, ...]
    edges: tuple[tuple[str, ...], ...]

    @property
    def area_mm2(self) -> float:
        """Area, holes taken off."""
        return sum(signed_area(ring) for ring in self.rings)


@record
class _Side:
    at: Point2  # a point on the side before moving
    end: Point2  # its other end
    along: Point2  # unit vector, area on its left
    edge: str
    trim_mm: float
    gone_mm: float = 0.0  # greatest trim of sides that shrank to nothing before it

    def line(self, point: Point2) -> Point2:
        """A point of the side's line, moved with it."""
        return (point[0] + self.along[1] * self.trim_mm, point[1] - self.along[0] * self.trim_mm)


def sheeted_area(plane: RoofPlane, edges: Sequence[RoofEdge], trims_mm: Mapping[str, float]) -> tuple[Ring2, ...]:
    """The rings of `move_sides`, without the names of their sides."""
    return move_sides(plane, edges, trims_mm).rings


def move_sides(plane: RoofPlane, edges: Sequence[RoofEdge], trims_mm: Mapping[str, float]) -> SheetedArea:
    """A plane's polygon with each side moved square to itself by its edge's trim, outwards positive.

    `edges` are those that bound the plane; `trims_mm` by edge id, 0 for one that is not named. Nothing is left of a
    plane narrower than its trims: then there are no rings. No corner goes further than _FAR_MITRE
    trims. The trims are chosen where sheets are measured.
    """
    area = _moved(plane, edges, trims_mm)
    _stays_near(area, plane, max((abs(trim) for trim in trims_mm.values()), default=0.0))
    return area


def _stays_near(area: SheetedArea, plane: RoofPlane, trim_mm: float) -> None:
    """Raises TakeoffError where a moved side ends further from its plane than any side can move it."""
    reach = _FAR_MITRE * max(trim_mm, 1.0) + TOLERANCES.same_point_mm
    us, vs = ([point[axis] for ring in plane.rings_uv for point in ring] for axis in (0, 1))
    for ring in area.rings:
        for u, v in ring:
            off = max(min(us) - u, u - max(us), min(vs) - v, v - max(vs))
            if off > reach:
                raise TakeoffError(
                    f"plane {plane.id}: its sides moved by up to {trim_mm:.0f} mm end {off:.0f} mm away from it; "
                    "this is a fault of the program, not of the job: please report it with the job file"
                )


def _moved(plane: RoofPlane, edges: Sequence[RoofEdge], trims_mm: Mapping[str, float]) -> SheetedArea:
    rings: list[Ring2] = []
    names: list[tuple[str, ...]] = []
    every: list[_Side] = []
    for number, ring in enumerate(plane.rings_uv):
        outer = number == 0
        turned = ring if (signed_area(ring) > 0.0) == outer else tuple(reversed(ring))
        sides = _sides(turned, plane, edges, trims_mm)
        every += sides
        points, labels = _moved_ring(sides)
        if len(points) >= 3 and (signed_area(points) > 0.0) == outer:
            rings.append(points)
            names.append(labels)
        elif outer:
            return SheetedArea((), ())
    if not _simple(rings):
        return _taken_apart(rings, every)
    return SheetedArea(tuple(rings), tuple(names))


def _sides(ring: Ring2, plane: RoofPlane, edges: Sequence[RoofEdge], trims_mm: Mapping[str, float]) -> list[_Side]:
    """The sides of a ring, each on one edge, neighbours on one edge joined."""
    lines = [(edge.id, plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)) for edge in edges]
    found: list[_Side] = []
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        if hypot(b[0] - a[0], b[1] - a[1]) <= TOLERANCES.same_point_mm:
            continue  # its neighbours meet without it; moved, so short a side would turn the ring inside out
        for p, q in _split(a, b, [end for _, low, high in lines for end in (low, high)]):
            size = hypot(q[0] - p[0], q[1] - p[1])
            along = ((q[0] - p[0]) / size, (q[1] - p[1]) / size)
            edge = _edge_under(p, q, lines)
            last = found[-1] if found else None
            if last and edge and last.edge == edge and _turn(last.along, along) < 1e-6:
                found[-1] = _Side(last.at, q, last.along, edge, last.trim_mm)
            else:
                found.append(_Side(p, q, along, edge, trims_mm.get(edge, 0.0)))
    first, last = found[0], found[-1]
    if len(found) > 3 and first.edge and first.edge == last.edge and _turn(first.along, last.along) < 1e-6:
        found[0] = _Side(last.at, first.end, first.along, first.edge, first.trim_mm)
        found.pop()
    return found


def _turn(a: Point2, b: Point2) -> float:
    """Size of the sine between two unit vectors, 2 where they point apart."""
    return abs(a[0] * b[1] - a[1] * b[0]) if a[0] * b[0] + a[1] * b[1] > 0.0 else 2.0


def _split(a: Point2, b: Point2, ends: Sequence[Point2]) -> list[tuple[Point2, Point2]]:
    """A side cut where an edge ends on it: two edges may share one straight side."""
    size = hypot(b[0] - a[0], b[1] - a[1])
    x, y = (b[0] - a[0]) / size, (b[1] - a[1]) / size
    stops = [0.0, size]
    for px, py in ends:
        along = (px - a[0]) * x + (py - a[1]) * y
        off = abs((px - a[0]) * y - (py - a[1]) * x)
        on_it = off <= 2.0 * TOLERANCES.same_point_mm and 0.0 < along < size
        if on_it and all(abs(along - stop) > 1.0 for stop in stops):
            stops.append(along)
    stops.sort()
    points = [a, *((a[0] + x * stop, a[1] + y * stop) for stop in stops[1:-1]), b]
    return list(itertools.pairwise(points))


def _edge_under(p: Point2, q: Point2, lines: Sequence[tuple[str, Point2, Point2]]) -> str:
    """Id of the edge that a side lies on: the nearest to its middle, "" where none is near."""
    mx, my = (p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0
    best, best_off = "", _CLOSE_TO_EDGE_MM
    for name, a, b in lines:
        x, y = b[0] - a[0], b[1] - a[1]
        size = hypot(x, y)
        if size <= TOLERANCES.same_length_mm or abs(x * (q[1] - p[1]) - y * (q[0] - p[0])) > 0.1 * size * hypot(
            q[0] - p[0], q[1] - p[1]
        ):
            continue
        part = min(1.0, max(0.0, ((mx - a[0]) * x + (my - a[1]) * y) / size**2))
        off = hypot(mx - a[0] - part * x, my - a[1] - part * y)
        if off < best_off - 1e-9:
            best, best_off = name, off
    return best


def _corner(left: _Side, right: _Side) -> tuple[Point2, ...]:
    """Where two moved neighbours meet: one point, or two where the boundary steps from one line to the other."""
    shared = left.end
    a, b = left.line(shared), right.line(right.at)
    cross = left.along[0] * right.along[1] - left.along[1] * right.along[0]
    if abs(cross) > 1e-9:
        part = ((b[0] - a[0]) * right.along[1] - (b[1] - a[1]) * right.along[0]) / cross
        meet = (a[0] + left.along[0] * part, a[1] + left.along[1] * part)
        reach = hypot(meet[0] - shared[0], meet[1] - shared[1])
        if reach <= _FAR_MITRE * max(abs(left.trim_mm), abs(right.trim_mm), right.gone_mm, 1.0):
            return (meet,)
    if hypot(b[0] - a[0], b[1] - a[1]) <= TOLERANCES.same_length_mm:
        return (a,)
    return (a, b)


def _moved_ring(sides: Sequence[_Side]) -> tuple[Ring2, tuple[str, ...]]:
    """The moved ring and the edge of the side that starts at each of its points."""
    left = list(sides)
    while len(left) >= 3:
        corners = [_corner(left[i - 1], side) for i, side in enumerate(left)]
        gone = _first_to_vanish(left, corners)
        if gone is None:
            points: list[Point2] = []
            names: list[str] = []
            for corner, side in zip(corners, left, strict=True):
                points += corner
                names += ["", side.edge] if len(corner) == 2 else [side.edge]
            return tuple(points), tuple(names)
        side = left.pop(gone)
        after = gone % len(left)
        gone_mm = max(abs(side.trim_mm), side.gone_mm, left[after].gone_mm)
        left[after] = replace(left[after], gone_mm=gone_mm)
    return (), ()


def _first_to_vanish(sides: Sequence[_Side], corners: Sequence[tuple[Point2, ...]]) -> int | None:
    """The side that shrinks to nothing first while all move out together, None where none does."""
    first: tuple[float, int] | None = None
    for i, side in enumerate(sides):
        (ax, ay), (bx, by) = corners[i][-1], corners[(i + 1) % len(sides)][0]
        after = (bx - ax) * side.along[0] + (by - ay) * side.along[1]
        before = (side.end[0] - side.at[0]) * side.along[0] + (side.end[1] - side.at[1]) * side.along[1]
        beside = _turn(sides[i - 1].along, sides[(i + 1) % len(sides)].along)
        # a jog between two lines of one direction does not vanish: it steps the other way
        if after < 0.0 and beside > 1e-6:
            when = before / (before - after)
            if first is None or when < first[0]:
                first = (when, i)
    return None if first is None else first[1]


def _cross(p: Point2, q: Point2, r: Point2) -> float:
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])


def _simple(rings: Sequence[Ring2]) -> bool:
    """True where the rings go round their area once: sides that cross change places within a slab, and sides that lie
    wrong way round make the area by direction and the area between sides differ."""
    slabs = cut_slabs(rings, [("",) * len(ring) for ring in rings])
    slack = TOLERANCES.same_length_mm
    if any(slab.foot0 > slab.top0 + slack or slab.foot1 > slab.top1 + slack for slab in slabs):
        return False
    return abs(slabs_area(slabs) - sum(signed_area(ring) for ring in rings)) < TOLERANCES.least_area_mm2


def _taken_apart(rings: Sequence[Ring2], sides: Sequence[_Side]) -> SheetedArea:
    """Of crossing rings, the parts that they go round counter-clockwise once."""
    from shapely import LineString, Polygon, get_parts, polygonize, unary_union

    lines = unary_union([LineString([*ring, ring[0]]) for ring in rings])
    parts = []
    for face in get_parts(polygonize(list(get_parts(lines)))):
        spot = face.representative_point()
        if sum(_winding(ring, (spot.x, spot.y)) for ring in rings) >= 1:
            parts.append(face)
    whole = unary_union(parts)
    found: list[Ring2] = []
    for part in get_parts(whole):
        if not isinstance(part, Polygon) or part.area < TOLERANCES.least_area_mm2:
            continue
        for number, ring in enumerate((part.exterior, *part.interiors)):
            points = tuple((float(x), float(y)) for x, y in ring.coords[:-1])
            found.append(points if (signed_area(points) > 0.0) == (number == 0) else tuple(reversed(points)))
    found.sort(key=lambda points: (-signed_area(points), points))
    lines_of = [(side.edge, side.line(side.at), side.line(side.end)) for side in sides if side.edge]
    names = tuple(
        tuple(_edge_under(p, q, lines_of) for p, q in zip(ring, (*ring[1:], ring[0]), strict=True)) for ring in found
    )
    return SheetedArea(tuple(found), names)


def _winding(ring: Ring2, at: Point2) -> int:
    """How often a ring goes round a point, counter-clockwise positive."""
    turns = 0
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        if a[1] <= at[1] < b[1] and _cross(a, b, at) > 0.0:
            turns += 1
        elif b[1] <= at[1] < a[1] and _cross(a, b, at) < 0.0:
            turns -= 1
    return turns
