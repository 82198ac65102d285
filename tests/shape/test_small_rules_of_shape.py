"""Small rules of shaping that whole models seldom reach: by hand."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.faces.closure import _edge_faults
from takeoff.shape.imported.joining import welded
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.outline_order.directions import directions
from takeoff.shape.outline_order.plan_sides import PlanRing, sides_of
from takeoff.shape.skeleton.record import FASCIA_STEP, JOG_STEP
from takeoff.shape.water.wall_water import WallRule, _off_gable

WAYS = [way for way in product((-1, 0, 1), repeat=3) if way != (0, 0, 0)]


@pytest.mark.parametrize("way", WAYS)
def test_points_close_together_are_one_whichever_way_they_lie(way: tuple[int, int, int]) -> None:
    """Two points on either side of the corner of eight cells of 2 mm, 0.2 to 0.35 mm apart, far from a third."""
    corner = np.array([1000.0, 1000.0, 1000.0])
    step = 0.1 * np.array(way)
    points = np.array([[0.0, 0.0, 0.0], corner - step, corner + step])
    means, new = welded(points, 2.0)
    assert new[1] == new[2] != new[0]
    assert len(means) == 2


def test_an_eave_that_forgot_its_outline_edge_is_a_fault_of_the_shape() -> None:
    """An edge with a face on one side only lies on the outline, else the roof does not close there."""
    outline = [(0, 0), (9000, 0), (9000, 6000), (0, 6000)]
    job = Job.model_validate({"job": "x", "roofs": [{"outline": outline, "pitch_deg": 25, "fascia_height_mm": 2400}]})
    roof = roof_from_outline(job.roofs[0], 0.0, resolve_settings(job))
    assert _edge_faults(roof) == ()
    eave = next(edge for edge in roof.edges if edge.kind is EdgeKind.EAVE)
    others = tuple(edge for edge in roof.edges if edge is not eave)
    (said,) = _edge_faults(replace(roof, edges=(*others, replace(eave, outline_edges=()))))
    assert "does not lie on the outline" in said


def test_the_step_of_a_jog_is_no_fascia() -> None:
    assert len({FASCIA_STEP, JOG_STEP, 0}) == 3
    assert max(FASCIA_STEP, JOG_STEP) < 0


def test_how_coarse_an_outline_is_drawn() -> None:
    """One corner of 10 x 8 m lies 4 mm inside: that end of the side of 8 m is 4 mm off square, 2 mm either way of it."""
    ring = ((0.0, 0.0), (10000.0, 0.0), (10000.0, 8000.0), (4.0, 8000.0))
    _, coarse = directions(sides_of([PlanRing(0, ring, False, (0.0,) * 4)]), frozenset())
    assert coarse == pytest.approx(2.0, abs=1e-3)


def test_a_gable_lets_half_its_water_go_evenly_along_its_foot() -> None:
    """8 m wide at 30 degrees: 4 x 2.3094 m2, of which the rule counts half, as thick at one end as at the other."""
    outline = [(0, 0), (9000, 0), (9000, 8000), (0, 8000)]
    edges = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
    given = {"outline": outline, "pitch_deg": 30, "fascia_height_mm": 2400, "edges": edges}
    job = Job.model_validate({"job": "x", "roofs": [given]})
    roof = roof_from_outline(job.roofs[0], 0.0, resolve_settings(job))
    for face in roof.uprights:
        (water,) = _off_gable(roof, face, WallRule(0.5))
        assert (water.at_a_mm2, water.at_b_mm2) == pytest.approx((4.6188e6, 4.6188e6), rel=1e-4)
    assert len(roof.uprights) == 2
