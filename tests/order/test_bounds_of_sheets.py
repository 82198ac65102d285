"""The bounds of sheets, whole and by hand, on a made-up plane of 20 m2.

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
from takeoff.model.items import ItemKind
from takeoff.order.bounds.order_bounds import order_sheets
from takeoff.order.bounds.sheet_bounds import (
    bare_planes,
    bought_area,
    estimate,
    sheet_cover,
    sheet_lengths,
    sheet_lines,
    sheeted_area,
)

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


def test_bands_of_a_plane_that_is_hardly_wider_than_they_are() -> None:
    """40 m long and 200 to 25 mm wide, hips along both sides of which sheets end 35 mm short: 4.5 m2, less 2.8 in bands,
    leaves 1.7. Where it is under 70 mm wide they lie on each other: a triangle of 130 mm by 40 x 130 / 175 m is left, 1.93
    m2 and 0.2 more than that. Six times as wide all along, its bands take what they take."""
    for factor, left in ((1.0, 0.5 * 0.13 * 40.0 * 130.0 / 175.0), (6.0, 27.0 - 2.8)):
        wide, narrow = 200.0 * factor, 25.0 * factor
        ring = ((0.0, 0.0), (40000.0, 0.0), (40000.0, narrow), (0.0, wide))
        hips = [line_of_edge("H1", EdgeKind.HIP, 40000.0), line_of_edge("H2", EdgeKind.HIP, 40000.0)]
        may = estimate(_case(roofs=(roof([plane("P1", ring)], hips),)).planes[0], Given(TRIMS))
        shared = 1.4 if factor == 1.0 else 0.0
        slack = 0.002 * 4.5 * factor + 0.02 + 4.0 * 0.035**2
        assert may.low_m2 < left < may.high_m2
        assert may.bands_m2 == pytest.approx((-2.8, -2.8))
        assert may.high_m2 == pytest.approx(4.5 * factor - 2.8 + shared + slack, abs=1e-3)


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
