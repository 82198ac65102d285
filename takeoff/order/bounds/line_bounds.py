"""Figures read off the lines of the order, and bounds put into whole packs as the lines are."""

from __future__ import annotations

from math import ceil, inf

from takeoff.model.order import OrderLine
from takeoff.model.settings import Settings
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.whole_packs import SOLD_IN


def lines_of(case: Case, item: str) -> list[OrderLine]:
    """The lines that buy an item."""
    return [line for line in case.order.lines if line.item == item]


def name_of(case: Case, item: str) -> str:
    """The name of an item on the order, its id in words where no line buys it."""
    lines = lines_of(case, item)
    return lines[0].name if lines else item.replace("_", " ")


def counted(case: Case, item: str) -> float:
    """How many of an item the order buys, on all its lines."""
    return sum(line.count for line in lines_of(case, item))


def metres_bought(case: Case, item: str) -> float:
    """Metres of an item that is bought in lengths, count x length of its lines [m]."""
    return sum(line.count * line.each_mm for line in lines_of(case, item)) / 1000.0


def in_packs(item: str, low: float, high: float, settings: Settings) -> tuple[float, float]:
    """Bounds of what is measured as bounds of the packs it is sold in; as they are where it is not packed."""
    holds = settings.number(SOLD_IN[item][0]) if item in SOLD_IN else 0.0
    return whole(low, holds), whole(high, holds)


def whole(measured: float, holds: float) -> float:
    """Packs that hold so much, whole; the measure itself where a pack holds nothing."""
    if holds <= 0.0 or measured == inf:
        return measured
    return float(ceil(measured / holds - 1e-9))


def packed(case: Case, item: str, low: float, high: float, from_what: str) -> Bounded:
    """An item's lines against bounds of what is measured of it, in whole packs where it is sold so."""
    least, most = in_packs(item, low, high, case.takeoff.settings)
    lines = lines_of(case, item)
    unit = lines[0].unit if lines else "on the order"
    return Bounded(counted(case, item), least, most, unit, from_what, name_of(case, item))
