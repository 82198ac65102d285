"""Where rain goes: every plane cut into cells by its fall lines, and the water followed down to where it leaves.

Rain on a plane runs straight down it (against v) to the edge below. There it is caught (a gutter), crosses to the
plane below (a pitch change, a hip between unequal slopes), runs down along the edge (a valley; the barge or
wall at a skewed side), or leaves the roof. All areas are plan areas [mm2]; nothing is rounded, so the areas that land
add up to the plan area that rain fell on.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, add3, scale3, sub3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Roof, RoofEdge
from takeoff.shape.water.fall_cells import Cell, fall_cells, open_strips


@record
class Curtain:
    """Water along the line a to b, or at a point where a equals b.

    `at_a_mm2` and `at_b_mm2`: the plan area it would bring if all of it ran as thick as at a or at b, linear between.
    `pitch_deg` is the steepest plane it has run down, `via` the valley it last came by. `plane` is the plane that the
    rain fell on, `rain_deg` its pitch; `wall`: it came off an upright face of that id, by half its area.
    """

    a: Point3
    b: Point3
    at_a_mm2: float
    at_b_mm2: float
    pitch_deg: float
    via: str = ""
    plane: str = ""
    rain_deg: float = 0.0
    wall: bool = False

    @property
    def area_mm2(self) -> float:
        """Plan area it brings [mm2]."""
        return (self.at_a_mm2 + self.at_b_mm2) / 2.0

    def part(self, t0: float, t1: float) -> Curtain:
        """The part between the shares t0 and t1 of the way from a to b."""
        along = sub3(self.b, self.a)
        thin = self.at_b_mm2 - self.at_a_mm2
        return replace(
            self,
            a=add3(self.a, scale3(along, t0)),
            b=add3(self.a, scale3(along, t1)),
            at_a_mm2=(self.at_a_mm2 + thin * t0) * (t1 - t0),
            at_b_mm2=(self.at_a_mm2 + thin * t1) * (t1 - t0),
        )


@record
class Landing:
    """Where water ended: on an edge of that id (a gutter, or an edge it runs off), with the curtain that came.

    `onto`: the plane that it fell on from a roof above, `source` that roof; both "" for rain on the roof itself.
    """

    edge: str
    curtain: Curtain
    onto: str = ""
    source: str = ""


class FallLines:
    """The water of one roof. `caught` are the ids of edges that carry gutters and keep what lands on them."""

    def __init__(self, roof: Roof, caught: frozenset[str]) -> None:
        self.roof = roof
        self.caught = caught
        self.planes = {plane.id: plane for plane in roof.planes}
        self.edges = {edge.id: edge for edge in roof.edges}
        self.cells = {plane.id: fall_cells(plane, roof.edges_of(plane.id)) for plane in roof.planes}
        self.below: dict[str, list[Cell]] = defaultdict(list)  # cells that an edge bounds from above
        self.drained: set[str] = set()  # edges that some plane falls to
        for cells in self.cells.values():
            for cell in cells:
                self.below[cell.upper].append(cell)
                self.drained.add(cell.lower)
        self.at_node: dict[str, list[RoofEdge]] = defaultdict(list)
        for edge in roof.edges:
            for node in dict.fromkeys((edge.low, edge.high)):
                self.at_node[node].append(edge)

    def landings(self) -> tuple[Landing, ...]:
        """All rain of the roof, where it ends. Level planes are left out: they have no fall.

        No rain falls where a higher roof covers a plane.
        """
        cells = [cell for cells in self.cells.values() for cell in cells]
        return self.follow((cell.lower, curtain) for cell in cells for curtain in self._rain(cell))

    def follow(self, water: Iterable[tuple[str, Curtain]]) -> tuple[Landing, ...]:
        """Water that has reached edges, where it ends."""
        found: list[Landing] = []
        work = list(water)
        # Water only goes down, so each packet crosses an edge at most once; the limit is for shapes that are no roof.
        left = (len(self.edges) + 2) * (len(work) + 2) * 4
        while work:
            edge, curtain = work.pop()
            left -= 1
            onward = [] if edge in self.caught or left < 0 else list(self._onward(edge, curtain))
            if onward:
                work.extend(onward)
            else:
                found.append(Landing(edge, curtain))
        return tuple(found)

    def _rain(self, cell: Cell) -> Iterator[Curtain]:
        plane = self.planes[cell.plane]
        for strip in open_strips(cell, plane.covered_uv):
            share = (strip.u1 - strip.u0) * plane.frame.n[2]  # n[2] is cos(pitch): plan area over true area
            if strip.depth0 + strip.depth1 > 0.0:
                yield Curtain(
                    a=plane.frame.to_space((strip.u0, cell.low_at(strip.u0))),
                    b=plane.frame.to_space((strip.u1, cell.low_at(strip.u1))),
                    at_a_mm2=strip.depth0 * share,
                    at_b_mm2=strip.depth1 * share,
                    pitch_deg=plane.pitch_deg,
                    plane=plane.id,
                    rain_deg=plane.pitch_deg,
                )

    def _onward(self, edge_id: str, curtain: Curtain) -> Iterator[tuple[str, Curtain]]:
        """Where water that reached an edge goes next; nothing where it leaves the roof."""
        edge = self.edges[edge_id]
        if self.below[edge_id]:
            yield from self._down_cells(self.below[edge_id], curtain)
        elif edge.kind is not EdgeKind.EAVE and abs(edge.b_mm[2] - edge.a_mm[2]) > TOLERANCES.same_point_mm:
            yield from self._from_node(edge, curtain)

    def _down_cells(self, cells: list[Cell], curtain: Curtain) -> Iterator[tuple[str, Curtain]]:
        """Split a curtain over the cells that it enters from above and bring each part to the edge below."""
        for cell in cells:
            plane = self.planes[cell.plane]
            ua, ub = plane.frame.to_plane(curtain.a)[0], plane.frame.to_plane(curtain.b)[0]
            if abs(ub - ua) <= TOLERANCES.same_length_mm:
                middle = min(max((ua + ub) / 2.0, cell.u0), cell.u1)
                if abs(middle - (ua + ub) / 2.0) <= TOLERANCES.same_length_mm:
                    yield cell.lower, self.at_foot(cell, curtain, middle, middle)
                    return  # a point enters one cell only
                continue
            # a plane falls away from the side it is entered by, so a to b runs with its u as with that of the one above
            low, high = max(ua, cell.u0), min(ub, cell.u1)
            if high - low > TOLERANCES.same_length_mm:
                part = curtain.part((low - ua) / (ub - ua), (high - ua) / (ub - ua))
                yield cell.lower, self.at_foot(cell, part, low, high)

    def at_foot(self, cell: Cell, curtain: Curtain, ua: float, ub: float) -> Curtain:
        """Water that is over a cell from ua to ub, brought down to the edge below it."""
        plane = self.planes[cell.plane]
        return replace(
            curtain,
            a=plane.frame.to_space((ua, cell.low_at(ua))),
            b=plane.frame.to_space((ub, cell.low_at(ub))),
            pitch_deg=max(curtain.pitch_deg, plane.pitch_deg),
            via="",
        )

    def _from_node(self, edge: RoofEdge, curtain: Curtain) -> Iterator[tuple[str, Curtain]]:
        """Water that has run down along a sloping edge to its low end: into a gutter, the next valley, or a plane."""
        node = edge.low if edge.a_mm[2] <= edge.b_mm[2] else edge.high
        foot = edge.a_mm if node == edge.low else edge.b_mm
        via = edge.id if edge.kind is EdgeKind.VALLEY else ""
        point = replace(curtain, a=foot, b=foot, at_a_mm2=curtain.area_mm2, at_b_mm2=curtain.area_mm2, via=via)
        here = [other for other in self.at_node[node] if other.id != edge.id]
        gutters = [other for other in here if other.id in self.caught]
        if gutters:
            share = point.area_mm2 / len(gutters)
            for gutter in gutters:
                yield gutter.id, replace(point, at_a_mm2=share, at_b_mm2=share)
            return
        lower = [o for o in here if o.id in self.drained and not self.below[o.id] and _falls_from(o, node)]
        if lower:
            yield max(lower, key=lambda other: other.slope_deg).id, point
            return
        yield from self._into_plane(foot, here, point)

    def _into_plane(self, foot: Point3, here: list[RoofEdge], point: Curtain) -> Iterator[tuple[str, Curtain]]:
        """A point of water that goes on down the face of a plane, the one that falls away furthest below it."""
        best: tuple[float, Cell, float] | None = None
        for plane_id in dict.fromkeys(face for edge in here for face in edge.faces if face in self.planes):
            u, v = self.planes[plane_id].frame.to_plane(foot)
            for cell in self.cells[plane_id]:
                if cell.u0 - TOLERANCES.same_length_mm <= u <= cell.u1 + TOLERANCES.same_length_mm:
                    at = min(max(u, cell.u0), cell.u1)
                    drop = v - cell.low_at(at)
                    inside = v <= cell.up_at(at) + TOLERANCES.same_point_mm and drop > TOLERANCES.same_point_mm
                    if inside and (best is None or drop > best[0] + TOLERANCES.same_point_mm):
                        best = (drop, cell, at)
        if best is not None:
            _, cell, at = best
            yield cell.lower, self.at_foot(cell, point, at, at)


def _falls_from(edge: RoofEdge, node: str) -> bool:
    """Whether the edge goes down from the node."""
    drop = edge.a_mm[2] - edge.b_mm[2]
    top = edge.low if drop > 0.0 else edge.high
    return abs(drop) > TOLERANCES.same_point_mm and top == node
