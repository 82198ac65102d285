"""The head of each delivery's order: from the office file, with what the job says of its own before it."""

from __future__ import annotations

from takeoff.model.items import DELIVERIES
from takeoff.model.job.job import Job
from takeoff.model.office import Letterhead, Office, Supplier
from takeoff.model.order import Delivery


def letterheads(job: Job, office: Office | None, deliveries: tuple[Delivery, ...]) -> tuple[Letterhead, ...]:
    """A head for each delivery that brings anything, in site order. Deliveries of one supplier stand beside each
    other."""
    held = office if office is not None else Office.model_construct()  # nothing in it to check
    there = [delivery.name for delivery in deliveries]
    heads = []
    for name in there:
        supplier = held.suppliers.get(name)
        terms = supplier.terms if supplier is not None and supplier.terms else held.terms
        heads.append(
            Letterhead(
                delivery=name,
                firm=held.firm,
                supplier=supplier,
                number=_number(job, name, supplier),
                deliver_to=job.ordering.deliver_to or held.deliver_to,
                wanted_by=job.ordering.wanted_by.get(name),
                terms=tuple(terms),
                beside=tuple(
                    other
                    for other in DELIVERIES
                    if other in there
                    and (other == name or (supplier is not None and held.suppliers.get(other) == supplier))
                ),
            )
        )
    return tuple(heads)


def _number(job: Job, delivery: str, supplier: Supplier | None) -> str:
    """The order number: the job's own, else by the supplier's pattern; "" where neither says one."""
    if delivery in job.ordering.order_numbers:
        return job.ordering.order_numbers[delivery]
    if supplier is None or not supplier.order_number:
        return ""
    return supplier.order_number.format(
        job=job.job,
        revision=job.revision,
        delivery=delivery,
        date=job.date.isoformat() if job.date is not None else "",
    ).strip()
