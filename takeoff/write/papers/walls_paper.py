"""walls.pdf, for the cladder: key plan, an elevation a wall, what each board is cut from, what else is brought."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from takeoff.model.order import Order, Takeoff
from takeoff.write.drawings.drawing import Drawing, Shows
from takeoff.write.papers.blocks import Block, Gap, NewPage, Paper, Sheet
from takeoff.write.papers.heads import paper, recorded
from takeoff.write.workbook.workbook_walls import fill_wall_lengths, fill_walls


def walls_paper(
    takeoff: Takeoff, order: Order, drawings: Sequence[Drawing], said: Callable[[str], str]
) -> Paper | None:
    """The cladder's paper; None for a house without walls."""
    if not takeoff.elevations:
        return None
    blocks: list[Block] = [Sheet(drawing) for drawing in drawings if drawing.of is Shows.WALLS]
    blocks.append(NewPage("Walls"))
    blocks += recorded("Walls", said, lambda page: fill_walls(page, takeoff, order))
    blocks.append(Gap(4.0))
    blocks += recorded("Wall lengths", said, lambda page: fill_wall_lengths(page, takeoff, order))
    return paper(takeoff, "walls", "For the cladder", blocks, None)
