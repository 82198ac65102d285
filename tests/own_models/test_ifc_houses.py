"""The gable and the L house come back the same from IFC of every schema, in metres and in millimetres, wherever the site lies.

Expected is what own_houses.py works out by hand. The files are written line by line by write_ifc.py.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from own_houses import WINDOWS, ell, gable
from taking_off import check, raised
from write_ifc import ifc

from takeoff.basics.errors import JobError, UnreadableFileError
from takeoff.model.faces import StatedPart
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.read.ifc import ifc as reader
from takeoff.read.ifc.ifc import read_ifc
from takeoff.read.ifc.step_guard import step_faults

END = "END-ISO-10303-21;"
HOUSES = {"gable": gable(WINDOWS), "ell": ell(WINDOWS)}


def _file(folder: Path, text: str) -> Path:
    path = folder / "house.ifc"
    path.write_text(text, "utf-8")
    return path


@pytest.mark.parametrize(
    ("name", "schema", "unit", "place"),
    [
        ("gable", "IFC2X3", 1.0, (0.0, 0.0, 0.0)),
        ("ell", "IFC4", 0.001, (0.0, 0.0, 0.0)),
        ("ell", "IFC4X3", 1.0, (1.7e6, -1.7e6, 0.0)),
    ],
)
def test_ifc_of_every_schema_gives_the_figures_of_the_house(
    tmp_path: Path, name: str, schema: str, unit: float, place: tuple[float, float, float]
) -> None:
    roof = raised(_file(tmp_path, ifc(HOUSES[name], schema, unit, place=place)))
    check(roof, HOUSES[name], 2.0 if place[0] else 1e-3)


def test_slabs_in_no_roof_are_taken_by_their_type_with_walls_openings_and_what_the_file_says(tmp_path: Path) -> None:
    path = _file(tmp_path, ifc(HOUSES["gable"], north="$", roof_in_file=False))
    raw = read_ifc(path, ShapeJob(file=path.name))
    kinds = [part.stated for part in raw.parts]
    assert [kinds.count(kind) for kind in (StatedPart.ROOF, StatedPart.WALL, StatedPart.OPENING)] == [2, 4, 4]
    assert {part.storey for part in raw.parts if part.stated is StatedPart.WALL} == {"gable storey"}
    assert sorted(part.name for part in raw.parts if part.stated is StatedPart.OPENING)[0] == "door gable 1.2"
    # two slabs, 60 m2 on the slope and 48 in plan each: 12 x 4 m and 5/4 of it
    said = sorted((area.word, round(area.m2, 6)) for area in raw.stated_areas)
    words = [
        (f"slab areas {n}.{word}", m2) for n in (1, 2) for word, m2 in (("NetArea", 60.0), ("ProjectedArea", 48.0))
    ]
    assert said == words


def test_true_north_is_told_and_a_malformed_one_is_no_north(tmp_path: Path) -> None:
    # true north 30 degrees clockwise from plan up (sin 30, cos 30): plan up bears 330
    text = ifc(HOUSES["gable"], north="#9999")
    for ratios, code, words in (
        ("0.5,0.8660254037844386", "true-north", "330.0 degrees"),
        ("0.,0.", "true-north-unknown", "no direction in plan"),
    ):
        given = text.replace("DATA;\n", f"DATA;\n#9999=IFCDIRECTION(({ratios}));\n", 1)
        raw = read_ifc(_file(tmp_path, given), ShapeJob(file="house.ifc"))
        found = [finding for finding in raw.findings if finding.code == code]
        assert words in found[0].text


def test_the_face_that_the_sheets_lie_on_is_a_choice(tmp_path: Path) -> None:
    path = _file(tmp_path, ifc(HOUSES["gable"]))
    top, under = raised(path), raised(path, face="underside")
    # slabs are cut upright, 120 mm: the underside lies that much lower
    assert top.planes[0].fascia_height_mm - under.planes[0].fascia_height_mm == pytest.approx(120.0, abs=0.01)
    (said,) = [finding for finding in top.findings if finding.code == "roof-face-taken"]
    # 120 mm upright are 120 x 4/5 = 96 square to the slope
    assert "96 mm thick" in said.text
    assert "face: underside" in said.advice


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda text: "PK" + text, "is zipped"),
        (lambda text: "<ifc/>", "holds XML"),
        (lambda text: "hello", "does not begin with ISO-10303-21"),
        (
            lambda text: text.replace("'IFC4'", "'IFC2X2_FINAL'"),
            "schema IFC2X2_FINAL; IFC2X3, IFC4 and IFC4X3 are read",
        ),
        (lambda text: text.replace("DATA;", "DATA;\n#9=IFCLOCALPLACEMENT(#9,$);", 1), "entity #9 is made from itself"),
        (lambda text: text.replace("DATA;", "DATA;\n#9=IFCX(" + "(" * 9000, 1) + END, "brackets within each other"),
        (lambda text: text[: len(text) // 3], "breaks off before its end"),
        (lambda text: text.replace("IFCPOLYLOOP((", "IFCPOLYLOOP((((", 1), "its brackets do not close"),
        (lambda text: text.replace("IFCROOF(", "IFCBEAM(").replace(".ROOF.", ".FLOOR."), "holds no roof"),
    ],
)
def test_what_cannot_be_read_is_refused_by_name(tmp_path: Path, change: object, words: str) -> None:
    path = _file(tmp_path, change(ifc(HOUSES["gable"])))  # type: ignore[operator]
    with pytest.raises(UnreadableFileError, match=words.replace("(", r"\(")):
        read_ifc(path, ShapeJob(file=path.name))


def test_without_the_library_one_message_says_how_to_install_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reader, "find_spec", lambda name: None)
    with pytest.raises(UnreadableFileError, match=r"pip install 'takeoff\[ifc\]'"):
        read_ifc(_file(tmp_path, ifc(HOUSES["gable"])), ShapeJob(file="house.ifc"))


def test_a_library_that_breaks_off_is_one_message(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "_START", "import os; os.abort()")
    with pytest.raises(UnreadableFileError, match="breaks off on it"):
        read_ifc(_file(tmp_path, ifc(HOUSES["gable"])), ShapeJob(file="house.ifc"))


def test_the_roof_that_a_job_names_is_looked_for(tmp_path: Path) -> None:
    path = _file(tmp_path, ifc(HOUSES["gable"]))
    with pytest.raises(JobError, match="there is no roof porch"):
        read_ifc(path, ShapeJob(file=path.name, part="porch"))
    job = RoofJob.model_validate({"shape": {"file": path.name, "part": "gable roof"}})
    assert job.shape is not None
    assert len(read_ifc(path, job.shape).parts) == 2 + 4 + 4


def test_the_library_is_loaded_in_no_process_but_the_workers() -> None:
    code = "import sys, takeoff.read.ifc.ifc, takeoff.read.ifc.worker; assert 'ifcopenshell' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_long_way_round_is_no_circle() -> None:
    lines = "\n".join(f"#{n}=IFCLOCALPLACEMENT(#{n + 1},$);" for n in range(1, 50_000))
    head = "ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n"
    assert step_faults((head + lines + END).encode()) is None
