"""A quotation against our order as tables: differences line by line, then what it comes to."""

from __future__ import annotations

from takeoff.model.quotation import QuoteCheck, QuoteDifference
from takeoff.write.differences.tables import Cell, Table, finding_tables
from takeoff.write.words.words import plain


def quotation_tables(check: QuoteCheck) -> tuple[Table, ...]:
    """Differences, then sums, then what was taken while reading."""
    quotation = check.quotation
    name = f"{quotation.file}, sheet {quotation.sheet}" if quotation.sheet else quotation.file
    of = ", ".join(check.deliveries) or "nothing of ours"
    says = (
        f"{plain(name)} against our {of}: {check.matched} of {len(quotation.lines)} lines found, {check.agree} agree. "
        "Prices are for what our line is totalled in: of lengths a metre."
    )
    headings = ("fault", "line", "ours", "theirs", "row", "our count", "theirs", "our price", "theirs")
    right = (False, True, False, False, True, True, True, True, True)
    rows = tuple(_row(difference) for difference in check.differences)
    sums: tuple[tuple[Cell, ...], ...] = (
        ("what they quote", check.amount),
        ("our counts at their prices, as far as they give them", check.ours_at_theirs),
    )
    return (
        Table("Differences", says, headings, right, rows),
        Table("Sums", "Without what they quote beside the lines.", ("what", "amount"), (False, True), sums),
        *finding_tables(quotation.findings),
    )


def _row(difference: QuoteDifference) -> tuple[Cell, ...]:
    return (
        difference.fault.value,
        difference.line.removeprefix("L") or None,
        plain(difference.ours) or None,
        plain(difference.theirs) or None,
        difference.row or None,
        difference.our_count or None,
        difference.their_count or None,
        difference.our_rate,
        difference.their_rate,
    )
