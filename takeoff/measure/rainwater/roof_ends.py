"""A gutter that would run into a rising roof stops before it: a dormer's eaves end at their valleys, on that slope.

Derived: the roof that an eave ends against is as high as the eave at its end and falls away from there; the gutter's
sole hangs below the eave, so the gutter lies on that roof where it has fallen by less than the sole's depth. A roof
that lies on the inner side of the eave's line alone is never met: the gutter hangs on the outer one.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from takeoff.basics.polygons import inside_rings
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, distance2
from takeoff.measure.rainwater.stretches import Stretch, stretches
from takeoff.model.drainage import GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof, RoofPlane

_ASIDE_MM = 2.0 * TOLERANCES.same_point_mm  # beside a line, past any crumb


def outside_roofs(
    parts: Sequence[Stretch], roofs: Sequence[Roof], sole_mm: float, width_mm: float
) -> tuple[tuple[Stretch, ...], tuple[Finding, ...]]:
    """The stretches cut back where their stop ends would lie in a roof, and what was taken off each.

    `sole_mm`: underside of the gutter below the eave; `width_mm`: of the gutter, whose front may meet the roof first.
    """
    kept: list[Stretch] = []
    found: list[Finding] = []
    for part in parts:
        left = _into_mm(part, part.b_mm, part.a_mm, roofs, sole_mm, width_mm) if part.left.kind == "stop end" else 0.0
        right = _into_mm(part, part.a_mm, part.b_mm, roofs, sole_mm, width_mm) if part.right.kind == "stop end" else 0.0
        # a gutter that has no room at all stays as the eave is, for the plumber to judge
        if left + right <= 0.0 or left + right >= part.length_mm - width_mm:
            kept.append(part)
            continue
        short = part.length_mm - left - right
        ends = part.at(left), part.at(part.length_mm - right)
        kept.append(replace(part, start_mm=part.start_mm + left, length_mm=short, a_mm=ends[0], b_mm=ends[1]))
        found.append(_finding(part, left, right))
    return tuple(kept), tuple(found)


def hung_stretches(run: GutterRun, roofs: Sequence[Roof], sole_mm: float, width_mm: float) -> tuple[Stretch, ...]:
    """The stretches of a run where its gutter hangs: an internal gutter's are whole."""
    parts = stretches(run)
    return parts if run.internal else outside_roofs(parts, roofs, sole_mm, width_mm)[0]


def rises_at_end(
    there: Point3,
    end: Point3,
    edges: Collection[str],
    roofs: Sequence[Roof],
    outwards: Point2 = (0.0, 0.0),
    hung: bool = False,
) -> list[tuple[float, float]]:
    """How steeply every roof rises that a level line of some edges ends against, along the line and to the side
    `outwards` (a plan direction) [mm a mm]; roofs that do not rise along it are left out, and where the line carries
    what is `hung` on its outer side also those that lie on its inner side alone."""
    long = distance2(there[:2], end[:2])
    along = ((end[0] - there[0]) / long, (end[1] - there[1]) / long)
    beside = end[0] + outwards[0] * _ASIDE_MM, end[1] + outwards[1] * _ASIDE_MM
    found = []
    for plane in _planes_at(edges, end, roofs):
        if hung and not _is_under(plane, beside):
            continue
        gx, gy = -plane.frame.n[0] / plane.frame.n[2], -plane.frame.n[1] / plane.frame.n[2]
        rise = gx * along[0] + gy * along[1]
        if rise > TOLERANCES.level_slope:
            found.append((rise, gx * outwards[0] + gy * outwards[1]))
    return found


def _into_mm(
    part: Stretch, there: Point3, end: Point3, roofs: Sequence[Roof], sole_mm: float, width_mm: float
) -> float:
    """How far back from its end a gutter must stop [mm]; 0 where no roof rises there."""
    # to the right of the way from left to right: outwards
    ux, uy = (part.b_mm[0] - part.a_mm[0]) / part.length_mm, (part.b_mm[1] - part.a_mm[1]) / part.length_mm
    rises = rises_at_end(there, end, part.edges, roofs, (uy, -ux), hung=True)
    return max(((sole_mm + max(0.0, across * width_mm)) / rise for rise, across in rises), default=0.0)


def _planes_at(edges: Collection[str], end: Point3, roofs: Sequence[Roof]) -> list[RoofPlane]:
    """Planes with a corner at the end of a line along some edges, but those that the edges are of."""
    found = []
    for roof in roofs:
        own = {face for edge in roof.edges if edge.id in edges for face in edge.faces}
        for plane in roof.planes if own else ():
            corners = (plane.frame.to_space(point) for ring in plane.rings_uv for point in ring)
            if plane.id not in own and any(_same(corner, end) for corner in corners):
                found.append(plane)
    return found


def _is_under(plane: RoofPlane, place: Point2) -> bool:
    """Whether a plane lies at a place of the plan."""
    rings = [[plane.frame.to_space(point)[:2] for point in ring] for ring in plane.rings_uv]
    return inside_rings(place, rings)


def _same(a: Point3, b: Point3) -> bool:
    return distance2(a[:2], b[:2]) <= TOLERANCES.same_point_mm and abs(a[2] - b[2]) <= TOLERANCES.same_point_mm


def _finding(part: Stretch, left: float, right: float) -> Finding:
    said = [f"{mm:.0f} mm at its {hand} end" for hand, mm in (("left", left), ("right", right)) if mm > 0.0]
    return Finding(
        "gutter-stops-at-roof",
        Severity.NOTE,
        f"{part.id} stops short of the valley by {' and '.join(said)}: further on it would lie in the roof that rises "
        "there.",
        "Its stop end stands clear of that roof; the valley's foot is dressed on to the sheets below it.",
        (part.id, *part.edges),
        part.b_mm if right >= left else part.a_mm,
    )
