"""A part of the house as triangles in space: a flat one from its rings, a stick as a box a stretch. mm, z up."""

from __future__ import annotations

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.triangles import Triangle, triangulate
from takeoff.basics.vectors import Point3, Ring2, add3, cross3, dot3, scale3, sub3, unit3
from takeoff.model.roof import Frame
from takeoff.write.house_view.house_parts import Part

_BOX: tuple[Triangle, ...] = (
    (0, 1, 5), (0, 5, 4), (1, 2, 6), (1, 6, 5), (2, 3, 7), (2, 7, 6), (3, 0, 4), (3, 4, 7), (3, 2, 1), (3, 1, 0),
    (4, 5, 6), (4, 6, 7),
)  # fmt: skip
_ALONG = 0.99  # cosine of the angle from which on a stick runs along the direction that is up for it


@record
class Stretch:
    """One straight stretch of a stick: its ends, and the directions across it and up from it, all of length 1."""

    a_mm: Point3
    b_mm: Point3
    along: Point3
    across: Point3
    up: Point3


def polygons_of(rings: tuple[Ring2, ...]) -> list[list[Ring2]]:
    """Rings as polygons: each outer ring, which runs counter-clockwise, with the holes that follow it."""
    found: list[list[Ring2]] = []
    for ring in rings:
        if found and signed_area(ring) < 0.0:
            found[-1].append(ring)
        else:
            found.append([ring])
    return found


def stretches_of(part: Part) -> list[Stretch]:
    """The straight stretches of a stick, those of no length left out."""
    found = []
    up = part.frame.n if part.frame is not None else (0.0, 0.0, 1.0)
    for a, b in zip(part.line, part.line[1:], strict=False):
        if sub3(b, a) == (0.0, 0.0, 0.0):
            continue
        along = unit3(sub3(b, a))
        over = (1.0, 0.0, 0.0) if abs(dot3(along, up)) > _ALONG else up
        across = unit3(cross3(along, over))
        found.append(Stretch(a, b, along, across, cross3(across, along)))
    return found


def mesh_of(part: Part) -> tuple[list[Point3], list[Triangle]]:
    """Points and the triangles between them, seen from outside counter-clockwise."""
    if part.frame is not None and part.rings:
        return _flat(part, part.frame)
    points: list[Point3] = []
    triangles: list[Triangle] = []
    for stretch in stretches_of(part):
        first = len(points)
        for end in (stretch.a_mm, stretch.b_mm):
            for p, q in ((1.0, -1.0), (-1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)):  # clockwise, as one looks along
                side = add3(scale3(stretch.across, p * part.wide_mm / 2.0), scale3(stretch.up, q * part.deep_mm / 2.0))
                points.append(add3(end, side))
        triangles += [(first + a, first + b, first + c) for a, b, c in _BOX]
    return points, triangles


def _flat(part: Part, frame: Frame) -> tuple[list[Point3], list[Triangle]]:
    points: list[Point3] = []
    triangles: list[Triangle] = []
    out = scale3(frame.n, part.out_mm)
    for rings in polygons_of(part.rings):
        first = len(points)
        points += [add3(frame.to_space(point), out) for ring in rings for point in ring]
        triangles += [(first + a, first + b, first + c) for a, b, c in triangulate(rings)]
    return points, triangles
