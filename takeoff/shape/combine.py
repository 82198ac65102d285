"""Several roofs of one job made one house.

A lower roof (verandah, porch, lean-to) is cut at the wall line of the higher roof it stands against, never at its
fascia: under the eave it stays whole. The cut line is an apron. What is cut away is declared, so that each roof still
closes: its planes and what was cut away make up its outline.

      higher roof  ____
                 _/    \\_
                /        \\__ fascia
                  | wall
                  |____
                  |    ----____  lower roof, whole under the eave
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from takeoff.basics.errors import ShapeError
from takeoff.basics.vectors import Point2, Point3, Ring2, sub3, unit3
from takeoff.model.findings import Finding, Severity
from takeoff.model.job import RoofJob
from takeoff.model.roof import Roof, UprightKind
from takeoff.shape.assemble import assemble
from takeoff.shape.closure import closure_faults
from takeoff.shape.frames import is_level_plane, plan_bearing_deg
from takeoff.shape.numbering import renumber
from takeoff.shape.overlay import (
    Piece,
    faces_of,
    height_at,
    overlaps,
    pieces_outside,
    plan_polygon,
    plane_polygon,
    upright_outside,
)
from takeoff.shape.parts import Face, Numbering, Plan

if TYPE_CHECKING:
    from shapely.geometry import Polygon

_TOUCH_MM = 1.0  # overlaps narrower than this are two roofs that touch
_ON_WALL_MM = 0.1
_LEAST_WALL_MM = 300.0  # an abutting wall is drawn at least this high where the higher roof is no higher
_CLEAR_MM = 150.0  # a lower roof nearer than this to the roof over it cannot be flashed or built


def combine_roofs(roofs: tuple[Roof, ...], jobs: tuple[RoofJob, ...]) -> tuple[Roof, ...]:
    """The roofs of a job in typed order, lower ones cut at the walls of the roofs they stand below, ids unique over the
    job.

    A roof that says `below: name` is cut at that roof's wall line. Two roofs that overlap without saying so are told
    apart by height where one lies below the other throughout. Raises ShapeError, naming both roofs and the place, for
    roofs that cross, and for a higher roof without a wall line.
    """
    faults: list[str] = []
    cut: list[Roof] = []
    for number in range(len(roofs)):
        try:
            cut.append(_cut_below(number, roofs, jobs))
        except ShapeError as err:
            faults += err.faults
    if faults:
        raise ShapeError(*faults)
    return _numbered(cut)


def _numbered(roofs: Sequence[Roof]) -> tuple[Roof, ...]:
    numbering = Numbering()
    combined = []
    for roof in roofs:
        numbered = renumber(roof, numbering)
        combined.append(numbered)
        numbering = numbering.after(numbered)
    return tuple(combined)


def _cut_below(number: int, roofs: Sequence[Roof], jobs: Sequence[RoofJob]) -> Roof:
    """A roof cut at the walls of every roof it lies below: those it names, and those wholly over it."""
    roof = found = roofs[number]
    for other, other_job in zip(roofs, jobs, strict=True):
        if other is roof or other_job.below == roof.name or not _boxes_meet(roof, other):
            continue
        if jobs[number].below == other.name or _lies_below(roof, other):
            found = cut_at_wall(found, other)
    return found


def _boxes_meet(one: Roof, other: Roof) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = (_box(roof) for roof in (one, other))
    return min(ax1, bx1) - max(ax0, bx0) > _TOUCH_MM and min(ay1, by1) - max(ay0, by0) > _TOUCH_MM


def _box(roof: Roof) -> tuple[float, float, float, float]:
    x0, y0, _ = roof.origin_mm
    xs = [x + x0 for x, _ in roof.outline_mm[0]]
    ys = [y + y0 for _, y in roof.outline_mm[0]]
    return min(xs), min(ys), max(xs), max(ys)


def _lies_below(roof: Roof, other: Roof) -> bool:
    """Whether a roof lies below another one wherever they overlap. Raises ShapeError where they cross."""
    gaps = overlaps(roof.planes, _moved(other, roof.origin_mm).planes, None, _TOUCH_MM)
    low, high = min(gaps, default=(0.0, (0.0, 0.0))), max(gaps, default=(0.0, (0.0, 0.0)))
    if high[0] <= _TOUCH_MM:
        return False
    if low[0] >= -_TOUCH_MM:
        return True
    x, y = (c + o for c, o in zip(low[1], roof.origin_mm, strict=False))
    raise ShapeError(
        f"roofs {roof.name} and {other.name} cross near ({round(x)}, {round(y)}): their planes meet in valleys there; "
        "draw them as one outline (an edge may have its own pitch and fascia height), or give the lower one "
        f"below: {other.name} so that it ends at the wall"
    )


def _moved(roof: Roof, origin_mm: Point3) -> Roof:
    """A roof with its planes and rings counted from another origin (heights stay)."""
    dx, dy = roof.origin_mm[0] - origin_mm[0], roof.origin_mm[1] - origin_mm[1]
    if dx == 0.0 and dy == 0.0:
        return roof

    def moved(rings: tuple[Ring2, ...]) -> tuple[Ring2, ...]:
        return tuple(tuple((x + dx, y + dy) for x, y in ring) for ring in rings)

    planes = tuple(
        replace(
            plane,
            frame=replace(
                plane.frame,
                origin_mm=(
                    plane.frame.origin_mm[0] + dx,
                    plane.frame.origin_mm[1] + dy,
                    plane.frame.origin_mm[2],
                ),
            ),
        )
        for plane in roof.planes
    )
    return replace(
        roof,
        origin_mm=origin_mm,
        planes=planes,
        outline_mm=moved(roof.outline_mm),
        wall_line_mm=moved(roof.wall_line_mm),
    )


def cut_at_wall(lower: Roof, higher: Roof) -> Roof:
    """The lower roof without what lies inside the higher roof's wall line; the cut edges are aprons.

    Raises ShapeError where the higher roof has no wall line to cut at, or nothing of the lower roof is left.
    """
    higher = _moved(higher, lower.origin_mm)
    outline = plan_polygon(lower.outline_mm)
    if not higher.wall_line_mm:
        if outline.intersection(plan_polygon(higher.outline_mm)).area <= _TOUCH_MM * outline.length:
            return lower
        raise ShapeError(
            f"roof {lower.name} stands below roof {higher.name}, which has no wall line to cut it at; give roof "
            f"{higher.name} a wall_line with overhangs instead of an outline"
        )
    house = plan_polygon(higher.wall_line_mm)
    inside = outline.intersection(house)
    findings = _too_near(lower, higher, house)
    if inside.area <= _TOUCH_MM * inside.length:
        return replace(lower, findings=(*lower.findings, *findings))
    pieces = pieces_outside(lower.planes, house)
    if not pieces:
        raise ShapeError(f"roof {lower.name} lies wholly inside the walls of roof {higher.name}; nothing of it is left")
    faces = faces_of(lower, pieces, [*_old_uprights(lower, house), *_aprons(pieces, higher, house)])
    plan = Plan(
        name=lower.name,
        origin_mm=lower.origin_mm,
        outline_mm=lower.outline_mm,
        wall_line_mm=lower.wall_line_mm,
        edge_numbers=lower.edge_numbers,
        edge_names=lower.edge_names,
        cut_away_mm2=lower.cut_away_mm2 + float(inside.area),
        findings=(*lower.findings, *findings),
    )
    roof = assemble(faces, plan, _north_deg(lower))
    faults = closure_faults(roof, rounding_mm=1e-4)
    if faults:
        raise ShapeError(*faults)
    return replace(roof, closed=lower.closed, partial=lower.partial)


def _north_deg(roof: Roof) -> float:
    """Bearing of plan up, read back from a plane that slopes."""
    for plane in roof.planes:
        if not is_level_plane(plane.frame.n):
            return (plane.bearing_deg - plan_bearing_deg(plane.frame.n)) % 360.0
    return 0.0


def _old_uprights(roof: Roof, house: Polygon) -> list[Face]:
    """The roof's own upright faces, where they stand outside the house."""
    from shapely.geometry import LineString, Point

    def outside(a: Point2, b: Point2) -> list[tuple[float, float]]:
        line = LineString([a, b])
        kept = line.difference(house.buffer(_ON_WALL_MM))
        spans = []
        for part in getattr(kept, "geoms", (kept,)):
            if part.length > _TOUCH_MM:
                low, high = sorted(
                    line.project(Point(end), normalized=True) for end in (part.coords[0], part.coords[-1])
                )
                spans.append((_wide(low, line.length), 1.0 - _wide(1.0 - high, line.length)))
        return spans

    faces = []
    for face in roof.uprights:
        for ring in upright_outside(face, outside):
            edges = (face.outline_edge,) if face.outline_edge else ()
            faces.append(Face((ring,), face.frame.n, edges, upright=face.kind))
    return faces


def _wide(share: float, length: float) -> float:
    """The end of a span moved back onto the wall that the buffer kept it off."""
    return share - _ON_WALL_MM / length if share * length > _ON_WALL_MM / 2 else 0.0


def _aprons(pieces: Sequence[Piece], higher: Roof, house: Polygon) -> list[Face]:
    """Upright faces of the house's wall over the cut borders of the pieces."""
    from shapely.geometry import Point

    wall = house.boundary
    faces = []
    for piece in pieces:
        for ring in piece.rings:
            for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
                middle = Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
                if max(wall.distance(p) for p in (Point(a), middle, Point(b))) <= _ON_WALL_MM:
                    faces.append(_wall_face(piece, a, b, higher))
    return faces


def _wall_face(piece: Piece, a: Point2, b: Point2, higher: Roof) -> Face:
    """The wall over a plan segment that has the piece on its left, up to the higher roof."""
    from shapely.geometry import Point

    foot = [(x, y, height_at(piece.plane, x, y)) for x, y in (a, b)]
    top = []
    for x, y, z in foot:
        over = [height_at(p, x, y) for p in higher.planes if plane_polygon(p).distance(Point(x, y)) <= _TOUCH_MM]
        top.append((x, y, max([z + _LEAST_WALL_MM, *over])))
    along = sub3((b[0], b[1], 0.0), (a[0], a[1], 0.0))
    normal = unit3((-along[1], along[0], 0.0))
    return Face(((*top, *reversed(foot)),), normal, upright=UprightKind.ABUTTING)


def _too_near(lower: Roof, higher: Roof, house: Polygon) -> list[Finding]:
    """A finding where the lower roof, outside the wall, comes too near to the roof over it."""
    near = overlaps(lower.planes, higher.planes, house, _TOUCH_MM)
    if not near:
        return []
    gap, (x, y) = min(near)
    if gap >= _CLEAR_MM:
        return []
    text = (
        f"roof {lower.name} comes within {gap:.0f} mm of the eave of roof {higher.name} at ({round(x)}, {round(y)})"
        if gap > 0
        else f"roof {lower.name} runs {-gap:.0f} mm into the eave of roof {higher.name} at ({round(x)}, {round(y)})"
    )
    return [
        Finding(
            "eave-in-the-way",
            Severity.WARN,
            text,
            "lower its fascia, flatten its pitch, or raise the higher roof's",
            refs=(lower.name, higher.name),
            at_mm=(x, y, 0.0),
        )
    ]
