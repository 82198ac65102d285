"""What an order says besides its lines: deliveries, the head of each, prices, trips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.model.items import Item
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.model.order import Order
from takeoff.order.deliveries import delivery_totals
from takeoff.order.letterheads import letterheads
from takeoff.order.rates import office_rate_findings, price_order
from takeoff.order.trips import loads_of


def finished(order: Order, job: Job, office: Office | None, lying: Sequence[Item]) -> Order:
    """The order, its packs known, with all that follows from its lines. `lying`: items of which some is on the site.

    Raises JobError for a rate of the job that finds no line.
    """
    deliveries = delivery_totals(order.lines, order.packs)
    loads, loading = loads_of(job, office, order.lines, order.packs)
    rates = office.rates if office is not None else None
    priced = job.rates is not None or (rates is not None and bool(rates.prices))
    return replace(
        order,
        deliveries=deliveries,
        letterheads=letterheads(job, office, deliveries),
        prices=price_order(order.lines, job.rates, lying, rates) if priced else None,
        loads=loads,
        findings=(*order.findings, *loading, *office_rate_findings(order.lines, rates)),
    )
