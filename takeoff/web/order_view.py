"""The order as the page shows it, as plain data: lines by delivery with their sums, what the last edit changed, and how
each line stands to the book of issues. No figure is made here: tables and sums are those of the papers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from takeoff.basics.records import record
from takeoff.model.findings import Severity
from takeoff.model.issues import LineState, Standing, StandingLine
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Delivery, Order, OrderLine, Takeoff
from takeoff.model.runs import CutPlan
from takeoff.session import ChangedLine
from takeoff.write.drawings.frame import title_block
from takeoff.write.papers.blocks import Kind
from takeoff.write.papers.order_tables import lines_table
from takeoff.write.papers.recorded import places
from takeoff.write.words.item_names import item_name
from takeoff.write.words.offcut_words import pairs_words, sheets_words, shown
from takeoff.write.words.spoken import spoken
from takeoff.write.words.trade_words import trade_words
from takeoff.write.words.words import counted, plain, whole

Data = dict[str, Any]
Said = Callable[[str], str]
LABOUR = "labour, nothing to buy"
_ID, _RECEIVED = "line", "received"


@record
class Since:
    """What the last edit changed. `lines`: of the order, none where no order was there before it; `names`: what items
    are called that the order has no more."""

    lines: tuple[ChangedLine, ...] = ()
    names: Mapping[str, str] | None = None


_NOTHING = Since()


def item_names(takeoff: Takeoff) -> Mapping[str, str]:
    """What every item of a takeoff is called, by id."""
    said = trade_words(takeoff)
    return {item.id: said(plain(item_name(item))) for item in takeoff.items.values()}


def order_data(takeoff: Takeoff, since: Since = _NOTHING) -> Data:
    """All that the order panel shows; of an order that is withheld the words that stop it."""
    said = trade_words(takeoff)
    data: Data = {"state": title_block(takeoff, "", "").banner, "ordered": takeoff.order is not None}
    stops = [finding for finding in takeoff.findings if finding.severity is Severity.STOP]
    data["stops"] = [said(spoken(finding.text, takeoff)) for finding in stops]
    if takeoff.order is None:
        return data | {"deliveries": [], "sums": [], "changed": "", "book": ""}
    order = takeoff.order
    names = [*DELIVERIES, *sorted({line.delivery for line in order.lines} - set(DELIVERIES))]
    found = [_delivery(takeoff, order, name, since, said) for name in names]
    return data | {
        "deliveries": [each for each in found if each is not None],
        "sums": [said(words) for words in _sums(order)],
        "changed": _changed_words(since),
        "book": _book_words(takeoff.issued),
    }


def _delivery(takeoff: Takeoff, order: Order, name: str, since: Since, said: Said) -> Data | None:
    lines = [line for line in order.lines if line.delivery == name]
    gone = _gone(takeoff, name, since)
    back = _back(takeoff, name)
    if not lines and not gone and not back:
        return None
    numbers = {line.id: number for number, line in enumerate(order.lines, start=1)}
    marks = _Marks(since.lines, takeoff.issued)
    rows = list(_rows(order, [line for line in lines if not line.labour], numbers, marks, said))
    labour = [line for line in lines if line.labour]
    if labour:
        rows.append({"k": "words", "c": [LABOUR]})
        rows += list(_rows(order, labour, numbers, marks, said))
    known = next((one for one in order.deliveries if one.name == name), None)
    facts = _facts(known) if known is not None else counted(len(lines), "line")
    return {"name": said(name), "facts": facts, "rows": rows, "gone": gone, "back": back}


def _facts(delivery: Delivery) -> str:
    parts = [counted(delivery.lines, "line")]
    if delivery.pieces:
        parts.append(counted(delivery.pieces, "piece"))
    if delivery.longest_mm > 0.0:
        parts.append(f"longest {whole(delivery.longest_mm)} mm")
    if delivery.kg > 0.0:
        parts.append(f"{places(delivery.kg, 1, 1)} kg")
    if delivery.unweighed:
        parts.append(f"{counted(delivery.unweighed, 'line')} without a mass")
    if delivery.packs:
        parts.append(f"{counted(delivery.packs, 'pack')} of sheets")
    return ", ".join(parts)


COLUMNS = ("line", "item", "count", "unit", "length mm", "total", "unit", "kg", "offcuts m", "note", "changed", "book")
RIGHT = (2, 4, 5, 7, 8)  # columns of figures


def _rows(
    order: Order, lines: Sequence[OrderLine], numbers: Mapping[str, int], marks: _Marks, said: Said
) -> Iterator[Data]:
    """The rows of the paper's table, in `COLUMNS`: lines under their ids, and the sums of items that take several."""
    if not lines:
        return
    table = lines_table(lines, numbers, said)
    heads = [column.heading for column in table.columns]
    laid = iter([line for item in dict.fromkeys(line.item for line in lines) for line in lines if line.item == item])
    plans = {plan.item: plan for plan in order.plans}
    for row in table.rows:
        cells = dict(zip(_apart(heads), row.cells, strict=True))
        line = next(laid) if row.kind is Kind.LINE else None
        own = [cells.get(name, "") for name in _apart(COLUMNS)]
        if line is None:
            yield {"k": "total", "c": own}
            continue
        own[0] = line.id
        own[8] = _offcuts(plans.pop(line.item, None))
        own[10], own[11] = marks.since(line), marks.book(line)
        yield {"k": "line", "i": line.id, "c": own}


def _apart(heads: Sequence[str]) -> list[str]:
    """Headings told apart where one stands twice: the second unit is that of the total."""
    return [f"{head} {heads[:at].count(head)}" for at, head in enumerate(heads)]


def _offcuts(plan: CutPlan | None) -> str:
    """Offcuts of an item that is cut out of stock lengths, beside its first line."""
    return places(plan.waste_mm / 1000.0, 2, 2) if plan is not None and plan.bars else ""


class _Marks:
    """What stands beside a line: what the last edit did to it, and how it stands to the book."""

    def __init__(self, changed: Sequence[ChangedLine], standing: Standing | None) -> None:
        self._changed = {(one.delivery, one.item, one.each_mm, one.unit): one for one in changed}
        self._book = {one.line: one for one in standing.lines if one.line} if standing is not None else {}

    def since(self, line: OrderLine) -> str:
        """The last edit, in words: "new", "was 12"; "" for a line that it left."""
        found = self._changed.get((line.delivery, line.item, line.each_mm, line.unit))
        if found is None:
            return ""
        return f"was {places(found.before, 2)}" if found.before else "new"

    def book(self, line: OrderLine) -> str:
        """The book, in words; "" where nothing was issued, and for a second line of one item and length."""
        found = self._book.get(line.id)
        return _standing_words(found) if found is not None else ""


def _standing_words(line: StandingLine) -> str:
    if line.state is not LineState.CHANGED:
        return line.state.value
    more = f"{places(abs(line.to_order), 2)} {'more to order' if line.to_order > 0 else 'to take back'}"
    return f"{line.state.value}: {places(line.ordered, 2)} ordered, {more}"


def _gone(takeoff: Takeoff, delivery: str, since: Since) -> list[str]:
    """Lines that the last edit took out of a delivery."""
    names = {**(since.names or {}), **item_names(takeoff)} if since.lines else {}
    return [
        _piece_words(names.get(one.item, one.item), one.before, one.each_mm, one.unit)
        for one in since.lines
        if one.delivery == delivery and one.now == 0.0
    ]


def _back(takeoff: Takeoff, delivery: str) -> list[str]:
    """Lines that were issued and that the order has no more."""
    standing = takeoff.issued
    return [
        _piece_words(plain(one.name or one.item), one.ordered, one.each_mm, one.unit)
        for one in (standing.lines if standing is not None else ())
        if one.delivery == delivery and one.state is LineState.GONE
    ]


def _piece_words(name: str, count: float, each_mm: float, unit: str) -> str:
    size = f"x {whole(each_mm)} mm" if each_mm else unit
    return f"{name}: {places(count, 2)} {size}"


def _changed_words(since: Since) -> str:
    """How many lines the last edit changed; "" for none."""
    if not since.lines:
        return ""
    new = sum(1 for one in since.lines if not one.before)
    gone = sum(1 for one in since.lines if not one.now)
    others = len(since.lines) - new - gone
    kinds = ((others, "changed"), (new, "new"), (gone, "gone"))
    return "Since the last edit: " + ", ".join(f"{counted(count, 'line')} {word}" for count, word in kinds if count)


def _book_words(standing: Standing | None) -> str:
    """How the order stands to the book, in a line; "" without a book."""
    if standing is None:
        return ""
    if standing.faults:
        return f"The book of issues is damaged: {standing.faults[0]}."
    states = (LineState.ORDERED, LineState.CHANGED, LineState.GONE, LineState.TO_ORDER)
    counts = [(state, sum(one.state is state for one in standing.lines)) for state in states]
    said = ", ".join(f"{counted(count, 'line')} {state.value}" for state, count in counts if count)
    return f"Since the last issue: {said or 'nothing'}"


def _sums(order: Order) -> Iterator[str]:
    """Bought over net, what pairs save, what the user's own rates come to."""
    if order.sheets_net_m2:
        yield f"Roof sheets: {sheets_words(order)}."
    if order.site_blanks:
        metres = f"{shown(order.sheets_site_m)} m = {shown(order.sheets_site_m2)} m2"
        yield f"From site, not ordered: {metres}, cut from {counted(len(order.site_blanks), 'sheet')} there."
    pairs = pairs_words(order)
    if pairs:
        yield f"{pairs}."
    if order.prices is not None:
        prices = order.prices
        of = f"{len(prices.lines)} of {counted(len(order.lines), 'line')}"
        yield f"At your rates: {places(prices.total, 2, 2)} {plain(prices.currency)} for {of}.".replace("  ", " ")
