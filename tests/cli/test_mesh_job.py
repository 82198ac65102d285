"""Jobs whose roof is a model: the gutter's width reaches the shape, walls are given by themselves or refused.

The model is a gable house 9.0 x 6.0 m, ridge 2.0 m over its eaves; its figures are worked out by hand (derived).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.items import ItemKind
from takeoff.model.order import Takeoff

MODEL = Path(__file__).resolve().parents[2] / "geometry_samples" / "mesh_house"
WALLS = """
walls:
  zones: [{direction: horizontal, board: bevel_187}]
"""
ELEVATION = """
walls:
  elevations: [{name: south, width_mm: 9000, height_mm: 2400}]
  zones: [{direction: horizontal, board: bevel_187}]
"""


def _run(
    tmp_path: Path,
    edge_is: str,
    more: str = "",
    gutter: str = "gutter: quad_125",
    until: pipeline.Stage = pipeline.Stage.SHAPE,
) -> Takeoff:
    text = (MODEL / "job.yaml").read_text(encoding="utf-8")
    text = text.replace("edge_is: outline", f"edge_is: {edge_is}").replace("gutter: quad_125", gutter) + more
    (tmp_path / "house.obj").write_bytes((MODEL / "house.obj").read_bytes())
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    return pipeline.run_file(tmp_path / "job.yaml", until)


def _plan_m2(takeoff: Takeoff) -> float:
    return sum(plane.plan_area_mm2 for roof in takeoff.roofs for plane in roof.planes) / 1e6


@pytest.mark.parametrize(
    ("gutter", "plan_m2"),
    [
        ("gutter: quad_125", 9.0 * (6.0 - 2 * 0.125)),
        ("gutter: half_round_150", 9.0 * (6.0 - 2 * 0.150)),
        ("gutter: quad_125, none_on: [1]", 9.0 * (6.0 - 0.125)),
    ],
)
def test_a_model_at_the_spoutings_outside_is_moved_by_the_jobs_gutter(
    tmp_path: Path, gutter: str, plan_m2: float
) -> None:
    takeoff = _run(tmp_path, "spouting_outside", gutter=gutter)
    assert _plan_m2(takeoff) == pytest.approx(plan_m2, abs=1e-6)
    assert "roof-edge-moved" in {finding.code for finding in takeoff.findings}


def test_a_job_without_a_gutter_moves_it_by_the_settings(tmp_path: Path) -> None:
    setting = "settings: {rainwater_gutter: half_round_150}\n"
    takeoff = _run(tmp_path, "spouting_outside", setting, gutter="none_on: []")
    assert _plan_m2(takeoff) == pytest.approx(9.0 * (6.0 - 2 * 0.150), abs=1e-6)


def test_a_model_at_the_outline_stays(tmp_path: Path) -> None:
    takeoff = _run(tmp_path, "outline")
    assert _plan_m2(takeoff) == pytest.approx(9.0 * 6.0)
    assert "roof-edge-moved" not in {finding.code for finding in takeoff.findings}


@pytest.mark.parametrize("edge_is", ["outline", "wall_line"])
def test_walls_stand_where_the_model_draws_them(tmp_path: Path, edge_is: str) -> None:
    takeoff = _run(tmp_path, edge_is, WALLS)
    assert [wall.width_mm for wall in takeoff.elevations] == pytest.approx([9000.0, 6000.0, 9000.0, 6000.0])
    # the job gives no overhangs
    assert "walls-at-roof-edge" in {finding.code for finding in takeoff.findings}


def test_walls_drawn_outside_the_outline_are_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(JobError) as caught:
        _run(tmp_path, "spouting_outside", WALLS)
    (fault,) = caught.value.faults
    assert "house.obj draws walls outside the outline of roof shed" in fault
    assert fault.endswith("give each wall under elevations")


def test_walls_given_by_themselves_stand_beside_a_model(tmp_path: Path) -> None:
    takeoff = _run(tmp_path, "outline", ELEVATION, until=pipeline.Stage.ORDER)
    assert _plan_m2(takeoff) == pytest.approx(54.0)
    (wall,) = takeoff.elevations
    assert (wall.id, wall.width_mm) == ("south", 9000.0)
    assert takeoff.cladding.boards
    assert takeoff.order is not None
    assert any(line.of.kind is ItemKind.BOARD for line in takeoff.order.lines)
