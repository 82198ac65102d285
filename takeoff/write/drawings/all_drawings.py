"""Every drawing of a takeoff; `said` puts the trade's own words into its texts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from takeoff.model.order import Takeoff
from takeoff.write.drawings.axonometric import roof_view
from takeoff.write.drawings.drawing import Drawing, Text
from takeoff.write.drawings.fault_drawing import fault_drawing
from takeoff.write.drawings.fold_drawing import fold_drawings
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.purlin_drawing import purlin_plan
from takeoff.write.drawings.rain_drawing import rain_plan
from takeoff.write.drawings.sheet_drawing import sheet_layouts
from takeoff.write.drawings.wall_drawing import wall_drawings
from takeoff.write.drawings.wall_key_plan import wall_key_plan


def all_drawings(takeoff: Takeoff, said: Callable[[str], str]) -> tuple[Drawing, ...]:
    """Plan, sheet layouts, folding schedule, elevations; without an order the faults alone."""
    if takeoff.order is None:
        return (_in_trade_words(fault_drawing(takeoff), said),)
    plans = (roof_plan(takeoff), purlin_plan(takeoff), rain_plan(takeoff))
    every = (
        *(plan for plan in plans if plan is not None),
        *sheet_layouts(takeoff),
        *fold_drawings(takeoff),
        *(plan for plan in (wall_key_plan(takeoff),) if plan is not None),
        *wall_drawings(takeoff),
    )
    return tuple(_in_trade_words(drawing, said) for drawing in every)


def view(takeoff: Takeoff, said: Callable[[str], str]) -> Drawing | None:
    """The house seen from above; None where there is nothing to see."""
    seen = roof_view(takeoff)
    return None if seen is None else _in_trade_words(seen, said)


def _in_trade_words(drawing: Drawing, said: Callable[[str], str]) -> Drawing:
    items = (_text_in_trade_words(item, said) if isinstance(item, Text) else item for item in drawing.items)
    return replace(drawing, items=tuple(items))


def _text_in_trade_words(item: Text, said: Callable[[str], str]) -> Text:
    words = said(item.text)
    return item if words == item.text else replace(item, text=words)
