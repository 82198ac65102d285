"""Weatherboards against a public renovation guide of a building research association. Status: seen.

1940s to 1960s bevel-back boards: finished 140 x 19.8, cover 108, lap 32, so 1000 / 108 = 9.259 m a square metre. Boxed
corners: 100 x 25 and 75 x 25 with scribers; running joints over a stud.
"""

from __future__ import annotations

import pytest

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.order.cut_stock.runs import cut_all
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
CATALOGUE = load_catalogue()


def clad(width_mm: float, height_mm: float, left: str = "none") -> CladdingMeasured:
    wall = {"name": "wall", "width_mm": width_mm, "height_mm": height_mm, "left": left, "right": "none"}
    zones = [{"board": "bevel_140_old"}]
    job = WallsJob.model_validate({"elevations": [wall], "zones": zones, "ground_mm": -450})
    return measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, CATALOGUE)


def test_cover_and_lap() -> None:
    board = CATALOGUE.boards["bevel_140_old"]
    assert (board.width_mm, board.thickness_mm, board.cover_mm) == (140, 19.8, 108)
    assert board.width_mm - board.cover_mm == board.least_lap_mm == 32


def test_metres_a_square_metre() -> None:
    # 19 covers and the head lap: a wall the boards fit exactly, so that even coursing changes nothing
    boards = clad(6000, 20 * 108 + 32 - 50).boards[0]
    assert boards.cover_mm == pytest.approx(108)
    metres = sum(piece.length_mm for piece in boards.pieces) / 1000
    covered_m2 = 6 * 20 * 0.108
    assert metres / covered_m2 == pytest.approx(9.259, abs=0.001)


def test_boxed_corners() -> None:
    measured = clad(6000, 2350, "external")
    runs = {run.item: run.length_mm for run in measured.needs[0].demands}
    assert runs["corner_100x25"] == 2400
    assert runs["scriber_40x10"] == 2400
    assert (CATALOGUE.timbers["corner_100x25"].width_mm, CATALOGUE.timbers["corner_100x25"].depth_mm) == (100, 25)
    assert (CATALOGUE.timbers["corner_75x25"].width_mm, CATALOGUE.timbers["corner_75x25"].depth_mm) == (75, 25)


def test_running_joints_stand_over_studs() -> None:
    measured = clad(14200, 2350)
    need = measured.needs[0]
    plan = next(plan for plan in cut_all(need.demands, need.stock) if plan.item == "bevel_140_old")
    assert len(plan.joints) >= 2 * measured.boards[0].courses
    assert {joint.at_mm % 600 for joint in plan.joints} == {0}
