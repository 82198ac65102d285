"""A roof taken from a file: the choices that a look gives, the roof of each, and the file put beside the job."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from takeoff.basics.errors import UsageError
from takeoff.looking import look
from takeoff.pipeline import Stage, run_text
from takeoff.web.opened_files import choices_of, put_in_folder, roof_from, safe_name
from takeoff.web.plan_edits import NewRoof

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@pytest.mark.parametrize(
    ("file", "number", "edge_is", "planes"),
    [
        ("mesh_house/house.obj", 0, "outline", 4),
        ("drawn_plan/plan.dxf", 0, "wall_line", 0),
        ("cityjson_house/yard.city.json", 1, "outline", 0),
    ],
)
def test_a_shape_of_a_file_becomes_a_roof(file: str, number: int, edge_is: str, planes: int, tmp_path: Path) -> None:
    choices = choices_of(look(SAMPLES / file))
    name = put_in_folder(tmp_path, Path(file).name, (SAMPLES / file).read_bytes())
    roof = roof_from({}, choices[number], edge_is, name, NewRoof())
    assert roof["name"] == "main"
    assert ("pitch_deg" in roof) is choices[number].outline
    taken = run_text(yaml.safe_dump({"job": "From a file", "roofs": [roof]}), tmp_path / "job.yaml", Stage.SHAPE)
    assert taken.roofs[0].planes
    assert taken.roofs[0].closed
    if edge_is == "wall_line":
        assert roof["eave_overhang_mm"] == 600
        assert taken.roofs[0].wall_line_mm


def test_every_ring_and_building_is_a_choice() -> None:
    assert [one.shape["layer"] for one in choices_of(look(SAMPLES / "drawn_plan" / "plan.dxf"))] == [
        "WALLS",
        "FRONT",
        "GABLE END",
    ]
    parts = choices_of(look(SAMPLES / "cityjson_house" / "yard.city.json"))
    assert [one.shape["part"] for one in parts] == ["quarters-0", "store-0"]
    assert "12.00 x 8.00 m" in parts[1].words


def test_a_file_is_never_put_over_another(tmp_path: Path) -> None:
    assert put_in_folder(tmp_path, "a.city.json", b"one") == "a.city.json"
    assert put_in_folder(tmp_path, "a.city.json", b"one") == "a.city.json"
    assert put_in_folder(tmp_path, "a.city.json", b"two") == "a 2.city.json"
    assert put_in_folder(tmp_path, "a.city.json", b"two") == "a 2.city.json"
    (tmp_path / "b.obj").symlink_to(tmp_path / "a.city.json")
    assert put_in_folder(tmp_path, "b.obj", b"one") == "b 2.obj"
    assert (tmp_path / "a.city.json").read_bytes() == b"one"
    with pytest.raises(UsageError, match="written"):
        put_in_folder(tmp_path / "a.city.json", "c.obj", b"x")


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("../../x/y.obj", "y.obj"),
        ("C:\\x\\y.ifc", "y.ifc"),
        ("job<b>.dxf", "job b.dxf"),
        (".x.obj", "x.obj"),
        ("a\x00b\n.obj", "a b.obj"),
    ],
)
def test_a_name_leads_nowhere_else(name: str, safe: str) -> None:
    assert safe_name(name) == safe


@pytest.mark.parametrize("name", ["", "..", "x", "/", "..."])
def test_a_name_that_says_nothing_is_refused(name: str) -> None:
    with pytest.raises(UsageError, match="ending"):
        safe_name(name)
