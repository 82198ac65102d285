"""`takeoff look`: what a file holds, within 80 columns, as a picture, for programs, and lines that can be pasted."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
import yaml
from typer.testing import CliRunner

from takeoff.cli import app
from takeoff.model.looked import Looked, LookedLayer
from takeoff.pipeline import Stage, run_file
from takeoff.screen_look import show_look

SAMPLES = Path(__file__).parents[2] / "geometry_samples"
L_HOUSE = [(0, 0), (14200, 0), (14200, 8400), (9000, 8400), (9000, 12600), (0, 12600)]


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    space.add_lwpolyline(L_HOUSE, close=True, dxfattribs={"layer": "ROOF OUTLINE OF THE HOUSE, EAVES"})
    space.add_lwpolyline(
        [(2000, 2000), (4000, 2000), (4000, 4000), (2000, 4000)],
        close=True,
        dxfattribs={"layer": "ROOF OUTLINE OF THE HOUSE, EAVES"},
    )
    for a, b in (((20000, 0), (26000, 0)), ((26000, 0), (26000, 5000)), ((26000, 5000), (20000, 40))):
        space.add_line(a, b, dxfattribs={"layer": "0"})
    path = tmp_path / "plan of the house.dxf"
    document.saveas(path)
    return path


def look(*arguments: object) -> str:
    shown = CliRunner().invoke(app, ["look", *map(str, arguments)], env={"COLUMNS": "80"})
    assert shown.exit_code == 0, shown.output
    return shown.output


def test_the_screen_keeps_to_80_columns_and_its_lines_are_a_job(plan: Path) -> None:
    said = look(plan)
    assert max(map(len, said.splitlines())) <= 80
    assert "14.20 x 12.60 m" in said
    assert "7 to 10" in said  # edges of the courtyard are numbered on
    assert re.search(r"3 lines on 0 stay open by 40 mm", said)
    pasted = said[said.index("  shape: ") :]
    shape = yaml.safe_load(pasted)["shape"]
    assert shape == {
        "file": plan.name,
        "layer": "ROOF OUTLINE OF THE HOUSE, EAVES",
        "part": 1,
        "unit": "mm",
        "edge_is": "outline",
    }
    (plan.parent / "job.yaml").write_text(
        "job: x\nroofs:\n- pitch_deg: 25\n  fascia_height_mm: 2400\n" + pasted, encoding="utf-8"
    )
    takeoff = run_file(plan.parent, until=Stage.SHAPE)
    # 14.2 x 8.4 + 9.0 x 4.2 less a court of 2 x 2 m
    assert sum(plane.plan_area_mm2 for plane in takeoff.roofs[0].planes) / 1e6 == pytest.approx(153.08)


def test_for_programs_it_is_all_there(plan: Path) -> None:
    data = json.loads(look(plan, "--json"))
    assert (data["format"], data["version"], data["unit"]) == ("takeoff look", 1, "mm")
    outer, court = data["rings"]
    assert outer["edges_mm"] == [14200, 8400, 5200, 4200, 9000, 12600]
    assert (court["court_of"], court["first_edge"]) == (1, 7)
    assert [(layer["name"], layer["lines"], layer["rings"]) for layer in data["layers"]] == [
        ("ROOF OUTLINE OF THE HOUSE, EAVES", 2, 2),
        ("0", 3, 0),
    ]


def test_the_picture_has_every_edge_with_number_and_length(plan: Path, tmp_path: Path) -> None:
    look(plan, "--out", tmp_path / "look.svg")
    tree = ElementTree.parse(tmp_path / "look.svg")
    words = {"".join(element.itertext()) for element in tree.iter() if element.tag.endswith("}text")}
    lengths = (14200, 8400, 5200, 4200, 9000, 12600, 2000, 2000, 2000, 2000)
    assert {f"{number}: {length}" for number, length in enumerate(lengths, start=1)} <= words
    again = (tmp_path / "look.svg").read_bytes()
    look(plan, "--out", tmp_path / "look.svg")
    assert (tmp_path / "look.svg").read_bytes() == again


def test_a_unit_in_doubt_is_shown_with_its_sizes(tmp_path: Path) -> None:
    (tmp_path / "plan.csv").write_text("x,y\n0,0\n559,0\n559,496\n0,496\n")
    said = look(tmp_path / "plan.csv")
    assert "--unit cm makes its largest shape 5.59 x 4.96 m" in said
    assert "--unit in makes its largest shape 14.20 x 12.60 m" in said
    assert "shape: {" not in said
    assert "shape: {file: plan.csv, part: 1, unit: in, edge_is: outline}" in look(tmp_path / "plan.csv", "--unit", "in")


def test_windows_of_a_drawn_wall_are_no_roofs() -> None:
    said = look(SAMPLES / "drawn_plan" / "plan.dxf")
    assert re.search(r"WINDOWS 1 +1\.80 x 1\.20 m", said)  # listed, with no line to paste
    pasted = [line for line in said.splitlines() if "shape: {" in line]
    assert [re.search(r"layer: ([A-Z ]+),", line).group(1) for line in pasted] == ["WALLS", "FRONT", "GABLE END"]  # type: ignore[union-attr]
    assert "4 small rings inside others, on WINDOWS, DOORS, are no roofs" in " ".join(said.split())


def test_a_model_whose_up_axis_is_open_is_not_asked_for_its_unit(tmp_path: Path) -> None:
    # a square block: nobody can tell which way is up
    corners = [(x, y, z) for x in (0, 5000) for y in (0, 5000) for z in (0, 5000)]
    faces = [(1, 2, 4, 3), (5, 7, 8, 6), (1, 5, 6, 2), (3, 4, 8, 7), (1, 3, 7, 5), (2, 6, 8, 4)]
    lines = [f"v {x} {y} {z}" for x, y, z in corners] + ["f " + " ".join(map(str, face)) for face in faces]
    (tmp_path / "block.obj").write_text("\n".join(lines) + "\n")
    said = look(tmp_path / "block.obj")
    assert "up axis not known: " in said
    assert "unit not known" not in said


def test_bodies_of_a_model_are_listed() -> None:
    said = look(SAMPLES / "mesh_house" / "house.obj")
    assert re.search(r"9\.00 x 6\.00 m +4\.70 m", said)
    assert "shape: {file: house.obj" in said


@pytest.mark.parametrize(
    ("name", "code", "words"),
    [
        ("plan.pdf", 4, "files of this kind are not read"),
        ("plan.dwg", 4, "there is no such file"),
        ("", 4, "is a folder; name the file in it"),
        ("missing.dxf", 4, "there is no such file"),
    ],
)
def test_what_cannot_be_looked_at_is_said_in_one_line(tmp_path: Path, name: str, code: int, words: str) -> None:
    from takeoff.basics.errors import TakeoffError
    from takeoff.looking import look as look_at

    with pytest.raises(TakeoffError, match=words) as stop:
        look_at(tmp_path / name)
    assert stop.value.exit_code == code
    assert len(stop.value.faults) == 1


def test_a_unit_that_is_not_known_is_told_with_what_to_give() -> None:
    from takeoff.basics.errors import UsageError
    from takeoff.looking import look as look_at

    with pytest.raises(UsageError, match="--unit: no unit is called 'yd'; give one of mm, cm, m, in, ft"):
        look_at(SAMPLES / "mesh_house" / "house.obj", unit="yd")


def test_sizes_of_a_model_in_mm_are_written_out(tmp_path: Path) -> None:
    """12.93 m drawn in mm is 12930, not 1.293e+04."""
    from takeoff.looking import look as look_at

    lines = (SAMPLES / "mesh_house" / "house.obj").read_text(encoding="utf-8").splitlines()
    big = [_times(line, 1436.7) if line.startswith("v ") else line for line in lines]
    (tmp_path / "house.obj").write_text("\n".join(big), encoding="utf-8")
    assert "12930 x 8620 in plan" in " ".join(look_at(tmp_path / "house.obj").notes)


def _times(line: str, factor: float) -> str:
    return " ".join(["v", *(f"{float(word) * factor:.1f}" for word in line.split()[1:4])])


@pytest.mark.parametrize(("count", "rest"), [(40, ""), (41, "and 1 more")])
def test_a_table_on_the_screen_ends_after_40_rows(count: int, rest: str, capsys: pytest.CaptureFixture[str]) -> None:
    layers = tuple(LookedLayer(f"LAYER {i}.", 1, 0, 0) for i in range(1, count + 1))
    show_look(Looked("plan.dxf", "drawing", "mm", "", layers=layers), None)
    said = capsys.readouterr().out
    assert said.count("LAYER ") == 40
    assert "LAYER 40." in said
    assert (rest in said) if rest else ("more" not in said)
