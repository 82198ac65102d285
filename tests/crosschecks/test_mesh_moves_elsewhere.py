"""A model's edge moved out by one overhang covers what a general-purpose geometry library offsets in plan.

The library (shapely) offsets the plan with mitred corners; it knows nothing of planes, hips and valleys.
"""

from __future__ import annotations

from math import cos, radians

import pytest
from shapely.geometry import Polygon

from takeoff.basics.vectors import Point3
from takeoff.model.faces import raw_faces
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.imported.roof_from_faces import roof_from_faces
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.write.data.roof_mesh import mesh_parts

SETTINGS = resolve_settings(Job(job="check"))
Plan = list[tuple[float, float]]
PLANS: dict[str, Plan] = {
    "tee": [(0, 0), (16e3, 0), (16e3, 7e3), (11e3, 7e3), (11e3, 13e3), (5e3, 13e3), (5e3, 7e3), (0, 7e3)],
    "bay": [(0, 0), (4e3, 0), (5e3, -1.5e3), (7e3, -1.5e3), (8e3, 0), (12e3, 0), (12e3, 9e3), (0, 9e3)],
    "cross": [(4e3, 0), (9e3, 0), (9e3, 4e3), (14e3, 4e3), (14e3, 9e3), (9e3, 9e3), (9e3, 13e3), (4e3, 13e3),
              (4e3, 9e3), (0, 9e3), (0, 4e3), (4e3, 4e3)],
    "skew": [(0, 0), (15e3, 1e3), (13e3, 8e3), (7e3, 12e3), (1e3, 9e3)],
}  # fmt: skip


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("overhang_mm", [50.0, 600.0])
def test_a_hipped_model_moved_out_covers_the_mitred_offset_of_its_plan(plan: str, overhang_mm: float) -> None:
    job = {"outline": PLANS[plan], "pitch_deg": 30.0, "fascia_height_mm": 2700.0}
    points: list[Point3] = []
    triangles = []
    for part in mesh_parts([roof_from_outline(RoofJob.model_validate(job), 0.0, SETTINGS)]):
        triangles += [(len(points) + a, len(points) + b, len(points) + c) for a, b, c in part.triangles]
        points += part.points_mm
    raw = raw_faces(tuple(points), tuple(triangles), "house.obj", stated_unit_mm=1.0, stated_up="z")
    given = {"mesh": {"file": "house.obj", "edge_is": "wall_line"}, "eave_overhang_mm": overhang_mm}
    roof = roof_from_faces(raw, RoofJob.model_validate(given), 0.0, SETTINGS)
    offset = Polygon(PLANS[plan]).buffer(overhang_mm, join_style="mitre", mitre_limit=20.0)
    assert sum(plane.plan_area_mm2 for plane in roof.planes) == pytest.approx(offset.area, rel=1e-9)
    assert sum(plane.area_mm2 for plane in roof.planes) == pytest.approx(offset.area / cos(radians(30)), rel=1e-9)
    assert Polygon(roof.outline_mm[0]).symmetric_difference(offset).area < 1.0
