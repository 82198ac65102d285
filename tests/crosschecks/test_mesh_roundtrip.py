"""A roof raised from an outline, written as a mesh and read back, gives the same quantities.

The expected values are those of the raised roof; the way back shares no code with the way there but the naming of edges.
"""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.read.mesh import read_mesh
from takeoff.shape.imported.roof_from_faces import roof_from_faces
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.write.data.roof_mesh import mesh_bytes

SETTINGS = resolve_settings(Job(job="check"))
RECT = [(0.0, 0.0), (20000.0, 0.0), (20000.0, 18000.0), (0.0, 18000.0)]
STEEP_THEN_FLAT = [{"pitch_deg": 60.0, "up_to_mm": 2000.0}, {"pitch_deg": 20.0}]

JOBS = {
    "hip": {"outline": [*RECT[:2], (20000.0, 9000.0), (0.0, 9000.0)], "pitch_deg": 25.0},
    "ell with a gable": {
        "outline": [(0.0, 0.0), (14200.0, 0.0), (14200.0, 8400.0), (9000.0, 8400.0), (9000.0, 12600.0), (0.0, 12600.0)],
        "pitch_deg": 25.0,
        "edges": {5: {"kind": "gable"}},
    },
    "unequal pitches": {"outline": RECT, "pitch_deg": 18.0, "edges": {2: {"pitch_deg": 35.0}, 3: {"pitch_deg": 9.0}}},
    "courtyard": {
        "outline": RECT,
        "courtyards": [[(7000.0, 7000.0), (13000.0, 7000.0), (13000.0, 11000.0), (7000.0, 11000.0)]],
        "pitch_deg": 22.0,
    },
    "mansard": {"outline": RECT, "edges": {n: {"rise": STEEP_THEN_FLAT} for n in (1, 2, 3, 4)}},
    "single pitch": {"outline": RECT, "pitch_deg": 7.0, "edges": {n: {"kind": "gable"} for n in (2, 3, 4)}},
    "stepped eaves": {
        "wall_line": [(0.0, 0.0), (6000.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)],
        "pitch_deg": 25.0,
        "eave_overhang_mm": 600.0,
        "edges": {1: {"eave_overhang_mm": 900.0}},
    },
    "half hip": {
        "outline": RECT,
        "pitch_deg": 30.0,
        "edges": {2: {"rise": [{"vertical": True, "up_to_mm": 1500.0}, {"pitch_deg": 30.0}]}, 4: {"kind": "gable"}},
    },
}


def _lengths(roof: Roof) -> dict[EdgeKind, float]:
    total: dict[EdgeKind, float] = defaultdict(float)
    for edge in roof.edges:
        total[edge.kind] += edge.length_mm
    return dict(total)


@pytest.mark.parametrize("ending", ["obj", "stl", "ply", "glb"])
@pytest.mark.parametrize("name", JOBS)
def test_there_and_back(tmp_path: Path, name: str, ending: str) -> None:
    roof = roof_from_outline(RoofJob.model_validate(JOBS[name]), 40.0, SETTINGS)
    path = tmp_path / f"roof.{ending}"
    path.write_bytes(mesh_bytes([roof], path))
    glb = ending == "glb"
    mesh = ShapeJob.model_validate({"file": path.name, "unit": "m" if glb else "mm", "up": "y" if glb else "z"})
    back = roof_from_faces(read_mesh(path), RoofJob(mesh=mesh), 40.0, SETTINGS)
    # 32-bit numbers of GLB and STL carry 0.002 mm over 20 m
    expected, found = _lengths(roof), _lengths(back)
    assert set(expected) == set(found)
    for kind, length in expected.items():
        assert found[kind] == pytest.approx(length, abs=0.5), kind
    for attribute in ("area_mm2", "plan_area_mm2"):
        values = sorted(getattr(plane, attribute) for plane in roof.planes)
        assert sorted(getattr(plane, attribute) for plane in back.planes) == pytest.approx(values, rel=2e-6)
    bearings = sorted((round(p.pitch_deg, 2), round(p.bearing_deg, 1) % 360.0) for p in roof.planes)
    assert sorted((round(p.pitch_deg, 2), round(p.bearing_deg, 1) % 360.0) for p in back.planes) == bearings
    assert len(back.uprights) <= len(roof.uprights)
    # a verge that runs on over an inner step is one edge of the raised roof, two of the model
    assert {round(node.at_mm[2]) for node in roof.nodes} <= {round(node.at_mm[2]) for node in back.nodes}


def test_the_same_roof_gives_the_same_bytes(tmp_path: Path) -> None:
    roof = roof_from_outline(RoofJob.model_validate(JOBS["hip"]), 0.0, SETTINGS)
    for ending in ("obj", "stl", "ply", "glb"):
        one, other = tmp_path / f"one.{ending}", tmp_path / f"other.{ending}"
        one.write_bytes(mesh_bytes([roof], one))
        other.write_bytes(mesh_bytes([roof], other))
        assert one.read_bytes() == other.read_bytes()
