"""Whether a roof closes: its planes cover the outline once, and every inner edge joins two faces."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.polygons import rings_area
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, Ring2, distance2
from takeoff.model.edge_kinds import INNER_KINDS
from takeoff.model.roof import Roof, RoofEdge

_EPS = 2.0**-52


def closure_faults(roof: Roof, rounding_mm: float = 0.0, off_plane_mm: float = 0.0) -> tuple[str, ...]:
    """What keeps a roof from closing, one sentence a fault, each saying where. Empty: it closes.

    `rounding_mm`: how coarse the outline's own coordinates are; a float of 1.5e9 mm is 2.4e-7 mm wide.
    `off_plane_mm`: how far corners may lie off their planes, where they were welded or imported.
    """
    return (*_area_faults(roof, rounding_mm), *_edge_faults(roof), *_border_faults(roof, off_plane_mm))


def input_rounding_mm(*rings: Sequence[tuple[float, float]]) -> float:
    """Width of one step of the coordinates as typed [mm]."""
    return max((abs(c) for ring in rings for point in ring for c in point), default=0.0) * _EPS


def perimeter(rings: Sequence[Ring2]) -> float:
    """Length round all rings."""
    return sum(distance2(ring[i - 1], point) for ring in rings for i, point in enumerate(ring))


def _area_faults(roof: Roof, rounding_mm: float) -> tuple[str, ...]:
    outline = rings_area(roof.outline_mm)
    covered = sum(plane.plan_area_mm2 for plane in roof.planes) + roof.cut_away_mm2
    allowed = TOLERANCES.closure_rel * outline + 4 * rounding_mm * perimeter(roof.outline_mm)
    if abs(covered - outline) <= allowed:
        return ()
    word = "less" if covered < outline else "more"
    fault = (
        f"roof {roof.name}: its planes cover {covered / 1e6:.6f} m2 in plan, {abs(covered - outline) / 1e6:.6f} m2 "
        f"{word} than the outline's {outline / 1e6:.6f} m2"
    )
    return (fault,)


def place(at_mm: Point3) -> str:
    """A place in words, whole mm."""
    return f"({round(at_mm[0])}, {round(at_mm[1])}) at height {round(at_mm[2])}"


def _edge_faults(roof: Roof) -> tuple[str, ...]:
    faults = []
    planes = {plane.id for plane in roof.planes}
    for edge in roof.edges:
        if len(edge.faces) < 2 and (edge.kind in INNER_KINDS or not edge.outline_edges):
            faults.append(f"{_where(roof, edge)} has a face on one side only and does not lie on the outline")
        elif len([face for face in edge.faces if face in planes]) > 2:
            faults.append(f"{_where(roof, edge)} joins more than two planes: {', '.join(edge.faces)}")
    return tuple(faults)


def _where(roof: Roof, edge: RoofEdge) -> str:
    return f"roof {roof.name}: {edge.kind} {edge.id} from {place(edge.a_mm)} to {place(edge.b_mm)}"


def _border_faults(roof: Roof, off_plane_mm: float) -> tuple[str, ...]:
    """Every side of a plane's rings is one edge of the roof: lengths round each plane must agree."""
    faults = []
    edges: dict[str, list[RoofEdge]] = {}
    for edge in roof.edges:
        for face in dict.fromkeys(edge.faces):
            edges.setdefault(face, []).append(edge)
    for plane in roof.planes:
        round_it = perimeter(plane.rings_uv)
        named = sum(edge.length_mm * _sides(edge, plane.id) for edge in edges.get(plane.id, ()))
        if abs(round_it - named) > max(TOLERANCES.same_length_mm, 4 * off_plane_mm, 1e-9 * round_it):
            faults.append(
                f"roof {roof.name}: the edges of plane {plane.id} are {named:.2f} mm long together, its border is "
                f"{round_it:.2f} mm"
            )
    return tuple(faults)


def _sides(edge: RoofEdge, plane: str) -> int:
    return edge.faces.count(plane)
