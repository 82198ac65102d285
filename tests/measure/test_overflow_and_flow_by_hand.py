"""Overflow, internal gutters and flow, by hand, with every sentence."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import radians, tan
from pathlib import Path

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.rainwater.gutter_checks import gutter_findings
from takeoff.measure.rainwater.hydraulic import flow_findings, flow_quantities
from takeoff.measure.rainwater.internal_gutters import (
    depth_wanted_mm,
    internal_findings,
    internal_need,
    internal_quantities,
    water_section_mm2,
)  # fmt: skip
from takeoff.measure.rainwater.overflow import check_overflow, overflow_ways, towns_words
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.code_rules import RuleSet
from takeoff.model.drainage import PlaneShare
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import Need
from takeoff.model.rain_rules import (
    BurstRow,
    FreeboardRow,
    InternalRow,
)  # fmt: skip
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import NONE, SLOTS, TOWNS, WEIR, chosen, job, pipe, plan, rules, run

# --- internal gutters -------------------------------------------------------------------------------------------------


def internal_rules() -> RuleSet:
    return rules(
        freeboard=(FreeboardRow("external", 15.0, NONE), FreeboardRow("internal", 30.0, NONE)),
        internal=(InternalRow(50.0, 280.0, NONE),),
        bursts=(BurstRow("valley", 9.0, NONE), BurstRow("internal_dwelling", 3.1, NONE)),
    )


def test_what_an_internal_gutter_holds_and_needs(settings: Settings) -> None:
    """240 wide and 90 deep, 30 of it over the water: 14 400 mm2. 18 000 need 18 000 / 240 + 30 = 105 deep, 600 the least of
    50. Its lining: 240 + 2 x 90 + 2 x 40 = 500. Overflow: 60 m2 x F x 130 x 3.1 / 3600."""
    given = {"internal_gutter_width_mm": 240, "internal_gutter_depth_mm": 90, "internal_gutter_over_mm": 40}
    made = chosen(settings, rain=130.0, table=internal_rules(), **given)
    assert water_section_mm2(made) == 14_400.0
    assert [depth_wanted_mm(section, made) for section in (18_000.0, 600.0)] == [105.0, 50.0]
    assert depth_wanted_mm(600.0, chosen(settings, table=internal_rules(), internal_gutter_width_mm=0)) == 50.0
    assert water_section_mm2(chosen(settings, table=internal_rules(), internal_gutter_depth_mm=20)) == 0.0
    gutter, worst, other = run(internal=True), pipe(gutter_mm2=18_000.0), pipe("DP2", gutter_mm2=600.0)
    rows = internal_quantities((run(), gutter), (plan(other, worst),), made)
    flow = 60.0 * (1 + 0.5 * tan(radians(25))) * 130.0 * 3.1 / 3600.0
    assert [(row.id, row.figure, row.unit) for row in rows[4:]] == []
    assert [(row.id, row.item, row.figure, row.unit, row.refs) for row in rows] == [
        ("internal gutter G1 section", "Section of water wanted, internal gutter G1", 18_000.0, "mm2", ("G1",)),
        ("internal gutter G1 depth", "Depth wanted, internal gutter G1", 105.0, "mm", ("G1",)),
        ("internal gutter G1 girth", "Girth of lining, internal gutter G1", 500.0, "mm", ("G1",)),
        ("internal gutter G1 overflow", "Overflow wanted, internal gutter G1", pytest.approx(flow), "L/s", ("G1",)),
    ]
    term = made.settings.term
    section = Term("section of water wanted", 18_000, "mm2", ref="DP1")
    assert [row.working.terms for row in rows] == [
        (term("area_rule_internal_mm2_per_m2"), section),
        (section, term("internal_gutter_width_mm"), Term("freeboard", 30.0, "mm")),
        (term("internal_gutter_width_mm"), term("internal_gutter_depth_mm"), term("internal_gutter_over_mm")),
        (
            Term("effective catchment", round(worst.wind_mm2 / 1e6, 3), "m2", ref="DP1"),
            made.rain,
            Term("short burst", 3.1, "times"),
        ),
    ]
    assert internal_quantities((gutter,), (plan(),), made) == ()


def test_what_is_said_of_an_internal_gutter(settings: Settings) -> None:
    """It holds 14 400 of 18 000 wanted: 105 deep would do, put in to the next half; the pipe of 4300 is less than half."""
    given = {"internal_gutter_width_mm": 240, "internal_gutter_depth_mm": 90, "internal_overflow_l_s": 0}
    made = chosen(settings, rain=130.0, table=internal_rules(), **given)
    gutter, worst = run(internal=True), pipe(gutter_mm2=18_000.0)
    flow = 60.0 * (1 + 0.5 * tan(radians(25))) * 130.0 * 3.1 / 3600.0
    source = settings.basis("area_rule_internal_mm2_per_m2").words()
    told, small, outlet, overflow = gutter_findings(gutter, (pipe("DP2", gutter_mm2=9.0), worst), made)
    assert told == Finding(
        "internal-gutter",
        Severity.NOTE,
        "G1 is an internal gutter, 240 wide and 90 deep: its lining is among the flashings, 30 mm of it stay over the water."
        " It holds 14400 mm2, 18000 are needed. Over 280 mm wide it is walked in.",
        "Give it a layer under the lining that carries it, and see that it can be cleaned.",
        ("G1", "E1"),
        source="a book, a clause",
    )
    assert small == Finding(
        "internal-gutter-too-small",
        Severity.WARN,
        "G1, 240 wide and 90 deep, holds 14400 mm2 of water; DP1 needs 18000 mm2 by the area rule.",
        "Make it deeper: `settings: {internal_gutter_depth_mm: 106}`, or wider.",
        ("G1", "DP1"),
        worst.at_mm,
        source,
    )
    assert outlet == Finding(
        "internal-outlet-too-small",
        Severity.WARN,
        "Pipe P has 4300 mm2; an outlet of G1 needs 9000 mm2.",
        "Take a larger downpipe.",
        ("G1", "DP1"),
        worst.at_mm,
        source,
    )
    assert overflow == Finding(
        "internal-overflow",
        Severity.WARN,
        f"Overflow of G1 is not given; beside DP1 {flow:.1f} L/s are wanted, 3.1 x the design rain.",
        "Size it apart, its lip below the top of the gutter, and give what it carries:"
        f" `settings: {{internal_overflow_l_s: {flow + 0.05:.1f}}}`.",
        ("G1", "DP1"),
        worst.at_mm,
    )
    some = chosen(settings, rain=130.0, table=internal_rules(), internal_overflow_l_s=2.5, internal_gutter_width_mm=240)
    assert internal_findings(gutter, (worst,), some)[-1].text.startswith("Overflow of G1 carries 2.5 L/s; beside DP1 ")
    enough = chosen(settings, rain=130.0, table=internal_rules(), **{**given, "internal_overflow_l_s": flow})
    assert [one.code for one in internal_findings(gutter, (pipe(gutter_mm2=8602.0),), enough)] == ["internal-gutter"]
    assert [one.code for one in internal_findings(gutter, (pipe(gutter_mm2=8602.1),), enough)][1:] == [
        "internal-outlet-too-small"
    ]
    held = [one.code for one in internal_findings(gutter, (pipe(gutter_mm2=14_400.0),), enough)]
    assert "internal-gutter-too-small" not in held
    assert internal_findings(gutter, (), enough) == ()
    # what is short by a crumb of floating point is not
    crumbs = chosen(settings, rain=130.0, table=internal_rules(), **{**given, "internal_overflow_l_s": flow - 5e-10})
    assert [one.code for one in internal_findings(gutter, (pipe(gutter_mm2=14_400.0 + 5e-7),), crumbs)] == [
        "internal-gutter", "internal-outlet-too-small",
    ]  # fmt: skip
    little = chosen(settings, rain=130.0, table=internal_rules(), **{**given, "internal_overflow_l_s": 0.5})
    assert internal_findings(gutter, (worst,), little)[-1].text.startswith("Overflow of G1 carries 0.5 L/s; ")
    silent = chosen(settings, table=rules())
    assert internal_findings(gutter, (pipe(),), silent)[0].text.endswith("are needed.")


def test_outlets_of_internal_gutters_are_counted(settings: Settings) -> None:
    made = chosen(settings)
    plans = (plan(pipe(), pipe("DP2")),)
    assert internal_need((run(),), plans, made) == Need("rainwater")
    assert internal_need((run(id="G9", internal=True),), plans, made) == Need("rainwater")
    counted = (Term("DP1", 1, "each", ref="DP1"), Term("DP2", 1, "each", ref="DP2"))
    found = internal_need((run(internal=True),), plans, made)
    outlet, overflow = found.quantities
    words = ("one a downpipe of an internal gutter", "one beside each outlet, so that a blocked one spills outside")
    refs = ("DP1", "DP2")
    assert outlet == Quantity(
        "internal gutter outlets", "Internal gutter outlet", 2.0, "each", refs, Working(words[0], counted)
    )
    assert overflow == Quantity(
        "internal gutter overflows", "Internal gutter overflow", 2.0, "each", refs, Working(words[1], counted)
    )


# --- overflow ---------------------------------------------------------------------------------------------------------


def test_overflow_by_the_worked_example_of_the_housing_provisions(settings: Settings) -> None:
    """HP22, 7.4.3: 60 m2 bring 5.4 L/s at 325 mm/h; a weir of 0.5 and 10 m of slots at 0.5 a metre carry 5.5."""
    made = chosen(settings, table=rules(overflow=(SLOTS, WEIR), towns=TOWNS))
    level = replace(pipe(gutter_length_mm=10_000.0), shares=(PlaneShare("P1", 60e6, 0.0),))
    found, findings = check_overflow(
        (run(),), (plan(level),), job(325.0, ("end_weir", "front_slots", "end_weir")), made
    )
    rain = Term("rare_rain_mm_per_h", 325.0, "mm/h", SET_IN_JOB)
    wanted, given = found
    assert wanted == Quantity(
        "overflow DP1 wanted", "Overflow wanted at DP1", pytest.approx(60 * 325 / 3600), "L/s", ("DP1",), wanted.working
    )
    assert wanted.working.terms[-1] == rain
    assert wanted.working.terms[0] == Term("plan area", 60.0, "m2", ref="P1")
    assert given == Quantity(
        "overflow DP1 given", "Overflow given at DP1", 5.5, "L/s", ("DP1",),
        Working(
            "sum of what each way carries: a metre of gutter, or one a downpipe",
            (
                Term("gutter that the downpipe drains", 10.0, "m", ref="DP1"),
                Term("end_weir", 0.5, "L/s", NONE, "a weir"),
                Term("front_slots", 0.5, "L/s a metre", NONE, "slots"),
            ),
        ),
    )  # fmt: skip
    assert findings == ()
    short = replace(level, id="DP2", gutter_length_mm=9800.0)  # 5.4 against 5.4167
    _, findings = check_overflow((run(),), (plan(level, short),), job(325.0, ("end_weir", "front_slots")), made)
    assert findings == (
        Finding(
            "overflow-too-small",
            Severity.WARN,
            "Overflow of DP2 carries 5.4 L/s, 5.4 are wanted in 325 mm/h.",
            "Name another way under rainwater: overflow, or add a downpipe.",
            ("DP2",),
            short.at_mm,
            "a book, a clause",
        ),
    )
    worse = replace(level, id="DP3", gutter_length_mm=4000.0)
    _, (both,) = check_overflow((run(),), (plan(worse, level, short),), job(325.0, ("end_weir", "front_slots")), made)
    assert both.text == "Overflow of DP3 carries 2.5 L/s, 5.4 are wanted in 325 mm/h. Too small at DP3, DP2."
    assert both.refs == ("DP3", "DP2")


def test_overflow_that_is_just_enough(settings: Settings) -> None:
    """18 m2 bring 0.5 L/s at 100 mm/h, just what a weir carries; a crumb of floating point more is no more; 1 mm/h is rain."""
    made = chosen(settings, table=rules(overflow=(SLOTS, WEIR)))
    for area, count in ((18e6, 0), (18.000000018e6, 0), (18.1e6, 1)):
        level = replace(pipe(), shares=(PlaneShare("P1", area, 0.0),))
        assert len(check_overflow((run(),), (plan(level),), job(100.0, ("end_weir",)), made)[1]) == count
    odd = replace(pipe(gutter_length_mm=8123.4567))
    quantities, _ = check_overflow((run(),), (plan(odd),), job(1.0, ("end_weir",)), made)
    assert quantities[1].working.terms[0] == Term("gutter that the downpipe drains", 8.123, "m", ref="DP1")


def test_the_overflow_that_lacks_most_is_told(settings: Settings) -> None:
    """In 360 mm/h 60 m2 bring 6 L/s where 10 m of slots carry 5; 50 m2 bring 5 where 4 m carry 2."""
    other = replace(NONE, clause="another clause")
    made = chosen(settings, table=rules(overflow=(SLOTS, replace(WEIR, l_s=0.0001, basis=other))))
    one = replace(pipe(gutter_length_mm=10_000.0), shares=(PlaneShare("P1", 60e6, 0.0),))
    two = replace(pipe("DP2", gutter_length_mm=4000.0), shares=(PlaneShare("P1", 50e6, 0.0),))
    _, (found,) = check_overflow((run(),), (plan(one, two),), job(360.0, ("front_slots", "end_weir")), made)
    assert found.text == "Overflow of DP2 carries 2.0 L/s, 5.0 are wanted in 360 mm/h. Too small at DP1, DP2."
    assert (found.refs, found.source) == (("DP1", "DP2"), "a book, a clause")


def test_what_is_said_where_rain_or_overflow_is_not_given(settings: Settings) -> None:
    made = chosen(settings, table=rules(overflow=(SLOTS, WEIR), towns=TOWNS))
    none = chosen(settings, table=rules(overflow=(SLOTS, WEIR)), rare_rain_if_not_given_mm_per_h=200)
    rare = "Add to the job, with the rarer storm of the place: `site: {rare_rain_mm_per_h: 200}`."
    gutters, plans = (run(),), (plan(pipe(), pipe("DP2", 50e6)),)
    assert check_overflow(gutters, plans, job(), made) == ((), ())
    quantities, (unchecked,) = check_overflow(gutters, plans, job(None, ("front_slots",)), made)
    assert quantities == ()
    assert unchecked == Finding(
        "rare-rain-not-given",
        Severity.WARN,
        "The job names overflow but no rain of the rarer storm: the overflow was not checked.",
        f"{rare} Published examples [mm/h]: Upper Ferry 180 (a book, a clause).",
    )
    quantities, (taken, missing) = check_overflow(gutters, plans, job(), none)
    assert [row.id for row in quantities] == ["overflow DP1 wanted", "overflow DP2 wanted"]
    assert taken == Finding(
        "rare-rain-not-given",
        Severity.WARN,
        "The job gives no rain of the rarer storm: 200 mm/h was taken for overflow.",
        rare,
        source=none.settings.basis("rare_rain_if_not_given_mm_per_h").words(),
    )
    flow = 60.0 * (1 + 0.5 * tan(radians(25))) * 200.0 / 3600.0
    assert missing == Finding(
        "overflow-not-given",
        Severity.WARN,
        f"The job names no overflow: full gutters must spill up to {flow:.1f} L/s outwards (DP1).",
        "Say in the job how they spill: `rainwater: {overflow: [front_slots]}`, or by others of front_slots, end_weir.",
        ("DP1", "DP2"),
    )
    assert check_overflow((run(internal=True),), plans, job(200.0, ("front_slots",)), made) == ((), ())
    other = replace(plans[0], run="G9")
    assert check_overflow(gutters, (other,), job(200.0, ("front_slots",)), made) == ((), ())
    assert towns_words(made) == " Published examples [mm/h]: Upper Ferry 120, Lower Ferry 95.5 (a book, a clause)."
    assert towns_words(chosen(settings, table=rules())) == ""


def test_ways_that_no_table_has_are_refused(settings: Settings) -> None:
    made = chosen(settings, table=rules(overflow=(SLOTS, WEIR)))
    assert overflow_ways(("end_weir", "front_slots", "end_weir"), made) == (WEIR, SLOTS)
    with pytest.raises(JobError) as caught:
        overflow_ways(("end_wier", "zzz"), made)
    assert caught.value.faults == (
        "rainwater.overflow: unknown way end_wier; did you mean end_weir?",
        "rainwater.overflow: unknown way zzz; known: front_slots, end_weir",
    )
    with pytest.raises(JobError) as caught:
        overflow_ways(("zzz",), chosen(settings, table=rules()))
    assert caught.value.faults == ("rainwater.overflow: unknown way zzz; known: none by this code",)


# --- flow -------------------------------------------------------------------------------------------------------------


def test_flow_to_a_pipe_against_what_is_given(settings: Settings) -> None:
    """60 m2 x 1.2332 x 120 x 0.9 / 3600 = 2.2197 L/s; 50 m2 1.8498."""
    made = chosen(settings, rain=120.0, runoff_coefficient=0.9, gutter_carries_l_s=2.0, downpipe_carries_l_s=1.5)
    f25 = 1 + 0.5 * tan(radians(25))
    first, second = pipe(), pipe("DP2", 50e6)
    area, flow, *_ = flow_quantities((plan(first, second),), made)
    assert (area.id, area.item, area.unit, area.refs) == (
        "catchment DP1 effective", "Effective catchment of DP1 in wind", "m2", ("DP1", "G1"),
    )  # fmt: skip
    assert (flow.id, flow.item, flow.unit, flow.refs) == ("catchment DP1 flow", "Flow to DP1", "L/s", ("DP1",))
    assert (area.figure, flow.figure) == pytest.approx((60 * f25, 60 * f25 * 120 * 0.9 / 3600))
    assert flow.working.terms[-2:] == (made.rain, made.settings.term("runoff_coefficient"))
    gutter, both = flow_findings((plan(second, first),), made)
    advice = "Add a downpipe there, or take a larger gutter or pipe with its own figure."
    assert gutter == Finding(
        "gutter-over-its-flow",
        Severity.WARN,
        "2.22 L/s come to DP1 in 120 mm/h; the gutter carries 2 L/s by the figure given.",
        advice,
        ("DP1",),
        first.at_mm,
        settings.basis("gutter_carries_l_s").words(),
    )
    assert both == Finding(
        "downpipe-over-its-flow",
        Severity.WARN,
        "2.22 L/s come to DP1 in 120 mm/h; a downpipe carries 1.5 L/s by the figure given. Over it too: DP2.",
        advice,
        ("DP2", "DP1"),
        first.at_mm,
        settings.basis("downpipe_carries_l_s").words(),
    )
    assert flow_findings((plan(first),), chosen(settings, rain=120.0)) == ()
    # 36 m2 of level roof bring 1 L/s in 100 mm/h: just what is given, a crumb more is no more; half a litre is a figure
    for carries, area, count in (
        (1.0, 36e6, 0),
        (1.0, 36.000000018e6, 0),
        (1.0, 36.1e6, 1),
        (0.5, 36e6, 1),
        (0.0, 36e6, 0),
    ):
        own = chosen(settings, rain=100.0, runoff_coefficient=1.0, gutter_carries_l_s=carries, downpipe_carries_l_s=0)
        level = replace(pipe(), shares=(PlaneShare("P1", area, 0.0),))
        assert len(flow_findings((plan(level),), own)) == count
