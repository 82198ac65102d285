"""How much longer than its edge a flashing is at either end, so that it can be cut and dressed to what it meets.

Source: common practice, no source; every dressing is a setting.
"""

from __future__ import annotations

from collections.abc import Collection
from math import ceil

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.flashings.meeting_pieces import lands_on_roof
from takeoff.model.edge_kinds import EVERYTHING, WALL_KINDS, Dressed, EdgeKind
from takeoff.model.roof import Roof, RoofEdge

EAVE, JUNCTION, BARGE = "flashing_dress_eave_mm", "flashing_dress_junction_mm", "flashing_dress_barge_mm"
MITRE, DROP, WALL = "flashing_dress_mitre_mm", "flashing_dress_drop_mm", "flashing_dress_wall_mm"


def kinds_at(roof: Roof, node: str, but: str) -> frozenset[EdgeKind]:
    """Kinds of the edges that meet at a node, one edge left out."""
    return frozenset(edge.kind for edge in roof.edges if node in (edge.low, edge.high) and edge.id != but)


def dressing(kind: EdgeKind, meets: Collection[EdgeKind], is_low: bool) -> str:
    """The setting that dresses one end of a flashing; `meets` are the other edges' kinds at that end."""
    row = kind.row
    if row.dressed is Dressed.BARGE:
        return DROP if is_low else MITRE
    if row.dressed is Dressed.UP:
        return EAVE if is_low and {EdgeKind.EAVE, EdgeKind.VERGE} & set(meets) else JUNCTION
    if (EVERYTHING in row.joins and meets) or set(row.joins) & set(meets):
        return JUNCTION
    return WALL if row.capped_at_wall and WALL_KINDS & set(meets) else BARGE


def end_dressings(roof: Roof, edge: RoofEdge) -> tuple[str, str]:
    """Names of the settings that dress the low (left) and the high (right) end of an edge's flashing."""
    low = dressing(edge.kind, kinds_at(roof, edge.low, edge.id), True)
    if edge.kind is EdgeKind.VALLEY and lands_on_roof(roof, edge):
        low = JUNCTION
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
