"""How boards are sold, by hand: long ones asked for, ends docked, scarfs, sealed ends of lengths on the site, rolls of
damp-proof course. All common practice, no source, but where another stands beside it."""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.cladding.damp_course import damp_course
from takeoff.measure.cladding.supply import longest_piece, scarf_mm
from takeoff.model.job.job import Job
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner, Elevation, Opening
from takeoff.order.cut_stock.runs import cut_runs
from takeoff.pipeline import run
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import default_rules, resolve_settings
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
CATALOGUE = load_catalogue()


def settings_of(**values: Any) -> Settings:
    return resolve_settings(Job(job="test", settings=values))


def clad(widths: list[int], settings: Settings) -> CladdingMeasured:
    """Walls by themselves, 2350 + 50 high: 16 courses of bevel-back boards on each."""
    free = {"height_mm": 2350, "left": "none", "right": "none"}
    walls = [{"name": f"w{n}", "width_mm": width, **free} for n, width in enumerate(widths)]
    job = WallsJob.model_validate({"elevations": walls, "ground_mm": -450, "zones": [{"board": "bevel_187"}]})
    return measure_cladding(elevations(job, (), 0.0, settings), job, (), settings, CATALOGUE)


def test_of_random_lengths_the_long_boards_without_a_joint_are_asked_for() -> None:
    """Pieces of 3000 or more. Boards of 4200 and 5000 have no stud 3000 from both ends: 32, the longest of 5000, 5.1 m
    in steps of 0.3. Boards of 9000 may be joined, those of 3000 come out of any pack (up to 3600): none of these."""
    measured = clad([4200, 5000, 9000, 3000], settings_of(board_supply="random", board_least_piece_mm=3000))
    asked = [finding.text for finding in measured.findings if finding.code == "random-lengths-least"]
    assert [text.partition(": ")[2] for text in asked] == ["not less than 32 of 5.1 m or longer."]
    # 16 x (4.2 + 5.0 + 9.0 + 3.0) = 339.2 m and 10 %: 373.12, in steps of 0.3 m 373.2
    (metres,) = (q for need in measured.needs for q in need.quantities if q.item == "bevel_187")
    assert metres.figure == pytest.approx(373.2)


@pytest.mark.parametrize(("docked", "gives"), [(10, 5990), (9.5, 5990), (0, 6000)])
def test_a_board_gives_its_length_less_what_docking_takes(docked: float, gives: int) -> None:
    board = CATALOGUE.boards["bevel_187"]
    assert max(board.lengths_mm) == 6000
    assert longest_piece(board, WallsJob(), settings_of(board_docking_mm=docked)) == gives
    assert longest_piece(board, WallsJob(stock_mm=[3000, 4800]), settings_of(board_docking_mm=docked)) == gives - 1200


@pytest.mark.parametrize(("angle", "takes"), [(45, 18.0), (30, 31.177), (60, 10.392)])
def test_a_scarf_takes_the_thickness_over_its_tangent(angle: float, takes: float) -> None:
    """A right triangle with the thickness of 18 across: 18 / tan 30 = 31.177, 18 / tan 60 = 10.392."""
    assert scarf_mm(18.0, settings_of(board_scarf_deg=angle)) == pytest.approx(takes)


def test_ends_cut_from_lengths_on_the_site_are_sealed_too() -> None:
    """16 boards of 4200, four of them out of 4500 on the site: 32 ends all the same, at 40 mL 1.28 L."""
    job = """\
job: sealed
walls:
  ground_mm: -450
  stock_mm: [4800]
  elevations: [{name: w, width_mm: 4200, height_mm: 2350, left: none, right: none}]
  zones: [{board: bevel_187}]
on_hand: [{item: bevel_187, length_mm: 4500, count: 4, mark: rack}]
settings: {end_sealer_ml_per_end: 40}
"""
    order = run(parse_job(job)).order
    assert order is not None
    (plan,) = (plan for plan in order.plans if plan.item == "bevel_187")
    assert (len(plan.bars), len(plan.site_bars)) == (12, 4)
    (line,) = (line for line in order.lines if line.item == "end sealer")
    assert line.working.terms[0].value == pytest.approx(1.28)


def plate(wall: int, ends: tuple[tuple[float, float], tuple[float, float]], **more: Any) -> Elevation:
    """A wall of a line called house."""
    (ax, ay), (bx, by) = ends
    width = abs(bx - ax) + abs(by - ay)
    ring = ((0.0, -50.0), (width, -50.0), (width, 2400.0), (0.0, 2400.0))
    given: dict[str, Any] = {"roof": "house", "openings": (), **more}
    corner = Corner("external", 90.0)
    where = {"a_mm": ends[0], "b_mm": ends[1], "bearing_deg": 0.0}
    level = {"height_mm": 2400.0, "base_mm": -50.0, "ground_mm": (-450.0, -450.0), "paved": False}
    names = {"id": f"wall {wall}", "wall": wall, "width_mm": width, "outline_xy": ring}
    return Elevation(**names, **level, **where, left_corner=corner, right_corner=corner, **given)


def metres(walls: list[Elevation], **settings: float) -> float:
    (found,) = damp_course(walls, [wall.wall for wall in walls], settings_of(**settings))
    return found.figure


def test_each_roll_after_the_first_gives_a_lap_less() -> None:
    """19.9 and 19.8 m meet at a corner: 39.8 m with its lap of 0.1. Rolls of 19.9 m: the second brings it to 39.7 m, so
    there is a third, 19.9 + 19.8 + ...: two ends of rolls, 40.0 m. Rolls of 20 m: 20 + 19.9 are enough, 39.9 m."""
    walls = [plate(1, ((0.0, 0.0), (19900.0, 0.0))), plate(2, ((19900.0, 0.0), (19900.0, 19800.0)))]
    assert metres(walls, damp_course_roll_m=19.9) == pytest.approx(40.0)
    assert metres(walls, damp_course_roll_m=20.0) == pytest.approx(39.9)


def test_doors_by_the_floor_of_their_wall_are_left_out() -> None:
    """An upper wall stands on its own floor: its door at 2700 is none of the plate, a window over it is."""
    door, window = Opening("D", 500.0, 2700.0, 900.0, 2100.0), Opening("W", 2000.0, 3600.0, 1200.0, 1000.0)
    wall = plate(1, ((0.0, 0.0), (5000.0, 0.0)), openings=(door, window), floors_mm=(2700.0,))
    assert metres([wall]) == pytest.approx(4.1)


def test_a_wall_given_by_itself_laps_its_neighbour() -> None:
    wall = plate(1, ((0.0, 0.0), (5000.0, 0.0)), roof="")
    assert metres([wall]) == pytest.approx(5.1)


def test_a_board_of_just_the_longest_piece_has_two_cut_ends() -> None:
    """16 boards of 5990, what a board of 6000 gives: 32 ends of 5 mL; of 5992, a mm more than any tape sees, 64."""
    litres = []
    for width in (5990, 5992):
        measured = clad([width], SETTINGS)
        litres += [q.figure for need in measured.needs for q in need.quantities if q.item == "primer for cut ends"]
    assert litres == pytest.approx([0.160, 0.320])


def test_of_whole_packs_the_least_metres_are_bought_not_the_fewest_boards() -> None:
    """Six boards of 2900 in packs of three: six of 3000, 18.0 m, against three of 6100, 18.3 m."""
    runs = [RunDemand(f"R{n}", "board", 2900.0) for n in range(6)]
    plan = cut_runs(runs, StockChoice("board", (3000, 6100), kerf_mm=3.0, pack=3))
    assert [bar.stock_mm for bar in plan.bars] == [3000] * 6
