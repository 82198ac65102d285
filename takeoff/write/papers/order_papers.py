"""order_*.pdf, what a supplier sells of one order: its lines with totals, what must be filled in, what waits for a site
measure. Sheets that the mill makes stand in mill_order.pdf alone, so every piece is in exactly one paper."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from takeoff.basics.rounding import half_up
from takeoff.model.items import ItemKind
from takeoff.model.office import Letterhead
from takeoff.model.order import HOLD, Document, Hold, Order, OrderLine, Takeoff
from takeoff.write.papers.blocks import Bar, Block, Gap, Paper, Words
from takeoff.write.papers.heads import paper
from takeoff.write.papers.order_heads import field_blocks, head_blocks, letterhead_of, terms_blocks
from takeoff.write.papers.order_tables import WALL_SHEET, lines_table, lines_words, wall_sheet_blocks
from takeoff.write.papers.recorded import places
from takeoff.write.papers.variation import issue_blocks, still_to_order, variations_of
from takeoff.write.words.words import counted
from takeoff.write.workbook.order_fields import fields_of

MILL_KINDS = (ItemKind.SHEET, ItemKind.CLEAR_SHEET, ItemKind.SPARE_SHEET)
_FOLDED = (ItemKind.FLASHING, ItemKind.PIECE)  # made to the roof's angles: nothing is folded before the frame is taped
_FREE = "Needs no site measure"
_NAMED = re.compile(r"[^a-z0-9]+")
_MOST_NAME = 40


def order_papers(takeoff: Takeoff, order: Order, said: Callable[[str], str]) -> tuple[Paper, ...]:
    """A paper a supplier, or a delivery that no supplier is named for; none for one whose sheets are all it sells."""
    numbers = {line.id: number for number, line in enumerate(order.lines, start=1)}
    order = still_to_order(takeoff, order)
    papers: dict[str, Paper] = {}
    for head, deliveries in _groups(order):
        lines = [line for name in deliveries for line in paper_lines(order, name)]
        if lines:
            name = _name(head, deliveries, papers)
            papers[name] = _paper(takeoff, order, head, deliveries, name, numbers, said)
    return tuple(papers.values())


def paper_lines(order: Order, delivery: str) -> tuple[OrderLine, ...]:
    """The lines of a delivery that its order paper carries: neither labour nor what the mill makes."""
    return tuple(
        line for line in order.lines if line.delivery == delivery and not line.labour and line.of.kind not in MILL_KINDS
    )


def held(line: OrderLine) -> bool:
    """Whether a line waits until the frame is taped."""
    return line.of.kind in (*MILL_KINDS, *_FOLDED)


def _groups(order: Order) -> Iterator[tuple[Letterhead, tuple[str, ...]]]:
    """Heads with the deliveries that go on one paper, in site order."""
    done: set[str] = set()
    for name in dict.fromkeys(line.delivery for line in order.lines if not line.labour):
        head = letterhead_of(order, name)
        together = head.beside if head.supplier is not None else (name,)
        if name not in done:
            done |= {name, *together}
            yield head, tuple(together)


def _name(head: Letterhead, deliveries: Sequence[str], taken: Iterable[str]) -> str:
    """A name for the file: the supplier's in plain letters, else the deliveries'."""
    supplier = _NAMED.sub("_", head.supplier.name.lower()).strip("_") if head.supplier is not None else ""
    by_delivery = _NAMED.sub("_", "_".join(deliveries))
    for words in (supplier[:_MOST_NAME].rstrip("_"), by_delivery):
        if words and f"order_{words}" not in taken:
            return f"order_{words}"
    return f"order_{by_delivery}_2"


def _paper(
    takeoff: Takeoff,
    order: Order,
    head: Letterhead,
    deliveries: Sequence[str],
    name: str,
    numbers: Mapping[str, int],
    said: Callable[[str], str],
) -> Paper:
    blocks: list[Block] = [*head_blocks(takeoff, head), Gap(), *issue_blocks(takeoff, deliveries)]
    for delivery in deliveries:
        lines = paper_lines(order, delivery)
        if lines:
            blocks += _delivery(takeoff, order, delivery, lines, numbers, said, several=len(deliveries) > 1)
    blocks += terms_blocks(head)
    kind = "Variation" if variations_of(takeoff, deliveries) else "Order"
    title = f"{kind}: {' and '.join(deliveries)}"
    return paper(takeoff, name, title, blocks, None)


def _delivery(
    takeoff: Takeoff,
    order: Order,
    delivery: str,
    lines: Sequence[OrderLine],
    numbers: Mapping[str, int],
    said: Callable[[str], str],
    several: bool,
) -> Iterator[Block]:
    if several:
        yield Bar(delivery.capitalize())
    yield from _elsewhere(order, delivery, numbers)
    walls = [line for line in lines if line.of.sort == WALL_SHEET]
    yield from wall_sheet_blocks(takeoff, order, walls, numbers, said)
    lines = [line for line in lines if line not in walls]
    if lines:
        yield from field_blocks(fields_of(takeoff, delivery), said)
        yield from _ordinary(order, delivery, lines, numbers, said)
    yield from _labour(order, delivery, numbers)
    yield from _unloading(order, delivery, (*walls, *lines))


def _elsewhere(order: Order, delivery: str, numbers: Mapping[str, int]) -> Iterator[Block]:
    """Where the sheets of a delivery stand, which are on no order paper."""
    sheets = [numbers[line.id] for line in order.lines if line.delivery == delivery
              and line.of.kind in MILL_KINDS and line.id in numbers]  # fmt: skip
    if sheets:
        yield Words(f"The sheets themselves: mill order (mill_order.pdf), {lines_words(sheets)}.", bold=True)
        yield Gap(1.0)


def _labour(order: Order, delivery: str, numbers: Mapping[str, int]) -> Iterator[Block]:
    """Why numbers of lines are left out."""
    labour = [numbers[line.id] for line in order.lines if line.delivery == delivery
              and line.labour and line.id in numbers]  # fmt: skip
    if labour:
        are = "is" if len(labour) == 1 else "are"
        yield Words(f"{lines_words(labour).capitalize()} {are} labour: nothing to supply.")


def _ordinary(
    order: Order, delivery: str, lines: Sequence[OrderLine], numbers: Mapping[str, int], said: Callable[[str], str]
) -> Iterator[Block]:
    """The lines that are no sheets of a wall, those that wait for a site measure first."""
    state = order.state_of(Document.FLASHINGS if delivery == "flashings" else Document.SHEETS)
    waiting = [line for line in lines if held(line) and state is not Hold.RELEASED]
    free = [line for line in lines if line not in waiting]
    if waiting:
        yield Bar(HOLD, strong=True)
        yield lines_table(waiting, numbers, said)
        yield Gap()
    if free:
        if waiting:
            yield Bar(_FREE)
        yield lines_table(free, numbers, said)
        yield Gap(1.0)


def _unloading(order: Order, delivery: str, lines: Sequence[OrderLine]) -> Iterator[Block]:
    """What comes off the truck."""
    lines = [line for line in lines if line.count > 0.0]  # what is taken back comes off no truck
    pieces = sum(line.count for line in lines if line.each_mm > 0.0)
    if pieces <= 0.0:
        return
    longest = max(line.each_mm for line in lines)
    kg = half_up(sum(half_up(line.kg, 1) for line in lines), 1)
    words = f"To unload: {counted(pieces, 'piece')}, longest {longest / 1000.0:.3f} m"
    yield Words(words + (f", {places(kg, 1, 1)} kg of what has a mass." if kg > 0.0 else "."))
