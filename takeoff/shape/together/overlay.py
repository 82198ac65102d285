"""Planes of a roof cut in plan: a part taken away, the rest put together again with its corners shared.

Cutting is done by a general-purpose geometry library in plan; heights come from each plane's own equation. Corners on
cut lines are made the same bit for bit by welding, so that the pieces assemble like any other faces.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from takeoff.basics.polygons import clip_half_plane
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, Ring2, Ring3, sub3, unit3
from takeoff.model.roof import Roof, RoofPlane, UprightFace, UprightKind
from takeoff.shape.faces.parts import Face
from takeoff.shape.imported.mesh_clean import split_edges, weld

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

WELD_MM = TOLERANCES.weld_cut_mm
ON_LINE_MM = TOLERANCES.on_line_mm
_GRID_MM = TOLERANCES.grid_mm
_LEAST_RUN_MM = TOLERANCES.touch_mm
_LEAST_WIDTH_MM = TOLERANCES.sliver_mm


@record
class Piece:
    """What is left of one plane: its rings in plan (outer first) and the plane they lie in."""

    plane: RoofPlane
    rings: tuple[Ring2, ...]


def plan_polygon(rings: Sequence[Sequence[Point2]]) -> Polygon:
    """An outer ring less its holes as a polygon of the geometry library."""
    from shapely.geometry import Polygon

    return Polygon(rings[0], rings[1:])


def plane_polygon(plane: RoofPlane) -> Polygon:
    """A plane's shape in plan [mm]."""
    rings = [[plane.frame.to_space(point)[:2] for point in ring] for ring in plane.rings_uv]
    return plan_polygon(rings)


def height_at(plane: RoofPlane, x: float, y: float) -> float:
    """Height of a plane over a plan point [mm]."""
    (px, py, pz), n = plane.frame.origin_mm, plane.frame.n
    return pz - (n[0] * (x - px) + n[1] * (y - py)) / n[2]


def common(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """What two regions of the plan share.

    On a grid: without one, two that touch along a side but for the last bits of a float may come back as one of them
    whole.
    """
    from shapely import intersection

    return intersection(one, other, grid_size=_GRID_MM)


def rest_of(one: BaseGeometry, taken: BaseGeometry) -> BaseGeometry:
    """What is left of a region of the plan, on the grid of `common`."""
    from shapely import difference

    return difference(one, taken, grid_size=_GRID_MM)


def joined(parts: Sequence[BaseGeometry]) -> BaseGeometry:
    """Regions of the plan as one, on the grid of `common`."""
    from shapely import union_all

    return union_all(parts, grid_size=_GRID_MM)


def pieces_outside(planes: Iterable[RoofPlane], cut: BaseGeometry) -> list[Piece]:
    """What of the planes lies outside a region of the plan."""
    found = []
    for plane in planes:
        found += [Piece(plane, rings) for rings in polygons_of(rest_of(plane_polygon(plane), cut))]
    return found


def pieces_inside(planes: Iterable[RoofPlane], cut: BaseGeometry, least_width_mm: float) -> list[Piece]:
    """What of the planes lies inside a region of the plan, but for slivers."""
    found = []
    for plane in planes:
        for part in parts_of(common(plane_polygon(plane), cut), least_width_mm):
            found += [Piece(plane, rings) for rings in polygons_of(part)]
    return found


def polygons_of(shape: BaseGeometry) -> list[tuple[Ring2, ...]]:
    """Rings of every polygon in a shape, outer ones counter-clockwise, holes clockwise; slivers are left out."""
    from shapely.geometry.polygon import orient

    found = []
    for part in parts_of(shape, _LEAST_WIDTH_MM):
        turned = orient(part)
        rings = (turned.exterior, *turned.interiors)
        found.append(tuple(tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in rings))
    return found


def parts_of(shape: BaseGeometry, least_width_mm: float) -> list[Polygon]:
    """The polygons in a shape that are wider than a sliver."""
    from shapely.geometry import Polygon

    parts = getattr(shape, "geoms", (shape,))
    return [part for part in parts if isinstance(part, Polygon) and part.area > least_width_mm * part.length]


def overlaps(
    one: Iterable[RoofPlane], other: Sequence[RoofPlane], but: BaseGeometry | None, least_width_mm: float
) -> list[tuple[float, Point2]]:
    """How far the planes `other` lie above the planes `one` at every corner of their overlaps in plan, and where.

    `but`: a region of the plan left out.
    """
    gaps = []
    for low in one:
        shape = plane_polygon(low) if but is None else rest_of(plane_polygon(low), but)
        for high in other:
            for part in parts_of(common(shape, plane_polygon(high)), least_width_mm):
                gaps += [(height_at(high, x, y) - height_at(low, x, y), (x, y)) for x, y in part.exterior.coords]
    return gaps


def upright_outside(face: UprightFace, outside: Callable[[Point2, Point2], list[tuple[float, float]]]) -> list[Ring3]:
    """The parts of an upright face whose foot in plan stays. `outside` gives the spans kept of a plan segment, as
    shares of its length."""
    ring = face.rings_uv[0]
    width = max(u for u, _ in ring)
    a, b = face.frame.to_space((0.0, 0.0)), face.frame.to_space((width, 0.0))
    parts = []
    for low, high in outside((a[0], a[1]), (b[0], b[1])):
        kept = clip_half_plane(clip_half_plane(ring, 1.0, 0.0, high * width), -1.0, 0.0, -low * width)
        if kept:
            parts.append(tuple(face.frame.to_space(point) for point in kept))
    return parts


def faces_of(pieces: Sequence[Piece]) -> list[Face]:
    """Pieces as faces in space; their corners are not yet shared."""
    return [
        Face(
            rings_mm=tuple(tuple((x, y, height_at(p.plane, x, y)) for x, y in ring) for ring in p.rings),
            normal=p.plane.frame.n,
            outline_edges=p.plane.outline_edges,
            step=p.plane.step,
            pitch_deg=p.plane.pitch_deg,
            covering=p.plane.covering,
            fascia_mm=p.plane.fascia_height_mm,
            flat_error_mm=p.plane.flat_error_mm,
        )
        for p in pieces
    ]


def uprights_outside(roof: Roof, cut: BaseGeometry) -> list[Face]:
    """A roof's own upright faces, where their foot stands outside a region of the plan."""
    from shapely.geometry import LineString, Point

    wide = cut.buffer(ON_LINE_MM)

    def outside(a: Point2, b: Point2) -> list[tuple[float, float]]:
        line = LineString([a, b])
        kept = line.difference(wide)
        spans = []
        for part in getattr(kept, "geoms", (kept,)):
            if part.length > _LEAST_RUN_MM:
                ends = (Point(part.coords[0]), Point(part.coords[-1]))
                low, high = sorted(line.project(end, normalized=True) for end in ends)
                spans.append((_unbuffered(low, line.length), 1.0 - _unbuffered(1.0 - high, line.length)))
        return spans

    faces = []
    for face in roof.uprights:
        for ring in upright_outside(face, outside):
            edges = (face.outline_edge,) if face.outline_edge else ()
            faces.append(Face((ring,), face.frame.n, edges, upright=face.kind))
    return faces


def _unbuffered(share: float, length: float) -> float:
    """The end of a span moved back onto the line that the buffer kept it off."""
    return share - ON_LINE_MM / length if share * length > ON_LINE_MM / 2 else 0.0


def wall_faces(
    faces: Sequence[Face], wall: BaseGeometry, higher: Roof, kind: UprightKind, least_mm: float
) -> list[Face]:
    """Upright faces over the free borders of roof faces that lie on a wall's line in plan, up to the higher roof.

    `faces` share their corners. The walls stand at least `least_mm` high at both ends; those without height are left
    out.
    """
    from shapely.geometry import Point

    sides = [(a, b) for f in faces for ring in f.rings_mm for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
    shared = set(sides)
    walls = []
    for a, b in sides:
        middle = Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        ends = (Point(a[0], a[1]), middle, Point(b[0], b[1]))
        if (b, a) not in shared and max(wall.distance(p) for p in ends) <= ON_LINE_MM:
            walls += _wall_face(a, b, higher, kind, least_mm)
    return walls


def _wall_face(a: Point3, b: Point3, higher: Roof, kind: UprightKind, least_mm: float) -> list[Face]:
    """The wall over a border that has its roof face on its left."""
    from shapely.geometry import Point

    foot = [a, b]
    top = []
    for x, y, z in foot:
        over = [height_at(p, x, y) for p in higher.planes if plane_polygon(p).distance(Point(x, y)) <= ON_LINE_MM]
        top.append((x, y, max([z + least_mm, *over])))
    ring = [*top, *(low for low, high in zip(reversed(foot), reversed(top), strict=True) if high[2] - low[2] > WELD_MM)]
    if len(ring) < 3:
        return []
    along = sub3((b[0], b[1], 0.0), (a[0], a[1], 0.0))
    normal = unit3((-along[1], along[0], 0.0))
    return [Face((tuple(ring),), normal, upright=kind)]


def moved(roof: Roof, origin_mm: Point3) -> Roof:
    """A roof counted from another origin: faces, nodes and rings (heights stay; edges are left as they are)."""
    dx, dy = roof.origin_mm[0] - origin_mm[0], roof.origin_mm[1] - origin_mm[1]
    if dx == 0.0 and dy == 0.0:
        return roof

    def away(point: Point3) -> Point3:
        return (point[0] + dx, point[1] + dy, point[2])

    def rings(flat: tuple[Ring2, ...]) -> tuple[Ring2, ...]:
        return tuple(tuple((x + dx, y + dy) for x, y in ring) for ring in flat)

    return replace(
        roof,
        origin_mm=origin_mm,
        planes=tuple(replace(p, frame=replace(p.frame, origin_mm=away(p.frame.origin_mm))) for p in roof.planes),
        uprights=tuple(replace(u, frame=replace(u.frame, origin_mm=away(u.frame.origin_mm))) for u in roof.uprights),
        nodes=tuple(replace(node, at_mm=away(node.at_mm)) for node in roof.nodes),
        outline_mm=rings(roof.outline_mm),
        wall_line_mm=rings(roof.wall_line_mm),
    )


def shared_corners(faces: Sequence[Face], fixed: Sequence[Point3]) -> list[Face]:
    """Faces with corners closer than the weld made one, and every corner on a neighbour's side put into that side.

    `fixed` points keep their place: corners near one of them move onto it.
    """
    points = [*fixed, *(point for face in faces for ring in face.rings_mm for point in ring)]
    _, new = weld(points, WELD_MM)
    at: dict[int, Point3] = {}
    for point, number in zip(points, new, strict=True):
        at.setdefault(number, point)
    nodes = [at[number] for number in range(len(at))]
    numbers = iter(new[len(fixed) :])
    rings: list[tuple[int, ...]] = []
    counts = []
    for face in faces:
        kept = [_without_repeats(tuple(next(numbers) for _ in ring)) for ring in face.rings_mm]
        kept = [ring for ring in kept if len(ring) > 2]
        counts.append(len(kept))
        rings += kept
    full = iter(split_edges(nodes, rings, WELD_MM))
    shared = []
    for face, count in zip(faces, counts, strict=True):
        if count:
            own = tuple(tuple(nodes[n] for n in next(full)) for _ in range(count))
            shared.append(replace(face, rings_mm=own))
    return shared


def _without_repeats(ring: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(node for i, node in enumerate(ring) if node != ring[i - 1])
