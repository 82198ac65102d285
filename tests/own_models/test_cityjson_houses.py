"""CityJSON: which building is meant, which level of detail is read, and what is refused by name."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from own_houses import WINDOWS, Face, House, ell, gable, moved
from taking_off import check, raised
from write_cityjson import block, cityjson, sequence

from takeoff.basics.errors import JobError, TakeoffError, UndecidedError, UnreadableFileError
from takeoff.model.faces import RawFaces, StatedPart
from takeoff.model.job.roofs import ShapeJob
from takeoff.read.cityjson.cityjson import read_cityjson

GABLE, ELL = gable(WINDOWS), ell()


def _file(folder: Path, tree: object, name: str = "town.city.json") -> Path:
    path = folder / name
    path.write_text(tree if isinstance(tree, str) else json.dumps(tree), "utf-8")
    return path


def _read(path: Path, part: str | None = None) -> RawFaces:
    return read_cityjson(path, ShapeJob(file=path.name, part=part))


def test_a_part_is_found_by_its_own_key_by_its_buildings_and_by_name(tmp_path: Path) -> None:
    path = _file(tmp_path, cityjson({"A": GABLE, "B": ELL}, parts=True))
    check(raised(path, part="A-0"), GABLE, 1e-6)
    check(raised(path, part="B"), ELL, 1e-6)
    named = _file(tmp_path, cityjson({"A": GABLE, "B": ELL}), "named.json")
    check(raised(named, part="house ell"), ELL, 1e-6)


def test_of_several_levels_of_detail_the_highest_that_names_a_roof_is_read(tmp_path: Path) -> None:
    far = moved(GABLE, lambda p: (p[0] + 1e5, p[1] - 2e5, p[2]))
    raw = _read(_file(tmp_path, cityjson({"A": far}, parts=True, place=(1e5, -2e5, 0.0))))
    assert raw.points.min(axis=0).tolist() == pytest.approx([1e5, -2e5, 0.0])
    # the block of level 1.2, whose top is called a roof too, is 5 m high; the house 5.4
    assert float(raw.points[:, 2].max()) == pytest.approx(5.4)
    assert [part.stated for part in raw.parts] == [StatedPart.ROOF, StatedPart.GROUND, StatedPart.WALL]


def test_several_buildings_are_asked_about_with_the_line_to_write(tmp_path: Path) -> None:
    with pytest.raises(UndecidedError) as asked:
        _read(_file(tmp_path, cityjson({"A": GABLE, "plot 7": ELL})))
    assert asked.value.faults == (
        "town.city.json: holds 2 buildings and parts, each a roof of its own; say in the job's shape which is meant",
        "town.city.json: house gable: `part: A`",
        'town.city.json: house ell: `part: "plot 7"`',
    )


def test_without_semantics_roof_and_walls_are_told_apart_by_steepness_and_it_is_said(tmp_path: Path) -> None:
    path = _file(tmp_path, cityjson({"A": GABLE}, named=False))
    roof = raised(path)
    check(roof, GABLE, 1e-6)
    assert "roof-surfaces-unnamed" in [finding.code for finding in roof.findings]


def _level_1(tree: dict[str, Any]) -> None:
    from write_cityjson import _Vertices

    vertices = _Vertices((0.0, 0.0, 0.0))
    tree["CityObjects"]["A"]["geometry"] = [block(GABLE, vertices, "1.3")]
    tree["vertices"] = [list(vertex) for vertex in vertices.numbers]


def _set(*way: Any) -> Any:
    *path, value = way

    def change(tree: Any) -> None:
        for key in path[:-1]:
            tree = tree[key]
        tree[path[-1]] = value

    return change


SHAPE = ("CityObjects", "A", "geometry", 0)


def _cross(tree: Any) -> None:
    """The corners of the first roof surface in an order that crosses itself."""
    ring = tree["CityObjects"]["A"]["geometry"][0]["boundaries"][0][0][0]
    ring[0], ring[1] = ring[1], ring[0]


REFUSED: list[tuple[Any, type[TakeoffError], str]] = [
    (_set("version", "0.9"), UnreadableFileError, "version 0.9; versions 1.0, 1.1, 2.0 are read"),
    (_set("version", "3.0"), UnreadableFileError, "version 3.0; versions"),
    (_set("type", "FeatureCollection"), UnreadableFileError, "holds no CityJSON"),
    (_set("type", "CityJSONFeature"), UnreadableFileError, "one feature of a sequence"),
    (_set("transform", None), UnreadableFileError, "has no transform"),
    (_set("transform", {"scale": [1], "translate": 3}), UnreadableFileError, "no scale and place"),
    (_set("vertices", 2, [0, 0]), UnreadableFileError, "not three figures"),
    (_set("vertices", 2, [0, 0, 10**400]), UnreadableFileError, "absurdly far away"),
    (_set("vertices", []), UnreadableFileError, "vertex 0 does not exist"),
    (_set(*SHAPE, "boundaries", 7), UnreadableFileError, "its boundaries is no list"),
    (_set(*SHAPE, "boundaries", [[[["x"]]]]), UnreadableFileError, "no number of a vertex"),
    (_set(*SHAPE, "boundaries", []), UnreadableFileError, "holds no faces"),
    (_set(*SHAPE, "type", "GeometryInstance"), JobError, "templates are not read"),
    (_set(*SHAPE, "lod", "0"), JobError, "a footprint without a roof"),
    (_cross, UnreadableFileError, "a roof surface crosses itself"),
    (_level_1, JobError, "level of detail 1.3 only, blocks at most without a roof"),
    (_set("CityObjects", "A", "type", "Bridge"), JobError, "holds no building"),
    (_set("transform", "scale", [1e-9, 1e-9, 1e-3]), UnreadableFileError, "in degrees"),
    (
        _set("metadata", {"referenceSystem": "https://www.opengis.net/def/crs/EPSG/0/4979"}),
        UnreadableFileError,
        "in degrees",
    ),
]


@pytest.mark.parametrize(("change", "error", "words"), REFUSED)
def test_what_cannot_be_read_is_refused_by_name(
    tmp_path: Path, change: Any, error: type[TakeoffError], words: str
) -> None:
    tree = cityjson({"A": GABLE})
    change(tree)
    with pytest.raises(error) as told:
        _read(_file(tmp_path, tree))
    assert words in str(told.value)
    assert len(told.value.faults) == 1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("<CityModel/>", "CityGML is not read"),
        ("[" * 200_000, "nested too deep"),
        ('{"type": "CityJSON", "version": NaN}', "NaN is no number"),
        ("[]", "holds no CityJSON"),
        ("", "is no JSON"),
        ('{"type": "CityJSON", "version": ' + "9" * 5000 + "}", "is no JSON"),
    ],
)
def test_text_that_is_no_cityjson_is_one_message(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(UnreadableFileError, match=words) as told:
        _read(_file(tmp_path, text))
    assert len(told.value.faults) == 1


def test_of_a_sequence_only_lines_that_name_the_building_are_looked_into(tmp_path: Path) -> None:
    text = sequence({"A": GABLE, "B": ELL}).decode() + "{broken\n"
    check(raised(_file(tmp_path, text, "town.city.jsonl"), part="B"), ELL, 1e-6)
    with pytest.raises(UnreadableFileError, match="line 4: is no JSON"):
        _read(tmp_path / "town.city.jsonl")


def test_a_building_that_is_not_there_is_said_with_those_that_are(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="there is no building B1") as told:
        _read(_file(tmp_path, cityjson({"B2": GABLE})), "B1")
    assert str(told.value).endswith("It has B2")


def test_the_lowest_of_flat_roofs_is_no_ground(tmp_path: Path) -> None:
    # 6 x 4 m at 6 m and 3 x 4 m at 3 m beside it: 24 + 12 m2
    high, low = (
        ((0.0, 0.0, 6.0), (6.0, 0.0, 6.0), (6.0, 4.0, 6.0), (0.0, 4.0, 6.0)),
        ((6.0, 0.0, 3.0), (9.0, 0.0, 3.0), (9.0, 4.0, 3.0), (6.0, 4.0, 3.0)),
    )
    step = ((6.0, 0.0, 3.0), (6.0, 4.0, 3.0), (6.0, 4.0, 6.0), (6.0, 0.0, 6.0))
    faces = (Face((high,), "roof"), Face((low,), "roof"), Face((step,), "wall"))
    house = House("flat", faces, (), 2, 36.0, {}, {})
    roof = raised(_file(tmp_path, cityjson({"A": house}, kind="MultiSurface")))
    assert sum(plane.area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(36.0)
