"""Roofs of real buildings from open city models (set out in the data catalogue), against the areas and edges that
independent code measured on them.

How many come out right is a floor stated below, measured when it was set; raise it, never lower it. What differs is told
by `pytest -rP`. The folder is named by the variable TAKEOFF_DATA; without it these tests skip.
"""

from __future__ import annotations

import json
import os
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from takeoff.basics.errors import ShapeError, UndecidedError
from takeoff.basics.triangles import triangulate
from takeoff.basics.vectors import Point3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.faces import RawFaces, raw_faces
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.read.mesh import read_mesh
from takeoff.shape.imported.roof_from_faces import roof_from_faces

DATA = Path(os.environ.get("TAKEOFF_DATA", ""))
SETTINGS = resolve_settings(Job(job="check"))
MESH = ShapeJob(file="house")

pytestmark = pytest.mark.skipif(not (DATA / "mesh").is_dir(), reason="TAKEOFF_DATA names no folder of meshes")

# file, one building in so many: least number of clean buildings whose area is right to 0.2 %, and of those with clean
# edges whose edges are right. Of the first files the whole is quick, of the others a part stands for it.
FLOORS = {
    ("roofs_synthetic_gable_grid.jsonl", 1): (100, 100),
    ("roofs_nrw_lod2.jsonl", 1): (101, 97),
    ("roofs_denhaag_lod2.jsonl", 4): (145, 136),
    ("roofs_3dbag_lod22.jsonl", 6): (16, 2),
}
WHOLE = {
    ("roofs_denhaag_lod2.jsonl", 1): (578, 550),
    ("roofs_3dbag_lod22.jsonl", 1): (95, 9),
}


def _corners(rings: list[list[list[float]]]) -> list[tuple[Point3, Point3, Point3]]:
    """A source polygon (metres) as triangles in mm, cut in its plane of best fit."""
    points = [np.array(ring) * 1000.0 for ring in rings]
    outer = points[0] - points[0].mean(axis=0)
    normal = np.cross(outer, np.roll(outer, -1, axis=0)).sum(axis=0)
    if not np.linalg.norm(normal):
        return []
    normal /= np.linalg.norm(normal)
    u = np.cross(normal, (0.0, 0.0, 1.0) if abs(normal[2]) < 0.9 else (1.0, 0.0, 0.0))
    u /= np.linalg.norm(u)
    v = np.cross(normal, u)
    flat = [[(float(p @ u), float(p @ v)) for p in ring] for ring in points]
    spaced = [(float(x), float(y), float(z)) for ring in points for x, y, z in ring]
    return [(spaced[a], spaced[b], spaced[c]) for a, b, c in triangulate(flat)]


def _raw(building: dict[str, Any]) -> RawFaces:
    corners = [t for face in (*building["roof"], *building["wall"]) for t in _corners(face["poly"])]
    points = tuple(point for triangle in corners for point in triangle)
    corners = [(i, i + 1, i + 2) for i in range(0, len(points), 3)]
    return raw_faces(points, corners, building["id"], stated_unit_mm=1.0, stated_up="z")


def _edges(roof: Roof) -> Counter[str]:
    """Lengths in the catalogue's words, which tell no aprons apart and call free level edges eaves or high edges by
    another rule than ours: eave, head and apron head stand together, so do verge and apron side."""
    words = {
        EdgeKind.HEAD: "eave",
        EdgeKind.APRON_HEAD: "eave",
        EdgeKind.APRON_SIDE: "verge",
        EdgeKind.INTERNAL_GUTTER: "valley_level",
    }
    total: Counter[str] = Counter()
    for edge in roof.edges:
        total[words.get(edge.kind, edge.kind.value)] += edge.length_mm / 1000.0
    return total


def _expected(edges: dict[str, float]) -> Counter[str]:
    total: Counter[str] = Counter()
    for word, length in edges.items():
        if word != "coplanar_joint":
            total["eave" if word in ("high_edge", "flat_edge") else word] += length
    return total


def _unlike(found: Counter[str], expected: Counter[str]) -> list[str]:
    return [
        f"{word} {found[word]:.2f} against {expected[word]:.2f}"
        for word in sorted({*found, *expected})
        if abs(found[word] - expected[word]) > max(0.05, 2e-3 * expected[word])
    ]


@pytest.mark.parametrize(("file", "step"), FLOORS)
def test_city_model_roofs(file: str, step: int) -> None:
    areas, edges = _right(file, step)
    assert areas >= FLOORS[file, step][0]
    assert edges >= FLOORS[file, step][1]


@pytest.mark.long
@pytest.mark.parametrize(("file", "step"), WHOLE)
def test_all_city_model_roofs(file: str, step: int) -> None:
    areas, edges = _right(file, step)
    assert areas >= WHOLE[file, step][0]
    assert edges >= WHOLE[file, step][1]


def _right(file: str, step: int) -> tuple[int, int]:
    """How many buildings have the right area, and how many the right edges; the others are printed."""
    areas = edges = 0
    with (DATA / file).open(encoding="utf-8") as lines:
        buildings = [building for building in map(json.loads, lines) if building["clean"]][::step]
    for building in buildings:
        name = building["id"]
        try:
            roof = roof_from_faces(_raw(building), RoofJob(mesh=MESH), 0.0, SETTINGS)
        except ShapeError as err:
            print(f"{name}: {err.faults[0]}")
            continue
        area = sum(plane.area_mm2 for plane in roof.planes) / 1e6
        if abs(area - building["sum"]["roof_true"]) <= 2e-3 * area:
            areas += 1
        else:
            print(f"{name}: {area:.3f} m2 against {building['sum']['roof_true']}")
        if building["edges_ok"]:
            unlike = _unlike(_edges(roof), _expected(building["edges"]))
            edges += not unlike
            if unlike:
                print(f"{name}: {', '.join(unlike)}")
    print(f"{file}: {areas} areas of {len(buildings)}, {edges} edges of {sum(b['edges_ok'] for b in buildings)} right")
    return areas, edges


def _answered(raw: RawFaces, answers: dict[str, str]) -> Roof:
    """The roof of a model of which nothing is said; where the program asks (as large in metres as another house in feet,
    as upright on its gable as standing) it is answered with one of the lines it offers."""
    known: dict[str, str] = {}
    for _ in range(3):
        try:
            job = ShapeJob.model_validate({"file": "house", **known})
            roof = roof_from_faces(raw, RoofJob(mesh=job), 0.0, SETTINGS)
        except UndecidedError as asked:
            (key,) = [key for key in answers if f"{key}: {answers[key]}}}` makes it" in " ".join(asked.faults)]
            known[key] = answers[key]
            continue
        said = " ".join(finding.text for finding in roof.findings)
        assert all(f"given; {answer} was taken" in said for key, answer in answers.items() if key not in known)
        return roof
    raise AssertionError("it asks again and again")


def _meshes() -> list[dict[str, Any]]:
    path = DATA / "mesh" / "expected.json"
    return json.loads(path.read_text(encoding="utf-8")) if path.is_file() else []


@pytest.mark.parametrize("expected", _meshes(), ids=lambda expected: expected["file"])
def test_mesh_files_with_faults(expected: dict[str, Any]) -> None:
    """Soup, flipped faces, jitter, doubles and T-junctions: unit and up axis found, planes and area as in the clean
    source, edges too where the source's own are clean (the two roofs with inner steps are left out there)."""
    raw = read_mesh(DATA / "mesh" / expected["file"])
    roof = _answered(raw, {"unit": expected["units"], "up": expected["up"]})
    assert sum(p.area_mm2 for p in roof.planes) / 1e6 == pytest.approx(expected["roof_true_m2"], rel=5e-4)
    assert sum(p.plan_area_mm2 for p in roof.planes) / 1e6 == pytest.approx(expected["roof_plan_m2"], rel=5e-4)
    planes = sorted(expected["roof_planes"], key=lambda plane: -plane["area"])
    found = sorted(roof.planes, key=lambda plane: -plane.area_mm2)
    assert len(found) == len(planes)
    for plane, source in zip(found, planes, strict=True):
        assert plane.area_mm2 / 1e6 == pytest.approx(source["area"], rel=3e-3, abs=0.01)
        assert plane.pitch_deg == pytest.approx(source["slope"], abs=0.5)
        if source["slope"] > 2.0:
            assert abs((plane.bearing_deg - source["az"] + 180.0) % 360.0 - 180.0) < 0.5
    if not expected["building"].startswith("bag"):
        assert _unlike(_edges(roof), _expected(expected["edges"])) == []


def test_two_small_houses_of_many_bodies_are_refused_or_marked() -> None:
    """Models that are no closed roof: a clear fault, or a takeoff marked partial when the job allows it."""
    for name in ("cc0_family_house_1.obj", "cc0_family_house_2.obj"):
        raw = read_mesh(DATA / "mesh" / name)
        with pytest.raises(ShapeError):
            roof_from_faces(raw, RoofJob(mesh=MESH), 0.0, SETTINGS)


def test_a_scene_of_three_boxes_reads() -> None:
    """No index buffer, y up: stacked blocks with one level top over all, which is measured but not sheeted."""
    raw = read_mesh(DATA / "mesh" / "mit_three_boxes.glb")
    (plane,) = roof_from_faces(raw, RoofJob(mesh=MESH), 0.0, SETTINGS).planes
    assert (plane.pitch_deg, plane.covering) == (0.0, "other")
