"""Sheets of an order made up for the tests of what lists them: lines, lengths, what lies on the site."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from takeoff.model.basis import Working
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.order import Order, OrderLine
from takeoff.model.ordered import TypedLine
from takeoff.model.sheets import BlankPart, SheetBlank
from takeoff.write.workbook.carried import Carried

WORKING = Working("made up")
STEEL = Item("s55", "Corrugated\x01 0.55", ItemKind.SHEET, Trade.ROOFING, "length", product="cor_ru")
CLEAR = Item("c0", "Clear sheet", ItemKind.CLEAR_SHEET, Trade.ROOFING, "length", product="clear")
SPARE = Item("sp", "Corrugated 0.55", ItemKind.SPARE_SHEET, Trade.ROOFING, "length", spare_of="s55")
ROLL = Item("u", "Underlay", ItemKind.ROLL, Trade.UNDERLAY, "roll")
PURLIN = Item("p", "Purlin 70 x 45", ItemKind.TIMBER, Trade.PURLINS, "length")
WORK = Item("w", "Fit out", ItemKind.LABOUR, Trade.RAINWATER, "each")
BOX = "____________"


def line(
    name: str, delivery: str, of: Item, count: float, each: float, total: float, kg: float = 0.0, **more: Any
) -> OrderLine:
    """Of what has a length the total is in metres."""
    return OrderLine(
        name, delivery, of, count, "each", each, total, "m" if each else "each", kg, more.pop("refs", ()), WORKING, **more
    )  # fmt: skip


def blank(
    name: str, length: float, *marks: str, site: float = 0.0, mark: str = "", profile: str = "cor_ru"
) -> SheetBlank:
    return SheetBlank(name, profile, length, tuple(BlankPart(one, 0.0, False) for one in marks), site, mark)


# 3 x 4.5 and 2 x 6.02 m: 13.5 + 12.04 = 25.54 m; 48.06 + 42.8649 kg shown as 48.1 + 42.9 = 91
SHORT = line("a", "roof sheets", STEEL, 3.0, 4500.0, 13.5, 48.06, refs=("P1.01", "P1.02", "P1.03", "P2.01", "P2.02"))
LONG = line("b", "roof sheets", STEEL, 2.0, 6020.0, 12.04, 42.8649, refs=("P3.01", "P3.02"))
DAY = line("c", "roof sheets", CLEAR, 1.0, 3000.0, 3.0, refs=("P1.09",))
EXTRA = line("d", "roof sheets", SPARE, 1.0, 5000.0, 5.0, 17.84, note="for\tdamage")
BLANKS = (
    blank("S1", 4500.0, "P1.01", "P2.01"),
    blank("S2", 4500.0, "P1.02", "P2.02"),
    blank("S3", 4500.0, "P1.03"),
    blank("S4", 6020.0, "P3.01"),
    blank("S5", 6020.0, "P3.02"),
    blank("S6", 4500.0, "X", "Y", profile="other"),
)
SITE = (blank("S9", 2100.0, "P4.01", "P4.02", "P4.03", site=3000.0, mark="rack\x01 2"),)
# bought 21.5 m2 and 1.6 m2 from site for 20.1 m2: 3 left, of 23.1 13.0 %, of 20.1 14.9 %
ORDER = Order(
    (EXTRA, DAY, SHORT, LONG), BLANKS, (), 28.54, 21.5, 20.1, 91.0, site_blanks=SITE, sheets_site_m2=1.6, spares_m=5.0,
    spares_kg=17.8,
)  # fmt: skip
TYPED = (
    TypedLine("Mill order", "Corrugated 0.55", 4500.2, 3.0, "came"),
    TypedLine("Mill order", "Corrugated 0.55, spare sheet", 5000.0, "", 1.0),
    TypedLine("Order", "Underlay", 0.0, 4.0, ""),
)


def carried() -> Carried:
    return Carried(TYPED, lambda said: said)


def takeoff(**more: Any) -> Any:
    """What the sheets ask of a takeoff: its findings, groups of sheets and words of its ids."""
    profile = SimpleNamespace(cover_mm=762.4, overall_mm=845.0)
    group = SimpleNamespace(item=SimpleNamespace(id="s55"), profile=profile, bmt_mm=0.55, clear=False, colour="grey")
    return SimpleNamespace(
        roofing=SimpleNamespace(groups=(group,)),
        cladding=SimpleNamespace(groups=()),
        findings=(),
        items={},
        **more,
    )
