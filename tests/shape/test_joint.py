"""Roofs that share edges are one to water and flashings; expected values derived by hand on rectangles."""

from __future__ import annotations

from math import hypot, radians, tan
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.order import Takeoff
from takeoff.shape.together.joint import joint_roofs, roofs_in_place

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@pytest.fixture(scope="module")
def wing() -> Takeoff:
    return pipeline.run_file(SAMPLES / "wing" / "job.yaml")


@pytest.fixture(scope="module")
def butterfly() -> Takeoff:
    return pipeline.run_file(SAMPLES / "butterfly" / "job.yaml")


def test_roofs_that_share_edges_are_one_and_others_stay(wing: Takeoff) -> None:
    (joint,) = joint_roofs(wing.roofs)
    assert joint.name == "house"
    assert len({edge.id for edge in joint.edges}) == len(joint.edges)
    assert sum(plane.plan_area_mm2 for plane in joint.planes) == pytest.approx(14e3 * 9e3 + 5e3 * 4e3)
    apart = pipeline.run_file(SAMPLES / "verandah" / "job.yaml", pipeline.Stage.SHAPE)
    assert joint_roofs(apart.roofs) == apart.roofs


def test_every_edge_and_node_is_counted_with_one_roof(wing: Takeoff) -> None:
    placed = roofs_in_place(wing.roofs)
    assert [roof.name for roof in placed] == ["house", "wing"]
    counted = [edge.id for roof in placed for edge in roof.edges if edge.roof == roof.name]
    nodes = [node.id for roof in placed for node in roof.nodes]
    assert len(counted) == len(set(counted))
    assert sorted(set(counted)) == sorted({edge.id for roof in wing.roofs for edge in roof.edges})
    assert len(nodes) == len(set(nodes))


def test_a_shared_valley_is_flashed_once_with_both_pitches(wing: Takeoff) -> None:
    """Valley from the corner to where the wing's ridge (2.5 tan 35 up) meets the house: 2.5 tan 35 / tan 25 m in."""
    rise = 2.5 * tan(radians(35))
    length = hypot(2.5, rise / tan(radians(25)), rise) * 1000
    valleys = [run for run in wing.roofing.flashings if run.kind == EdgeKind.VALLEY.value]
    assert sorted(run.run for run in valleys) == ["FV1", "FV2"]
    assert [run.net_mm for run in valleys] == pytest.approx([length, length], abs=1e-6)


def test_spouting_runs_on_from_roof_to_roof(wing: Takeoff) -> None:
    """All round but the wing's gable: 4 outside corners of the house, 2 inside ones at the wing, one run, two ends."""
    (run,) = wing.gutters
    assert run.length_mm == pytest.approx(2 * (14e3 + 9e3) - 5e3 + 2 * 4e3)
    assert [corner.kind for corner in run.corners].count("external") == 4
    assert [corner.kind for corner in run.corners].count("internal") == 2
    assert run.plan_catchment_mm2 == pytest.approx(14e3 * 9e3 + 5e3 * 4e3)


def test_both_leaves_of_a_butterfly_fall_to_one_gutter(butterfly: Takeoff) -> None:
    (run,) = butterfly.gutters
    assert run.internal
    assert run.length_mm == pytest.approx(9000)
    assert run.plan_catchment_mm2 == pytest.approx(10e3 * 9e3)
    assert [f.run for f in butterfly.roofing.flashings if f.kind == EdgeKind.INTERNAL_GUTTER.value] == ["FG1"]


def test_a_dormers_spouting_takes_its_valleys_and_no_water_is_lost() -> None:
    """Each side of the dormer's eave and valley, 1.0 m wide in plan, drains the strip from its front, 2.0 m up, to the
    ridge at 4.5 m: 2.5 m2."""
    takeoff = pipeline.run_file(SAMPLES / "dormer" / "job.yaml")
    front, back, *dormer = takeoff.gutters
    assert [run.plan_catchment_mm2 for run in dormer] == pytest.approx([2.5e6, 2.5e6])
    assert front.own_catchment_mm2 == pytest.approx(12e3 * 4.5e3 - 5e6)
    assert back.plan_catchment_mm2 == pytest.approx(12e3 * 4.5e3)
