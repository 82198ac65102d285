"""Vertical boards: equal end rips, slivers at jambs, notches and splits, raked lengths, joints over long stock."""

from __future__ import annotations

from itertools import pairwise
from math import radians, tan
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.basics.polygons import signed_area
from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.cladding.vertical_boards import end_rips
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
CATALOGUE = load_catalogue()
BOARD = {"width_mm": 150, "cover_mm": 135, "kind": "shiplap"}


def clad(wall: dict[str, Any], board: Any = BOARD, **more: Any) -> CladdingMeasured:
    """One wall by itself without corners, cladding 2400 high from 50 below the floor."""
    given = {"name": "wall", "width_mm": 6000, "height_mm": 2350, "left": "none", "right": "none", **wall}
    zones = [{"board": board, "direction": "vertical", **more.pop("zone", {})}]
    job = WallsJob.model_validate({"elevations": [given], "zones": zones, "ground_mm": -450, **more})
    return measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, CATALOGUE)


def opening(left: float, sill: float, width: float, height: float) -> dict[str, float]:
    return {"wall": 1, "from_left_mm": left, "sill_mm": sill, "width_mm": width, "height_mm": height}


def test_end_boards_are_equal_and_at_least_half_a_cover() -> None:
    boards = clad({}).boards[0]
    # 6000 / 135 = 44.4: 43 whole boards and two of (6000 - 43 x 135) / 2
    assert boards.courses == 45
    widths = [b - a for a, b in pairwise(boards.marks_mm)]
    assert widths == pytest.approx([97.5] + [135] * 43 + [97.5])
    assert [piece.ripped_mm for piece in boards.pieces] == pytest.approx([97.5] + [0] * 43 + [97.5])
    said = {term.name: term.value for term in boards.working.terms}
    assert (said["width of the face"], said["end boards"]) == (6000.0, 97.5)
    assert {piece.length_mm for piece in boards.pieces} == {2400}
    # a board in one piece has no letter
    assert [piece.id for piece in boards.pieces] == [f"B1.{number:02d}" for number in range(1, 46)]


@pytest.mark.parametrize(
    ("width", "whole", "rip"),
    [(5940, 44, 0), (5940.2, 44, 0), (5950, 43, 72.5), (200, 0, 100), (120, 0, 60), (270, 2, 0), (271, 1, 68)],
)
def test_end_rips_of_other_widths(width: float, whole: int, rip: float) -> None:
    assert end_rips(width, 135, 0.5) == (whole, pytest.approx(rip))


def test_narrow_walls() -> None:
    assert [piece.ripped_mm for piece in clad({"width_mm": 120}).boards[0].pieces] == [120]
    assert [piece.ripped_mm for piece in clad({"width_mm": 200}).boards[0].pieces] == [100, 100]


def test_boards_within_an_opening_are_split_above_and_below_it() -> None:
    # lines at 97.5 + 135 n: boards 15 to 23, from 1852.5 to 3067.5, lie inside 1830 to 3100
    boards = clad({}, openings=[opening(1830, 900, 1270, 1200)]).boards[0]
    split = sorted({piece.row for piece in boards.pieces if piece.id[-1] in "ab"})
    assert split == list(range(15, 24))
    lengths = {(piece.id[-1], piece.length_mm) for piece in boards.pieces if piece.row in split}
    assert lengths == {("a", 950), ("b", 250)}
    notched = [piece for piece in boards.pieces if piece.notched]
    assert [piece.row for piece in notched] == [14, 24]  # those the jambs cut
    assert all(piece.length_mm == 2400 for piece in notched)
    assert signed_area(notched[0].outline_xy) == pytest.approx(135 * 2400 - 22.5 * 1200)
    assert notched[0].outline_xy == (
        (1717.5, -50),
        (1852.5, -50),
        (1852.5, 900),
        (1830, 900),
        (1830, 2100),
        (1852.5, 2100),
        (1852.5, 2350),
        (1717.5, 2350),
    )


def test_a_door_up_to_the_top_notches_the_boards_beside_it_from_foot_to_top() -> None:
    boards = clad({}, openings=[opening(1830, -50, 1270, 2400)]).boards[0]
    notched = [piece for piece in boards.pieces if piece.notched]
    assert [signed_area(piece.outline_xy) for piece in notched] == pytest.approx([112.5 * 2400, 102.5 * 2400])
    assert len(boards.pieces) == 45 - 9


def test_a_vent_inside_one_board_is_a_hole_in_it() -> None:
    boards = clad({}, openings=[opening(1760, 300, 40, 80)]).boards[0]
    board = boards.pieces[13]
    assert (board.notched, board.length_mm) == (True, 2400)
    assert signed_area(board.outline_xy) == pytest.approx(135 * 2400 - 40 * 80)


def test_boards_move_to_leave_no_sliver_beside_a_jamb() -> None:
    # even lines at 1582.5 and 1717.5: a left jamb at 1600 leaves 17.5 mm; 5 mm steps to the left until 40 is left
    clear = clad({}, openings=[opening(1600, 900, 1185, 1200)])
    boards = clear.boards[0]
    assert [finding.code for finding in boards.findings] == ["boards-moved-off-centre"]
    jamb_left = 1600 - max(x for x in boards.marks_mm if x <= 1600)
    assert jamb_left >= 40
    ends = (boards.marks_mm[1] - boards.marks_mm[0], boards.marks_mm[-1] - boards.marks_mm[-2])
    assert min(ends) >= 67.5
    assert max(ends) <= 135
    assert sum(ends) == pytest.approx(195)


def test_a_sliver_that_cannot_be_moved_away_is_told() -> None:
    boards = clad({"width_mm": 5940}, openings=[opening(1360, 900, 1200, 1200)]).boards[0]
    assert [finding.code for finding in boards.findings] == ["sliver-beside-jamb"]
    assert "left (10 mm)" in boards.findings[0].text


def test_a_raked_board_is_measured_over_its_full_width_on_the_long_side() -> None:
    pitch = tan(radians(25))
    boards = clad({"width_mm": 8000, "top": [(0, 2350), (4000, 2350 + 4000 * pitch)]}).boards[0]
    for piece, (a, b) in zip(boards.pieces, pairwise(boards.marks_mm), strict=True):
        inner = min(b + 15, 4000) if b <= 4000 else max(a - 15, 4000)
        long = 2400 + (inner if b <= 4000 else 8000 - inner) * pitch
        assert piece.length_mm == pytest.approx(2400 + 4000 * pitch if a < 4000 < b else long)
    assert sum(signed_area(piece.outline_xy) for piece in boards.pieces) == pytest.approx(boards.net_mm2)


def lengths_of(measured: CladdingMeasured) -> list[float]:
    return sorted({run.length_mm for run in measured.needs[0].demands if run.item.startswith("shiplap")})


def flashed(measured: CladdingMeasured) -> float:
    return sum(run.length_mm for run in measured.needs[0].demands if run.item == "level_break_flashing")


def test_boards_longer_than_stock_break_on_one_level() -> None:
    # 7000 high of stock of 5990: nogs at 7000 / 15 = 466.7, the highest that leaves 600 over it and is reached from the
    # foot is number 12: 5600 below and 1400 above; number 13 would need 6066.7
    measured = clad({"height_mm": 6950}, stock_mm=[4800, 6000])
    assert lengths_of(measured) == pytest.approx([1400, 5600])
    assert measured.boards[0].breaks_mm == pytest.approx((5550,))
    assert {run.splits_mm for run in measured.needs[0].demands if run.item.startswith("shiplap")} == {()}
    assert flashed(measured) == 6000
    assert [finding.code for finding in measured.boards[0].findings] == ["level-break"]


def test_the_break_stands_on_the_heads_of_the_openings_where_they_serve() -> None:
    # heads at 2100 and once at 2400: 2150 below and 4850 above, nothing short of stock or of the least piece; the
    # window's own boards above it begin at the break, the flashing is left out nowhere since no opening crosses it
    holes = [opening(1000, 900, 600, 1200), opening(2500, 900, 600, 1200), opening(4000, 900, 600, 1500)]
    measured = clad({"height_mm": 6950}, stock_mm=[6000], openings=holes)
    assert measured.boards[0].breaks_mm == (2100,)
    assert flashed(measured) == 6000 - 600
    assert max(lengths_of(measured)) == 4850


def test_a_gable_six_metres_high_by_hand() -> None:
    """8.0 m wide, frame 2350, 42.6 degrees: peak 2350 + 4000 x 0.92 = 6030, boards to 6080 + the lap.

    No board is longer than 2400 + 0.92 x (4000) = 6080 over the foot; stock gives 5990. Nogs of 2400 / 5 = 480: the break
    must leave 600 over it on every board, the shortest of which, at the eaves, is 2400 and a little long: 1750 over the
    floor at most for whole boards; the highest nog is then 1870 - 480 = 1390, 1440 over the foot. Above it 6080 - 1440 =
    4640 is the longest piece.
    """
    measured = clad({"width_mm": 8000, "top": [(0, 2350), (4000, 6030)]}, stock_mm=[6000])
    assert measured.boards[0].breaks_mm == pytest.approx((1390,))
    assert max(lengths_of(measured)) == pytest.approx(4640)
    assert min(lengths_of(measured)) >= 600
    assert flashed(measured) == 8000
    above = [piece for piece in measured.boards[0].pieces if piece.rakes_deg[1]]
    assert {round(piece.rakes_deg[1], 1) for piece in above} == {42.6}
    assert all(piece.rakes_deg[0] == 0.0 for piece in measured.boards[0].pieces)


def test_a_break_that_the_job_gives_stands_there() -> None:
    job = {"height_mm": 4950}
    measured = clad(job, stock_mm=[6000], zone={"break_mm": 2400})
    assert measured.boards[0].breaks_mm == (2400,)
    assert lengths_of(measured) == [2450, 2550]
    # told where it leaves short pieces
    measured = clad(job, stock_mm=[6000], zone={"break_mm": 4600})
    assert [finding.code for finding in measured.boards[0].findings] == ["level-break", "level-break-short-pieces"]


def test_a_high_wall_has_as_many_breaks_as_stock_asks() -> None:
    measured = clad({"height_mm": 11950}, stock_mm=[4810])
    # 12 m of 4.8: two breaks
    assert len(measured.boards[0].breaks_mm) == 2
    assert max(lengths_of(measured)) <= 4800


def test_a_break_of_level_boards_is_refused() -> None:
    with pytest.raises(JobError, match=r"walls\.zones\[1\]\.break_mm: only vertical boards"):
        clad({}, "bevel_187", zone={"break_mm": 2400, "direction": "horizontal"})


def test_full_boards_stand_on_both_sides_of_a_window_where_the_set_out_allows() -> None:
    # 6000: rips 97.5, room 30 either way. A window of nine covers, 1215, at 1850: the even line at 1852.5 moves 2.5 to
    # the left and the one at 3067.5 with it
    boards = clad({}, openings=[opening(1850, 900, 1215, 1200)]).boards[0]
    assert {1850.0, 3065.0} <= set(boards.marks_mm)
    assert [finding.code for finding in boards.findings] == ["boards-moved-off-centre"]
    assert not any(piece.notched for piece in boards.pieces)
    # 40 mm off it may not move
    boards = clad({}, openings=[opening(1812.5, 900, 1215, 1200)]).boards[0]
    assert 1852.5 in boards.marks_mm


def test_boards_that_stock_can_make_are_in_one_piece() -> None:
    runs = [run for run in clad({}).needs[0].demands if run.item.startswith("shiplap")]
    assert len(runs) == 45
    assert {run.splits_mm for run in runs} == {()}


def test_a_strip_under_a_door_sill_has_no_boards() -> None:
    # a door at the floor leaves 50 mm of cladding under it: no boards of 50 mm, but a note of them
    measured = clad({}, openings=[opening(2000, 0, 1800, 2100)])
    boards = measured.boards[0]
    # lines moved by 15 off the sliver at 1987.5: thirteen covers from 2002.5 to 3757.5 lie within 2000 to 3800
    assert min(piece.length_mm for piece in boards.pieces) == 250
    assert sum(piece.length_mm == 250 for piece in boards.pieces) == 13
    assert len(boards.pieces) == 45
    assert {piece.id for piece in boards.pieces} == {f"B1.{n:02d}" for n in range(1, 46)}
    (note,) = (finding for finding in boards.findings if finding.code == "strip-without-boards")
    assert note.text.startswith("Wall 1: a strip of 50 mm beside D1 is too short for boards (13 pieces under 100 mm)")


def test_a_strip_of_the_least_length_has_its_boards() -> None:
    boards = clad({}, openings=[opening(2000, 50, 1800, 2050)]).boards[0]
    assert sum(piece.length_mm == 100 for piece in boards.pieces) == 13
