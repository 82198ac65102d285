"""Each bound stops a figure that is planted wrong, and names both figures; the order as it is passes all of them.

The planted figures are a tenth more, one more or less, or the nearest that the bound can see; what a bound cannot see is
said beside its case.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from math import inf
from pathlib import Path

import pytest

import takeoff.pipeline
from takeoff.cli import app
from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Takeoff
from takeoff.order.bounds.bound_rules import RULES
from takeoff.order.bounds.bounded import Bounded, case_of
from takeoff.order.bounds.check_bounds import check_bounds
from takeoff.order.bounds.ground import places_of
from takeoff.order.bounds.sheet_bounds import estimate
from takeoff.order.bounds.stock_bounds import bars_of
from takeoff.pipeline import run_file

sys.path.insert(0, str(Path(__file__).parent))

from planted import (
    SAMPLES,
    Plant,
    boards_times,
    by_index,
    flat_fold,
    longer_demands,
    longer_legs,
    longer_lines,
    longer_pieces,
    made,
    more,
    moved_edge,
    pieces_times,
    times,
    with_cladding,
    with_line,
    with_plan,
    with_rainwater,
    with_roof,
    with_roofing,
    with_sheets,
)

ONE_TENTH = 1.1
PLANTED: list[tuple[str, str, Plant]] = [
    (
        "plane-area",
        "a tenth more",
        with_roof(lambda r: replace(r, planes=by_index(r.planes, 0, area_mm2=r.planes[0].area_mm2 * ONE_TENTH))),
    ),
    (
        "plane-area",
        "plan a hundredth less",
        with_roof(lambda r: replace(r, planes=by_index(r.planes, 0, plan_area_mm2=r.planes[0].plan_area_mm2 * 0.99))),
    ),
    ("plane-sides", "an edge lost", with_roof(lambda r: replace(r, edges=r.edges[1:]))),
    (
        "edge-length",
        "a tenth more",
        with_roof(lambda r: replace(r, edges=by_index(r.edges, 0, length_mm=r.edges[0].length_mm * ONE_TENTH))),
    ),
    ("true-fold", "two planes in one", with_roof(flat_fold)),
    ("edges-apart", "a hip 2 mm beside another", with_roof(moved_edge)),
    ("plane-without-sheets", "no sheets at all", with_sheets(lambda sheets: None)),
    ("plane-without-sheets", "an empty list of sheets", with_sheets(lambda sheets: replace(sheets, pieces=()))),
    ("sheeted-area", "nine per cent short", with_sheets(lambda sheets: replace(sheets, net_mm2=sheets.net_mm2 * 0.91))),
    ("sheeted-area", "a fiftieth more", with_sheets(lambda sheets: replace(sheets, net_mm2=sheets.net_mm2 * 1.02))),
    ("sheet-cover", "a sheet lost", with_sheets(lambda sheets: replace(sheets, pieces=sheets.pieces[:-1]))),
    (
        "sheet-cover",
        "a sheet twice",
        with_sheets(lambda sheets: replace(sheets, pieces=(*sheets.pieces, sheets.pieces[9]))),
    ),
    ("sheet-length", "a tenth more", with_sheets(pieces_times(ONE_TENTH))),
    ("sheet-length", "nine per cent short", with_sheets(pieces_times(0.91))),
    ("sheets-bought", "a tenth more", with_sheets(pieces_times(ONE_TENTH))),
    ("sheets-bought", "nine per cent short: half its rakes cover it, a fifth is seen", with_sheets(pieces_times(0.8))),
    ("sheets-ordered", "one more", with_line("sheet corrugated", more(1))),
    ("sheets-ordered", "one less", with_line("sheet corrugated", more(-1))),
    ("underlay-rolls", "4,881 for 8", with_line("roof_underlay_1350", lambda line: 4881.0)),
    ("underlay-rolls", "17 for 8; 9 may be right", with_line("roof_underlay_1350", lambda line: 17.0)),
    ("underlay-rolls", "none", with_line("roof_underlay_1350", lambda line: 0.0)),
    ("underlay-tape", "one more", with_line("underlay_tape", more(1))),
    ("underlay-tape", "265 for 2", with_line("underlay_tape", lambda line: 265.0)),
    ("underlay-staples", "one more", with_line("underlay_staple", more(1))),
    ("safety-mesh", "one more", with_line("safety_mesh", more(1))),
    ("safety-mesh", "one less", with_line("safety_mesh", more(-1))),
    ("safety-mesh", "a box of staples more", with_line("mesh_staple", more(1))),
    ("purlin-rows", "half more: where rows lie is free by one", with_roofing("purlins", longer_lines("purlin", 1.5))),
    (
        "purlin-rows",
        "the rows between left out",
        with_roofing("purlins", lambda lines: tuple(x for x in lines if x.role != "purlin")),
    ),
    ("trimmers", "a tenth more", with_roofing("purlins", longer_lines("hip trimmer", ONE_TENTH))),
    ("trimmers", "valley boards a tenth more", with_roofing("purlins", longer_lines("valley board", ONE_TENTH))),
    (
        "outriggers",
        "twice",
        with_roofing("purlins", lambda lines: (*lines, *(x for x in lines if x.role == "outrigger"))),
    ),
    (
        "purlin-fixings",
        "six times: the fixing's pattern is one to three a crossing",
        with_line("purlin_fixing_c", times(6)),
    ),
    (
        "flashing-runs",
        "a tenth more",
        with_roofing("flashings", lambda runs: by_index(runs, 0, net_mm=runs[0].net_mm * ONE_TENTH)),
    ),
    ("flashing-runs", "a run lost", with_roofing("flashings", lambda runs: runs[1:])),
    ("flashing-runs", "a run twice", with_roofing("flashings", lambda runs: (*runs, runs[0]))),
    ("flashing-lengths", "a tenth more", with_roofing("needs", longer_demands("flashings", ONE_TENTH))),
    ("soft-edge", "six tenths more: bought lengths bound it", with_line("soft_edge", times(1.6))),
    ("soft-edge", "a quarter less", with_line("soft_edge", times(0.75))),
    ("junctions", "3-way, one more", with_line("junction_3_way", more(1))),
    ("junctions", "3-way, one less", with_line("junction_3_way", more(-1))),
    ("junctions", "valley head, one more", with_line("junction_valley_head", more(1))),
    ("junctions", "valley head, none", with_line("junction_valley_head", more(-1))),
    ("junctions", "valley foot, one more", with_line("junction_valley_foot", more(1))),
    ("junctions", "hip end, one more", with_line("junction_hip_end", more(1))),
    ("valley-clips", "one more", with_line("valley_clip", more(1))),
    ("flashing-screws", "one more", with_line("flashing_screw", more(1))),
    ("roof-screws", "twice: a sheet more at both ends of each line is allowed", with_line("roof_screw_65", times(2))),
    ("roof-screws", "half", with_line("roof_screw_65", times(0.5))),
    ("sealing", "rivets, two more", with_line("rivet", more(2))),
    ("sealing", "sealant, three more", with_line("sealant", more(3))),
    ("touch-up", "one more", with_line("touch_up", more(1))),
    ("touch-up", "one less", with_line("touch_up", more(-1))),
    ("gutter-runs", "a tenth more", with_rainwater("gutters", longer_legs(ONE_TENTH))),
    ("gutter-runs", "a run lost", with_rainwater("gutters", lambda runs: ())),
    ("gutter-lengths", "a fifth more: mitres of every leg are allowed", longer_pieces("gutter half_round_150", 1.2)),
    ("gutter-ends", "one more", with_line("Gutter stop end, left", more(1))),
    ("gutter-ends", "a corner more", with_line("Gutter external corner, mitred on site", more(1))),
    ("gutter-brackets", "a tenth more", with_line("Gutter bracket", times(ONE_TENTH))),
    (
        "catchment",
        "a tenth more",
        with_rainwater(
            "gutters", lambda runs: by_index(runs, 0, plan_catchment_mm2=runs[0].plan_catchment_mm2 * ONE_TENTH)
        ),
    ),
    ("downpipes", "an outlet more", with_line("Gutter outlet", more(1))),
    ("downpipes", "no pipe", with_rainwater("downpipes", lambda plans: by_index(plans, 0, pipes=(), count=0))),
    ("pipe-lengths", "three times: the offsets of wide eaves are not known", longer_pieces("downpipe round_80", 3.0)),
    ("fascia", "a tenth more", with_plan("fascia board", placed_mm=ONE_TENTH)),
    ("fascia", "barges a tenth more", with_plan("barge board", placed_mm=ONE_TENTH)),
    (
        "wall-area",
        "a tenth more",
        with_cladding("boards", lambda walls: by_index(walls, 0, net_mm2=walls[0].net_mm2 * ONE_TENTH)),
    ),
    (
        "wall-area",
        "openings not taken off",
        with_cladding("boards", lambda walls: by_index(walls, 0, net_mm2=walls[0].gross_mm2)),
    ),
    ("boards", "half more: notched boards are whole", with_cladding("boards", boards_times(1.5))),
    ("boards", "a quarter less", with_cladding("boards", boards_times(0.75))),
    ("battens", "twice: battens stand beside openings too", with_cladding("battens", lambda lines: (*lines, *lines))),
    ("battens", "none", with_cladding("battens", lambda lines: ())),
    ("base-closer", "a tenth more", with_plan("base_closer", placed_mm=ONE_TENTH)),
    ("wall-wrap", "four more: strips on every wall are rounded up", with_line("wall_wrap_2740", more(4))),
    ("wall-wrap", "two less", with_line("wall_wrap_2740", more(-2))),
    ("wall-fixings", "a box of staples more", with_line("wall wrap staple", more(1))),
    ("wall-fixings", "two boxes of nails more", with_line("batten nail 50 x 2.8", more(2))),
    ("stock-placed", "pieces a tenth longer", longer_pieces("purlin_70x45", ONE_TENTH)),
    ("stock-bought", "one more", with_line("purlin_70x45", more(1))),
    ("stock-bought", "one less", with_line("batten_40x20", more(-1))),
    (
        "order-sheets",
        "a tenth more",
        lambda takeoff, order: (takeoff, replace(order, sheets_bought_m2=order.sheets_bought_m2 * ONE_TENTH)),
    ),
    ("spare-sheets", "one more", with_line("spare sheet corrugated", more(1))),
    ("order-line", "13,000 rolls", with_line("wall wrap tape", lambda line: 13000.0)),
    ("order-line", "265 rolls of tape", with_line("underlay_tape", lambda line: 265.0)),
    ("order-line", "4,881 rolls", with_line("roof_underlay_1350", lambda line: 4881.0)),
]


def test_the_order_as_it_is_lies_within_every_bound() -> None:
    assert check_bounds(*made()) == ()


def test_every_rule_has_something_to_look_at_and_words_for_its_margin() -> None:
    case = case_of(*made())
    for rule in RULES:
        if rule.name not in ("true-fold", "edges-apart"):  # a house that is right has no such fold
            assert list(rule.check(case)), rule.name
        assert rule.figure, rule.name
        assert rule.bound, rule.name
        assert rule.margin, rule.name
    assert len({rule.name for rule in RULES}) == len(RULES)


def test_every_rule_is_seen_to_stop_a_planted_figure() -> None:
    assert {name for name, _, _ in PLANTED} == {rule.name for rule in RULES}


@pytest.mark.parametrize(
    ("name", "plant"),
    [(name, plant) for name, _, plant in PLANTED],
    ids=[f"{name}: {what}" for name, what, _ in PLANTED],
)
def test_a_planted_figure_is_stopped_by_its_rule(name: str, plant: Plant) -> None:
    rule = next(rule for rule in RULES if rule.name == name)
    findings = check_bounds(*plant(*made()), rules=(rule,))
    assert findings
    for finding in findings:
        assert finding.severity is Severity.STOP
        assert finding.code.endswith(name)
        assert " but " in finding.text
        assert " by another reckoning: " in finding.text


def test_the_finding_gives_both_figures() -> None:
    rule = next(rule for rule in RULES if rule.name == "underlay-tape")
    plant = with_line("underlay_tape", lambda line: 265.0)
    (finding,) = check_bounds(*plant(*made()), rules=(rule,))
    assert "265 rolls, but 2 by another reckoning: valleys of 12.51 m" in finding.text


def test_a_bound_holds_at_its_ends_and_not_beyond() -> None:
    def at(figure: float) -> bool:
        return Bounded(figure, 2.0, 4.0, "m", "").holds

    assert at(2.0)
    assert at(4.0)
    assert not at(1.99)
    assert not at(4.01)
    assert not Bounded(0.0, 1.0, inf, "sheets", "").holds


def test_the_sheeted_area_of_a_rectangle_by_hand() -> None:
    """9.0 x 4.0 m in plan at 10 degrees: 36 / cos 10 = 36.555 m2; sheets 50 to 70 mm past 9 m of eave, 25 mm short of 9 m
    of wall: +0.225 to +0.405; slack 0.2 % + 0.02 + four square corners of 0.07 x 0.07 = 0.113."""
    takeoff, order = made("lean_to")
    (plane,) = case_of(takeoff, order).planes
    may = estimate(plane, takeoff.settings)
    assert plane.area_m2 == pytest.approx(36.555, abs=5e-4)
    assert may.low_m2 == pytest.approx(36.555 + 0.225 - 0.113, abs=2e-3)
    assert may.high_m2 == pytest.approx(36.555 + 0.405 + 0.113, abs=2e-3)


def test_a_plain_packing_by_hand() -> None:
    """Longest first into 6 m: 4 + 2, 3 + 3; with a kerf of 4 mm the second pair no longer fits, nor the first."""
    assert bars_of([2000, 3000, 4000, 3000], 6000, 0) == 2
    assert bars_of([2000, 3000, 4000, 3000], 6004, 4) == 2
    assert bars_of([2000, 3001, 4000, 3000], 6000, 0) == 3


def test_ends_within_3_mm_are_one_place() -> None:
    """A hip roof on a rectangle has six places: four corners and both ends of its ridge."""
    takeoff, order = made("hip_12x8")
    places = places_of(case_of(takeoff, order).edges)
    assert len(places) == 6
    assert sorted(len(place.low) + len(place.high) for place in places) == [3, 3, 3, 3, 3, 3]


def test_what_is_out_of_bounds_withholds_the_order_and_ends_with_6(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from typer.testing import CliRunner

    wrong = with_line("roof_underlay_1350", lambda line: 4881.0)
    ordered = takeoff.pipeline._ordered
    monkeypatch.setattr(takeoff.pipeline, "_ordered", lambda taken: wrong(taken, ordered(taken))[1])
    taken = run_file(SAMPLES / "l_house" / "job.yaml")
    assert taken.order is None
    assert any("4,881 rolls" in finding.text for finding in stops_of(taken))
    shown = CliRunner().invoke(app, ["run", str(SAMPLES / "l_house" / "job.yaml"), "--out", str(tmp_path / "out")])
    assert shown.exit_code == 6


def stops_of(taken: Takeoff) -> list[Finding]:
    return [finding for finding in taken.findings if finding.severity is Severity.STOP]
