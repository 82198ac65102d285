"""Maps, tables and folders of jobs become houses, or rows that say why they are none."""

from __future__ import annotations

import json
from math import cos, radians
from pathlib import Path
from typing import Any

import pytest
import shapely
from houses_of_a_map import USUAL, feature, rectangle, row_of_houses, write_map, write_sequence

from takeoff.basics.errors import JobError, UnreadableFileError, UsageError
from takeoff.estate.house_job import house_job, like_job
from takeoff.estate.take_house import take_house
from takeoff.model.estate import HouseResult, HouseState
from takeoff.read.estates.estate_files import estate_fingerprint, estate_size, read_estate


def taken(path: Path, unit: str = "m", like: Path | None = None) -> list[HouseResult]:
    pattern = like_job(like, unit)
    return [take_house(house, pattern, lines=False, seconds=0.0) for house in read_estate(path)]


def test_a_hip_roof_of_a_map_has_the_figures_of_the_hand(tmp_path: Path) -> None:
    """12 x 8 m in plan at 25 degrees on every side: 96 m2 in plan, 96 / cos 25 on the slope; the ridge is as long as
    the house less its width, four hips of sqrt(4^2 + 4^2 + (4 tan 25)^2)."""
    (row,) = taken(write_map(tmp_path / "a.geojson", [feature(rectangle(12, 8), USUAL)]))
    assert row.state is HouseState.DONE
    assert row.figures["roof_plan_m2"] == pytest.approx(96.0, abs=1e-3)
    assert row.figures["roof_m2"] == pytest.approx(96.0 / cos(radians(25.0)), abs=1e-3)
    assert row.figures["ridge_m"] == pytest.approx(4.0, abs=1e-3)
    assert row.figures["hip_m"] == pytest.approx(4.0 * (16.0 + 16.0 + (4.0 * 0.466307658) ** 2) ** 0.5, abs=1e-3)
    assert row.figures["catchment_m2"] == pytest.approx(96.0, abs=1e-3)
    assert row.figures["corners"] == 4
    assert row.ring_m[2] == (12.0, 8.0)


@pytest.mark.parametrize("unit", ["mm", "cm", "m", "in", "ft"])
def test_every_unit_gives_the_same_house(tmp_path: Path, unit: str) -> None:
    metres = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048}[unit]
    ring = [[x / metres, y / metres] for x, y in rectangle(12, 8)]
    (row,) = taken(write_map(tmp_path / "a.geojson", [feature(ring, USUAL)]), unit)
    assert row.figures["roof_plan_m2"] == pytest.approx(96.0, abs=1e-3)


def test_attributes_reach_roof_covering_edges_and_site(tmp_path: Path) -> None:
    properties = {
        **USUAL,
        "edges": "eave,gable,eave,gable",
        "edge_is": "wall_line",
        "eave_overhang_mm": 600,
        "profile": "trapezoidal_5",
        "site.wind_zone": "high",
        "north_deg": 30,
        "name": "the first",
    }
    (house,) = read_estate(write_map(tmp_path / "a.geojson", [feature(rectangle(12, 8), properties)]))
    job, _ = house_job(house, like_job(None, "m"))
    roof = job.roofs[0]
    assert (job.job, job.north_deg, job.site.wind_zone) == ("the first", 30.0, "high")
    assert roof.wall_line is not None
    assert roof.outline is None
    assert (roof.eave_overhang_mm, roof.covering.profile) == (600.0, "trapezoidal_5")
    assert [roof.edges[n].kind for n in (2, 4)] == ["gable", "gable"]


def test_a_job_to_be_like_holds_where_attributes_say_nothing(tmp_path: Path) -> None:
    like = tmp_path / "like.yaml"
    like.write_text(
        "job: pattern\nsite: {wind_zone: high}\nroofs:\n  - wall_line: [[0, 0], [1000, 0], [1000, 1000]]\n"
        "    pitch_deg: 30\n    fascia_height_mm: 2500\n    covering: {colour: grey}\n"
    )
    features = [feature(rectangle(12, 8), {"pitch_deg": 20}), feature(rectangle(12, 8), {})]
    path = write_map(tmp_path / "a.geojson", features)
    jobs = [house_job(house, like_job(like, "m"))[0] for house in read_estate(path)]
    assert [job.roofs[0].pitch_deg for job in jobs] == [20.0, 30.0]
    assert {job.roofs[0].covering.colour for job in jobs} == {"grey"}
    assert all(job.roofs[0].wall_line is not None for job in jobs)


def test_a_job_of_several_roofs_is_no_pattern() -> None:
    with pytest.raises(JobError, match="has 2 roofs"):
        like_job(Path(__file__).parents[2] / "geometry_samples" / "wing", "m")


def test_what_cannot_be_is_a_row_that_says_so_and_the_others_stand(tmp_path: Path) -> None:
    crossed = [[0, 0], [10, 0], [0, 8], [10, 8], [0, 0]]
    features: list[Any] = [
        feature(rectangle(12, 8), USUAL),
        feature(crossed, USUAL),
        feature(rectangle(12, 8), {**USUAL, "pitch_deg": "steep"}),
        {"type": "Feature", "properties": {}, "geometry": None},
        feature(rectangle(12, 8), {**USUAL, "profile": "corugated"}),
        7,
        feature(rectangle(12, 8), USUAL),
    ]
    rows = taken(write_map(tmp_path / "a.geojson", features))
    assert [row.state.value for row in rows] == ["done", *["refused"] * 5, "done"]
    assert "pitch_deg" in rows[2].why
    assert "did you mean corrugated" in rows[4].why
    assert all(row.why for row in rows[1:6])
    assert "line" not in rows[2].why  # there is no file with a line to look at


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.geojson", b"{", "is no GeoJSON"),
        ("a.geojson", b"[]", "holds no features"),
        ("a.geojson", json.dumps({"features": [], "type": "FeatureCollection"}).encode(), "holds no houses"),
        (
            "a.geojson",
            json.dumps({"features": [1], "crs": {"properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}}).encode(),
            "degrees of longitude and latitude",
        ),
        ("a.parquet", b"PAR1 no", "is no Parquet table"),
    ],
)
def test_a_file_that_is_no_map_is_refused(tmp_path: Path, name: str, content: bytes, words: str) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(UnreadableFileError, match=words):
        list(read_estate(tmp_path / name))


def test_an_ending_that_is_not_known_is_told_with_those_that_are(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"did you mean \.geojson"):
        list(read_estate(tmp_path / "a.geojso"))


def test_longitude_and_latitude_are_refused_house_by_house(tmp_path: Path) -> None:
    ring = [[170.0, -43.0], [170.0001, -43.0], [170.0001, -43.0001], [170.0, -43.0001], [170.0, -43.0]]
    (row,) = taken(write_sequence(tmp_path / "a.geojsonl", [feature(ring, USUAL)]))
    assert row.state is HouseState.REFUSED
    assert "degrees of longitude and latitude" in row.why


def test_a_sequence_is_read_line_by_line(tmp_path: Path) -> None:
    path = write_sequence(tmp_path / "a.geojsonl", row_of_houses(3))
    path.write_bytes(b"\x1e" + path.read_bytes().replace(b"\n", b"\n\n\x1e", 1) + b"{broken\n")
    houses = list(read_estate(path))
    assert [house.name for house in houses[:3]] == ["lot 1", "lot 2", "lot 3"]
    assert "no GeoJSON feature" in houses[3].refused
    assert estate_size(path) >= 4


def test_a_table_of_parquet_gives_the_same_houses_as_the_map(tmp_path: Path) -> None:
    pa = pytest.importorskip("pyarrow")
    parquet = pytest.importorskip("pyarrow.parquet")
    features = row_of_houses(3)
    wkb = [shapely.to_wkb(shapely.geometry.shape(one["geometry"])) for one in features]
    columns = {"geometry": wkb, "id": [one["properties"]["id"] for one in features], "pitch_deg": [25.0] * 3}
    parquet.write_table(pa.table({**columns, "fascia_height_mm": [2400] * 3}), tmp_path / "a.parquet")
    wanted = taken(write_map(tmp_path / "a.geojson", features))
    assert [row.figures for row in taken(tmp_path / "a.parquet")] == [row.figures for row in wanted]
    geo = {"primary_column": "geometry", "columns": {"geometry": {"encoding": "WKB"}}}
    degrees = pa.table(columns).replace_schema_metadata({"geo": json.dumps(geo)})
    parquet.write_table(degrees, tmp_path / "b.parquet")
    with pytest.raises(UnreadableFileError, match="degrees"):  # what GeoParquet means where it names no grid
        list(read_estate(tmp_path / "b.parquet"))


def test_a_folder_of_jobs(tmp_path: Path) -> None:
    text = "job: x\nroofs: [{outline: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], PITCH}]\n"
    for name, pitch in (("b", "pitch_deg: 25, fascia_height_mm: 2400"), ("a", "pitch_degs: 25")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "job.yaml").write_text(text.replace("PITCH", pitch))
    (tmp_path / "c.yaml").write_text(text.replace("PITCH", "pitch_deg: 25, fascia_height_mm: 2400"))
    rows = taken(tmp_path)
    assert [(row.name, row.state.value) for row in rows] == [("a", "refused"), ("b", "done"), ("c", "done")]
    assert "job.yaml:2:" in rows[0].why
    before = estate_fingerprint(tmp_path)
    (tmp_path / "c.yaml").write_text(text.replace("PITCH", "pitch_deg: 26, fascia_height_mm: 2400"))
    assert estate_fingerprint(tmp_path) != before


def test_two_houses_of_one_name_are_told_apart(tmp_path: Path) -> None:
    features = [feature(rectangle(12, 8), {**USUAL, "id": "a"})] * 2
    assert [house.name for house in read_estate(write_map(tmp_path / "a.geojson", features))] == ["a", "a (2)"]
