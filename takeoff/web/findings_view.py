"""What was found in a house as the page lists it: how grave in words, what to do, and where it leads."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Takeoff
from takeoff.web.house import House, News
from takeoff.write.words.spoken import spoken
from takeoff.write.words.trade_words import trade_words
from takeoff.write.words.words import SEVERITY_WORDS, plain

HOUSE, WALLS, JOB_FILE = "House", "Walls", "Job file"  # panels that a finding leads to
_ORDER = (Severity.STOP, Severity.WARN, Severity.FIXED, Severity.NOTE)
_LINE = re.compile(r"^[^:\s][^:]*:(?P<line>\d+)(?::\d+)?:")
_WALL = re.compile(r"(?:wall|W|D|B)\b|(?:wall |[WDBK]\d)")
MOST_PLACES = 12


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that was found. `grave`: stop, warning, note ... as said; `code` is the severity's own word. `marks`:
    what it is about; `panel`: where that is looked at; `line`: of the job file, 0 for none; `finding`: None for a fault
    of a job that was refused."""

    grave: str
    code: str
    text: str
    advice: str = ""
    marks: tuple[str, ...] = ()
    panel: str = JOB_FILE
    line: int = 0
    finding: Finding | None = None


def rows_of(house: House) -> tuple[Row, ...]:
    """What was found at the newest text, stops first; the faults of a job that was refused."""
    if house.current(News.REFUSED):
        return tuple(map(fault_row, house.faults))
    takeoff = house.ordered if house.current(News.ORDERED) else house.shaped
    return finding_rows(takeoff, house.findings) if takeoff is not None else ()


def finding_rows(takeoff: Takeoff, findings: Sequence[Finding]) -> tuple[Row, ...]:
    """Rows of findings, the gravest first, each once."""
    said = trade_words(takeoff)
    found = sorted(dict.fromkeys(findings), key=lambda finding: _ORDER.index(finding.severity))
    return tuple(
        Row(
            grave=SEVERITY_WORDS[finding.severity],
            code=finding.severity.value,
            text=said(spoken(finding.text, takeoff)),
            advice=said(spoken(finding.advice, takeoff)),
            marks=tuple(map(plain, finding.refs)),
            panel=_panel(finding),
            line=_line(finding.source),
            finding=finding,
        )
        for finding in found
    )


def fault_row(fault: str) -> Row:
    """A fault of a job that was refused, with its line in the job file."""
    return Row("STOP", Severity.STOP.value, plain(fault), line=_line(fault))


def _line(source: str) -> int:
    found = _LINE.match(source)
    return int(found["line"]) if found is not None else 0


def _panel(finding: Finding) -> str:
    if not finding.refs:
        return JOB_FILE
    return WALLS if _WALL.match(finding.refs[0]) else HOUSE


def counts_words(rows: Sequence[Row]) -> str:
    """How many stops and warnings, for the name of the panel.

    >>> counts_words((Row("STOP", "stop", "a"), Row("WARNING", "warn", "b"), Row("note", "note", "c")))
    'Stops: 1, warnings: 1'
    >>> counts_words(())
    ''
    """
    stops = sum(row.code == Severity.STOP.value for row in rows)
    warnings = sum(row.code == Severity.WARN.value for row in rows)
    parts = [f"stops: {stops}"] * bool(stops) + [f"warnings: {warnings}"] * bool(warnings)
    words = ", ".join(parts)
    return words[:1].upper() + words[1:]
