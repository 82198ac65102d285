"""Faults of keys that name a delivery: there is none of that name."""

from __future__ import annotations

from collections.abc import Iterable

from takeoff.basics.nearest import did_you_mean
from takeoff.model.items import DELIVERIES
from takeoff.model.job.job import Job
from takeoff.read.job.yaml_tree import Path


def delivery_faults(at: Path, names: Iterable[str]) -> list[tuple[Path, str]]:
    """A fault for each name at a path that is no delivery. (path, sentence) each."""
    known = f"; known: {', '.join(sorted(DELIVERIES))}"
    return [
        ((*at, name), f"unknown delivery {name}{did_you_mean(name, sorted(DELIVERIES), known)}")
        for name in names
        if name not in DELIVERIES
    ]


def ordering_faults(job: Job) -> list[tuple[Path, str]]:
    """Deliveries of the job's `ordering` and `rates` that do not exist, and what several houses cannot share."""
    faults = delivery_faults(("rates", "extra_percent"), job.rates.extra_percent if job.rates else ())
    faults += delivery_faults(("ordering", "wanted_by"), job.ordering.wanted_by)
    if job.count > 1 and job.on_hand:
        text = "lies on one site, and the order is for several houses; take off the house where it lies by itself"
        faults.append((("on_hand",), text))
    return faults + delivery_faults(("ordering", "order_numbers"), job.ordering.order_numbers)
