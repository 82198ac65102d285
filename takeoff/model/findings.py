"""What the program noticed: stops, warnings, notes and mends, each placed and with advice."""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.basics.vectors import Point3


class Severity(StrEnum):
    """How grave a finding is. A stop withholds the order."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"
    FIXED = "fixed"


@record
class Finding:
    """One thing a person should know. `code` is a short slug such as "pitch-below-least"; `refs` are ids (P1, wall
    2)."""

    code: str
    severity: Severity
    text: str
    advice: str = ""
    refs: tuple[str, ...] = ()
    at_mm: Point3 | None = None
    source: str = ""  # file:line:column, or the basis of the limit
