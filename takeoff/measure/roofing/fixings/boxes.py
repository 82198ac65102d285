"""What is counted one by one and bought in boxes."""

from __future__ import annotations

from math import ceil

from takeoff.measure.terms import quantity
from takeoff.model.basis import Quantity, Term
from takeoff.model.settings import Settings


def boxed(
    item: str, exact: float, spare: str, box: str, refs: tuple[str, ...], rule: str, settings: Settings, *terms: Term
) -> list[Quantity]:
    """Whole boxes of an exact count with its spares; nothing for nothing."""
    if exact <= 0:
        return []
    wanted = exact * (1.0 + settings.number(spare) / 100.0)
    boxes = float(ceil(wanted / settings.number(box) - 1e-9))
    counted = Term("counted", exact, "each")
    rule = f"{rule}; with spares, whole boxes"
    return [quantity(item, item, boxes, "box", refs, rule, counted, *terms, settings.term(spare), settings.term(box))]
