"""A store of rainwater and what became of it: litres, days, shares."""

from __future__ import annotations

import datetime

from takeoff.basics.records import record
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding
from takeoff.model.rain_series import Rain

MONTH_DAYS = (31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)  # a mean February


@record
class FedBy:
    """What of one plane comes to a tank: plan area [m2] and the share of its rain that runs off."""

    plane: str
    pipe: str
    plan_m2: float
    runoff: Term


@record
class TankFeed:
    """One tank and what is led to it. `level`: roof decks, which drain by outlets of their own, are in it too.

    `overflow_l_s`: what its overflow must carry in the design rain, `overflow_pipe` the least pipe of the catalogue
    for its area ("" where none is known). `head_mm`: outlet of the lowest gutter over the inlet, None where not given.
    """

    name: str
    volume_l: float
    dead_l: float
    reserve_l: float
    start_l: float
    system: str
    pipes: tuple[str, ...]
    fed: tuple[FedBy, ...]
    first_flush_l: float
    overflow_l_s: float
    overflow_pipe: str
    head_mm: float | None

    @property
    def plan_m2(self) -> float:
        """Plan area that is led to it [m2]."""
        return sum(part.plan_m2 for part in self.fed)

    @property
    def runoff_m2(self) -> float:
        """Plan area times the share that runs off: litres for 1 mm of rain."""
        return sum(part.plan_m2 * float(part.runoff.value) for part in self.fed)


@record
class Use:
    """Litres drawn a day in each month, January first, and what they are made of."""

    litres_a_day: tuple[float, ...]
    working: Working

    @property
    def mean_l(self) -> float:
        """Litres a day over the year."""
        return sum(day * days for day, days in zip(self.litres_a_day, MONTH_DAYS, strict=True)) / 365.25


@record
class SizeResult:
    """What one size of store does over all days. Litres, days, and shares of 1.

    `by_time`: share of days on which all that was wanted was drawn; `by_volume`: share of the water wanted.
    `worst_year` is the calendar year with the most water short. `carted_l` and `loads`: water brought by truck where it
    would run short, so that no day does; all other figures are without it.
    """

    volume_l: float
    by_time: float
    by_volume: float
    days_short: int
    longest_short: int
    longest_from: datetime.date | None
    worst_year: int
    worst_year_short_l: float
    worst_year_days: int
    run_off_l: float
    first_flush_l: float
    discarded_l: float
    yield_l: float
    overflow_l: float
    start_l: float
    end_l: float
    carted_l: float
    loads: int

    @property
    def balance_l(self) -> float:
        """What is out in the reckoning of all water [L]: crumbs of floating point."""
        out = self.yield_l + self.overflow_l + self.first_flush_l + self.discarded_l + self.end_l - self.start_l
        return self.run_off_l - out


@record
class MonthBalance:
    """One month of the balance of an average year [L]."""

    month: int
    run_off_l: float
    wanted_l: float
    drawn_l: float
    spilt_l: float
    left_l: float


@record
class TankResult:
    """A job's store reckoned with one rain.

    `results`: one a size, smallest first (none where only monthly means are given); `marked` are the sizes to choose
    among, `knee_l` that from which more volume brings least. `months`: the balance of an average year where the rain is
    monthly, for the first marked size. `yearly_l`: the yearly formula, as a check. `level`: (day, litres) of the chosen
    size through its worst year.
    """

    job: str
    revision: str
    rule: str
    feeds: tuple[TankFeed, ...]
    use: Use
    rain: Rain | None
    results: tuple[SizeResult, ...]
    marked: tuple[float, ...]
    knee_l: float | None
    chosen_l: float
    yearly_l: float | None
    yearly: Working | None
    months: tuple[MonthBalance, ...] = ()
    drawdown_l: float = 0.0
    level: tuple[tuple[datetime.date, float], ...] = ()
    findings: tuple[Finding, ...] = ()
    date: datetime.date | None = None
