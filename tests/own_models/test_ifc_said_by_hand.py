"""IFC files: what is refused before it is opened, what a file itself states, and what is said of it, by hand.

STEP text by ISO 10303-21; quantities, units and true north by IFC 4.3 (ISO 16739-1).
"""

from __future__ import annotations

import subprocess
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from write_ifc import Step

from takeoff.basics.errors import JobError, UndecidedError, UnreadableFileError
from takeoff.model.faces import RawPart, StatedArea, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import LookedBody
from takeoff.read.ifc import ifc, step_guard, worker
from takeoff.read.ifc.said_in_file import area_scale_m2, areas_of, plan_bearing_deg
from takeoff.read.ifc.step_guard import in_circle, step_faults

HEAD = "ISO-10303-21;\nHEADER;\nFILE_SCHEMA (( 'IFC4'));\nENDSEC;\nDATA;\n"
END = "ENDSEC;\nEND-ISO-10303-21;\n"

# ------------------------------------------------------------ what is counted of a file


@pytest.mark.parametrize(
    ("text", "lost"), [(b"#1=A();\n #2 = B();\n", 0), (b"#1=A();#2=B();\n", 0), (b"#1=A();\n" * 5, 2)]
)
def test_lines_that_no_entity_came_of(monkeypatch: pytest.MonkeyPatch, text: bytes, lost: int) -> None:
    """A model of three entities; several may stand on one line."""
    found = worker.Gathered("house", without_shape=["slab"])
    for name, value in (
        ("_opened", lambda *_: [1, 2, 3]),
        ("roof_units", lambda model: "units of it"),
        ("_chosen", lambda *given: given),
        ("_gathered", lambda model, name, unit: found if unit == ("units of it", "house", "roof") else None),
        ("plan_bearing_deg", lambda model: (12.0, "why")),
        ("_packed", lambda said, gathered: (said, gathered)),
    ):
        monkeypatch.setattr(worker, name, value)
    said = {"bearing": 12.0, "no_bearing": "why", "lost": lost, "without_shape": ["slab"]}
    assert worker._answer(text, "house", "roof") == (said, found)


# ------------------------------------------------------------ before it is opened


def guarded(data: str, head: str = HEAD, end: str = END) -> str | None:
    return step_faults((head + data + end).encode())


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("PK\3\4", "is zipped; unpack it and give the IFC file in it"),
        (" \r\n\t<ifcXML/>", "holds XML; save it as a plain IFC file (STEP text)"),
        ("house", "is no IFC file: it does not begin with ISO-10303-21; save it again"),
        ("ISO-10303-21;\n" + END, "is of schema none; IFC2X3, IFC4 and IFC4X3 are read: save it as one of them"),
        (HEAD.replace("IFC4", "ifc2x2") + END, "is of schema IFC2X2; IFC2X3, IFC4 and IFC4X3 are read: save it as one of them"),
        (HEAD.replace("IFC4", "IFC4X1") + END, "is of schema IFC4X1; IFC2X3, IFC4 and IFC4X3 are read: save it as one of them"),
        (HEAD, "breaks off before its end (no END-ISO-10303-21); fetch or save it again"),
        (HEAD + END + " " * 4_096, "breaks off before its end (no END-ISO-10303-21); fetch or save it again"),
        (HEAD + END.lower().replace("endsec;\n", "") + " " * 4_077, None),
        (HEAD + END.lower().replace("endsec;\n", "") + " " * 4_080, "breaks off before its end (no END-ISO-10303-21); fetch or save it again"),
        (f"\ufeff \n{HEAD}{END}", None),
        (HEAD.replace("IFC4", "IFC4X3_ADD1").replace("FILE_SCHEMA", "file_schema") + END, None),
        (HEAD.replace("IFC4", "IFC2X3") + END, None),
    ],
)  # fmt: skip
def test_heads_and_ends(text: str, says: str | None) -> None:
    assert step_faults(text.encode()) == says


def test_brackets_of_each_line_of_data() -> None:
    """What stands in texts and comments is no bracket; the seventh line is the second of the data."""
    assert guarded("#1=IFCX('(((',/* (( \n*/(()));\n") is None
    assert (
        guarded("#1=IFCX();\n#2=IFCX(();\n") == "is broken at line 7: its brackets do not close; fetch or save it again"
    )
    assert guarded("#1=IFCX());\n") == "is broken at line 6: its brackets do not close; fetch or save it again"
    assert guarded("#1=IFCX" + "(" * 500 + ")" * 500 + ";\n") is None
    broken = "is broken at line 7: its brackets do not close; fetch or save it again"
    assert guarded("#1=IFCX());\n", head="\n" + HEAD) == broken
    deep = "has more than 500 brackets within each other; it is no IFC file"
    assert guarded("#1=IFCX" + "(" * 501 + ")" * 501 + ";\n") == deep


def test_as_many_entities_as_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    assert (step_guard.MOST_ENTITIES, step_guard.GREATEST_BYTES) == (1_500_000, 100_000_000)
    monkeypatch.setattr(step_guard, "MOST_ENTITIES", 1000)
    assert guarded("#1=IFCX('=');" * 1000) is None
    assert guarded("#1=IFCX('=');" * 1001) == "has 1,001 entities, more than the 1,000 read; save the house alone"


@pytest.mark.parametrize(
    ("data", "number"),
    [
        ("#7=IFCLOCALPLACEMENT(#7,$);", 7),
        ("#1=IFCX(#2);\n#2 = ifcy(#3,#4);#3=IFCX();#4=IFCX((#1,#3));", 1),
        ("#1=IFCX(#2);#2=IFCRELX(#1);", None),  # relations are never walked into
        ("#1=IFCX(#2);#2=IFCFACE((#1));", None),
        ("#1=IFCX(#2);#2=IFCFACES((#1));", 1),
        ("#1=IFCX(#2,#2);#2=IFCX(#9);", None),
        ("#1=IFCX('#1');", None),
    ],
)
def test_what_is_made_from_itself(data: str, number: int | None) -> None:
    says = (
        None if number is None else f"entity #{number} is made from itself; save it again from the program it came from"
    )
    assert guarded(data) == says


def test_circles_by_hand() -> None:
    assert in_circle({}) is None
    assert in_circle({1: (1,)}) == 1
    assert in_circle({1: (2, 3), 2: (4,), 3: (4,), 4: ()}) is None  # two ways to one end
    assert in_circle({1: (2,), 2: (), 3: (4, 1), 4: (5,), 5: (4,)}) == 4
    assert in_circle({1: (2, 3), 2: (), 3: (1,)}) == 1
    assert in_circle({5: (9, 6), 6: (7,), 7: (8, 6)}) == 6


# ------------------------------------------------------------ what a file states


class Thing(SimpleNamespace):
    """An entity of a kind, with what it has."""

    def __init__(self, kind: str, **has: Any) -> None:
        super().__init__(kind=kind, **has)

    def is_a(self, kind: str) -> bool:
        return self.kind == kind


def area(value: object, name: str = "Net", unit: Any = None, kind: str = "IfcQuantityArea") -> Thing:
    return Thing(kind, Name=name, AreaValue=value, Unit=unit)


def said(*sets: Thing, scale: float = 1.0) -> list[StatedArea]:
    rels = [Thing("IfcRelDefinesByProperties", RelatingPropertyDefinition=one) for one in sets]
    others = [Thing("IfcRelDefinesByType"), Thing("IfcRelDefinesByProperties", RelatingPropertyDefinition=None)]
    return areas_of(Thing("IfcSlab", GlobalId="G", IsDefinedBy=[*others, *rels]), scale)


def quantities(*rows: Thing, name: str | None = "Q") -> Thing:
    return Thing("IfcElementQuantity", Name=name, Quantities=rows)


def properties(*rows: Thing) -> Thing:
    return Thing("IfcPropertySet", Name="P", HasProperties=rows)


def measure(value: object, kind: str = "IfcAreaMeasure") -> Thing:
    return Thing("IfcPropertySingleValue", Name="Gross", NominalValue=Thing(kind, wrappedValue=value), Unit=None)


def test_areas_in_quantities_and_properties() -> None:
    """In the project's unit, here a hundredth of a square metre, unless a quantity names its own."""
    bare = Thing("IfcPropertySingleValue", Name="none", NominalValue=None, Unit=None)
    found = said(
        quantities(area(500.0), area(3, "Volume", kind="IfcQuantityVolume"), area(7, "Own", Thing("IfcSIUnit", Prefix=None))),
        properties(measure(250), measure(9.0, "IfcLengthMeasure"), bare), Thing("IfcOther"), quantities(area(1.0), name=None),
        scale=0.01,
    )  # fmt: skip
    assert found == [
        StatedArea("G", "Q.Net", 5.0),
        StatedArea("G", "Q.Own", 7.0),
        StatedArea("G", "P.Gross", 2.5),
        StatedArea("G", ".Net", 0.01),
    ]
    assert (
        said(
            Thing("IfcElementQuantity", Name="Q", Quantities=None),
            Thing("IfcPropertySet", Name="P", HasProperties=None),
        )
        == []
    )
    assert areas_of(Thing("IfcSlab"), 1.0) == []
    assert areas_of(Thing("IfcSlab", IsDefinedBy=None), 1.0) == []


def test_figures_and_names_that_are_taken() -> None:
    assert said(quantities(*(area(value) for value in (0.0, -1.0, "7", None, float("nan"), float("inf"))))) == []
    assert said(quantities(area(0.5, "a\nb\x07c"))) == [StatedArea("G", "Q.abc", 0.5)]
    (long,) = said(quantities(area(1.0, "n" * 200), name="s" * 100))
    assert long.word == "s" * 80 + "." + "n" * 39
    assert len(said(quantities(*[area(1.0)] * 61))) == 60


@pytest.mark.parametrize(
    ("prefix", "m2"), [("MILLI", 1e-6), ("CENTI", 1e-4), ("DECI", 1e-2), ("KILO", 1e6), (None, 1.0), ("MEGA", 1.0)]
)
def test_square_units_with_a_prefix(prefix: str | None, m2: float) -> None:
    """A prefix holds for the length: a square millimetre is a millionth of a square metre."""
    assert said(quantities(area(3.0, "a", Thing("IfcSIUnit", Prefix=prefix)))) == [StatedArea("G", "Q.a", 3.0 * m2)]


@pytest.mark.parametrize(("factor", "m2"), [(0.09290304, 0.09290304), (2, 2.0), (0.0, 1.0), (-1.0, 1.0), ("1", 1.0)])
def test_square_units_by_conversion(factor: object, m2: float) -> None:
    """A square foot is 0.09290304 m2."""
    unit = Thing(
        "IfcConversionBasedUnit", ConversionFactor=SimpleNamespace(ValueComponent=SimpleNamespace(wrappedValue=factor))
    )
    assert said(quantities(area(3.0, "a", unit))) == [StatedArea("G", "Q.a", 3.0 * m2)]
    assert said(quantities(area(3.0, "a", Thing("IfcMonetaryUnit")))) == [StatedArea("G", "Q.a", 3.0)]


def test_the_area_unit_of_a_project() -> None:
    library = pytest.importorskip("ifcopenshell")
    step = Step()
    units = [
        step.add("IFCSIUNIT(*,.AREAUNIT.,.CENTI.,.SQUARE_METRE.)"),
        step.add("IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.)"),
    ]
    step.root("IFCPROJECT", "p", f"$,$,$,$,$,{step.add(f'IFCUNITASSIGNMENT(({units[0]},{units[1]}))')}")
    assert area_scale_m2(library.file.from_string(step.text())) == pytest.approx(1e-4)
    assert area_scale_m2(SimpleNamespace(by_type=lambda kind: [])) == 1.0
    assert area_scale_m2(SimpleNamespace()) == 1.0


def bearing(*ratios: Any, kind: str | None = "Model") -> tuple[float | None, str]:
    north = None if ratios == () else SimpleNamespace(DirectionRatios=ratios[0])
    context = SimpleNamespace(TrueNorth=north, ContextType=kind)
    return plan_bearing_deg(
        SimpleNamespace(by_type=lambda kind, include_subtypes: [context] if not include_subtypes else [])
    )


def test_bearings_of_plan_up() -> None:
    """North to the east of plan up by 90 degrees: plan up bears 270."""
    assert bearing((1.0, 0.0)) == (270.0, "")
    assert bearing((-3.0, 0)) == (90.0, "")
    assert bearing((0.0, 1.0)) == (0.0, "")
    assert bearing((1e-9, 1.0)) == (0.0, "")  # rounds to 360, which is 0
    assert bearing((0.0, -1.0, 9.0)) == (180.0, "")
    assert bearing((1.0, 1.0), kind=None) == (315.0, "")
    assert bearing((1.0, 1.0), kind="MODEL") == (315.0, "")
    assert bearing((1.0, 1.0), kind="Plan") == (None, "")
    assert bearing() == (None, "")
    assert bearing((1e-10, 0.0)) == (None, "its true north is no direction in plan")
    assert bearing((1.5e-9, 0.0)) == (270.0, "")
    assert bearing((1.0, 3.0)) == (pytest.approx(341.5651, abs=1e-9), "")  # atan(1/3) is 18.43495 degrees
    for ratios in (None, (), (1.0,), (1.0, 0.0, 0.0, 0.0), (float("nan"), 1.0), ("1", "0")):
        assert bearing(ratios) == (None, "its true north is no direction")


# ------------------------------------------------------------ what is said of it


def words(**more: Any) -> dict[str, Any]:
    return {"no_bearing": "", "bearing": None, "lost": 0, "without_shape": [], "parts": [], "areas": [], **more}


NORTH, PART = "true-north", "save it again, and look whether a part is missing"


@pytest.mark.parametrize(
    ("more", "finding"),
    [
        ({}, None),
        ({"bearing": 0.0}, Finding(NORTH, Severity.NOTE, "h: true north in the file makes the bearing of plan up 0.0 degrees", "for the job: `north_deg: 0`")),
        ({"bearing": 330.25}, Finding(NORTH, Severity.NOTE, "h: true north in the file makes the bearing of plan up 330.2 degrees", "for the job: `north_deg: 330.25`")),
        ({"no_bearing": "it has two", "bearing": 3.0}, Finding("true-north-unknown", Severity.NOTE, "h: it has two: it says nothing of how the plan lies to north", "give the bearing of plan up from the site plan")),
        ({"lost": 2}, Finding("part-not-read", Severity.WARN, "h: 2 of its entities are unknown to its schema or broken and were not read", PART)),
        ({"without_shape": list("abcdefgh")}, Finding("part-without-shape", Severity.WARN, "h: parts whose shape cannot be built were left out: a, b, c, d, e, f, g, h", "look whether one of them matters")),
        ({"without_shape": list("abcdefghij")}, Finding("part-without-shape", Severity.WARN, "h: parts whose shape cannot be built were left out: a, b, c, d, e, f, g, h and 2 more", "look whether one of them matters")),
    ],
)  # fmt: skip
def test_findings_of_a_file(more: dict[str, Any], finding: Finding | None) -> None:
    assert ifc._findings(Path("h"), words(**more)) == ([] if finding is None else [finding])


def test_what_the_worker_found_becomes_faces() -> None:
    part = {"id": "G", "name": "n", "stated": "wall", "building": "b", "storey": "s"}
    said = words(parts=[part], areas=[{"part": "G", "word": "w", "m2": 2.5}], lost=1)
    arrays = {"points": np.eye(3), "triangles": np.array([[0, 1, 2]]), "part_of": np.array([0])}
    raw = ifc._raw(Path("h"), {**arrays, "words": said})
    assert (raw.points.tolist(), raw.triangles.tolist(), raw.part_of.tolist()) == (np.eye(3).tolist(), [[0, 1, 2]], [0])
    assert raw.parts == (RawPart("G", "n", StatedPart.WALL, "b", "s"),)
    assert raw.stated_areas == (StatedArea("G", "w", 2.5),)
    assert (raw.came_from, raw.stated_unit_mm, raw.stated_up) == ("h", 1000.0, "z")
    assert [finding.code for finding in raw.findings] == ["part-not-read"]


def read_as(answer: bytes, monkeypatch: pytest.MonkeyPatch, **more: Any) -> list[Any]:
    """Read with a worker that answers so; gives what it was asked."""
    asked: list[Any] = []

    def run(command: list[str], **given: Any) -> Any:
        asked.append((command[-3:], given["input"], given["timeout"]))
        if more.get("late"):
            raise subprocess.TimeoutExpired(command, 1.0)
        return SimpleNamespace(returncode=more.get("code", 0), stdout=answer, stderr=more.get("stderr", b""))

    monkeypatch.setattr(subprocess, "run", run)
    return asked


def test_what_the_worker_is_asked_and_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "h.ifc"
    path.write_text(HEAD + END, encoding="utf-8")
    listed = {
        "roofs": [["K", "main", "barn", 3, [1.0, 2.0, 2.5], [5.0, 10.0, 4.0]], ["L", "barn", "barn", 1, [0.0] * 3, [3.0, 2.0, 1.0]], ["M", "", "", 1, [0.0] * 3, [0.0] * 3]],
        "counts": {"walls": 4, "doors": 0}, "storeys": [],
    }  # fmt: skip
    asked = read_as(worker._packed(listed, worker.Gathered()), monkeypatch)
    assert ifc.list_ifc(path) == (
        (
            LookedBody(1, "K", "roof main, on barn", (8000.0, 4000.0, 1500.0), 2500.0, 3),
            LookedBody(2, "L", "roof barn", (3000.0, 2000.0, 1000.0), 0.0, 1),
            LookedBody(3, "M", "roof", (0.0, 0.0, 0.0), 0.0, 1),
        ),
        ("4 walls, 0 doors in the file",),
    )
    assert asked == [(["list", "h.ifc", ""], (HEAD + END).encode(), 360)]
    read_as(worker._packed({**listed, "storeys": [["ground", 0.0], ["", 2.705]]}, worker.Gathered()), monkeypatch)
    assert ifc.list_ifc(path)[1] == ("4 walls, 0 doors in the file", "storeys: ground at 0.00 m, no name at 2.71 m")
    for kind, error in (("JobError", JobError), ("UndecidedError", UndecidedError), ("Other", UnreadableFileError)):
        asked = read_as(worker._packed({"faults": ["a", "b"], "kind": kind}, worker.Gathered()), monkeypatch)
        with pytest.raises(error) as caught:
            ifc.read_ifc(path, ShapeJob(file="h.ifc", part="west"))
        assert (type(caught.value), caught.value.faults, asked[0][0]) == (error, ("a", "b"), ["read", "h.ifc", "west"])


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"code": -9, "stderr": b"first\n bad\x07 word\n\n"}, " (it said: bad word)"),
        ({"code": 1, "stderr": b"x" * 200}, f" (it said: {'x' * 160})"),
        ({"code": 1}, ""),
        ({"late": True}, ""),
    ],
)
def test_a_worker_that_breaks_off(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, more: dict[str, Any], told: str
) -> None:
    path = tmp_path / "h.ifc"
    path.write_text(HEAD + END, encoding="utf-8")
    read_as(b"", monkeypatch, **more)
    with pytest.raises(UnreadableFileError) as caught:
        ifc.read_ifc(path, ShapeJob(file="h.ifc"))
    assert caught.value.faults == (
        f"h.ifc: the reading library breaks off on it, or takes more than 120 s or 4 GB; save it again, the house alone{told}",
    )
