"""A roof taken from a file: the choices that a look gives, and the roof of each."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import yaml

from takeoff.looking import look
from takeoff.pipeline import Stage, run_text
from takeoff.web.opened_files import choices_of, roof_from
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
    name = Path(file).name
    shutil.copy(SAMPLES / file, tmp_path)
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
