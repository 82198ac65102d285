"""Needs and sheets -> the order: what is bought, line by line, in the order the site wants it delivered."""

from __future__ import annotations

from dataclasses import dataclass, replace

from takeoff.basics.rounding import half_up
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.measured import Need
from takeoff.model.order import DELIVERIES, Order, OrderLine
from takeoff.model.products import Profile
from takeoff.model.runs import CutPlan, RunDemand
from takeoff.model.sheets import PlaneSheets, SheetBlank
from takeoff.order.cut_stock.runs import cut_all

# which delivery carries what a trade needs
DELIVERY_OF = {
    "purlins": "purlins",
    "underlay": "underlay",
    "roofing": "roof sheets",
    "fixings": "roof sheets",
    "flashings": "flashings",
    "rainwater": "rainwater",
    "cladding": "walls",
}


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """The sheets of one profile as bought: the blanks, the profile, mass a metre (0 where unknown) and what to call it."""

    profile: Profile
    blanks: tuple[SheetBlank, ...]
    kg_per_m: float
    name: str


def build_order(
    sheets: tuple[PlaneSheets, ...], sheet_orders: tuple[SheetOrder, ...], needs: tuple[Need, ...]
) -> Order:
    """The whole order. Each run is cut from stock once; each sheet length is one line; quantities are lines as they are."""
    lines: list[OrderLine] = []
    plans: list[CutPlan] = []
    for sheet_order in sheet_orders:
        lines += _sheet_lines(sheet_order)
    for need in needs:
        delivery = DELIVERY_OF[need.trade]
        names = dict(need.names)
        for plan in cut_all(need.demands, need.stock):
            plans.append(plan)
            lines += _bar_lines(plan, delivery, names.get(plan.item, plan.item), need.demands)
        lines += [_quantity_line(quantity, delivery) for quantity in need.quantities]
    order = sorted(enumerate(lines), key=lambda pair: (DELIVERIES.index(pair[1].delivery), pair[0]))
    numbered = tuple(replace(line, id=f"L{n}") for n, (_, line) in enumerate(order, start=1))
    bought = {s.profile.id: sum(blank.length_mm for blank in s.blanks) / 1000 for s in sheet_orders}
    return Order(
        lines=numbered,
        blanks=tuple(blank for s in sheet_orders for blank in s.blanks),
        plans=tuple(plans),
        sheets_bought_m=half_up(sum(bought.values()), 3),
        sheets_bought_m2=half_up(sum(bought[s.profile.id] * s.profile.cover_mm / 1000 for s in sheet_orders), 3),
        sheets_net_m2=half_up(sum(plane.net_mm2 for plane in sheets) / 1e6, 3),
        sheets_kg=half_up(sum(line.kg for line in numbered if line.item.startswith("sheet ")), 1),
        findings=tuple(finding for plan in plans for finding in plan.findings),
    )


def _sheet_lines(order: SheetOrder) -> list[OrderLine]:
    by_length: dict[float, list[SheetBlank]] = {}
    for blank in order.blanks:
        by_length.setdefault(blank.length_mm, []).append(blank)
    lines = []
    for length_mm in sorted(by_length, reverse=True):
        blanks = by_length[length_mm]
        total = half_up(len(blanks) * length_mm / 1000, 3)
        lines.append(
            OrderLine(
                id="",
                delivery="roof sheets",
                item=f"sheet {order.profile.id}",
                name=order.name,
                count=len(blanks),
                unit="each",
                each_mm=length_mm,
                total=total,
                total_unit="m",
                kg=half_up(total * order.kg_per_m, 1),
                refs=tuple(part.mark for blank in blanks for part in blank.pieces),
                working=Working(
                    rule="sheets of one length, each as its own cutting list works it out",
                    terms=(Term("count", len(blanks), "each"), Term("length", length_mm, "mm")),
                ),
                note="tolerance +/- 5 mm" if len(lines) == 0 else "",
            )
        )
    return lines


def _bar_lines(plan: CutPlan, delivery: str, name: str, demands: tuple[RunDemand, ...]) -> list[OrderLine]:
    runs: dict[int, set[str]] = {}
    counts: dict[int, int] = {}
    for bar in plan.bars:
        counts[bar.stock_mm] = counts.get(bar.stock_mm, 0) + 1
        runs.setdefault(bar.stock_mm, set()).update(piece.run for piece in bar.pieces)
    in_order = [demand.id for demand in demands if demand.item == plan.item]
    working = Working(
        rule="runs cut from stock lengths: least bought length that the search found, against its proven lower bound",
        terms=(
            Term("placed", half_up(plan.placed_mm / 1000, 3), "m"),
            Term("laps", half_up(plan.laps_mm / 1000, 3), "m"),
            Term("bought", half_up(plan.bought_mm / 1000, 3), "m"),
            Term("waste", half_up(plan.waste_mm / 1000, 3), "m"),
            Term("proven least", half_up(plan.bound_mm / 1000, 3), "m", ref=plan.proof),
        ),
    )
    return [
        OrderLine(
            id="",
            delivery=delivery,
            item=plan.item,
            name=name,
            count=counts[stock],
            unit="each",
            each_mm=float(stock),
            total=half_up(counts[stock] * stock / 1000, 3),
            total_unit="m",
            kg=0.0,
            refs=tuple(run for run in in_order if run in runs[stock]),
            working=working,
        )
        for stock in sorted(counts, reverse=True)
    ]


def _quantity_line(quantity: Quantity, delivery: str) -> OrderLine:
    figure = half_up(quantity.figure, 2)
    return OrderLine(
        id="",
        delivery=delivery,
        item=quantity.id,
        name=quantity.item,
        count=figure,
        unit=quantity.unit,
        each_mm=0.0,
        total=figure,
        total_unit=quantity.unit,
        kg=0.0,
        refs=quantity.refs,
        working=quantity.working,
    )
