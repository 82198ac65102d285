"""Rain as it was read: day by day, or as means of months."""

from __future__ import annotations

import datetime

from takeoff.basics.records import record
from takeoff.model.findings import Finding


@record
class DailyRain:
    """Rain of every day from `start` on [mm]. `missing`: numbers of days (0-based) that the source left out, which
    count as dry."""

    source: str
    start: datetime.date
    mm: tuple[float, ...]
    missing: tuple[int, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def end(self) -> datetime.date:
        """The last day."""
        return self.start + datetime.timedelta(days=len(self.mm) - 1)

    @property
    def mm_a_year(self) -> float:
        """Mean rain of a year of 365.25 days [mm]."""
        return sum(self.mm) * 365.25 / len(self.mm)


@record
class MonthlyRain:
    """Mean rain of the twelve months, January first [mm]."""

    source: str
    mm: tuple[float, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def mm_a_year(self) -> float:
        """Rain of the mean year [mm]."""
        return sum(self.mm)


Rain = DailyRain | MonthlyRain
