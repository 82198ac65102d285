"""Plane areas against two general-purpose geometry libraries: shapely (plan) and trimesh (true area of the triangles)."""

from __future__ import annotations

from math import cos, radians

import numpy as np
import pytest
import shapely
import trimesh

from takeoff.basics.triangles import triangulate
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.write.data.roof_mesh import mesh_parts

RECT = [(0.0, 0.0), (20000.0, 0.0), (20000.0, 18000.0), (0.0, 18000.0)]
COURT = [(7000.0, 7000.0), (13000.0, 7000.0), (13000.0, 11000.0), (7000.0, 11000.0)]
ZED = [(0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (17000.0, 4000.0), (17000.0, 11000.0), (5000.0, 11000.0),
       (5000.0, 6500.0), (0.0, 6500.0)]  # fmt: skip
JOBS = {
    "courtyard": {"outline": RECT, "courtyards": [COURT], "pitch_deg": 22.5},
    "zed": {"outline": ZED, "pitch_deg": 30.0, "edges": {4: {"pitch_deg": 15.0}, 8: {"kind": "gable"}}},
    "court in one plane": {
        "outline": RECT,
        "courtyards": [COURT],
        "pitch_deg": 10.0,
        "edges": {n: {"kind": "gable"} for n in (2, 3, 4, 5, 6, 7, 8)},
    },
}


def _roof(name: str) -> Roof:
    return roof_from_outline(RoofJob.model_validate(JOBS[name]), 0.0, resolve_settings(Job(job="check")))


@pytest.mark.parametrize("name", JOBS)
def test_planes_tile_the_outline_by_shapely(name: str) -> None:
    roof = _roof(name)
    plans = []
    for plane in roof.planes:
        rings = [[plane.frame.to_space(point)[:2] for point in ring] for ring in plane.rings_uv]
        polygon = shapely.Polygon(rings[0], rings[1:])
        assert polygon.is_valid
        assert polygon.area == pytest.approx(plane.plan_area_mm2, rel=1e-9)
        plans.append(polygon)
    outline = shapely.Polygon(roof.outline_mm[0], roof.outline_mm[1:])
    assert shapely.union_all(plans, grid_size=1e-4).area == pytest.approx(outline.area, rel=1e-8)
    assert sum(plan.area for plan in plans) == pytest.approx(outline.area, rel=1e-9)
    for plan in plans:
        assert plan.difference(outline.buffer(0.01)).area == 0.0


@pytest.mark.parametrize("name", JOBS)
def test_true_areas_by_trimesh(name: str) -> None:
    roof = _roof(name)
    parts = {part.id: part for part in mesh_parts([roof])}
    for face in (*roof.planes, *roof.uprights):
        part = parts[face.id]
        mesh = trimesh.Trimesh(np.array(part.points_mm), np.array(part.triangles), process=False)
        assert mesh.area == pytest.approx(face.area_mm2, rel=1e-9)
        assert np.allclose(mesh.face_normals, face.frame.n, atol=1e-6)


@pytest.mark.parametrize("name", JOBS)
def test_volume_under_the_roof_is_closed(name: str) -> None:
    """Planes, uprights and the level plan between the eaves close a body: its volume by trimesh is the sum over the
    planes of plan area times mean height (derived)."""
    roof = _roof(name)
    points: list[tuple[float, float, float]] = []
    triangles: list[tuple[int, int, int]] = []
    for part in mesh_parts([roof]):
        triangles += [(a + len(points), b + len(points), c + len(points)) for a, b, c in part.triangles]
        points += part.points_mm
    floor = [point for ring in roof.outline_mm for point in ring]
    triangles += [(len(points) + a, len(points) + c, len(points) + b) for a, b, c in triangulate(roof.outline_mm)]
    points += [(x, y, 2450.0) for x, y in floor]
    mesh = trimesh.Trimesh(np.array(points) - (0, 0, 2450.0), np.array(triangles), process=False)
    expected = 0.0
    for plane in roof.planes:
        for a, b, c in triangulate(plane.rings_uv):
            corners = [point for ring in plane.rings_uv for point in ring]
            spaced = [plane.frame.to_space(corners[i]) for i in (a, b, c)]
            (ax, ay, az), (bx, by, bz), (cx, cy, cz) = spaced
            area = abs((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / 2
            expected += area * ((az + bz + cz) / 3 - 2450.0)
    assert mesh.volume == pytest.approx(expected, rel=1e-9)
    plan = sum(plane.area_mm2 * cos(radians(plane.pitch_deg)) for plane in roof.planes)
    assert plan == pytest.approx(shapely.Polygon(roof.outline_mm[0], roof.outline_mm[1:]).area, rel=1e-9)
