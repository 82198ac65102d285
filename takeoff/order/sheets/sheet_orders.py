"""Each group of sheets as the mill sees it: blanks, lines and totals, with raked pairs as a saving or as asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from takeoff.basics.errors import TakeoffError
from takeoff.basics.rounding import half_up
from takeoff.model.basis import Term, Working
from takeoff.model.items import Item
from takeoff.model.job.site import Site
from takeoff.model.order import OrderLine
from takeoff.model.settings import Settings
from takeoff.model.sheets import PairPlan, SheetBlank, SheetGroup
from takeoff.order.sheets.raked_pairs import pair_raked
from takeoff.order.sheets.sheet_blanks import DELIVERY, SheetTotals, kg_per_m, mill_lines, plain_blanks, sheet_totals


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """One order at the mill. `pairs`: what pairing raked sheets saves, or bought where the job asks.

    `spares`: a line of spare sheets, in no total of the sheets.
    """

    group: SheetGroup
    blanks: tuple[SheetBlank, ...]
    lines: tuple[OrderLine, ...]
    totals: SheetTotals
    pairs: PairPlan
    spares: tuple[OrderLine, ...] = ()


def sheet_orders(
    groups: tuple[SheetGroup, ...], site: Site, settings: Settings, items: Mapping[str, Item]
) -> tuple[SheetOrder, ...]:
    """One order for each profile, thickness and colour. The setting `buy_raked_pairs` buys the paired list. `items` by
    id hold those of the groups.

    Raises JobError for a number of spare sheets that is not whole or below 0.
    """
    orders = []
    for group in groups:
        pairs = pair_raked(group.planes, group.profile, site, settings)
        plain = plain_blanks(group.planes, group.profile, settings)
        blanks = pairs.blanks if settings.flag("buy_raked_pairs") else plain
        item = item_of(group, items)
        lines = mill_lines(blanks, group, item, settings)
        totals = sheet_totals(lines, blanks, group.planes, group.profile, settings)
        pairs = _both_ways(pairs, plain, group, settings)
        orders.append(SheetOrder(group, blanks, lines, totals, pairs, _spares(group, item, items, lines, settings)))
    return tuple(orders)


def _both_ways(pairs: PairPlan, plain: tuple[SheetBlank, ...], group: SheetGroup, settings: Settings) -> PairPlan:
    """The pairs with what is bought by the plain list and by the paired one, as it covers."""
    by_plain = sheet_totals((), plain, group.planes, group.profile, settings)
    by_pairs = sheet_totals((), pairs.blanks, group.planes, group.profile, settings)
    return replace(
        pairs,
        plain_m2=by_plain.bought_m2,
        paired_m2=by_pairs.bought_m2,
        net_m2=by_plain.net_m2,
        plain_count=len(plain),
        paired_count=len(pairs.blanks),
        bought=settings.flag("buy_raked_pairs"),
    )


def item_of(group: SheetGroup, items: Mapping[str, Item]) -> Item:
    """What the sheets of a group are on the order. Raises TakeoffError for a group without an item: a fault of ours."""
    if group.item is None or group.item.id not in items:
        raise TakeoffError(f"sheets of {group.profile.id} have no item")
    return items[group.item.id]


def _spares(
    group: SheetGroup, item: Item, items: Mapping[str, Item], lines: tuple[OrderLine, ...], settings: Settings
) -> tuple[OrderLine, ...]:
    """Spare sheets as long as the longest sheet of the group (common practice: one a colour); none of clear sheet."""
    count = settings.number("spare_sheets")
    pieces = [piece for plane in group.planes for piece in plane.pieces]
    if not lines or not pieces or count == 0.0 or group.clear:
        return ()
    longest = max(pieces, key=lambda piece: piece.order_mm)
    mass, terms = kg_per_m(group.profile, group.bmt_mm, settings)
    metres = count * longest.order_mm / 1000.0
    length = Term("longest sheet", longest.order_mm, "mm", ref=longest.mark)
    return (
        OrderLine(
            id="",
            delivery=DELIVERY,
            of=next(spare for spare in items.values() if spare.spare_of == item.id),
            count=count,
            unit="each",
            each_mm=longest.order_mm,
            total=half_up(metres, 3),
            total_unit="m",
            kg=half_up(metres * mass, 1),
            refs=tuple(plane.plane for plane in group.planes),
            working=Working(
                "spare sheets as long as the longest, in no waste", (settings.term("spare_sheets"), length, *terms)
            ),
            note="square; not counted in waste",
        ),
    )
