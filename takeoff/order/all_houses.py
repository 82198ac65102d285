"""An order for several houses of one kind: every line for all of them, cut and delivered house by house.

Common practice: houses of one kind are built one after the other, and each is delivered by itself, so a length cut for
one must not hold a piece of another, and each has its own boxes and rolls. What sharing would save is told.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from takeoff.basics.rounding import half_up
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.houses import Houses, TogetherSaves
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.model.order import Order, OrderLine, Pack
from takeoff.order.deliveries import delivery_totals
from takeoff.order.rates import price_order

_MEASURED = "measured"  # the term of a line sold in packs that says what it takes before it is packed


def for_all_houses(order: Order, job: Job, office: Office | None) -> Order:
    """The order for as many houses as the job counts; as it is for one. Several have nothing on hand."""
    count = job.count
    if count == 1:
        return order
    marks = tuple(f"H{number}" for number in range(1, count + 1))
    lines = tuple(_times(line, count) for line in order.lines)
    packs = tuple(_of_house(pack, mark) for mark in marks for pack in order.packs)
    houses = _houses(order, count, marks)
    rates = office.rates if office is not None else None
    return replace(
        order,
        lines=lines,
        packs=packs,
        houses=houses,
        deliveries=delivery_totals(lines, packs),
        prices=price_order(lines, job.rates, (), rates) if order.prices is not None else None,
        sheets_bought_m=half_up(order.sheets_bought_m * count, 3),
        sheets_bought_m2=half_up(order.sheets_bought_m2 * count, 2),
        sheets_net_m2=half_up(order.sheets_net_m2 * count, 2),
        sheets_kg=half_up(order.sheets_kg * count, 1),
        spares_m=half_up(order.spares_m * count, 3),
        spares_kg=half_up(order.spares_kg * count, 1),
        sheets_site_m=half_up(order.sheets_site_m * count, 3),
        sheets_site_m2=half_up(order.sheets_site_m2 * count, 2),
        findings=(*order.findings, _finding(houses)),
    )


def _times(line: OrderLine, count: int) -> OrderLine:
    """A line for all houses. Its metres are the count's times its length, its mass the times one house's as shown."""
    working = Working(line.working.rule, (*line.working.terms, Term("houses", count, "", SET_IN_JOB)))
    return replace(
        line,
        count=half_up(line.count * count, 6),
        total=half_up(line.total * count, 3),
        kg=half_up(half_up(line.kg, 1) * count, 1),
        working=working,
    )


def _of_house(pack: Pack, mark: str) -> Pack:
    """A pack of one house: its name and the marks on its sheets begin with the house's."""
    sheets = tuple(
        replace(sheet, mark=f"{mark}-{sheet.mark}", also=tuple(f"{mark}-{also}" for also in sheet.also))
        for sheet in pack.sheets
    )
    return replace(pack, id=f"{mark}-{pack.id}", sheets=sheets)


def _houses(order: Order, count: int, marks: tuple[str, ...]) -> Houses:
    bought, placed = (sum(getattr(plan, name) for plan in order.plans) / 1000.0 for name in ("bought_mm", "placed_mm"))
    waste = sum(plan.waste_mm for plan in order.plans) / 1000.0
    saves = tuple(saved for line in order.lines if (saved := _together(line, count)) is not None)
    return Houses(count, marks, half_up(bought, 3), half_up(placed, 3), half_up(waste, 3), saves)


def _together(line: OrderLine, count: int) -> TogetherSaves | None:
    """What sharing its packs would save of a line: ceil(n x measured / holds) against n x ceil(measured / holds)."""
    pack = line.of.pack
    measured = next((term for term in line.working.terms if term.name == _MEASURED), None)
    if pack is None or pack.holds <= 0.0 or measured is None or isinstance(measured.value, str):
        return None
    together = ceil(measured.value * count / pack.holds - 1e-9)
    saved = line.count * count - together
    return TogetherSaves(line.id, line.item, saved, line.unit) if saved > 0.0 else None


def _finding(houses: Houses) -> Finding:
    share = houses.waste_m / houses.bought_m * 100.0 if houses.bought_m else 0.0
    packs = sum(saved.packs for saved in houses.together)
    more = f" Boxes and rolls shared by all houses would be {packs:g} fewer." if packs else ""
    text = (
        f"{houses.words}: every line is for all of them. Lengths are cut house by house, since each is delivered and "
        f"built by itself: waste {houses.waste_m:.2f} m a house ({share:.1f} %), "
        f"{houses.waste_m * houses.count:.2f} m in all; cutting lists, drawings and trips are those of each.{more}"
    )
    return Finding("several-houses", Severity.NOTE, text)
