"""CityJSON typed by hand: which building and level of detail is read, which files are, and each refusal whole.

By the CityJSON specifications 1.0.3, 1.1.3 and 2.0.1.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from cityjson_texts import DEGREES, LEVEL_2, ROOF, WALL, building, city, refused, shape, written

from takeoff.basics.errors import JobError, UndecidedError
from takeoff.model.faces import RawPart, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.read.cityjson.choice import Unit, chosen, units_of
from takeoff.read.cityjson.cityjson import read_cityjson

# ------------------------------------------------------------ one building


def test_surfaces_of_a_building_with_what_they_are(tmp_path: Path) -> None:
    """Corners in the order they are met; one part for each word of the file."""
    raw = read_cityjson(
        written(tmp_path, city({"A": building(shape(), attributes={"name": "shed"})})), ShapeJob(file="t")
    )
    assert raw.points.tolist() == [[0, 0, 5], [4, 0, 5], [4, 3, 5], [0, 3, 5], [0, 0, 2], [4, 0, 2]]
    assert raw.triangles.tolist() == [[0, 1, 2], [0, 2, 3], [4, 5, 1], [4, 1, 0]]
    assert (raw.part_of.tolist(), raw.polygon_of.tolist()) == ([0, 0, 1, 1], [0, 0, 1, 1])
    assert raw.parts == (
        RawPart("A/RoofSurface", "shed", StatedPart.ROOF, "A"), RawPart("A/WallSurface", "shed", StatedPart.WALL, "A"),
    )  # fmt: skip
    assert (raw.came_from, raw.stated_unit_mm, raw.stated_up, raw.findings) == ("t.city.json", 1000.0, "z", ())


def test_a_file_without_semantics_is_told(tmp_path: Path) -> None:
    bare = shape("3")
    del bare["semantics"]
    raw = read_cityjson(written(tmp_path, city({"A": building(bare)})), ShapeJob(file="t"))
    assert raw.parts == (RawPart("A/surfaces", "", StatedPart.UNKNOWN, "A"),)
    text = (
        "t.city.json: A: the file does not say which surfaces are its roof (level of detail 3, no semantics): roof and walls "
        "are told apart by how steep they are"
    )
    advice = "check the planes against the drawing"
    assert raw.findings == (Finding("roof-surfaces-unnamed", Severity.WARN, text, advice),)


def test_a_wall_that_crosses_itself_is_left_out_and_a_roof_is_refused(tmp_path: Path) -> None:
    crossed = [[[4, 1, 5, 0]], [[0, 2, 1, 3]]]
    raw = read_cityjson(
        written(tmp_path, city({"A": building(shape(boundaries=[ROOF, crossed[0]]))})), ShapeJob(file="t")
    )
    assert [finding.text for finding in raw.findings] == ["t.city.json: 1 face crosses itself and was left out"]
    path = written(tmp_path, city({"A": building(shape(boundaries=[crossed[1], WALL]))}))
    assert refused(path) == "t.city.json: A: a surface cannot be read: a roof surface crosses itself; mend the model"


@pytest.mark.parametrize(
    "system",
    [
        "https://www.opengis.net/def/crs/EPSG/0/4326",
        "urn:ogc:def:crs:EPSG::7844",
        "EPSG:4167",
        "urn:ogc:def:crs:OGC:1.3:CRS84",
    ],
)
def test_systems_of_longitude_and_latitude(tmp_path: Path, system: str) -> None:
    assert refused(written(tmp_path, city({"A": building(shape())}, metadata={"referenceSystem": system}))) == DEGREES


@pytest.mark.parametrize(("metadata", "scale", "taken"), [
    ({"referenceSystem": "EPSG:2193"}, 1, True), ({"referenceSystem": 4326}, 1, True), ("EPSG:4326", 1, True),
    (None, 0.0126, True), (None, 0.0124, False),
])  # fmt: skip
def test_a_building_of_less_than_50_mm_is_in_degrees(
    tmp_path: Path, metadata: object, scale: float, taken: bool
) -> None:
    """The longer side is 4: 50.4 mm and 49.6 mm across; it is 3 high either way."""
    unit = {"scale": [scale, scale, 1], "translate": [0, 0, 0]}
    path = written(tmp_path, city({"A": building(shape())}, metadata=metadata, transform=unit))
    if taken:
        assert len(read_cityjson(path, ShapeJob(file="t")).triangles) == 4
    else:
        assert refused(path) == DEGREES


# ------------------------------------------------------------ which building


def units(**objects: Any) -> list[tuple[str, str, str, str]]:
    return [(unit.key, unit.building, unit.name, unit.lod) for unit in units_of(objects)]


def test_buildings_and_parts_that_have_a_geometry() -> None:
    found = units(
        A=building(shape(), attributes={"label": "third", "title": "second"}),
        B={"type": "Bridge", "geometry": [shape()]},
        C=building(),
        D={"type": "Building", "geometry": {"type": "Solid"}},
        E=7,
        F={"type": "BuildingPart", "parents": ["H"], "geometry": [shape("3.1")], "attributes": {"name": "x" * 300}},
        G={"type": "BuildingPart", "parents": [], "geometry": [shape()], "attributes": ["name"]},
        I={"type": "Building", "parents": ["H"], "geometry": [shape()], "attributes": {"name": 7, "title": "t"}},
        J={"type": "BuildingPart", "parents": "H", "geometry": [7, shape("2.123456789")]},
    )
    assert found == [
        ("A", "A", "second", "2.2"), ("F", "H", "x" * 255, "3.1"), ("G", "G", "", "2.2"), ("I", "I", "t", "2.2"),
        ("J", "J", "", "2.123456"),
    ]  # fmt: skip


def test_a_building_whose_parts_hold_the_roofs_is_left_out() -> None:
    """Its own footprint is; one with a roof of its own beside its parts' stays, and so does one whose parts have none."""
    foot = shape("0")
    part = {"type": "BuildingPart", "geometry": [shape()]}
    assert [unit[0] for unit in units(A=building(foot), a={**part, "parents": ["A"]})] == ["a"]
    assert [unit[0] for unit in units(A=building(shape()), a={**part, "parents": ["A"]})] == ["A", "a"]
    assert [unit[0] for unit in units(A=building(foot), B=building(shape()))] == ["A", "B"]
    assert [unit[0] for unit in units(A=building(foot), a={**part, "parents": ["A"], "geometry": [foot]})] == ["A", "a"]


def best(*shapes: Any) -> tuple[object, str]:
    (unit,) = units_of({"A": building(*shapes)})
    return (unit.geometry or {}).get("lod"), unit.why_not


def plain(lod: object) -> dict[str, Any]:
    return {"type": "MultiSurface", "lod": lod, "boundaries": []}


@pytest.mark.parametrize(
    ("shapes", "lod", "why_not"),
    [
        ((shape("2"), plain("3")), "2", ""),  # one that names its roof before a finer one that does not
        ((plain("2.1"), plain("2.10"), plain("2.9")), "2.10", ""),
        ((shape(2.3), shape("2.2"), shape("2")), 2.3, ""),
        ((plain("2.0"), shape("1.3")), "2.0", ""),
        ((shape("1.3"), shape("1.2"), plain("0.1")), None, f"is drawn at level of detail 0.1, 1.2, 1.3 only, blocks at most{LEVEL_2}"),
        ((shape("0"), plain("0.3")), None, f"is drawn at level of detail 0, 0.3 only, a footprint{LEVEL_2}"),
        ((plain("x"),), None, f"is drawn at level of detail x only, a footprint{LEVEL_2}"),
        (({"type": "MultiSurface"},), None, f"is drawn at level of detail none only, a footprint{LEVEL_2}"),
        (({**shape(), "type": "MultiPoint"},), None, f"is drawn at level of detail 2.2 only, blocks at most{LEVEL_2}"),
        (({**shape(), "type": 7},), None, f"is drawn at level of detail 2.2 only, blocks at most{LEVEL_2}"),
        (({"type": "GeometryInstance"},), None, "is placed from a template; templates are not read: save the model without them"),
    ],
)  # fmt: skip
def test_which_level_of_detail_is_read(shapes: tuple[Any, ...], lod: object, why_not: str) -> None:
    assert best(*shapes) == (lod, why_not)


def unit(key: str, of: str = "", name: str = "", why_not: str = "") -> Unit:
    return Unit(key, of or key, name, None if why_not else {}, "2", why_not)


def test_the_one_a_job_means() -> None:
    held = [
        unit("A-1", "A", "west"),
        unit("A-2", "A", "low", "is flat"),
        unit("B", "", "A-1"),
        unit("C", "C", "shed", "is flat"),
    ]
    for wanted, key in (("A-1", "A-1"), ("A", "A-1"), ("west", "A-1"), ("B", "B")):
        assert chosen(held, wanted, "t").key == key
    assert chosen([held[0], held[1]], None, "t").key == "A-1"
    for units, wanted, says in (
        (held, "D", "t: there is no building D. It has A-1, A-2, B, C"),
        (held, "A--2", "t: there is no building A--2; did you mean A-2? It has A-1, A-2, B, C"),
        ([], "D", "t: there is no building D. It has none"),
        ([unit(f"N{n:02}") for n in range(13)], "zz", "t: there is no building zz. It has " + ", ".join(f"N{n:02}" for n in range(12))),
        ([], None, "t: holds no building; only Building and BuildingPart objects are read"),
        (held, "C", "t: C: is flat"),
        (held, "low", "t: A-2: is flat"),
        ([held[3]], None, "t: C: is flat"),
    ):  # fmt: skip
        with pytest.raises(JobError) as caught:
            chosen(units, wanted, "t")
        assert caught.value.faults == (says,)


def test_several_roofs_are_asked_about() -> None:
    held = [unit("A-1", "A", "west"), unit("A-2", "A"), unit("B")]
    for wanted, first, lines in (
        (None, "t: holds 3 buildings and parts", ("t: west: `part: A-1`", "t: `part: A-2`", "t: `part: B`")),
        ("A", "t: holds 2 parts of A", ("t: west: `part: A-1`", "t: `part: A-2`")),
    ):
        with pytest.raises(UndecidedError) as caught:
            chosen(held, wanted, "t")
        told = f"{first}, each a roof of its own; say in the job's shape which is meant"
        assert caught.value.faults == (told, *lines)
    none = [unit("A-1", "A", "", "is flat"), unit("A-2", "A", "", "is flat")]
    with pytest.raises(UndecidedError):
        chosen(none, "A", "t")
