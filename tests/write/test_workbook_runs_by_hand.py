"""Purlins, boards and flashings on the order sheet: every cell by hand, formulas with what they must give.

How a sheet is laid out is no check value; counts, lengths and shares are worked by hand beside each.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from bars_by_hand import BARS, ITEMS, PLAN, SITE, WORKING, bar
from rows_by_hand import Rows

from takeoff.model.basis import Quantity
from takeoff.model.measured import Need, PurlinLine
from takeoff.model.runs import CutPiece, CutPlan, RunDemand, StockBar
from takeoff.model.walls import Corner, Elevation, Opening, WallBoards
from takeoff.write.workbook import workbook_runs, workbook_walls
from takeoff.write.workbook.workbook_page import Formula

STYLES = ("text", "count", "metres", "text", "text", "whole")


def test_bars_of_purlins_with_what_is_bought_placed_lapped_and_left() -> None:
    """22.8 + 3.5 - 24.7 - 0.3 = 1.3 m left: of 22.8 m 5.7 %, of 24.6996 m 5.3 %."""
    page = Rows()
    workbook_runs.put_bars(page, PLAN)  # type: ignore[arg-type]
    assert page.kept == [
        ("line", "from site back shed", 1, 5400, "2000 + 1500", "S1 + S2", 1900.0),
        ("line", "", 1, 6000, "5000", "D1", Formula("C11-(5000)", 1000.0)),
        ("line", "", 2, 6000, "3500 + 2400", "A1 + A2; B 1 + B2", Formula("C12-(3500+2400)", 100.0)),
        ("line", "", 1, 4800, "4700", "C1", Formula("C13-(4700)", 100.0)),
        ("total", "lengths", Formula("SUM(B11:B13)", 4.0), None, None, None, None),
        ("line", "bought m", None, Formula("ROUND(SUMPRODUCT(B11:B13,C11:C13)/1000,3)", 22.8), None, STYLES),
        ("line", "placed m", None, 24.7, None, STYLES),
        ("line", "laps m", None, 0.3, None, STYLES),
        ("line", "from site m", None, 3.5, None, STYLES),
        ("line", "offcuts m", None, Formula("ROUND(C15-C16-C17+C18,3)", 1.3),
         "5.7 % of bought, 5.3 % of net; saw cuts too", STYLES),
        ("line", "proven least m", None, 21.0, "proven least", STYLES),
    ]  # fmt: skip


def test_what_is_cut_on_the_site_alone_buys_nothing() -> None:
    page = Rows()
    workbook_runs.put_bars(page, replace(PLAN, bars=(), site_bars=(replace(SITE[0], mark=""),)))  # type: ignore[arg-type]
    assert page.kept == [
        ("line", "from site", 1, 5400, "2000 + 1500", "S1 + S2", 1900.0),
        ("note", "Nothing of it is bought."),
    ]


def test_a_plan_that_is_proven_by_a_list_says_how_and_nothing_of_a_site() -> None:
    """6.0 - 5.8 - 0.1 = 0.1 m: of 6 m 1.7 %, of 5.8 m 1.7 %."""
    page = Rows(4)
    plan = CutPlan("t70", (BARS[2],), 5_900, 6_000, 5_800.0, 100.0, proof="duals,\nrounded down")
    workbook_runs.put_bars(page, plan)  # type: ignore[arg-type]
    assert page.kept[4:] == [
        ("line", "laps m", None, 0.1, None, STYLES),
        ("line", "offcuts m", None, Formula("ROUND(C6-C7-C8,3)", 0.1), "1.7 % of bought, 1.7 % of net; saw cuts too", STYLES),
        ("line", "proven least m", None, 5.9, "no list of these pieces buys less: duals, rounded down", STYLES),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("bought", "placed", "words"),
    [
        (1, 1.0, "100.0 % of bought, 100.0 % of net; saw cuts too"),
        (8, 2.0, "12.5 % of bought, 50.0 % of net; saw cuts too"),
        (0, 2.0, "saw cuts too"),
        (8, 0.0, "saw cuts too"),
    ],
)
def test_offcuts_of_a_millimetre_as_shares(bought: int, placed: float, words: str) -> None:
    assert workbook_runs._shares(0.001, CutPlan("t70", (), 0, bought, placed, 0.0)) == words


def test_bars_cut_alike_stand_together_longest_stock_and_longest_pieces_first() -> None:
    assert [[one.number for one in bars] for bars in workbook_runs.bar_groups(PLAN)] == [[3], [2, 4], [1]]


def test_plans_go_with_the_needs_whose_runs_are_cut_in_them() -> None:
    """The second plan has its one piece on the site; no need asks for the third."""
    here = replace(PLAN, item="t90", bars=(), site_bars=(bar(1, 900, ("X", 800)),))
    other = replace(PLAN, item="none", bars=(bar(1, 900, ("Y", 800)),), site_bars=())
    need = [
        Need("purlins", (), (RunDemand("X", "t90", 800.0),)),
        Need("walls", (), (RunDemand("Q", "t90", 1.0), RunDemand("C1", "t70", 4700.0))),
    ]
    order: Any = SimpleNamespace(plans=(PLAN, here, other))
    assert workbook_runs.plans_of(order, need, ITEMS) == ((here, "Purlin 90 x 45"), (PLAN, "Purlin 70 x 45"))
    takeoff: Any = SimpleNamespace(
        roofing=SimpleNamespace(needs=(need[0],)),
        rainwater=SimpleNamespace(needs=(need[1],)),
        cladding=SimpleNamespace(needs=(replace(need[0], trade="cladding"),)),
    )
    assert workbook_runs.needs_of(takeoff, ("cladding", "purlins")) == (need[0], replace(need[0], trade="cladding"))
    assert workbook_runs.needs_of(takeoff, ("walls",)) == (need[1],)


def test_rows_of_purlins_with_their_place_up_the_slope() -> None:
    """Level to under 1 mm: one that rises 1 mm has no one place. 3-4-5 is 5 long."""
    lines = (
        PurlinLine("R1", "P1", "purlin", 1, (100.0, 449.6), (7100.4, 450.5)),
        PurlinLine("R2", "P1", "creeper\tbatten", 2, (0.0, 900.0), (3000.0, 901.0)),
        PurlinLine("R3", "P2", "purlin", 7, (3000.0, 4000.0), (0.0, 0.0)),
    )
    pieces = (CutPiece("late", "R1", 4000.0, 3001), CutPiece("\x01early", "R1", 0.0, 4000))
    order: Any = SimpleNamespace(plans=(replace(PLAN, bars=(StockBar("t70", 1, 7200, pieces),), site_bars=()),))
    page = Rows()
    takeoff: Any = SimpleNamespace(roofing=SimpleNamespace(purlins=lines))
    workbook_runs.fill_purlin_rows(page, takeoff, order)  # type: ignore[arg-type]
    assert page.kept == [
        ("line", "P1", 1, "purlin", 450.0, 7000.0, "early 4000 + late 3001"),
        ("line", "P1", 2, "creeper batten", None, 3000.0, ""),
        ("line", "P2", 7, "purlin", None, 5000.0, ""),
    ]
    bare = Rows()
    workbook_runs.fill_purlin_rows(bare, SimpleNamespace(roofing=SimpleNamespace(purlins=())), order)  # type: ignore[arg-type]
    assert bare.kept == [("note", "No purlins in this order.")]


CHEAPEST = (
    "Stock lengths: least metres. Fewer different lengths to load and pick from cost a little more: set "
    "'purlin most lengths' to the number wanted, or 'purlin objective' to fewest lengths."
)


@pytest.mark.parametrize(
    ("objective", "most", "words"),
    [
        ("fewest_lengths", 3.0, "Stock lengths: as few different ones as can be, as set."),
        ("least_length", 1.0, "Stock lengths: at most 1 different ones a section, as set; then least metres."),
        (
            "least_length",
            0.0,
            CHEAPEST,
        ),
    ],
)
def test_how_the_stock_lengths_were_chosen(objective: str, most: float, words: str) -> None:
    said: Any = SimpleNamespace(
        settings=SimpleNamespace(
            number={"purlin_most_lengths": most}.__getitem__, word={"purlin_objective": objective}.__getitem__
        )
    )
    assert workbook_runs._lengths_words(said) == words


# ----------------------------------------------------------------------- walls

TWO = ("count", "length", "text", "whole")
BOTH = (*TWO, "text", *TWO)
WALL_TOTAL = ("count", "metres", *("text",) * 7)


def test_boards_stand_in_two_halves_with_their_sums() -> None:
    """Three sorts of bar: two on the left, one on the right. Left 1.3 m of 22.8 bought and 24.6996 placed: 5.7 and 5.3 %."""
    page = Rows()
    workbook_walls._bars(page, PLAN)  # type: ignore[arg-type]
    assert page.kept == [
        ("note", "5400 mm, from site: back shed: 2000 + 1500."),
        ("line", 1, 6000, "5000", Formula("B11-(5000)", 1000.0), None,
         1, 4800, "4700", Formula("G11-(4700)", 100.0), BOTH),
        ("line", 2, 6000, "3500 + 2400", Formula("B12-(3500+2400)", 100.0), None, None, None, None, None, BOTH),
        ("total", Formula("SUM(A11:A12)+SUM(F11:F12)", 4.0),
         Formula("ROUND((SUMPRODUCT(A11:A12,B11:B12)+SUMPRODUCT(F11:F12,G11:G12))/1000,3)", 22.8),
         "m bought; proven least 21", None, None, None, None,
         "laps 0.3 m; offcuts 1.3 m, 5.7 % of bought, 5.3 % of net", None, WALL_TOTAL),
    ]  # fmt: skip


def test_one_sort_of_bar_has_no_right_half_and_an_uncut_one_fills_a_pack() -> None:
    page = Rows()
    workbook_walls._bars(page, CutPlan("t70", (bar(1, 4800),), 0, 4_800, 0.0, 0.0))  # type: ignore[arg-type]
    assert page.kept == [
        ("line", 1, 4800, "uncut: fills a pack", Formula("B10-(0)", 4800.0), None, None, None, None, None, BOTH),
        ("total", Formula("SUM(A10:A10)", 1.0), Formula("ROUND((SUMPRODUCT(A10:A10,B10:B10))/1000,3)", 4.8),
         "m bought; proven least 0", None, None, None, None, "", None, WALL_TOTAL),
    ]  # fmt: skip
    only_site = Rows()
    workbook_walls._bars(only_site, replace(PLAN, bars=(), site_bars=(replace(SITE[0], mark=""),)))  # type: ignore[arg-type]
    assert only_site.kept == [("note", "5400 mm, from site: 2000 + 1500.")]


def test_the_first_millimetre_of_laps_and_of_what_is_placed_is_told() -> None:
    """1 mm lapped, 1 mm placed of 1000 bought: 998 left, 99.8 % of bought and 99 800 % of net."""
    page = Rows()
    workbook_walls._bars(page, CutPlan("t70", (bar(1, 1000, ("a", 1)),), 2, 1_000, 1.0, 1.0))  # type: ignore[arg-type]
    total = page.kept[-1]
    assert total[3] == "m bought; proven least 0.002"
    assert total[8] == "laps 0.001 m; offcuts 0.998 m, 99.8 % of bought, 99 800 % of net"


def wall(number: int, *openings: Opening) -> Elevation:
    corner = Corner("external", 90.0)
    return Elevation(
        f"W{number}", number, 7200.6, 2400.0, (), 0.0, openings, corner, corner, (0.0, 0.0), False, 0.0, (0.0, 0.0),
        (1.0, 0.0),
    )  # fmt: skip


def boards(wall_: int, zone: str, gross: float, net: float) -> WallBoards:
    return WallBoards(wall_, zone, "horizontal", "t70", 155.25, 187.0, 16, net, gross, (), (), WORKING)


def clad(walls: tuple[Elevation, ...], zones: tuple[WallBoards, ...], measures: tuple[Any, ...] = ()) -> Any:
    return SimpleNamespace(
        elevations=walls,
        cladding=SimpleNamespace(boards=zones, corners=(), lines=()),
        measures=measures,
        items=ITEMS,
    )


def quantity(name: str, figure: float, unit: str = "m2") -> Quantity:
    return Quantity(name, name, figure, unit, (), WORKING)


def test_a_row_a_zone_of_each_wall_with_the_sum_of_what_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """Shown to 0.01: 12.345 is 12.35, 3.004 is 3, so 15.35; net 10.02 + 1.01 = 11.03. Wall 9 is no elevation."""
    monkeypatch.setattr(workbook_walls, "details_of", lambda takeoff: ())
    walls = (wall(1, Opening("W\t1", 0.0, 0.0, 899.6, 1200.4), Opening("D1", 0.0, 0.0, 820.0, 2040.0)), wall(2))
    zones = (boards(2, "b", 3.004e6, 1.006e6), boards(1, "a", 12.345e6, 10.021e6), boards(9, "z", 5e6, 5e6))
    measures = (
        quantity("zone\t1.gross", 12.345),
        quantity("zone\t1.net", 10.021),
        quantity("zone\t1.openings", 2.3249),
        quantity("wall 1.gross", 7.0),
        quantity("south.gross", 3.0, "m"),
    )
    page = Rows()
    workbook_walls.fill_walls(page, clad(walls, zones, measures), SimpleNamespace())  # type: ignore[arg-type]
    assert page.kept == [
        ("line", "wall 1", "horizontal", 7201.0, 16, 155.3, 12.35, 10.02,
         "Purlin 70 x 45; openings W 1 900 x 1200, D1 820 x 2040"),
        ("line", "wall 2", "horizontal", 7201.0, 16, 155.3, 3.0, 1.01, "Purlin 70 x 45"),
        ("total", "all walls", None, None, None, None, Formula("ROUND(SUM(F10:F11),2)", 15.35),
         Formula("ROUND(SUM(G10:G11),2)", 11.03), None),
        ("gap",),
        ("group", "Area of the cladding by zone and by the way walls face"),
        ("line", "zone 1", None, None, None, None, 12.35, 10.02, "openings 2.32"),
    ]  # fmt: skip


def test_walls_without_boards_and_no_walls(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook_walls, "details_of", lambda takeoff: ())
    for walls, said in ((), [("note", "No walls in this job.")]), ((wall(1),), []):
        page = Rows()
        workbook_walls.fill_walls(page, clad(walls, ()), SimpleNamespace())  # type: ignore[arg-type]
        assert page.kept == said
    without = Rows()
    workbook_walls.fill_walls(without, clad((wall(1),), (boards(1, "a", 1e6, 1e6),)), SimpleNamespace())  # type: ignore[arg-type]
    assert [row[0] for row in without.kept] == ["line", "total"]


def test_corners_and_lines_of_walls_a_row_a_detail(monkeypatch: pytest.MonkeyPatch) -> None:
    detail = SimpleNamespace(
        mark="C1", metres=4.8004, lines=2, walls=(1, 3), what="external corner", parts="2 soakers", why="As drawn."
    )
    monkeypatch.setattr(workbook_walls, "details_of", lambda takeoff: iter((detail,)))
    page = Rows()
    workbook_walls._details(page, SimpleNamespace())  # type: ignore[arg-type]
    assert page.kept == [
        ("gap",),
        (
            "group",
            "Corners and lines between claddings: detail, metres, what it is, where, what is ordered for it, why",
        ),
        ("line", "C1", "4.8 m", *(None,) * 5, "external corner; 2 on walls 1, 3: 2 soakers. As drawn."),
    ]


def test_lengths_of_walls_then_what_is_counted_then_courses_then_pairs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three counted: two on the left, one on the right."""
    monkeypatch.setattr(workbook_walls, "course_lines", lambda takeoff, order: ("1: a + b", "2: c"))
    monkeypatch.setattr(workbook_walls, "wall_pair_lines", lambda order: ("WS1 with WS2",))
    monkeypatch.setattr(workbook_walls, "_bars", lambda page, plan: page.note(f"bars of {plan.item}"))
    counted = tuple(Quantity("q", "t90", figure, "kg", (), WORKING) for figure in (1.005, 2.0, 3.333))
    need = Need("cladding", counted, (RunDemand("C1", "t70", 4700.0),))
    takeoff: Any = SimpleNamespace(
        roofing=SimpleNamespace(needs=()), rainwater=SimpleNamespace(needs=()), cladding=SimpleNamespace(needs=(need,)),
        items=ITEMS,
    )  # fmt: skip
    page, order = Rows(), SimpleNamespace(plans=(PLAN,))
    workbook_walls.fill_wall_lengths(page, takeoff, order)  # type: ignore[arg-type]
    counts, name = (("count", "text", "text", "text"), "Purlin 90 x 45")
    courses = "Boards by wall and course, from the left end or the foot; + is a joint, / an opening"
    assert page.kept == [
        ("group", "Purlin 70 x 45"),
        ("note", "bars of t70"),
        ("gap",),
        ("group", "Bought as counted"),
        ("line", 1.01, "kg", name, None, None, 3.33, "kg", name, None, (*counts, "text", *counts)),
        ("line", 2.0, "kg", name, None, None, None, None, None, None, (*counts, "text", *counts)),
        ("gap",),
        ("group", courses),
        ("line", None, None, "1: a + b", None, None, None, None, "2: c", None, BOTH),
        ("group", "Wall sheets out of one length, turned end for end where it says so"),
        ("note", "WS1 with WS2."),
    ]
    monkeypatch.setattr(workbook_walls, "wall_pair_lines", lambda order: ())
    bare = Rows()
    takeoff.cladding.needs = ()
    workbook_walls.fill_wall_lengths(bare, takeoff, order)  # type: ignore[arg-type]
    assert bare.kept == [("note", "Nothing for walls in this order.")]
    takeoff.cladding.needs = (replace(need, demands=()),)
    alone = Rows()
    workbook_walls.fill_wall_lengths(alone, takeoff, order)  # type: ignore[arg-type]
    assert [row[0] for row in alone.kept] == ["group", "line", "line", "gap"]
