"""What the command line shows of many houses: a bar while they are taken off, then counts, sums, odd ones and files."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn
from rich.table import Table

from takeoff.estate.many import PARTS, STATE
from takeoff.model.estate import EstateSummary
from takeoff.read.estates.estate_files import estate_size
from takeoff.screen import Screen
from takeoff.write.words.words import number

_TOTALS = (
    ("roof_m2", "roof on the slope", "m2"),
    ("sheets_m", "roof sheet, a length a sheet", "m"),
    ("gutters_m", "gutter", "m"),
    ("catchment_m2", "catchment in plan", "m2"),
    ("boards_m", "boards", "m"),
)
_MOST_REASONS = 6


@contextmanager
def counting(source: Path) -> Iterator[Callable[[int], None]]:
    """A bar with how many houses have a row, on a terminal only."""
    console = Console(stderr=True, emoji=False)
    if not console.is_terminal:
        yield lambda _houses: None
        return
    columns = (TextColumn("houses"), BarColumn(), MofNCompleteColumn(), TimeElapsedColumn())
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("houses", total=estate_size(source) or None)
        yield lambda houses: bar.update(task, advance=houses)


def show_estate(summary: EstateSummary, out: Path) -> None:
    """Print the estate in a screenful."""
    console = Screen(highlight=False, width=None)
    console.say(f"{summary.source}: {summary.houses} houses", "bold")
    words = ", ".join(f"{count} {state}" for state, count in summary.states.items())
    console.say(words + (f" ({summary.already} by an earlier run)" if summary.already else ""), indent="  ")
    _show_sums(console, summary)
    _show_reasons(console, summary)
    _show_odd(console, summary)
    for name, near in summary.misspelt:
        console.say(f"attribute {name} is none of a job's and was not read; did you mean {near}?", "yellow")
    other = [name for name in summary.unread if name not in dict(summary.misspelt)]
    if other:
        console.say(f"attributes that were not read: {', '.join(other)}")
    console.print(escape(f"{', '.join(summary.files)} in {out}"), soft_wrap=True)
    console.say(f"{PARTS} and {STATE} there hold what is done, for the same command typed again; they may be removed")


def _show_sums(console: Screen, summary: EstateSummary) -> None:
    parts = [
        f"{says} {number(summary.totals[name], 0)} {unit}".strip()
        for name, says, unit in _TOTALS
        if summary.totals.get(name, 0.0) > 0.0
    ]
    if parts:
        console.say("; ".join(parts), indent="  ")
    if "bought_over_net" in summary.spread:
        least, middle, most = (number(value, 3) for value in summary.spread["bought_over_net"])
        console.say(f"sheet bought over sheeted area: least {least}, middle {middle}, most {most}", indent="  ")


def _show_reasons(console: Screen, summary: EstateSummary) -> None:
    for why, count, one in summary.refusals[:_MOST_REASONS]:
        other = f", and {count - 1} more of the kind" if count > 1 else ""
        console.say(f"{one} {why}{other}", "yellow", indent="  ")
    more = len(summary.refusals) - _MOST_REASONS
    if more > 0:
        console.say(f"and {more} reasons more, in not_taken_off.csv", indent="  ")


def _show_odd(console: Screen, summary: EstateSummary) -> None:
    if not summary.odd:
        return
    console.say("check by hand, furthest from the others first:")
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in ("house", "by its", "figure", "middle", "spreads off"):
        table.add_column(heading, justify="left" if heading in ("house", "by its") else "right")
    for odd in summary.odd:
        figures = (number(odd.figure, 3), number(odd.middle, 3), number(odd.spreads, 1))
        table.add_row(escape(odd.name), odd.what.replace("_", " "), *figures)
    console.print(table)
