"""Planes cut into cells by their fall lines, and how much of each cell lies open to the rain.

A cell is the part of a plane between one edge below and one edge above it. Where a higher roof of the job covers part
of a plane, no rain falls there; water that comes from above still runs through.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import hypot

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.roof import RoofEdge, RoofPlane

LEVEL_DEG = TOLERANCES.flat_deg

_Side = tuple[str, float, float, float, float]  # name, then u and v of its left end and of its right end


@record
class Cell:
    """The part of a plane between one edge below and one edge above, `u0` to `u1`; v of both edges at both sides."""

    plane: str
    lower: str
    upper: str
    u0: float
    u1: float
    low0: float
    low1: float
    up0: float
    up1: float

    def low_at(self, u: float) -> float:
        """v of the lower edge at u."""
        return self.low0 + (self.low1 - self.low0) * (u - self.u0) / (self.u1 - self.u0)

    def up_at(self, u: float) -> float:
        """v of the upper edge at u."""
        return self.up0 + (self.up1 - self.up0) * (u - self.u0) / (self.u1 - self.u0)


@record
class OpenStrip:
    """A strip of a cell from `u0` to `u1`: how far up the slope it is open to the rain at both sides [mm]."""

    u0: float
    u1: float
    depth0: float
    depth1: float


def fall_cells(plane: RoofPlane, edges: Iterable[RoofEdge]) -> tuple[Cell, ...]:
    """Cells of one plane, left to right and bottom to top. Empty for a level plane, or where its edges do not close.

    A valley that ends on the plane under another roof's overhang lies inside it: what runs down to it goes no further,
    and the cell below it has no edge above ("").
    """
    if plane.pitch_deg < LEVEL_DEG:
        return ()
    flat = [(edge.id, plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)) for edge in edges]
    stations = _stations([point[0] for _, a, b in flat for point in (a, b)])
    inside = {name for name, a, b in flat if not _on_border(plane, ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0))}
    border = _sides((line for line in flat if line[0] not in inside), stations)
    within = _sides((line for line in flat if line[0] in inside), stations)
    cells: list[Cell] = []
    for u0, u1 in pairwise(stations):
        across = _across(border, u0, u1)
        if len(across) % 2:
            return ()
        for low, up in zip(across[::2], across[1::2], strict=True):
            between = [cut for cut in _across(within, u0, u1) if sum(low[:2]) < sum(cut[:2]) < sum(up[:2])]
            for below, over in pairwise((low, *between, up)):
                name = over[2] if over is up else ""
                cells.append(Cell(plane.id, below[2], name, u0, u1, below[0], below[1], over[0], over[1]))
    return tuple(cells)


def _on_border(plane: RoofPlane, at: Point2) -> bool:
    """Whether a point lies on a side of the plane's rings."""
    for ring in plane.rings_uv:
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            du, dv = b[0] - a[0], b[1] - a[1]
            square = du * du + dv * dv
            t = min(max(((at[0] - a[0]) * du + (at[1] - a[1]) * dv) / square, 0.0), 1.0) if square else 0.0
            if hypot(at[0] - a[0] - t * du, at[1] - a[1] - t * dv) <= TOLERANCES.same_plane_mm:
                return True
    return False


def open_strips(cell: Cell, covered: Sequence[Sequence[Ring2]]) -> Iterator[OpenStrip]:
    """A cell less what is covered, in strips between which the open depth is linear. `covered`: polygons in plane axes
    that do not overlap, each an outer ring and its holes."""
    if not covered:
        yield OpenStrip(cell.u0, cell.u1, cell.up0 - cell.low0, cell.up1 - cell.low1)
        return
    rings = [ring for polygon in covered for ring in polygon]
    flat = [("", a, b) for ring in rings for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
    crossed = [u for _, a, b in flat for u in (a[0], b[0], *_crossings(cell, a, b))]
    stations = _stations([cell.u0, cell.u1, *(u for u in crossed if cell.u0 < u < cell.u1)])
    apart = (u for u in crossed if abs(u - _snap(u, stations)) > TOLERANCES.same_length_mm)
    sides = _sides(flat, [*stations, *apart])
    for u0, u1 in pairwise(stations):
        depths = []
        across = [cut[:2] for cut in _across(sides, u0, u1)]
        for end, u in enumerate((u0, u1)):
            low, up = cell.low_at(u), cell.up_at(u)
            spans = zip(across[::2], across[1::2], strict=True)
            shut = sum(max(0.0, min(up, over[end]) - max(low, under[end])) for under, over in spans)
            depths.append(max(0.0, up - low - shut))
        yield OpenStrip(u0, u1, depths[0], depths[1])


def _crossings(cell: Cell, a: Point2, b: Point2) -> Iterator[float]:
    """u where the line a to b crosses the lower or the upper edge of a cell."""
    for at in (cell.low_at, cell.up_at):
        over_a, over_b = a[1] - at(a[0]), b[1] - at(b[0])
        if over_a * over_b < 0.0:
            yield a[0] + (b[0] - a[0]) * over_a / (over_a - over_b)


def _sides(flat: Iterable[tuple[str, Point2, Point2]], stations: Sequence[float]) -> list[_Side]:
    """Lines by name, left to right, with their ends on stations; those straight up the slope are left out."""
    sides: list[_Side] = []
    for name, a, b in flat:
        ua, ub = _snap(a[0], stations), _snap(b[0], stations)
        if ua != ub:
            sides.append((name, ua, a[1], ub, b[1]) if ua < ub else (name, ub, b[1], ua, a[1]))
    return sides


def _across(sides: Iterable[_Side], u0: float, u1: float) -> list[tuple[float, float, str]]:
    """The lines that go right across a strip, from the bottom up: v at both sides of the strip, and the name."""
    found = ((_v_at(side, u0), _v_at(side, u1), side[0]) for side in sides if side[1] <= u0 and side[3] >= u1)
    return sorted(found, key=lambda cut: (cut[0] + cut[1], cut[2]))


def _stations(values: Iterable[float]) -> list[float]:
    """Distinct u of all corners; those a crumb of floating point apart are one."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > TOLERANCES.same_length_mm:
            found.append(value)
    return found


def _snap(value: float, stations: Sequence[float]) -> float:
    return min(stations, key=lambda station: abs(station - value))


def _v_at(side: _Side, u: float) -> float:
    _, ua, va, ub, vb = side
    return va + (vb - va) * (u - ua) / (ub - ua)
