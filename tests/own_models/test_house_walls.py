"""A model with walls needs no typing of them: wall line, frame height and openings come from it, as they were drawn.

Expected are the boxes that the houses were drawn with: walls 12, 8 and 6 m long, 2.4 m high, and WINDOWS.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from math import cos, radians, sin
from pathlib import Path

import pytest
from own_houses import WINDOWS, Face, House, Point, ell, gable, moved, wall_face
from write_cityjson import cityjson
from write_ifc import ifc
from write_meshes import MESHES, flipped, obj_polygons, subdivided, triangles_of, unwelded

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

HOUSES = {"gable": gable(WINDOWS), "ell": ell(WINDOWS)}
LENGTHS = {"gable": (12, 8, 12, 8), "ell": (12, 6, 6, 6, 6, 12)}


def _take_off(path: Path, walls: dict[str, object] | None = None, **shape: object) -> Takeoff:
    job = {
        "job": "check",
        "site": {"wind_zone": "medium", "rain_mm_per_h": 100},
        "roofs": [{"name": "house", "shape": {"file": path.name, **shape}}],
        "walls": walls or {"zones": [{"board": "bevel_187"}]},
    }
    return pipeline.run(parse_job(json.dumps(job)), base=path.parent, until=pipeline.Stage.MEASURE)


def _check(found: Takeoff, name: str, within_mm: float) -> None:
    assert len(found.elevations) == len(LENGTHS[name])
    for wall, metres in zip(found.elevations, LENGTHS[name], strict=True):
        assert wall.width_mm == pytest.approx(1000.0 * metres, abs=within_mm)
        assert wall.height_mm == pytest.approx(2400.0, abs=within_mm)
        drawn = [(o.from_left_mm, o.sill_mm, o.width_mm, o.height_mm) for o in wall.openings]
        wanted = [tuple(1000.0 * v for v in box) for box in sorted(WINDOWS.get(wall.wall, ()))]
        assert len(drawn) == len(wanted)
        for one, other in zip(drawn, wanted, strict=True):
            assert one == pytest.approx(other, abs=within_mm)
    inner = [wall.wall for wall in found.elevations if wall.left_corner.kind != "external"]
    assert inner == ([4] if name == "ell" else [])


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize("kind", ["obj", "glb", "city.json"])
def test_walls_and_openings_come_from_the_model(tmp_path: Path, name: str, kind: str) -> None:
    path = tmp_path / f"house.{kind}"
    if kind == "city.json":
        path.write_text(json.dumps(cityjson({"A": HOUSES[name]})), "utf-8")
    else:
        path.write_bytes(MESHES[kind](triangles_of(HOUSES[name])))
    _check(_take_off(path, **({"up": "z", "unit": "m"} if kind == "obj" else {})), name, 0.02)


@pytest.mark.parametrize("name", HOUSES)
def test_walls_with_their_openings_come_from_ifc_by_name(tmp_path: Path, name: str) -> None:
    path = tmp_path / "house.ifc"
    path.write_text(ifc(HOUSES[name], unit=0.001), "utf-8")
    found = _take_off(path)
    _check(found, name, 0.02)
    names = [opening.name for wall in found.elevations for opening in wall.openings]
    assert names == [f"window {name} 1.1", f"door {name} 1.2", f"window {name} 2.1", f"window {name} 4.1"]


def _turned(point: Point) -> Point:
    a = radians(33.0)
    return (point[0] * cos(a) - point[1] * sin(a), point[0] * sin(a) + point[1] * cos(a), point[2])


def _far(point: Point) -> Point:
    return (point[0] + 1.7e6, point[1] - 1.7e6, point[2])


@pytest.mark.parametrize(
    ("place", "cut"), [(_turned, subdivided), (_far, unwelded), (None, flipped)], ids=["turned", "far", "flipped"]
)
def test_it_does_not_matter_how_the_model_lies(
    tmp_path: Path, place: Callable[[Point], Point] | None, cut: Callable[..., object]
) -> None:
    house: House = HOUSES["gable"] if place is None else partial(moved, place=place)(HOUSES["gable"])
    path = tmp_path / "house.obj"
    path.write_bytes(MESHES["obj"](cut(triangles_of(house))))  # type: ignore[arg-type]
    _check(_take_off(path, up="z", unit="m"), "gable", 2.0)


@pytest.mark.parametrize(("deep", "holes"), [(0.12, True), (0.0, True), (0.0, False)])
def test_windows_and_doors_of_a_fine_cityjson_model_are_openings(tmp_path: Path, deep: float, holes: bool) -> None:
    """Level 3: a window is a surface of its own, set back in a hole of its wall, or in its face with or without one."""
    house = HOUSES["gable"] if holes else gable()
    ends = [(0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (0.0, 8.0)]
    panes = []
    for wall, boxes in WINDOWS.items():
        (ax, ay), (bx, by) = ends[wall - 1], ends[wall % 4]
        length = abs(bx - ax) + abs(by - ay)
        ux, uy = (bx - ax) / length, (by - ay) / length
        for x, sill, width, height in boxes:
            corners = [(x, sill), (x + width, sill), (x + width, sill + height), (x, sill + height)]
            ring = tuple((ax + ux * s - uy * deep, ay + uy * s + ux * deep, z) for s, z in corners)
            panes.append(Face((ring,), "window" if sill else "door"))
    path = tmp_path / "house.city.json"
    fine = replace(house, faces=(*house.faces, *panes))
    path.write_text(json.dumps(cityjson({"A": fine})), "utf-8")
    _check(_take_off(path), "gable", 0.02)


def test_boards_on_the_house_are_no_walls(tmp_path: Path) -> None:
    # fascia boards 180 mm high all round, 600 mm out of the walls
    path = tmp_path / "house.obj"
    lines = obj_polygons(HOUSES["gable"]).decode().splitlines()
    count = sum(line.startswith("v ") for line in lines)
    corners = [(-0.6, -0.6), (12.6, -0.6), (12.6, 8.6), (-0.6, 8.6)]
    boards = [f"v {x} {y} {z}" for z in (2.1, 2.28) for x, y in corners]
    sides = [(1, 2, 6, 5), (2, 3, 7, 6), (3, 4, 8, 7), (4, 1, 5, 8)]
    boards += ["f " + " ".join(str(count + k) for k in side) for side in sides]
    path.write_text("\n".join([*lines, *boards]) + "\n", "utf-8")
    _check(_take_off(path, up="z", unit="m"), "gable", 0.02)


def test_what_the_job_types_goes_before_the_model(tmp_path: Path) -> None:
    path = tmp_path / "house.obj"
    path.write_bytes(obj_polygons(HOUSES["gable"]))
    opening = {"wall": 3, "from_left_mm": 1000, "sill_mm": 900, "width_mm": 600, "height_mm": 600}
    found = _take_off(
        path, {"height_mm": 2300, "openings": [opening], "zones": [{"board": "bevel_187"}]}, up="z", unit="m"
    )
    assert [len(wall.openings) for wall in found.elevations] == [0, 0, 1, 0]
    assert found.elevations[0].height_mm == 2300.0
    (said,) = [finding.text for finding in found.findings if finding.code == "walls-drawn"]
    assert said.endswith("the openings are those of the job (1), the model draws 4.")


def test_a_model_without_walls_says_so_and_zones_of_walls_it_has_not_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "house.obj"
    house = HOUSES["gable"]
    bare = House("bare", tuple(f for f in house.faces if f.what == "roof"), house.ground, 2, 120.0, {}, {})
    path.write_bytes(obj_polygons(bare))
    with pytest.raises(JobError, match="draws no walls that close in a house under roof house"):
        _take_off(path, up="z", unit="m")
    path.write_bytes(obj_polygons(house))
    with pytest.raises(
        JobError, match=r"walls.zones\[1\].walls: there is no wall 5 in house.obj; its walls go from 1 to 4"
    ):
        _take_off(path, {"zones": [{"board": "bevel_187", "walls": [1, 5]}]}, up="z", unit="m")


def test_walls_at_survey_heights_are_as_high_as_over_their_own_floor(tmp_path: Path) -> None:
    path = tmp_path / "house.obj"
    path.write_bytes(obj_polygons(moved(HOUSES["gable"], lambda p: (p[0], p[1], p[2] + 100.0))))
    high = _take_off(path, up="z", unit="m")
    assert "model-floor-taken" in [finding.code for finding in high.findings]
    _check(high, "gable", 2.0)


def test_of_two_models_one_gives_walls_and_it_is_said_and_typed_walls_are_not_mixed_with_drawn_ones(
    tmp_path: Path,
) -> None:
    path = tmp_path / "house.obj"
    path.write_bytes(obj_polygons(HOUSES["gable"]))
    shape = {"file": path.name, "up": "z", "unit": "m"}
    far = moved(HOUSES["gable"], lambda p: (p[0] + 40.0, p[1], p[2]))
    (tmp_path / "far.obj").write_bytes(obj_polygons(far))
    job = {
        "job": "check",
        "roofs": [{"name": "house", "shape": shape}, {"name": "barn", "shape": {**shape, "file": "far.obj"}}],
        "walls": {"zones": [{"board": "bevel_187"}]},
    }
    found = pipeline.run(parse_job(json.dumps(job)), base=tmp_path, until=pipeline.Stage.SHAPE)
    assert len(found.elevations) == 4
    assert "other-walls-not-taken" in [finding.code for finding in found.findings]
    typed = {"name": "shed", "wall_line": [[0, 20000], [6000, 20000], [6000, 24000], [0, 24000]], "pitch_deg": 20}
    job["roofs"] = [{"name": "house", "shape": shape}, typed]
    job["walls"] = {"height_mm": 2400, "zones": [{"board": "bevel_187"}]}
    found = pipeline.run(parse_job(json.dumps(job)), base=tmp_path, until=pipeline.Stage.SHAPE)
    assert [wall.width_mm for wall in found.elevations] == [6000.0, 4000.0, 6000.0, 4000.0]


def test_walls_that_close_in_a_part_of_what_the_roof_covers_are_told(tmp_path: Path) -> None:
    # a wall across the gable house at x = 5, the walls east of it left out: 5 x 8 of 12 x 8 m
    plain = gable()
    faces = [face for face in plain.faces if face.what == "roof"]
    ends = [(0.0, 0.0), (5.0, 0.0), (5.0, 8.0), (0.0, 8.0)]
    for number, (a, b) in enumerate(zip(ends, (*ends[1:], ends[0]), strict=True), start=1):
        top = [(5.0, 2.4), (0.0, 2.4)] if number % 2 else [(8.0, 2.4), (4.0, 5.4), (0.0, 2.4)]
        faces.append(wall_face(a, b, top, ()))
    path = tmp_path / "house.obj"
    path.write_bytes(obj_polygons(replace(plain, faces=tuple(faces))))
    (told,) = [one.text for one in _take_off(path, up="z", unit="m").findings if one.code == "walls-of-a-part"]
    assert "close in 40.00 m2 of the 96.00 m2 under roof house" in told
