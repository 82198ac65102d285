"""What the orders of a later issue hold: only what differs from what the book of issues says was ordered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from takeoff.model.basis import Working
from takeoff.model.issues import StandingLine, Variation
from takeoff.model.items import DELIVERY_OF, Item, ItemKind, Trade
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.write.papers.blocks import Bar, Block, Words
from takeoff.write.words.words import counted, plain

_TRADE_OF = {delivery: trade for trade, delivery in reversed(DELIVERY_OF.items())}


def still_to_order(takeoff: Takeoff, order: Order) -> Order:
    """The order with the lines that are still to order, as the book of issues leaves them; as it is without a book, and
    beside one that cannot be relied on. What is frozen for an issue holds the deliveries of that issue alone."""
    standing = takeoff.issued
    if standing is None or standing.faults or not (standing.numbers or standing.issuing):
        return order
    known = {line.id: line for line in order.lines}
    wanted = [one for one in standing.variations if not standing.issuing or one.delivery in standing.issuing_of]
    lines = [_line(one, known, takeoff.items) for variation in wanted for one in variation.lines]
    labour = [line for line in order.lines if line.labour]
    return replace(order, lines=(*lines, *labour))


def _line(one: StandingLine, known: Mapping[str, OrderLine], items: Mapping[str, Item]) -> OrderLine:
    """A line with what is still to order of it; one that is in today's order no more is named as it was ordered."""
    own = known.get(one.line)
    if own is not None:
        return replace(own, count=one.to_order, total=one.total_to_order, kg=one.kg_to_order)
    kind = ItemKind.SHEET if one.delivery == DELIVERY_OF[Trade.ROOFING] and one.each_mm else ItemKind.FITTING
    gone = items.get(one.item) or Item(one.item, one.name, kind, _TRADE_OF[one.delivery], one.unit)
    return OrderLine(
        id="",
        delivery=one.delivery,
        of=gone,
        count=one.to_order,
        unit=one.unit,
        each_mm=one.each_mm,
        total=one.total_to_order,
        total_unit=one.total_unit,
        kg=one.kg_to_order,
        refs=(),
        working=Working("ordered before, no longer wanted"),
        note="no longer wanted",
    )


def variations_of(takeoff: Takeoff, deliveries: Sequence[str]) -> tuple[Variation, ...]:
    """What varies of some deliveries that were ordered before."""
    standing = takeoff.issued
    if standing is None:
        return ()
    return tuple(one for one in standing.variations if one.delivery in deliveries and one.supersedes)


def issue_blocks(takeoff: Takeoff, deliveries: Sequence[str]) -> Iterator[Block]:
    """Which issue this is, and what it varies; what to mind where the book is damaged."""
    standing = takeoff.issued
    if standing is None:
        return
    if standing.faults:
        yield Bar("THE BOOK OF ISSUES IS DAMAGED: see what was ordered before this is sent", strong=True)
        return
    now = standing.issuing and any(name in standing.issuing_of for name in deliveries)
    head = f"Issue {standing.issuing} of {standing.issuing_on}" if now else ""
    varied = variations_of(takeoff, deliveries)
    if varied:
        numbers = sorted({number for one in varied for number in one.supersedes})
        letters = dict.fromkeys(letter for one in varied for letter in one.revisions)
        issues = f"issue{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"
        yield Bar(
            f"VARIATION of {issues}, revision {plain(', '.join(letters))}{': ' + head if head else ''}", strong=True
        )
        lines = counted(sum(len(one.lines) for one in varied), "line")
        yield Words(f"Only what differs from what was ordered, {lines}; a count below 0 is taken back.", keep=True)
    elif head:
        yield Bar(head)
