"""Bars of stock with their pieces, made up for the tests of what lists them."""

from __future__ import annotations

from typing import Any

from takeoff.model.basis import Working
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.runs import CutPiece, CutPlan, StockBar

WORKING = Working("made up")


def item(name: str, words: str, **more: Any) -> Item:
    return Item(name, words, ItemKind.TIMBER, Trade.PURLINS, "length", **more)


ITEMS = {"t70": item("t70", "Purlin\x01 70 x 45"), "t90": item("t90", "Purlin 90 x 45")}


def bar(number: int, stock: int, *cuts: tuple[str, int], mark: str = "") -> StockBar:
    """A bar with its pieces, each of a run of its own name."""
    return StockBar("t70", number, stock, tuple(CutPiece(name, name, 0.0, length) for name, length in cuts), mark)


# two bars of 6000 alike but for their marks, one of 6000 cut once, one of 4800; one that lies on the site
BARS = (
    bar(1, 4800, ("C1", 4700)),
    bar(2, 6000, ("A1", 3500), ("A2", 2400)),
    bar(3, 6000, ("D1", 5000)),
    bar(4, 6000, ("B\t1", 3500), ("B2", 2400)),
)
SITE = (bar(5, 5400, ("S1", 2000), ("S2", 1500), mark="back\x01shed"),)
# bought 3 x 6000 + 4800 = 22 800; pieces 4700 + 2 x 5900 + 5000 = 21 500 and 3500 from site; laps 0.3 m of them
PLAN = CutPlan("t70", BARS, 21_000, 22_800, 24_699.6, 300.4, site_bars=SITE)
