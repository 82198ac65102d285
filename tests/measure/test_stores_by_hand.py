"""Stores of rainwater day by day under floors, sizes to choose among, and all that is told of a size, by hand."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from takeoff.measure.tank.months import drawdown_l, month_balance
from takeoff.measure.tank.sizes import AllDays, knee_of, marked_sizes, results_of, trial_sizes
from takeoff.measure.tank.store import AFTER, BEFORE, run_store
from takeoff.model.basis import Working
from takeoff.model.rain_series import DailyRain, MonthlyRain
from takeoff.model.tank_store import MonthBalance, SizeResult, Use


def test_a_store_that_begins_under_its_floor_fills_it_before_any_is_drawn() -> None:
    """Floor 400, begins with 100, 300 in and 200 wanted a day. After spillage, of what it held the day before: 400 and 700
    with nothing drawn, then 200 a day: 800, and on day 4 no more than 1000 - 200. Before spillage, of what came too: 400
    with nothing drawn, then 500, 600, 700."""
    inflow, wanted = np.full(4, 300.0), np.full(4, 200.0)
    after = run_store(inflow, wanted, np.array([1000.0]), AFTER, 400.0, 100.0)
    assert after.content_l[:, 0].tolist() == [100, 400, 700, 800, 800]
    assert after.drawn_l[:, 0].tolist() == [0, 0, 200, 200]
    before = run_store(inflow, wanted, np.array([1000.0]), BEFORE, 400.0, 100.0)
    assert before.content_l[:, 0].tolist() == [100, 400, 500, 600, 700]
    assert before.drawn_l[:, 0].tolist() == [0, 200, 200, 200]


def test_a_deluge_on_a_store_under_its_floor_spills_by_the_rule() -> None:
    """100 in it, floor 400, 1500 come and 200 are wanted: after spillage it ends full, nothing drawn; before spillage it
    holds 1600, gives 200 and keeps 1000."""
    inflow, wanted = np.array([1500.0]), np.array([200.0])
    for rule, drawn, spilt in ((AFTER, 0.0, 600.0), (BEFORE, 200.0, 400.0)):
        days = run_store(inflow, wanted, np.array([1000.0]), rule, 400.0, 100.0)
        assert days.content_l[:, 0].tolist() == [100, 1000]
        assert (days.drawn_l[0, 0], days.spilt_l[0, 0]) == (drawn, spilt)


def test_loads_come_before_what_rains_is_drawn_where_the_rule_says_so() -> None:
    """Before spillage 150 rain first: 150 lack, two loads of 100, 50 are left; the day after 300 - 200 lack, one load.
    After spillage today's rain is not there yet: three loads; the day after 150 lack of 300, two loads, 50 + 150 left."""
    inflow, wanted = np.array([150.0, 150.0]), np.array([300.0, 300.0])
    before = run_store(inflow, wanted, np.array([1000.0]), BEFORE, truck_l=100.0)
    after = run_store(inflow, wanted, np.array([1000.0]), AFTER, truck_l=100.0)
    assert before.carted_l is not None
    assert after.carted_l is not None
    assert before.carted_l[:, 0].tolist() == [200, 100]
    assert before.content_l[:, 0].tolist() == [0, 50, 0]
    assert after.carted_l[:, 0].tolist() == [300, 200]
    assert after.content_l[:, 0].tolist() == [0, 150, 200]
    assert (before.spilt_l.tolist(), after.spilt_l.tolist()) == ([[0], [0]], [[0], [0]])


def test_sizes_to_choose_among_lie_two_each_side_where_so_many_are_sold() -> None:
    assert marked_sizes(1500.0, 0.0) == (1000, 1500, 2000, 3000, 5000)
    assert marked_sizes(1000.0, 0.0) == (1000, 2000, 3000, 5000, 7500)
    assert marked_sizes(100_000.0, 0.0) == (30_000, 40_000, 50_000, 75_000, 100_000)
    assert marked_sizes(80_000.0, 0.0) == (40_000, 50_000, 75_000, 80_000, 100_000)
    # a floor of 2000 is all that a tank of 2000 holds
    assert marked_sizes(5000.0, 2000.0) == (3000, 5000, 7500, 10_000, 15_000)


def test_sizes_of_the_curve_go_up_to_twice_the_largest_marked() -> None:
    """Two marked: 48 even steps from 0 to 12 000, 0 left out, and those marked, over the floor of 500."""
    sizes = trial_sizes((6000.0, 3000.0), 4000.0, 500.0)
    even = [12_000.0 * step / 47 for step in range(1, 48)]
    assert sizes.tolist() == pytest.approx(sorted({*even, 3000.0, 4000.0, 6000.0} - {*even[:1]}))
    assert even[0] < 500.0 < even[1]


def _days(run_off: Sequence[float], wanted: Sequence[float], **more: object) -> AllDays:
    flow, drawn = np.array(run_off), np.array(wanted)
    bare = AllDays(
        datetime.date(2019, 12, 30), flow, flow * 0.1, flow * 0.2, flow * 0.7, drawn, BEFORE, 0.0, 40.0, 100.0
    )
    return replace(bare, **more)  # type: ignore[arg-type]


def test_all_that_is_told_of_a_size() -> None:
    """1000 L, 40 in it, 7/10 of the run-off comes in. Days: 70 in, 150 wanted: 110 drawn, 40 short (30 December); 0 in:
    150 short; 2020: 1400 in, 150 drawn, holds 1000, spills 250; 0 in, 1100 wanted: 100 short; 0 in: 150 short; nothing
    wanted. 1360 of 1700 drawn; short on 4 of 6 days, twice two days on end; 2020 lacks 250, 2019 lacks 190.
    Loads of 100: day 1 lacks 40, one; 60 are left of it, 90 lack, one; 10 are left; day 3 holds 1000 (10 + 1400 - 150,
    260 spilt); 100 lack, one; day 5: 150 lack, two, 50 left. 5 loads, 500 L."""
    run_off, wanted = (100.0, 0.0, 2000.0, 0.0, 0.0, 0.0), (150.0, 150.0, 150.0, 1100.0, 150.0, 0.0)
    small, large = results_of(_days(run_off, wanted), np.array([900.0, 1000.0]), (1000.0,))
    assert large == SizeResult(
        volume_l=1000.0, by_time=pytest.approx(2 / 6), by_volume=pytest.approx(1260 / 1700), days_short=4, longest_short=2,
        longest_from=datetime.date(2019, 12, 30), worst_year=2020, worst_year_short_l=pytest.approx(250.0),
        worst_year_days=2, run_off_l=2100.0, first_flush_l=pytest.approx(210.0), discarded_l=pytest.approx(420.0),
        yield_l=pytest.approx(1260.0), overflow_l=pytest.approx(250.0), start_l=40.0, end_l=pytest.approx(0.0),
        carted_l=pytest.approx(500.0), loads=5,
    )  # fmt: skip
    assert large.balance_l == pytest.approx(0.0, abs=1e-9)
    assert (small.carted_l, small.loads, small.worst_year_short_l) == (0.0, 0, pytest.approx(350.0))


def test_a_store_from_which_nothing_is_wanted_gives_all_of_it() -> None:
    (one,) = results_of(_days((100.0,), (0.0,)), np.array([50.0]), ())
    assert (one.by_time, one.by_volume, one.days_short, one.longest_short, one.longest_from) == (1.0, 1.0, 0, 0, None)
    assert (one.worst_year, one.worst_year_short_l, one.worst_year_days) == (2019, 0.0, 0)


def test_the_longest_spell_is_the_first_of_the_longest() -> None:
    """Nothing comes in: short on days 2 and 3, on 5, on 7, 8 and 9, and on 11 to 13, wanted on those alone."""
    short = (2, 3, 5, 7, 8, 9, 11, 12, 13)
    wanted = [10.0 if day in short else 0.0 for day in range(1, 15)]
    (one,) = results_of(_days((0.0,) * 14, wanted, start_l=0.0), np.array([50.0]), ())
    assert (one.longest_short, one.longest_from) == (3, datetime.date(2020, 1, 5))


def test_the_level_of_a_year_is_that_at_the_end_of_each_of_its_days() -> None:
    days = _days((100.0, 0.0, 2000.0, 0.0), (150.0, 50.0, 150.0, 100.0))
    assert days.level(1000.0, 2020) == (
        (datetime.date(2020, 1, 1), pytest.approx(1000.0)),
        (datetime.date(2020, 1, 2), pytest.approx(900.0)),
    )


def _size(volume: float, by_volume: float, **more: float) -> SizeResult:
    bare = SizeResult(volume, 1.0, by_volume, 0, 0, None, 2020, 0.0, 0, 900.0, 0.0, 0.0, 500.0, 0.0, 0.0, 0.0, 0.0, 0)
    return replace(bare, **more)  # type: ignore[arg-type]


def test_a_curve_that_is_short_or_level_has_no_knee() -> None:
    assert knee_of([_size(1.0, 0.0), _size(2.0, 1.0)]) is None
    assert knee_of([_size(1.0, 0.5), _size(2.0, 0.5), _size(3.0, 0.5)]) is None
    # from 0.2 at 100 to 1.0 at 1100: at 300 (0.4 - 0.2) / 0.8 - 0.2 = 0.05 over, at 500 0.625 - 0.4 = 0.225, at 900 0.15
    curve = ((100.0, 0.2), (300.0, 0.4), (500.0, 0.7), (900.0, 0.96), (1100.0, 1.0))
    assert knee_of([_size(*point) for point in curve]) == 500.0
    # level at first: a third of the way nothing, two thirds of the way all
    assert knee_of([_size(*point) for point in ((0.0, 0.2), (100.0, 0.2), (200.0, 1.0), (300.0, 1.0))]) == 200.0
    assert knee_of([_size(*point) for point in ((0.0, 0.2), (1000.0, 0.9), (10_000.0, 1.0))]) == 1000.0


def test_the_most_that_months_in_turn_lack() -> None:
    """1 L a mm, 1 L a day. 100 mm in January and February, 30.5 in July, 0 else: from March to June 31 + 30 + 31 + 30 =
    122 lack, from August to December 31 + 30 + 31 + 30 + 31 = 153, which January's 69 ends; July nets 0.5: 122.5 + 153.
    With 300 mm in July 122 and 153 stand apart."""
    use = Use((1.0,) * 12, Working("by hand"))
    mm = [100.0, 100.0, 0, 0, 0, 0, 30.5, 0, 0, 0, 0, 0]
    rain = MonthlyRain("means", (300.0, 300.0, *mm[2:]))
    assert drawdown_l(rain, 1.0, use) == pytest.approx(275.5)
    assert drawdown_l(MonthlyRain("means", (*mm[:6], 300.0, *mm[7:])), 1.0, use) == pytest.approx(153.0)
    # 0.5 L a mm, half a litre a day: half of all
    half = Use((0.5,) * 12, Working("by hand"))
    assert drawdown_l(rain, 0.5, half) == pytest.approx(137.75)
    # as much rain as is wanted but for the quarter of a day that February has beyond 28: what one year lacks
    even = (31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0)
    assert drawdown_l(MonthlyRain("means", even), 1.0, use) == pytest.approx(0.25)
    # more rain than is wanted in every month: no store is needed
    assert drawdown_l(MonthlyRain("means", (40.0,) * 12), 1.0, use) == 0.0


def test_rain_of_a_year_and_its_last_day() -> None:
    """5 days of 73.05 mm in all are 73.05 x 365.25 / 5 a year."""
    rain = DailyRain("gauge", datetime.date(2020, 2, 27), (70.0, 0.0, 3.05, 0.0, 0.0))
    assert rain.end == datetime.date(2020, 3, 2)
    assert rain.mm_a_year == pytest.approx(73.05 * 365.25 / 5)
    assert MonthlyRain("means", (1.0,) * 11 + (4.0,)).mm_a_year == 15.0


def test_months_from_january_on_and_a_year_that_comes_out_even() -> None:
    """31 L are drawn in January, 31 run off in February: none is lacking over the year, 31 from one month to the next."""
    use = Use((1.0, *(0.0,) * 11), Working("by hand"))
    rain = MonthlyRain("means", (0.0, 31.0, *(0.0,) * 10))
    assert drawdown_l(rain, 1.0, use) == 31.0
    months = month_balance(rain, 1.0, use, 20.0, 10.0)
    assert [month.month for month in months] == list(range(1, 13))
    # of 10 all is drawn in January; of February's 31 the store keeps 20
    assert months[0] == MonthBalance(1, 0.0, 31.0, 10.0, 0.0, 0.0)
    assert months[1] == MonthBalance(2, 31.0, 0.0, 0.0, 11.0, 20.0)


def test_the_knee_by_how_far_both_go() -> None:
    """From 0.5 to 1: at a fifth of the way (0.7 - 0.5) / 0.5 - 0.2 = 0.2 over the chord, at three fifths 0.3. From 1000 to
    2000 L: at 1200 0.45 - 0.2 = 0.25, at 1600 0.8 - 0.6 = 0.2."""
    half = ((0.0, 0.5), (20.0, 0.7), (60.0, 0.95), (100.0, 1.0))
    assert knee_of([_size(*point) for point in half]) == 60.0
    large = ((1000.0, 0.0), (1200.0, 0.45), (1600.0, 0.8), (2000.0, 1.0))
    assert knee_of([_size(*point) for point in large]) == 1200.0
    # all of it from the largest alone: no size lies over the chord but the smallest, on it
    assert knee_of([_size(*point) for point in ((100.0, 0.2), (200.0, 0.2), (300.0, 1.0))]) is not None
