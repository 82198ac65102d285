"""The gable and the L house come back the same from IFC of every schema, in metres and in millimetres, wherever the site lies.

Expected is what own_houses.py works out by hand. The files are written line by line by write_ifc.py.
"""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass
from math import cos, radians
from pathlib import Path

import pytest
from own_houses import WINDOWS, ell, gable
from taking_off import SETTINGS, check, raised
from write_ifc import ifc

from takeoff.basics.errors import JobError, UndecidedError, UnreadableFileError
from takeoff.model.faces import StatedPart
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.read.ifc import ifc as reader
from takeoff.read.ifc.ifc import read_ifc
from takeoff.read.ifc.said_in_file import plan_bearing_deg
from takeoff.read.ifc.step_guard import step_faults
from takeoff.shape.imported.roof_from_faces import roof_from_faces

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
    roof = raised(_file(tmp_path, ifc(HOUSES[name], schema, unit, place=place)), part=f"{name} roof")
    check(roof, HOUSES[name], 2.0 if place[0] else 1e-3)


@pytest.mark.parametrize(("name", "roof"), [("ell", "square"), ("ell", "body"), ("gable", "skin")])
def test_a_roof_of_one_body_of_square_slabs_or_of_its_top_alone_has_the_same_figures(
    tmp_path: Path, name: str, roof: str
) -> None:
    check(raised(_file(tmp_path, ifc(HOUSES[name], roof=roof))), HOUSES[name], 1e-3)


def test_slabs_in_no_roof_are_taken_by_their_type_with_walls_openings_and_what_the_file_says(tmp_path: Path) -> None:
    path = _file(tmp_path, ifc(HOUSES["gable"], north="$", roof="loose"))
    raw = read_ifc(path, ShapeJob(file=path.name))
    kinds = [part.stated for part in raw.parts]
    assert [kinds.count(kind) for kind in (StatedPart.ROOF, StatedPart.WALL, StatedPart.OPENING)] == [2, 4, 4]
    assert {part.storey for part in raw.parts if part.stated is StatedPart.WALL} == {"gable storey"}
    assert sorted(part.name for part in raw.parts if part.stated is StatedPart.OPENING)[0] == "door gable 1.2"
    # two slabs, 60 m2 on the slope and 48 in plan each: 12 x 4 m and 5/4 of it
    said = sorted((area.word, round(area.m2, 6)) for area in raw.stated_areas)
    words = [("NetArea", 60.0), ("NetArea", 60.0), ("ProjectedArea", 48.0), ("ProjectedArea", 48.0)]
    assert said == [(f"Qto_SlabBaseQuantities.{word}", m2) for word, m2 in words]


@dataclass
class _North:
    DirectionRatios: tuple[float, ...]


@dataclass
class _Context:
    TrueNorth: _North | None
    ContextType: str = "Model"


class _Model:
    def __init__(self, *norths: tuple[float, ...] | None) -> None:
        self.contexts = [_Context(None if north is None else _North(north)) for north in norths]

    def by_type(self, kind: str, include_subtypes: bool) -> list[_Context]:
        assert (kind, include_subtypes) == ("IfcGeometricRepresentationContext", False)
        return self.contexts


def test_true_north_is_told_and_a_malformed_one_is_no_north(tmp_path: Path) -> None:
    # true north 30 degrees clockwise from plan up (sin 30, cos 30): plan up bears 330
    assert plan_bearing_deg(_Model((0.5, cos(radians(30.0))))) == (pytest.approx(330.0), "")
    assert plan_bearing_deg(_Model((0.5, cos(radians(30.0)), 0.0), None)) == (pytest.approx(330.0), "")
    assert plan_bearing_deg(_Model(None)) == (None, "")
    assert plan_bearing_deg(_Model((0.0, 0.0)))[1] == "its true north is no direction in plan"
    assert plan_bearing_deg(_Model((1.0,)))[1] == "its true north is no direction"
    assert plan_bearing_deg(_Model((0.0, 1.0), (1.0, 0.0)))[1] == "it has more than one true north"
    text = ifc(HOUSES["gable"], north="#9999").replace(
        "DATA;\n", "DATA;\n#9999=IFCDIRECTION((0.5,0.8660254037844386));\n", 1
    )
    raw = read_ifc(_file(tmp_path, text), ShapeJob(file="house.ifc"))
    (told,) = [finding for finding in raw.findings if finding.code == "true-north"]
    assert "330.0 degrees" in told.text


def test_the_face_that_the_sheets_lie_on_is_a_choice(tmp_path: Path) -> None:
    raw = read_ifc(_file(tmp_path, ifc(HOUSES["gable"])), ShapeJob(file="house.ifc"))
    top, under = (
        roof_from_faces(raw, RoofJob.model_validate({"shape": {"file": "house.ifc", "face": face}}), 0.0, SETTINGS)
        for face in ("top", "underside")
    )
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


def test_a_roof_that_is_not_there_is_said_with_those_that_are(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"there is no roof porch. It has \S{22} \(gable roof\)"):
        read_ifc(_file(tmp_path, ifc(HOUSES["gable"])), ShapeJob(file="house.ifc", part="porch"))


def test_the_library_is_loaded_in_no_process_but_the_workers() -> None:
    code = "import sys, takeoff.read.ifc.ifc, takeoff.read.ifc.worker; assert 'ifcopenshell' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_long_way_round_is_no_circle() -> None:
    lines = "\n".join(f"#{n}=IFCLOCALPLACEMENT(#{n + 1},$);" for n in range(1, 50_000))
    head = "ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n"
    assert step_faults((head + lines + END).encode()) is None


def test_of_several_roofs_one_is_asked_for_and_read_by_its_name(tmp_path: Path) -> None:
    text = ifc(HOUSES["gable"])
    slab = re.search(r"=IFCSLAB\('.{22}',\$,'gable plane 1',\$,\$,(#\d+),(#\d+),", text)
    assert slab is not None
    porch = f"#99999=IFCROOF('1234567890123456789012',$,'porch',$,$,{slab[1]},{slab[2]},$,.NOTDEFINED.);"
    path = _file(tmp_path, text.replace("ENDSEC;\nEND", f"{porch}\nENDSEC;\nEND"))
    with pytest.raises(UndecidedError) as asked:
        read_ifc(path, ShapeJob(file=path.name))
    assert asked.value.faults[0].startswith("house.ifc: holds 2 roofs, each a roof of its own")
    assert 'house.ifc: porch: `part: "1234567890123456789012"`' in asked.value.faults
    raw = read_ifc(path, ShapeJob(file=path.name, part="porch"))
    assert [part.name for part in raw.parts if part.stated is StatedPart.ROOF] == ["porch"]
