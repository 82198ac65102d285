"""Deliveries in the order the site wants them: what each weighs, its longest piece, and how many pieces come."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.rounding import half_up
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Delivery, OrderLine, Pack


def delivery_totals(lines: Sequence[OrderLine], packs: Sequence[Pack] = ()) -> tuple[Delivery, ...]:
    """One record a delivery that brings anything: labour is no line of it.

    A mass is the sum of its lines' masses as shown, rounded to 0.1 kg.
    """
    found = []
    for name in DELIVERIES:
        own = [line for line in lines if line.delivery == name and not line.labour]
        if not own:
            continue
        masses = [half_up(line.kg, 1) for line in own]
        found.append(
            Delivery(
                name=name,
                lines=len(own),
                pieces=sum(line.count for line in own if line.each_mm > 0.0),
                longest_mm=max(line.each_mm for line in own),
                kg=half_up(sum(masses), 1),
                unweighed=sum(1 for mass in masses if mass <= 0.0),
                packs=len(packs) if name == "roof sheets" else 0,
            )
        )
    return tuple(found)
