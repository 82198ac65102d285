"""Rain from a CSV file: daily rain by date, or twelve means of months. Every fault is told with its line.

A head line may name the columns (date, or year, month and day; rain, precipitation or rainfall) and the unit (mm, cm,
in). Nothing is made up: what cannot be one thing for certain is refused, and days that are left out count as dry, with
a finding, up to a month of them at a time.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.records import record
from takeoff.basics.regular_files import read_bounded
from takeoff.model.findings import Finding, Severity
from takeoff.model.rain_series import DailyRain, MonthlyRain, Rain
from takeoff.read.rain.rain_days import Day, dated, days_in_order

_MOST_BYTES = 8_000_000
MOST_ROWS = 75_000  # two hundred years of days
_MOST_FAULTS = 20
_UNITS = {"mm": 1.0, "millimetres": 1.0, "millimeters": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4}
_RAIN = ("rain", "rainfall", "precip", "precipitation", "prcp")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MOST_MM = 2000.0  # more has never fallen in a day
_NUMBER = re.compile(r"[+-]?\d+(\.\d*)?([eE][+-]?\d+)?|[+-]?\.\d+")


@record
class _Columns:
    """Which columns hold the date (one, or year, month and day), the rain, and its unit as mm ("" where none is
    named)."""

    date: tuple[int, ...]
    rain: int
    unit: str


def read_rain(path: Path) -> Rain:
    """Rain of a file. Raises UnreadableFileError with every fault and its line, at most twenty."""
    rows, comma = _rows(path)
    if _is_monthly(rows[-12:]) and len(rows) <= 13:
        return _monthly(path, rows[-12:], comma)
    named = _named(rows[0][1], path.name) if rows else None
    body = rows[1:] if named else rows
    if not body:
        raise UnreadableFileError(f"{path.name}: no line of rain in it; give date and mm, a day a line")
    columns = named or _Columns((0,), 1, "")
    days, faults = _days(path.name, body, columns, comma)
    if faults:
        raise UnreadableFileError(*_first(faults))
    if not any(day.mm > 0.0 for day in days):
        raise UnreadableFileError(f"{path.name}: no rain in it")
    series, told = days_in_order(path.name, days)
    findings = (*_unit_note(path.name, columns), *told)
    return DailyRain(path.name, series.start, series.mm, series.missing, findings)


def _first(faults: Sequence[str]) -> list[str]:
    more = len(faults) - _MOST_FAULTS
    return [*faults[:_MOST_FAULTS], *([f"and {more} faults more of the kind"] if more > 0 else [])]


def _rows(path: Path) -> tuple[list[tuple[int, list[str]]], bool]:
    """Lines with something in them, by number, and whether figures have decimal commas."""
    data = read_bounded(path, _MOST_BYTES, "file of rain")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    if "\0" in text:
        raise UnreadableFileError(f"{path.name}: is no text; save it as CSV")
    head = text[:4000]
    cut = ";" if head.count(";") > head.count(",") / 2 else "\t" if "\t" in head else ","
    found: list[tuple[int, list[str]]] = []
    try:
        for number, cells in enumerate(csv.reader(text.splitlines(), delimiter=cut), start=1):
            kept = [cell.strip() for cell in cells]
            if any(kept) and not kept[0].startswith("#"):
                found.append((number, kept))
            if len(found) > MOST_ROWS + 1:
                raise UnreadableFileError(
                    f"{path.name}:{number}: more than {MOST_ROWS:,} lines of rain, which is two hundred years of days;"
                    " keep the years that matter"
                )
    except csv.Error as err:
        raise UnreadableFileError(f"{path.name}: cannot be read as CSV: {err}") from None
    return found, cut == ";"


def _named(cells: Sequence[str], name: str) -> _Columns | None:
    """The columns that a head line names; None where the line is no head."""
    words = [re.sub(r"[^a-z ]", " ", cell.lower()).split() for cell in cells]
    date = tuple(n for n, word in enumerate(words) if word and word[0] in ("date", "day"))[:1]
    parts = [next((n for n, word in enumerate(words) if word[:1] == [part]), -1) for part in ("year", "month", "day")]
    if -1 not in parts:
        date = tuple(parts)
    rain = [n for n, word in enumerate(words) if any(part in _RAIN for part in word)]
    rain = rain or [n for n, word in enumerate(words) if any(part in _UNITS for part in word)]
    if not date or not rain:
        if not any(re.search(r"\d", cell) for cell in cells):
            raise UnreadableFileError(
                f"{name}:1: the head line must name date and rain, has {', '.join(cell for cell in cells if cell)}"
            )
        return None
    unit = next((word for word in words[rain[0]] if word in _UNITS), "")
    return _Columns(date, rain[0], unit)


def _days(
    name: str, body: Sequence[tuple[int, list[str]]], columns: _Columns, comma: bool
) -> tuple[list[Day], list[str]]:
    faults: list[str] = []
    kept: list[tuple[int, str, float]] = []
    per = _UNITS.get(columns.unit, 1.0)
    for number, cells in body:
        text = "-".join(cells[n] if n < len(cells) else "" for n in columns.date)
        word = cells[columns.rain] if columns.rain < len(cells) else ""
        if not word:
            continue  # a day without a figure is a day that is missing
        figure = _figure(word, comma)
        if figure is None:
            faults.append(f"{name}:{number}: rain {word[:40]!r} is no number")
        elif figure < 0.0:
            faults.append(
                f"{name}:{number}: rain {word[:40]} is below nought; leave the day out where it was not measured"
            )
        elif figure * per > _MOST_MM:
            faults.append(
                f"{name}:{number}: rain of {figure * per:.0f} mm is more than ever fell in a day; is the unit right?"
            )
        else:
            kept.append((number, text, figure * per))
    days, more = dated(name, kept)
    return days, sorted([*faults, *more], key=_line_of)


def _line_of(fault: str) -> int:
    return int(re.findall(r":(\d+):", fault)[0])


def _figure(word: str, comma: bool) -> float | None:
    text = word.replace(",", ".") if comma else word
    return float(text) if _NUMBER.fullmatch(text) else None


def _unit_note(name: str, columns: _Columns) -> tuple[Finding, ...]:
    if columns.unit in ("mm", "millimetres", "millimeters"):
        return ()
    text = f"{name} names no unit of rain: mm was taken."
    if columns.unit:
        text = f"{name} gives rain in {columns.unit}: each was taken as {_UNITS[columns.unit]:g} mm."
    return (Finding("rain-unit", Severity.NOTE, text, "Name it in the head line: date, rain mm."),)


def _is_monthly(body: Sequence[tuple[int, list[str]]]) -> bool:
    return len(body) == 12 and all(_month(cells[0]) for _, cells in body)


def _month(word: str) -> int:
    """1 to 12 for a month's number or name; 0 for anything else."""
    text = word.strip().lower()[:3]
    if text in _MONTHS:
        return _MONTHS.index(text) + 1
    return int(word) if word.strip().isdigit() and int(word) <= 12 else 0


def _monthly(path: Path, body: Sequence[tuple[int, list[str]]], comma: bool) -> MonthlyRain:
    faults: list[str] = []
    found: dict[int, float] = {}
    for number, cells in body:
        figure = _figure(cells[1] if len(cells) > 1 else "", comma)
        month = _month(cells[0])
        if figure is None or figure < 0.0:
            faults.append(f"{path.name}:{number}: the month's rain must be a number of mm, not below nought")
        elif month in found:
            faults.append(f"{path.name}:{number}: month {month} stands twice")
        else:
            found[month] = figure
    if faults:
        raise UnreadableFileError(*faults)
    return MonthlyRain(path.name, tuple(found[month] for month in range(1, 13)))


def monthly_of(mm: Sequence[float]) -> MonthlyRain:
    """Means of months as a job gives them."""
    return MonthlyRain("monthly means of the job", tuple(mm))
