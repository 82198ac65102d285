"""What is typed, chosen and pressed beside the plan and what it does to the job, worked by hand. The hut: corners 1 to 4 of
its walls lie at (0, 0), (7200, 0), (7200, 4800), (0, 4800); the store from (1000, 5250) to (4000, 7000)."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("nicegui")
sys.path.insert(0, str(Path(__file__).parent))

from hand import Hand, changed, own_loop, page
from houses import HUT
from nicegui import ui


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hand]:
    with own_loop(), page(HUT, tmp_path_factory.mktemp("hut")) as one:
        one.take_off()
        one.front("Plan")
        yield one


def done(hand: Hand, mark: str, act: Any) -> tuple[list[str], str, list[str], str]:
    """Lines of the job that went and came, the words of the step back, what was told, what is touched after; then all is
    put back."""
    hand.touch("")
    hand.touch(mark)
    hand.said.clear()
    before = hand.text
    act()
    found = (changed(before, hand.text), hand.house.copy.back, list(hand.said), hand.tab.touched)
    while hand.text != before:
        hand.live(hand.house.undo)
    hand.touch("")
    hand.press("Touch and move", "Plan")
    return found


def outline(line: str) -> list[list[int]]:
    """The corners of an outline in the job."""
    numbers = [
        int(part) for part in line.partition(":")[2].replace("[", " ").replace("]", " ").replace(",", " ").split()
    ]
    return [list(pair) for pair in zip(numbers[::2], numbers[1::2], strict=True)]


WALLS = [[0, 0], [7200, 0], [7200, 4800], [0, 4800]]
STORE = [[1000, 5250], [4000, 5250], [4000, 7000], [1000, 7000]]
TYPED: list[tuple[str, str, str, list[list[int]], str]] = [
    ("roof 1 edge 1", "Length (mm)", "8000", [[0, 0], [8000, 0], [8000, 4800], [0, 4800]], "edge 1 made 8000"),
    ("roof 1 edge 2", "Length (mm)", " 5 m ", [[0, 0], [7200, 0], [7200, 5000], [0, 5000]], "edge 2 made 5 m"),
    ("roof 2 edge 3", "Length (mm)", "3500", [[500, 5250], [4000, 5250], [4000, 7000], [500, 7000]], "edge 3 made 3500"),
    ("roof 1 corner 3", "Corner 3, x (mm)", "7300", [[0, 0], [7300, 0], [7300, 4800], [0, 4800]], "corner 3 set"),
    ("roof 1 corner 3", "Corner 3, y (mm)", "4700", [[0, 0], [7200, 0], [7200, 4700], [0, 4700]], "corner 3 set"),
    ("roof 1 corner 1", "Corner 1, y (mm)", "-50", [[0, -50], [7200, -50], [7200, 4800], [0, 4800]], "corner 1 set"),
    ("roof 2", "Corner 4, x (mm)", "900", [[900, 5250], [4000, 5250], [4000, 7000], [900, 7000]], "corner 4 set"),
    ("roof 2", "Move the roof right (mm)", "250", [[1250, 5250], [4250, 5250], [4250, 7000], [1250, 7000]],
     "roof moved right 250"),
    ("roof 2", "Move the roof up (mm)", " -120 ", [[1000, 5130], [4000, 5130], [4000, 6880], [1000, 6880]],
     "roof moved up -120"),
]  # fmt: skip


@pytest.mark.parametrize(("mark", "field", "text", "ring", "step"), TYPED)
def test_a_figure_typed_beside_the_plan(
    hand: Hand, mark: str, field: str, text: str, ring: list[list[int]], step: str
) -> None:
    """The edges at the ends of what is moved go along as they lie."""
    lines, back, said, touched = done(hand, mark, lambda: hand.write(field, text, "Plan"))
    of = STORE if mark.startswith("roof 2") else WALLS
    assert [outline(line) for line in lines] == [of, ring]
    assert (back, said, touched) == (step, [], mark)


def test_the_other_end_of_an_edge_moves_where_that_is_chosen(hand: Hand) -> None:
    """4800 + 200 downward."""

    def act() -> None:
        ends: Any = next(one for one in hand.elements("Plan") if isinstance(one, ui.radio))
        assert ends.value == 0
        hand.live(lambda: ends.set_value(1))
        hand.write("Length (mm)", "5000", "Plan")
        hand.live(lambda: ends.set_value(0))

    lines, back, _, _ = done(hand, "roof 1 edge 2", act)
    assert outline(lines[1]) == [[0, -200], [7200, -200], [7200, 4800], [0, 4800]]
    assert back == "edge 2 made 5000"


@pytest.mark.parametrize(
    ("mark", "field", "text", "words"),
    [
        ("roof 1 edge 2", "Length (mm)", "odd", '"odd" is no length: type millimetres (6200) or metres (6.2 m).'),
        ("roof 1 corner 3", "Corner 3, y (mm)", "-100", "the outline would be turned inside out: move less."),
    ],
)
def test_what_cannot_be_typed_is_told(hand: Hand, mark: str, field: str, text: str, words: str) -> None:
    lines, back, said, touched = done(hand, mark, lambda: hand.write(field, text, "Plan"))
    assert (lines, back, said, touched) == ([], "", [words], mark)


LINES: list[tuple[str, str, str, list[str], str]] = [
    ("roof 2", "Pitch (°)", "12", ["-    pitch_deg: 15", "+    pitch_deg: 12"], "pitch: 12"),
    ("roof 1", "Fascia height (mm)", " 2500 ", ["-    fascia_height_mm: 2400", "+    fascia_height_mm: 2500"],
     "fascia height: 2500"),
    ("roof 2", "Colour", "grey", ["+    covering: {colour: grey}"], "colour: grey"),
    ("roof 1 edge 1", "Overhang (mm)", "600",
     ["-    edges: {2: {kind: gable}, 4: {kind: gable}}", "+    edges: {2: {kind: gable}, 4: {kind: gable}, 1: {eave_overhang_mm: 600}}"],
     "overhang: 600"),
]  # fmt: skip


@pytest.mark.parametrize(("mark", "field", "text", "lines", "step"), LINES)
def test_a_value_typed_beside_the_plan(
    hand: Hand, mark: str, field: str, text: str, lines: list[str], step: str
) -> None:
    found = done(hand, mark, lambda: hand.write(field, text, "Plan"))
    assert found == (lines, step, [], mark)


EDGES = "    edges: {2: {kind: gable}, 4: {kind: gable}"
PRESSED: list[tuple[str, str, list[str], str, str]] = [
    ("roof 2", "mansard", ["-    pitch_deg: 15", "+    mansard: {lower_pitch_deg: 65, to_mm: 2400, upper_pitch_deg: 20}"],
     "rises as mansard", "roof 2"),
    ("roof 1 edge 1", "half hip", [f"-{EDGES}}}", f"+{EDGES}, 1: {{half_hip_from_mm: 1200}}}}"], "rises as half hip",
     "roof 1 edge 1"),
    ("roof 2", "Take this roof out",
     ["-  - name: store", "-    outline: [[1000, 5250], [4000, 5250], [4000, 7000], [1000, 7000]]",
      "-    fascia_height_mm: 2000", "-    pitch_deg: 15"], "roof taken out", ""),
    ("roof 1 edge 1", "← Roof main", [], "", "roof 1"),
    ("roof 2 corner 1", "← Roof store", [], "", "roof 2"),
    ("roof 1", "← The house", [], "", ""),
    ("P1", "← The house", [], "", ""),
    ("", "Roof store", [], "", "roof 2"),
    ("", "Roof main", [], "", "roof 1"),
]  # fmt: skip


@pytest.mark.parametrize(("mark", "button", "lines", "step", "after"), PRESSED)
def test_a_button_beside_the_plan(hand: Hand, mark: str, button: str, lines: list[str], step: str, after: str) -> None:
    assert done(hand, mark, lambda: hand.press(button, "Plan")) == (lines, step, [], after)


def test_corners_taken_out_and_put_in(hand: Hand) -> None:
    """The middle of 7200 is 3600; what was edge 2 and 4 is then 3 and 5."""
    lines, back, _, touched = done(hand, "roof 1 corner 3", lambda: hand.press("Take this corner out", "Plan"))
    assert outline(lines[1]) == [[0, 0], [7200, 0], [0, 4800]]
    assert (back, touched) == ("corner 3 taken out", "roof 1")
    lines, back, _, touched = done(hand, "roof 1 edge 1", lambda: hand.press("Put a corner in its middle", "Plan"))
    assert outline(lines[1]) == [[0, 0], [3600, 0], [7200, 0], [7200, 4800], [0, 4800]]
    assert lines[3] == "+    edges: {3: {kind: gable}, 5: {kind: gable}}"
    assert (back, touched) == ("corner put in on edge 1", "roof 1 edge 1")


@pytest.mark.parametrize(
    ("mode", "lines"),
    [
        ("Draw walls", ["+  - name: roof", "+    wall_line: [[10000, 0], [14000, 0], [14000, 3000], [10000, 3000]]",
                        "+    eave_overhang_mm: 700", "+    fascia_height_mm: -100", "+    pitch_deg: 30"]),
        ("Draw an outline", ["+  - name: roof", "+    outline: [[10000, 0], [14000, 0], [14000, 3000], [10000, 3000]]",
                             "+    fascia_height_mm: -100", "+    pitch_deg: 30"]),
    ],
)  # fmt: skip
def test_what_a_roof_that_is_drawn_begins_with(hand: Hand, mode: str, lines: list[str]) -> None:
    def act() -> None:
        hand.press(mode, "Plan")
        hand.write("Pitch (°)", "30", "Plan")
        hand.write("Fascia height (mm)", "-100", "Plan")
        if mode == "Draw walls":
            hand.write("Overhang at eaves (mm)", "700", "Plan")
        hand.write("Pitch (°)", "odd", "Plan")
        board = next(one for one in hand.elements("Plan") if type(one).__name__ == "PlanBoard")
        hand.tell(board, "drawn", {"points": [[10000, 0], [14000, 0], [14000, 3000], [10000, 3000]]})

    found, back, said, touched = done(hand, "", act)
    assert (found, back, touched) == (lines, "outline drawn", "roof 3")
    assert len(said) == 1
    assert said[0].startswith('"odd" is no ')


SHOWN: list[tuple[str, list[str]]] = [
    ("roof 1 edge 2", ["Edge 2", "of roof main", "Length (mm)"]),
    ("roof 2 corner 4", ["Corner 4", "of roof store", "Corner 4, x (mm)"]),
    ("roof 2", ["Roof store", "Name", "Pitch (°)"]),
    ("roof 2 edge 5", ["Roof store", "Name", "Pitch (°)"]),
    ("roof 2 corner 5", ["Roof store", "Name", "Pitch (°)"]),
    ("roof 3", ["The house"]),
]  # fmt: skip


@pytest.mark.parametrize(("mark", "words"), SHOWN)
def test_what_is_shown_of_what_is_touched(hand: Hand, mark: str, words: list[str]) -> None:
    """A number past the corners there are shows the roof, one past the roofs the house."""
    hand.touch("")
    hand.touch(mark)
    shown = hand.shown("Plan")
    at = shown.index(words[0])
    found = [line for line in shown[at : at + len(words) + 1] if line]
    assert found[: len(words)] == words
    hand.touch("")
