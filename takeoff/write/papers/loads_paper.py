"""loads.pdf, for the driver and for whoever unloads: what each trip brings."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from takeoff.model.order import Order, Takeoff
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.papers.blocks import Paper
from takeoff.write.papers.heads import paper, recorded
from takeoff.write.workbook.workbook_loads import fill_loads


def loads_paper(
    takeoff: Takeoff, order: Order, _drawings: Sequence[Drawing], said: Callable[[str], str]
) -> Paper | None:
    """The list of trips; None where neither job nor office names a truck."""
    if order.loads is None:
        return None
    blocks = recorded("Loads", said, lambda page: fill_loads(page, takeoff, order))
    return paper(takeoff, "loads", "Loads: what each trip brings", blocks, None)
