"""The tank's result as plain tables, for the screen and for a sheet each of a workbook."""

from __future__ import annotations

from dataclasses import replace

from takeoff.basics.rounding import half_up
from takeoff.model.basis import Term
from takeoff.model.findings import Severity
from takeoff.model.rain_series import DailyRain
from takeoff.model.tank_store import SizeResult, TankResult
from takeoff.write.differences.tables import Cell, Table
from takeoff.write.words.words import SEVERITY_WORDS, number, plain, value_words

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
RULES = {
    "yield_after_spillage": "what spills has spilt before water is drawn",
    "yield_before_spillage": "water is drawn before what is left spills",
}


def tank_tables(result: TankResult) -> tuple[Table, ...]:
    """Every table that there is something for, the sizes first."""
    tables = [
        *([sizes_table(result), _water(result)] if result.results else []),
        *([_months(result)] if result.months else []),
        _yearly(result),
        _fed(result),
        _use(result),
        *([_curve(result)] if result.results else []),
        _findings(result),
    ]
    return tuple(tables)


_SHOWN = (
    "size L",
    "by time %",
    "by volume %",
    "short days a year",
    "longest",
    "worst year",
    "spilt L a year",
    "truck L a year",
)


def shown_tables(result: TankResult) -> tuple[Table, ...]:
    """The tables that fit a screen: all but the curve, and of the sizes what fits across."""
    return tuple(_narrow(table) for table in tank_tables(result) if table.title != "Curve")


def _narrow(table: Table) -> Table:
    if table.title != "Sizes":
        return table
    kept = [table.headings.index(name) for name in _SHOWN]
    rows = tuple(tuple(row[n] for n in kept) for row in table.rows)
    return replace(table, headings=_SHOWN, right=tuple(table.right[n] for n in kept), rows=rows)


def title_of(result: TankResult) -> str:
    """What stands over the tables."""
    return f"{plain(result.job)}, revision {plain(result.revision)}: store of rainwater"


def _per_cent(share: float) -> float:
    return half_up(100.0 * share, 1)


def sizes_table(result: TankResult) -> Table:
    """The sizes to choose among, each over all days."""
    rain = result.rain
    years = len(rain.mm) / 365.25 if isinstance(rain, DailyRain) else 1.0
    chosen = {*result.marked, result.chosen_l}
    knee = f"; more volume brings least from {number(result.knee_l, 0)} L on" if result.knee_l is not None else ""
    days = ""
    if isinstance(rain, DailyRain):
        days = f"{plain(rain.source)}, {rain.start} to {rain.end}, {number(rain.mm_a_year, 0)} mm a year. "
    headings = (
        "size L",
        "by time %",
        "by volume %",
        "short days a year",
        "longest",
        "begins",
        "worst year",
        "short then L",
        "spilt L a year",
        "truck L a year",
        "loads in all",
    )
    rows = tuple(_size_row(one, years, result) for one in result.results if one.volume_l in chosen)
    says = f"{days}Day by day, {RULES[result.rule]}{knee}. By truck: so that no day is short."
    return Table("Sizes", says, headings, (True,) * 5 + (False, False) + (True,) * 4, rows)


def _size_row(one: SizeResult, years: float, result: TankResult) -> tuple[Cell, ...]:
    return (
        half_up(one.volume_l, 0),
        _per_cent(one.by_time),
        _per_cent(one.by_volume),
        half_up(one.days_short / years, 1),
        one.longest_short,
        str(one.longest_from or ""),
        str(one.worst_year) if one.worst_year_short_l > 0.0 else "",
        half_up(one.worst_year_short_l, 0),
        half_up(one.overflow_l / years, 0),
        half_up(one.carted_l / years, 0),
        one.loads,
    )


def _water(result: TankResult) -> Table:
    """Where all the water went, for the store chosen."""
    one = next(one for one in result.results if one.volume_l == result.chosen_l)
    rows: tuple[tuple[Cell, ...], ...] = (
        ("ran off the roof", half_up(one.run_off_l, 0)),
        ("first flush, led past", half_up(one.first_flush_l, 0)),
        ("off the new roof, led past", half_up(one.discarded_l, 0)),
        ("drawn", half_up(one.yield_l, 0)),
        ("spilt", half_up(one.overflow_l, 0)),
        ("more in store at the end than at the start", half_up(one.end_l - one.start_l, 0)),
        ("not accounted for", half_up(one.balance_l, 0)),
    )
    says = f"All days, store of {number(one.volume_l, 0)} L: what ran off is what the other lines add up to."
    return Table("Water", says, ("what", "L"), (False, True), rows)


def _months(result: TankResult) -> Table:
    rows = tuple(
        (
            _MONTHS[month.month - 1],
            half_up(month.run_off_l, 0),
            half_up(month.wanted_l, 0),
            half_up(month.drawn_l, 0),
            half_up(month.spilt_l, 0),
            half_up(month.left_l, 0),
        )
        for month in result.months
    )
    says = (
        f"A balance of an average year, month by month, from a full store of {number(result.chosen_l, 0)} L: no"
        f" reliability can be told from it. Its dry months draw {number(result.drawdown_l, 0)} L more than runs off."
    )
    return Table(
        "Months",
        says,
        ("month", "runs off L", "wanted L", "drawn L", "spilt L", "left L"),
        (False,) + (True,) * 5,
        rows,
    )


def _yearly(result: TankResult) -> Table:
    rows: tuple[tuple[Cell, ...], ...] = ()
    says = "No rain of a year is known."
    if result.yearly is not None and result.yearly_l is not None:
        rows = tuple(_term_row(term) for term in result.yearly.terms)
        rows += (("run-off of a year", f"{number(result.yearly_l, 0)} L", ""),)
        wanted = result.use.mean_l * 365.25
        says = f"As a check, {result.yearly.rule}; {number(wanted, 0)} L are wanted in a year."
    return Table("Year", says, ("what", "value", "basis"), (False, True, False), rows)


def _term_row(term: Term) -> tuple[Cell, ...]:
    basis = term.basis.words() if term.basis is not None else ""
    return plain(term.name.replace("_", " ")), value_words(term.value, term.unit), plain(" ".join((basis, term.ref)))


def _fed(result: TankResult) -> Table:
    rows: list[tuple[Cell, ...]] = []
    for feed in result.feeds:
        rows += [
            (
                plain(feed.name),
                part.pipe,
                part.plane,
                half_up(part.plan_m2, 2),
                float(part.runoff.value),
                half_up(part.plan_m2 * float(part.runoff.value), 2),
            )
            for part in feed.fed
        ]
        rows.append(
            (
                plain(feed.name),
                "all",
                f"{number(feed.volume_l, 0)} L, {feed.system}",
                half_up(feed.plan_m2, 2),
                None,
                half_up(feed.runoff_m2, 2),
            )
        )
        rows.append((plain(feed.name), "first flush a day", "", None, None, half_up(feed.first_flush_l, 1)))
        pipe = f"{feed.overflow_pipe} or larger" if feed.overflow_pipe else "larger than any pipe of the catalogue"
        rows.append((plain(feed.name), "overflow L/s", pipe, None, None, half_up(feed.overflow_l_s, 2)))
    headings = ("tank", "downpipe", "plane", "plan m2", "runs off", "L a mm")
    says = "Plan area that each tank is fed from, by downpipe and plane. Walls above the roof fill no tank."
    return Table("Fed by", says, headings, (False, False, False, True, True, True), tuple(rows))


def _use(result: TankResult) -> Table:
    rows: tuple[tuple[Cell, ...], ...] = tuple(_term_row(term) for term in result.use.working.terms)
    rows += (("all, mean of the year", f"{number(result.use.mean_l, 1)} L", "a day"),)
    return Table(
        "Use", f"Litres drawn a day: {result.use.working.rule}.", ("what", "value", "basis"), (False, True, False), rows
    )


def _curve(result: TankResult) -> Table:
    rows = tuple(
        (
            half_up(one.volume_l, 0),
            _per_cent(one.by_time),
            _per_cent(one.by_volume),
            one.days_short,
            half_up(one.overflow_l, 0),
        )
        for one in result.results
    )
    headings = ("size L", "by time %", "by volume %", "days short", "spilt L")
    return Table("Curve", "Every size reckoned, over all days.", headings, (True,) * 5, rows)


def _findings(result: TankResult) -> Table:
    graver_first = sorted(result.findings, key=lambda found: list(Severity).index(found.severity))
    rows = tuple((SEVERITY_WORDS[found.severity], plain(found.text), plain(found.advice)) for found in graver_first)
    says = "Read these with the figures."
    return Table("Cautions", says, ("", "what", "what to do"), (False, False, False), rows)
