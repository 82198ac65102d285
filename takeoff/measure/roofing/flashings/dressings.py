"""How much longer than its edge a flashing is at either end, so that it can be cut and dressed to what it meets.

Source: common practice, no source; every dressing is a setting.
"""

from __future__ import annotations

from collections.abc import Collection
from math import ceil

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.roof import EdgeKind, Roof, RoofEdge

EAVE, JUNCTION, BARGE = "flashing_dress_eave_mm", "flashing_dress_junction_mm", "flashing_dress_barge_mm"
MITRE, DROP, WALL = "flashing_dress_mitre_mm", "flashing_dress_drop_mm", "flashing_dress_wall_mm"

_SLOPING = frozenset({EdgeKind.HIP, EdgeKind.VALLEY})
_AGAINST_WALL = frozenset({EdgeKind.APRON_HEAD, EdgeKind.APRON_SIDE})
# level flashings: what they are joined to at a node, dressed as a junction
_JOINS = {
    EdgeKind.RIDGE: _SLOPING | {EdgeKind.RIDGE},
    EdgeKind.HEAD: _SLOPING | {EdgeKind.HEAD, EdgeKind.RIDGE},
    EdgeKind.APRON_HEAD: _SLOPING | _AGAINST_WALL | {EdgeKind.RIDGE},
    EdgeKind.PITCH_CHANGE: _SLOPING | {EdgeKind.PITCH_CHANGE},
    EdgeKind.INTERNAL_GUTTER: frozenset(EdgeKind),
}


def kinds_at(roof: Roof, node: str, but: str) -> frozenset[EdgeKind]:
    """Kinds of the edges that meet at a node, one edge left out."""
    return frozenset(edge.kind for edge in roof.edges if node in (edge.low, edge.high) and edge.id != but)


def dressing(kind: EdgeKind, meets: Collection[EdgeKind], is_low: bool) -> str:
    """The setting that dresses one end of a flashing; `meets` are the other edges' kinds at that end."""
    if kind in _JOINS:
        if _JOINS[kind] & set(meets):
            return JUNCTION
        return WALL if kind in (EdgeKind.RIDGE, EdgeKind.HEAD) and _AGAINST_WALL & set(meets) else BARGE
    if kind is EdgeKind.VERGE:
        return DROP if is_low else MITRE
    if not is_low:
        return JUNCTION
    return EAVE if {EdgeKind.EAVE, EdgeKind.VERGE} & set(meets) else JUNCTION


def end_dressings(roof: Roof, edge: RoofEdge) -> tuple[str, str]:
    """Names of the settings that dress the low (left) and the high (right) end of an edge's flashing."""
    low = dressing(edge.kind, kinds_at(roof, edge.low, edge.id), True)
    high = dressing(edge.kind, kinds_at(roof, edge.high, edge.id), False)
    return low, high


def pieces_needed(run_mm: float, stock_mm: float, lap_mm: float) -> int:
    """Lengths of stock for a run with laps: ceil((run - lap) / (stock - lap)); at least one.

    run_mm: what must be covered, dressings included [mm]. Source of the rule: derived from the lap.
    Raises ValueError when a stock length is not longer than the lap.

    >>> pieces_needed(11600, 6000, 150), pieces_needed(11900, 6000, 150)
    (2, 3)
    """
    if stock_mm <= lap_mm:
        raise ValueError(f"a stock length of {stock_mm} mm is not longer than the lap of {lap_mm} mm")
    return max(1, ceil((run_mm - lap_mm - TOLERANCES.same_length_mm) / (stock_mm - lap_mm)))
