"""Roofs added by a dialog or taken from a file, plans laid under and the job file typed in: what each does to the job and to
the plan, worked by hand."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("nicegui")
sys.path.insert(0, str(Path(__file__).parent))

from hand import Hand, below, changed, name_of, own_loop, page
from houses import HUT
from nicegui import ui

from takeoff.web.panels import open_side, under_side
from takeoff.web.under_plan import UnderPlan

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
OPEN, UNDER = "Choose an OBJ, GLB, IFC, CityJSON, DXF ...", "Choose a PNG, JPEG, PDF or DXF"
BUTTONS: dict[str, tuple[str, int, Any]] = {}


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hand]:
    """A page whose file buttons are kept by their labels: ends of names, most bytes, what is done with a file."""

    def button(tab: Any, label: str, accept: str, most: int, do: Any) -> None:
        BUTTONS[label] = accept, most, do

    with own_loop(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(under_side, "file_button", button)
        patch.setattr(open_side, "file_button", button)
        with page(HUT, tmp_path_factory.mktemp("hut")) as one:
            one.take_off()
            one.front("Plan")
            yield one


def back(hand: Hand, text: str) -> None:
    """The job as it was, no dialog, nothing touched."""
    for dialog in [one for one in below(hand.client.layout) if isinstance(one, ui.dialog)]:
        hand.live(dialog.delete)
    while hand.text != text:
        hand.live(hand.house.undo)
    hand.touch("")
    hand.said.clear()


def board(hand: Hand) -> Any:
    return next(one for one in hand.elements("Plan") if type(one).__name__ == "PlanBoard")


# ----------------------------------------------------------------- a roof added


MIDDLE = "Its middle from the edge's left end, seen from outside (mm)"
FORMS = {
    "verandah": [("Width, from the wall out (mm)", "2400"), ("Fascia height (mm)", "2020"), ("Pitch (°)", "8")],
    "porch": [("Width over its fascias (mm)", "2400"), ("Out from the wall (mm)", "1800"), ("Fascia height (mm)", "2190"),
              (MIDDLE, "3600")],
    "wing": [("Width over its fascias (mm)", "4200"), ("Out from the eave (mm)", "3000"), ("Pitch (°)", "20"), (MIDDLE, "3600")],
}  # fmt: skip


def dialog_of(hand: Hand) -> tuple[list[ui.element], Any]:
    (dialog,) = [one for one in below(hand.client.layout) if isinstance(one, ui.dialog)]
    return list(below(dialog)), dialog


def press(hand: Hand, elements: list[ui.element], words: str) -> None:
    hand.tell(next(one for one in elements if name_of(one) == words and one._event_listeners), "click", {})


def test_a_form_asks_its_sizes_and_where_along_the_edge(hand: Hand) -> None:
    """Half of the 7200 mm of the edge is 3600."""
    text = hand.text
    hand.touch("roof 1 edge 3")
    hand.press("Add a roof here", "Plan")
    inside, _ = dialog_of(hand)
    choice: Any = next(one for one in inside if isinstance(one, ui.radio))
    assert list(choice.options) == ["verandah", "lean-to", "porch", "wing", "dormer"]
    for form, fields in FORMS.items():
        hand.live(lambda form=form: choice.set_value(form))
        shown = [(one.props["label"], one.value) for one in dialog_of(hand)[0] if isinstance(one, ui.input)]
        assert shown == fields
    assert any(getattr(one, "_text", "") == "Add a roof at edge 3 of main" for one in dialog_of(hand)[0])
    back(hand, text)


def test_a_roof_of_the_sizes_typed_is_put_in(hand: Hand) -> None:
    """2.1 m out from the wall at 4800: to 6900; in the dialog a wrong figure is told and all stays."""
    text = hand.text
    hand.touch("roof 1 edge 3")
    hand.press("Add a roof here", "Plan")
    inside, dialog = dialog_of(hand)
    fields: Any = {one.props["label"]: one for one in inside if isinstance(one, ui.input)}
    hand.live(lambda: fields["Pitch (°)"].set_value("odd"))
    press(hand, inside, "Put it in")
    assert (hand.text, len(hand.said), dialog.value) == (text, 1, True)
    for label, value in (
        ("Pitch (°)", "6"),
        ("Width, from the wall out (mm)", "2.1 m"),
        ("Fascia height (mm)", "1900"),
    ):
        hand.live(lambda label=label, value=value: fields[label].set_value(value))
    press(hand, inside, "Put it in")
    assert changed(text, hand.text) == [
        "+  - name: verandah", "+    outline: [[7200, 6900], [0, 6900], [0, 4800], [7200, 4800]]", "+    below: main",
        "+    fascia_height_mm: 1900", "+    pitch_deg: 6", "+    edges:", "+      2: {kind: gable}", "+      3: {kind: wall}",
        "+      4: {kind: gable}",
    ]  # fmt: skip
    assert (hand.house.copy.back, hand.tab.touched, dialog.value) == ("verandah added", "roof 3", False)
    back(hand, text)


# ------------------------------------------------------------ a roof from a file


def given(hand: Hand, label: str, name: str, data: bytes) -> None:
    hand.live(lambda: BUTTONS[label][2](name, data))


def test_which_files_are_taken(hand: Hand) -> None:
    models = ".obj,.stl,.ply,.glb,.gltf,.off,.3mf,.ifc,.json,.jsonl,.dxf,.geojson,.wkt,.csv"
    assert {label: one[:2] for label, one in BUTTONS.items()} == {
        UNDER: (".png,.jpg,.jpeg,.pdf,.dxf,.geojson,.wkt,.csv", 24_000_000), OPEN: (models, 200_000_000),
    }  # fmt: skip


def test_a_roof_is_taken_from_a_drawing(hand: Hand) -> None:
    text, folder = hand.text, hand.house.copy.path.parent
    data = (SAMPLES / "drawn_plan" / "plan.dxf").read_bytes()
    given(hand, OPEN, "plan.dxf", data)
    shown = hand.shown("Plan")
    at = shown.index("Take a roof from a model or a drawing")
    assert shown[at + 1] == "plan.dxf, DXF. Unit mm: its header says mm, and its size is a house's"
    assert shown[at + 2].startswith("4 small rings inside others")
    assert shown[at + 3 : at + 6] == [
        "Its edge is drawn to", "Pitch, overhang and fascia are those that a drawn roof begins with.",
        "Put the file beside the job and take this roof",
    ]  # fmt: skip
    shape, edge = _choices(hand)
    assert [words.partition(":")[0] for words in shape.options.values()] == ["WALLS 1", "FRONT 1", "GABLE END 1"]
    hand.live(lambda: shape.set_value(2))
    hand.live(lambda: edge.set_value("wall_line"))
    hand.press("Put the file beside the job and take this roof", "Plan")
    assert changed(text, hand.text) == [
        "+  - name: roof", "+    shape: {file: plan.dxf, layer: GABLE END, part: 1, unit: mm, edge_is: wall_line}",
        "+    eave_overhang_mm: 600", "+    fascia_height_mm: 2400", "+    pitch_deg: 25",
    ]  # fmt: skip
    assert (folder / "plan.dxf").read_bytes() == data
    assert (hand.said, hand.tab.touched) == (["plan.dxf stands beside the job file."], "roof 3")
    assert hand.house.copy.back == "roof taken from plan.dxf"
    back(hand, text)


def _choices(hand: Hand) -> tuple[Any, Any]:
    return (
        next(one for one in hand.elements("Plan") if isinstance(one, ui.radio)),
        next(one for one in hand.elements("Plan") if one.props.get("label") == "Its edge is drawn to"),
    )


def test_a_model_has_no_pitch_to_begin_with_and_a_file_without_a_unit_is_asked_for_it(
    hand: Hand, monkeypatch: pytest.MonkeyPatch
) -> None:
    given(hand, OPEN, "house.obj", (SAMPLES / "mesh_house" / "house.obj").read_bytes())
    shown = hand.shown("Plan")
    at = shown.index("Take a roof from a model or a drawing")
    assert shown[at + 1] == "house.obj, OBJ. Unit m: no other makes a building of it"
    assert shown[-2:] == ["Its edge is drawn to", "Put the file beside the job and take this roof"]
    looked = open_side._looked_at("house.obj", (SAMPLES / "mesh_house" / "house.obj").read_bytes(), "")
    asked: list[str] = []

    def look(name: str, data: bytes, unit: str) -> Any:
        asked.append(f"{name} {data!r} {unit}")
        could = (("m", "9.00 x 6.00 m"), ("ft", "2.74 x 1.83 m"))
        notes = tuple(f"note {n}" for n in range(6))
        if unit:
            return replace(looked, unit=unit, notes=notes, lines=(), bodies=(), rings=())
        return replace(looked, unit="", could_be=could, open="unit", notes=notes)

    monkeypatch.setattr(open_side, "_looked_at", look)
    given(hand, OPEN, "odd.obj", b"12")
    assert hand.shown("Plan")[at + 1 :] == [
        f"odd.obj, OBJ. Unit not known: {looked.unit_why}", "It is drawn in m: 9.00 x 6.00 m", "It is drawn in ft: 2.74 x 1.83 m",
    ]  # fmt: skip
    hand.press("It is drawn in ft: 2.74 x 1.83 m", "Plan")
    assert asked == ["odd.obj b'12' ", "odd.obj b'12' ft"]
    assert hand.shown("Plan")[at + 2 :] == [
        *(f"note {n}" for n in range(4)),
        "There is nothing in it that can be a roof.",
    ]


# ------------------------------------------------------------- a plan laid under

LAID = UnderPlan("plan.pdf", "image/png", b"x", 400.0, 200.0, 50.0, 100.0, 200.0, 0.5, 3, 2, 0.25, True, b"source")


def test_a_plan_is_laid_under_scaled_moved_and_taken_away(hand: Hand, monkeypatch: pytest.MonkeyPatch) -> None:
    """50 mm a pixel at 0.25 mm of paper is 1 to 200; at 1 to 100 a pixel is 25 mm. Points 5 m apart that are 10 m in truth
    make it twice as large, from the first at (0, 0): the corner at (110, 180) goes to (220, 360)."""
    read: list[Any] = []

    def reads(name: str, data: bytes, page: int = 1) -> UnderPlan:
        read.append((name, data, page))
        return LAID if page == 1 else replace(LAID, page=page, mm=1.0, x=0.0, y=0.0, opacity=0.1, scaled=False)

    monkeypatch.setattr(under_side, "read_under", reads)

    def under() -> Any:
        laid = board(hand).props["under"]
        return laid and {key: value for key, value in laid.items() if key != "href"}

    def at(x: float, y: float, wide: float, opacity: float = 0.5) -> dict[str, float]:
        return {"x": x, "y": y, "opacity": opacity, "wide": wide, "high": wide / 2.0}

    given(hand, UNDER, "plan.pdf", b"data")
    assert under() == at(100.0, 200.0, 20_000.0)
    assert board(hand).props["under"]["href"].startswith("/token/under/")
    fields: Any = {one.props.get("label"): one.value for one in hand.elements("Plan") if isinstance(one, ui.input)}
    assert (fields["Page of 3"], fields["Scale of the sheet, 1 to"]) == ("2", "200")
    hand.write("Page of 3", "3", "Plan")
    assert read == [("plan.pdf", b"data", 1), ("plan.pdf", b"source", 3)]
    assert under() == at(100.0, 200.0, 20_000.0)
    hand.write("Scale of the sheet, 1 to", "1:100", "Plan")
    assert under() == at(100.0, 200.0, 10_000.0)
    hand.write("Scale of the sheet, 1 to", "odd", "Plan")
    assert hand.said == ['"odd" is no figure: type one, as 100.']
    hand.tell(board(hand), "under_moved", {"dx": 10, "dy": -20})
    assert under() == at(110.0, 180.0, 10_000.0)
    hand.press("Scale by two points", "Plan")
    assert board(hand).props["mode"] == "scale"
    hand.tell(board(hand), "points", {"a": [0, 0], "b": [3000, 4000]})
    hand.write("The two points are apart (mm)", "10 m", "Plan")
    assert (under(), board(hand).props["mode"]) == (at(220.0, 360.0, 20_000.0), "touch")
    slider: Any = next(one for one in hand.elements("Plan") if isinstance(one, ui.slider))
    assert (slider.props["min"], slider.props["max"], slider.props["step"]) == (0.1, 1.0, 0.1)
    hand.live(lambda: slider.set_value(0.8))
    hand.tell(slider, "change")
    assert under() == at(220.0, 360.0, 20_000.0, 0.8)
    assert "The two points are apart (mm)" not in hand.shown("Plan")
    hand.press("Move it", "Plan")
    assert board(hand).props["mode"] == "under"
    hand.press("Take it away", "Plan")
    assert under() is None
    assert "Move it" not in hand.shown("Plan")
    hand.press("Touch and move", "Plan")
    hand.said.clear()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({}, ["plan.pdf", "Page of 3", "Scale of the sheet, 1 to", "Scale by two points"]),
        ({"pages": 2}, ["plan.pdf", "Page of 2", "Scale of the sheet, 1 to", "Scale by two points"]),
        (
            {"pages": 1, "scaled": False},
            ["plan.pdf: not to scale yet", "Scale of the sheet, 1 to", "Scale by two points"],
        ),
        ({"paper_mm": 0.0}, ["plan.pdf", "Scale by two points"]),
    ],
)
def test_what_is_asked_of_what_is_laid_under(
    hand: Hand, monkeypatch: pytest.MonkeyPatch, change: dict[str, Any], words: list[str]
) -> None:
    monkeypatch.setattr(under_side, "read_under", lambda name, data, page=1: replace(LAID, **change))
    given(hand, UNDER, "plan.pdf", b"")
    shown = hand.shown("Plan")
    at = shown.index("Lay a plan under, to trace it") + 1
    assert shown[at : at + len(words)] == words
    hand.press("Take it away", "Plan")


# ----------------------------------------------------------------- the job file


def test_what_is_typed_in_the_job_file_is_taken_where_it_was_typed_in_the_newest(hand: Hand) -> None:
    text = hand.text
    hand.front("Job file")
    box = next(one for one in hand.elements("Job file") if type(one).__name__ == "JobTextBox")
    new = text.replace("Field hut", "Hut")
    hand.tell(box, "wrote", {"text": new, "base": hand.house.version - 1})
    assert hand.text == text
    hand.tell(box, "wrote", {"text": new, "base": hand.house.version})
    assert (hand.text, hand.house.copy.back) == (new, "typed in the job file")
    hand.tell(box, "took", {"mine": text.replace("Field hut", "Mine")})
    assert (hand.text, hand.house.copy.back) == (new, "the change from elsewhere, taken")
    hand.live(hand.house.undo)
    assert (hand.text, hand.house.copy.back) == (
        text.replace("Field hut", "Mine"),
        "typed in the job file, then set aside",
    )
    back(hand, text)
    hand.front("Plan")


# --------------------------------------------------------------- a board by sizes


def test_a_board_of_a_zone_is_given_by_its_width_and_cover(hand: Hand) -> None:
    text = hand.text
    hand.front("Walls")

    def field(label: str) -> ui.element:
        return next(one for one in hand.elements("Walls") if one.props.get("label") == label)

    hand.tell(field("with"), "typed", "own")
    hand.press("Use this board", "Walls")
    assert hand.said == ["nothing is no length: type millimetres (6200) or metres (6.2 m)."]
    hand.tell(field("its width"), "typed", "160")
    hand.tell(field("its cover"), "typed", "0.14 m")
    hand.press("Use this board", "Walls")
    lines = ["-    - {board: bevel_187}", "+    - {board: {width_mm: 160, cover_mm: 140}}"]
    assert (changed(text, hand.text), hand.house.copy.back) == (lines, "zone 1 changed")
    assert "Use this board" not in hand.shown("Walls")
    back(hand, text)
    hand.front("Plan")
