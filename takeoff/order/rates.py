"""The order at the user's own rates, and the extra asked for on a delivery.

Amounts are decimal, rounded half up line by line; every total is a sum of rounded amounts. An extra is a percentage of
its delivery's sum, added once and shown apart: it is never an extra on an extra, and waste is what was computed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from takeoff.basics.errors import Fault, JobError
from takeoff.basics.nearest import did_you_mean, nearest
from takeoff.basics.records import record
from takeoff.model.basis import SET_IN_JOB, Basis, Status
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import DELIVERIES, Item
from takeoff.model.job.products import RatesJob
from takeoff.model.office import OfficeRates
from takeoff.model.order import OrderLine, PricedDelivery, PricedLine, Prices

_CENT, _MILLIMETRE = Decimal("0.01"), Decimal("0.001")
_SLIP = 0.85  # how like an id a rate must be to be taken for a slip


@record
class _Rates:
    """Rates by id of an item, each with whoever gave it; the job's go before the office's."""

    prices: Mapping[str, tuple[float, Basis]]
    extra_percent: Mapping[str, float]
    currency: str
    tax_percent: float = 0.0

    def of(self, item: Item) -> tuple[float, Basis] | None:
        """The rate of an item, by the nearest of its ids; the job's for any of them before the office's."""
        found = [self.prices[name] for name in ids_of(item) if name in self.prices]
        return min(found, key=lambda rate: rate[1].status is not Status.SET_IN_JOB, default=None)


def price_order(
    lines: Sequence[OrderLine],
    rates: RatesJob | None,
    on_site: Sequence[Item] = (),
    office: OfficeRates | None = None,
) -> Prices:
    """Price the lines that a rate names by the id of their item, or of all sheets of one profile. `on_site`: items of
    which the site may give all, so that no line is left of them.

    Raises JobError with every rate of the job that finds no line, and the nearest id that would; and where job and
    office price in two currencies. A rate of the office that finds no line is for other jobs.
    """
    given = rates if rates is not None else RatesJob()
    faults = _unknown([*(line.of for line in lines), *on_site], given.prices) + _two_currencies(given, office)
    if faults:
        raise JobError(*faults)
    both = _together(given, office)
    priced: list[PricedLine] = []
    amounts: dict[str, Decimal] = {}
    for line in lines:
        rate = both.of(line.of)
        if rate is not None:
            amounts[line.id] = _rounded(_exact(line.total) * _exact(rate[0]), _CENT)
            priced.append(PricedLine(line.id, rate[0], float(amounts[line.id]), rate[1]))
    deliveries = tuple(_delivery(name, lines, amounts, both) for name in DELIVERIES if _of(lines, name))
    whole, extra, tax = (
        sum((_exact(getattr(one, name)) for one in deliveries), Decimal(0))
        for name in ("amount", "extra_amount", "tax_amount")
    )
    return Prices(
        both.currency,
        tuple(priced),
        deliveries,
        float(whole),
        float(extra),
        float(whole + extra),
        office.tax_name if office is not None and office.tax_percent else "",
        both.tax_percent,
        float(tax),
        float(whole + extra + tax),
        office.date.isoformat() if office is not None and office.date is not None else "",
    )


def _together(given: RatesJob, office: OfficeRates | None) -> _Rates:
    own = {name: (price, SET_IN_JOB) for name, price in given.prices.items()}
    if office is None:
        return _Rates(own, given.extra_percent, given.currency)
    day = f"prices of {office.date.isoformat()}" if office.date is not None else ""
    basis = Basis(Status.SET_IN_OFFICE, clause=", ".join(part for part in (office.basis, day) if part))
    theirs = {name: (price, basis) for name, price in office.prices.items()}
    extras = {**office.extra_percent, **given.extra_percent}
    return _Rates({**theirs, **own}, extras, given.currency or office.currency, office.tax_percent)


def _two_currencies(given: RatesJob, office: OfficeRates | None) -> list[Fault]:
    if office is None or not given.currency or office.currency in ("", given.currency) or not office.prices:
        return []
    text = f"rates.currency: is {given.currency}, but the office file's prices are in {office.currency}"
    return [Fault(f"{text}; give both in one", "rates", "currency")]


def _of(lines: Sequence[OrderLine], delivery: str) -> list[OrderLine]:
    return [line for line in lines if line.delivery == delivery]


def _delivery(name: str, lines: Sequence[OrderLine], amounts: Mapping[str, Decimal], rates: _Rates) -> PricedDelivery:
    own = _of(lines, name)
    total = sum((amounts[line.id] for line in own if line.id in amounts), Decimal(0))
    percent = rates.extra_percent.get(name, 0.0)
    extra = _rounded(total * _exact(percent) / 100, _CENT)
    tax = _rounded((total + extra) * _exact(rates.tax_percent) / 100, _CENT)
    unpriced = sum(1 for line in own if line.id not in amounts)
    return PricedDelivery(name, float(total), unpriced, percent, float(extra), _extra_m(own, percent), float(tax))


def office_rate_findings(lines: Sequence[OrderLine], office: OfficeRates | None) -> tuple[Finding, ...]:
    """A warning for each rate of the office that names no item here, but nearly one that has no rate: a slip."""
    if office is None:
        return ()
    known = {name for line in lines for name in ids_of(line.of)}
    bare = sorted({line.item for line in lines if not any(name in office.prices for name in ids_of(line.of))})
    found = []
    for name in office.prices:
        near = nearest(name, bare, likeness=_SLIP) if name not in known else ()
        if near:
            text = f"The office file has a rate for {name}, and no item is called so; {near[0]} has none."
            advice = f"Put {near[0]} in the office file if that is meant."
            found.append(Finding("office-rate-near-miss", Severity.WARN, text, advice))
    return tuple(found)


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
