"""Figures that stand at the head of the modules of the order and of the roof's measuring, written down a second time:
regression figures.

They bound searches, are margins of bounds, or say what a crumb is, each for the reason beside it; whoever changes one
there changes it here as well.
"""

from __future__ import annotations

from dataclasses import MISSING, fields
from types import ModuleType
from typing import Any

import pytest

from takeoff.basics import one_run
from takeoff.measure.roofing.flashings import flashing_cover, flashing_shapes, fold_sections
from takeoff.measure.roofing.purlins import purlin_fixings, purlin_rows, purlins
from takeoff.measure.roofing.sheets import lay_direction, site_checks, site_fit, site_suspect, start_sides
from takeoff.order import rates, trips
from takeoff.order.bounds import (
    flashing_bounds,
    ground,
    order_bounds,
    purlin_bounds,
    rainwater_bounds,
    shape_bounds,
    sheet_bounds,
    stock_bounds,
    underlay_bounds,
    wall_bounds,
)
from takeoff.order.comparing import check_list, check_quotation, lay_over, list_marks, match_places, reissue
from takeoff.order.cut_stock import (
    choose,
    columns,
    dive,
    fewest,
    joints,
    master,
    problem,
    programme,
    quick_length,
    runs,
    solve,
    ways_by_price,
    whole_boards,
)
from takeoff.order.sheets import matching, raked_pairs, sheet_blanks

MARGINS = [
    (flashing_bounds, "DRESSED_M 0.5  EDGE_M 0.002"),
    (ground, "_IN_LINE_MITRES 20  _LEAST_SINE 1e-9  SAME_PLACE_MM 3  _SIDE_MM 0.5"),
    (order_bounds, "_SLATS 1.5"),
    (purlin_bounds, "NARROW_M 0.4"),
    (rainwater_bounds, "EDGE_M 0.01  WIDE_M 0.3  FITTING_M 0.2  _PLAN_SHARE 0.01  _PLAN_M2 0.1"),
    (
        shape_bounds,
        "AREA_SHARE 0.001  AREA_M2 0.01  AROUND_SHARE 0.01  AROUND_M 0.1  FOLD_DEG 1  FOLD_MM 1  APART_MM 5",
    ),
    (sheet_bounds, "AREA_SHARE 0.002  AREA_M2 0.02  _LINE_M 0.01  _END_MM 5  _UPRIGHT 0.05"),
    (stock_bounds, "PIECE_MM 1  _PRINTED_MM 0.5"),
    (underlay_bounds, "AREA_SHARE 0.001"),
    (wall_bounds, "PAST_M 0.15  _NET_SHARE 0.01  _NET_M2 0.05"),
]
LIMITS = [
    (check_quotation, "_ALIKE 0.72  _SAME_NAME 0.6  _CENT 0.011"),
    (lay_over, "_MOST_EDGES 150  _CELL_MM 5  _CELL_DEG 0.05  _BEST 4"),
    (list_marks, "_MOST 200"),
    (match_places, "_LEAST_SHARE 0.1"),
    (reissue, "_SHOWN 3"),
    (rates, "_SLIP 0.85"),
    (trips, "_LOOKS 20000  _CRUMB 1e-6"),
    (joints, "PRINTED_MM 0.49"),
    (one_run, "_YOUNG 500000"),
]
SEARCHES = [
    (choose, "PACKED_PIECES 20000"),
    (columns, "PRICE_SCALE 1048576"),
    (dive, "ROUNDS_A_NODE 400  ROUNDS_NEAR 250  SHORT_REST 20  SHORT_NODES 4000"),
    (fewest, "CHOICES 60"),
    (master, "MISSING_COST 4"),
    (programme, "ROOT_ROUNDS 3000  WHOLE_NODES 20  WHOLE_COLUMNS 400  NEAR 0.005  MANY_KINDS 300  HARDLY 0.001"),
    (programme, "MOST_WORK 5e7"),
    (quick_length, "_DIGITS 32  _ONE 4294967295  _BARS 32768"),
    (runs, "SPARE_JOINTS 2  CRUMB_PLACES 2"),
    (solve, "SEARCH_PIECES 40  SEARCH_NODES 3000  FEW_KINDS 4"),
    (ways_by_price, "ROUNDS 2"),
    (matching, "MOST_EDGES 1e5  BEST 40  _SOME_EDGES 1000  _MANY_EDGES 4000  _ROUNDS 30  _NODES 20  _PARTED 20"),
    (matching, "_PASSES 5  _NEVER 1e9  _WHOLE 1e-6  _STEPS 16777216"),
]
ROOFING = [
    (fold_sections, "_HEM_OPEN_DEG 14  _EDGE_TURN_DEG 45  _KICK_TURN_DEG 45  _RETURN_TURN_DEG 120"),
    (site_fit, "_ROUNDS 12  _LOOSE 0.001"),
    (site_suspect, "_ROUNDS 40  _TWICE 2"),
    (start_sides, "_MOST_TOGETHER 5"),
]


@pytest.mark.parametrize(("module", "written"), [*MARGINS, *LIMITS, *SEARCHES, *ROOFING])
def test_what_was_written_down(module: ModuleType, written: str) -> None:
    words = written.split()
    found = {name: getattr(module, name) for name in words[::2]}
    assert found == {
        name: pytest.approx(float(value), rel=1e-12) for name, value in zip(words[::2], words[1::2], strict=True)
    }


def test_searches_are_let_look_so_far() -> None:
    efforts = [
        (each.rounds, each.deviations, each.depth) for each in (programme.NARROW, programme.MIDDLING, programme.WIDE)
    ]
    assert efforts == [(600, 2, 3), (300, 4, 8), (4000, 4, 8)]
    assert whole_boards._FEW == (2, 3)


def test_most_of_a_line_that_no_rule_knows() -> None:
    """By the unit that a line is counted in: for a square metre of plane or wall, a metre of edge, and any house."""
    assert dict(order_bounds.CEILINGS) == {
        "each": (100.0, 50.0, 500.0), "m": (10.0, 10.0, 20.0), "m2": (4.0, 2.0, 5.0), "L": (0.5, 0.5, 5.0),
        "tube": (0.1, 0.3, 4.0), "bottle": (0.1, 0.0, 4.0), "tin": (0.1, 0.1, 4.0),
    }  # fmt: skip


def test_tables_of_the_roof() -> None:
    """Covers of flashings go by pitch up to 15, 30 and 45 degrees; the table of fixings has columns for rafters
    and purlins so far apart; the corners of a taped plane are numbered along its foot, then along its head."""
    assert flashing_cover.BANDS == ((15.0, "8_15"), (30.0, "15_30"), (45.0, "30_45"))
    assert (purlin_fixings.RAFTER_STEPS_MM, purlin_fixings.PURLIN_STEPS_MM) == ((900, 1200), (600, 900, 1200))
    assert dict(site_checks.LENGTHS) == {
        "rafter left": (0, 2), "rafter right": (1, 3), "eave": (0, 1), "ridge": (2, 3), "diagonal 1": (0, 3),
        "diagonal 2": (1, 2),
    }  # fmt: skip
    assert site_checks._SIDES == ("rafter left", "rafter right", "eave", "ridge")


@pytest.mark.parametrize(
    ("kind", "none"),
    [
        (flashing_shapes.Wanted, {"rain_mm_per_h": 0.0}),
        (flashing_shapes.Shaped, {"soft_edges": 0}),
        (fold_sections.Leg, {"turn_deg": 0.0}),
        (purlin_rows.RowRules, {"gutter_mm": 0.0, "edge_mm": 0.0, "useless_mm": 0.0}),
        (purlins._Laid, {"crossings": 0, "widest_mm": 0.0}),
        (lay_direction.SetOut, {"out_of_line_mm": 0.0}),
        (ground.PlaneGround, {"shift_m": 0.0}),
        (check_list._Sheet, {"reach_mm": 0.0}),
        (lay_over.Motion, {"turn_deg": 0.0, "shift": (0.0, 0.0)}),
        (problem.Problem, {"trim_mm": 0}),
        (rates._Rates, {"tax_percent": 0.0}),
        (raked_pairs.Half, {"guests_mm": 0.0}),
        (sheet_blanks.SheetTotals, {"site_m": 0.0, "site_m2": 0.0}),
    ],
)
def test_what_is_not_said_is_nothing(kind: Any, none: dict[str, Any]) -> None:
    found = {one.name: one.default for one in fields(kind) if one.default is not MISSING}
    assert {name: found[name] for name in none} == none
