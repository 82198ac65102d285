"""Each group of sheets as the mill sees it: blanks, lines and totals, with raked pairs as a saving or as asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from takeoff.basics.errors import TakeoffError
from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.basis import Term, Working
from takeoff.model.items import Item
from takeoff.model.job.site import Site
from takeoff.model.memory import recalled
from takeoff.model.order import OrderLine
from takeoff.model.products import Profile
from takeoff.model.runs import OnHand
from takeoff.model.settings import Settings
from takeoff.model.sheets import PairPlan, PlaneSheets, SheetBlank, SheetGroup
from takeoff.order.sheets.raked_pairs import pair_raked
from takeoff.order.sheets.sheet_blanks import (
    DELIVERY,
    SheetTotals,
    kg_per_m,
    mill_lines,
    numbered,
    pieces_of,
    plain_blanks,
    sheet_totals,
)
from takeoff.order.sheets.site_sheets import SiteSheets, with_sheets_on_hand


@record
class SheetOrder:
    """One order at the mill. `pairs`: what pairing raked sheets saves, or bought where the job asks.

    `spares`: a line of spare sheets, in no total of the sheets. `site`: lengths cut out of sheets that lie on the site,
    `on_hand`; they are in no line.
    """

    group: SheetGroup
    blanks: tuple[SheetBlank, ...]
    lines: tuple[OrderLine, ...]
    totals: SheetTotals
    pairs: PairPlan
    spares: tuple[OrderLine, ...] = ()
    site: tuple[SheetBlank, ...] = ()
    on_hand: tuple[OnHand, ...] = ()


def sheet_orders(
    groups: tuple[SheetGroup, ...],
    site: Site,
    settings: Settings,
    items: Mapping[str, Item],
    on_hand: Mapping[str, tuple[OnHand, ...]] | None = None,
) -> tuple[SheetOrder, ...]:
    """One order for each profile, thickness and colour. The setting `buy_raked_pairs` buys the paired list. `items` by
    id hold those of the groups; `on_hand`: sheets that lie on the site, by item.

    Raises JobError for a number of spare sheets that is not whole or below 0.
    """
    orders = []
    for group in groups:
        item = item_of(group, items)
        hand = (on_hand or {}).get(item.id, ())
        own = {name: found for name, found in items.items() if item.id in (name, found.spare_of)}
        work = partial(_one_order, group, site, own, hand)
        orders.append(recalled("sheets at the mill", (group, site, own, hand), settings, work))
    return tuple(orders)


def _one_order(
    group: SheetGroup, site: Site, items: Mapping[str, Item], hand: tuple[OnHand, ...], settings: Settings
) -> SheetOrder:
    item = item_of(group, items)
    plain, paired, pairs = _lists(group, site, settings, hand)
    used = paired if settings.flag("buy_raked_pairs") else plain
    lines = mill_lines(used.bought, group, item, settings)
    totals = sheet_totals(lines, used.bought, group.planes, group.profile, settings, used.site)
    pairs = _both_ways(pairs, plain, paired, group, settings)
    spares = _spares(group, item, items, lines, settings)
    return SheetOrder(group, used.bought, lines, totals, pairs, spares, used.site, hand)


def _lists(
    group: SheetGroup, site: Site, settings: Settings, hand: tuple[OnHand, ...]
) -> tuple[SiteSheets, SiteSheets, PairPlan]:
    """The plain list and the paired one, both with what lies on the site, and the pairs. Sheets are paired among those
    that the site does not give; or pairs are cut out of what lies there, where that buys less."""
    planes, profile, least = group.planes, group.profile, settings.number("least_run_mm")
    pieces = pieces_of(planes, profile.id)
    plain = with_sheets_on_hand(plain_blanks(planes, profile, settings), pieces, hand, least)
    pairs = pair_raked(_planes_without(planes, plain.site), profile, site, settings)
    paired = SiteSheets(pairs.blanks, plain.site)
    if hand and settings.flag("buy_raked_pairs"):
        all_pairs = pair_raked(planes, profile, site, settings)
        by_pairs = with_sheets_on_hand(all_pairs.blanks, pieces, hand, least)
        if by_pairs.bought_mm < paired.bought_mm:
            paired, pairs = by_pairs, all_pairs
    if hand:
        plain, paired = _renumbered(plain, profile), _renumbered(paired, profile)
        pairs = replace(pairs, blanks=paired.bought, plain_mm=plain.bought_mm, paired_mm=paired.bought_mm)
    return plain, paired, pairs


def _planes_without(planes: tuple[PlaneSheets, ...], site: tuple[SheetBlank, ...]) -> tuple[PlaneSheets, ...]:
    """The planes with the sheets that are bought alone."""
    gone = {part.mark for blank in site for part in blank.pieces}
    if not gone:
        return planes
    return tuple(
        replace(plane, pieces=tuple(piece for piece in plane.pieces if piece.mark not in gone)) for plane in planes
    )


def _renumbered(sheets: SiteSheets, profile: Profile) -> SiteSheets:
    return SiteSheets(numbered(sheets.bought, profile), numbered(sheets.site, profile, " site"))


def _both_ways(
    pairs: PairPlan, plain: SiteSheets, paired: SiteSheets, group: SheetGroup, settings: Settings
) -> PairPlan:
    """The pairs with what is bought by the plain list and by the paired one, as it covers."""
    by_plain = sheet_totals((), plain.bought, group.planes, group.profile, settings, plain.site)
    by_pairs = sheet_totals((), paired.bought, group.planes, group.profile, settings, paired.site)
    return replace(
        pairs,
        plain_m2=by_plain.bought_m2,
        paired_m2=by_pairs.bought_m2,
        net_m2=half_up(by_plain.net_m2 - by_plain.site_m2, 2),
        plain_count=len(plain.bought),
        paired_count=len(paired.bought),
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
