"""Houses of a map by hand: what its table says of them, features and sequences, folders of jobs, each refusal whole."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import shapely

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.model.estate import EstateHouse
from takeoff.read.estates import attributes, estate_files, map_houses, parquet_houses
from takeoff.read.estates.attributes import attribute_place, house_name, misspelt, split_attributes
from takeoff.read.estates.map_houses import feature_house, geometry_house, read_features, read_sequence

RING = [[0.0, 0.0], [9.0, 0.0], [9.0, 6.0], [0.0, 6.0]]
POLYGON = {"type": "Polygon", "coordinates": [RING]}
POINTS = tuple((x, y) for x, y in RING)


# ------------------------------------------------------------ what a table says


def test_where_attributes_belong() -> None:
    places = {
        "pitch_deg": ("roof", "pitch_deg"), "profile": ("covering", "profile"), "covering.profile": ("covering", "profile"), "edges": ("own", "edges"),
        "edge_is": ("own", "edge_is"), "site.wind_zone": ("job", "site", "wind_zone"), "code": ("job", "code"), "settings.hip_trim_mm": ("job", "settings", "hip_trim_mm"),
        "name": (), "outline": (), "walls": (), "walls.height_mm": (), "roof.pitch_deg": (), "site.a b": (), "covering.x": (), "covering": (), "x": (),
    }  # fmt: skip
    assert {key: attribute_place(key) for key in places} == places


def test_attributes_that_are_known_and_names() -> None:
    said = {
        "pitch_deg": 25,
        "fascia_height_mm": None,
        "profile": "",
        "name": "a",
        "fid": 7,
        "colour": "red",
        "suburb": "x",
        "eave_overhang_mm": 0,
    }
    assert split_attributes(said) == ((("pitch_deg", 25), ("colour", "red"), ("eave_overhang_mm", 0)), ("suburb",))
    for table, name in (
        ({"name": " a ", "job": "b"}, "b"), ({"name": "", "id": 7}, "7"), ({"id": True, "fid": 3}, "3"), ({"Name": "n" * 70}, "n" * 60), ({"id": 1.5}, "else"), ({}, "else"),
    ):  # fmt: skip
        assert house_name(table, "else") == name
    assert misspelt(("pitch", "suburb", "fascia_height")) == (
        ("pitch", "pitch_deg"),
        ("fascia_height", "fascia_height_mm"),
    )
    assert attributes._LIKE == 0.7
    assert not {"roofs", "walls", "outline", "name"} & (attributes._JOB | attributes._ROOF)


def test_a_feature_as_a_house() -> None:
    two = {"type": "Polygon", "coordinates": [RING, [[1, 1], [2, 1], [2, 2]]]}
    house = feature_house(
        "m",
        3,
        {
            "type": "Feature",
            "id": 9,
            "geometry": two,
            "properties": {"edges": "gable, ,wall", "pitch_deg": 25, "suburb": "x"},
        },
    )
    edges = ((1, (("kind", "gable"),)), (3, (("kind", "wall"),)))
    paths = (
        RawPath("", POINTS, True, (), "feature 3", "9", (), edges),
        RawPath("", ((1, 1), (2, 1), (2, 2)), True, (), "feature 3", "9"),
    )
    drawing = RawDrawing("m", "map", paths, "m", "map files are drawn in metres")
    assert house == EstateHouse(3, "9", drawing, (("pitch_deg", 25),), unread=("suburb",))
    assert feature_house("m", 3, {"type": "Feature", "geometry": POLYGON, "properties": 7}).name == "feature 3"
    for feature in (7, {"type": "Polygon"}):
        assert feature_house("m", 3, feature) == EstateHouse(3, "feature 3", refused="is no feature")
    broken = geometry_house("m", 3, "a", {"type": "Polygon", "coordinates": [[]]}, {})
    assert broken == EstateHouse(3, "a", refused="a ring has no points; save it again")
    assert geometry_house("m", 3, "a", None, {}).refused == "holds no lines, polylines or rings"


def test_maps_and_sequences(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "m.geojson"

    def refused(tree: object) -> str:
        path.write_text(tree if isinstance(tree, str) else json.dumps(tree), encoding="utf-8")
        with pytest.raises(UnreadableFileError) as caught:
            list(read_features(path))
        return caught.value.faults[0]

    assert refused("{").startswith("m.geojson: is no GeoJSON (")
    for none in ([], {"features": 7}):
        assert refused(none) == "m.geojson: is no GeoJSON: it holds no features"
    degrees = "m.geojson: its grid is degrees of longitude and latitude; save it in a projected grid, in metres"
    assert refused({"features": [], "crs": {"properties": {"name": "EPSG:4326"}}}) == degrees
    one = {"type": "Feature", "geometry": POLYGON, "properties": {"name": "a"}}
    path.write_text(json.dumps({"features": [one, 7]}), encoding="utf-8")
    assert [(house.number, house.name, house.refused) for house in read_features(path)] == [
        (1, "a", ""),
        (2, "feature 2", "is no feature"),
    ]
    lines = [b"\x1e" + json.dumps(one).encode(), b"  ", b"{", json.dumps({**one, "properties": {}}).encode()]
    path.write_bytes(b"\n".join(lines))
    found = list(read_sequence(path))
    assert [(house.number, house.name) for house in found] == [(1, "a"), (2, "line 2"), (3, "feature 3")]
    assert found[1].refused.startswith("is no GeoJSON feature (")
    assert (map_houses.GREATEST_BYTES, map_houses.GREATEST_LINE) == (400_000_000, 4_000_000)
    path.write_bytes(b"{}\n" + b" " * 7 + b"{}\n")
    monkeypatch.setattr(map_houses, "GREATEST_LINE", 10)
    assert len(list(read_sequence(path))) == 2
    monkeypatch.setattr(map_houses, "GREATEST_LINE", 9)
    with pytest.raises(UnreadableFileError) as caught:
        list(read_sequence(path))
    assert caught.value.faults == ("m.geojson: line 2 is longer than 9 bytes",)


def test_files_and_folders_of_houses(tmp_path: Path) -> None:
    folder = tmp_path / "jobs"
    for name in ("b/job.yaml", "a.yml", "c/other.yaml", "d.yaml/none", "job.yaml", "n.txt"):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text("job: x\n", encoding="utf-8")
    assert [path.relative_to(folder).as_posix() for path in estate_files.job_files(folder)] == [
        "a.yml",
        "b/job.yaml",
        "job.yaml",
    ]
    houses = list(estate_files.read_estate(folder))
    assert [(house.number, house.name, Path(house.job_file).name) for house in houses] == [
        (1, "a", "a.yml"),
        (2, "b", "job.yaml"),
        (3, "job", "job.yaml"),
    ]
    assert estate_files.estate_size(folder) == 3
    first = estate_files.estate_fingerprint(folder)
    (folder / "a.yml").rename(folder / "z.yml")
    assert estate_files.estate_fingerprint(folder) != first
    sequence = tmp_path / "m.jsonl"
    sequence.write_text('{"type": "Feature", "id": "x"}\n' * 3, encoding="utf-8")
    assert [house.name for house in estate_files.read_estate(sequence)] == ["x", "x (2)", "x (3)"]
    assert (
        estate_files.estate_size(sequence),
        estate_files.estate_size(tmp_path / "none.jsonl"),
        estate_files.estate_size(tmp_path / "m.geojson"),
    ) == (3, 0, 0)
    sequence.write_text("\n", encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=r"m.jsonl: holds no houses$"):
        list(estate_files.read_estate(sequence))
    known = ", ".join(estate_files.READERS)
    for name, says in (
        ("m.geojso", "houses are not read from .geojso; did you mean .geojson?"), ("m", f"houses are not read from a file without ending; known: {known}, or a folder of jobs"),
    ):  # fmt: skip
        with pytest.raises(UsageError) as caught:
            list(estate_files.read_estate(tmp_path / name))
        assert caught.value.faults == (f"{tmp_path / name}: {says}",)


# ------------------------------------------------------------ tables


def test_the_grid_of_a_table_in_words() -> None:
    assert parquet_houses._crs_words("EPSG:2193") == "EPSG:2193"
    assert parquet_houses._crs_words({"id": {"authority": "EPSG", "code": 4326}}) == "EPSG:4326"
    for unknown in ({}, {"id": "EPSG:4326"}):
        assert parquet_houses._crs_words(unknown) == ""


def test_a_row_of_a_table_as_a_house() -> None:
    """By WKB or WKT; the column of geometries is no attribute."""
    whole = shapely.Polygon(RING)
    for held in (shapely.to_wkb(whole), "POLYGON ((0 0, 9 0, 9 6, 0 6, 0 0))"):
        house = parquet_houses._house("m", 4, {"geometry": held, "name": "a", "pitch_deg": 25, "suburb": "x"})
        drawing = RawDrawing(
            "m",
            "map",
            (RawPath("", (*POINTS, POINTS[0]), True, (), "feature 4", "a"),),
            "m",
            "map files are drawn in metres",
        )
        assert house == EstateHouse(4, "a", drawing, (("pitch_deg", 25),), unread=("suburb",))
    for held in (shapely.to_wkb(shapely.Polygon()), None, "POLYGON EMPTY"):
        assert parquet_houses._house("m", 4, {"geometry": held}) == EstateHouse(4, "row 4", refused="has no geometry")
    for held in (b"\x01", "house", 7):
        refused = parquet_houses._house("m", 5, {"geometry": held, "id": 9})
        assert (refused.number, refused.name, refused.drawing) == (5, "9", None)
        assert refused.refused.startswith("its geometry cannot be read (")
        assert len(refused.refused) <= len("its geometry cannot be read ()") + 80


def table(columns: list[str], geo: object = None) -> Any:
    metadata = None if geo is None else {b"geo": geo if isinstance(geo, bytes) else json.dumps(geo).encode()}
    return SimpleNamespace(schema_arrow=SimpleNamespace(names=columns, metadata=metadata))


def test_the_column_and_the_grid_of_a_table() -> None:
    def refused(made: Any) -> str:
        with pytest.raises(UnreadableFileError) as caught:
            parquet_houses._check("m.parquet", made)
        return caught.value.faults[0]

    degrees = "m.parquet: its grid is degrees of longitude and latitude; save it in a projected grid, in metres"
    assert refused(table(["a"])) == "m.parquet: has no column geometry, with outlines as WKB or WKT"
    assert refused(table(["geometry"], {"columns": {"geometry": {}}})) == degrees
    assert refused(table(["geometry"], {"columns": {"geometry": {"crs": "EPSG:4326"}}})) == degrees
    in_metres = {"id": {"authority": "EPSG", "code": 2193}}
    for sound in (None, b"{", {}, {"columns": {}}, {"columns": 7}, {"columns": {"geometry": {"crs": in_metres}}}):
        parquet_houses._check("m.parquet", table(["a", "geometry"], sound))
    bare = table(["geometry"], {})
    bare.schema_arrow.metadata = {b"pandas": b"x"}
    parquet_houses._check("m.parquet", bare)


def test_rows_of_a_table_are_counted_through_its_batches(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pa, parquet = pytest.importorskip("pyarrow"), pytest.importorskip("pyarrow.parquet")
    assert parquet_houses._ROWS == 1000
    monkeypatch.setattr(parquet_houses, "_ROWS", 2)
    wkb = [shapely.to_wkb(shapely.Polygon(RING))] * 5
    parquet.write_table(pa.table({"geometry": wkb, "name": ["a", "b", None, "", "e"]}), tmp_path / "a.parquet")
    found = list(parquet_houses.read_table(tmp_path / "a.parquet"))
    assert [(house.number, house.name) for house in found] == [(1, "a"), (2, "b"), (3, "row 3"), (4, "row 4"), (5, "e")]
    (tmp_path / "b.parquet").write_bytes(b"PAR1 no")
    with pytest.raises(UnreadableFileError) as caught:
        list(parquet_houses.read_table(tmp_path / "b.parquet"))
    (said,) = caught.value.faults
    assert said.startswith("b.parquet: is no Parquet table (")
    assert said.endswith("); save it again")
    assert len(said) <= len("b.parquet: is no Parquet table (); save it again") + 80
