"""Figures read off the lines of the order, and bounds put into whole packs as the lines are."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, inf

from takeoff.model.order import OrderLine
from takeoff.order.bounds.bounded import Bounded, Case


def lines_of(case: Case, item: str) -> Sequence[OrderLine]:
    """The lines that buy an item."""
    return case.lines.get(item, ())


def name_of(case: Case, item: str) -> str:
    """What an item is called before sizes and hands are said: names on paper are made where it is written."""
    known = case.takeoff.items.get(item)
    return known.name if known is not None else item.replace("_", " ")


def counted(case: Case, item: str) -> float:
    """How many of an item the order buys, on all its lines."""
    return sum(line.count for line in lines_of(case, item))


def metres_bought(case: Case, item: str) -> float:
    """Metres of an item that is bought in lengths, count x length of its lines [m]."""
    return sum(line.count * line.each_mm for line in lines_of(case, item)) / 1000.0


def in_packs(case: Case, item: str, low: float, high: float) -> tuple[float, float]:
    """Bounds of what is measured as bounds of the packs it is sold in; as they are where it is not packed."""
    known = case.takeoff.items.get(item)
    holds = known.pack.holds if known is not None and known.pack is not None else 0.0
    return whole(low, holds), whole(high, holds)


def whole(measured: float, holds: float) -> float:
    """Packs that hold so much, whole; the measure itself where a pack holds nothing."""
    if holds <= 0.0 or measured == inf:
        return measured
    return float(ceil(measured / holds - 1e-9))


def packed(case: Case, item: str, low: float, high: float, from_what: str) -> Bounded:
    """An item's lines against bounds of what is measured of it, in whole packs where it is sold so."""
    least, most = in_packs(case, item, low, high)
    lines = lines_of(case, item)
    unit = lines[0].unit if lines else "on the order"
    return Bounded(counted(case, item), least, most, unit, from_what, name_of(case, item))
