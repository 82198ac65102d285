"""Water off walls that stand above a roof: rain in wind runs down them on to the planes at their feet.

A share of the wall's area, up to a height, counts as catchment where gutters and downpipes are sized (code of practice
v25.12, 5.3.1: half of it, to 10 m). It is no plan area, and fills no tank.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from takeoff.basics.polygons import inside_rings
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, add3, scale3, sub3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Roof, RoofEdge, RoofPlane, UprightFace, UprightKind
from takeoff.shape.water.fall_lines import Curtain
from takeoff.shape.water.falling import breaks, roof_over

_APRONS = (EdgeKind.APRON_HEAD, EdgeKind.APRON_SIDE)
_OVER_MM = TOLERANCES.water_over_mm


@record
class WallRule:
    """How much of a wall counts (0: none), up to which height, and how high a wall stands that the shape does not
    have [mm]."""

    share: float
    to_mm: float = 10_000.0
    unknown_mm: float = 0.0


NO_WALLS = WallRule(0.0)


def walls_above(roof: Roof, rule: WallRule, roofs: Sequence[Roof] = ()) -> Iterator[Curtain]:
    """The walls that stand above planes of a roof, as water just over the planes at their feet, counted from the plan's
    origin. Areas are those that count [mm2]. `roofs`: all of the job; under one of them a wall stands up to it."""
    if rule.share <= 0.0:
        return
    faces = {face.id: face for face in roof.uprights}
    for edge in roof.edges:
        face = next((faces[name] for name in edge.faces if name in faces), None)
        if edge.kind in _APRONS:
            yield from _off_wall(roof, edge, face, rule, roofs)
    for face in roof.uprights:
        if face.kind is UprightKind.GABLE and not _drawn_below(roof, face, faces):
            yield from _off_gable(roof, face, rule)


def _drawn_below(roof: Roof, face: UprightFace, faces: dict[str, UprightFace]) -> bool:
    """Whether a gable is part of a wall that is drawn down to a roof below it: that has its area already."""
    others = {name for edge in roof.edges if face.id in edge.faces for name in edge.faces if name in faces}
    return any(faces[name].kind is not UprightKind.GABLE for name in others - {face.id})


def _off_wall(
    roof: Roof, edge: RoofEdge, face: UprightFace | None, rule: WallRule, roofs: Sequence[Roof]
) -> Iterator[Curtain]:
    """Water of the wall over one edge at its foot, a curtain a straight piece of the wall's top."""
    along = sub3(edge.b_mm, edge.a_mm)
    plane = next((plane for plane in roof.planes if plane.id in edge.faces), None)
    if plane is None:
        return
    tops = _tops(edge, face) or tops_under(roof, edge, roofs)
    if not tops:
        tops = [(0.0, rule.unknown_mm), (1.0, rule.unknown_mm)]
    out = _inwards(edge, plane)
    for (t0, h0), (t1, h1) in pairwise(tops):
        low, high = min(h0, rule.to_mm), min(h1, rule.to_mm)
        if low + high > 0.0 and t1 > t0:
            a, b = add3(edge.a_mm, scale3(along, t0)), add3(edge.a_mm, scale3(along, t1))
            yield _curtain(roof, a, b, out, low, high, rule, face.id if face else edge.id)


def _curtain(
    roof: Roof, a: Point3, b: Point3, out: Point3, low_mm: float, high_mm: float, rule: WallRule, wall: str
) -> Curtain:
    length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    lift = (roof.origin_mm[0] + out[0], roof.origin_mm[1] + out[1], _OVER_MM)
    return Curtain(
        add3(a, lift),
        add3(b, lift),
        low_mm * length * rule.share,
        high_mm * length * rule.share,
        0.0,
        plane=wall,
        wall=True,
    )


def _tops(edge: RoofEdge, face: UprightFace | None) -> list[tuple[float, float]]:
    """Height of the wall over the edge [mm] at shares of the way from a to b; none where the face does not stand over
    it."""
    if face is None:
        return []
    (ax, ay, az), (bx, by, bz) = edge.a_mm, edge.b_mm
    square = (bx - ax) ** 2 + (by - ay) ** 2
    if square <= TOLERANCES.same_point_mm**2:
        return []
    ring = [face.frame.to_space(point) for point in face.rings_uv[0]]
    flat = [(((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / square, z) for x, y, z in ring]
    stations = sorted({0.0, 1.0, *(t for t, _ in flat if 1e-9 < t < 1.0 - 1e-9)})
    found = []
    for t in stations:
        top = max((z for z in _heights(flat, t)), default=None)
        found.append((t, max(0.0, top - (az + (bz - az) * t)) if top is not None else 0.0))
    return found if any(height > _OVER_MM for _, height in found) else []


def tops_under(roof: Roof, edge: RoofEdge, roofs: Sequence[Roof]) -> list[tuple[float, float]]:
    """Height of a wall over the edge of a lower roof [mm] at shares of the way from a to b, up to the sheets of the
    lowest roof over it; none where no roof of the job lies over it."""
    plane = next((plane for plane in roof.planes if plane.id in edge.faces), None)
    if plane is None:
        return []
    inwards = _inwards(edge, plane)
    origin = (*roof.origin_mm[:2], 0.0)
    line = Curtain(add3(edge.a_mm, origin), add3(edge.b_mm, origin), 0.0, 0.0, 0.0)
    found: list[tuple[float, float]] = []
    for t0, t1 in pairwise(breaks(line, roofs)):
        part = line.part(t0, t1)
        # sought a little inside the wall: a roof without an overhang ends on the edge
        middle = sub3(scale3(add3(part.a, part.b), 0.5), inwards)
        over = roof_over(middle, roofs)
        found += [(t, over.rise_mm(point) if over else 0.0) for t, point in ((t0, part.a), (t1, part.b))]
    return found if any(height > _OVER_MM for _, height in found) else []


def _heights(flat: list[tuple[float, float]], t: float) -> Iterator[float]:
    for (t0, z0), (t1, z1) in zip(flat, (*flat[1:], flat[0]), strict=True):
        if min(t0, t1) - 1e-9 <= t <= max(t0, t1) + 1e-9:
            yield max(z0, z1) if abs(t1 - t0) <= 1e-9 else z0 + (z1 - z0) * (t - t0) / (t1 - t0)


def _inwards(edge: RoofEdge, plane: RoofPlane) -> Point3:
    """A short step in plan from the middle of an edge on to the plane beside it, which may lie round a dormer."""
    (ax, ay, _), (bx, by, _) = edge.a_mm, edge.b_mm
    length = max(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5, 1e-9)
    step = (-(by - ay) / length * _OVER_MM, (bx - ax) / length * _OVER_MM, 0.0)
    middle = scale3(add3(edge.a_mm, edge.b_mm), 0.5)
    return step if inside_rings(plane.frame.to_plane(add3(middle, step)), plane.rings_uv) else scale3(step, -1.0)


def _off_gable(roof: Roof, face: UprightFace, rule: WallRule) -> Iterator[Curtain]:
    """Water of a gable, let go at its lower edge: it falls on what roof lies below, or to the ground."""
    ring = [face.frame.to_space(point) for point in face.rings_uv[0]]
    foot = min(z for _, _, z in ring)
    ends = [point for point in ring if point[2] <= foot + TOLERANCES.same_plane_mm]
    if len(ends) < 2:
        return
    a, b = ends[0], max(ends, key=lambda point: (point[0] - ends[0][0]) ** 2 + (point[1] - ends[0][1]) ** 2)
    length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    if length > TOLERANCES.same_point_mm:
        height = min(face.area_mm2 / length, rule.to_mm)
        ox, oy, _ = roof.origin_mm
        yield Curtain(
            (a[0] + ox, a[1] + oy, a[2]),
            (b[0] + ox, b[1] + oy, b[2]),
            height * length * rule.share,
            height * length * rule.share,
            0.0,
            plane=face.id,
            wall=True,
        )
