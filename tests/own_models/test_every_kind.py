"""The gable and the L house come back the same from every kind of file, however the model lies and is cut up.

Expected is what own_houses.py works out by hand: exactly where the file holds the house's own figures, within 2 mm an
edge where it has been turned, shifted or rounded.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial
from math import cos, radians, sin
from pathlib import Path

import pytest
from own_houses import WINDOWS, House, Point, ell, gable, moved
from taking_off import check, raised
from write_cityjson import cityjson, sequence
from write_meshes import MESHES, flipped, obj_polygons, subdivided, triangles_of, unwelded

HOUSES = {"gable": gable(WINDOWS), "ell": ell(WINDOWS)}
EXACT_MM = 1e-6
FAR = 1.7e6  # metres
TEXT = ("obj", "off", "ply", "text.stl", "3mf")  # kinds that hold any figure; the others round to 24 bits


def _turned(point: Point) -> Point:
    a = radians(33.0)
    return (point[0] * cos(a) - point[1] * sin(a), point[0] * sin(a) + point[1] * cos(a), point[2])


def _mirrored(point: Point) -> Point:
    return (-point[0], point[1], point[2])


def _far(point: Point) -> Point:
    return (point[0] + FAR, point[1] - FAR, point[2])


WAYS: dict[str, Callable[[House], House]] = {
    "turned": partial(moved, place=_turned),
    "mirrored": partial(moved, place=_mirrored, mirrored=True),
    "far": partial(moved, place=_far),
}
CUTS = {"subdivided": subdivided, "unwelded": unwelded, "flipped": flipped}


def _shape(kind: str) -> dict[str, object]:
    """What a job must say of a kind of file: formats that state unit and axis need nothing."""
    return {} if kind == "glb" else {"up": "z"} if kind == "3mf" else {"up": "z", "unit": "m"}


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize("kind", MESHES)
def test_a_mesh_of_every_kind_gives_the_figures_of_the_house(tmp_path: Path, name: str, kind: str) -> None:
    path = tmp_path / f"house.{kind}"
    path.write_bytes(MESHES[kind](triangles_of(HOUSES[name])))
    # 2.4 and 4.65 m are no binary fractions: kinds of 24 bits hold them to a few ten thousandths of a mm
    check(raised(path, **_shape(kind)), HOUSES[name], EXACT_MM if kind in TEXT else 0.01)


@pytest.mark.parametrize("name", HOUSES)
def test_an_obj_file_of_polygons_gives_the_figures_of_the_house(tmp_path: Path, name: str) -> None:
    path = tmp_path / "house.obj"
    path.write_bytes(obj_polygons(HOUSES[name]))
    check(raised(path, up="z", unit="m"), HOUSES[name], EXACT_MM)


@pytest.mark.parametrize(
    ("name", "kind", "way"),
    [
        (name, kind, way)
        for name in HOUSES
        for kind in MESHES
        for way in (*WAYS, *CUTS)
        # the L has every kind of edge that the gable has
        if (way != "far" or kind in TEXT) and (name == "ell" or kind == "obj")
    ],
)
def test_it_does_not_matter_how_a_mesh_lies_and_is_cut_up(tmp_path: Path, name: str, kind: str, way: str) -> None:
    house = WAYS[way](HOUSES[name]) if way in WAYS else HOUSES[name]
    mesh = triangles_of(house)
    path = tmp_path / f"house.{kind}"
    path.write_bytes(MESHES[kind](CUTS[way](mesh) if way in CUTS else mesh))
    check(raised(path, **_shape(kind)), HOUSES[name], 2.0)


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize(
    ("version", "kind"), [("1.0", "MultiSurface"), ("1.1", "Solid"), ("2.0", "Solid"), ("2.0", "MultiSolid")]
)
def test_cityjson_of_every_version_gives_the_figures_of_the_house(
    tmp_path: Path, name: str, version: str, kind: str
) -> None:
    path = tmp_path / "house.city.json"
    path.write_text(json.dumps(cityjson({"B1": HOUSES[name]}, version, kind)), "utf-8")
    check(raised(path), HOUSES[name], EXACT_MM)


@pytest.mark.parametrize("name", HOUSES)
@pytest.mark.parametrize("way", WAYS)
def test_it_does_not_matter_how_a_cityjson_house_lies(tmp_path: Path, name: str, way: str) -> None:
    place = (FAR, -FAR, 0.0) if way == "far" else (0.0, 0.0, 0.0)
    path = tmp_path / "house.city.jsonl"
    path.write_bytes(sequence({"B1": WAYS[way](HOUSES[name]), "B2": gable()}, place))
    check(raised(path, part="B1"), HOUSES[name], 2.0)
