"""Dates of a file of rain: one way of writing for all of them, days in order, none twice, gaps told."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Sequence
from itertools import pairwise

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.records import record
from takeoff.model.findings import Finding, Severity

_LONGEST_GAP = 31  # days that may be missing at a time and count as dry
_MOST_NAMED = 5
_PARTS = re.compile(
    r"(\d{1,4})([-/. ])(\d{1,2})\2(\d{1,4})(?:[T ]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?Z?)?|(\d{4})(\d{2})(\d{2})"
)


@record
class Day:
    """One line: its number, its date, its rain [mm]."""

    line: int
    date: datetime.date
    mm: float


@record
class Series:
    """Rain day by day from `start`; `missing` are the numbers of the days that were left out."""

    start: datetime.date
    mm: tuple[float, ...]
    missing: tuple[int, ...]


_Way = Callable[[int, int, int], datetime.date]


def _year_first(a: int, b: int, c: int) -> datetime.date:
    return datetime.date(a, b, c)


def _day_first(a: int, b: int, c: int) -> datetime.date:
    return datetime.date(c, b, a)


def _month_first(a: int, b: int, c: int) -> datetime.date:
    return datetime.date(c, a, b)


def dated(name: str, rows: Sequence[tuple[int, str, float]]) -> tuple[list[Day], list[str]]:
    """Lines (number, date as written, mm) with their dates, and faults. All must be written in one way."""
    faults: list[str] = []
    parts: list[tuple[int, str, float, tuple[int, int, int]]] = []
    shape = ""
    first = 0
    for line, text, mm in rows:
        found = _PARTS.fullmatch(text)
        if found is None:
            faults.append(f"{name}:{line}: date {text[:40]!r} is no date; write 2020-01-31")
            continue
        mark, figures = _shape(found)
        if shape and mark != shape:
            faults.append(f"{name}:{line}: date {text[:40]} is written another way than that of line {first}")
            continue
        shape, first = shape or mark, first or line
        parts.append((line, text, mm, figures))
    if faults or not parts:
        return [], faults
    return _in_one_way(name, parts)


def _shape(found: re.Match[str]) -> tuple[str, tuple[int, int, int]]:
    """How a date is written, and its three figures."""
    if found[5]:
        return "20200131", (int(found[5]), int(found[6]), int(found[7]))
    long = "first" if len(found[1]) == 4 else "last" if len(found[4]) == 4 else "none"
    return f"{found[2]}{long}", (int(found[1]), int(found[3]), int(found[4]))


def _in_one_way(
    name: str, parts: Sequence[tuple[int, str, float, tuple[int, int, int]]]
) -> tuple[list[Day], list[str]]:
    figures = [part[3] for part in parts]
    if figures[0][0] > 999:
        ways: list[_Way] = [_year_first]
    elif figures[0][2] > 999:
        ways = [_day_first, _month_first]
    else:
        return [], [f"{name}:{parts[0][0]}: date {parts[0][1][:40]} has no year of four figures; write 2020-01-31"]
    read = [_read(name, parts, way) for way in ways]
    sound = [days for days, faults in read if not faults]
    if len(sound) == 2 and sound[0] != sound[1]:
        sound = [days for days in sound if _runs_on(days)] or sound
        if len(sound) == 2:
            line, text, _, _ = parts[0]
            return [], [
                f"{name}:{line}: whether {text} puts the day or the month first cannot be told; write 2020-01-31"
            ]
    return (sound[0], []) if sound else read[0]


def _runs_on(days: Sequence[Day]) -> bool:
    """Whether most dates are a day after the one before."""
    steps = [(b.date - a.date).days for a, b in pairwise(days)]
    return bool(steps) and sum(step == 1 for step in steps) > len(steps) / 2


def _read(
    name: str, parts: Sequence[tuple[int, str, float, tuple[int, int, int]]], way: _Way
) -> tuple[list[Day], list[str]]:
    days: list[Day] = []
    faults: list[str] = []
    for line, text, mm, (a, b, c) in parts:
        try:
            days.append(Day(line, way(a, b, c), mm))
        except ValueError:
            faults.append(f"{name}:{line}: there is no day {text[:40]}")
    return days, faults


def days_in_order(name: str, days: Sequence[Day]) -> tuple[Series, tuple[Finding, ...]]:
    """Every day from the first to the last. Raises UnreadableFileError for dates that go back, a day with two figures,
    and more than a month missing at a time."""
    faults: list[str] = []
    found: list[float] = []
    missing: list[int] = []
    gaps: list[str] = []
    twice: list[int] = []
    before: Day | None = None
    for day in days:
        step = (day.date - before.date).days if before is not None else 1
        if before is not None and step == 0:
            if day.mm != before.mm:
                faults.append(f"{name}:{day.line}: {day.date} stands in line {before.line} already, with other rain")
            twice.append(day.line)
            continue
        if before is not None and step < 0:
            faults.append(
                f"{name}:{day.line}: {day.date} comes after {before.date} of line {before.line}; put days in order"
            )
            continue
        if before is not None and step > 1 + _LONGEST_GAP:
            faults.append(
                f"{name}:{day.line}: {step - 1} days are missing between {before.date} (line {before.line}) and"
                f" {day.date}; they would count as a drought: fill them in, or keep the years on one side"
            )
        elif step > 1:
            gaps.append(f"{step - 1} before line {day.line}")
            missing += range(len(found), len(found) + step - 1)
            found += [0.0] * (step - 1)
        found.append(day.mm)
        before = day
    if faults:
        raise UnreadableFileError(*faults[:20])
    return Series(days[0].date, tuple(found), tuple(missing)), _told(name, gaps, len(missing), twice)


def _told(name: str, gaps: Sequence[str], count: int, twice: Sequence[int]) -> tuple[Finding, ...]:
    told: list[Finding] = []
    if gaps:
        more = f" and {len(gaps) - _MOST_NAMED} gaps more" if len(gaps) > _MOST_NAMED else ""
        text = f"{name}: {count} days are missing and count as dry ({', '.join(gaps[:_MOST_NAMED])}{more})."
        told.append(Finding("rain-days-missing", Severity.WARN, text, "Fill them in from a station nearby."))
    if twice:
        lines = ", ".join(map(str, twice[:_MOST_NAMED])) + (" ..." if len(twice) > _MOST_NAMED else "")
        text = f"{name}: {len(twice)} days stand twice with the same rain (lines {lines}): each was taken once."
        told.append(Finding("rain-days-twice", Severity.NOTE, text, "Take the second lines out."))
    return tuple(told)
