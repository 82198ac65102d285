"""The bounds of sheets and of what lies under them, whole and by hand, on a made-up plane of 20 m2.

The trapeze of made_up_case.py: an eave of 6 m, a ridge of 4, a verge of 4 and a hip of 4.47214 m that runs 2 m across.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from math import inf
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import ItemKind, Pack
from takeoff.model.measured import PurlinLine
from takeoff.order.bounds.order_bounds import order_sheets
from takeoff.order.bounds.purlin_bounds import outriggers, purlin_fixings, purlin_rows, trimmers
from takeoff.order.bounds.sheet_bounds import (
    bare_planes,
    bought_area,
    estimate,
    sheet_cover,
    sheet_lengths,
    sheet_lines,
    sheeted_area,
)
from takeoff.order.bounds.underlay_bounds import safety_mesh, underlay_rolls, underlay_staples, underlay_tape

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import (
    AROUND_M,
    GOLDEN,
    RAKE_M,
    ROUND_TRAPEZE,
    TRAPEZE,
    Given,
    case,
    check,
    item,
    line,
    line_of_edge,
    plane,
    roof,
    sheet,
    sheets,
)

TRIMS = {
    "sheet_over_eave_mm": 50, "sheet_over_bare_eave_mm": 70, "ridge_gap_mm": 60, "hip_trim_mm": 35, "verge_trim_mm": 40,
    "internal_gutter_over_mm": 30, "internal_gutter_width_mm": 300, "apron_side_trim_mm": 15, "least_run_mm": 500,
    "raked_allowance_mm": 50, "raked_step_mm": 10, "square_step_mm": 1,
}  # fmt: skip
CATALOGUE = SimpleNamespace(profiles={"wavy": SimpleNamespace(overall_mm=845.0, foot_turn_mm=30.0)})
JOB = SimpleNamespace(
    roofs=[SimpleNamespace(name="main", covering=SimpleNamespace(profile="wavy"))],
    purlins=SimpleNamespace(spacing_mm=None, supports_mm=None),
    underlay=SimpleNamespace(roll=None, direction=None),
)
# eave 6 x 0.05 to 0.07, ridge 4 x 0.03 off, hip x 0.035 off, verge 4 x 0.04 off
LEAST_BAND = 0.30 - 0.12 - 0.035 * RAKE_M - 0.16
MOST_BAND = 0.42 - 0.12 - 0.035 * RAKE_M - 0.16
SLACK = 0.04 + 0.02 + 0.07**2 * (2.0 + 2.0 * GOLDEN)
LOW, HIGH = 20.0 + LEAST_BAND - SLACK, 20.0 + MOST_BAND + SLACK
UPPER = ((0.0, 0.0), (762.0, 0.0), (762.0, 4000.0), (0.0, 4000.0))


def _case(values: dict[str, Any] | None = None, **more: Any) -> Any:
    return case(TRIMS | (values or {}), **({"catalogue": CATALOGUE, "job": JOB} | more))


def test_what_of_a_plane_may_be_sheeted() -> None:
    made = _case()
    may = estimate(made.planes[0], Given(TRIMS))
    assert may.bands_m2 == pytest.approx((LEAST_BAND, MOST_BAND))
    assert (may.low_m2, may.high_m2) == pytest.approx((LOW, HIGH))
    # 5 mm off the drawing, all round
    moved = estimate(replace(made.planes[0], shift_m=0.005), Given(TRIMS))
    assert (moved.low_m2, moved.high_m2) == pytest.approx((LOW - 0.005 * AROUND_M, HIGH + 0.005 * AROUND_M))


def test_bands_along_edges_that_are_bounded_by_their_own_rows() -> None:
    """10 m of internal gutter: 30 mm past its edge less half of 300 mm. 10 m of kerb: 15 mm off."""
    for kind, past in ((EdgeKind.INTERNAL_GUTTER, -0.12), (EdgeKind.KERB, -0.015)):
        made = _case(roofs=(roof([], [line_of_edge("K1", kind, 10000.0)]),))
        assert estimate(made.planes[0], Given(TRIMS)).bands_m2 == pytest.approx((10.0 * past, 10.0 * past))


def test_no_less_than_nothing_may_be_sheeted() -> None:
    """0.04 m2 with 10 m of kerb, 0.15 m2 off: nothing at least; at most the slack of its area, of what rounding does, and
    of four corners."""
    small = plane("P1", ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)))
    made = _case(roofs=(roof([small], [line_of_edge("K1", EdgeKind.KERB, 10000.0)]),))
    may = estimate(made.planes[0], Given(TRIMS))
    assert (may.low_m2, may.high_m2) == pytest.approx((0.0, 0.002 * 0.04 + 0.02 + 4.0 * 0.015**2))


def test_the_sheeted_area_of_a_plane() -> None:
    found = [sheets(net_mm2=19e6), sheets(net_mm2=5e5)]
    words = "plane of 20.00 m2 and the trims along its edges, "
    made = _case(roofing={"sheets": found})
    check(sheeted_area(made), (19.5, LOW, HIGH, "m2", f"{words}-0.14 to -0.02 m2", "P1", ("P1",)))
    # bands that differ by less than half a hundredth are one: 6 m x 0.5 mm, and not 6 m x 1 mm
    for bare, said in ((50.5, "-0.14"), (51.0, "-0.14 to -0.13")):
        (bound,) = sheeted_area(_case({"sheet_over_bare_eave_mm": bare}, roofing={"sheets": found}))
        assert bound.from_what == f"{words}{said} m2"
    assert list(sheeted_area(_case())) == []


def test_a_plane_that_leaves_more_than_a_sheet_has_one() -> None:
    words = f"{LOW:.2f} m2 that the trims of its edges leave, more than one sheet of 0.42 m2"
    row = ("sheets", words, "P1", ("P1",))
    check(bare_planes(_case()), (0.0, 1.0, inf, *row))
    check(
        bare_planes(_case(roofing={"sheets": [sheets(sheet("a"), sheet("b")), sheets(sheet("c"))]})),
        (3.0, 1.0, inf, *row),
    )
    # a run of 24 m at least: 20.28 m2 a sheet
    assert list(bare_planes(_case({"least_run_mm": 24000}))) == []


def test_covers_lie_once_on_what_is_sheeted() -> None:
    """Two covers of 762 x 4000, either way round, on 2 x 4 m less a hole of half a square metre."""
    outer = ((0.0, 0.0), (2000.0, 0.0), (2000.0, 4000.0), (0.0, 4000.0))
    hole = ((0.0, 0.0), (0.0, 500.0), (1000.0, 500.0), (1000.0, 0.0))
    laid = sheets(sheet("a", UPPER), sheet("b", tuple(reversed(UPPER))), sheeted=(outer, hole))
    made = _case(roofing={"sheets": [laid]})
    check(sheet_cover(made), (6.096, 7.5 - 0.035, 7.5 + 0.035, "m2", "sheeted area 7.50 m2", "P1", ("P1",)))


def _lengths(
    *pieces: Any, rings: Any = (TRAPEZE,), catalogue: Any = CATALOGUE, **values: float
) -> list[tuple[float, float]]:
    made = _case(
        values, roofs=(roof([plane("P1", *rings)]),), roofing={"sheets": [sheets(*pieces)]}, catalogue=catalogue
    )
    return [(bound.low, bound.high) for bound in sheet_lengths(made)]


def test_a_sheet_is_bought_no_longer_than_its_place_asks() -> None:
    """The hip rises 4 over 2, so 166 mm over a lap width of 83, at both ends; 50 of allowance, a step of 10 and 30 to be
    turned down; twice the end lap."""
    cover = ((0.0, 100.0), (762.0, 100.0), (762.0, 3100.0), (0.0, 3000.0))
    piece = sheet("P1.01", cover, order_mm=3210.0, lap_mm=200.0)
    made = _case(roofing={"sheets": [sheets(piece)]})
    words = "3000 mm of plane under its cover"
    check(sheet_lengths(made), (3210.0, 2999.0, 3000.0 + 332.0 + 90.0 + 400.0, "mm", words, "P1.01", ("P1.01",)))
    # without a cover there is nothing but the mill's least run; a profile that is not known is not turned down
    assert _lengths(sheet("a")) == [(-1.0, 500.0)]
    assert _lengths(sheet("a"), least_run_mm=100) == [(-1.0, 332.0 + 90.0)]
    assert _lengths(sheet("a"), least_run_mm=100, catalogue=SimpleNamespace(profiles={})) == [(-1.0, 332.0 + 60.0)]
    assert _lengths(sheet("a"), least_run_mm=100, square_step_mm=25) == [(-1.0, 332.0 + 105.0)]


@pytest.mark.parametrize(
    ("ring", "rise"),
    [
        # 12 m wide and level but for a jog inside it that goes straight up 600 mm: all of it over any width
        (((0, 0), (5000, 0), (5000, 600), (12000, 600), (12000, 4000), (0, 4000)), 600.0),
        # the jog 4 mm off the left end is the end's own; 6 mm off it is another side
        (((4, 0), (12000, 0), (12000, 4000), (0, 4000), (0, 600), (4, 600)), 0.0),
        (((6, 0), (12000, 0), (12000, 4000), (0, 4000), (0, 600), (6, 600)), 600.0),
        # across by a tenth of its rise: 83 mm of lap width rise 830
        (((0, 0), (12000, 0), (11600, 4000), (0, 4000)), 830.0),
        # inside, across by 10 on 400: 83 mm would rise 3320, more than it has
        (((0, 0), (5000, 0), (5010, 400), (12000, 400), (12000, 4000), (0, 4000)), 400.0),
        # at its end across by 4 on 4000: upright
        (((0, 0), (12000, 0), (11996, 4000), (0, 4000)), 0.0),
    ],
)  # fmt: skip
def test_how_far_a_side_rises_over_a_lap_width(ring: Any, rise: float) -> None:
    (found,) = _lengths(sheet("a"), rings=(ring,), least_run_mm=0)
    assert found[1] == pytest.approx(2.0 * rise + 90.0)


# two sheets with 90 mm of their own each and one lap of 200: as they cover, 0.762 x 0.38
LAID = (sheet("a", order_mm=3000.0, lap_mm=200.0), sheet("b", order_mm=2500.0))
# rakes: the verge a sheet's width, the hip half a cover and a lap width, and what a cover rises at both ends
RAKES = 0.845 * 4.0 + (0.381 + 0.083) * 4.0 + 0.762 * 0.762 * 4.0 / 2.0
BOUGHT_LOW, BOUGHT_HIGH = LOW - 0.083 * 4.0 * 2.0, HIGH + RAKES + 0.762 * (2 * 0.09 + 0.2)


def test_what_is_bought_of_a_planes_sheets() -> None:
    words = "plane of 20.00 m2, its trims, rakes and one sheet's width"
    made = _case(roofing={"sheets": [sheets(LAID[0]), sheets(LAID[1])]})
    check(bought_area(made), (5.5 * 0.762, BOUGHT_LOW, BOUGHT_HIGH, "m2", words, "P1", ("P1",)))
    assert list(bought_area(_case())) == []
    # a side that runs across by a hundredth of its rise is upright, one by a tenth a rake: 4 m up, 0.04 and 0.4 across
    for across, extra in ((40.0, 0.845 * 4.0), (400.0, 0.464 * 4.0 + 0.762 * 4.0)):
        ring = ((0.0, 0.0), (6000.0, 0.0), (6000.0 - across, 4000.0), (0.0, 4000.0))
        made = _case(roofs=(roof([plane("P1", ring)], []),), roofing={"sheets": [sheets()]})
        (bound,) = bought_area(made)
        assert bound.high == pytest.approx(estimate(made.planes[0], Given(TRIMS)).high_m2 + 0.845 * 4.0 + extra)
    small = ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0))
    (bound,) = bought_area(_case(roofs=(roof([plane("P1", small)], []),), roofing={"sheets": [sheets()]}))
    assert bound.low == 0.0


def test_a_plane_with_a_hole_has_as_many_more_last_sheets() -> None:
    hole = ((3000.0, 1000.0), (5000.0, 1000.0), (5000.0, 2000.0), (3000.0, 2000.0))
    made = _case(roofs=(roof([plane("P1", TRAPEZE, hole)]),), roofing={"sheets": [sheets()]})
    (bound,) = bought_area(made)
    assert bound.low == pytest.approx(estimate(made.planes[0], Given(TRIMS)).low_m2 - 0.083 * 4.0 * 3.0)


def test_metres_and_square_metres_of_the_order() -> None:
    """3 x 3 + 2 m on the lines, 1.5 m from the site: against all planes, and against the cut list."""
    metal, clear = item("sheet", kind=ItemKind.SHEET), item("clear", kind=ItemKind.CLEAR_SHEET)
    lines = (
        line("sheet", 3.0, each_mm=3000.0, of=metal),
        line("clear", 1.0, each_mm=2000.0, of=clear),
        line("sheet", 7.0, of=metal),
        line("spare", 7.0, each_mm=3000.0, of=item("spare", kind=ItemKind.SPARE_SHEET)),
    )
    order = {
        "lines": lines,
        "blanks": [SimpleNamespace(length_mm=9000.0), SimpleNamespace(length_mm=2004.0)],
        "site_blanks": [SimpleNamespace(length_mm=1500.0)],
        "sheets_bought_m2": 8.0,
        "sheets_site_m2": 1.25,
        "sheets_net_m2": 7.5,
    }
    made = _case(roofing={"sheets": [sheets(*LAID)]}, order=order)
    words = ("the areas of all planes over the cover of their sheets", "bought lengths in the cut list, 11.00 m")
    low, high = BOUGHT_LOW / 0.762, BOUGHT_HIGH / 0.762
    check(
        sheet_lines(made),
        (12.5, low, high, "m", words[0], "on the lines and from the site", ()),
        (11.0, 10.994, 11.014, "m", words[1], "on the lines", ()),
    )
    words = ("planes of 20.00 m2 and their trims",)
    check(
        order_sheets(made),
        (9.25, BOUGHT_LOW, BOUGHT_HIGH, "m2", words[0], "bought and from the site", ()),
        (7.5, 0.0, BOUGHT_HIGH, "m2", words[0], "net", ()),
    )
    assert list(sheet_lines(_case())) == list(order_sheets(_case())) == []
    small = roof([plane("P1", ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)))], [])
    made = _case(roofs=(small,), roofing={"sheets": [sheets()]}, order=order)
    assert len(list(sheet_lines(made))) == len(list(order_sheets(made))) == 2


def test_the_sheets_of_two_planes_are_summed() -> None:
    made = _case(
        roofs=(roof([plane(), plane("P2")], [replace(e, faces=("P1", "P2")) for e in ROUND_TRAPEZE]),),
        roofing={"sheets": [sheets(*LAID), sheets(*LAID, name="P2")]},
        order={"sheets_bought_m2": 1.0, "sheets_site_m2": 0.0, "sheets_net_m2": 0.0},
    )
    assert next((bound.low, bound.high) for bound in sheet_lines(made)) == pytest.approx(
        (2.0 * BOUGHT_LOW / 0.762, 2.0 * BOUGHT_HIGH / 0.762)
    )
    assert next((bound.low, bound.high) for bound in order_sheets(made)) == pytest.approx(
        (2.0 * BOUGHT_LOW, 2.0 * BOUGHT_HIGH)
    )


PURLINS = {
    "purlin_spacing_mm": 900, "purlin_edge_bay_mm": 600, "end_span_share": 0.5, "purlin_even_spacing": False,
    "valley_boards_a_side": 2, "outrigger_spacing_mm": 800, "purlin_supports_mm": 1000, "purlin_fixing_spare_percent": 10,
}  # fmt: skip


def _timber(role: str, long: float, name: str = "P1") -> PurlinLine:
    """0.6 of it across and 0.8 up."""
    return PurlinLine("r", name, role, 1, (100.0, 100.0), (100.0 + 0.6 * long, 100.0 + 0.8 * long))


TIMBER = [_timber("purlin", 3000.0), _timber("eave", 2000.0), _timber("ridge", 500.0), _timber("head", 250.0),
          _timber("hip trimmer", 4000.0), _timber("valley board", 1000.0), _timber("outrigger", 700.0),
          _timber("purlin", 9000.0, "P2")]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "spacing", "more", "corners"),
    [
        ({}, 0.9, 3.0 + 2.0 / 3.0, 2.0),
        ({"purlin_edge_bay_mm": 0}, 0.9, 3.0 + 1.0, 2.0),  # the share of the gauge
        ({"purlin_edge_bay_mm": 1000}, 0.9, 3.0, 2.0),  # no end bay is shorter than the gauge
        ({"purlin_even_spacing": True}, 0.9, 3.0 + 2.0 / 3.0 + 1.0, 2.0),
        ({"asked": 1200}, 1.2, 3.0 + 1.0, 2.0),  # the job's own spacing
    ],
)
def test_rows_of_purlins_on_a_plane(change: dict[str, Any], spacing: float, more: float, corners: float) -> None:
    """20 m2 over the gauge and half of 10 m level; sides run 2 m across besides, a quarter of which may go; two sheets end
    in a lap at 2 m, a row for it and one on either side; 0.2 m at both ends of each row."""
    laps = sheets(sheet("a", part=1, foot_v_mm=2000.2), sheet("b", part=1, foot_v_mm=1999.8), sheet("c", foot_v_mm=9.0))
    job = SimpleNamespace(purlins=SimpleNamespace(spacing_mm=change.get("asked")))
    roofing = {"purlins": TIMBER, "sheets": [laps, sheets(sheet("d", part=1, foot_v_mm=9.0), name="P2")]}
    made = case(PURLINS | change, roofing=roofing, job=job)
    centre = 20.0 / spacing + 5.0
    most = centre + 0.9 * 6.0 + 0.5 + more * 6.0 + (4.0 / spacing + 3.0) * 0.2 * corners
    words = f"20.00 m2 at {1000 * spacing:g} mm and its level edges"
    check(purlin_rows(made), (5.75, centre - 2.4 - 0.5, most, "m", words, "P1", ("P1",)))


def test_rows_of_purlins_on_planes_of_other_shapes() -> None:
    """A hole gives a plane eight sides, so four ends of rows; a small plane need have no row, and where edges run further
    level than its sides there is nothing that turns."""
    hole = ((3000.0, 1000.0), (5000.0, 1000.0), (5000.0, 2000.0), (3000.0, 2000.0))
    made = case(PURLINS, roofs=(roof([plane("P1", TRAPEZE, hole)]),), job=JOB)
    (bound,) = purlin_rows(made)
    rows = 4.0 / 0.9 + 3.0
    assert bound.high == pytest.approx(18.0 / 0.9 + 5.0 + 5.4 + 0.25 * 6.0 + 4.0 + rows * 0.2 * 4.0)
    small = plane("P1", ((0.0, 0.0), (600.0, 0.0), (600.0, 300.0), (0.0, 300.0)))
    level = line_of_edge("R1", EdgeKind.RIDGE, 1300.0)
    made = case(PURLINS, roofs=(roof([small], [level]),), job=JOB)
    (bound,) = purlin_rows(made)
    centre = 0.18 / 0.9 + 0.65
    assert bound.low == pytest.approx(centre - 0.24)
    assert bound.high == pytest.approx(centre + 0.54 + 0.4 + (0.3 / 0.9 + 3.0) * 0.4)
    (bound,) = purlin_rows(case(PURLINS, roofs=(roof([small], []),), job=JOB))
    assert bound.low == 0.0


def test_trimmers_and_valley_boards() -> None:
    """0.6 of each less 1.6 m, and 0.6 m more: a hip of 4.47 m and one of 2 m, which may go without; a valley of 5 m with
    two boards."""
    edges = [*ROUND_TRAPEZE, line_of_edge("H2", EdgeKind.HIP, 2000.0), line_of_edge("V1", EdgeKind.VALLEY, 5000.0)]
    hip = (0.6 * RAKE_M - 1.6, RAKE_M + 2.0 + 1.2, "m", "hips of 6.47 m x 1", "P1 hip trimmers", ("P1",))
    valley = (2.0 * 1.4, 2.0 * 5.6, "m", "valleys of 5.00 m x 2", "P1 valley boards", ("P1",))
    check(trimmers(case(PURLINS, roofs=(roof([], edges),), roofing={"purlins": TIMBER})), (4.0, *hip), (1.0, *valley))
    # lines alone are looked at, edges alone too, and neither is nothing
    alone = case(PURLINS, roofs=(roof([], []),), roofing={"purlins": TIMBER[:5]})
    check(trimmers(alone), (4.0, 0.0, 0.0, "m", "hips of 0.00 m x 1", "P1 hip trimmers", ("P1",)))
    check(trimmers(case(PURLINS, roofs=(roof([], edges),))), (0.0, *hip), (0.0, *valley))


@pytest.mark.parametrize(("up", "low"), [(550.0, 0.6 * RAKE_M - 1.6), (400.0, 0.0)])
def test_a_plane_of_little_mean_width_need_have_no_trimmer(up: float, low: float) -> None:
    # 10 m by 0.55: twice 5.5 m2 over 21.1 m is 0.52; by 0.4: 0.38
    narrow = plane("P1", ((0.0, 0.0), (10000.0, 0.0), (10000.0, up), (0.0, up)))
    (bound,) = trimmers(case(PURLINS, roofs=(roof([narrow], ROUND_TRAPEZE),)))
    assert bound.low == pytest.approx(low)


def test_outriggers_of_a_verge() -> None:
    edges = [*ROUND_TRAPEZE, line_of_edge("B2", EdgeKind.VERGE, 2000.0)]
    made = case(PURLINS, roofs=(roof([], edges),), roofing={"purlins": TIMBER})
    words = "verges of 6.00 m at 800 mm"
    check(outriggers(made), (1.0, 0.0, 5.0 + 2.0 + 2.5 + 2.0, "each", words, "P1 outriggers", ("P1",)))


@pytest.mark.parametrize(("asked", "supports"), [(None, 1.0), (600, 0.6)])
def test_fixings_of_timber(asked: float | None, supports: float) -> None:
    """19.75 m of seven lines, outriggers left out: half a fixing at each support, or three at twice as many and at five
    more places a line, a tenth to spare; loose, and in boxes of ten."""
    job = SimpleNamespace(purlins=SimpleNamespace(supports_mm=asked))
    of = [item("screw", sort="purlin_fixing"), item("nail", sort="purlin_fixing", pack=Pack("box", "", 10.0))]
    lines = [
        line("screw", 12.0, of=of[0], refs=("a", "b", "c", "d")),
        line("nail", 3.0, "box", of=of[1]),
        line("x", 9.0),
    ]
    made = case(
        PURLINS, roofing={"purlins": TIMBER}, job=job, order={"lines": lines}, items={"nail": of[1], "screw": of[0]}
    )
    words = f"19.8 m of timber over supports at {1000 * supports:g} mm"
    low, high = 0.5 * 19.75 / supports, (2.0 * 19.75 / supports + 35.0) * 3.3
    boxes = (1.0, 25.0) if asked is None else (2.0, 34.0)  # 9.875 to 245.85, or 16.46 to 332.75 nails
    check(
        purlin_fixings(made),
        (12.0, low, high, "each", words, "screw, called", ("a", "b", "c")),
        (3.0, *boxes, "box", words, "nail, called", ()),
    )


UNDERLAY = {
    "underlay_roll": "felt", "underlay_direction": "horizontal", "underlay_vertical_from_deg": 10, "underlay_lap_mm": 150,
    "underlay_into_gutter_mm": 60, "underlay_over_hip_mm": 120, "underlay_over_ridge_mm": -130, "underlay_up_wall_mm": 200,
    "underlay_tape_roll_m": 25, "underlay_tape_side_laps": False, "underlay_staples_m2": 60, "safety_mesh": True,
    "safety_mesh_width_mm": 1800, "safety_mesh_lap_mm": 150, "mesh_staples_m2": 4,
}  # fmt: skip
# rolls of 0.2 m, of which 0.05 serve, so that no bound is rounded away
ROLLS = {
    "felt": SimpleNamespace(id="felt", width_mm=1350.0, length_mm=200.0),
    "foil": SimpleNamespace(id="foil", width_mm=1500.0, length_mm=200.0),
}
VALLEYS = [line_of_edge("V1", EdgeKind.VALLEY, 5000.0), line_of_edge("V2", EdgeKind.VALLEY, 2000.0)]
CORNERS = 2.0 + 2.0 * GOLDEN


def _under(change: dict[str, Any], roll: str | None = None, way: str | None = None, pitch: float = 30.0) -> Any:
    job = SimpleNamespace(underlay=SimpleNamespace(roll=roll, direction=way))
    lines = [line("felt", 3.0, "roll"), line("foil", 4.0, "roll"), line("underlay_tape", 2.0, "roll"), line("underlay_staple", 5.0),
             line("safety_mesh", 6.0), line("mesh_staple", 7.0)]  # fmt: skip
    return case(
        UNDERLAY | change, roofs=(roof([plane(pitch=pitch)], VALLEYS),), order={"lines": lines}, job=job,
        catalogue=SimpleNamespace(rolls=ROLLS),
    )  # fmt: skip


def _strips(width: float, along: float, past: float, wholly: bool = False) -> tuple[float, float]:
    """Least: what lies further inside than strips go past, over the roll's width or, less a lap of its lesser extent, over
    its cover. Most: what lies within as much outside over the cover, its sides along the strips, the ends. Valleys of 7 m,
    two ends each."""
    inner, outer = 20.0 - AROUND_M * past, 20.0 + AROUND_M * past + CORNERS * past**2
    least = inner / width if wholly else (inner - 0.15 * 4.0) / (width - 0.15)
    return least + 7.0, outer / (width - 0.15) + along + 4.0 * past + 7.0 + 4.0 * past


@pytest.mark.parametrize(
    ("change", "roll", "way", "pitch", "strips", "bought"),
    [
        ({}, None, None, 30.0, _strips(1.35, 12.0, 0.2), 3.0),
        ({}, "foil", None, 30.0, _strips(1.5, 12.0, 0.2), 4.0),
        ({}, None, "vertical", 30.0, _strips(1.35, 8.0, 0.2), 3.0),
        ({}, None, "vertical", 10.0, _strips(1.35, 8.0, 0.2), 3.0),
        ({}, None, "vertical", 9.9, _strips(1.35, 12.0, 0.2), 3.0),
        ({"underlay_direction": "vertical"}, None, None, 30.0, _strips(1.35, 8.0, 0.2), 3.0),
        ({"underlay_direction": "vertical"}, None, "horizontal", 30.0, _strips(1.35, 12.0, 0.2), 3.0),
        ({"underlay_up_wall_mm": 0, "underlay_over_ridge_mm": -300}, None, None, 30.0, _strips(1.35, 12.0, 0.3), 3.0),
        # so far past that least of the plane is left: the width counts, then nothing
        ({"underlay_up_wall_mm": 1050}, None, None, 30.0, _strips(1.35, 12.0, 1.05, wholly=True), 3.0),
    ],
)
def test_strips_of_underlay_and_its_tape(
    change: dict[str, Any], roll: str | None, way: str | None, pitch: float, strips: tuple[float, float], bought: float
) -> None:
    low, high = strips
    width = 1.5 if roll else 1.35
    rolls = (float(-(-low // 0.2)), float(-(-high // 0.05)))
    words = f"20.00 m2 of planes in strips of {1000 * width:g} mm, {low:.0f} to {high:.0f} m"
    made = _under(change, roll, way, pitch)
    check(underlay_rolls(made), (bought, *rolls, "roll", words, "", ()))
    # both sides of 7 m, at most a lap and 60 mm into the gutter longer at each of two; a lap for each roll but one
    tape = (14.0 + (rolls[0] - 1.0) * width, 14.0 + 4.0 * 0.21 + (rolls[1] - 1.0) * width)
    words = "valleys of 7.00 m taped on both sides, and a lap a roll"
    check(underlay_tape(made), (2.0, *tape, "roll", words, "underlay tape", ()))
    taped = _under({**change, "underlay_tape_side_laps": True}, roll, way, pitch)
    check(underlay_tape(taped), (2.0, tape[0], tape[1] + high, "roll", words, "underlay tape", ()))


def test_tape_and_strips_where_there_are_none() -> None:
    assert list(underlay_tape(_under({"underlay_tape_roll_m": 0}))) == []
    assert len(list(underlay_tape(_under({"underlay_tape_roll_m": 1})))) == 1
    nothing = case(UNDERLAY, roofs=(), catalogue=SimpleNamespace(rolls=ROLLS), job=JOB)
    for rule in (underlay_rolls, underlay_tape, underlay_staples, safety_mesh):
        assert list(rule(nothing)) == []
    # one roll needs no lap
    job = SimpleNamespace(underlay=SimpleNamespace(roll=None, direction=None))
    long = {"felt": SimpleNamespace(id="felt", width_mm=1350.0, length_mm=90000.0)}
    made = case(UNDERLAY, roofs=(roof([], VALLEYS),), job=job, catalogue=SimpleNamespace(rolls=long))
    (bound,) = underlay_tape(made)
    assert (bound.low, bound.high) == pytest.approx((14.0, 14.84))
    # a plane that strips go past altogether asks for nothing at least but its valleys
    (bound,) = underlay_rolls(_under({"underlay_up_wall_mm": 1200}))
    assert bound.from_what.split(", ")[1].startswith("7 to ")


def test_staples_and_mesh_by_area() -> None:
    """20 m2, less or more a thousandth of it and 0.01 a plane; a staple more; mesh of 1.8 m laps 0.15."""
    made = _under({})
    share = 1.8 / 1.65
    words = ("20.00 m2 of planes x 60.000", "20.00 m2 of planes x 1.091", "20.00 m2 of planes x 4.000")
    check(underlay_staples(made), (5.0, 1198.2, 1202.8, "each", words[0], "underlay staple", ()))
    check(
        safety_mesh(made),
        (6.0, 19.97 * share, 20.03 * share, "each", words[1], "safety mesh", ()),
        (7.0, 79.88, 81.12, "each", words[2], "mesh staple", ()),
    )
    assert list(safety_mesh(_under({"safety_mesh": False}))) == []
    assert list(underlay_staples(_under({"underlay_staples_m2": 0}))) == []
    assert len(list(underlay_staples(_under({"underlay_staples_m2": 1})))) == 1
    two = roof([plane(), plane("P2")], VALLEYS)
    made = case(UNDERLAY, roofs=(two,), job=JOB, catalogue=SimpleNamespace(rolls=ROLLS))
    (bound,) = underlay_staples(made)
    assert (bound.low, bound.high) == pytest.approx((60.0 * (40.0 - 0.06), 60.0 * (40.0 + 0.06) + 1.0))
