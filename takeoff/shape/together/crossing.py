"""Roofs whose surfaces cross or meet: dormers, wings, butterflies. What they share belongs to both.

Where one roof comes out above the other, the other is cut: up to the crossing inside the upper roof's walls. Under the
upper roof's overhang it stays whole, unless the overhang dies into it. Where a roof goes down below the other's surface
it ends. Each roof closes by itself: its planes and what was cut away make up its outline.

        plan of a dormer          cut from the main roof: the crossing (valleys), cheeks, front
          \\    /  valleys
           \\  /
       -----+--+-----             cheek | front | cheek
            |  |  walls
            +--+
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import acos, degrees
from typing import TYPE_CHECKING

from takeoff.basics.errors import Fault, ShapeError, faults_at
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, dot3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Roof, RoofEdge, RoofPlane, UprightKind
from takeoff.shape.faces.assemble import assemble
from takeoff.shape.faces.closure import closure_faults
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.together.overlay import (
    ON_LINE_MM,
    WELD_MM,
    common,
    faces_of,
    height_at,
    joined,
    parts_of,
    pieces_outside,
    plan_polygon,
    plane_polygon,
    rest_of,
    shared_corners,
    uprights_outside,
    wall_faces,
)

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

_SLIVER_MM = TOLERANCES.touch_mm
_TOUCH_MM = TOLERANCES.touch_mm
_LEVEL_MM = TOLERANCES.level_mm
_SHIFT = 100_000


def cross_roofs(roofs: Sequence[Roof], north_deg: float) -> tuple[Roof, ...]:
    """Roofs that cross one another, counted from one origin, cut at their crossings and put together.

    An edge where two roofs meet stands in both with one id; its `roof` names the one that counts it. Raises ShapeError
    where a roof does not close after the cut.
    """
    cuts = [_cut(roof, [other for other in roofs if other is not roof]) for roof in roofs]
    faces: list[Face] = []
    for roof, cut in zip(roofs, cuts, strict=True):
        pieces = pieces_outside(roof.planes, cut)
        if not pieces:
            text = f"roof {roof.name} lies wholly inside other roofs; nothing of it is left"
            raise ShapeError(Fault(text, "roofs", roof.name))
        planes = shared_corners(faces_of(pieces), [node.at_mm for node in roof.nodes])
        walls = _cheeks(planes, cut, [other for other in roofs if other is not roof])
        faces += [
            replace(face, roof=roof.name, outline_edges=tuple(n + _shift(roofs, roof) for n in face.outline_edges))
            for face in (*planes, *uprights_outside(roof, cut), *walls)
        ]
    fixed = [node.at_mm for roof in roofs for node in roof.nodes]
    joint = assemble(shared_corners(faces, fixed), _joint_plan(roofs), north_deg)
    return tuple(_own(joint, roof, roofs, cut) for roof, cut in zip(roofs, cuts, strict=True))


def _shift(roofs: Sequence[Roof], roof: Roof) -> int:
    return next(k for k, other in enumerate(roofs) if other is roof) * _SHIFT


def _joint_plan(roofs: Sequence[Roof]) -> Plan:
    numbers = tuple(tuple(n + _shift(roofs, roof) for n in ring) for roof in roofs for ring in roof.edge_numbers)
    rings = tuple(ring for roof in roofs for ring in roof.outline_mm)
    return Plan(roofs[0].name, roofs[0].origin_mm, rings, edge_numbers=numbers)


def _cut(roof: Roof, others: Sequence[Roof]) -> BaseGeometry:
    """The part of the plan where a roof is cut away."""
    return joined([_cut_by(roof, other) for other in others])


def _cut_by(roof: Roof, other: Roof) -> BaseGeometry:
    """Where `other` hides `roof`: above it inside the other's walls or where its overhang dies into the roof."""
    over_it = joined([part for own in roof.planes for over in other.planes for part in above(own, over)])
    below = joined([part for own in roof.planes for over in other.planes for part in above(over, own)])
    if over_it.is_empty:
        return over_it
    walls = plan_polygon(other.wall_line_mm) if other.wall_line_mm else plan_polygon(other.outline_mm)
    border = plan_polygon(other.outline_mm).boundary.buffer(WELD_MM)
    kept = []
    for part in parts_of(rest_of(over_it, walls), _SLIVER_MM):
        # an overhang that ends over the roof leaves it whole; so does an eave that never meets it
        if part.boundary.intersection(border).length > _TOUCH_MM or part.distance(below) > _TOUCH_MM:
            kept.append(part)
    return rest_of(over_it, joined(kept)) if kept else over_it


def above(low: RoofPlane, high: RoofPlane) -> list[Polygon]:
    """Where the plane `high` lies above the plane `low`, both being there in plan.

    Where they are one plane the first by roof and id counts as above.
    """
    from shapely.geometry import Polygon

    found: list[Polygon] = []
    for part in parts_of(common(plane_polygon(low), plane_polygon(high)), _SLIVER_MM):
        gaps = [height_at(high, x, y) - height_at(low, x, y) for x, y in part.exterior.coords]
        if max(gaps) <= _LEVEL_MM:
            if min(gaps) >= -_LEVEL_MM and (high.roof, high.id) < (low.roof, low.id):
                found.append(part)
        elif min(gaps) >= -_LEVEL_MM:
            found.append(part)
        else:
            half = Polygon(_half_plane(low, high, part.bounds))
            found += parts_of(common(part, half), _SLIVER_MM)
    return found


def _half_plane(low: RoofPlane, high: RoofPlane, bounds: tuple[float, float, float, float]) -> list[Point2]:
    """A rectangle that covers everything within `bounds` on the side of the crossing line where `high` is above."""
    x, y = (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2
    size = 4 * (bounds[2] - bounds[0] + bounds[3] - bounds[1])
    gap = height_at(high, x, y) - height_at(low, x, y)
    gx = high.frame.n[0] / -high.frame.n[2] - low.frame.n[0] / -low.frame.n[2]
    gy = high.frame.n[1] / -high.frame.n[2] - low.frame.n[1] / -low.frame.n[2]
    steep = (gx * gx + gy * gy) ** 0.5
    ux, uy = gx / steep, gy / steep
    px, py = x - ux * gap / steep, y - uy * gap / steep
    ax, ay, bx, by = px - uy * size, py + ux * size, px + uy * size, py - ux * size
    return [(ax, ay), (bx, by), (bx + ux * size, by + uy * size), (ax + ux * size, ay + uy * size)]


def _cheeks(planes: Sequence[Face], cut: BaseGeometry, others: Sequence[Roof]) -> list[Face]:
    """Upright faces where a plane was cut at the wall of a roof above it."""
    faces: list[Face] = []
    for other in others:
        walls = plan_polygon(other.wall_line_mm or other.outline_mm)
        line = walls.boundary.intersection(cut.buffer(ON_LINE_MM))
        if not line.is_empty:
            faces += wall_faces(planes, line, other, UprightKind.CHEEK, 0.0)
    return faces


def _own(joint: Roof, roof: Roof, roofs: Sequence[Roof], cut: BaseGeometry) -> Roof:
    """One roof's part of the group: its faces, and every edge that one of them has on its border."""
    first = _shift(roofs, roof)

    def back(numbers: tuple[int, ...]) -> tuple[int, ...]:
        return tuple(n - first for n in numbers if first < n < first + _SHIFT)

    planes = tuple(replace(p, outline_edges=back(p.outline_edges)) for p in joint.planes if p.roof == roof.name)
    uprights = tuple(replace(u, outline_edge=u.outline_edge % _SHIFT) for u in joint.uprights if u.roof == roof.name)
    mine = {plane.id for plane in planes} | {upright.id for upright in uprights}
    others = [plane for plane in joint.planes if plane.roof != roof.name]
    edges = tuple(
        replace(_dying(edge, planes, others), outline_edges=back(edge.outline_edges))
        for edge in joint.edges
        if mine & set(edge.faces)
    )
    used = {node for edge in edges for node in (edge.low, edge.high)}
    outline = plan_polygon(roof.outline_mm)
    found = replace(
        roof,
        planes=planes,
        uprights=uprights,
        edges=edges,
        nodes=tuple(node for node in joint.nodes if node.id in used),
        cut_away_mm2=roof.cut_away_mm2 + float(common(outline, cut).area),
    )
    faults = closure_faults(found, rounding_mm=1e-3)
    if faults:
        names = " and ".join(other.name for other in roofs)
        text = f"roofs {names} cross in a way that does not close; draw them as one outline"
        raise ShapeError(*faults_at((text, *faults), "roofs", roof.name))
    return found


def _dying(edge: RoofEdge, planes: Sequence[RoofPlane], others: Sequence[RoofPlane]) -> RoofEdge:
    """An edge of an overhang that ends on another roof's plane is a valley with that plane."""
    if len(edge.faces) != 1 or edge.outline_edges:
        return edge
    own = next(plane for plane in planes if plane.id == edge.faces[0])
    for plane in others:
        if _lies_on(plane, edge.a_mm, edge.b_mm):
            between_deg = 180.0 - degrees(acos(max(-1.0, min(1.0, dot3(own.frame.n, plane.frame.n)))))
            faces = (own.id, plane.id)
            return replace(edge, kind=EdgeKind.VALLEY, faces=faces, convex=False, between_deg=between_deg)
    return edge


def _lies_on(plane: RoofPlane, a: Point3, b: Point3) -> bool:
    from shapely.geometry import Point

    if any(abs(height_at(plane, p[0], p[1]) - p[2]) > _SLIVER_MM for p in (a, b)):
        return False
    return bool(plane_polygon(plane).distance(Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)) <= _SLIVER_MM)
