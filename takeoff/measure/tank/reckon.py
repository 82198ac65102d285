"""The store of a job reckoned with the rain of its place: day by day, or month by month where only means are known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from takeoff.basics.errors import UsageError
from takeoff.measure.rainwater.tank import yearly_yield_l
from takeoff.measure.tank.cautions import tank_cautions
from takeoff.measure.tank.feeds import WHOLE, feed_findings, tank_feeds
from takeoff.measure.tank.months import drawdown_l, month_balance
from takeoff.measure.tank.sizes import AllDays, knee_of, marked_sizes, results_of, trial_sizes
from takeoff.measure.tank.store import Floats
from takeoff.measure.tank.wanted import use_of
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Takeoff
from takeoff.model.rain_series import DailyRain, MonthlyRain, Rain
from takeoff.model.tank_store import SizeResult, TankFeed, TankResult, Use

GOOD_YEARS = 10.0  # designers compare sizes over 10 to 30 years


def reckon_tank(
    takeoff: Takeoff, rain: Rain | None, people: float | None = None, sizes_l: Sequence[float] = ()
) -> TankResult:
    """The store with the rain given; without any the yearly figure alone, and what is missing. `sizes_l`: sizes to
    choose among [L], else some about the store's own. Several tanks act as one store.

    Raises JobError for pipes that are not there, UsageError for sizes that dead store and reserve fill.
    """
    tanks = takeoff.job.tanks or [WHOLE]
    feeds, use = tank_feeds(takeoff, tanks), use_of(takeoff.job, takeoff.settings, people)
    chosen = sum(feed.volume_l for feed in feeds)
    floor = sum(feed.dead_l + feed.reserve_l for feed in feeds)
    small = [size for size in sizes_l if size <= floor]
    if small:
        raise UsageError(f"--sizes: {small[0]:g} L is no more than dead store and reserve, {floor:g} L")
    yearly_l, yearly = _yearly(takeoff, feeds, rain)
    bare = TankResult(
        job=takeoff.job.job,
        revision=takeoff.job.revision,
        rule=takeoff.settings.word("tank_rule"),
        feeds=feeds,
        use=use,
        rain=rain,
        results=(),
        marked=tuple(sorted(sizes_l)) or marked_sizes(chosen, floor),
        knee_l=None,
        chosen_l=chosen,
        yearly_l=yearly_l,
        yearly=yearly,
        findings=(*_missing(takeoff, rain, people), *feed_findings(feeds, takeoff), *tank_cautions(takeoff)),
        date=takeoff.job.date,
    )
    if isinstance(rain, DailyRain):
        return _daily(bare, rain, takeoff, floor)
    return _monthly(bare, rain, takeoff) if isinstance(rain, MonthlyRain) else bare


def _daily(bare: TankResult, rain: DailyRain, takeoff: Takeoff, floor_l: float) -> TankResult:
    days = all_days(bare.feeds, bare.use, rain, takeoff, floor_l)
    sizes = trial_sizes(bare.marked, bare.chosen_l, floor_l)
    results = results_of(days, sizes, (*bare.marked, bare.chosen_l))
    chosen = _chosen(results, bare, takeoff)
    bare = replace(bare, chosen_l=chosen.volume_l)
    findings = (*bare.findings, *rain.findings, *_length_note(rain), *_enough(chosen, bare, takeoff))
    return replace(
        bare,
        results=results,
        knee_l=knee_of(results),
        level=days.level(bare.chosen_l, chosen.worst_year),
        findings=findings,
    )


def _chosen(results: Sequence[SizeResult], bare: TankResult, takeoff: Takeoff) -> SizeResult:
    """The job's own store; where it names none, the least of the marked sizes that is enough, else the largest."""
    marked = [result for result in results if result.volume_l in bare.marked]
    if takeoff.job.tanks:
        return next(result for result in results if result.volume_l == bare.chosen_l)
    least = takeoff.settings.number("tank_enough_by_volume")
    return next((result for result in marked if result.by_volume >= least), marked[-1])


def _monthly(bare: TankResult, rain: MonthlyRain, takeoff: Takeoff) -> TankResult:
    a_mm = sum(feed.runoff_m2 for feed in bare.feeds)
    months = month_balance(rain, a_mm, bare.use, bare.chosen_l, bare.chosen_l)
    note = Finding(
        "month-by-month",
        Severity.NOTE,
        "Only means of months are known: this is a balance of an average year, month by month. It says nothing of"
        " reliability, since no month is a mean.",
        "Take daily rain of the place over ten years or more: takeoff tank JOB --rain FILE.",
    )
    drawdown = drawdown_l(rain, a_mm, bare.use)
    return replace(bare, months=months, drawdown_l=drawdown, findings=(*bare.findings, *rain.findings, note))


def all_days(feeds: Sequence[TankFeed], use: Use, rain: DailyRain, takeoff: Takeoff, floor_l: float) -> AllDays:
    """Run-off, first flush and what is wanted on every day [L]."""
    mm = np.array(rain.mm)
    discard = takeoff.settings.number("tank_new_roof_mm") if takeoff.job.rain.new_roof else 0.0
    led = _after_first(mm, discard)
    run_off = np.zeros(len(mm))
    kept = np.zeros(len(mm))
    for feed in feeds:
        own = led * feed.runoff_m2
        run_off += mm * feed.runoff_m2
        kept += own - np.minimum(own, feed.first_flush_l)
    discarded = (mm - led) * sum(feed.runoff_m2 for feed in feeds)
    by_month = np.array(use.litres_a_day)
    wanted = by_month[_months(rain) - 1]
    return AllDays(
        start=rain.start,
        run_off_l=run_off,
        first_flush_l=run_off - discarded - kept,
        discarded_l=discarded,
        inflow_l=kept,
        wanted_l=wanted,
        rule=takeoff.settings.word("tank_rule"),
        floor_l=floor_l,
        start_l=sum(feed.start_l for feed in feeds),
        truck_l=takeoff.settings.number("tank_truck_l"),
    )


def _after_first(mm: Floats, discard_mm: float) -> Floats:
    """Rain of each day once the first so many mm of all have gone [mm]."""
    total = np.maximum(np.cumsum(mm) - discard_mm, 0.0)
    return np.asarray(np.minimum(mm, np.diff(total, prepend=0.0)))


def _months(rain: DailyRain) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """The month, 1 to 12, of every day."""
    first = np.datetime64(rain.start, "D")
    days = first + np.arange(len(rain.mm))
    return np.asarray(days.astype("datetime64[M]").astype(np.int64) % 12 + 1)


def _yearly(takeoff: Takeoff, feeds: Sequence[TankFeed], rain: Rain | None) -> tuple[float | None, Working | None]:
    """The yearly formula A x (rain - B) x plan area, as a check; None where no rain of a year is known."""
    mm = rain.mm_a_year if rain is not None else takeoff.job.site.rain_mm_per_year
    if mm is None:
        return None, None
    term, area = takeoff.settings.term, sum(feed.plan_m2 for feed in feeds)
    share, loss = term("tank_runoff_share"), term("tank_loss_mm_per_year")
    figure = yearly_yield_l(area, mm, float(share.value), float(loss.value))
    named = Term(
        "rain of a year", round(mm, 1), "mm", SET_IN_JOB if rain is None else None, rain.source if rain else ""
    )
    terms = (share, named, loss, Term("plan area led to the store", round(area, 3), "m2"))
    return figure, Working("A x (rain - B) x plan area", terms)


def _missing(takeoff: Takeoff, rain: Rain | None, people: float | None) -> tuple[Finding, ...]:
    """What the job does not say."""
    found: list[Finding] = []
    job = takeoff.job
    if rain is None:
        text = "No rain was given: the store cannot be reckoned day by day; the yearly figure is all there is."
        if job.site.rain_mm_per_year is None:
            text = "No rain was given, by the day or by the year: nothing can be said of what the store yields."
        advice = "Give daily rain of the place, date and mm: takeoff tank JOB --rain FILE."
        found.append(Finding("rain-file-not-given", Severity.WARN, text, advice))
    if not job.tanks:
        text = "The job names no tank: every downpipe to the ground is led to one of 25 000 L."
        found.append(
            Finding("tanks-not-given", Severity.NOTE, text, "Add to the job: `tanks: [{name: tank, volume_l: 25000}]`.")
        )
    if people is None and job.water_use.people is None and job.water_use.by_month is None:
        count = takeoff.settings.number("tank_people_if_not_given")
        text = f"The job does not say how many draw water: {count:g} people were taken."
        found.append(Finding("people-not-given", Severity.WARN, text, "Add to the job: `water_use: {people: 4}`."))
    level = sum(plane.plan_area_mm2 for roof in takeoff.roofs for plane in roof.planes if plane.pitch_deg < 0.1) / 1e6
    if level > 0.01:
        text = f"{level:.2f} m2 of level roof drain by outlets of their own and are led to no tank here."
        found.append(Finding("level-roof-not-to-tank", Severity.NOTE, text))
    return tuple(found)


def _length_note(rain: DailyRain) -> tuple[Finding, ...]:
    years = len(rain.mm) / 365.25
    if years >= GOOD_YEARS - 0.01:
        return ()
    text = f"{rain.source} holds {years:.1f} years of rain: too few to have met a dry spell that will come."
    return (Finding("rain-too-short", Severity.WARN, text, "Take ten to thirty years."),)


def _enough(chosen: SizeResult, bare: TankResult, takeoff: Takeoff) -> tuple[Finding, ...]:
    """Whether the store meets what the setting calls enough, and that no size can where the roof yields too little."""
    least = takeoff.settings.number("tank_enough_by_volume")
    if chosen.by_volume >= least:
        return ()
    wanted = chosen.yield_l / chosen.by_volume if chosen.by_volume > 0.0 else 0.0
    text = f"The store of {chosen.volume_l:.0f} L gives {100 * chosen.by_volume:.1f} % of the water wanted."
    advice = "Take a larger store, lead more roof to it, or draw less."
    if wanted > chosen.run_off_l:
        text += " The roof sheds less than is wanted: no size is enough."
        advice = "Lead more roof to the store, or draw less."
    source = takeoff.settings.basis("tank_enough_by_volume").words()
    return (Finding("store-too-small", Severity.WARN, text, advice, source=source),)
