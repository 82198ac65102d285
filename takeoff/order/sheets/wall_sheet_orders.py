"""Wall sheets as the mill sees them: lines of the walls' delivery by the rules of roof sheets, pairs with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.model.items import DELIVERY_OF, Item, Trade
from takeoff.model.job.site import Site
from takeoff.model.order import OrderLine
from takeoff.model.settings import Settings
from takeoff.model.sheets import PairPlan, SheetBlank, SheetGroup
from takeoff.order.sheets.raked_pairs import pair_raked
from takeoff.order.sheets.sheet_blanks import mill_lines, plain_blanks
from takeoff.order.sheets.sheet_orders import item_of


@record
class WallSheetOrder:
    """The sheets of one profile on all walls: what is bought, its lines, and what pairing raked sheets saves."""

    blanks: tuple[SheetBlank, ...]
    lines: tuple[OrderLine, ...]
    pairs: PairPlan


def wall_sheet_orders(
    groups: tuple[SheetGroup, ...], site: Site, settings: Settings, items: Mapping[str, Item]
) -> tuple[WallSheetOrder, ...]:
    """One order for each profile. The setting `buy_raked_pairs` buys the paired list."""
    orders = []
    for group in groups:
        plain = plain_blanks(group.planes, group.profile, settings)
        paired = settings.flag("buy_raked_pairs")
        pairs = pair_raked(group.planes, group.profile, site, settings)
        pairs = replace(pairs, plain_count=len(plain), paired_count=len(pairs.blanks), bought=paired)
        blanks = pairs.blanks if paired else plain
        lines = mill_lines(blanks, group, item_of(group, items), settings)
        delivery = DELIVERY_OF[Trade.CLADDING]
        orders.append(WallSheetOrder(blanks, tuple(replace(line, delivery=delivery) for line in lines), pairs))
    return tuple(orders)
