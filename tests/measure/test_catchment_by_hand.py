"""Catchments, walls above roofs, what gutters are made of: whole quantities and sentences by hand."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from math import radians, tan
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater import walls_above
from takeoff.measure.rainwater.catchment import (
    RAIN_SLOPE,
    catchment_findings,
    catchment_quantities,
    effective_area_m2,
    flow_l_per_s,
    level_plan_m2,
    wind_factor,
    wind_terms,
)
from takeoff.measure.rainwater.gutters import (
    brackets_on,
    corner_allowance_mm,
    expansion_joints_on,
    gutter_need,
    within_longest,
)
from takeoff.measure.rainwater.stretches import End, Stretch
from takeoff.measure.rainwater.walls_above import _stands_over, wall_findings
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import DownpipePlan, GutterCorner, GutterLeg, GutterRun, Inflow, PlaneShare, Received
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.roof import Frame, Roof, RoofEdge, UprightFace, UprightKind
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.shape.water.fall_cells import LEVEL_DEG

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values
from rain_by_hand import GUTTER, chosen, run

Build = Callable[..., Roof]
T25 = tan(radians(25))


def leg(edge: str, plan_mm2: float, *flows: Inflow, off: tuple[Inflow, ...] = (), long: float = 6000.0) -> GutterLeg:
    return GutterLeg(edge, (1,), (0.0, 0.0, 0.0), (long, 0.0, 0.0), long, plan_mm2, flows, off)


def flow(plane: str, area: float, pitch: float) -> Inflow:
    return Inflow(0.0, 6000.0, area, area, plane, pitch)


# --- catchment ------------------------------------------------------------------------------------------------------------


def test_factors_areas_and_flow() -> None:
    """F = 1 + 0.5 tan p (AS/NZS 3500.3); L x (W + H / 2) (BS EN 12056-3); C x A x I / 3600."""
    assert wind_factor(25.0) == pytest.approx(1.0 + 0.5 * T25)
    assert effective_area_m2(10.0, 6.0, 3.0) == 75.0
    assert flow_l_per_s(100.0, 144.0) == 4.0
    assert flow_l_per_s(50.0, 90.0, 0.8) == 1.0
    shares = (PlaneShare("P1", 12_345_678.0, 25.0), PlaneShare("W1", 2e6, 90.0, wall=True))
    assert wind_terms(shares) == (
        Term("plan area", 12.346, "m2", ref="P1"), Term("F", 1.2332, "", RAIN_SLOPE, "25.00 degrees"),
        Term("wall above the roof, its share", 2.0, "m2", ref="W1"),
    )  # fmt: skip


def test_catchment_of_runs_and_in_all(settings: Settings, gable_roof: Build) -> None:
    """20 m2 at 25 degrees and 10 m2 of level roof and 4 of wall: 20 F + 14; a run below it takes 6 of them by a spreader;
    a deck of 15 m2 beside both."""
    made = chosen(settings, rain=120.0, runoff_coefficient=0.9)
    first = run(
        legs=(leg("E1", 30e6, flow("P1", 20e6, 25.0), flow("P2", 10e6, 0.0), off=(flow("W1", 4e6, 90.0),)),),
        plan_mm2=30e6,
    )
    water = (Received("main", "DP1", "P9", 0.0, 6e6), Received("main", "", "P9", 0.0, 1e6))
    second = run(id="G2", legs=(leg("E2", 18e6, flow("P9", 18e6, 0.0)),), plan_mm2=18e6, received=water)
    roof = gable_roof(10_000.0, 3000.0, 20.0)
    deck = replace(roof, planes=(replace(roof.planes[0], id="Q1", pitch_deg=0.0),))
    found = {each.id: each for each in catchment_quantities((first, second), made, (roof, deck))}
    assert list(found) == [
        *(f"catchment {g} {n}" for g in ("G1", "G2") for n in ("plan", "effective", "flow")),
        "catchment",
    ]
    effective = 20 * (1 + 0.5 * T25) + 14
    assert found["catchment G1 plan"] == Quantity(
        "catchment G1 plan", "Plan catchment of G1", 30.0, "m2", ("G1",),
        Working("plan area of the roof that falls to each leg, by fall lines; valleys empty at their feet", (Term("E1", 30.0, "m2", ref="E1"),)),
    )  # fmt: skip
    assert found["catchment G1 effective"] == Quantity(
        "catchment G1 effective", "Effective catchment of G1 in wind", pytest.approx(effective), "m2", ("G1",),  # type: ignore[arg-type]
        Working("sum over planes of plan area x F, F = 1 + 0.5 tan p; and half of walls above", wind_terms(first.shares)),
    )  # fmt: skip
    caught = Term("effective catchment", round(effective, 3), "m2", ref="G1")
    assert found["catchment G1 flow"] == Quantity(
        "catchment G1 flow", "Flow to G1", pytest.approx(0.9 * effective * 120 / 3600), "L/s", ("G1",),  # type: ignore[arg-type]
        Working("C x A x I / 3600", (caught, made.rain, made.settings.term("runoff_coefficient"))),
    )  # fmt: skip
    terms = (
        Term("G1", 30.0, "m2", ref="G1"), Term("G2", 18.0, "m2", ref="G2"), Term("brought by spreaders", 6.0, "m2"),
        Term("level roof", 15.0, "m2"),
    )  # fmt: skip
    rule = (
        "sum of the plan areas that drain to gutters; what is connected feeds the tank; less what spreaders bring to a lower"
        " roof's gutter, which stands in that of the upper one; and level roof, which drains by outlets of its own"
    )
    whole = found["catchment"]
    assert whole == Quantity(
        "catchment", "Roof catchment in plan, all gutters and level roof", pytest.approx(57.0), "m2", ("G1", "G2"),  # type: ignore[arg-type]
        Working(rule, terms),
    )  # fmt: skip
    plain = catchment_quantities((first,), made, (roof,))[-1]
    assert (plain.item, plain.figure, plain.working) == (
        "Roof catchment in plan, all gutters", 30.0,
        Working("sum of the plan areas that drain to gutters; what is connected feeds the tank", terms[:1]),
    )  # fmt: skip


def test_areas_are_told_to_a_litre_of_rain(settings: Settings, gable_roof: Build) -> None:
    """A deck of 15 m2 in plan less 1.234567 under a higher roof is 13.765433; one of half a square metre is told too, and a
    plane that falls as little as a plane may is none."""
    made = chosen(settings, rain=120.0)
    water = (Received("main", "DP1", "P9", 0.0, 6_123_456.0),)
    first = run(legs=(leg("E1", 30_123_456.0, flow("P1", 30_123_456.0, 25.0)),), plan_mm2=30_123_456.0)
    second = run(id="G2", legs=(leg("E2", 18_654_321.0),), plan_mm2=18_654_321.0, received=water)
    roof = gable_roof(10_000.0, 3000.0, 20.0)
    plane = roof.planes[0]
    up = plane.frame.n[2]
    under = ((0.0, 0.0), (1234.567, 0.0), (1234.567, 1000.0 / up), (0.0, 1000.0 / up))
    deck = replace(roof, planes=(replace(plane, pitch_deg=0.0, covered_uv=((under,),)),))
    found = {each.id: each for each in catchment_quantities((first, second), made, (deck,))}
    assert found["catchment"].working.terms == (
        Term("G1", 30.123, "m2", ref="G1"), Term("G2", 18.654, "m2", ref="G2"), Term("brought by spreaders", 6.123, "m2"),
        Term("level roof", 13.765, "m2"),
    )  # fmt: skip
    assert found["catchment"].figure == pytest.approx(30.123456 + 18.654321 - 6.123456 + 13.765433)
    assert found["catchment G1 plan"].working.terms == (Term("E1", 30.123, "m2", ref="E1"),)
    assert wind_terms((PlaneShare("W1", 1_234_567.0, 90.0, wall=True),))[0].value == 1.235
    small = replace(roof, planes=(replace(plane, pitch_deg=0.0, plan_area_mm2=0.5e6),))
    whole = catchment_quantities((first,), made, (small,))[-1]
    assert (whole.item, whole.figure) == (
        "Roof catchment in plan, all gutters and level roof", pytest.approx(30.623456),
    )  # fmt: skip
    falling = replace(roof, planes=(replace(plane, pitch_deg=LEVEL_DEG),))
    assert level_plan_m2((falling,)) == 0.0
    assert catchment_findings((run(plan_mm2=plane.plan_area_mm2, legs=(leg("E1", 0.0),)),), (falling,)) == ()


def test_a_hundredth_of_a_square_metre_is_not_told(gable_roof: Build) -> None:
    """100 x 100 mm under a higher roof, level, or missing are nothing."""
    roof = gable_roof(10_000.0, 8000.0, 20.0)
    first, second = roof.planes
    for side, told in ((100.0, ()), (100.1, ("P1",))):
        square = ((0.0, 0.0), (side, 0.0), (side, side), (0.0, side))
        flat = replace(first.frame, u=(1.0, 0.0, 0.0), v=(0.0, 1.0, 0.0), n=(0.0, 0.0, 1.0))
        under = replace(first, frame=flat, covered_uv=((square,),), plan_area_mm2=40e6)
        own = replace(roof, planes=(under, replace(second, plan_area_mm2=40e6)))
        said = catchment_findings((run(plan_mm2=80e6 - side * side),), (own,))
        assert [each.refs for each in said] == ([told] if told else [])
    for area, codes in ((10_000.0, []), (10_001.0, ["level-roof-not-drained"])):
        level = replace(roof, planes=(replace(first, pitch_deg=0.0, plan_area_mm2=area),))
        assert [each.code for each in catchment_findings((run(plan_mm2=0.0),), (level,))] == codes


def test_whether_catchments_add_up(gable_roof: Build) -> None:
    """A gable of 80 m2 in plan: gutters that take 80 less a hundredth tell nothing; less more of it tell what is missing
    and which eaves have no spouting. What falls off a bare eave on a lower roof's gutter is caught there."""
    roof = gable_roof(10_000.0, 8000.0, 20.0)

    def told(*runs: GutterRun, by: Roof = roof) -> list[tuple[str, str, tuple[str, ...]]]:
        return [(each.code, each.text, each.refs) for each in catchment_findings(runs, (by,))]

    both = (leg("E1", 0.0), leg("E2", 0.0))
    assert told(run(legs=both, plan_mm2=80e6 - 10_000.0)) == told(run(legs=both, plan_mm2=80e6 + 10_000.0)) == []
    missing = "roof-not-in-catchment"
    assert told(run(legs=both, plan_mm2=79.98e6)) == [(missing, "0.02 m2 of roof main reaches no gutter.", ())]
    text = "40.00 m2 of roof main reaches no gutter: eaves without spouting are E2."
    (found,) = catchment_findings((run(legs=(leg("E1", 0.0),), plan_mm2=40e6),), (roof,))
    advice = "The job leaves them so; for spouting on all of them, under the roof: `no_spouting_on: []`."
    assert found == Finding(missing, Severity.WARN, text, advice, ("E2",))
    (found,) = catchment_findings((run(legs=both, plan_mm2=70e6),), (roof,))
    assert found.advice == "Check the edges of the roof there."
    # 40 m2 drip on a lower roof whose gutter takes 55: 15 of its own; and 5 by a spreader of this roof's pipe
    water = (Received("main", "", "P9", 0.0, 40e6), Received("main", "DP1", "P9", 0.0, 5e6))
    lower = run(id="G2", roof="low", plan_mm2=60e6, received=water)
    assert told(run(legs=(leg("E1", 0.0),), plan_mm2=40e6), lower) == []
    low = replace(gable_roof(5000.0, 3000.0, 20.0), name="low")
    assert told(lower, by=low) == []  # 5 x 3 m


def test_roof_under_roof_and_level_roof(gable_roof: Build) -> None:
    """6 m2 of P1 lie under a higher roof; P2 is level: 40 m2 drain by outlets of their own."""
    roof = gable_roof(10_000.0, 8000.0, 20.0)
    first, second = roof.planes
    up = first.frame.n[2]
    under = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0 / up), (0.0, 2000.0 / up))
    mixed = replace(roof, planes=(replace(first, covered_uv=((under,),)), replace(second, pitch_deg=0.05)))
    both = run(legs=(leg("E1", 0.0), leg("E2", 0.0)), plan_mm2=34e6)
    assert catchment_findings((both,), (mixed,)) == (
        Finding(
            "roof-under-roof", Severity.NOTE,
            "6.00 m2 of roof main lies under a higher roof and catches no rain: it is in no gutter's catchment.", refs=("P1",),
        ),
        Finding(
            "level-roof-not-drained", Severity.WARN,
            "40.00 m2 of roof main is level (P2): it is in no gutter's catchment, but in the roof's catchment in all.",
            "Give it an outlet of its own and an overflow, which are not in this order; take it off the catchment by hand"
            " where that outlet is not led to the tank.",
            ("P2",),
        ),
    )  # fmt: skip


# --- walls above ------------------------------------------------------------------------------------------------------------


def test_what_is_said_of_walls_above_roofs(settings: Settings, lean_to: Build, gable_roof: Build) -> None:
    """A lean-to with a wall of a metre over its head and one along its side that is no higher than its slope's top but
    unknown; one run takes 4 m2 of them, one a hundredth of a square metre."""
    roof = lean_to()
    made = chosen(settings, walls_above_share=0.5, walls_above_to_mm=10_000, wall_above_if_not_shaped_mm=0)
    source = made.settings.basis("walls_above_share").words()
    runs = (
        run(legs=(leg("E1", 0.0, off=(flow("W1", 4e6, 90.0),)),)),
        run(id="G2", legs=(leg("E2", 0.0, off=(flow("W1", 1e4, 90.0),)),)),
        run(id="G3", legs=(leg("E3", 0.0, off=(flow("W1", 1.1e4, 90.0),)),)),
    )
    said = Finding(
        "walls-above", Severity.NOTE,
        "Walls above roofs, 0.5 of their area to 10 m, join the catchment that gutters and downpipes are sized by:"
        " G1 4.00 m2, G3 0.01 m2. They fill no tank.",
        "To leave them out, add to the job: `settings: {walls_above_share: 0}`.", ("G1", "G3"), source=source,
    )  # fmt: skip
    assert wall_findings(runs, (roof,), made) == (said,)
    assert wall_findings((), (roof,), made) == ()
    low = replace(roof, uprights=())
    unknown = Finding(
        "wall-above-unknown", Severity.NOTE,
        "How high the wall above E2, E3 stands is not in the job: what runs off it is not counted.",
        "Add to the job, with the height of your wall: `settings: {wall_above_if_not_shaped_mm: 2400}`.", ("E2", "E3"),
    )  # fmt: skip
    assert wall_findings(runs, (low,), made) == (said, unknown)
    assert wall_findings(runs, (low,), chosen(settings, walls_above_share=0.5, wall_above_if_not_shaped_mm=1))[1:] == ()
    none = chosen(settings, walls_above_share=0)
    assert wall_findings(runs, (roof,), none) == (
        Finding(
            "walls-above-left-out", Severity.NOTE, "Walls above roofs are left out where gutters and downpipes are sized.",
            "To take half of them, as the code does, leave out the setting of their share.", ("E2", "E3"), source=source,
        ),
    )  # fmt: skip
    assert wall_findings(runs, (gable_roof(),), made) == ()


# --- gutters ----------------------------------------------------------------------------------------------------------------


def test_lengths_and_counts_of_gutter(settings: Settings) -> None:
    assert corner_allowance_mm(125.0, 90.0) == pytest.approx(125.0)
    assert corner_allowance_mm(125.0, 120.0) == pytest.approx(125.0 / tan(radians(60)))
    assert [within_longest((6000, 3000, 4500), most) for most in (None, 4500.0, 4499.0, 2000.0)] == [
        (3000, 4500, 6000), (3000, 4500), (3000,), (3000,),
    ]  # fmt: skip
    assert [brackets_on(long, 900.0) for long in (100.0, 900.5, 900.6, 1800.5, 9000.0)] == [2, 2, 3, 3, 11]
    part = Stretch(
        "S", 0.0, 24_000.0, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), End("stop end"), End("stop end"), ("E1",), (1,)
    )
    made = chosen(settings, gutter_expansion_over_mm=12_000)
    assert [
        expansion_joints_on(replace(part, length_mm=long), made) for long in (12_000.5, 12_000.6, 24_000.5, 24_000.6)
    ] == [0, 1, 1, 2]
    plastic = replace(made, gutter=replace(GUTTER, system="pvc"))
    assert expansion_joints_on(replace(part, length_mm=90e3), plastic) == 0


BENT = GutterRun(
    "G1", "main",
    (
        GutterLeg("E1", (1,), (0.0, 0.0, 0.0), (15_000.0, 0.0, 0.0), 15_000.0, 0.0),
        GutterLeg("E2", (2,), (15_000.0, 0.0, 0.0), (15_000.0, 4000.0, 0.0), 4000.0, 0.0),
        GutterLeg("E3", (3,), (15_000.0, 4000.0, 0.0), (18_000.0, 4000.0, 0.0), 3000.0, 0.0),
    ),
    (GutterCorner("external", 90.0, (15_000.0, 0.0, 0.0)), GutterCorner("internal", 90.0, (15_000.0, 4000.0, 0.0))),
    False, 0.0, 25.0,
)  # fmt: skip


def plans(count: int) -> tuple[DownpipePlan, ...]:
    return (DownpipePlan("G1", "e1_as1", count, "", (), (), Working("")),)


def test_everything_that_a_bent_run_of_gutter_takes(settings: Settings) -> None:
    """15, 4 and 3 m with an outside and an inside corner, mitred: 15 125, 4125 and 3000 of a gutter 125 wide, in 6 m that
    lap 25: joints ceil((15 125 - 25) / 5975) - 1 = 2 less the expansion joint, which stands every 12 m. Brackets at 900."""
    made = chosen(settings, gutter_expansion_over_mm=12_000, gutter_bracket_mm=900, gutter_least_piece_mm=300)
    ring = replace(BENT, id="G2", ring=True, legs=(replace(BENT.legs[0], edge="E4", length_mm=200.0),), corners=())
    inside = replace(BENT, id="G9", internal=True)
    need = gutter_need((BENT, ring, inside), plans(3), None, made)
    assert isinstance(need, Need)
    rule = "length of the stretch and what its ends add or take off"

    def demand(name: str, edge: str, length: float, mm: float) -> RunDemand:
        terms = (
            Term("length", length, "mm", ref=name),
            Term("with its ends", pytest.approx(mm), "mm"),
            made.settings.term("gutter_corner_bracketed_metal"),
        )  # type: ignore[arg-type]
        least = pytest.approx(min(300.0, mm))
        return RunDemand(
            name, "gutter g", pytest.approx(mm), None, 25.0, least, refs=(edge,), working=Working(rule, terms)
        )  # type: ignore[arg-type]

    assert need.demands == (
        demand("G1.1", "E1", 15_000.0, 15_125.0), demand("G1.2", "E2", 4000.0, 4125.0), demand("G1.3", "E3", 3000.0, 3000.0),
        demand("G2.1", "E4", 200.0, 200.0),
    )  # fmt: skip
    assert need.stock == (StockChoice("gutter g", (6000,)),)
    assert need.items == (Made("gutter g", "gutter", (Mark(MarkKind.CALLED, "Gutter G"),), "g"),)

    def counted(
        name: str, item: str, figure: float, rule: str, counts: dict[str, int], *terms: Term, labour: bool = False
    ) -> Quantity:
        own = tuple(Term(ref, count, "each", ref=ref) for ref, count in counts.items())
        return Quantity(name, item, figure, "each", tuple(counts), Working(rule, (*own, *terms)), labour)

    style = made.settings.term("gutter_corner_bracketed_metal")
    corners = "corners of the gutter runs"
    found = {each.id: each for each in need.quantities}
    wanted = (
        counted(
            "gutter external corners",
            "Gutter external corner, mitred on site",
            1.0,
            corners,
            {"G1": 1},
            style,
            Term("angles", "90", "deg"),
            labour=True,
        ),
        counted(
            "gutter internal corners",
            "Gutter internal corner, mitred on site",
            1.0,
            corners,
            {"G1": 1},
            style,
            Term("angles", "90", "deg"),
            labour=True,
        ),
        counted(
            "gutter left stop ends",
            "Gutter stop end, left",
            1.0,
            "one left stop end a run that is not a ring, seen from outside",
            {"G1": 1},
        ),
        counted(
            "gutter right stop ends",
            "Gutter stop end, right",
            1.0,
            "one right stop end a run that is not a ring, seen from outside",
            {"G1": 1},
        ),
        counted("gutter outlets", "Gutter outlet", 3.0, "one outlet a downpipe", {"G1": 3}),
    )
    assert tuple(found[each.id] for each in wanted) == wanted
    brackets = found["gutter brackets"]
    assert (brackets.item, brackets.figure, brackets.refs) == (
        "Gutter bracket",
        18.0 + 6.0 + 5.0 + 2.0,
        ("G1.1", "G1.2", "G1.3", "G2.1"),
    )
    assert (
        brackets.working.rule
        == "each straight stretch: ceil(length / spacing) + 1, one at each stop end and beside each corner"
    )
    expansion, joiners = found["gutter expansion joints"], found["gutter joiners"]
    assert (expansion.item, expansion.figure, expansion.refs) == ("Gutter expansion joint", 1.0, ("G1.1",))
    assert expansion.working.rule == "each straight stretch: ceil(length / longest without one) - 1"
    assert joiners == counted(
        "gutter joiners", "Gutter joint, lapped, riveted and sealed", 1.0,
        "each straight stretch: ceil((length - lap) / (longest stock - lap)) - 1, less its expansion joints", {"G1.1": 1},
        Term("longest stock", 6000, "mm"), labour=True,
    )  # fmt: skip
    clip = replace(made, gutter=replace(GUTTER, system="clip_on_metal"))
    assert (
        next(q.item for q in gutter_need((BENT,), plans(3), None, clip).quantities if q.id == "gutter brackets")
        == "Gutter clip for metal fascia"
    )
    assert gutter_need((inside,), plans(3), None, made) == Need("rainwater")


def test_gutter_with_corner_fittings(settings: Settings) -> None:
    """Legs of 100 come off: 14 900, 3800 and 2900; plastic laps nothing and its joiners are fittings, sealed by cement."""
    made = chosen(settings, gutter_corner_pvc="fitting", gutter_corner_fitting_leg_mm=100, gutter_lap_pvc_mm=0)
    plastic = replace(made, gutter=replace(GUTTER, system="pvc"))
    need = gutter_need((BENT,), plans(2), None, plastic)
    assert [each.length_mm for each in need.demands] == [14_900.0, 3800.0, 2900.0]
    assert {each.lap_mm for each in need.demands} == {0.0}
    found = {each.id: each for each in need.quantities}
    assert (found["gutter external corners"].item, found["gutter external corners"].labour) == (
        "Gutter external corner, fitting",
        False,
    )
    assert (found["gutter joiners"].item, found["gutter joiners"].figure, found["gutter joiners"].labour) == (
        "Gutter joiner, PVC",
        2.0,
        False,
    )
    short = replace(
        BENT,
        legs=(
            replace(BENT.legs[0], length_mm=150.0, b_mm=BENT.legs[1].a_mm),
            replace(BENT.legs[1], length_mm=150.0),
            BENT.legs[2],
        ),
    )
    lengths = [(each.length_mm, each.least_mm) for each in gutter_need((short,), plans(1), None, plastic).demands]
    assert lengths[:2] == [(50.0, 50.0), (1.0, 0.0)]


def test_what_is_said_of_gutters(settings: Settings) -> None:
    """15 m of steel at 12 millionths over 50 degrees move 9 mm; 1 in 400 are 30 mm in 12 m."""
    base = chosen(settings, gutter_expansion_over_mm=12_000, roof_temperature_range_k=50, gutter_fall_one_in=400)

    def said(made: object, run_: GutterRun = BENT) -> list[Finding]:
        return list(gutter_need((run_,), plans(1), None, made).findings)  # type: ignore[arg-type]

    moves, _, falls = said(base)
    assert moves.text == "The longest straight gutter, G1.1 of 15.00 m, moves 9 mm over 50 degrees."
    assert moves.advice == "Its expansion joint is in the order; leave both sides free to move."
    assert moves.refs == ("G1.1",)
    assert falls == Finding(
        "gutter-fall", Severity.NOTE, "Lay the gutter to falls of at least 1 in 400 towards its outlets (30 mm in 12 m).",
        source=base.settings.basis("gutter_fall_one_in").words(),
    )  # fmt: skip
    two = replace(base, settings=with_values(base.settings, gutter_expansion_over_mm=5000))
    assert said(two)[0].advice == "Its expansion joints are in the order; leave both sides free to move."
    long = replace(base, settings=with_values(base.settings, gutter_expansion_over_mm=20_000))
    assert said(long)[0].advice == "Leave one end free to move."
    plastic = replace(base, gutter=replace(GUTTER, system="pvc"))
    assert said(plastic)[0].advice == "Leave the gap at joiners and corners that its maker marks."


def test_a_wall_that_stands_over_the_head_of_a_roof(
    settings: Settings, lean_to: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The edge rises to 1300; the wall at it stands to just as much over that as counts, and to a hair more."""
    frame = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
    edge = SimpleNamespace(id="E2", faces=("P1", "W1"), a_mm=(0.0, 0.0, 1000.0), b_mm=(4000.0, 0.0, 1300.0))

    def stands(name: str, *tops: float) -> bool:
        rings = tuple(((0.0, 1000.0), (4000.0, 1300.0), (4000.0, top)) for top in tops)
        face = UprightFace(name, "main", frame, rings, UprightKind.GABLE, 1.0)
        return _stands_over(cast(Roof, SimpleNamespace(uprights=(face,))), cast(RoofEdge, edge))

    over = 1300.0 + TOLERANCES.wall_above_mm
    assert [stands("W1", over), stands("W1", over + 0.1), stands("W9", over + 500.0)] == [False, True, False]
    assert stands("W1", over + 0.1, 1200.0) is True
    # a roof above whose wall goes down to that head is known as well
    made = chosen(settings, walls_above_share=0.5, wall_above_if_not_shaped_mm=0)
    low = replace(lean_to(), uprights=())
    assert [each.code for each in wall_findings((), (low,), made)] == ["wall-above-unknown"]
    monkeypatch.setattr(walls_above, "tops_under", lambda roof, edge, roofs: [1.0])
    assert wall_findings((), (low,), made) == ()
