"""The head of what goes to a supplier: who orders, from whom, under which number, where to and by when.

What nobody gave is a blank field to be filled in by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import ceil

from takeoff.model.office import Firm, Letterhead, Supplier
from takeoff.model.order import Order, Takeoff
from takeoff.write.papers.blocks import BODY, Block, Column, Gap, Row, Table, Words
from takeoff.write.words.words import date_words, plain
from takeoff.write.workbook.order_fields import Fields

_ACROSS = 5  # fields at most in a row
_FIELD = 6.5  # height of a blank field [mm]
_COLUMNS = (
    Column("", least_mm=26.0),
    Column("", share=1.0, boxed=True, bold=True),
    Column("", least_mm=26.0),
    Column("", share=1.0, boxed=True, bold=True),
)


def letterhead_of(order: Order, delivery: str) -> Letterhead:
    """The head of a delivery; an empty one where the office says nothing of it."""
    found = next((head for head in order.letterheads if head.delivery == delivery), None)
    return found or Letterhead(delivery, None, None, "", None, None, (), (delivery,))


def head_blocks(takeoff: Takeoff, head: Letterhead) -> tuple[Block, ...]:
    """The parties and the order, in two columns of fields."""
    job = takeoff.job
    left = [("From", _firm(head.firm)), ("Contact", _contact(head.firm)), ("To", _supplier(head.supplier))]
    left += [("Contact there", _contact(head.supplier)), ("Deliver to", _place(head)), ("On site", _site(head))]
    after = f", supersedes {plain(takeoff.supersedes)}" if takeoff.supersedes else ""
    right = [
        ("Order number", plain(head.number)),
        ("Revision", f"{plain(job.revision)}{after}"),
        ("Date", date_words(job.date) if job.date is not None else ""),
        ("Our account", plain(head.supplier.account) if head.supplier is not None else ""),
        ("Wanted by", date_words(head.wanted_by) if head.wanted_by is not None else ""),
        ("Access", "; ".join(map(plain, head.deliver_to.access)) if head.deliver_to is not None else ""),
    ]
    rows = (
        Row((said, value, other, answer), high_mm=0.0 if value and answer else _FIELD)
        for (said, value), (other, answer) in zip(left, right, strict=True)
    )
    return (Table(_COLUMNS, tuple(rows), BODY),)


def field_blocks(fields: Fields, said: Callable[[str], str]) -> Iterator[Block]:
    """What the supplier must be told besides sizes: a field each, blank ones to be filled in by hand."""
    across = ceil(len(fields) / ceil(len(fields) / _ACROSS)) if fields else 1
    for row in (fields[i : i + across] for i in range(0, len(fields), across)):
        columns = tuple(Column(said(name), share=1.0, boxed=True, bold=True) for name, _ in row)
        yield Table(columns, (Row(tuple(said(value) for _, value in row), high_mm=_FIELD),), BODY)
        yield Gap()


def terms_blocks(head: Letterhead) -> Iterator[Block]:
    """The terms, at the foot of an order."""
    for place, term in enumerate(head.terms):
        yield Words(f"{'Terms. ' if place == 0 else ''}{plain(term)}", keep=place < len(head.terms) - 1)


def _firm(firm: Firm | None) -> str:
    if firm is None:
        return ""
    number = (f"tax number {plain(firm.tax_number)}",) if firm.tax_number else ()
    return ", ".join((plain(firm.name), *map(plain, firm.address), *number))


def _supplier(supplier: Supplier | None) -> str:
    return "" if supplier is None else ", ".join((plain(supplier.name), *map(plain, supplier.address)))


def _contact(who: Firm | Supplier | None) -> str:
    return "" if who is None else ", ".join(plain(said) for said in (who.contact, who.phone, who.email) if said)


def _place(head: Letterhead) -> str:
    return "" if head.deliver_to is None else ", ".join(map(plain, head.deliver_to.address))


def _site(head: Letterhead) -> str:
    place = head.deliver_to
    return "" if place is None else ", ".join(plain(said) for said in (place.contact, place.phone) if said)
