"""Water that falls through the air from one roof on to another: off an eave without spouting, or from a spreader.

It falls plumb on to the highest plane under it and runs on from there by that plane's fall lines.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from takeoff.basics.polygons import inside_rings
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, add3, scale3, sub3
from takeoff.model.roof import Roof, RoofPlane
from takeoff.shape.together.overlay import height_at
from takeoff.shape.water.fall_cells import Cell
from takeoff.shape.water.fall_lines import Curtain, FallLines

_LEAST_FALL_MM = TOLERANCES.fall_mm


@record
class Under:
    """The roof and plane that lie under a point, and how far below it the plane is [mm]."""

    roof: Roof
    plane: RoofPlane
    fall_mm: float


def roof_under(point: Point3, roofs: Sequence[Roof]) -> Under | None:
    """The highest plane under a point of the plan; None where there is only ground."""
    best: Under | None = None
    for roof in roofs:
        at = _from_origin(point, roof)
        for plane in roof.planes:
            on = _plumb(plane, at)
            fall = at[2] - on[2]
            nearest = fall > _LEAST_FALL_MM and (best is None or fall < best.fall_mm)
            if nearest and inside_rings(plane.frame.to_plane(on), plane.rings_uv):
                best = Under(roof, plane, fall)
    return best


@record
class Over:
    """The roof and plane that lie over a point of the plan."""

    roof: Roof
    plane: RoofPlane

    def rise_mm(self, point: Point3) -> float:
        """How far the plane is over a point [mm]."""
        return _plumb(self.plane, _from_origin(point, self.roof))[2] - point[2]


def roof_over(point: Point3, roofs: Sequence[Roof]) -> Over | None:
    """The lowest plane over a point of the plan; None where there is only sky."""
    found: list[tuple[float, Over]] = []
    for roof in roofs:
        at = _from_origin(point, roof)
        for plane in roof.planes:
            over = Over(roof, plane)
            rise = over.rise_mm(point)
            if rise > _LEAST_FALL_MM and inside_rings(plane.frame.to_plane(_plumb(plane, at)), plane.rings_uv):
                found.append((rise, over))
    return min(found, key=lambda one: one[0])[1] if found else None


def fall_on(water: Curtain, lines: Sequence[FallLines]) -> Iterator[tuple[FallLines, RoofPlane, str, Curtain]]:
    """Where water that falls from a line (or a point) of the plan comes to an edge: the roof, the plane it falls on,
    the edge below it there, and the water at that edge counted from that roof's origin. What falls to the ground is
    left out, and so is what falls on a level plane."""
    roofs = [one.roof for one in lines]
    for t0, t1 in pairwise(breaks(water, roofs)):
        part = water.part(t0, t1)
        under = roof_under(add3(part.a, scale3(sub3(part.b, part.a), 0.5)), roofs)
        if under is not None:
            owner = next(one for one in lines if one.roof is under.roof)
            own = replace(part, a=_from_origin(part.a, owner.roof), b=_from_origin(part.b, owner.roof))
            for edge, curtain in _to_edges(owner, under.plane, own):
                yield owner, under.plane, edge, curtain


def _from_origin(point: Point3, roof: Roof) -> Point3:
    return (point[0] - roof.origin_mm[0], point[1] - roof.origin_mm[1], point[2])


def _plumb(plane: RoofPlane, at: Point3) -> Point3:
    return (at[0], at[1], height_at(plane, at[0], at[1]))


def breaks(water: Curtain, roofs: Sequence[Roof]) -> list[float]:
    """Shares of the way along a line of water at which it passes over a border of a plane, with both ends."""
    found = {0.0, 1.0}
    if water.a[:2] != water.b[:2]:
        for roof in roofs:
            a, b = _from_origin(water.a, roof), _from_origin(water.b, roof)
            for plane in roof.planes:
                for ring in plane.rings_uv:
                    border = [plane.frame.to_space(point) for point in ring]
                    for c, d in zip(border, (*border[1:], border[0]), strict=True):
                        found.update(_crossing(a[:2], b[:2], c[:2], d[:2]))
    return _apart(found, water)


def _apart(shares: set[float], water: Curtain) -> list[float]:
    """Shares in order, those a crumb of length apart made one; both ends stay."""
    length = sum((b - a) ** 2 for a, b in zip(water.a, water.b, strict=True)) ** 0.5
    crumb = TOLERANCES.same_length_mm / length if length > 0.0 else 0.0
    inner = [0.0]
    for share in sorted(shares):
        if share - inner[-1] > crumb and 1.0 - share > crumb:
            inner.append(share)
    return [*inner, 1.0]


def _crossing(a: Point2, b: Point2, c: Point2, d: Point2) -> list[float]:
    """Share of the way from a to b at which it crosses c to d, as a list of one or none."""
    rx, ry, sx, sy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    across = rx * sy - ry * sx
    if abs(across) <= 1e-9 * max(rx * rx + ry * ry, sx * sx + sy * sy):
        return []
    t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / across
    s = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / across
    return [t] if 0.0 < t < 1.0 and -1e-9 <= s <= 1.0 + 1e-9 else []


def _to_edges(lines: FallLines, plane: RoofPlane, water: Curtain) -> Iterator[tuple[str, Curtain]]:
    """Water over one plane, brought down each cell of it to the edge below."""
    a, b = (plane.frame.to_plane(_plumb(plane, point)) for point in (water.a, water.b))
    if a[0] > b[0]:  # water is led on with a to b as u runs
        a, b = b, a
        water = replace(water, a=water.b, b=water.a, at_a_mm2=water.at_b_mm2, at_b_mm2=water.at_a_mm2)
    cells = lines.cells[plane.id]
    shares = {0.0, 1.0} | {t for cell in cells for side in _border(cell) for t in _crossing(a, b, *side)}
    for t0, t1 in pairwise(_apart(shares, water)):
        middle = (t0 + t1) / 2.0
        at = (a[0] + (b[0] - a[0]) * middle, a[1] + (b[1] - a[1]) * middle)
        cell = next((cell for cell in cells if _holds(cell, at)), None)
        if cell is not None:
            ua, ub = (min(max(a[0] + (b[0] - a[0]) * t, cell.u0), cell.u1) for t in (t0, t1))
            yield cell.lower, lines.at_foot(cell, water.part(t0, t1), ua, ub)


def _border(cell: Cell) -> tuple[tuple[Point2, Point2], ...]:
    low0, low1 = (cell.u0, cell.low0), (cell.u1, cell.low1)
    up0, up1 = (cell.u0, cell.up0), (cell.u1, cell.up1)
    return ((low0, low1), (low1, up1), (up1, up0), (up0, low0))


def _holds(cell: Cell, at: Point2) -> bool:
    crumb = TOLERANCES.same_length_mm
    if not cell.u0 - crumb <= at[0] <= cell.u1 + crumb:
        return False
    u = min(max(at[0], cell.u0), cell.u1)
    return cell.low_at(u) - crumb <= at[1] <= cell.up_at(u) + crumb
