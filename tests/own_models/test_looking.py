"""A look at a file of several roofs lists each with its size and the line that names it; figures as own_houses.py has them."""

from __future__ import annotations

import json
from pathlib import Path

import yaml
from make_samples import SAMPLES
from own_houses import gable
from write_cityjson import cityjson
from write_meshes import obj_polygons

from takeoff.looking import look, looked_json


def test_buildings_and_parts_of_cityjson_are_listed_with_the_lines_that_name_them() -> None:
    found = look(SAMPLES / "cityjson_house" / "yard.city.json")
    assert [(body.name, body.size_mm) for body in found.bodies] == [
        ("quarters-0", (12000.0, 12000.0, 4650.0)),
        ("store-0", (12000.0, 8000.0, 5400.0)),
    ]
    assert [yaml.safe_load(line)["shape"]["part"] for line in found.lines] == ["quarters-0", "store-0"]
    assert json.loads(looked_json(found))["unit"] == "m"


def test_a_building_without_a_roof_is_told_with_the_reason(tmp_path: Path) -> None:
    tree = cityjson({"A": gable(), "B": gable()})
    tree["CityObjects"]["B"]["geometry"][0]["lod"] = "1"
    path = tmp_path / "town.city.json"
    path.write_text(json.dumps(tree), "utf-8")
    found = look(path)
    assert found.lines == ("shape: {file: town.city.json}",)
    assert found.notes[0].startswith("B is drawn at level of detail 1 only")
    assert found.notes[1].startswith("its roof: P1 60.00 m2 at 36.9 degrees, P2 60.00 m2")


def test_an_ifc_house_is_listed_with_storeys_openings_and_its_own_areas_beside_ours() -> None:
    found = look(SAMPLES / "ifc_house" / "office.ifc")
    (body,) = found.bodies
    assert [round(size) for size in body.size_mm] == [12000, 8000, 3120]  # the slabs: 5400 less 2400 - 120
    told = "\n".join(found.notes)
    assert "4 walls, 4 windows, 2 doors in the file" in told
    assert "storeys: office storey at 0.00 m" in told
    assert "NetArea: office plane 1 60.00 m2, office plane 2 60.00 m2: our true area of P1 or P2" in told
    assert "ProjectedArea: office plane 1 48.00 m2, office plane 2 48.00 m2: our plan area of P1 or P2" in told


def test_a_mesh_still_is_looked_at_by_its_bodies(tmp_path: Path) -> None:
    (tmp_path / "house.obj").write_bytes(obj_polygons(gable()))
    assert len(look(tmp_path / "house.obj").bodies) == 1
