"""A supplier's quotation, and how it stands against our order: price, missing, substituted, more, less."""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.model.findings import Finding


@record
class QuotedLine:
    """A line of a quotation, by its row. `ref`: our line number where they name it; `each_mm` 0 without a length;
    `rate` and `amount` None where they give none; `unit` as they write it."""

    row: int
    ref: str
    item: str
    each_mm: float
    count: float
    unit: str
    rate: float | None
    amount: float | None


@record
class Quotation:
    """A quotation as it was read."""

    file: str
    sheet: str
    lines: tuple[QuotedLine, ...]
    findings: tuple[Finding, ...] = ()


class QuoteFault(StrEnum):
    """What is wrong with a line of a quotation, or with its absence."""

    MISSING = "missing"
    SUBSTITUTED = "substituted"
    MORE = "more"
    LESS = "less"
    NOT_OURS = "not ours"
    PRICE = "price"
    NO_PRICE = "no price"
    SUM = "sum is wrong"


@record
class QuoteDifference:
    """One difference. `line`: id of ours, "" for none; `row`: theirs, 0 for none; prices a unit of ours, in money."""

    fault: QuoteFault
    delivery: str
    line: str
    ours: str
    theirs: str
    row: int
    our_count: float
    their_count: float
    our_rate: float | None = None
    their_rate: float | None = None


@record
class QuoteCheck:
    """A quotation held against our lines of `deliveries`. `agree`: lines of which nothing is wrong; `amount`: what they
    ask for what they quote, `ours_at_theirs`: our counts at their rates, as far as they give them."""

    quotation: Quotation
    deliveries: tuple[str, ...]
    differences: tuple[QuoteDifference, ...]
    matched: int
    agree: int
    amount: float
    ours_at_theirs: float
