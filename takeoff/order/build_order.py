"""Needs and sheets -> the order: what is bought, line by line, in the order the site wants it delivered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import ceil

from takeoff.basics.rounding import half_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.items import DELIVERIES, DELIVERY_OF, Item, Trade
from takeoff.model.measured import Need
from takeoff.model.order import Order, OrderLine
from takeoff.model.runs import CutPlan, LeftOver, OnHand, RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.order.cut_stock.runs import cut_all
from takeoff.order.cut_stock.site_lengths import left_over
from takeoff.order.sheets.sheet_orders import SheetOrder, item_of
from takeoff.order.sheets.site_sheets import sheets_left
from takeoff.order.sheets.wall_sheet_orders import WallSheetOrder
from takeoff.order.whole_packs import in_whole_packs, merged


def build_order(
    sheet_orders: tuple[SheetOrder, ...],
    needs: tuple[Need, ...],
    settings: Settings,
    items: Mapping[str, Item],
    on_hand: Mapping[str, tuple[OnHand, ...]] | None = None,
    walls: tuple[WallSheetOrder, ...] = (),
) -> Order:
    """The whole order: each run cut from stock once, each sheet length one line, quantities in whole packs.

    `items`: the items asked for, by id; `on_hand`: lengths on the site, by item; `walls`: the sheets
    of the walls. Raises JobError for a run whose item
    no stock length is given for.
    """
    useful = settings.number("useful_offcut_mm")
    lines: list[OrderLine] = []
    left: list[LeftOver] = []
    for sheet_order in sheet_orders:
        lines += [*sheet_order.lines, *sheet_order.spares]
        if sheet_order.on_hand:
            left += sheets_left(item_of(sheet_order.group, items).id, sheet_order.site, sheet_order.on_hand, useful)
    lines += [line for sheets in walls for line in sheets.lines]
    plans: list[CutPlan] = []
    for delivery, shared in _by_delivery(needs):
        demands = tuple(demand for need in shared for demand in need.demands)
        stocks = {stock.item: replace(stock, on_hand=(on_hand or {}).get(stock.item, ())) for stock in _stocks(shared)}
        for plan in cut_all(demands, stocks.values()):
            plans.append(plan)
            left += left_over(plan.bars, plan.site_bars, stocks[plan.item], useful)
            lines += _bar_lines(plan, delivery, items[plan.item], demands, stocks[plan.item].pack)
        lines += _along_lines(plans, _stocks(shared), delivery, items)
        bought = [quantity for need in shared for quantity in need.quantities]
        quantities = merged(
            [*bought, *_at_cut_ends(plans, _stocks(shared)), *_at_joints(plans, _stocks(shared))], items
        )
        lines += [_quantity_line(quantity, delivery, items[quantity.item], settings) for quantity in quantities]
    # labour stands at the end of its delivery, apart from what is bought
    in_order = sorted(lines, key=lambda line: (DELIVERIES.index(line.delivery), line.labour))
    totals = [sheet_order.totals for sheet_order in sheet_orders]
    spares = [line for sheet_order in sheet_orders for line in sheet_order.spares]
    return Order(
        lines=tuple(replace(line, id=f"L{number}") for number, line in enumerate(in_order, start=1)),
        blanks=tuple(blank for sheet_order in sheet_orders for blank in sheet_order.blanks),
        plans=tuple(plans),
        sheets_bought_m=half_up(sum(total.bought_m for total in totals), 3),
        sheets_bought_m2=half_up(sum(total.bought_m2 for total in totals), 2),
        sheets_net_m2=half_up(sum(total.net_m2 for total in totals), 2),
        sheets_kg=half_up(sum(total.kg for total in totals), 1),
        findings=tuple(finding for plan in plans for finding in plan.findings),
        pairs=tuple(sheet_order.pairs for sheet_order in sheet_orders),
        spares_m=half_up(sum(line.total for line in spares), 3),
        left_over=tuple(left),
        site_blanks=tuple(blank for sheet_order in sheet_orders for blank in sheet_order.site),
        sheets_site_m=half_up(sum(total.site_m for total in totals), 3),
        sheets_site_m2=half_up(sum(total.site_m2 for total in totals), 2),
        spares_kg=half_up(sum(line.kg for line in spares), 1),
        wall_blanks=tuple(blank for sheets in walls for blank in sheets.blanks),
        wall_pairs=tuple(sheets.pairs for sheets in walls),
    )


def _by_delivery(needs: tuple[Need, ...]) -> list[tuple[str, list[Need]]]:
    """Needs that come on one delivery together, so that runs of one item on several roofs share their stock."""
    shared: dict[str, list[Need]] = {}
    for need in needs:
        shared.setdefault(DELIVERY_OF[Trade(need.trade)], []).append(need)
    return [(delivery, shared[delivery]) for delivery in DELIVERIES if delivery in shared]


def _stocks(needs: list[Need]) -> tuple[StockChoice, ...]:
    return tuple({choice.item: choice for need in needs for choice in need.stock}.values())


def _bar_lines(plan: CutPlan, delivery: str, item: Item, demands: tuple[RunDemand, ...], pack: int) -> list[OrderLine]:
    runs: dict[int, set[str]] = {}
    counts: dict[int, int] = {}
    for bar in plan.bars:
        counts[bar.stock_mm] = counts.get(bar.stock_mm, 0) + 1
        runs.setdefault(bar.stock_mm, set()).update(piece.run for piece in bar.pieces)
    in_order = [demand.id for demand in demands if demand.item == plan.item]
    said = {demand.id: demand.note for demand in demands if demand.note and demand.item == plan.item}
    mass = item.mass
    working = Working(
        rule="runs cut from stock lengths: least bought length that the search found, against its proven lower bound",
        terms=(
            Term("placed", half_up(plan.placed_mm / 1000, 3), "m"),
            Term("laps", half_up(plan.laps_mm / 1000, 3), "m"),
            Term("bought", half_up(plan.bought_mm / 1000, 3), "m"),
            *([Term("from site", half_up(plan.site_mm / 1000, 3), "m")] if plan.site_bars else []),
            Term("waste", half_up(plan.waste_mm / 1000, 3), "m"),
            Term("proven least", half_up(plan.bound_mm / 1000, 3), "m", ref=plan.proof),
            *([Term("lengths in a pack", pack, "each", SET_IN_JOB)] if pack > 1 else []),
            *(mass.terms if mass else ()),
        ),
    )
    kg_per_m = mass.kg_per_m if mass else 0.0
    return [
        OrderLine(
            id="",
            delivery=delivery,
            of=item,
            count=counts[stock],
            unit="each",
            each_mm=float(stock),
            total=half_up(counts[stock] * stock / 1000, 3),
            total_unit="m",
            kg=half_up(counts[stock] * stock / 1000.0 * kg_per_m, 1),
            refs=tuple(run for run in in_order if run in runs[stock]),
            working=working,
            note="; ".join(
                [
                    *([f"{counts[stock] // pack} packs of {pack}"] if pack > 1 else []),
                    *(dict.fromkeys(said.values()) if stock == max(counts) else ()),
                ]
            ),
        )
        for stock in sorted(counts, reverse=True)
    ]


def _along_lines(
    plans: list[CutPlan], stocks: tuple[StockChoice, ...], delivery: str, items: Mapping[str, Item]
) -> list[OrderLine]:
    """What goes along the bought lengths, an item a line: soft edge is dressed on whole lengths, laps too."""
    bought = {plan.item: plan.bought_mm / 1000.0 for plan in plans}
    terms: dict[str, list[Term]] = {}
    totals: dict[str, float] = {}
    for stock in stocks:
        for along in stock.along:
            metres = bought.get(stock.item, 0.0)
            totals[along.item] = totals.get(along.item, 0.0) + metres * along.times
            terms.setdefault(along.item, []).append(Term(f"bought x {along.times}", metres, "m", ref=stock.item))
    return [
        OrderLine(
            id="",
            delivery=delivery,
            of=items[item],
            count=half_up(total, 2),
            unit="m",
            each_mm=0.0,
            total=half_up(total, 2),
            total_unit="m",
            kg=0.0,
            refs=(),
            working=Working("bought lengths x edges dressed into the sheets", tuple(terms[item])),
        )
        for item, total in totals.items()
        if total > 0.0
    ]


def _at_cut_ends(plans: list[CutPlan], stocks: tuple[StockChoice, ...]) -> list[Quantity]:
    """What goes on the cut ends of the cutting list, two a piece, an item of stock each [L]."""
    pieces = {plan.item: sum(len(bar.pieces) for bar in plan.all_bars) for plan in plans}
    found = []
    for stock in stocks:
        for end in stock.at_ends:
            ends = 2 * pieces.get(stock.item, 0)
            terms = (Term("cut ends of the cutting list", ends, "each", ref=stock.item), end.term)
            rule = Working("two cut ends a piece of the cutting list x what an end takes", terms)
            if ends:
                found.append(Quantity(f"{end.item}.{stock.item}", end.item, ends * end.ml / 1000.0, "L", (), rule))
    return found


def _at_joints(plans: list[CutPlan], stocks: tuple[StockChoice, ...]) -> list[Quantity]:
    """What holds the running joints of the cutting list, an item of stock each [each]."""
    joints = {plan.item: len(plan.joints) for plan in plans}
    found = []
    for stock in stocks:
        for held in stock.at_joints:
            count = joints.get(stock.item, 0)
            terms = (Term("running joints of the cutting list", count, "each", ref=stock.item), *held.terms)
            rule = Working("running joints of the cutting list x what a joint takes besides x (1 + spare)", terms)
            if count and held.each > 0.0:
                figure = ceil(count * held.each - TOLERANCES.closure_rel)
                found.append(Quantity(f"{held.item}.joints.{stock.item}", held.item, figure, "each", (), rule))
    return found


def _quantity_line(measured: Quantity, delivery: str, item: Item, settings: Settings) -> OrderLine:
    quantity = in_whole_packs(measured, item, settings)
    figure = half_up(quantity.figure, 2)
    return OrderLine(
        id="",
        delivery=delivery,
        of=item,
        count=figure,
        unit=quantity.unit,
        each_mm=0.0,
        total=figure,
        total_unit=quantity.unit,
        kg=0.0,
        refs=quantity.refs,
        working=quantity.working,
        note="labour" if quantity.labour else "",
        labour=quantity.labour,
    )
