"""The order at the user's own rates, and the extra asked for on a delivery.

Amounts are decimal, rounded half up line by line; every total is a sum of rounded amounts. An extra is a percentage of
its delivery's sum, added once and shown apart: it is never an extra on an extra, and waste is what was computed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from takeoff.basics.errors import Fault, JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.model.items import DELIVERIES, Item
from takeoff.model.job.products import RatesJob
from takeoff.model.order import OrderLine, PricedDelivery, PricedLine, Prices

_CENT, _MILLIMETRE = Decimal("0.01"), Decimal("0.001")


def price_order(lines: Sequence[OrderLine], rates: RatesJob, on_site: Sequence[Item] = ()) -> Prices:
    """Price the lines that a rate names by the id of their item, or of all sheets of one profile. `on_site`: items of
    which the site may give all, so that no line is left of them.

    Raises JobError with every rate that finds no line, and the nearest id that would.
    """
    faults = _unknown([*(line.of for line in lines), *on_site], rates.prices)
    if faults:
        raise JobError(*faults)
    priced: list[PricedLine] = []
    amounts: dict[str, Decimal] = {}
    for line in lines:
        rate = next((rates.prices[name] for name in ids_of(line.of) if name in rates.prices), None)
        if rate is not None:
            amount = _rounded(_exact(line.total) * _exact(rate), _CENT)
            amounts[line.id] = amount
            priced.append(PricedLine(line.id, rate, float(amount)))
    deliveries: list[PricedDelivery] = []
    whole, extras = Decimal(0), Decimal(0)
    for name in DELIVERIES:
        own = [line for line in lines if line.delivery == name]
        if own:
            total = sum((amounts[line.id] for line in own if line.id in amounts), Decimal(0))
            percent = rates.extra_percent.get(name, 0.0)
            extra = _rounded(total * _exact(percent) / 100, _CENT)
            unpriced = sum(1 for line in own if line.id not in amounts)
            deliveries.append(
                PricedDelivery(name, float(total), unpriced, percent, float(extra), _extra_m(own, percent))
            )
            whole, extras = whole + total, extras + extra
    return Prices(rates.currency, tuple(priced), tuple(deliveries), float(whole), float(extras), float(whole + extras))


def ids_of(item: Item) -> tuple[str, ...]:
    """Ids that a rate may name an item by, the nearest first: its own, that of its family (sheets of one profile,
    whatever their colour), and for a spare sheet the sheet it is a spare of."""
    return tuple(dict.fromkeys(name for name in (item.id, item.spare_of, item.family) if name))


def _unknown(items: Sequence[Item], prices: Mapping[str, float]) -> list[Fault]:
    """A fault for each rate that names nothing."""
    known = {name for item in items for name in ids_of(item)}
    faults = []
    for name in prices:
        if name not in known:
            hint = did_you_mean(name, sorted(known), f"; ids of this order: {', '.join(sorted(known))}", likeness=0.5)
            faults.append(
                Fault(f"rates.prices.{name}: no item of the order has that id{hint}", "rates", "prices", name)
            )
    return faults


def _extra_m(lines: Sequence[OrderLine], percent: float) -> float:
    metres = sum((_exact(line.total) for line in lines if line.total_unit == "m" and line.each_mm > 0.0), Decimal(0))
    return float(_rounded(metres * _exact(percent) / 100, _MILLIMETRE))


def _exact(value: float) -> Decimal:
    """The decimal that a float shows as."""
    return Decimal(repr(float(value)))


def _rounded(value: Decimal, quantum: Decimal) -> Decimal:
    return value.quantize(quantum, rounding=ROUND_HALF_UP)
