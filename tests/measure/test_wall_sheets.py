"""Wall sheets as they are ordered, by hand: set out, laps, rakes, pairs, and what goes round them.

Corrugate covers 762 and is 845 wide (catalogue: a maker's summary); how sheets are set out is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import ceil, hypot
from typing import Any

import pytest

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.sheeting.lee_end import wall_start
from takeoff.model.job.site import Site
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.model.order import Takeoff
from takeoff.model.sheets import SheetPiece
from takeoff.pipeline import run
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations
from takeoff.write.workbook.workbook_boards import course_lines, wall_pair_lines

SETTINGS = default_rules()
CATALOGUE = load_catalogue()
SHEETS = {"direction": "sheets", "profile": "corrugated"}
PAST = 37.5  # cavity 20 and ribs of 17.5: how far the face goes past the framing at an outside corner


def clad(
    wall: Mapping[str, Any], zones: tuple[Mapping[str, Any], ...] = (SHEETS,), site: Site | None = None, **more: Any
) -> CladdingMeasured:
    given = {"name": "wall", "width_mm": 6000, "height_mm": 2350, "left": "none", "right": "none", **wall}
    job = WallsJob.model_validate({"elevations": [given], "zones": list(zones), "ground_mm": -450, **more})
    return measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, CATALOGUE, site or Site())


def pieces_of(measured: CladdingMeasured) -> tuple[SheetPiece, ...]:
    return tuple(piece for group in measured.groups for plane in group.planes for piece in plane.pieces)


def runs_of(measured: CladdingMeasured, item: str) -> list[float]:
    return [round(run.length_mm, 1) for run in measured.needs[0].demands if run.item == item]


def test_no_sheet_is_ordered_for_a_strip_that_the_corner_flashings_hide() -> None:
    """Face of 2325 + 2 x 37.5 = 2400: three sheets reach 3 x 762 + 83 = 2369, 31 are left; a flashing hides 25 at each
    end, so both are cut short by 15.5 and a fourth sheet is not bought."""
    measured = clad({"width_mm": 2325, "left": "external", "right": "external"})
    (boards,) = measured.boards
    assert boards.courses == 3
    assert boards.marks_mm == pytest.approx((-PAST + 15.5, -PAST + 15.5 + 762, -PAST + 15.5 + 1524, 2325 + PAST - 15.5))
    assert "a sheet fewer: 31 mm" in boards.working.rule
    assert {round(max(x for x, _ in p.outline_xy) - min(x for x, _ in p.outline_xy)) for p in boards.pieces} == {845}


def test_a_strip_wider_than_the_flashings_hide_takes_its_sheet() -> None:
    """2430: 61 are left over three sheets, more than 2 x 25. The fourth would show 2430 - 2286 = 144, less than three
    crests of 76.2: it starts two ribs further out, (228.6 - 144) / 76.2 = 1.1, and the first sheet is cut by 152.4."""
    (boards,) = clad({"width_mm": 2355, "left": "external", "right": "external"}).boards
    assert boards.courses == 4
    assert boards.marks_mm[0] == pytest.approx(-PAST)
    assert boards.marks_mm[1] == pytest.approx(-PAST + 762 - 152.4)


def test_one_flashing_hides_no_more_than_its_own() -> None:
    # 31 mm over three sheets, a corner at the right only: 25 there are not enough
    assert clad({"width_mm": 2362.5, "right": "external"}).boards[0].courses == 4
    # 20 mm over: all of them at the corner, none at the free end
    (boards,) = clad({"width_mm": 2351.5, "right": "external"}).boards
    assert boards.courses == 3
    assert (boards.marks_mm[0], boards.marks_mm[-1]) == (0.0, pytest.approx(2369))


@pytest.mark.parametrize(
    ("faces", "side"),
    [(180.0, "right"), (0.0, "left"), (90.0, "left"), (270.0, "left"), (135.0, "right"), (None, "left")],
)
def test_sheets_are_laid_from_the_lee_end(faces: float | None, side: str) -> None:
    # lee end east (wind from the west): seen from outside, a wall that faces south has its right end in the east
    assert wall_start(faces, SETTINGS)[0] == side


def test_a_wall_higher_than_the_longest_sheet_is_lapped_over_a_batten() -> None:
    """5400 high, longest 4000: two tiers. Even ones are (5400 + 150) / 2 = 2775; the upper would start at -50 + 2775 -
    150 = 2575. Battens every 5400 / 12 = 450: that at 2650 lies in the middle of the lap. New Zealand's lap is 150."""
    measured = clad({"height_mm": 5350}, site=Site(longest_piece_mm=4000))
    pieces = pieces_of(measured)
    assert len(pieces) == 16
    assert {piece.order_mm for piece in pieces} == {2775.0}
    assert {(p.part, round(p.foot_v_mm, 3), p.lap_mm) for p in pieces} == {(0, -50.0, 150.0), (1, 2575.0, 0.0)}
    assert [piece.id for piece in measured.boards[0].pieces[:2]] == ["B1.01a", "B1.01b"]
    (note,) = (f for f in measured.boards[0].findings if f.code == "wall-sheets-lapped")
    assert "lapped 150 mm; upper sheets start 2575 mm over the floor" in note.text
    # the batten in the lap is crossed once: 13 rows x 8 sheets x 5 screws x 1.05
    screws = next(q.figure for q in measured.needs[0].quantities if q.item.startswith("wall_sheet_screw"))
    assert screws == ceil(13 * 8 * 5 * 1.05)


def test_sheets_that_cannot_be_lapped_stop_the_order() -> None:
    measured = clad({"height_mm": 5350}, site=Site(longest_piece_mm=700))
    assert [f.code for f in measured.boards[0].findings] == ["longest-wall-sheet-too-short"]


def test_raked_sheets_carry_both_their_sides() -> None:
    """A gable of 6 m, 1500 high, slope 1 / 2, over 2350: sheet n + 1 from 762 n to 762 n + 845."""
    gable = {"top": [(0, 2350), (3000, 3850)]}
    measured = clad(gable, ({"board": {"width_mm": 187, "cover_mm": 150}}, {**SHEETS, "from_mm": 2350}))
    (sheets,) = (boards for boards in measured.boards if boards.direction == "sheets")
    sides = [piece.sides_mm for piece in sheets.pieces]
    assert sides[1] == pytest.approx((381.0, 803.5))
    assert sides[2] == pytest.approx((762.0, 1184.5))
    # on the way down: from the near edge of its overall width; the last reaches 8 x 762 - 83 past the end
    assert sides[5] == pytest.approx(((6000 - 3810) / 2, (6000 - 4655) / 2))
    assert [piece.top.hand for piece in pieces_of(measured)[:3]] == ["right"] * 3


BARN = """
job: Barn with two gables in sheets
roofs:
  - {name: barn, wall_line: [[0, 0], [6000, 0], [6000, 9000], [0, 9000]], eave_overhang_mm: 450, verge_overhang_mm: 0,
     fascia_height_mm: 2500, pitch_deg: 26.5650511771, edges: {1: {kind: gable}, 3: {kind: gable}},
     covering: {profile: corrugated}}
walls:
  height_mm: 2400
  ground_mm: -300
  zones: [{direction: sheets, profile: corrugated}]
settings: {buy_raked_pairs: PAIRED}
"""


@cache
def barn(paired: str) -> Takeoff:
    return run(parse_job(BARN.replace("PAIRED", paired), "barn"))


def test_raked_wall_sheets_are_paired_by_the_rules_of_a_roof() -> None:
    """Gables facing south and north, both laid from the east: one from its right, one from its left. Turned end for end
    an offcut keeps its hand and changes its lap, so a sheet of one gable pairs with one of like hand of the other. A
    pair's blank: both short sides, one rake over 845 at a slope of 1 / 2, two allowances of 50, up to the next 10."""
    takeoff = barn("true")
    assert takeoff.order is not None
    (plan,) = takeoff.order.wall_pairs
    pieces = {p.mark: p for group in takeoff.cladding.groups for plane in group.planes for p in plane.pieces}
    assert plan.pairs
    for pair in plan.pairs:
        a, b = pieces[pair.first], pieces[pair.second]
        assert {a.plane, b.plane} == {"wall 1", "wall 3"}
        assert a.start_side != b.start_side
        shorts = sum(min(p.left_mm, p.right_mm) for p in (a, b))
        if a.top.shape.value == b.top.shape.value == "raked":
            assert a.top.hand == b.top.hand
            assert pair.length_mm == pytest.approx(ceil((shorts + 845 / 2 + 100 - 1e-6) / 10) * 10, abs=0.01)
    bought = sum(line.total for line in takeoff.order.lines if line.of.id == "wall sheet corrugated")
    assert bought * 1000 == pytest.approx(plan.paired_mm)
    plain = barn("false").order
    assert plain is not None
    alone = sum(line.total for line in plain.lines if line.of.id == "wall sheet corrugated")
    assert alone * 1000 == pytest.approx(plan.plain_mm)
    assert alone - bought == pytest.approx(plan.saving_mm / 1000)


def test_the_list_tells_both_sides_and_the_pairs() -> None:
    takeoff = barn("true")
    assert takeoff.order is not None
    lines = course_lines(takeoff, takeoff.order)
    # the second sheet of the south gable, laid from the right: its long side is that towards the ridge
    second = next(piece for boards in takeoff.cladding.boards for piece in boards.pieces if piece.id == "B1.02")
    left, right = second.sides_mm
    assert right - left == pytest.approx(845 / 2)
    assert any(
        f"wall 1, sheet 2: {second.length_mm:.0f} raked 26.6° at the top, left side {left:.0f}, right {right:.0f}"
        in line
        for line in lines
    )
    told = wall_pair_lines(takeoff.order)
    assert len(told) == 1 + len(takeoff.order.wall_pairs[0].pairs)
    assert "turned end for end" in told[1]
    plain = barn("false").order
    assert plain is not None
    assert [line[:10] for line in wall_pair_lines(plain)] == ["not bought"]


def test_flashings_of_openings_tops_and_feet() -> None:
    """A window of 1200 x 900: head 1200 + 2 x 30, sill 1200 + 2 x 10, two jambs of 900; a door of 1000 x 2100 has no
    sill. Top 6.0 m; the foot is closed along 6.0 - 1.0 and over both openings, 1.2 + 1.0: 7.2 m, 8 as it is sold."""
    window = {"wall": 1, "from_left_mm": 1000, "sill_mm": 900, "width_mm": 1200, "height_mm": 900}
    door = {"wall": 1, "from_left_mm": 4000, "sill_mm": -50, "width_mm": 1000, "height_mm": 2100, "kind": "door"}
    measured = clad({}, openings=[window, door])
    assert runs_of(measured, "sheet_head_flashing") == [1260, 1060]
    assert runs_of(measured, "sheet_sill_flashing") == [1220]
    assert runs_of(measured, "jamb_flashing") == [900, 900, 2100, 2100]
    assert runs_of(measured, "sheet_top_flashing") == [6000]
    assert runs_of(measured, "head_flashing") == runs_of(measured, "sill_tray") == []
    closer = next(q.figure for q in measured.needs[0].quantities if q.item == "wall_rib_closer")
    assert closer == 8.0, "sold in whole metres"


def test_a_gable_in_sheets_has_raked_tops_and_a_line_to_boards_has_none() -> None:
    gable = {"top": [(0, 2350), (3000, 3850)]}
    above = clad(gable, ({"board": {"width_mm": 187, "cover_mm": 150}}, {**SHEETS, "from_mm": 2350}))
    assert runs_of(above, "sheet_raked_top_flashing") == [round(hypot(3000, 1500), 1)] * 2
    assert runs_of(above, "sheet_top_flashing") == []
    below = clad(gable, (SHEETS, {"board": {"width_mm": 187, "cover_mm": 150}, "from_mm": 2350}))
    assert runs_of(below, "sheet_raked_top_flashing") == runs_of(below, "sheet_top_flashing") == []
