"""What the command line shows: a few lines of what is bought, the findings, and where the files are."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from errno import EPIPE
from textwrap import fill
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.table import Table
from rich.text import Text

from takeoff.model.findings import Finding, Severity
from takeoff.model.items import DELIVERIES
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.model.order_folder import OneWritten, Written
from takeoff.write.words.offcut_words import offcuts_words, pairs_words, sheets_words, shown
from takeoff.write.words.words import counted

Step = Callable[[str], None]

__all__ = [
    "Screen", "Step", "in_words", "offcuts_words", "progress", "show_each", "show_takeoff", "show_written", "shown",
]  # fmt: skip

_STYLES = {Severity.STOP: "bold red", Severity.WARN: "yellow", Severity.NOTE: "default", Severity.FIXED: "default"}

COUNTED_LINES = 2  # lines without a length that the screen shows of each delivery; the order sheet has them all


@contextmanager
def progress() -> Iterator[Step]:
    """A line that says what is being worked on, on a terminal only; gone when the work is done."""
    console = Console(stderr=True, emoji=False)
    if not console.is_terminal:
        yield lambda _what: None
        return
    with console.status("reading the job") as status:
        yield lambda what: status.update(escape(what))


class Screen(Console):
    """The screen: what a job says between colons stays what it is. A reader that has gone is an error like any other,
    which its caller handles."""

    def __init__(self, **how: Any) -> None:
        super().__init__(emoji=False, **how)

    def on_broken_pipe(self) -> None:
        """Raises BrokenPipeError, where the library would leave the program."""
        raise BrokenPipeError(EPIPE, "the reader has gone")

    def say(self, text: str, style: str = "", head: int = 0, indent: str = "") -> None:
        """Print a sentence wrapped to the width, its further lines two to the right; words are never broken. `style`
        is that of the first `head` characters, or of all."""
        lines = fill(
            text,
            width=self.width,
            initial_indent=indent,
            subsequent_indent=f"{indent}  ",
            break_long_words=False,
            break_on_hyphens=False,
        )
        shown = Text(lines)
        shown.stylize(style, 0, head or None)
        self.print(shown, soft_wrap=True)


def show_takeoff(takeoff: Takeoff, written: Written, meshed: OneWritten | None = None) -> None:
    """Print the result of one job in a screenful: measures, what to buy by delivery, findings, files."""
    console = Screen(highlight=False, width=None)
    job = takeoff.job
    console.say(f"{job.job}  revision {job.revision}", "bold")
    _show_measures(console, takeoff)
    if takeoff.order is not None and not takeoff.stopped:
        _show_order(console, takeoff)
    if takeoff.issued is not None:
        from takeoff.screen_book import show_standing

        show_standing(console, takeoff.issued)
    _show_findings(console, takeoff)
    if meshed is not None:
        kept = f" (what was there before is now {meshed.kept})" if meshed.kept else ""
        console.print(f"the roofs as a mesh in {escape(str(meshed.path))}{escape(kept)}", soft_wrap=True)
    show_written(console, written)


def show_written(console: Screen, written: Written) -> None:
    """Print what was kept because somebody had changed it, what was typed beside lines that are gone, and where the
    files are."""
    for name, kept in written.kept:
        console.say(f"{name} had been changed since it was written: what was in it is now {kept}", "yellow")
    if written.unread:
        console.say(f"What was typed into the last order sheet could not be read back: {written.unread}", "yellow")
    for words in written.unmatched:
        console.say(f"typed into the last order sheet, but in this order no more: {words}", "yellow")
    files = counted(len(written.paths), "file")
    console.print(f"{files} in {escape(str(written.folder))}", soft_wrap=True)


def _show_measures(console: Screen, takeoff: Takeoff) -> None:
    for roof in takeoff.roofs:
        area = sum(plane.area_mm2 for plane in roof.planes) / 1e6
        plan = sum(plane.plan_area_mm2 for plane in roof.planes) / 1e6
        by_kind: dict[str, float] = {}
        for edge in roof.own_edges:
            by_kind[edge.kind] = by_kind.get(edge.kind, 0.0) + edge.length_mm / 1000
        lengths = ", ".join(f"{kind} {length:.2f} m" for kind, length in by_kind.items())
        planes = f"{len(roof.planes)} plane{'s' if len(roof.planes) != 1 else ''}"
        console.say(f"roof {roof.name}: {planes}, {area:.2f} m2 on the slope, {plan:.2f} m2 in plan")
        console.say(lengths, indent="  ")


def _show_order(console: Screen, takeoff: Takeoff) -> None:
    order = takeoff.order
    if order is None:
        return
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading, right in (("delivery", False), ("what", False), ("count", True), ("total", True)):
        table.add_column(heading, justify="right" if right else "left", no_wrap=right)
    from takeoff.write.words.trade_words import trade_words

    said = trade_words(takeoff)
    for delivery in DELIVERIES:
        first = delivery
        for name, count, total in _rows(order, delivery, said):
            table.add_row(first, escape(name), count, total)
            first = ""
    console.print(table)
    if order.sheets_net_m2:
        console.say(f"sheets: {sheets_words(order)}")
    if order.site_blanks:
        sheets = f"{len(order.site_blanks)} sheet{'s' if len(order.site_blanks) > 1 else ''}"
        site = f"{shown(order.sheets_site_m)} m = {shown(order.sheets_site_m2)} m2"
        console.say(f"from site, not ordered: {site}, cut from {sheets} there")
    pairs = pairs_words(order)
    if pairs:
        console.say(pairs)
    _show_prices(console, order)
    _show_loads(console, order)


def _show_loads(console: Screen, order: Order) -> None:
    """How many trips the truck makes."""
    loads = order.loads
    if loads is None:
        return
    more = f"; {loads.reason}" if loads.reason else ""
    masses = ", ".join(f"{shown(trip.kg, 0)} kg" for trip in loads.trips)
    of = " of each house" if order.houses is not None else ""
    console.say(f"loads{of}: {len(loads.trips)} trips of {loads.truck.name} ({masses}), at least {loads.least}{more}")


def _show_prices(console: Screen, order: Order) -> None:
    """What the priced lines come to at the user's own rates."""
    prices = order.prices
    if prices is None:
        return
    currency = f" {prices.currency}" if prices.currency else ""
    extra = f", extras {prices.extra:,.2f} apart, together {prices.total:,.2f}" if prices.extra else ""
    tax = f", with {prices.tax:,.2f} {prices.tax_name} {prices.with_tax:,.2f}" if prices.tax_percent else ""
    console.say(
        f"prices: {prices.amount:,.2f}{currency} for {len(prices.lines)} of {len(order.lines)} lines{extra}{tax}"
    )


def _rows(order: Order, delivery: str, said: Callable[[str], str]) -> list[tuple[str, str, str]]:
    """What a delivery brings: a row an item bought in lengths, the first counted lines, and how many more."""
    from takeoff.write.words.item_names import item_name

    cut: dict[str, tuple[float, float]] = {}
    counted: list[OrderLine] = []
    for line in order.lines:
        if line.delivery == delivery and line.each_mm:
            count, total = cut.get(said(item_name(line.of)), (0.0, 0.0))
            cut[said(item_name(line.of))] = (count + line.count, total + line.total)
        elif line.delivery == delivery and not line.labour:
            counted.append(line)
    rows = [(name, f"{count:,.10g}", f"{shown(total)} m") for name, (count, total) in cut.items()]
    told = counted if len(counted) <= COUNTED_LINES else counted[: COUNTED_LINES - 1]
    rows += [(said(item_name(line.of)), f"{line.count:,.10g} {line.unit}", "") for line in told]
    if len(told) < len(counted):
        more = len(counted) - len(told)
        rows.append((f"and {more} line{'s' if more > 1 else ''} more", "", ""))
    return rows


def _show_findings(console: Screen, takeoff: Takeoff) -> None:
    grave = [f for f in takeoff.findings if f.severity in (Severity.STOP, Severity.WARN)]
    show_each(console, [in_words(finding, takeoff) for finding in grave])
    others = len(takeoff.findings) - len(grave)
    if others:
        console.print(f"{others} notes more in the checks")
    if takeoff.stopped:
        console.print("NOT AN ORDER: a stop finding withholds it", style="bold red")


def in_words(finding: Finding, takeoff: Takeoff) -> Finding:
    """The finding with ids of products and settings said in words."""
    from takeoff.write.words.spoken import spoken
    from takeoff.write.words.trade_words import trade_words

    refs = tuple(spoken(ref, takeoff) for ref in finding.refs)
    said = trade_words(takeoff)
    text, advice = said(spoken(finding.text, takeoff)), said(spoken(finding.advice, takeoff))
    return replace(finding, text=text, advice=advice, refs=refs)


def show_each(console: Screen, findings: Sequence[Finding]) -> None:
    """Print findings, one after the other."""
    for finding in findings:
        where = f" [{', '.join(finding.refs)}]" if finding.refs else ""
        advice = f" {finding.advice}" if finding.advice else ""
        text = f"{finding.severity}: {finding.text.rstrip('.')}{where}.{advice}"
        console.say(text, _STYLES[finding.severity], head=len(finding.severity))
