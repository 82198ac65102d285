"""The store day by day, by hand: both rules, floors, loads of water, the knee, the worst year."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from takeoff.measure.tank.months import drawdown_l, month_balance
from takeoff.measure.tank.sizes import AllDays, knee_of, marked_sizes, results_of
from takeoff.measure.tank.store import AFTER, BEFORE, run_store
from takeoff.model.basis import Working
from takeoff.model.rain_series import MonthlyRain
from takeoff.model.tank_store import Use

RUN_OFF = np.array([500.0, 0, 900, 0, 0, 100, 1500, 0])


def test_yield_after_spillage_by_hand() -> None:
    """1000 L, 300 L a day: day 3 has 200, takes 900 in, spills 100 and gives 200; and so on (derived by hand)."""
    days = run_store(RUN_OFF, np.full(8, 300.0), np.array([1000.0]), AFTER)
    assert days.drawn_l[:, 0].tolist() == [0, 300, 200, 300, 300, 200, 100, 300]
    assert days.content_l[1:, 0].tolist() == [500, 200, 800, 500, 200, 100, 900, 600]
    assert days.spilt_l[:, 0].tolist() == [0, 0, 100, 0, 0, 0, 600, 0]


def test_yield_before_spillage_by_hand() -> None:
    days = run_store(RUN_OFF, np.full(8, 300.0), np.array([1000.0]), BEFORE)
    assert days.drawn_l[:, 0].tolist() == [300, 200, 300, 300, 300, 100, 300, 300]
    assert days.content_l[1:, 0].tolist() == [200, 0, 600, 300, 0, 0, 1000, 700]
    assert days.spilt_l[:, 0].tolist() == [0, 0, 0, 0, 0, 0, 200, 0]


def test_nothing_is_drawn_below_dead_store_and_reserve() -> None:
    """Floor of 400: the first 400 of 500 fill it, 100 are drawn on day 2, and then nothing until more has come."""
    days = run_store(RUN_OFF, np.full(8, 300.0), np.array([1000.0]), AFTER, floor_l=400.0)
    assert days.drawn_l[:4, 0].tolist() == [0, 100, 0, 300]
    assert days.content_l[1:5, 0].tolist() == [500, 400, 1000, 700]
    assert (days.content_l[2:] >= 400.0).all()


def test_a_store_that_begins_full() -> None:
    days = run_store(np.zeros(4), np.full(4, 300.0), np.array([1000.0, 600.0]), AFTER, start_l=1000.0)
    assert days.drawn_l.tolist() == [[300, 300], [300, 300], [300, 0], [100, 0]]


def test_loads_are_brought_so_that_no_day_is_short() -> None:
    """Empty, 300 a day, no rain, loads of 700: on days 1 and 3 (100 left) a load comes, 1200 are drawn in four days."""
    days = run_store(np.zeros(4), np.full(4, 300.0), np.array([1000.0]), AFTER, truck_l=700.0)
    assert days.carted_l is not None
    assert days.carted_l[:, 0].tolist() == [700, 0, 700, 0]
    assert days.drawn_l[:, 0].tolist() == [300.0] * 4
    # a small store takes of a load what it has room for
    small = run_store(np.zeros(2), np.full(2, 300.0), np.array([500.0]), AFTER, truck_l=700.0)
    assert small.carted_l is not None
    assert small.carted_l[:, 0].tolist() == [500, 300]


def all_days(run_off: np.ndarray, wanted: float, start: datetime.date = datetime.date(2019, 12, 30)) -> AllDays:
    zeros = np.zeros(len(run_off))
    return AllDays(start, run_off, zeros, zeros, run_off, np.full(len(run_off), wanted), AFTER, 0.0, 0.0, 700.0)


def test_what_a_size_does_is_counted_by_day_and_year() -> None:
    """By the sequence above, from 30 December 2019: short on days 1, 3, 6 and 7, by 300, 100, 100 and 200 L; 2019 lacks
    300, 2020 lacks 400; by time 4/8, by volume 1700/2400."""
    (one,) = results_of(all_days(RUN_OFF, 300.0), np.array([1000.0]), (1000.0,))
    assert (one.by_time, one.by_volume) == (0.5, pytest.approx(1700 / 2400))
    assert (one.days_short, one.longest_short, one.longest_from) == (4, 2, datetime.date(2020, 1, 4))
    assert (one.worst_year, one.worst_year_short_l, one.worst_year_days) == (2020, pytest.approx(400.0), 3)
    assert (one.yield_l, one.overflow_l, one.end_l) == (1700.0, 700.0, 600.0)
    assert one.balance_l == pytest.approx(0.0, abs=1e-9)
    assert one.loads >= 1


def test_the_knee_lies_furthest_over_the_chord() -> None:
    """0, 60, 90, 95, 100 % at 1 to 5 thousand: over the chord 0, 35, 40, 20, 0 % of the way: the third."""
    days = all_days(RUN_OFF, 300.0)
    results = results_of(days, np.array([100.0, 200.0, 300.0, 400.0, 500.0]), ())
    from dataclasses import replace

    shares = (0.0, 0.6, 0.9, 0.95, 1.0)
    assert knee_of([replace(one, by_volume=share) for one, share in zip(results, shares, strict=True)]) == 300.0


def test_sizes_to_choose_among_are_real_ones_about_the_store() -> None:
    assert marked_sizes(25_000.0, 0.0) == (15_000, 20_000, 25_000, 30_000, 40_000)
    assert len(marked_sizes(90_000.0, 0.0)) in (4, 5)


def test_a_balance_month_by_month() -> None:
    """10 L a mm and 100 L a day: January 3100 are wanted, 20 mm bring 200, the rest is drawn from 2000: 900 lack."""
    rain = MonthlyRain("means", (20.0, *(0.0,) * 10, 400.0))
    use = Use((100.0,) * 12, Working("x", ()))
    months = month_balance(rain, 10.0, use, 5000.0, 2000.0)
    assert (months[0].drawn_l, months[0].left_l) == (2200.0, 0.0)
    assert (months[11].drawn_l, months[11].left_l, months[11].spilt_l) == (3100.0, 900.0, 0.0)


def test_the_dry_months_of_a_published_exercise() -> None:
    """140 m2, 0.75, 6 people x 20 L a day, rain of a public exercise (inputs published, balance by hand in the open data):
    from April to October 23.58 m3 more are wanted than run off, with a February of 28 days; so with the mean February."""
    rain = MonthlyRain("exercise", (95, 175, 130, 20, 0, 0, 0, 0, 0, 0, 160, 170))
    use = Use((120.0,) * 12, Working("x", ()))
    assert drawdown_l(rain, 140 * 0.75, use) == pytest.approx(23_580.0)
    months = month_balance(rain, 140 * 0.75, use, 1e9, 5000.0)
    assert [month.run_off_l / 1000.0 for month in months[:4]] == pytest.approx([9.975, 18.375, 13.65, 2.1])
    assert [month.wanted_l / 1000.0 for month in months] == pytest.approx(
        [3.72, 3.39, 3.72, 3.6, 3.72, 3.6, 3.72, 3.72, 3.6, 3.72, 3.6, 3.72]
    )
