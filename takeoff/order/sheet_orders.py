"""Each group of sheets as the mill sees it: blanks, lines and totals, with raked pairs as a saving or as asked."""

from __future__ import annotations

from dataclasses import dataclass, replace

from takeoff.model.job import Site
from takeoff.model.order import OrderLine
from takeoff.model.settings import Settings
from takeoff.model.sheets import PairPlan, SheetBlank, SheetGroup
from takeoff.order.raked_pairs import pair_raked
from takeoff.order.sheet_blanks import SheetTotals, mill_lines, plain_blanks, sheet_totals


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """One order at the mill. `pairs`: what pairing raked sheets saves, or bought where the job asks."""

    group: SheetGroup
    blanks: tuple[SheetBlank, ...]
    lines: tuple[OrderLine, ...]
    totals: SheetTotals
    pairs: PairPlan


def sheet_orders(groups: tuple[SheetGroup, ...], site: Site, settings: Settings) -> tuple[SheetOrder, ...]:
    """One order for each profile, thickness and colour. The setting `buy_raked_pairs` buys the paired list."""
    orders = []
    for number, group in enumerate(groups, start=1):
        pairs = pair_raked(group.planes, group.profile, site, settings)
        paired = settings.flag("buy_raked_pairs")
        blanks = pairs.blanks if paired else plain_blanks(group.planes, group.profile, settings)
        lines = mill_lines(blanks, group.planes, group.profile, group.bmt_mm, settings, group.colour)
        totals = sheet_totals(lines, blanks, group.planes, group.profile, settings)
        # two orders of one profile in two colours stay apart
        item = f"sheet {group.profile.id}" + (f" {number}" if len(groups) > 1 else "")
        orders.append(SheetOrder(group, blanks, tuple(replace(line, item=item) for line in lines), totals, pairs))
    return tuple(orders)
