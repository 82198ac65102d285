"""CityJSON typed by hand: its surfaces and their words, its vertices, its files and sequences, and each refusal whole.

By the CityJSON specifications 1.0.3, 1.1.3 and 2.0.1.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from cityjson_texts import DEGREES, LEVEL_2, VERTICES, building, city, refused, shape, written

from takeoff.basics.errors import UndecidedError, UnreadableFileError
from takeoff.model.faces import StatedPart
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import LookedBody
from takeoff.read.cityjson import documents as read_documents
from takeoff.read.cityjson.buildings_listed import list_cityjson
from takeoff.read.cityjson.cityjson import read_cityjson
from takeoff.read.cityjson.surfaces import Surface, surfaces, words_of
from takeoff.read.cityjson.vertices import Vertices

# ------------------------------------------------------------ surfaces


def read_surfaces(kind: str, boundaries: object, surfaces_: object = None, values: object = None) -> list[Surface]:
    geometry = {"type": kind, "boundaries": boundaries, "semantics": {"surfaces": surfaces_, "values": values}}
    return list(surfaces(geometry))


def ring(*corners: int) -> Surface:
    return Surface((corners,), StatedPart.UNKNOWN, "")


def test_surfaces_by_kind_of_geometry() -> None:
    """Inner shells of solids, the second and further of each, are left out; a hole stays a ring of its surface."""
    a, b, c = [[0, 1, 2], [3, 4, 5]], [[6, 7, 8, 8, 6]], [[9]]
    assert read_surfaces("MultiSurface", [a, b, c]) == [
        Surface(((0, 1, 2), (3, 4, 5)), StatedPart.UNKNOWN, ""), ring(7, 8, 6), ring(9),
    ]  # fmt: skip
    assert read_surfaces("CompositeSurface", [b]) == [ring(7, 8, 6)]
    assert read_surfaces("Solid", [[a[:1]], [b], [c]]) == [ring(0, 1, 2)]
    solids = [[[a[:1]], [b]], [[b], [c]]]
    assert read_surfaces("MultiSolid", solids) == [ring(0, 1, 2), ring(7, 8, 6)]
    assert read_surfaces("CompositeSolid", solids) == [ring(0, 1, 2), ring(7, 8, 6)]


def test_words_of_surfaces() -> None:
    names = [
        "RoofSurface",
        "WallSurface",
        "GroundSurface",
        "FloorSurface",
        "OuterFloorSurface",
        "Window",
        "Door",
        "ClosureSurface",
    ]
    rows = [{"type": name} for name in names]
    boundaries = [[[0, 1, 2]]] * len(names)
    found = read_surfaces("MultiSurface", boundaries, rows, list(range(len(names))))
    kinds = [
        StatedPart.ROOF,
        StatedPart.WALL,
        StatedPart.GROUND,
        StatedPart.FLOOR,
        StatedPart.FLOOR,
        StatedPart.OPENING,
        StatedPart.OPENING,
        StatedPart.OTHER,
    ]
    assert [(one.what, one.stated) for one in found] == list(zip(names, kinds, strict=True))
    assert words_of({"semantics": {"surfaces": [*rows[:2], 7, {}]}}) == {"RoofSurface", "WallSurface", "None"}
    for none in ({}, {"semantics": 7}, {"semantics": {}}, {"semantics": {"surfaces": 7}}):
        assert words_of(none) == set()


@pytest.mark.parametrize(
    ("rows", "values", "words"),
    [
        ([{"type": "Door"}], [0, 1], ["Door", ""]),
        ([{"type": "Door"}], [-1, None], ["", ""]),
        ([{"type": "Door"}], 0, ["Door", "Door"]),  # one word for all
        ([{"type": "Door"}], [True, 0.0], ["", ""]),
        ([{"type": "Door"}], [0], ["Door", ""]),
        ([{"type": "Door"}], None, ["", ""]),
        ([7, {}, {"type": "Door"}], [0, 1], ["", ""]),
        ("Door", [0, 0], ["", ""]),
    ],
)
def test_numbers_of_words(rows: object, values: object, words: list[str]) -> None:
    assert [one.what for one in read_surfaces("MultiSurface", [[[0, 1, 2]]] * 2, rows, values)] == words
    assert [one.what for one in surfaces({"type": "MultiSurface", "boundaries": [[[0, 1, 2]]], "semantics": 7})] == [""]


@pytest.mark.parametrize(
    ("boundaries", "says"),
    [
        (7, "its boundaries is no list, as its type would have it"),
        ([7], "a surface is no list, as its type would have it"),
        ([[7]], "a ring is no list, as its type would have it"),
        ([[[0, 1.0, 2]]], "a ring holds what is no number of a vertex"),
        ([[[0, True, 2]]], "a ring holds what is no number of a vertex"),
    ],
)
def test_boundaries_of_another_kind(boundaries: object, says: str) -> None:
    with pytest.raises(ValueError, match=f"^{says}$"):
        read_surfaces("MultiSurface", boundaries)


@pytest.mark.parametrize(
    ("vertex", "says"),
    [
        ([0, 0], "a vertex is not three figures"),
        ([0, 0, "0"], "a vertex is not three figures"),
        ([0, 0, True], "a vertex is not three figures"),
        ((0, 0, 0), None),
        ([0, 0, 10**400], "a vertex is absurdly far away"),
        ([0, 0, 1e400], "a vertex is not three figures"),
        ([0, 1e9 - 2, 0], "vertex 1 is absurdly far away"),
        ([0, 0, -1e9 - 4], "vertex 1 is absurdly far away"),
    ],
)
def test_vertices_that_are_no_points(vertex: object, says: str | None) -> None:
    """2, 3 and 4 are added: 1e9 is as far as any point lies."""
    document = {"vertices": [[1, 1, 1], vertex], "transform": {"scale": [1, 1, 1], "translate": [2, 3, 3]}}
    held = Vertices(Path("t"), document)
    with pytest.raises(ValueError, match=f"^{says or 'a vertex is not three figures'}$"):
        held[1]
    for number in (-1, 2):
        with pytest.raises(ValueError, match=f"^vertex {number} does not exist, there are 2$"):
            held[number]
    with pytest.raises(ValueError, match=r"^vertex 0 does not exist, there are 0$"):
        Vertices(Path("t"), {"vertices": "none"})[0]


def test_vertices_are_scaled_and_then_moved() -> None:
    moved = {"scale": [2, 3, 5], "translate": [10, 20, 30.5]}
    document = {"vertices": [[1, 1, 1], [7, 11, 13], [1e9 - 20, 0, 0]], "transform": moved}
    assert Vertices(Path("t"), document)[1] == (24.0, 53.0, 95.5)
    far = {**document, "transform": {"scale": [1, 1, 1], "translate": [20, -1e9, 0]}}
    assert Vertices(Path("t"), far)[2] == (1e9, -1e9, 0.0)
    for broken in (7, {}, {"scale": [1, 1, 1]}, {"scale": [1, 1], "translate": [0, 0, 0]}):
        with pytest.raises(UnreadableFileError, match=r"^t: its transform is no scale and place; save it again$"):
            Vertices(Path("t"), {"transform": broken})


# ------------------------------------------------------------ files


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"type": "CityJSONFeature"}, "is one feature of a sequence without its first line, which holds scale and place; give the whole sequence"),
        ({"type": "Town"}, "holds no CityJSON; save it again, or name it by what it is"),
        ({"version": "2.01"}, "is CityJSON of version 2.01; versions 1.0, 1.1, 2.0 are read: upgrade the file"),
        ({"version": "9" * 30}, f"is CityJSON of version {'9' * 20}; versions 1.0, 1.1, 2.0 are read: upgrade the file"),
        ({"version": None}, "is CityJSON of version None; versions 1.0, 1.1, 2.0 are read: upgrade the file"),
        ({"version": "1.1.3", "transform": None}, "has no transform, which CityJSON 1.1.3 must have; save it again"),
    ],
)  # fmt: skip
def test_heads_that_are_not_read(tmp_path: Path, change: dict[str, Any], says: str) -> None:
    assert refused(written(tmp_path, city({"A": building(shape())}, **change))) == f"t.city.json: {says}"


@pytest.mark.parametrize("change", [{"version": "1.0.3", "transform": None}, {"version": "1.1"}, {"version": "2.0.1"}])
def test_heads_that_are_read(tmp_path: Path, change: dict[str, Any]) -> None:
    path = written(tmp_path, city({"A": building(shape())}, **change))
    assert len(read_cityjson(path, ShapeJob(file="t")).points) == 6


def test_text_over_the_bounds_and_of_other_kinds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert (
        refused(written(tmp_path, " \n<CityModel/>"))
        == "t.city.json: holds XML; CityGML is not read, save the model as CityJSON 2.0"
    )
    assert (
        refused(written(tmp_path, "[7]")) == "t.city.json: holds no CityJSON; save it again, or name it by what it is"
    )
    assert refused(written(tmp_path, "[" * 200_000)) == "t.city.json: is nested too deep to be a model"
    assert refused(written(tmp_path, "[Infinity]")) == "t.city.json: is no JSON (Infinity is no number); save it again"
    lines = [json.dumps(city({})), json.dumps({"type": "CityJSONFeature", "id": "A"})]
    path = written(tmp_path, "\n\n".join(lines), "t.jsonl")
    monkeypatch.setattr(read_documents, "GREATEST_BYTES", len(lines[0]))
    assert refused(path) == "t.jsonl: holds no building; only Building and BuildingPart objects are read"
    monkeypatch.setattr(read_documents, "GREATEST_BYTES", len(lines[0]) - 1)
    assert refused(path) == f"t.jsonl: line 1: more than the {len(lines[0]) - 1:,} bytes of one CityJSON object"
    assert refused(written(tmp_path, "\n", "t.jsonl")).startswith("t.jsonl: line 1: is no JSON (")


def feature(key: str, **more: Any) -> dict[str, Any]:
    return {"type": "CityJSONFeature", "id": key, "CityObjects": {key: building(shape(), **more)}, "vertices": VERTICES}


def test_a_sequence_of_features(tmp_path: Path) -> None:
    """Scale and place stand in the first line; only lines that name what is wanted are looked into."""
    head = city({}, transform={"scale": [1, 1, 1], "translate": [7, 0, 0]}, vertices=[])
    lines = [head, feature("A"), feature("B\u00e9"), {"type": "Feature", "id": "C"}]
    path = written(tmp_path, "\n".join(json.dumps(line) for line in lines) + "\n \n", "t.jsonl")
    for part in ("A", "B\u00e9"):
        assert read_cityjson(path, ShapeJob(file="t", part=part)).points[:, 0].min() == 7.0
    plainly = written(tmp_path, "\n".join(json.dumps(line, ensure_ascii=False) for line in lines), "p.jsonl")
    assert len(read_cityjson(plainly, ShapeJob(file="t", part="B\u00e9")).points) == 6
    says = "t.jsonl: line 4: is no CityJSONFeature; save the sequence again"
    assert refused(path) == says
    assert refused(path, "C") == says
    first = written(tmp_path, json.dumps(city({"A": building(shape())})) + "\n" + json.dumps(feature("B")), "t.jsonl")
    with pytest.raises(UndecidedError):
        read_cityjson(first, ShapeJob(file="t"))
    assert len(read_cityjson(first, ShapeJob(file="t", part="A")).points) == 6
    degrees = {**head, "metadata": {"referenceSystem": "EPSG:4326"}}
    third = written(tmp_path, json.dumps(degrees) + "\n" + json.dumps(feature("B")), "t.jsonl")
    assert refused(third) == DEGREES.replace("t.city.json", "t.jsonl")


def test_what_a_file_has_to_choose_from(tmp_path: Path) -> None:
    """4 x 3 m in plan and 3 high, its foot at 2 m; turned on its side it is 5 - 2 = 3 by 3, and 4 high."""
    turned = {"type": "MultiSurface", "lod": "2", "boundaries": [[[0, 1, 2]], [[2, 1, 0]]]}
    tree = city({
        "A": building(shape(), attributes={"name": "shed"}), "B": building(shape("1")),
        "P": {"type": "BuildingPart", "parents": ["C"], "geometry": [shape(3)]}, "D": building(turned),
        "E": building({"type": "MultiSurface", "lod": "2", "boundaries": []}),
    })  # fmt: skip
    bodies, without = list_cityjson(written(tmp_path, tree))
    assert bodies == (
        LookedBody(1, "A", "shed, level of detail 2.2", (4000.0, 3000.0, 3000.0), 2000.0, 2),
        LookedBody(2, "P", "part of C, level of detail 3", (4000.0, 3000.0, 3000.0), 2000.0, 2),
        LookedBody(3, "D", "level of detail 2", (4000.0, 3000.0, 0.0), 5000.0, 2),
        LookedBody(4, "E", "level of detail 2", (0.0, 0.0, 0.0), 0.0, 0),
    )
    assert without == (f"B is drawn at level of detail 1 only, blocks at most{LEVEL_2}",)
    upright = city({"A": building(shape(boundaries=[[[0, 3, 4]], [[4, 3, 0]]]))})
    (body,), _ = list_cityjson(written(tmp_path, upright))
    assert (body.size_mm, body.faces) == ((3000.0, 0.0, 3000.0), 2)
    with pytest.raises(UnreadableFileError) as caught:
        list_cityjson(written(tmp_path, city({"A": building(shape())}, vertices=[])))
    assert caught.value.faults == ("t.city.json: A: a surface cannot be read: vertex 0 does not exist, there are 0",)
    assert list_cityjson(written(tmp_path, city([]))) == ((), ())  # type: ignore[arg-type]
