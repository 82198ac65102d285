"""Joints and battens against an apprentice's public record of a building site, 2011. Status: seen, informal.

Joints at least two full boards apart vertically; cavity battens 40 x 20 on studs at 600.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.model.job.walls import WallsJob
from takeoff.order.cut_stock.runs import cut_all
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
CATALOGUE = load_catalogue()
WALL = {"name": "wall", "width_mm": 18600, "height_mm": 2350}
JOB = WallsJob.model_validate({"elevations": [WALL], "ground_mm": -450})
MEASURED = measure_cladding(elevations(JOB, (), 0.0, SETTINGS), JOB, (), SETTINGS, CATALOGUE)


def test_two_full_boards_lie_between_joints_in_line() -> None:
    need = MEASURED.needs[0]
    plan = next(plan for plan in cut_all(need.demands, need.stock) if plan.item == "bevel_187")
    offsets = {run.id: run.offset_mm for run in need.demands}
    rows = defaultdict(list)
    for joint in plan.joints:
        rows[round(joint.at_mm + offsets[joint.run])].append(joint.row)
    assert sum(len(found) for found in rows.values()) >= 3 * 16  # a wall of 18.6 m takes four boards of 6 m
    assert any(len(found) > 1 for found in rows.values())
    for found in rows.values():
        assert all(b - a >= 3 for a, b in pairwise(sorted(found)))


def test_battens_of_40_x_20_on_studs_at_600() -> None:
    batten = CATALOGUE.timbers["batten_40x20"]
    assert (batten.width_mm, batten.depth_mm) == (40, 20)
    upright = sorted({line.a_xy[0] for line in MEASURED.battens if line.a_xy[0] == line.b_xy[0]})
    assert upright[1:-1] == [600 * n for n in range(1, 31)]
