"""How many pipes each limit asks for, and what one pipe and one gutter may drain, by hand and at their limits."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import cos, radians, tan
from pathlib import Path

import pytest

from takeoff.measure.rainwater.by_code import bracket_spacing, longest_without_joint, marked, movement_rate, table_of
from takeoff.measure.rainwater.gutter_checks import gutter_findings, section_limit_mm2, section_note
from takeoff.measure.rainwater.limits import (
    CAPACITY,
    FREE,
    LENGTH,
    SECTION,
    SPACING,
    VALLEY,
    counts_by_limit,
    without,
)
from takeoff.measure.rainwater.sizing import gutter_section, gutter_too_small, pipe_capacity, pitch_band
from takeoff.measure.rainwater.weights import area_rule_weight, capacity_weight, plan_weight, wind_weight
from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.code_rules import RuleSet
from takeoff.model.drainage import Inflow, PlaneShare, ValleyFoot
from takeoff.model.findings import Finding, Severity
from takeoff.model.rain_rules import (
    BracketRow,
    LongestRow,
    MovementRow,
    RainRules,
)  # fmt: skip
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import GUTTER, LIMITS, NONE, OWN, PIPE, TOWNS, chosen, foot, pipe, rules, run

# --- limits -----------------------------------------------------------------------------------------------------------


def test_how_many_pipes_each_limit_asks_for() -> None:
    """100 m2: 3 of 40, 4 of 30; 24 m: 2 of 12. Pipes 20 apart, 12 - 10 = 2 m in at either end: one space, two pipes; round
    a ring two spaces. 45 m: 41 less half a millimetre over 20 are 3 spaces; a ring has 3."""
    asked = (
        ("capacity", 3),
        ("the gutter's own section", 4),
        ("gutter length per outlet", 2),
        ("spacing between outlets", 2),
    )
    valley = ("downpipe near a valley", 0)
    assert counts_by_limit(run(), LIMITS) == (*asked, valley)
    assert dict(counts_by_limit(run(45_000.0), LIMITS))[SPACING] == 4
    assert dict(counts_by_limit(run(45_000.0, ring=True), LIMITS))[SPACING] == 3
    assert dict(counts_by_limit(run(5.0, 1.0), LIMITS)) == {CAPACITY: 1, SECTION: 1, LENGTH: 1, SPACING: 1, VALLEY: 0}
    # 40 m2 and a square millimetre are one pipe's, two are not; of the pipe's capacity and of the gutter's section
    brought = [dict(counts_by_limit(run(), LIMITS, (40e6 + more, 60e6 + more))) for more in (1.0, 2.0)]
    assert [(each[CAPACITY], each[SECTION]) for each in brought] == [(1, 2), (2, 3)]
    # outlets closer than twice the length limit need no inset: 24 m over 20 is two spaces
    assert dict(counts_by_limit(run(), replace(LIMITS, length_mm=9000.0)))[SPACING] == 3
    none = dict(counts_by_limit(run(), without(LIMITS, (CAPACITY, SECTION, LENGTH, SPACING, VALLEY))))
    assert none == {LENGTH: 1, SPACING: 1, VALLEY: 0}


def test_limits_that_are_not_asked() -> None:
    assert without(LIMITS, ()) == LIMITS
    assert without(LIMITS, (CAPACITY, LENGTH)) == replace(LIMITS, capacity_mm2=0.0, length_mm=FREE)
    assert without(LIMITS, (SECTION, SPACING)) == replace(LIMITS, section_mm2=0.0, spacing_mm=FREE)
    assert without(LIMITS, (VALLEY, "clear of openings")) == replace(LIMITS, valley_within_mm=FREE)


def test_one_pipe_stands_near_several_feet() -> None:
    """Within 2 m: one pipe for feet up to 4 m apart. 1000 and 5000 share one, 5000.1 does not; light feet need none. Round
    a ring of 24 m the last and the first may share one."""

    def near(*feet: ValleyFoot, ring: bool = False) -> int:
        return dict(counts_by_limit(run(valleys=feet, ring=ring), LIMITS))[VALLEY]

    assert near(foot(1000), foot(5000)) == 1
    assert near(foot(1000), foot(5000.1)) == 2
    assert near(foot(9000), foot(1000), foot(5000)) == 2
    assert near(foot(1000, 15e6), foot(9000, 15.1e6)) == 1
    assert near(foot(500), foot(22_000)) == 2
    assert near(foot(500), foot(22_000), ring=True) == 1
    assert near(foot(500), foot(20_400), ring=True) == 2
    assert near(foot(0), foot(3000), foot(6000), foot(9000), foot(22_500), ring=True) == 3


# --- what one pipe and one gutter may drain ---------------------------------------------------------------------------


def test_bands_of_pitch() -> None:
    """A pitch on a limit, to a millionth, takes the lower band and says so; beyond 55 the last band."""
    names = {0: "0 to 25 degrees", 1: "25 to 35 degrees", 2: "35 to 45 degrees", 3: "45 to 55 degrees"}
    for pitch, index in ((0.0, 0), (24.9, 0), (25.1, 1), (34.9, 1), (44.9, 2), (54.9, 3)):
        band = pitch_band(pitch)
        assert (band.index, band.words, band.beyond) == (index, names[index], False)
    for pitch, index in ((25.0, 0), (25.0000009, 0), (24.9999991, 0), (35.0, 1), (45.0, 2), (55.0, 3)):
        band = pitch_band(pitch)
        assert (band.index, band.words) == (
            index,
            f"{names[index]}: {round(pitch):g} is on the limit, the lower band is taken",
        )
    assert pitch_band(25.0000011).index == 1
    beyond = pitch_band(56.0)
    assert (beyond.index, beyond.words, beyond.beyond) == (
        3,
        "steeper than the table goes: 45 to 55 degrees is taken",
        True,
    )


def test_a_pipe_by_the_table(settings: Settings) -> None:
    """E1/AS1, Table 5, as it stands, or times 100 / intensity where the job says so: 70 x 100 / 140 = 50."""
    plain = chosen(settings, rain=140.0)
    found = pipe_capacity("e1_as1", PIPE, 30.0, plain.rain, plain.settings)
    flag = plain.settings.term("downpipe_scale_by_intensity")
    pitch = Term("steepest pitch", 30.0, "deg", ref="25 to 35 degrees")
    area = Term("table area", 70.0, "m2", OWN["*"], "Pipe P")
    rule = "E1/AS1 Table 5: roof plan area per downpipe by pitch band"
    assert (found.plan_m2, found.working) == (70.0, Working(f"{rule}, as it stands", (area, pitch, flag)))
    assert found.findings == (
        Finding(
            "downpipe-table-not-scaled",
            Severity.NOTE,
            "The downpipe table is made for 100 mm/h and was not scaled to the site's 140 mm/h.",
            "To scale it, add to the job: `settings: {downpipe_scale_by_intensity: true}`.",
        ),
    )
    assert pipe_capacity("e1_as1", PIPE, 30.0, chosen(settings).rain, settings).findings == ()
    scaled = chosen(settings, rain=140.0, downpipe_scale_by_intensity=True)
    found = pipe_capacity("e1_as1", PIPE, 60.0, scaled.rain, scaled.settings)
    pitch = Term("steepest pitch", 60.0, "deg", ref="steeper than the table goes: 45 to 55 degrees is taken")
    area = Term("table area", 50.0, "m2", OWN["*"], "Pipe P")
    flag = scaled.settings.term("downpipe_scale_by_intensity")
    assert found.plan_m2 == pytest.approx(50.0 * 100.0 / 140.0)
    assert found.working == Working(f"{rule} x 100 / intensity", (area, pitch, scaled.rain, flag))
    assert found.findings == (
        Finding(
            "pitch-beyond-downpipe-table",
            Severity.WARN,
            "A plane is steeper than 55 degrees, where the method's bands end: the last band was taken.",
            "Have the downpipes sized for it.",
        ),
    )
    none = pipe_capacity("e1_as1", replace(PIPE, table_m2=()), 30.0, plain.rain, plain.settings)
    assert (none.plan_m2, none.working.rule) == (0.0, "no row of E1/AS1 Table 5 for this pipe")
    assert none.findings == (
        Finding(
            "downpipe-not-in-table",
            Severity.WARN,
            "E1/AS1 has no row for Pipe P: its capacity was not checked.",
            "Take another downpipe, or size by area: `rainwater: {method: area_per_m2}`.",
            ("p",),
        ),
    )


def test_pipe_and_gutter_by_area(settings: Settings) -> None:
    """Method 2 of the code of practice: 1 / cos 30 x 1.1 exposure x 1.2 rain x 1.2 pitch = 1.829 m2 a m2; the pipe at 50
    mm2 a m2, the gutter at 100, an internal one at 200."""
    made = chosen(settings, "area_per_m2", rain=120.0)
    term = made.settings.term
    factor = 1.0 / cos(radians(30.0)) * 1.1 * 1.2 * 1.2
    found = pipe_capacity("area_per_m2", PIPE, 30.0, made.rain, made.settings)
    assert found.plan_m2 == pytest.approx(4300.0 / (50.0 * factor))
    assert found.working.terms == (
        Term("area mm2", 4300.0, "mm2", OWN["*"]),
        term("area_rule_downpipe_mm2_per_m2"),
        Term("slope factor", 1.1547, "", Basis(Status.DERIVED)),
        term("area_rule_exposure"),
        made.rain,
        term("area_rule_pitch_25_35"),
        Term("steepest pitch", 30.0, "deg", ref="25 to 35 degrees"),
    )
    for internal, mm2, name in (
        (False, 100.0, "area_rule_gutter_mm2_per_m2"),
        (True, 200.0, "area_rule_internal_mm2_per_m2"),
    ):
        section, working = gutter_section("area_per_m2", 20.456, 30.0, internal, made.rain, made.settings)
        assert section == pytest.approx(20.456 * factor * mm2)
        plan_area = Term("plan area", 20.46, "m2")
        assert working.terms == (
            plan_area,
            term(name),
            term("area_rule_exposure"),
            made.rain,
            term("area_rule_pitch_25_35"),
        )
    least = gutter_section("e1_as1", 20.0, 30.0, False, made.rain, made.settings)
    assert least == (4000.0, Working("E1/AS1: never below its least section", (term("e1_as1_least_gutter_mm2"),)))
    assert [gutter_too_small(GUTTER, wanted) for wanted in (5000.0, 5000.0000005, 5000.00001)] == [False, False, True]


def test_how_water_counts_by_method(settings: Settings) -> None:
    """Over a run whose steepest plane is 40 degrees: by wind F, by area the slope and pitch factors (1.3 for 35 to 45)."""
    level, wall = Inflow(0, 1, 1, 1, "P1", 10.0), Inflow(0, 1, 1, 1, "W1", 90.0)
    steep = run(pitch=40.0)
    wind, area = wind_weight(steep), area_rule_weight(steep, chosen(settings))
    f40 = 1 + 0.5 * tan(radians(40))
    assert wind(level, False) == pytest.approx((1 + 0.5 * tan(radians(10))) / f40)
    assert wind(wall, True) == pytest.approx(1 / f40)
    a40 = 1.3 / cos(radians(40))
    assert area(level, False) == pytest.approx(1.1 / cos(radians(10)) / a40)
    assert area(wall, True) == pytest.approx(1 / a40)
    assert plan_weight(wall, True) == 1.0
    assert capacity_weight(steep, chosen(settings)) is plan_weight
    for method, same in (("area_per_m2", area), ("gutter_types", wind)):
        assert capacity_weight(steep, chosen(settings, method))(level, False) == same(level, False)


# --- gutters too small ------------------------------------------------------------------------------------------------


def test_gutters_that_are_too_small_say_so_with_their_sums(settings: Settings) -> None:
    """60 m2 at 25 degrees, 1.103 slope x 1.1 exposure x 1.2 rain x 1.1 pitch x 100 = 9612 mm2; the gutter of 5000 fits 60 x
    5000 / 9612 = 31.2 m2. Another pipe asks 7000, one is within 5000."""
    made = chosen(settings, rain=120.0)
    first, second = pipe(gutter_mm2=9612.4), pipe("DP2", 44e6, gutter_mm2=7000.0)
    (found,) = gutter_findings(run(), (pipe("DP3", 30e6, gutter_mm2=5000.0), second, first), made)
    assert found == Finding(
        "gutter-too-small",
        Severity.WARN,
        "G1: Gutter G has 5000 mm2. By the area rule DP1 needs 60.0 m2 x 1.103 slope x 1.1 exposure x 1.2 rain x 1.1 pitch x"
        " 100 = 9612 mm2. Also DP2 44.0 m2, 7000 mm2.",
        "Add a downpipe, so that no outlet takes over 31.2 m2 in plan, or take a gutter of 9612 mm2 or more.",
        ("G1", "DP2", "DP1"),
        (1000.0, 0.0, 2400.0),
        made.settings.basis("area_rule_gutter_mm2_per_m2").words(),
    )
    shares = (PlaneShare("P1", 60e6, 25.0), PlaneShare("W1", 4e6, 90.0, wall=True))
    (walled,) = gutter_findings(run(), (replace(first, shares=shares),), made)
    assert walled.text == (
        "G1: Gutter G has 5000 mm2. By the area rule DP1 needs 64.0 m2, each plane by its own slope and pitch factor, x 1.1"
        " exposure x 1.2 rain x 100 = 9612 mm2."
    )
    (turned,) = gutter_findings(run(), (replace(first, shares=(PlaneShare("P1", 60e6, 24.0),)),), made)
    assert "60.0 m2, each plane by its own" in turned.text
    assert gutter_findings(run(), (first,), chosen(settings, "gutter_types")) == ()


def test_a_gutter_below_the_least_of_the_table(settings: Settings) -> None:
    small = replace(chosen(settings), gutter=replace(GUTTER, area_mm2=3999.0))
    text = "G1: Gutter G has 3999 mm2, less than the least gutter of 4000 mm2."
    below = Finding("gutter-below-least", Severity.WARN, text, "Take a larger gutter.", ("G1",))
    assert gutter_findings(run(), (pipe(),), small) == (below,)
    assert gutter_findings(run(), (pipe(),), replace(small, gutter=replace(GUTTER, area_mm2=4000.0))) == ()
    assert gutter_findings(run(), (), replace(small, method="area_per_m2")) == ()


def test_what_the_table_does_not_check_is_said_once(settings: Settings) -> None:
    made = chosen(settings)
    note = Finding(
        "gutter-section-not-checked",
        Severity.NOTE,
        "Gutter section not checked beyond the least of 4000 mm2: the standard's curve is not in this program. The area rule"
        " was used beside it.",
        "Have the gutter sized by the standard where the area rule warns.",
        source=settings.basis("e1_as1_least_gutter_mm2").words(),
    )
    assert section_note((run(internal=True), run()), made) == (note,)
    assert section_note((run(internal=True),), made) == ()
    assert section_note((run(),), replace(made, method="area_per_m2")) == ()
    assert section_note((run(),), replace(made, method="gutter_types")) == ()


def test_roof_that_a_gutters_section_allows_to_one_outlet(settings: Settings) -> None:
    """5000 / (100 x 1.1 x 1.1 / cos 25) m2 of spouting. Internal: 300 x (100 - 30) = 21 000 mm2 at 200 a m2."""
    made, factor = chosen(settings), 1.1 * 1.1 / cos(radians(25.0))
    assert section_limit_mm2(run(), made) == pytest.approx(5000.0 / (100.0 * factor) * 1e6)
    assert section_limit_mm2(run(), replace(made, method="gutter_types")) == 0.0
    assert section_limit_mm2(run(internal=True), made) == pytest.approx(21_000.0 / (200.0 * factor) * 1e6)
    assert section_limit_mm2(run(internal=True), replace(made, method="gutter_types")) > 0.0


# --- what the code says of gutters ------------------------------------------------------------------------------------


def code_rules(silent: RuleSet | None = None, **rain: object) -> RuleSet:
    return replace(rules(**rain), silent=silent)


def test_tables_of_a_silent_code_say_whose_they_are() -> None:
    narrow = BracketRow(750.0, NONE, 180.0)
    other = RuleSet("other", "Otherland", "s", "v", "d", (), rain=RainRules(brackets=(narrow,)))
    own = code_rules(other, towns=TOWNS)
    assert table_of(own, lambda rain: rain.towns) == (TOWNS, own)
    assert table_of(own, lambda rain: rain.brackets) == ((narrow,), other)
    assert table_of(own, lambda rain: rain.pipes) == ((), other)
    assert marked(NONE, own, own) is NONE
    said = "Otherland, taken where the code of Ourland is silent"
    assert marked(NONE, other, own) == replace(NONE, holds=said)
    assert marked(replace(NONE, holds="5 degrees"), other, own).holds == f"{said}; 5 degrees"


def test_how_far_apart_brackets_stand(settings: Settings) -> None:
    """The job's, else the lesser of code and maker; in snow the closer; wider than the table the closest."""
    rows = (BracketRow(600.0, NONE, snow=True), BracketRow(750.0, NONE, 180.0), BracketRow(900.0, NONE, 300.0))
    made = chosen(settings, table=rules(brackets=rows), gutter_bracket_mm=0)
    assert bracket_spacing(made) == (750.0, Term("brackets at most", 750.0, "mm", NONE, "gutter 125 wide"))
    wide = replace(made, gutter=replace(GUTTER, width_mm=300.0))
    assert bracket_spacing(wide)[0] == 600.0
    assert bracket_spacing(replace(made, gutter=replace(GUTTER, width_mm=299.0)))[0] == 900.0
    snow = chosen(settings, table=rules(brackets=rows), gutter_bracket_mm=0, gutter_in_snow=True)
    assert bracket_spacing(snow) == (600.0, Term("brackets at most", 600.0, "mm", NONE, "gutter 125 wide, in snow"))
    for spacing, taken in ((700.0, 700.0), (750.0, 750.0), (800.0, 750.0)):
        maker = replace(made, gutter=replace(GUTTER, bracket_mm=spacing))
        assert bracket_spacing(maker)[0] == taken
    assert bracket_spacing(replace(made, gutter=replace(GUTTER, bracket_mm=700.0)))[1] == Term(
        "bracket mm", 700.0, "mm", OWN["*"]
    )
    pvc = replace(made, gutter=replace(GUTTER, system="pvc", bracket_mm=1000.0))
    assert bracket_spacing(pvc) == (1000.0, Term("bracket mm", 1000.0, "mm", OWN["*"]))
    asked = chosen(settings, table=rules(brackets=rows), gutter_bracket_mm=450)
    assert bracket_spacing(asked) == (450.0, asked.settings.term("gutter_bracket_mm"))
    assert bracket_spacing(chosen(settings, table=rules(), gutter_bracket_mm=0))[0] == 0.0
    # the least of figures counts
    assert bracket_spacing(chosen(settings, table=rules(brackets=rows), gutter_bracket_mm=1))[0] == 1.0
    assert bracket_spacing(replace(made, gutter=replace(GUTTER, bracket_mm=1.0)))[0] == 1.0


def test_how_long_a_gutter_is_without_a_joint(settings: Settings) -> None:
    rows = (
        LongestRow("moving_brackets", 25_000.0, NONE, "steel"), LongestRow("moving_brackets", 12_000.0, NONE, "copper"),
        LongestRow("fastened_through", 9000.0, NONE),
    )  # fmt: skip

    def made(**given: object) -> tuple[float, Term]:
        return longest_without_joint(chosen(settings, table=rules(longest=rows), gutter_expansion_over_mm=0, **given))

    name = "longest without an expansion joint"
    steel = Term(name, 25_000.0, "mm", NONE, "steel, moving brackets")
    assert made(gutter_metal="steel", gutter_held="moving_brackets") == (25_000.0, steel)
    zinc = Term(name, 12_000.0, "mm", NONE, "zinc, moving brackets: not named, the shortest of the table")
    assert made(gutter_metal="zinc", gutter_held="moving_brackets") == (12_000.0, zinc)
    through = Term(name, 9000.0, "mm", NONE, "steel, fastened through")
    assert made(gutter_metal="steel", gutter_held="fastened_through") == (9000.0, through)
    assert made(gutter_metal="steel", gutter_held="glued")[0] == 0.0
    given = chosen(settings, table=rules(longest=rows), gutter_expansion_over_mm=8000)
    assert longest_without_joint(given) == (8000.0, given.settings.term("gutter_expansion_over_mm"))
    least = chosen(settings, table=rules(longest=rows), gutter_expansion_over_mm=1)
    assert longest_without_joint(least)[0] == 1.0


def test_how_far_a_gutter_moves(settings: Settings) -> None:
    """5.8 mm for 5 m over 50 degrees (E1/AS1, Table 7) is 0.0232 a metre and degree."""
    rows = (MovementRow("aluminium", 5.8, NONE), MovementRow("steel", 2.5, NONE))
    table = rules(movement=rows)
    moved = movement_rate(chosen(settings, table=table, gutter_metal="aluminium"))
    assert moved == Term("movement of aluminium", pytest.approx(0.0232), "mm/(m degC)", NONE)
    steel = settings.term("steel_movement_mm_per_m_deg")
    assert movement_rate(chosen(settings, table=table, gutter_metal="steel")) == steel
    assert movement_rate(chosen(settings, table=table, gutter_metal="zinc")) == steel
    pvc = replace(chosen(settings, table=table, gutter_metal="aluminium"), gutter=replace(GUTTER, system="pvc"))
    assert movement_rate(pvc) == settings.term("pvc_movement_mm_per_m_deg")
