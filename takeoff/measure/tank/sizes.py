"""Sizes of store side by side: reliability, shortages, the worst year, water brought by truck, and the knee."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import numpy as np

from takeoff.basics.records import record
from takeoff.measure.tank.store import Days, Floats, run_store
from takeoff.model.tank_store import SizeResult

_SHORT_L = 1e-6  # less is a crumb
_SIZES = 50
_REAL = (1000, 2000, 3000, 5000, 7500, 10_000, 15_000, 20_000, 25_000, 30_000, 40_000, 50_000, 75_000, 100_000)


@record
class AllDays:
    """Every day of the rain [L]: run-off, what of it is led past, what comes in, what is wanted; how the store is
    run."""

    start: datetime.date
    run_off_l: Floats
    first_flush_l: Floats
    discarded_l: Floats
    inflow_l: Floats
    wanted_l: Floats
    rule: str
    floor_l: float
    start_l: float
    truck_l: float

    def run(self, sizes_l: Floats, truck_l: float = 0.0) -> Days:
        """Every day of every size; with loads of `truck_l` where a day would run short."""
        return run_store(self.inflow_l, self.wanted_l, sizes_l, self.rule, self.floor_l, self.start_l, truck_l)

    @property
    def years(self) -> Floats:
        """The calendar year of every day."""
        days = np.datetime64(self.start, "D") + np.arange(len(self.inflow_l))
        return np.asarray(days.astype("datetime64[Y]").astype(np.float64) + 1970.0)

    def level(self, size_l: float, year: int) -> tuple[tuple[datetime.date, float], ...]:
        """Content at the end of each day of a year [L]."""
        content = self.run(np.array([size_l])).content_l[1:, 0]
        on = np.flatnonzero(self.years == year)
        return tuple((self.start + datetime.timedelta(days=int(n)), float(content[n])) for n in on)


def marked_sizes(own_l: float, floor_l: float) -> tuple[float, ...]:
    """Five real sizes to choose among: the store's own and two each side of it that are sold."""
    below = [float(size) for size in _REAL if floor_l < size < own_l]
    above = [float(size) for size in _REAL if size > own_l]
    low, high = below[-2:], above[:2]
    low = below[-(4 - len(high)) :] if len(high) < 2 else low
    high = above[: 4 - len(low)]
    return tuple(sorted({*low, own_l, *high}))


def trial_sizes(marked_l: Sequence[float], own_l: float, floor_l: float) -> Floats:
    """Sizes of the curve: evenly from small to twice the largest marked, and those marked [L]."""
    top = 2.0 * max(*marked_l, own_l)
    even = np.linspace(0.0, top, _SIZES - len(marked_l))[1:]
    found = np.unique(np.concatenate((even, np.array([*marked_l, own_l], dtype=np.float64))))
    return np.asarray(found[found > floor_l])


def results_of(days: AllDays, sizes_l: Floats, marked_l: Sequence[float]) -> tuple[SizeResult, ...]:
    """What each size does; loads of water are reckoned for the marked ones and the store's own only."""
    whole = days.run(sizes_l)
    short = days.wanted_l[:, None] - whole.drawn_l
    missed = short > _SHORT_L
    years = days.years
    carted = _carted(days, np.array([size for size in sizes_l if size in set(marked_l)]))
    spilt = whole.spilt_l.sum(axis=0)
    totals = [float(part.sum()) for part in (days.run_off_l, days.first_flush_l, days.discarded_l)]
    found = []
    for n, size in enumerate(sizes_l):
        longest, begins = _longest(missed[:, n])
        worst, litres, count = _worst_year(years, short[:, n], missed[:, n])
        brought, loads = carted.get(float(size), (0.0, 0))
        drawn = float(whole.drawn_l[:, n].sum())
        found.append(
            SizeResult(
                volume_l=float(size),
                by_time=1.0 - float(missed[:, n].mean()),
                by_volume=drawn / wanted if (wanted := float(days.wanted_l.sum())) > 0.0 else 1.0,
                days_short=int(missed[:, n].sum()),
                longest_short=longest,
                longest_from=days.start + datetime.timedelta(days=begins) if longest else None,
                worst_year=worst,
                worst_year_short_l=litres,
                worst_year_days=count,
                run_off_l=totals[0],
                first_flush_l=totals[1],
                discarded_l=totals[2],
                yield_l=drawn,
                overflow_l=float(spilt[n]),
                start_l=float(whole.content_l[0, n]),
                end_l=float(whole.content_l[-1, n]),
                carted_l=brought,
                loads=loads,
            )
        )
    return tuple(found)


def _carted(days: AllDays, sizes_l: Floats) -> dict[float, tuple[float, int]]:
    """Litres brought in all, and in how many loads, by size."""
    if not len(sizes_l):
        return {}
    brought = days.run(sizes_l, days.truck_l).carted_l
    if brought is None:
        return {}
    loads = np.ceil(brought / days.truck_l - 1e-12).sum(axis=0)
    sums = zip(sizes_l, brought.sum(axis=0), loads, strict=True)
    return {float(size): (float(total), int(count)) for size, total, count in sums}


def _longest(missed: Floats | np.ndarray[tuple[int], np.dtype[np.bool_]]) -> tuple[int, int]:
    """Days of the longest spell in which every day ran short, and the number of its first."""
    edges = np.diff(np.concatenate(([0], missed.astype(np.int8), [0])))
    begins, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    if not len(begins):
        return 0, 0
    best = int(np.argmax(ends - begins))
    return int(ends[best] - begins[best]), int(begins[best])


def _worst_year(
    years: Floats, short: Floats, missed: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> tuple[int, float, int]:
    """The calendar year with the most water short (of none the first), how much, and on how many days."""
    first = int(years[0])
    number = (years - first).astype(np.intp)
    sums = np.bincount(number, weights=np.maximum(short, 0.0))
    worst = int(np.argmax(sums))
    return first + worst, float(sums[worst]), int(missed[number == worst].sum())


def knee_of(results: Sequence[SizeResult]) -> float | None:
    """The size at the knee of the curve of water given against volume: where it lies furthest over the straight line
    from its first to its last point. None for a curve without one."""
    if len(results) < 3:
        return None
    x = np.array([result.volume_l for result in results])
    y = np.array([result.by_volume for result in results])
    if y[-1] - y[0] < 1e-6:
        return None
    over = (y - y[0]) / (y[-1] - y[0]) - (x - x[0]) / (x[-1] - x[0])
    return float(x[int(np.argmax(over))])
