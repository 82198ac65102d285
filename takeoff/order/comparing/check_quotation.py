"""A supplier's quotation against our lines: each of theirs to one of ours, then count, price and sum.

A line is found by our line number, else by the id or name of its item with its length, else by the name that is most
like it with the same length. What is left of theirs is not ours, what is left of ours is missing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from difflib import SequenceMatcher

from takeoff.basics.errors import UsageError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.rounding import half_up
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Order, OrderLine
from takeoff.model.quotation import Quotation, QuoteCheck, QuoteDifference, QuotedLine, QuoteFault

_ALIKE = 0.72  # of two names that mean one thing, written by two people
_SAME_NAME = 0.6  # of a name under one of our line numbers that is still the same thing
_CENT = 0.011  # a sum may be rounded otherwise by a cent
_METRES = ("m", "lm", "metre", "metres")


def check_quotation(quotation: Quotation, order: Order, names: Mapping[str, str], delivery: str = "") -> QuoteCheck:
    """Hold a quotation against the lines of one delivery, else of those that it quotes anything of. `names`: what our
    items are called, by id. Raises UsageError for a delivery that there is not."""
    if delivery and delivery not in DELIVERIES:
        known = f"; deliveries are {', '.join(DELIVERIES)}"
        raise UsageError(f"--delivery: there is no {delivery}{did_you_mean(delivery, DELIVERIES, known)}")
    ours = [line for line in order.lines if not line.labour and delivery in ("", line.delivery)]
    numbers = {str(number): line for number, line in enumerate(order.lines, start=1)}
    pairs = _matched(quotation.lines, ours, names, numbers)
    quoted = {line.delivery for line in pairs.values()}
    deliveries = tuple(name for name in DELIVERIES if name in quoted or name == delivery)
    rates = {line.line: line.rate for line in order.prices.lines} if order.prices is not None else {}
    differences: list[QuoteDifference] = []
    agree = 0
    for theirs in quotation.lines:
        found = _differences(theirs, pairs.get(theirs.row), names, rates)
        agree += theirs.row in pairs and not found
        differences += found
    taken = {line.id for line in pairs.values()}
    for line in ours:
        if line.id not in taken and line.delivery in deliveries:
            differences.append(_difference(QuoteFault.MISSING, line, None, names, rates))
    return QuoteCheck(
        quotation,
        deliveries,
        tuple(differences),
        len(pairs),
        agree,
        _sum([_amount(line, pairs.get(line.row)) for line in quotation.lines]),
        _sum([_ours_at_theirs(line, pairs[line.row]) for line in quotation.lines if line.row in pairs]),
    )


def _matched(
    theirs: Sequence[QuotedLine],
    ours: Sequence[OrderLine],
    names: Mapping[str, str],
    numbers: Mapping[str, OrderLine],
) -> dict[int, OrderLine]:
    """Our line by the row of theirs; each of ours once."""
    pairs: dict[int, OrderLine] = {}
    free = {line.id: line for line in ours}

    def take(row: int, line: OrderLine) -> None:
        pairs[row] = line
        del free[line.id]

    for quoted in theirs:
        own = numbers.get(quoted.ref.upper().removeprefix("L"))
        if own is not None and own.id in free:
            take(quoted.row, own)
    for quoted in theirs:
        if quoted.row not in pairs:
            same = [one for one in free.values() if _same(quoted, one, names)]
            if same:
                take(quoted.row, same[0])
    words = {quoted.row: _tokens(quoted.item) for quoted in theirs if quoted.row not in pairs}
    ours_words = {one.id: _tokens(names.get(one.item, one.item)) for one in free.values()}
    likely = [
        (_likeness(quoted.item, names.get(one.item, one.item)), quoted, one)
        for quoted in theirs
        if quoted.row not in pairs
        for one in free.values()
        if _same_length(quoted, one) and words[quoted.row] & ours_words[one.id]
    ]
    for likeness, quoted, one in sorted(likely, key=lambda pair: (-pair[0], pair[1].row, pair[2].id)):
        if likeness >= _ALIKE and quoted.row not in pairs and one.id in free:
            take(quoted.row, one)
    return pairs


def _same(quoted: QuotedLine, ours: OrderLine, names: Mapping[str, str]) -> bool:
    known = {_plain(ours.item), _plain(names.get(ours.item, ours.item))}
    return _plain(quoted.item) in known and _same_length(quoted, ours)


def _same_length(quoted: QuotedLine, ours: OrderLine) -> bool:
    return abs(quoted.each_mm - ours.each_mm) < 1.0


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^\w]+", " ", text.lower().replace("_", " ")).split())


def _tokens(text: str) -> frozenset[str]:
    return frozenset(_plain(text).split())


def _likeness(one: str, other: str) -> float:
    """How alike two names are, word order left out: 0 to 1."""
    a, b = (" ".join(sorted(_plain(text).split())) for text in (one, other))
    return SequenceMatcher(None, a, b, autojunk=False).ratio()


def _differences(
    theirs: QuotedLine, ours: OrderLine | None, names: Mapping[str, str], rates: Mapping[str, float]
) -> list[QuoteDifference]:
    if ours is None:
        return [_difference(QuoteFault.NOT_OURS, None, theirs, names, rates)]
    faults: list[QuoteFault] = []
    name = names.get(ours.item, ours.item)
    other_length = theirs.each_mm > 0.0 and not _same_length(theirs, ours)
    if other_length or (_likeness(theirs.item, name) < _SAME_NAME and not _same(theirs, ours, names)):
        faults.append(QuoteFault.SUBSTITUTED)
    count = _their_count(theirs, ours)
    if abs(count - ours.count) > 1e-6:
        faults.append(QuoteFault.MORE if count > ours.count else QuoteFault.LESS)
    rate = _their_rate(theirs, ours)
    if rate is None:
        faults.append(QuoteFault.NO_PRICE)
    elif ours.id in rates and abs(rate - rates[ours.id]) > 0.005:
        faults.append(QuoteFault.PRICE)
    if _wrong_sum(theirs, ours):
        faults.append(QuoteFault.SUM)
    return [_difference(fault, ours, theirs, names, rates) for fault in faults]


def _their_count(theirs: QuotedLine, ours: OrderLine) -> float:
    """Theirs in our unit: metres of a length are so many pieces of it."""
    if theirs.unit.lower() in _METRES and ours.each_mm > 0.0 and ours.unit == "each":
        return half_up(theirs.count * 1000.0 / ours.each_mm, 6)
    return theirs.count


def _their_rate(theirs: QuotedLine, ours: OrderLine) -> float | None:
    """Their price a unit that ours is totalled in: of a length that is a metre."""
    each_m = (theirs.each_mm or ours.each_mm) / 1000.0
    by_metre = each_m > 0.0 and ours.total_unit == "m" and ours.unit == "each"
    if theirs.rate is None:
        if theirs.amount is None or theirs.count <= 0.0:
            return None
        metres = theirs.count if theirs.unit.lower() in _METRES else theirs.count * each_m
        return theirs.amount / (metres if by_metre else theirs.count)
    if not by_metre or _a_metre(theirs, each_m):
        return theirs.rate
    return theirs.rate / each_m


def _a_metre(theirs: QuotedLine, each_m: float) -> bool:
    """Whether their rate is for a metre: their unit says so, else their own amount does."""
    if theirs.unit.lower() in _METRES or theirs.rate is None:
        return True
    if theirs.amount is None:
        return False
    by_piece = abs(theirs.rate * theirs.count - theirs.amount)
    return abs(theirs.rate * theirs.count * each_m - theirs.amount) < by_piece


def _wrong_sum(theirs: QuotedLine, ours: OrderLine) -> bool:
    """Whether their amount is neither rate times count nor rate times metres."""
    if theirs.rate is None or theirs.amount is None:
        return False
    each_m = (theirs.each_mm or ours.each_mm) / 1000.0
    sums = [theirs.rate * theirs.count, *([theirs.rate * theirs.count * each_m] if each_m else [])]
    return all(abs(half_up(amount, 2) - theirs.amount) > _CENT for amount in sums)


def _amount(theirs: QuotedLine, ours: OrderLine | None) -> float:
    if theirs.amount is not None:
        return theirs.amount
    if ours is None:
        return half_up((theirs.rate or 0.0) * theirs.count, 2)
    by_length = ours.total_unit == "m" and ours.unit == "each" and theirs.unit.lower() not in _METRES
    each = (theirs.each_mm or ours.each_mm) / 1000.0 if by_length else 1.0
    return half_up((_their_rate(theirs, ours) or 0.0) * (theirs.count * each), 2)


def _ours_at_theirs(theirs: QuotedLine, ours: OrderLine) -> float:
    return half_up((_their_rate(theirs, ours) or 0.0) * ours.total, 2)


def _sum(amounts: Sequence[float]) -> float:
    return float(sum((Decimal(repr(amount)) for amount in amounts), Decimal(0)))


def _difference(
    fault: QuoteFault,
    ours: OrderLine | None,
    theirs: QuotedLine | None,
    names: Mapping[str, str],
    rates: Mapping[str, float],
) -> QuoteDifference:
    rate = _their_rate(theirs, ours) if theirs is not None and ours is not None else theirs.rate if theirs else None
    return QuoteDifference(
        fault=fault,
        delivery=ours.delivery if ours is not None else "",
        line=ours.id if ours is not None else "",
        ours=_words(names.get(ours.item, ours.item), ours.each_mm) if ours is not None else "",
        theirs=_words(theirs.item, theirs.each_mm) if theirs is not None else "",
        row=theirs.row if theirs is not None else 0,
        our_count=ours.count if ours is not None else 0.0,
        their_count=(_their_count(theirs, ours) if ours is not None else theirs.count) if theirs is not None else 0.0,
        our_rate=rates.get(ours.id) if ours is not None else None,
        their_rate=half_up(rate, 4) if rate is not None else None,
    )


def _words(name: str, each_mm: float) -> str:
    return f"{name}, {each_mm:.0f} mm" if each_mm else name
