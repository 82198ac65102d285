"""Lines and orders made up for the tests of what stands behind an order."""

from __future__ import annotations

from typing import Any

from takeoff.model.basis import Working
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.order import Order, OrderLine

WORKING = Working("made up")


def item(name: str, **more: Any) -> Item:
    return Item(name, name, ItemKind.FIXING, Trade.ROOFING, "each", **more)


def line(
    name: str,
    of: str,
    count: float,
    each: float = 0.0,
    *,
    delivery: str = "purlins",
    unit: str = "each",
    kg: float = 0.0,
    **more: Any,
) -> OrderLine:
    total = count * each / 1000.0 if each else count
    return OrderLine(
        name,
        delivery,
        item(of),
        count,
        unit,
        each,
        total,
        "m" if each else unit,
        kg,
        more.pop("refs", ()),
        WORKING,
        **more,
    )


def order(*lines: OrderLine, **more: Any) -> Order:
    return Order(lines, more.pop("blanks", ()), (), 0.0, 0.0, 0.0, 0.0, **more)
