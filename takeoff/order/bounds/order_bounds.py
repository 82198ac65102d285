"""Bounds of the whole order: no line of a delivery may grow past what the size of the house can take of anything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from takeoff.model.roof import Roof
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import area_m2, edge_m
from takeoff.order.bounds.sheet_bounds import whole_range
from takeoff.order.bounds.wall_bounds import wall_ground

# most of one line by its unit: (for each m2 of plane or wall, for each m of edge, and for any house)
CEILINGS: Mapping[str, tuple[float, float, float]] = {
    "roll": (0.05, 0.05, 4.0),
    "box": (0.2, 0.2, 4.0),
    "tin": (0.1, 0.1, 4.0),
    "tube": (0.1, 0.3, 4.0),
    "bottle": (0.1, 0.0, 4.0),
    "m": (10.0, 10.0, 20.0),
    "m2": (3.0, 1.0, 5.0),
}
_ROOF = ("purlins", "underlay", "roof sheets", "flashings", "rainwater")


def line_ceilings(case: Case) -> Iterator[Bounded]:
    """Every line of the order against the planes or walls and the edges it is for."""
    roof = (area_m2(case.planes), sum(_edges_m(roof) for roof in case.takeoff.roofs))
    clad = [wall_ground(wall) for wall in case.takeoff.elevations]
    walls = (sum(w.gross_m2 for w in clad), sum(2.0 * (w.width_m + w.high_m + w.heads_m) for w in clad) + roof[1])
    for line in case.order.lines:
        area, edges = roof if line.delivery in _ROOF else walls
        each_m2, each_m, any_house = CEILINGS.get(line.total_unit, (inf, inf, inf))
        if each_m2 < inf:
            most = each_m2 * area + each_m * edges + any_house
            words = f"{area:.1f} m2 and {edges:.1f} m of edges"
            yield Bounded(line.total, 0.0, most, line.total_unit, words, line.name, line.refs[:3])


def _edges_m(roof: Roof) -> float:
    return sum(edge_m(edge) for edge in roof.own_edges)


def order_sheets(case: Case) -> Iterator[Bounded]:
    """Square metres of sheets in the order's totals against the planes that carry them."""
    low, high = whole_range(case)
    if high > 0.0:
        area = area_m2(case.planes)
        words = f"planes of {area:.2f} m2 and their trims"
        yield Bounded(case.order.sheets_bought_m2, low, high, "m2", words, "bought")
        yield Bounded(case.order.sheets_net_m2, 0.0, high, "m2", words, "net")
