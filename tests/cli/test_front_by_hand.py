"""What stands behind the commands, by hand: what is looked at, listed and typed, and what each review is made of."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff import looking, storing
from takeoff.basics.errors import ShapeError, UndecidedError, UnreadableFileError, UsageError
from takeoff.listing import allowed_words, product_lines, setting_lines, size_words
from takeoff.model.basis import Basis, Setting, Status
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import Looked, LookedBody
from takeoff.model.value_types import ValueKind, ValueType

# ------------------------------------------------------------ a look at a file


def test_what_is_asked_of_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[str, ShapeJob]] = []
    for ending in (".obj", ".dxf"):
        monkeypatch.setitem(looking.LISTERS, ending, lambda path, job: asked.append((path.name, job)))  # type: ignore[arg-type]
    looking.look(tmp_path / "a.OBJ", "l" * 300, "ft", "p" * 300)
    looking.look(tmp_path / ("n" * 500 + ".dxf"))
    assert asked == [
        ("a.OBJ", ShapeJob.model_validate({"file": "a.OBJ", "layer": "l" * 255, "part": "p" * 255, "unit": "ft"})),
        ("n" * 500 + ".dxf", ShapeJob(file="n" * 400)),
    ]
    words = "OBJ, STL, PLY, GLB, GLTF, OFF, 3MF, IFC, JSON, JSONL, DXF, GEOJSON, WKT, CSV"
    for path, unit, says in (
        (tmp_path / "a.obj", "fet", "--unit: no unit is called 'fet'; did you mean ft?; give one of mm, cm, m, in, ft"),
        (tmp_path, "", f"{tmp_path} is a folder; name the file in it"),
        (tmp_path / "a.b.svg", "", f"a.b.svg: files of this kind are not read; save it as one of {words}"),
    ):  # fmt: skip
        with pytest.raises((UsageError, UnreadableFileError)) as caught:
            looking.look(path, unit=unit)
        assert caught.value.faults == (says,)


def test_files_that_name_their_roofs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Several are told apart by their keys in the lines to paste, the only one needs none and is looked into."""
    bodies = [LookedBody(n, name, "", (9000.0, 6000.0, 5000.0), 0.0, 4) for n, name in ((1, "A"), (2, "B 2"))]
    listed = {"count": 2}

    def lister(path: Path) -> tuple[tuple[LookedBody, ...], tuple[str, ...]]:
        return tuple(bodies[: listed["count"]]), (f"note of {path.suffix}",)

    monkeypatch.setattr("takeoff.read.cityjson.buildings_listed.list_cityjson", lister)
    monkeypatch.setattr("takeoff.read.ifc.ifc.list_ifc", lister)
    monkeypatch.setattr(looking, "_roof_notes", lambda path: (f"roof of {path.name}",))
    two = looking.look(tmp_path / "t.city.json", unit="mm")
    assert (two.file, two.kind, two.unit, two.unit_why, two.notes) == (
        "t.city.json",
        "CityJSON",
        "m",
        "as CityJSON has it",
        ("note of .json",),
    )
    assert two.lines == tuple(body.line for body in two.bodies)
    assert ["part: A" in two.lines[0], "B 2" in two.lines[1], "unit: mm" in two.lines[0]] == [True, True, True]
    listed["count"] = 1
    one = looking.look(tmp_path / "h.IFC")
    assert (one.kind, one.unit_why, one.notes) == ("IFC", "as IFC has it", ("note of .IFC", "roof of h.IFC"))
    assert "part" not in one.lines[0]
    monkeypatch.setattr(looking, "_model", lambda path, asked: (path.name, asked.part))
    monkeypatch.setitem(looking.LISTERS, ".obj", looking._parts)
    assert looking.look(tmp_path / "h.ifc", part="A") == ("h.ifc", "A")


def test_the_only_roof_of_a_file_and_a_model_of_several(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plane = SimpleNamespace(id="P1", area_mm2=12_345_678.0, pitch_deg=24.96)
    note, bare = Finding("x", Severity.NOTE, "It is odd.", "look"), Finding("y", Severity.NOTE, "Other")
    roof = SimpleNamespace(planes=(plane, SimpleNamespace(id="P2", area_mm2=1e6, pitch_deg=3.0)), findings=(note,))
    monkeypatch.setattr("takeoff.read.shape_files.read_shape", lambda path, shape: ("raw", path, shape))
    monkeypatch.setattr(
        "takeoff.shape.imported.roof_from_faces.roof_from_faces", lambda raw, job, north, settings: roof
    )
    monkeypatch.setattr(
        "takeoff.shape.imported.stated_areas.area_findings",
        lambda raw, one: (bare,) if one is roof and raw[0] == "raw" else (),
    )
    path = tmp_path / "h.ifc"
    told = ("its roof: P1 12.35 m2 at 25.0 degrees, P2 1.00 m2 at 3.0 degrees", "It is odd. look", "Other.")
    assert looking._roof_notes(path) == told

    def stop(*_: object) -> None:
        raise ShapeError("too flat", "too low")

    monkeypatch.setattr("takeoff.shape.imported.roof_from_faces.roof_from_faces", stop)
    assert looking._roof_notes(path) == ("too flat", "too low")

    def asks(*_: object) -> None:
        raise UndecidedError("which", "a or b")

    monkeypatch.setattr("takeoff.read.shape_files.read_shape", asks)
    assert looking._model(path, ShapeJob(file="h.ifc")) == Looked("h.ifc", "IFC", "", "", notes=("which", "a or b"))
    monkeypatch.setattr("takeoff.read.shape_files.read_shape", lambda path, asked: "raw")
    monkeypatch.setattr(
        "takeoff.shape.imported.look_at_model.look_at_model", lambda raw, kind, asked: (raw, kind, asked.file)
    )
    assert looking._model(path, ShapeJob(file="h.ifc")) == ("raw", "IFC", "h.ifc")


def test_a_look_for_programs_and_its_picture(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    body = LookedBody(1, "n\u00e4me", "", (1.23456789, 2.0, 3.0), 0.1234567, 4)
    text = looking.looked_json(Looked("a.obj", "OBJ", "m", "", bodies=(body,)))
    assert text.endswith("}\n")
    assert "n\u00e4me" in text
    data = json.loads(text)
    assert (data["format"], data["version"], data["file"], data["bodies"][0]["size_mm"], data["bodies"][0]["low_mm"]) == (
        "takeoff look", 1, "a.obj", [1.234568, 2.0, 3.0], 0.123457,
    )  # fmt: skip
    looked = Looked("a.obj", "OBJ", "m", "")
    for name, says in (
        ("a.png", f"{tmp_path / 'a.png'}: the picture is an SVG; end its name with .svg"),
        ("a.svg", "a.obj has no rings or lines to draw"),
    ):
        with pytest.raises(UsageError) as caught:
            looking.write_picture(looked, tmp_path / name)
        assert caught.value.faults == (says,)
    monkeypatch.setattr("takeoff.write.drawings.look_picture.look_picture", lambda one: one)
    monkeypatch.setattr("takeoff.write.drawings.svg.svg_text", lambda drawing: f"<svg>\u00e4{drawing.file}</svg>")
    assert looking.write_picture(looked, tmp_path / "a.SVG").path == tmp_path / "a.SVG"
    assert (tmp_path / "a.SVG").read_text(encoding="utf-8") == "<svg>\u00e4a.obj</svg>"


# ------------------------------------------------------------ settings and products


def setting(kind: ValueType, unit: str = "mm") -> Setting:
    return Setting("x_mm", 3, unit, Basis(Status.COMMON_PRACTICE), "what it is", kind)


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (ValueType(ValueKind.NUMBER, 0.0, 500.0), "0 to 500 mm"), (ValueType(ValueKind.NUMBER, 1.0, 9.0, whole=True), "whole, 1 to 9 mm"), (ValueType(ValueKind.FLAG), "true or false"),
        (ValueType(ValueKind.CHOICE, words=("a", "b", "c")), "a, b or c"), (ValueType(ValueKind.CHOICE, words=("a", "b")), "a or b"), (ValueType(ValueKind.CHOICE, words=("a",)), "a"),
    ],
)  # fmt: skip
def test_what_a_setting_may_be(kind: ValueType, words: str) -> None:
    assert allowed_words(setting(kind)) == words


def test_settings_by_word_standing_and_code() -> None:
    """By name or meaning, large letters or small, spaces for underscores; each with its meaning and basis below it."""
    (name, says) = list(setting_lines("hip trim mm"))
    assert name.startswith("hip_trim_mm: 25 mm   (0 to 500 mm)")
    assert (says[:4], "; " in says) == ("    ", True)
    assert list(setting_lines("HIP_TRIM_MM")) == [name, says]
    every = [line for line in setting_lines() if not line.startswith(" ")]
    assert len(every) > 200
    told = list(setting_lines("wind_zone_if_not_given", code="au")) != list(
        setting_lines("wind_zone_if_not_given", code="nz")
    )
    assert told
    memory = list(setting_lines(status="memory"))
    assert [line for line in memory if line.startswith(("profiles ", "boards ", "gutters "))]
    assert list(setting_lines("no such word", status="memory")) == []
    for given, says in (
        ({"word": "hip_trim"[:-1] + "n"}, "no setting is called 'hip_trin'; did you mean"), ({"code": "nx"}, "no code is called 'nx'; au, nz"),
        ({"status": "memmory"}, "no status is called 'memmory'; did you mean memory?; " + ", ".join(Status)), ({"word": "qqqq"}, "no setting is called 'qqqq'; takeoff settings lists them all"),
    ):  # fmt: skip
        with pytest.raises(UsageError) as caught:
            list(setting_lines(**given))
        assert caught.value.faults[0].startswith(says)


def test_products_and_their_sizes() -> None:
    lines = list(product_lines("rolls"))
    assert lines[0] == "rolls:"
    assert all(line.startswith("  ") for line in lines[1:])
    at = lines.index("  wall_wrap_2740: wall wrap 2.74 x 36.5 m")
    assert lines[at + 1] == "      use wall, width 2 740 mm, length 36 500 mm"
    kinds = [line for line in product_lines() if not line.startswith(" ")]
    assert (len(kinds), kinds[0]) == (8, "profiles:")
    with pytest.raises(
        UsageError, match=r"^no kind of product is called 'roll'; did you mean rolls\?; profiles, boards, "
    ):
        list(product_lines("roll"))
    gutter = next(line for line in product_lines("gutters") if line.startswith("      "))
    assert "lengths" in gutter


def test_sizes_of_a_product_by_hand() -> None:
    from takeoff.model.products import GutterProfile

    made = GutterProfile("g", "Box", "pvc", 8200.0, 130.0, (4000, 6000), {}, bracket_mm=0.0)
    words = list(size_words(made))
    assert [word for word in words if "Box" in word or word.startswith("bracket")] == []
    assert "area 8 200 mm2" in words
    assert "lengths 4000 6000 mm" in words


# ------------------------------------------------------------ stores


@pytest.mark.parametrize(
    ("text", "sizes"),
    [("", ()), (" ", ()), ("5000", (5000.0,)), ("9000, 100,5000,9000", (100.0, 5000.0, 9000.0)), ("1e8", (1e8,))],
)
def test_sizes_as_they_are_typed(text: str, sizes: tuple[float, ...]) -> None:
    assert storing.sizes_of(text) == sizes


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("5000," + "x" * 50, f"--sizes: {'x' * 40!r} is no number of litres; give 5000,10000,25000"), ("5000,", "--sizes: '' is no number of litres; give 5000,10000,25000"),
        ("0", "--sizes: 0 L is no size of a store"), ("-5", "--sizes: -5 L is no size of a store"), ("100000001", "--sizes: 100000001 L is no size of a store"), ("nan", "--sizes: nan L is no size of a store"),
        ("25.5", "--sizes: 25.5 L is no store of rainwater; sizes are in litres, 25.5 m3 are 25500"), ("99.9", "--sizes: 99.9 L is no store of rainwater; sizes are in litres, 99.9 m3 are 99900"),
        (",".join(str(1000 + n) for n in range(201)), "--sizes: 201 sizes; give 200 at most"),
    ],
)  # fmt: skip
def test_sizes_that_are_none(text: str, says: str) -> None:
    with pytest.raises(UsageError) as caught:
        storing.sizes_of(text)
    assert caught.value.faults == (says,)
    assert len(storing.sizes_of(",".join(str(1000 + n) for n in range(200)))) == 200


def test_rain_of_a_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(storing, "reckon_tank", lambda *given: given)
    monkeypatch.setattr(storing, "read_rain", lambda path: f"rain of {path.name}")
    monkeypatch.setattr(storing, "run_file", lambda job, until, step: takeoff)
    monkeypatch.setattr(storing, "write_tank", lambda result, out, mark: (result, out, mark))
    rain = SimpleNamespace(file="r.csv", monthly_mm=None)
    takeoff: Any = SimpleNamespace(job=SimpleNamespace(rain=rain), job_hash="h")
    assert storing.stored_of(takeoff, tmp_path, None, 3.0, (5000.0,)).result == (
        takeoff,
        "rain of r.csv",
        3.0,
        (5000.0,),
    )
    rain.file, rain.monthly_mm = None, (1.0, 2.0)
    assert storing.stored_of(takeoff, tmp_path).result[1].mm == (1.0, 2.0)  # type: ignore[index]
    rain.monthly_mm = None
    assert storing.stored_of(takeoff, tmp_path).result == (takeoff, None, None, ())
    assert storing.stored_of(takeoff, tmp_path, "given").result[1] == "given"  # type: ignore[arg-type, index]
    steps: list[str] = []
    job = tmp_path / "job.yaml"
    job.write_text("job: a\n", encoding="utf-8")
    stored = storing.tank_file(job, tmp_path / "x.csv", 4.0, (900.0,), tmp_path / "out", steps.append)
    assert stored.result == (takeoff, "rain of x.csv", 4.0, (900.0,))
    assert (stored.written, steps) == (
        (stored.result, tmp_path / "out", "h"),
        ["reading the rain", "reckoning the store"],
    )
    assert storing.tank_file(job).written is None
    for people in (0.0, -1.0, 100_001.0):
        with pytest.raises(UsageError, match=f"^--people: {people:g} cannot be; give a number over 0$"):
            storing.tank_file(job, people=people)
    assert storing.tank_file(job, people=100_000.0).result[2] == 100_000.0  # type: ignore[index]
