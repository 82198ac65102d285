"""Zones that take a part of a wall, by hand: bands, strips, the gable triangle, what is left out; refusals."""

from __future__ import annotations

from math import hypot
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.model.walls import WallBoards
from takeoff.order.cut_stock.runs import cut_all
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
CATALOGUE = load_catalogue()
UP = {"width_mm": 150, "cover_mm": 135, "kind": "shiplap"}
LEVEL = {"width_mm": 187, "cover_mm": 150, "kind": "rusticated"}
BASE = {"board": LEVEL}
GABLE = {"top": [(0, 2350), (3000, 3850)]}  # 6 m wide, its triangle 1500 high over 2350


def clad(*zones: dict[str, Any], wall: dict[str, Any] | None = None, **more: Any) -> CladdingMeasured:
    """One wall of 6 m by itself, cladding from 50 below the floor to 2350 over it."""
    given = {"name": "wall", "width_mm": 6000, "height_mm": 2350, "left": "none", "right": "none", **(wall or {})}
    job = WallsJob.model_validate({"elevations": [given], "zones": [BASE, *zones], "ground_mm": -450, **more})
    return measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, CATALOGUE)


def of_zone(measured: CladdingMeasured, number: int) -> WallBoards:
    (boards,) = (found for found in measured.boards if found.zone == f"zone {number}")
    return boards


def metres(measured: CladdingMeasured, item: str) -> float:
    return sum(run.length_mm for run in measured.needs[0].demands if run.item == item) / 1000.0


def areas(measured: CladdingMeasured) -> dict[str, float]:
    return {found.id: round(found.figure, 6) for found in measured.measures}


def opening(left: float, sill: float, width: float, height: float) -> dict[str, float]:
    return {"wall": 1, "from_left_mm": left, "sill_mm": sill, "width_mm": width, "height_mm": height}


def test_a_gable_triangle_in_vertical_boards_over_horizontal() -> None:
    """Triangle 6.0 x 1.5 / 2 = 4.5 m2 over 6.0 x 2.4 = 14.4 m2; the line between them is 6.0 m."""
    measured = clad({"from_mm": 2350, "direction": "vertical", "board": UP}, wall=GABLE)
    level, upright = of_zone(measured, 1), of_zone(measured, 2)
    assert (level.gross_mm2, upright.gross_mm2) == (14_400_000, pytest.approx(4_500_000))
    # 16 courses of 150, the last ripped to 150; no course goes up the gable
    assert level.courses == 16
    assert max(y for piece in level.pieces for _, y in piece.outline_xy) == 2350
    # the upright boards stand on 2350 and are as long as the rake at their inner side and lap: slope 1 / 2
    assert {min(y for _, y in piece.outline_xy) for piece in upright.pieces} == {2350}
    third = upright.pieces[2]
    assert third.length_mm == pytest.approx((upright.marks_mm[3] + 15) / 2)
    assert round(third.rakes_deg[1], 1) == 26.6
    assert metres(measured, "zone_flashing_level") == 6.0
    assert metres(measured, "zone_flashing_upright") == 0.0
    # the closer runs along the wall's foot alone, the packer of bevel-back would at both; boards have marks of their own
    assert metres(measured, "base_closer") == 6.0
    marks = [piece.id for boards in measured.boards for piece in boards.pieces]
    assert len(set(marks)) == len(marks)
    assert upright.pieces[0].id == "B1-2.01"
    # battens along the rakes belong to the triangle: 2 x hypot(3, 1.5)
    rakes = [line for line in measured.battens if line.a_xy[1] != line.b_xy[1] and line.a_xy[0] != line.b_xy[0]]
    assert sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in ((r.a_xy, r.b_xy) for r in rakes)) == pytest.approx(
        2 * hypot(3000, 1500)
    )


def test_the_triangle_may_be_given_by_its_corners() -> None:
    corners = [(0, 2350), (6000, 2350), (3000, 3850)]
    by_height = clad({"from_mm": 2350, "direction": "vertical", "board": UP}, wall=GABLE)
    by_corners = clad({"polygon": corners, "direction": "vertical", "board": UP}, wall=GABLE)
    assert [piece.length_mm for piece in of_zone(by_corners, 2).pieces] == pytest.approx(
        [piece.length_mm for piece in of_zone(by_height, 2).pieces]
    )


def test_an_entry_in_vertical_boards() -> None:
    """From 2.0 to 3.35 m, ten covers: an upright line of 2.4 m at both sides."""
    zone = {"from_left_mm": 2000, "width_mm": 1350, "direction": "vertical", "board": UP}
    measured = clad(zone)
    level, upright = of_zone(measured, 1), of_zone(measured, 2)
    assert (level.gross_mm2, upright.gross_mm2) == (4650 * 2400, 1350 * 2400)
    assert [piece.length_mm for piece in level.pieces] == [2000, 2650] * 16
    assert (upright.courses, {piece.ripped_mm for piece in upright.pieces}) == (10, {0.0})
    assert metres(measured, "zone_flashing_upright") == 4.8
    assert metres(measured, "base_closer") == 6.0


def test_a_zone_that_is_left_out() -> None:
    """A band of brick to 900: 6.0 x 0.95 m are clad by nobody, the boards start on 900."""
    measured = clad({"to_mm": 900, "direction": "none"})
    (boards,) = measured.boards
    assert boards.marks_mm[0] == 900
    assert areas(measured)["wall 1.left_out"] == 5.7
    assert areas(measured)["wall 1.gross"] == 8.7
    # what stands on the line has its closer and vents, and no flashing to another cladding
    assert metres(measured, "base_closer") == 6.0
    assert metres(measured, "zone_flashing_level") == 0.0


def test_areas_add_up_by_wall_zone_and_facing() -> None:
    measured = clad(
        {"from_mm": 2350, "direction": "vertical", "board": UP}, wall=GABLE, openings=[opening(1000, 900, 1200, 1200)]
    )
    found = areas(measured)
    assert found["wall 1.gross"] == 18.9
    assert found["wall 1.openings"] == 1.44
    assert found["wall 1.net"] == 17.46
    assert found["zone 1.net"] + found["zone 2.net"] == pytest.approx(17.46)
    # nobody knows how a wall given by itself faces
    assert not any(name.startswith("facing") for name in found)


def test_an_opening_may_cross_a_level_line_of_a_zone() -> None:
    window = opening(1000, 900, 1200, 1200)
    measured = clad({"from_mm": 1500, "direction": "vertical", "board": UP}, openings=[window])
    # the sill tray is the lower zone's, the head flashing the upper one's, scribers stand beside level boards alone
    assert metres(measured, "sill_tray") == 1.22
    assert metres(measured, "head_flashing") == 1.26
    assert metres(measured, "scriber_40x10") == 2 * 0.6
    assert metres(measured, "zone_flashing_level") == 6.0 - 1.2
    assert of_zone(measured, 1).net_mm2 + of_zone(measured, 2).net_mm2 == 6000 * 2400 - 1200 * 1200


def test_every_board_of_zones_is_cut_once() -> None:
    measured = clad(
        {"from_mm": 2350, "direction": "vertical", "board": UP},
        {"from_left_mm": 4000, "to_mm": 2350, "direction": "vertical", "board": UP},
        wall=GABLE,
    )
    need = measured.needs[0]
    cut = {piece.run for plan in cut_all(need.demands, need.stock) for bar in plan.bars for piece in bar.pieces}
    assert {piece.id for boards in measured.boards for piece in boards.pieces} <= cut
    # the lines: 6.0 m under the triangle, 2.4 m beside the strip, each counted once
    assert metres(measured, "zone_flashing_level") == pytest.approx(6.0)
    assert metres(measured, "zone_flashing_upright") == pytest.approx(2.4)


def sheets_of(measured: CladdingMeasured) -> dict[str, float]:
    found: dict[str, float] = {}
    for group in measured.groups:
        for piece in (piece for plane in group.planes for piece in plane.pieces):
            name = f"wall sheet {group.profile.id} {piece.order_mm:g}"
            found[name] = found.get(name, 0) + 1
    return found


def test_a_wall_in_corrugated_sheets() -> None:
    """6.0 m of corrugate covers 762 and is 845 wide: (6000 - 83) / 762 = 7.8, eight sheets of 2400 (practice, section 2).

    Nogs at most 480 apart: 6 rows, 8 x 6 crossings of 5 screws and 5 % spare: 252.
    """
    measured = clad({"from_left_mm": 0, "direction": "sheets", "profile": "corrugated"})
    (boards,) = measured.boards
    assert (boards.direction, boards.courses) == ("sheets", 8)
    assert sheets_of(measured) == {"wall sheet corrugated 2400": 8}
    screws = next(q for q in measured.needs[0].quantities if q.item.startswith("wall_sheet_screw"))
    assert screws.figure == 252
    assert not any(q.item.startswith("board nail") for q in measured.needs[0].quantities)


def test_a_gable_in_sheets_is_cut_by_the_rules_of_a_roof() -> None:
    """The triangle over 2350, 1500 high, slope 1 / 2. Sheets 1 to 3 reach to the far edge of their overall width, 845 +
    762 n: 422.5, 803.5, 1184.5; the fourth spans the apex: 1500. On the way down they reach to their near edge, where the
    cover of the one before ends: 762 n. Raked: 50 more, up to whole 10.
    """
    measured = clad({"from_mm": 2350, "direction": "sheets", "profile": "corrugated"}, wall=GABLE)
    reach = [845 / 2, (845 + 762) / 2, (845 + 1524) / 2, 1500, *((6000 - 762 * n) / 2 for n in (4, 5, 6, 7))]
    bought = [-(-(length + 50) // 10) * 10 for length in reach]
    sheets = of_zone(measured, 2)
    assert [piece.length_mm for piece in sheets.pieces] == bought
    assert {round(piece.rakes_deg[1], 1) for piece in sheets.pieces} == {26.6}
    assert sum(sheets_of(measured).values()) == 8


def test_sheets_beside_and_over_a_window() -> None:
    # a window two covers wide on sheet lines: those sheets stand below and above it, the rest run through
    measured = clad(
        {"from_left_mm": 0, "direction": "sheets", "profile": "corrugated"}, openings=[opening(1524, 900, 1607, 1200)]
    )
    assert sheets_of(measured)["wall sheet corrugated 950"] == 2
    assert sheets_of(measured)["wall sheet corrugated 250"] == 2


@pytest.mark.parametrize(
    ("zones", "words"),
    [
        (
            [{"to_mm": 900, "board": LEVEL}, {"from_mm": 600, "to_mm": 1200, "board": LEVEL}],
            "walls.zones[3]: it overlaps zone 2 on wall by 6000 mm across and 300 mm up",
        ),
        (
            [{"walls": [1], "from_left_mm": 5000, "width_mm": 1500, "board": LEVEL}],
            "walls.zones[2]: it ends 500 mm past the right end of wall",
        ),
        ([{"walls": [1], "to_mm": 2500, "board": LEVEL}], "walls.zones[2].to_mm: it ends 150 mm over wall"),
        ([{"walls": [1], "from_mm": 2400, "board": LEVEL}], "walls.zones[2]: nothing of wall lies in it"),
        (
            [{"walls": [1], "polygon": [(5000, 0), (7000, 0), (7000, 1000)], "board": LEVEL}],
            "walls.zones[2].polygon: 1000 mm across and 1000 mm up of it lie outside wall",
        ),
        (
            [{"walls": [1], "polygon": [(0, 0), (2000, 2000), (2000, 0), (0, 2000)], "board": LEVEL}],
            "walls.zones[2].polygon: its sides cross",
        ),
        ([{"from_mm": 900, "to_mm": 900, "board": LEVEL}], "walls.zones[2].to_mm: it must be over from_mm"),
        ([{"from_left_mm": 1500, "board": LEVEL}], "walls.zones[2]: its line crosses W1 on wall"),
        ([{"from_mm": 900}], "walls.zones[2].board: give the board"),
        ([{"from_mm": 900, "direction": "sheets"}], "walls.zones[2].profile: there is no profile (none given)"),
        ([{"from_mm": 900, "board": LEVEL, "profile": "corrugated"}], "walls.zones[2].profile: a profile is for"),
        (
            [{"from_mm": 900, "direction": "sheets", "profile": "corrugated", "board": LEVEL}],
            "walls.zones[2].board: sheets have a profile",
        ),
        ([{"from_mm": 900, "direction": "none", "board": LEVEL}], "walls.zones[2].board: a zone that is left out"),
        (
            [{"from_mm": 900, "polygon": [(0, 0), (1000, 0), (0, 1000)], "board": LEVEL}],
            "walls.zones[2].polygon: give its corners, or",
        ),
    ],
)
def test_zones_that_cannot_be_are_refused_by_name(zones: list[dict[str, Any]], words: str) -> None:
    with pytest.raises(JobError) as caught:
        clad(*zones, openings=[opening(1000, 900, 1200, 1200)])
    assert words in " ".join(caught.value.faults)


def test_meter_boxes_and_vents_are_small_openings() -> None:
    """Both are cut out of the boards. A meter box of 400 has a head flashing of 400 + 60 and scribers of 2 x 500, no sill
    tray; a vent has neither."""
    box = {**opening(1000, 600, 400, 500), "kind": "meter_box"}
    vent = {**opening(3000, 120, 300, 80), "kind": "vent"}
    measured = clad(openings=[box, vent])
    assert metres(measured, "head_flashing") == 0.46
    assert metres(measured, "sill_tray") == 0.0
    assert metres(measured, "scriber_40x10") == 1.0
    assert areas(measured)["wall 1.openings"] == 0.224
