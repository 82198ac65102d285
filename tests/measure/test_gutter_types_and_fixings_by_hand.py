"""The table of gutter types, what gutters are fixed with, what is told of pipes and ground, by hand, with every sentence."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from math import pi, radians, tan
from pathlib import Path

import pytest

from takeoff.basics.errors import Fault, JobError
from takeoff.measure.rainwater.chosen import Chosen, HoleBelow, choose
from takeoff.measure.rainwater.ground_below import check_ground
from takeoff.measure.rainwater.gutter_fixings import clip_screws, fascia_fixings, gutter_fixings, seams_of
from takeoff.measure.rainwater.gutter_types import least_section_mm2, served_m2, serves, type_capacity
from takeoff.measure.rainwater.limits import (
    CAPACITY,
    LENGTH,
    SECTION,
    SPACING,
    VALLEY,
)
from takeoff.measure.rainwater.pipe_findings import Hand, plan_findings, snapped_findings
from takeoff.measure.rainwater.placing import Breach
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.code_rules import RuleSet
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.products import Catalogue, DownpipeProfile
from takeoff.model.rain_rules import (
    GutterTypeRow,
    NeededRow,
    PipeRow,
)  # fmt: skip
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import GUTTER, LIMITS, NONE, OWN, PIPE, chosen, foot, job, pipe, plan, rules, run

# --- the table of gutter types ----------------------------------------------------------------------------------------

TYPES = (
    GutterTypeRow("A", "rectangular", NONE, 6500.0), GutterTypeRow("B", "rectangular", NONE, 7900.0),
    GutterTypeRow("C", "D", NONE, 5200.0), GutterTypeRow("E", "D", NONE, 9000.0), GutterTypeRow("F", "any", NONE),
)  # fmt: skip
NEEDED = (NeededRow(120.0, ("AC", "AC", "AE"), NONE), NeededRow(200.0, ("AC", "B", "F"), NONE))
PIPES = (
    PipeRow("AB", NONE, round_mm=90.0),
    PipeRow("AB", NONE, wide_mm=100.0, deep_mm=50.0),
    PipeRow("C", NONE, round_mm=75.0),
)


def type_rules() -> RuleSet:
    return rules(types=TYPES, needed=NEEDED, needed_areas_m2=(30.0, 50.0, 70.0), pipes=PIPES)


def test_types_that_serve_where_the_table_names_others() -> None:
    rain = type_rules().rain
    assert [serves(kind, "AC", rain) for kind in ("A", "B", "C", "E", "F", "X")] == [
        True,
        True,
        True,
        True,
        False,
        False,
    ]
    assert [serves(kind, "B", rain) for kind in ("A", "B", "E")] == [False, True, False]
    assert [serves(kind, "F", rain) for kind in ("B", "F")] == [False, True]
    assert [served_m2(kind, 120.0, rain) for kind in ("A", "B", "C", "E", "X")] == [70.0, 70.0, 50.0, 70.0, 0.0]
    assert [served_m2(kind, 120.1, rain) for kind in ("A", "B", "E")] == [30.0, 50.0, 30.0]
    assert served_m2("A", 200.1, rain) == 0.0


def test_capacity_by_the_table_of_gutter_types(settings: Settings) -> None:
    """A at 130 mm/h serves 30 m2 of catchment: 30 / F in plan. Its least pipe is 100 x 50: 4300 mm2 is too little, within a
    square millimetre enough."""
    made = chosen(settings, "gutter_types", rain=130.0, table=type_rules())
    made = replace(made, gutter=replace(GUTTER, type="A"))
    f25 = 1 + 0.5 * tan(radians(25))
    found = type_capacity(run(), made)
    assert found.plan_m2 == pytest.approx(30.0 / f25)
    assert found.working.terms[:3] == (
        Term("type", "A", "", OWN["*"]), made.rain, Term("catchment of the table", 30.0, "m2", NONE, "row of 200 mm/h"),
    )  # fmt: skip
    assert (found.working.terms[3].name, found.working.terms[3].value) == ("F", round(f25, 4))
    assert found.findings == (
        Finding(
            "downpipe-not-for-gutter",
            Severity.WARN,
            "Pipe P has 4300 mm2, too little for a gutter of type A; the least is 100 x 50 of 5000 mm2.",
            "Take a larger downpipe.",
            ("p",),
            source="a book, a clause",
        ),
    )
    for area, codes in ((4999.0, []), (4998.9, ["downpipe-not-for-gutter"])):
        larger = replace(made, pipe=replace(PIPE, area_mm2=area))
        assert [one.code for one in type_capacity(run(), larger).findings] == codes
    of_c = replace(made, gutter=replace(GUTTER, type="C"), pipe=replace(PIPE, area_mm2=4000.0))
    assert type_capacity(run(), of_c).findings[0].text == (
        f"Pipe P has 4000 mm2, too little for a gutter of type C; the least is 75 round of {pi / 4 * 75**2:.0f} mm2."
    )
    of_e = replace(made, gutter=replace(GUTTER, type="E"))
    assert type_capacity(run(), of_e).findings[0].text == "Pipe P has 4300 mm2, too little for a gutter of type E."
    advice = "Take another gutter, or have it sized by the drainage standard."
    for changed, why in (
        (replace(made, gutter=GUTTER), "Gutter G has no type in it"),
        (replace(made, rain=Term("r", 250.0, "mm/h")), "250 mm/h is beyond it"),
        (replace(made, gutter=replace(GUTTER, type="X")), "at 130 mm/h type X serves none of its catchments"),
    ):
        capacity = type_capacity(run(), changed)
        text = f"The table of gutter types says nothing of Gutter G: {why}. Its capacity was not checked."
        assert (capacity.plan_m2, capacity.findings) == (
            0.0, (Finding("gutter-not-in-table", Severity.WARN, text, advice, ("g",)),),
        )  # fmt: skip
    assert type_capacity(run(), replace(made, gutter=GUTTER)).working.terms[0].value == "none"
    beyond = type_capacity(run(), replace(made, rain=Term("r", 250.0, "mm/h"))).working.terms[2]
    assert beyond == Term("catchment of the table", 0.0, "m2", None, "beyond the table")


def test_the_least_section_that_the_table_of_types_asks_for(settings: Settings) -> None:
    """Up to 30 m2 A (6500) or C (5200); up to 50 at 200 mm/h B, 7900; F has no section; over 70 m2 the table ends."""
    made = chosen(settings, "gutter_types", rain=130.0, table=type_rules())
    flat = run(pitch=0.0)
    assert [least_section_mm2(area * 1e6, flat, made) for area in (30.0, 30.1, 50.1, 70.1)] == [
        5200.0,
        7900.0,
        0.0,
        0.0,
    ]
    assert least_section_mm2(29e6, run(), made) == 7900.0  # 29 x 1.233 = 35.8
    assert least_section_mm2(29e6, flat, replace(made, rain=Term("r", 250.0, "mm/h"))) == 0.0


# --- fixings ----------------------------------------------------------------------------------------------------------


def quantity(name: str, figure: float) -> Quantity:
    return Quantity(name, name, figure, "each", (), Working(""))


def test_what_seams_and_brackets_are_fixed_with(settings: Settings) -> None:
    """2 + 1 + 4 = 7 seams x 8 rivets x 1.1 = 61.6, 62; 7 x 500 mm of bead of 3000 a tube: 2; 30 brackets x 2 x 1.1 = 66."""
    made = chosen(settings, sealant_tube_mm=3000)
    rows = [quantity("gutter joiners", 2.0), quantity("gutter outlets", 1.0), quantity("gutter left stop ends", 4.0),
            quantity("gutter brackets", 30.0), quantity("gutter internal corners", 0.0), quantity("gutters", 99.0)]  # fmt: skip
    assert seams_of(rows) == {"gutter joiners": 2, "gutter left stop ends": 4, "gutter outlets": 1}
    counted = (Term("joiners", 2, "each"), Term("left stop ends", 4, "each"), Term("outlets", 1, "each"))
    term = made.settings.term
    rivets, sealant, screws = gutter_fixings(rows, made)
    assert rivets == Quantity(
        "gutter rivet", "Gutter rivet", 62.0, "each", (),
        Working("seams x so many each, with spares", (*counted, term("gutter_seam_rivets"), term("rivet_spare_percent"))),
    )  # fmt: skip
    assert sealant == Quantity(
        "gutter sealant", "Sealant for gutters, neutral cure, 300 mL", 2.0, "tube", (),
        Working("seams x bead / bead a tube gives, whole tubes", (*counted, term("gutter_seam_bead_mm"), term("sealant_tube_mm"))),
    )  # fmt: skip
    assert screws == Quantity(
        "gutter bracket screw", "Gutter bracket screw", 66.0, "each", (),
        Working(
            "brackets x so many each, with spares",
            (Term("brackets", 30, "each"), term("gutter_bracket_screws"), term("screw_spare_percent")),
        ),
    )  # fmt: skip
    pvc = replace(made, gutter=replace(GUTTER, system="pvc"))
    (cement,) = gutter_fixings([quantity("gutter joiners", 41.0)], pvc)
    assert cement == Quantity(
        "gutter cement", "Gutter cement", 2.0, "tin", (),
        Working("seams / what a tin serves, whole tins", (Term("joiners", 41, "each"), term("gutter_cement_seams"))),
    )  # fmt: skip
    assert gutter_fixings([quantity("gutter joiners", 40.0)], pvc)[0].figure == 1.0
    assert gutter_fixings([], made) == ()
    # 50 x 2 x 1.1 is 110 and a crumb of floating point
    assert gutter_fixings([quantity("gutter brackets", 50.0)], made)[0].figure == 110.0
    # 42 seams of 1.4 a tin are 30, 3 of 1.1 mm of 3.3 a tube 1, and crumbs of floating point
    crumbs = chosen(settings, gutter_cement_seams=1.4, gutter_seam_bead_mm=1.1, sealant_tube_mm=3.3)
    assert gutter_fixings([quantity("gutter joiners", 42.0)], replace(crumbs, gutter=pvc.gutter))[0].figure == 30.0
    assert gutter_fixings([quantity("gutter joiners", 3.0)], crumbs)[1].figure == 1.0
    none = chosen(settings, gutter_cement_seams=0, sealant_tube_mm=0)
    assert gutter_fixings([quantity("gutter outlets", 3.0)], replace(none, gutter=pvc.gutter))[0].figure == 3.0
    assert gutter_fixings([quantity("gutter outlets", 3.0)], none)[1].figure == 1500.0


def test_screws_of_clips_and_nails_of_fascia(settings: Settings) -> None:
    """7 clips x 2 x 1.1 = 15.4, 16. Boards of 6000 and 1200.5 on supports at 600: 11 + 3; a barge of 2000 at 900: 4; 18
    places x 2 x 1.1 = 39.6, 40. Metal: 14 brackets, the barge's 4 places nailed: 8.8, 9."""
    made = chosen(settings)
    term = made.settings.term
    assert clip_screws(0, made) == ()
    terms = (Term("clips", 7, "each"), term("downpipe_clip_screws"), term("screw_spare_percent"))
    assert clip_screws(7, made) == (
        Quantity(
            "downpipe clip screw",
            "Downpipe clip screw",
            16.0,
            "each",
            (),
            Working("clips x so many each, with spares", terms),
        ),
    )
    level, raking = [RunDemand("F1", "f", 6000.0), RunDemand("F2", "f", 1200.6)], [RunDemand("B1", "b", 2000.0)]
    spacing, outrigger = Term("spacing of supports", 600.0, "mm"), term("outrigger_spacing_mm")
    rest = (term("fascia_nails"), term("screw_spare_percent"))

    def nails(figure: float, places: int) -> Quantity:
        own = (Term("places", places, "each"), spacing, outrigger, *rest)
        return Quantity(
            "fascia nail", "Fascia nail", figure, "each", (), Working("places x so many each, with spares", own)
        )

    assert fascia_fixings(level, raking, False, 600.0, made) == (nails(42.0, 19),)
    bracket = Quantity(
        "fascia brackets", "Fascia bracket with screw", 15.0, "each", ("F1", "F2"),
        Working("each length of fascia: ceil(length / spacing) + 1", (spacing,)),
    )  # fmt: skip
    assert fascia_fixings(level, raking, True, 600.0, made) == (bracket, nails(9.0, 4))
    assert fascia_fixings([], [], True, 600.0, made) == ()
    assert fascia_fixings([RunDemand("F1", "f", 0.2)], [], True, 600.0, made)[0].figure == 2.0


# --- findings of a plan -----------------------------------------------------------------------------------------------

HAND = Hand((), False, (500.0, 40.0), ((7.0, 8.25),))
LINE = "rainwater: {downpipes_at: [[7, 8.2], [1500, 40], [6500.5, 40]]}"


def test_every_limit_that_is_not_kept_is_told(settings: Settings) -> None:
    """Pipes at 1000 and 6000.54; places are typed from the roof's own corner, at 500, 40."""
    made = replace(chosen(settings), pipes=(
        PIPE, DownpipeProfile("wide", "Wide", 9000.0, (3000,), OWN, (150.0, 120.0, 105.0, 90.0)),
        DownpipeProfile("next", "Next", 5000.0, (3000,), OWN, (110.0, 90.0, 80.0, 65.0)),
        DownpipeProfile("bare", "Bare", 6000.0, (3000,), OWN),
        DownpipeProfile("less", "Less", 4000.0, (3000,), OWN, (900.0, 900.0, 900.0, 900.0)),
    ))  # fmt: skip
    two = (pipe(), pipe("DP2", at_mm=(6000.54, 0.0, 2400.0), along_mm=6000.54))
    gutter = run(valleys=(foot(3000.0, 20e6),))

    def told(breach: Breach, hand: Hand = HAND, made: Chosen = made) -> Finding:
        (found,) = plan_findings(gutter, two, (breach, Breach(SECTION, 0, 1.0)), LIMITS, hand, made)
        return found

    wall = f"No place on its wall keeps this limit. Place it by hand where wall can be found for it; the present places are `{LINE}`."
    warn = Severity.WARN
    over = told(Breach(CAPACITY, 0, 48e6))
    assert over == Finding(
        "downpipe-over-capacity", warn, "DP1 would drain 48.0 m2, Pipe P may drain 40.0 m2 by the E1/AS1 table.",
        "Take a larger downpipe: `rainwater: {downpipe: next}`.", ("G1", "DP1"), two[0].at_mm,
    )  # fmt: skip
    # 110 / 85 = 1.294, 90 / 70 = 1.286, 65 / 50 = 1.3: the least is 90 / 70 x 40 m2 = 51.43; wider 120 / 70: 68.57
    assert told(Breach(CAPACITY, 0, 40e6 * 90 / 70)).advice == "Take a larger downpipe: `rainwater: {downpipe: next}`."
    # a crumb of floating point more is no more
    crumb = told(Breach(CAPACITY, 0, 40e6 * 90 / 70 * (1 + 5e-10)))
    assert crumb.advice == "Take a larger downpipe: `rainwater: {downpipe: next}`."
    assert told(Breach(CAPACITY, 0, 51.5e6)).advice == "Take a larger downpipe: `rainwater: {downpipe: wide}`."
    assert told(Breach(CAPACITY, 0, 60e6)).severity is warn
    far = told(Breach(CAPACITY, 0, 69e6))
    assert (far.code, far.severity) == ("downpipe-far-over-capacity", Severity.STOP)
    assert far.advice == (
        "No place on its wall keeps this limit. Place it by hand on another gutter, or with less led to it; the present"
        f" places are `{LINE}`."
    )
    by_area = replace(made, method="area_per_m2")
    assert (
        told(Breach(CAPACITY, 0, 55e6), made=by_area).advice == "Take a larger downpipe: `rainwater: {downpipe: bare}`."
    )
    assert told(Breach(CAPACITY, 0, 55e6), made=by_area).text.endswith("by the area rule.")
    assert "on another gutter" in told(Breach(CAPACITY, 0, 48e6), made=replace(made, method="gutter_types")).advice
    assert told(Breach(LENGTH, 1, 13_040.0)) == Finding(
        "gutter-too-long-for-outlet",
        warn,
        "DP2 drains 13.0 m of gutter, the limit is 12 m.",
        wall,
        ("G1", "DP2"),
        two[1].at_mm,
    )
    assert told(Breach(SPACING, 1, 21_560.0)) == Finding(
        "downpipes-too-far-apart",
        warn,
        "DP2 and DP1 are 21.6 m apart, the limit is 20 m.",
        wall,
        ("G1", "DP2"),
        two[1].at_mm,
    )
    assert told(Breach(VALLEY, -1, 2540.0, "V3000")) == Finding(
        "valley-without-downpipe", warn,
        "Valley V3000 brings 20.0 m2; the nearest downpipe is 2.5 m from its foot, the limit is 2 m above 15 m2.",
        wall, ("G1", "V3000"),
    )  # fmt: skip
    opening, inside = "clear of openings", "clear of inside corners"
    assert told(Breach(opening, 0, 0.0)).text == "DP1 would come down over a window or a door."
    assert (
        told(Breach(inside, 0, 120.4)).text == "DP1 stands 120 mm from an inside corner, where there is no room for it."
    )
    assert told(Breach(opening, 0, 0.0)).code == "downpipe-over-opening"
    assert told(Breach(inside, 0, 0.0)).code == "downpipe-in-inside-corner"
    # placed by hand: within a millimetre of it
    by_hand = replace(HAND, along_mm=(1000.9,))
    assert told(Breach(inside, 0, 1.0), by_hand).advice == "Move it along the wall."
    assert told(Breach(CAPACITY, 0, 48e6), by_hand).advice == (
        "Place another near it, so that this one drains less, or move it."
    )
    assert (
        told(Breach(LENGTH, 0, 13e3), by_hand).advice
        == "Move it, or take it out of the job, so that it is placed by rule."
    )
    assert told(Breach(LENGTH, 0, 13e3), replace(HAND, along_mm=(1001.0,))).advice == wall
    whole = replace(HAND, are_all=True)
    rest = "let the rest be placed by rule: `rainwater: {downpipes_at_are_all: false}`."
    assert told(Breach(VALLEY, -1, 2540.0, "V3000"), whole).advice == f"Place one nearer, or {rest}"
    assert told(Breach(CAPACITY, 0, 48e6), whole).advice == f"Place another downpipe between, or {rest}"


def test_places_off_their_gutters_are_told() -> None:
    assert snapped_findings([(2, 1500.6)], ["G2", "G3"], 1000.0) == (
        Finding(
            "downpipe-place-off-gutter",
            Severity.WARN,
            "downpipes_at[2] is 1501 mm from the nearest gutter (limit 1000 mm): left out.",
            "Give a point on the outline where there is a gutter.",
        ),
        Finding(
            "downpipes-placed-for-some",
            Severity.NOTE,
            "Downpipes were placed by hand on some gutters; those of G2, G3 were placed by rule.",
            refs=("G2", "G3"),
        ),
    )
    assert snapped_findings([], [], 1000.0) == ()


# --- ground and choice ------------------------------------------------------------------------------------------------


def test_ground_above_an_eave_is_a_fault(settings: Settings) -> None:
    """The eave at 2400; the ground 200 over it, half a millimetre over it, and level."""
    made = chosen(settings)

    def told(height: float, ground: float, given: bool, **more: object) -> JobError:
        term = replace(made.ground, value=ground, basis=SET_IN_JOB if given else NONE)
        plans = (
            plan(pipe("DP9", height_mm=1.0), pipe("DP2", height_mm=height), pipe("DP3", height_mm=-9e3, onto="P1")),
        )
        with pytest.raises(JobError) as caught:
            check_ground(plans, job(**more), replace(made, ground=term))  # type: ignore[arg-type]
        return caught.value

    assert str(told(-200.0, 2600.0, False)) == (
        "The job gives no ground, and at 2600 mm, as it is taken, it lies 200 mm over the eave of G1 (2400); give it, from the"
        " finished floor: `rainwater: {ground_mm: 0}`."
    )
    (fault,) = told(0.0, 2400.5, True, rainwater={"ground_mm": 2400.5}).faults
    assert fault == (
        "rainwater.ground_mm: the ground at 2400 mm lies level with the eave of G1 (2400), where no downpipe has room to fall;"
        " it is measured from the finished floor, negative below it: -300."
    )
    assert isinstance(fault, Fault)
    assert fault.path == ("rainwater", "ground_mm")
    (fault,) = told(-1.0, 2401.0, True).faults
    assert fault.startswith("walls.ground_mm: the ground at 2401 mm lies 1 mm over the eave of G1")
    check_ground((plan(pipe(height_mm=0.1), pipe(height_mm=-5.0, onto="P1")),), job(), made)


def test_goods_and_values_of_the_job_come_before_the_defaults(settings: Settings, catalogue: Catalogue) -> None:
    plain = choose(job(), settings, catalogue)
    assert (plain.gutter.id, plain.pipe.id, plain.method) == ("quad_125", "round_80", "e1_as1")
    assert plain.rain == settings.term("rain_if_not_given_mm_per_h")
    assert plain.ground == settings.term("ground_if_not_given_mm")
    assert len(plain.pipes) == len(catalogue.downpipes)
    holes = [
        {"kind": "pipe", "at": [100, 200], "diameter_mm": 80},
        {"kind": "rooflight", "at": [5, 6], "width_mm": 600, "length_mm": 800},
    ]
    roof = {"outline": [[0, 0], [9, 0], [9, 9]], "pitch_deg": 20, "penetrations": holes}
    whole = {
        "job": "x",
        "site": {"rain_mm_per_h": 140},
        "rainwater": {"downpipe": "round_100", "ground_mm": -400},
        "roofs": [roof],
    }
    own = choose(Job.model_validate_json(json.dumps(whole)), settings, catalogue)
    assert (own.pipe.id, own.rain) == ("round_100", Term("rain_mm_per_h", 140.0, "mm/h", SET_IN_JOB))
    assert (own.ground, own.ground_mm) == (Term("ground_mm", -400.0, "mm", SET_IN_JOB), -400.0)
    assert own.holes == (HoleBelow((100.0, 200.0), 40.0), HoleBelow((5.0, 6.0), 500.0))
