"""What is led to a tank and what its store does, every figure and sentence worked by hand.

Settings of the catalogue where the job gives none: 0.9 of a day's rain runs off sheets and 0.8 off other coverings, the
first 0.2 mm of a day go past the tank, an outlet lies 130 mm under the eave, 227 L are drawn a day by each of 3 people,
25 mm of rain go past a tank off a new roof, a load of water is 10 000 L, 95 % by volume is enough.
"""

from __future__ import annotations

import datetime
import json
from dataclasses import replace
from functools import cache
from math import radians, tan

import pytest

from takeoff.basics.errors import Fault, JobError, UsageError
from takeoff.measure.tank.cautions import tank_cautions
from takeoff.measure.tank.feeds import feed_findings, tank_feeds
from takeoff.measure.tank.reckon import _enough, all_days, reckon_tank
from takeoff.measure.tank.store import BEFORE
from takeoff.measure.tank.wanted import use_of
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, PlaneShare
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.order import Takeoff
from takeoff.model.rain_series import DailyRain, MonthlyRain
from takeoff.model.roof import Covering
from takeoff.model.tank_store import FedBy, SizeResult, TankFeed, Use
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings

HIP = {"outline": [[0, 0], [9000, 0], [9000, 6000], [0, 6000]], "pitch_deg": 25, "fascia_height_mm": 2450}


def _pipe(name: str, z: float, *shares: PlaneShare, onto: str = "") -> Downpipe:
    area = sum(share.area_mm2 for share in shares if not share.wall)
    return Downpipe(name, "G1", (0.0, 0.0, z), 0.0, 2000.0, area, onto=onto, shares=shares)


PIPES = (
    _pipe("DP1", 2400.0, PlaneShare("P1", 60e6, 25.0), PlaneShare("W9", 3e6, 90.0, wall=True)),
    _pipe("DP2", 2300.0, PlaneShare("P2", 20e6, 25.0), PlaneShare("P3", 5e6, 40.0)),
    _pipe("DP3", 5000.0, PlaneShare("P4", 12e6, 25.0), onto="P1"),
)


@cache
def _house() -> Takeoff:
    return run(parse_job(json.dumps({"job": "Hut", "roofs": [HIP]})))


def hut(**more: object) -> Takeoff:
    """The hut with its pipes by hand, its third plane not sheeted, and a job that says more."""
    job = Job.model_validate_json(json.dumps({"job": "Hut", "roofs": [HIP], **more}))
    house = _house()
    (roof,) = house.roofs
    planes = tuple(
        replace(plane, covering=Covering.OTHER if plane.id == "P3" else plane.covering) for plane in roof.planes
    )
    plan = DownpipePlan("G1", "e1_as1", 3, "", (), PIPES, Working("by hand"))
    rainwater = replace(house.rainwater, downpipes=(plan,))
    roofs = (replace(roof, planes=planes),)
    return replace(house, job=job, settings=resolve_settings(job), roofs=roofs, rainwater=rainwater)


WET = {
    "name": "stream", "volume_l": 9000, "pipes": ["DP1"], "system": "wet", "inlet_mm": 2100, "dead_l": 300, "reserve_l": 500,
}  # fmt: skip
REST = {"name": "shed", "volume_l": 4000, "inlet_mm": 2070, "start_l": 1500}


def feed(**more: object) -> TankFeed:
    """One tank by hand: 10 m2 at 0.9, so 9 L a mm; the first 2 L of a day go past."""
    fed = (FedBy("P1", "DP1", 10.0, Term("share", 0.9, "")),)
    bare = TankFeed("tank", 1000.0, 0.0, 0.0, 0.0, "dry", ("DP1",), fed, 2.0, 0.0, "", None)
    return replace(bare, **more)  # type: ignore[arg-type]


def test_each_tank_takes_its_pipes_and_all_that_comes_with_them() -> None:
    """DP1 alone: 60 m2 at 25 degrees and 3 m2 off a wall. First flush 60 x 0.2 = 12 L. Overflow at 90 mm/h, C 0.9:
    (60 x (1 + 0.5 tan 25) + 3) x 90 x 0.9 / 3600 L/s. 60 m2 is just what 63 mm of pipe takes (E1/AS1, Table 5). Outlet
    2400 - 130 - 2100 = 170 mm over the inlet. All to the ground: DP1 and DP2, 85 m2, not what ends over a roof; lowest
    outlet 2300 - 130 - 2070 = 100 mm over; 85 m2 is just what the pipe of 74 mm takes."""
    house = hut(tanks=[WET, REST], site={"rain_mm_per_h": 90}, settings={"runoff_coefficient": 0.9, "tank_dead_l": 40})
    sheets, other = house.settings.term("tank_runoff_sheets"), house.settings.term("tank_runoff_other")
    first, second = tank_feeds(house, house.job.tanks)
    f25, f40 = 1 + 0.5 * tan(radians(25)), 1 + 0.5 * tan(radians(40))
    assert first == TankFeed(
        name="stream", volume_l=9000.0, dead_l=300.0, reserve_l=500.0, start_l=300.0, system="wet", pipes=("DP1",),
        fed=(FedBy("P1", "DP1", 60.0, sheets),), first_flush_l=12.0,
        overflow_l_s=pytest.approx((60 * f25 + 3) * 90 * 0.9 / 3600), overflow_pipe="Downpipe round 65", head_mm=170.0,
    )  # fmt: skip
    assert second == TankFeed(
        name="shed", volume_l=4000.0, dead_l=40.0, reserve_l=0.0, start_l=1500.0, system="dry", pipes=("DP1", "DP2"),
        fed=(FedBy("P1", "DP1", 60.0, sheets), FedBy("P2", "DP2", 20.0, sheets), FedBy("P3", "DP2", 5.0, other)),
        first_flush_l=17.0, overflow_l_s=pytest.approx((80 * f25 + 5 * f40 + 3) * 90 * 0.9 / 3600),
        overflow_pipe="Downpipe round 80", head_mm=100.0,
    )  # fmt: skip
    assert (second.plan_m2, second.runoff_m2) == pytest.approx((85.0, 80 * 0.9 + 5 * 0.8))


def test_the_overflow_of_a_large_roof_has_no_pipe_of_the_catalogue() -> None:
    """Round 150 takes 350 m2 (E1/AS1, Table 5); a square metre more has none, and a hair over 60 needs the next."""
    for area, name in ((350.0, "Downpipe round 150"), (351.0, ""), (60.5, "Downpipe round 80")):
        house = hut()
        plan = replace(house.rainwater.downpipes[0], pipes=(_pipe("DP1", 2400.0, PlaneShare("P1", area * 1e6, 25.0)),))
        house = replace(house, rainwater=replace(house.rainwater, downpipes=(plan,)))
        (one,) = reckon_tank(house, None).feeds
        assert one.overflow_pipe == name
        assert one.head_mm is None


def test_pipes_that_are_not_there_or_end_over_a_roof_are_faults_with_their_places() -> None:
    tanks = [{"volume_l": 1}, {"volume_l": 2, "pipes": ["DP2", "DP3", "PD1", "9"]}]
    house = hut(tanks=tanks)
    with pytest.raises(JobError) as caught:
        tank_feeds(house, house.job.tanks)
    assert caught.value.faults == (
        Fault("DP3 ends over a roof; lead the pipe of the gutter there to the tank", "tanks", 1, "pipes", 1),
        Fault("unknown downpipe PD1; did you mean DP1?", "tanks", 1, "pipes", 2),
        Fault("unknown downpipe 9; there are DP1, DP2, DP3", "tanks", 1, "pipes", 3),
    )


def test_what_is_wrong_with_the_feeding_is_said() -> None:
    """A dry inlet needs 100 mm of fall and one run full 300 mm: 100 and 300 are enough, 99 and 170 are not."""
    house = hut()
    high = feed(name="hill", head_mm=99.0, pipes=("DP1",))
    wet = feed(name="pit", head_mm=170.4, system="wet", pipes=("DP1", "DP2"))
    source = "common practice, no source"
    advice = "Take a lower tank, set it lower, or lead only higher gutters to it."
    assert feed_findings([high, feed(head_mm=100.0)], house) == (
        Finding("pipes-not-to-tank", Severity.NOTE, "DP2 is led to no tank.", refs=("DP2",)),
        Finding(
            "tank-inlet-too-high",
            Severity.WARN,
            "The lowest outlet led to tank hill lies 99 mm over its inlet; water that falls to it needs 100 mm.",
            advice,
            ("DP1",),
            source=source,
        ),
    )
    assert feed_findings([wet, feed(head_mm=300.0, system="wet"), feed(name="dry spare", pipes=())], house) == (
        Finding(
            "tank-inlet-too-high",
            Severity.WARN,
            "The lowest outlet led to tank pit lies 170 mm over its inlet; water that runs full underground and rises"
            " to it needs 300 mm.",
            advice,
            ("DP1", "DP2"),
            source=source,
        ),
        Finding("tank-without-pipes", Severity.WARN, "Nothing is led to tank dry spare."),
    )
    assert feed_findings([feed(pipes=())], house)[0] == Finding(
        "pipes-not-to-tank", Severity.NOTE, "DP1, DP2 are led to no tank.", refs=("DP1", "DP2")
    )


DECEMBER = DailyRain("gauge", datetime.date(2019, 12, 30), (10.0, 20.0, 3.0, 0.1, 0.0))


def test_a_new_roof_and_the_first_of_each_day_lead_water_past_the_tank() -> None:
    """9 L and 4 L a mm; first flush 2 L and 5 L. New roof: the first 25 mm go past, so that 0, 5, 3, 0.1 and 0 mm are
    led. Day 2: 45 - 2 and 20 - 5 = 58 come in; day 3: 27 - 2 and 12 - 5 = 32; day 4: 0.9 and 0.4 are all first flush.
    December draws 31 L and January 62 L."""
    house = hut(rain={"new_roof": True}, settings={"tank_truck_l": 700, "tank_rule": BEFORE})
    other = feed(fed=(FedBy("P2", "DP2", 5.0, Term("share", 0.8, "")),), first_flush_l=5.0, start_l=70.0)
    use = Use((62.0, *(1.0,) * 10, 31.0), Working("by hand"))
    days = all_days([feed(start_l=30.0), other], use, DECEMBER, house, 90.0)
    assert days.run_off_l.tolist() == pytest.approx([130.0, 260.0, 39.0, 1.3, 0.0])
    assert days.discarded_l.tolist() == pytest.approx([130.0, 195.0, 0.0, 0.0, 0.0])
    assert days.inflow_l.tolist() == pytest.approx([0.0, 58.0, 32.0, 0.0, 0.0])
    assert days.first_flush_l.tolist() == pytest.approx([0.0, 7.0, 7.0, 1.3, 0.0])
    assert days.wanted_l.tolist() == [31.0, 31.0, 62.0, 62.0, 62.0]
    assert (days.start, days.rule, days.floor_l, days.start_l, days.truck_l) == (
        DECEMBER.start,
        BEFORE,
        90.0,
        100.0,
        700.0,
    )
    old = all_days([feed()], use, DECEMBER, hut(), 0.0)
    assert old.discarded_l.tolist() == [0.0] * 5
    assert old.inflow_l.tolist() == pytest.approx([88.0, 178.0, 25.0, 0.0, 0.0])


def test_every_month_draws_its_own() -> None:
    """Each of the 31 days before the first of a month and the day itself, over a year with 29 February."""
    rain = DailyRain("gauge", datetime.date(2020, 1, 1), (0.0,) * 366)
    use = Use(tuple(float(month) for month in range(1, 13)), Working("by hand"))
    wanted = all_days([feed()], use, rain, hut(), 0.0).wanted_l
    expected = [float((rain.start + datetime.timedelta(days=day)).month) for day in range(366)]
    assert wanted.tolist() == expected


def test_what_is_drawn_is_the_jobs_or_people_times_litres() -> None:
    """3 x 227 = 681 by settings; 4 of the job, 5 of the command before them; by what it is used for 100 + 30."""
    plain = hut()
    count, each = plain.settings.term("tank_people_if_not_given"), plain.settings.term("tank_litres_a_day")
    rule = "people x litres a person draws a day"
    assert use_of(plain.job, plain.settings) == Use((681.0,) * 12, Working(rule, (count, each)))
    four = hut(water_use={"people": 4, "litres_a_day": 150})
    own = Term("litres a person draws a day", 150.0, "L", SET_IN_JOB)
    people = Term("people", 4.0, "people", SET_IN_JOB)
    assert use_of(four.job, four.settings) == Use((600.0,) * 12, Working(rule, (people, own)))
    asked = Term("people", 5.0, "people", ref="--people")
    assert use_of(four.job, four.settings, 5.0) == Use((750.0,) * 12, Working(rule, (asked, own)))
    split = hut(water_use={"people": 4, "by_use": {"laundry": 100, "garden": 30}})
    parts = (Term("laundry", 100.0, "L", SET_IN_JOB), Term("garden", 30.0, "L", SET_IN_JOB))
    assert use_of(split.job, split.settings) == Use((520.0,) * 12, Working(rule, (people, *parts)))
    by_month = [100.0 + 10.0 * month for month in range(12)]
    months = hut(water_use={"by_month": by_month})
    terms = tuple(Term(f"litres a day in month {n}", 90.0 + 10.0 * n, "L", SET_IN_JOB) for n in range(1, 13))
    use = use_of(months.job, months.settings)
    assert use == Use(tuple(by_month), Working("litres that all draw a day, by month", terms))
    # 31 x (100 + 120 + 140 + 160 + 170 + 190 + 210), 28.25 x 110, 30 x (130 + 150 + 180 + 200), over 365.25
    assert use.mean_l == pytest.approx((31 * 1090 + 28.25 * 110 + 30 * 660) / 365.25)
    with pytest.raises(JobError) as caught:
        use_of(months.job, months.settings, 2.0)
    assert str(caught.value) == "water_use.by_month gives what all draw: leave out --people, or water_use.by_month"


def _size(volume: float, by_volume: float, **more: float) -> SizeResult:
    bare = SizeResult(volume, 1.0, by_volume, 0, 0, None, 2020, 0.0, 0, 900.0, 0.0, 0.0, 500.0, 0.0, 0.0, 0.0, 0.0, 0)
    return replace(bare, **more)  # type: ignore[arg-type]


def test_a_store_that_is_too_small_says_whether_any_is_enough() -> None:
    """500 L given of 500 / 0.5 = 1000 wanted: the roof sheds 900, or 1000, which is enough for some size."""
    house = hut()
    bare = reckon_tank(house, None)
    source = "common practice, no source"
    (no_size,) = _enough(_size(7000.0, 0.5), bare, house)
    assert no_size == Finding(
        "store-too-small",
        Severity.WARN,
        "The store of 7000 L gives 50.0 % of the water wanted. The roof sheds less than is wanted: no size is enough.",
        "Lead more roof to the store, or draw less.",
        source=source,
    )
    (larger,) = _enough(_size(7000.0, 0.5, run_off_l=1000.0), bare, house)
    assert larger == Finding(
        "store-too-small",
        Severity.WARN,
        "The store of 7000 L gives 50.0 % of the water wanted.",
        "Take a larger store, lead more roof to it, or draw less.",
        source=source,
    )
    assert _enough(_size(7000.0, 0.95), bare, house) == ()
    assert _enough(_size(7000.0, 0.0), bare, house)[0].text == "The store of 7000 L gives 0.0 % of the water wanted."


# --- the whole reckoning -----------------------------------------------------------------------------------------------

TANKS_NOTE = Finding(
    "tanks-not-given",
    Severity.NOTE,
    "The job names no tank: every downpipe to the ground is led to one of 25 000 L.",
    "Add to the job: `tanks: [{name: tank, volume_l: 25000}]`.",
)
PEOPLE_NOTE = Finding(
    "people-not-given",
    Severity.WARN,
    "The job does not say how many draw water: 3 people were taken.",
    "Add to the job: `water_use: {people: 4}`.",
)
RAIN_ADVICE = "Give daily rain of the place, date and mm: takeoff tank JOB --rain FILE."


def test_without_rain_the_yearly_figure_is_all_there_is() -> None:
    """enHealth, Appendix B: 0.8 x (1000 - 24) x 85 m2 = 66 368 L."""
    house = hut(site={"rain_mm_per_year": 1000})
    found = reckon_tank(house, None)
    term = house.settings.term
    assert found.yearly_l == pytest.approx(66_368.0)
    assert found.yearly == Working(
        "A x (rain - B) x plan area",
        (
            term("tank_runoff_share"),
            Term("rain of a year", 1000.0, "mm", SET_IN_JOB),
            term("tank_loss_mm_per_year"),
            Term("plan area led to the store", 85.0, "m2"),
        ),
    )
    assert found.marked == (15_000, 20_000, 25_000, 30_000, 40_000)
    assert (found.chosen_l, found.knee_l, found.results, found.months, found.level) == (25_000.0, None, (), (), ())
    text = "No rain was given: the store cannot be reckoned day by day; the yearly figure is all there is."
    note = Finding("rain-file-not-given", Severity.WARN, text, RAIN_ADVICE)
    assert found.findings == (note, TANKS_NOTE, PEOPLE_NOTE, *tank_cautions(house))


def test_without_any_rain_nothing_is_said_of_the_yield() -> None:
    found = reckon_tank(hut(tanks=[WET, REST], water_use={"people": 2}), None)
    text = "No rain was given, by the day or by the year: nothing can be said of what the store yields."
    assert found.findings[0] == Finding("rain-file-not-given", Severity.WARN, text, RAIN_ADVICE)
    assert [finding.code for finding in found.findings[1:3]] == ["tank-inlet-too-high", "tank-drinking-water"]
    assert (found.yearly_l, found.yearly, found.chosen_l) == (None, None, 13_000.0)


@pytest.mark.parametrize("sizes", [(800.0,), (900.0, 799.0, 12.0)])
def test_sizes_that_dead_store_and_reserve_fill_are_refused(sizes: tuple[float, ...]) -> None:
    small = next(size for size in sizes if size <= 800.0)
    with pytest.raises(UsageError) as caught:
        reckon_tank(hut(tanks=[WET, REST]), None, sizes_l=sizes)
    assert str(caught.value) == f"--sizes: {small:g} L is no more than dead store and reserve, 800 L"


def test_level_roof_is_led_to_no_tank() -> None:
    """Planes of 0.05 degrees are level and drain by outlets of their own, those of 0.1 are not."""
    house = hut(tanks=[REST], water_use={"people": 2}, site={"rain_mm_per_year": 900})
    (roof,) = house.roofs
    areas = {"P1": (0.05, 2_500_000.0), "P2": (0.1, 8e6), "P4": (0.0, 1_250_000.0)}
    planes = tuple(
        replace(plane, pitch_deg=areas.get(plane.id, (25.0, 0.0))[0], plan_area_mm2=areas.get(plane.id, (0.0, 9e6))[1])
        for plane in roof.planes
    )
    rain = DailyRain("gauge", datetime.date(2010, 1, 1), (3.0,) * 3652)
    found = reckon_tank(replace(house, roofs=(replace(roof, planes=planes),)), rain)
    text = "3.75 m2 of level roof drain by outlets of their own and are led to no tank here."
    assert found.findings[0] == Finding("level-roof-not-to-tank", Severity.NOTE, text)
    crumb = tuple(replace(plane, pitch_deg=0.0, plan_area_mm2=2_500.0) for plane in planes)
    found = reckon_tank(replace(house, roofs=(replace(roof, planes=crumb),)), rain)  # 4 x 0.0025 m2
    assert "level-roof-not-to-tank" not in {finding.code for finding in found.findings}


@pytest.mark.parametrize(("days", "short"), [(3652, False), (3649, False), (3648, True), (400, True)])
def test_less_than_ten_years_of_rain_is_too_short(days: int, short: bool) -> None:
    """3652 days are 9.9986 years: ten years of which some have no 29 February; a hundredth of a year may lack."""
    heard = Finding("rain-mended", Severity.NOTE, "A day was mended.")
    rain = DailyRain("gauge", datetime.date(2010, 1, 1), (3.0,) * days, findings=(heard,))
    found = reckon_tank(hut(tanks=[REST], water_use={"people": 0.1}), rain)
    note = Finding(
        "rain-too-short",
        Severity.WARN,
        f"gauge holds {days / 365.25:.1f} years of rain: too few to have met a dry spell that will come.",
        "Take ten to thirty years.",
    )
    assert [finding for finding in found.findings if finding.code.startswith("rain-")] == [
        heard,
        *[note] * short,
    ]


def test_a_job_without_tanks_takes_the_least_size_that_is_enough() -> None:
    """1 mm a day on 85 m2: 76 L less 17 L of first flush = 59 L a day. Wanted 59 a day but 590 in January, so 531 x 31 =
    16 461 L are lacking each January, which stands against 59 x 334 + 590 x 31 = 37 996 a year; what the tank spills is
    nothing, since no more comes in than is drawn: every size gives 59 x 365 = 21 535 of 37 996, none is enough and the
    largest is taken. Wanted 1 a day, the least is enough at once; the sizes are kept in order."""
    rain = DailyRain("gauge", datetime.date(2019, 1, 1), (1.0,) * 365)
    sizes = (9000.0, 1000.0, 4000.0)
    lacking = reckon_tank(hut(water_use={"by_month": [590, *[59] * 11]}), rain, sizes_l=sizes)
    assert (lacking.chosen_l, lacking.marked) == (9000.0, (1000.0, 4000.0, 9000.0))
    enough = reckon_tank(hut(water_use={"by_month": [1] * 12}), rain, sizes_l=sizes)
    assert (enough.chosen_l, len(enough.level)) == (1000.0, 365)
    # after spillage nothing can be drawn on the first day; 59 come in and 1 a day goes
    assert enough.level[0] == (datetime.date(2019, 1, 1), pytest.approx(59.0))
    assert enough.level[1] == (datetime.date(2019, 1, 2), pytest.approx(117.0))
    # the job's own store is kept, enough or not
    named = reckon_tank(hut(tanks=[{"volume_l": 3000}], water_use={"by_month": [1] * 12}), rain, sizes_l=sizes)
    assert named.chosen_l == 3000.0
    assert {*sizes, 3000.0} <= {one.volume_l for one in named.results}


def test_means_of_months_give_a_balance_of_the_whole_store() -> None:
    """Rain of 10 mm a month on 54 L a mm (60 m2 at 0.9) and 4000 L full; 20 L a day are drawn: January 4000 + 540 - 620 =
    3920 are left; over the year 12 x 540 - 365.25 x 20 = -825: it lacks at the driest 31 x 20 - 540 = 80 in each of seven
    months, 60 in four, 25 in February."""
    house = hut(tanks=[{"volume_l": 4000, "pipes": ["DP1"]}], water_use={"by_month": [20] * 12})
    heard = Finding("rain-mended", Severity.NOTE, "A month was mended.")
    found = reckon_tank(house, MonthlyRain("means", (10.0,) * 12, (heard,)))
    assert (found.months[0].run_off_l, found.months[0].left_l) == pytest.approx((540.0, 3920.0))
    assert found.yearly_l == pytest.approx(0.8 * 96 * 60)
    assert found.yearly is not None
    assert found.yearly.terms[1] == Term("rain of a year", 120, "mm", None, "means")
    note = Finding(
        "month-by-month",
        Severity.NOTE,
        "Only means of months are known: this is a balance of an average year, month by month. It says nothing of"
        " reliability, since no month is a mean.",
        "Take daily rain of the place over ten years or more: takeoff tank JOB --rain FILE.",
    )
    assert found.findings[-2:] == (heard, note)
    assert found.drawdown_l == pytest.approx(365.25 * 20 - 12 * 540)


def test_a_new_roof_has_a_caution_of_its_own() -> None:
    plain, new = hut(), hut(rain={"new_roof": True})
    assert tank_cautions(new)[:-1] == tank_cautions(plain)
    assert tank_cautions(new)[-1] == Finding(
        "tank-new-roof",
        Severity.NOTE,
        "The roof is new: its first 25 mm of rain are not led to the tank here.",
        "Keep the downpipes off the tank until it has rained so much, and while anyone paints the roof.",
        source=new.settings.basis("tank_new_roof_mm").words(),
    )
