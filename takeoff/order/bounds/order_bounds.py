"""Bounds of the whole order: no line of a delivery may grow past what the size of the house can take of anything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from takeoff.model.items import ItemKind
from takeoff.model.order import OrderLine
from takeoff.model.roof import Roof
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import area_m2, edge_m
from takeoff.order.bounds.sheet_bounds import whole_range
from takeoff.order.bounds.wall_bounds import wall_ground

# most of one line by what it measures: for each m2 of plane or wall, for each m of edge, and for any house
CEILINGS: Mapping[str, tuple[float, float, float]] = {
    "each": (100.0, 50.0, 500.0),
    "m": (10.0, 10.0, 20.0),
    "m2": (4.0, 2.0, 5.0),
    "L": (0.5, 0.5, 5.0),
    "tube": (0.1, 0.3, 4.0),
    "bottle": (0.1, 0.0, 4.0),
    "tin": (0.1, 0.1, 4.0),
}
_SLATS = 1.5  # boards narrower than 150 mm: this many times what lies side by side on a square metre
_ROOF = ("purlins", "underlay", "roof sheets", "flashings", "rainwater")


def line_ceilings(case: Case) -> Iterator[Bounded]:
    """Every line of the order but spares and labour against the planes or walls and the edges it is for."""
    roof = (area_m2(case.planes), sum(_edges_m(roof) for roof in case.takeoff.roofs))
    clad = [wall_ground(wall) for wall in case.takeoff.elevations]
    walls = (sum(w.gross_m2 for w in clad), sum(2.0 * (w.width_m + w.high_m + w.heads_m) for w in clad) + roof[1])
    uncut = _uncut_m(case)
    for line in case.order.lines:
        unit, holds = _measure(line, case)
        if unit in CEILINGS and line.of.kind is not ItemKind.SPARE_SHEET and not line.labour:
            area, edges = roof if line.delivery in _ROOF else walls
            each_m2, each_m, any_house = CEILINGS[unit]
            if line.of.kind is ItemKind.BOARD:
                narrowest_mm = min(boards.cover_mm for boards in case.takeoff.cladding.boards)
                each_m2 = max(each_m2, _SLATS * 1000.0 / narrowest_mm)
            most = (each_m2 * area + each_m * edges + any_house) / holds + 1.0
            most += uncut.get(line.item, 0.0) if line.total_unit == "m" else 0.0
            words = f"{area:.1f} m2 and {edges:.1f} m of edges"
            yield Bounded(line.total, 0.0, most, line.total_unit, words, line.of.name, line.refs[:3])


def _uncut_m(case: Case) -> dict[str, float]:
    """Lengths of each item that only make up whole packs: they are bounded where the cutting is [m]."""
    bars = ((plan.item, bar) for plan in case.order.plans for bar in plan.bars if not bar.pieces)
    found: dict[str, int] = {}
    for item, bar in bars:
        found[item] = found.get(item, 0) + bar.stock_mm
    return {item: millimetres / 1000.0 for item, millimetres in found.items()}


def _measure(line: OrderLine, case: Case) -> tuple[str, float]:
    """What a line measures, and how much of it one of its unit holds: a roll its square metres, a box its pieces."""
    roll = case.takeoff.catalogue.rolls.get(line.item)
    if roll is not None:
        return "m2", roll.width_mm * roll.length_mm / 1e6
    pack = line.of.pack
    if pack is not None and line.total_unit == pack.word:
        return line.of.sold_in, pack.holds
    return line.total_unit, 1.0


def spare_sheets(case: Case) -> Iterator[Bounded]:
    """Spare sheets against the longest sheet laid, once a spare and a group of sheets."""
    lines = [line for line in case.order.lines if line.of.kind is ItemKind.SPARE_SHEET]
    pieces = [piece.order_mm for sheets in case.takeoff.roofing.sheets for piece in sheets.pieces if not piece.clear]
    groups = sum(1 for group in case.takeoff.roofing.groups if not group.clear)
    wanted = case.takeoff.settings.number("spare_sheets") * groups
    longest = max(pieces, default=0.0) / 1000.0
    figure = sum(line.count * line.each_mm for line in lines) / 1000.0
    words = f"{wanted:g} of {longest:.3f} m, the longest laid"
    yield Bounded(figure, 0.0, wanted * longest + 0.001, "m", words)


def _edges_m(roof: Roof) -> float:
    return sum(edge_m(edge) for edge in roof.own_edges)


def order_sheets(case: Case) -> Iterator[Bounded]:
    """Square metres of sheets in the order's totals against the planes that carry them."""
    low, high = whole_range(case)
    if high > 0.0:
        area = area_m2(case.planes)
        words = f"planes of {area:.2f} m2 and their trims"
        figure = case.order.sheets_bought_m2 + case.order.sheets_site_m2
        yield Bounded(figure, low, high, "m2", words, "bought and from the site")
        yield Bounded(case.order.sheets_net_m2, 0.0, high, "m2", words, "net")
