"""What is explained of the house made by hand, whole: a hip roof of 12 x 8 m at 25 degrees. The slope is 4 / cos 25 = 4.4135 m,
a hip sqrt(4^2 + 4.4135^2) = 5.956 m, a diagonal of its long plane sqrt(8^2 + 4.4135^2) = 9.137 m; its long planes have
(12 + 4) / 2 x 4.4135 = 35.308 m2, its short ones 4 x 4.4135 = 17.654."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from takeoff.model.order import Takeoff
from takeoff.model.runs import CutPiece, StockBar
from takeoff.write.explain.explain_words import explain, near_names
from takeoff.write.explain.explanation import Explanation, came_from

RULE = ("reach + raked allowance, rounded up", "raked allowance 50 mm [common practice, no source]")
P1 = "P1: roof plane at 25 degrees falling south, 35.31 m2, rises from edge 1 of the job"
P3 = "P3: roof plane at 25 degrees falling north, 35.31 m2, rises from edge 3 of the job"
P4 = "P4: roof plane at 25 degrees falling west, 17.65 m2, rises from edge 4 of the job"
EAVES = tuple(
    f"eave {n}: eave of P{n}, {long} m, edge {n} of the job" for n, long in ((1, 12), (2, 8), (3, 12), (4, 8))
)
HIPS = ("hip 1: hip between P4 and P1, 5.956 m", "hip 2: hip between P1 and P2, 5.956 m")
RIDGE = "ridge 1: ridge between P3 and P1, 4 m"
PIPES = "2 downpipes by e1_as1, decided by gutter length per outlet (gutter length per outlet asks for 2, area per outlet asks for 2)"
# 24.84 of 27 m2: 10.8 x 2.5 m less a window of 1.8 x 1.2
BOARDS = "horizontal bevel_187: 17 courses at 155 mm cover, 24.84 m2 net of 27 m2"

WHOLE = {
    "P1": Explanation(
        "P1: roof plane",
        ("25 degrees, falls south, 35.308 m2 on the slope, 32 m2 in plan", "rises from edge 1 of roof main",
         ("taped: rafter left = hip hip 1 5956, rafter right = hip hip 2 5956, eave 12000, ridge 4000, "
         "diagonal, rising right 9137, diagonal, rising left 9137 mm"),
         ("FRAME: common rafter 4414 under the left end of ridge 1; common rafter 4414 under the right end of ridge 1; "
         "hip left hip 1 5956; hip right hip 2 5956."),
         ("16 sheets of corrugated on 39.772 m2 net: start square off the eave at the left end. "
         "The right edge of each sheet lies over.")),
        (*RULE, *RULE), (EAVES[0], RIDGE, *HIPS),
    ),
    "p1.1": Explanation(
        "P1.01: sheet on P1, corrugated",
        ("bought 1040 mm for a reach of 982.4 mm", "sides 50 mm left, 982 mm right, seen from below the eave",
         "strip 1 from the left; its lap width lies on the right",
         "foot square along eave 1; top raked 47.8 degrees, longer on the right along hip 1",
         "long point 0 mm above the foot, 0 mm from the left edge", "order line sheets-1040: 4 x 1040 mm, Corrugated 0.40"),
        RULE, (P1, EAVES[0], HIPS[0]),
    ),
    "ridge 1": Explanation(
        "ridge 1: ridge",
        (RIDGE, "plan length 4 m, slope 0 degrees", "145 degrees between the faces, opens downward",
         "flashing F1: net 4000 mm, dressings 150 and 150 mm, girth 450 mm", "sheets that end on it: P1.07 to P1.10, P3.07 to P3.10"),
        RULE, (P3, P1),
    ),
    "PU2": Explanation(
        # 950 up the slope it is 950 cos 25 = 861 in from each end
        "PU2: run of Purlin 70 x 45",
        ("10278 mm to be covered, laps not counted", "may be joined at 1 places, laps 0 mm", "cut as PU2a 5400 + PU2b 4879 mm",
         "from timber_70x45 3 (5400 mm), timber_70x45 4 (6600 mm)", "purlin row 2 on P1, 950 mm up the slope"),
        ("as long as it is drawn",), (P1,),
    ),
    "F1": Explanation(
        "F1: run of Ridge roll",
        ("4300 mm to be covered, laps not counted", "may be joined anywhere, laps 150 mm", "cut as F1.1 4300 mm",
         "from ridge_roll 1 (6000 mm)",
         "ridge flashing along ridge 1: net 4000 mm, dressings 150 and 150 mm, girth 450 mm, 5 folds"),
        ("as long as it is drawn",), (RIDGE,),
    ),
    "PU2b": Explanation(
        # to 5400 + 4879; 6600 - 4879 are left
        "PU2b: piece of timber_70x45",
        ("4879 mm, from 5400 to 10279 mm along run PU2",
         "out of timber_70x45 4: 6600 mm cut into PU2b 4879, 1721 mm left with saw cuts"),
        (), (P1,),
    ),
    "timber_70x45 4": Explanation(
        # four times 5.4 and 6.6 m; rows of 11.909, 10.278, 8.646 and 7.015 m
        "timber_70x45 4: length of stock",
        ("6600 mm cut into PU2b 4879, 1721 mm left with saw cuts",
         ("the whole list of timber_70x45: bought 48 m, placed 37.849 m, laps 0 m, waste 10.151 m; proven least 45 m: "
         "duals, rounded down")),
        (), (P1,),
    ),
    "G1": Explanation(
        "G1: gutter run",
        ("40 m in 4 legs along eave 1, eave 2, eave 3, eave 4", "96 m2 of roof in plan drain to it",
         f"corners: {', '.join(['external 90 degrees'] * 4)}", "runs round the roof, no stop ends", f"{PIPES}: D1, D2"),
        RULE, EAVES,
    ),
    "D2": Explanation(
        "D2: downpipe of G1",
        ("20000 mm from the start of gutter G1, at 12000, 8000 mm on the plan",
         "2400 mm from gutter to ground, 48 m2 of roof drain to it", PIPES),
        RULE, EAVES,
    ),
    "wall 1": Explanation(
        "wall 1", ("10800 mm wide, frame 2450 mm high, faces south", "openings: W1", BOARDS), RULE
    ),
    "Q1": Explanation("Q1: brackets", ("34 each",), RULE),
    "area-P1": Explanation("area-P1: true area", ("35.31 m2",), RULE, (P1,)),
    "fl": Explanation(
        "fl: order line, Ridge roll", ("1 each of 6000 mm = 6 m, delivered with flashings", "9 kg", "for F1"), RULE, (RIDGE,)
    ),
    "br": Explanation("br: order line, Bracket", ("34 each, delivered with rainwater", "for G1"), RULE),
    "bb": Explanation(
        "bb: order line, Bevel-back 187", ("24 each of 12000 mm = 288 m, delivered with walls", "primed"), RULE
    ),
    "raked_allowance_mm": Explanation(
        "raked_allowance_mm: setting",
        ("raked allowance, added to a sheet that is cut on the rake: 50 mm, common practice, no source",),
    ),
}  # fmt: skip


@pytest.mark.parametrize("mark", list(WHOLE))
def test_what_is_explained_of_a_mark(mark: str, sample: Takeoff) -> None:
    assert explain(sample, mark) == (WHOLE[mark],)


def test_a_mark_of_two_things_explains_both(sample: Takeoff) -> None:
    window = Explanation(
        "W1: opening",
        ("on wall 1, 2400 mm from its left end seen from outside", "1800 x 1200 mm, sill 900 mm and head 2100 mm over the floor"),
    )  # fmt: skip
    assert explain(sample, "W1") == (WHOLE["wall 1"], window)
    board = explain(sample, "B1.03.1")
    assert board == (
        Explanation("B1.03.1: run of Bevel-back 187",
                    ("10800 mm to be covered, laps not counted", "in one piece", "cut as B1.03.1a 10800 mm", "from bevel_187 3 (12000 mm)"),
                    ("as long as it is drawn",)),
        Explanation("B1.03.1: board, zone 1", ("10 800 mm, course 3 of wall 1, bevel_187", BOARDS), RULE),
    )  # fmt: skip


def test_a_hip_has_the_sheets_of_both_its_planes(sample: Takeoff) -> None:
    """Every fourth hip is called hip 1 on the sheets made by hand: planes 2 and 4 end on it with all they have."""
    (found,) = explain(sample, "HIP 1")
    assert found.facts == (
        HIPS[0], "plan length 5.657 m, slope 0 degrees", "145 degrees between the faces, opens downward",
        "sheets that end on it: P1.01 to P1.06, P1.11 to P1.16, P2.01 to P2.11, P3.01 to P3.06, P3.11 to P3.16, P4.01 to P4.11",
    )  # fmt: skip
    assert (found.working, found.came_from) == ((), (P4, P1))
    inward = replace(sample.roofs[0].edges[5], convex=False, faces=("P1",))
    roof = replace(sample.roofs[0], edges=(inward,))
    (alone,) = explain(replace(sample, roofs=(roof,)), inward.id)
    assert alone.facts[:2] == (f"{inward.id}: hip of P1, 5.956 m", "plan length 5.657 m, slope 0 degrees")
    assert "degrees between" not in alone.facts[2]
    (up,) = explain(replace(sample, roofs=(replace(roof, edges=(replace(inward, faces=("P1", "P2")),)),)), inward.id)
    assert up.facts[2] == "145 degrees between the faces, opens upward"


def test_where_things_came_from_is_told_of_twelve_at_most(sample: Takeoff) -> None:
    names = [edge.id for edge in sample.roofs[0].edges] + [plane.id for plane in sample.roofs[0].planes]
    assert len(names) == 13
    found = came_from(sample, names)
    assert len(found) == 13
    assert found[0] == EAVES[0]
    assert found[12] == "and P4"
    assert len(came_from(sample, names[:12])) == 12
    assert came_from(sample, names[:12])[11].startswith("P3: roof plane")
    # each once, in the order in which they are named; a sheet leads to its plane, a run to what it lies along
    assert came_from(sample, ["F1", "P1.03", "P1", "nothing", "PU3"]) == (RIDGE, P1)


def test_a_number_alone_is_an_order_line_and_a_length_of_stock_is_by_its_own(sample: Takeoff) -> None:
    order: Any = sample.order
    numbered = replace(
        sample, order=replace(order, lines=(replace(order.lines[0], id="L7"), replace(order.lines[1], id="L12")))
    )
    for asked in ("7", "L7", "L07", "line 7", "order line 07"):
        (found,) = explain(numbered, asked)
        assert found.title == "L7: order line, Purlin 70 x 45"
    assert explain(numbered, "71") == explain(numbered, "hip 7") == explain(numbered, "edge 5") == ()
    (edge,) = explain(sample, "edge 2")
    assert edge.title == "eave 2: eave"
    assert explain(sample, "plane 2") == explain(sample, "P2")
    bar = StockBar("ridge_roll", 2, 6000, (CutPiece("F1.2", "F1", 4150.0, 1850), CutPiece("F1.3", "F1", 5000.0, 2000)))
    plans = tuple(
        replace(plan, bars=(*plan.bars, bar), proof="") if plan.item == "ridge_roll" else plan for plan in order.plans
    )
    (found,) = explain(replace(sample, order=replace(order, plans=plans)), "ridge_roll 2")
    assert found.facts[0].startswith("6000 mm cut into F1.2 1850 + F1.3 2000, ")
    assert (
        found.facts[1]
        == "the whole list of ridge_roll: bought 6 m, placed 4.3 m, laps 0 m, waste 1.7 m; proven least 6 m"
    )
    (piece,) = explain(replace(sample, order=replace(order, plans=plans)), "F1.2")
    assert piece.facts[0] == "1850 mm, from 4150 to 6000 mm along run F1"


def test_names_like_one_that_is_none(sample: Takeoff) -> None:
    assert near_names(sample, "P99") == ("P1 to P4",)
    near = near_names(sample, "P1.17")
    assert len(near) == 5
    assert near[0].startswith("P1.1")
    assert near_names(sample, "eave 11")[:1] == ("eave 1",)
    assert near_names(sample, "???") == ()
    one = replace(sample, roofs=(replace(sample.roofs[0], planes=sample.roofs[0].planes[:1]),))
    assert near_names(one, "P77") == ("P1",)
