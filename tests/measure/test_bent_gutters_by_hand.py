"""What a run of gutter round corners takes: lengths, joints, brackets and every sentence, by hand."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from math import radians, tan
from pathlib import Path

import pytest

from takeoff.measure.rainwater.gutters import (
    brackets_on,
    corner_allowance_mm,
    expansion_joints_on,
    gutter_need,
    within_longest,
)
from takeoff.measure.rainwater.stretches import End, Stretch
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import DownpipePlan, GutterCorner, GutterLeg, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values
from rain_by_hand import GUTTER, chosen

Build = Callable[..., Roof]


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
