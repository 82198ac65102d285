"""How the roof plan is put on its paper, and words that just fit, by hand. Sizes of the paper's parts (92 for a column of
the schedule, 4.5 for a row of it) are a choice of layout: regression figures."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same
from wall_by_hand import box, piece, wall, zone

from takeoff.model.measured import FoldSection
from takeoff.write.drawings import fold_drawing, plan_drawing, wall_in_parts
from takeoff.write.drawings.drawing import Sketch, Text, text_width
from takeoff.write.drawings.frame import A3
from takeoff.write.drawings.label_room import Room
from takeoff.write.drawings.plan_place import Place
from takeoff.write.words.words import hand_words

DRAWN = (
    "_overall", "draw_lines", "draw_gutters", "draw_pipes", "draw_edge_numbers", "_openings", "draw_lay", "draw_names",
    "name_gutters", "name_pipes", "_north", "_wind", "_schedule", "_key", "title_block",
)  # fmt: skip


def roof(name: str, origin: tuple[float, float], outline: Any, edges: tuple[str, ...]) -> Any:
    return SimpleNamespace(name=name, origin_mm=(*origin, 0.0), outline_mm=outline, own_edges=edges, planes=())


def test_the_roof_plan_stands_beside_its_schedule(monkeypatch: pytest.MonkeyPatch) -> None:
    """The house covers (500, -200) to (4500, 2800), the shed, 5000 right of and 500 over it, up to (6000, 1200). A3 has
    390 x 247 free; two columns leave 206, so at 1:50 the paper begins 103 x 50 left of and 123.5 x 50 under the middle,
    (3250, 1300)."""
    house = roof("house", (1000.0, 2000.0), (((500.0, -200.0), (4500.0, -200.0), (4500.0, 2800.0)),), ("a", "b", "c"))
    shed = roof("shed", (6000.0, 2500.0), (((0.0, 0.0), (1000.0, 0.0)), ((1000.0, 700.0), (0.0, 700.0))), ("d",))
    takeoff: Any = SimpleNamespace(roofs=(house, shed), job=SimpleNamespace(north_deg=33.0))
    said: list[tuple[str, tuple[Any, ...]]] = []
    for name in DRAWN:
        monkeypatch.setattr(plan_drawing, name, lambda *args, name=name: said.append((name, args)))
    monkeypatch.setattr(plan_drawing, "_paper", lambda *args: said.append(("_paper", args)) or (A3, 2, 50))  # type: ignore[func-returns-value]
    monkeypatch.setattr(plan_drawing, "_more", lambda roofs: ["x"] * len(roofs))
    monkeypatch.setattr(plan_drawing, "finish", lambda *args: said.append(("finish", args)) or "drawn")  # type: ignore[func-returns-value]
    drawn: Any = plan_drawing.roof_plan(takeoff)
    assert drawn == "drawn"
    place = Place((1000.0, 2000.0, 0.0))
    found = dict(said)
    taken = found["draw_gutters"][0]
    sketch = taken.sketch
    assert sketch.scale == 50
    left, foot = 3250.0 - 50.0 * 103.0, 1300.0 - 50.0 * 123.5
    same(taken.within, (left, foot, left + 50.0 * 204.0, foot + 50.0 * 219.0))
    table, top = (left + 50.0 * 206.0, foot + 50.0 * 239.0), foot + 50.0 * 229.0
    roofs = takeoff.roofs
    assert said == [
        # four edges, twice the six rows of the key, and what it says of several roofs
        ("_paper", ((5500.0, 3000.0), 4 + 12 + 2)),
        ("_overall", (taken, (500.0, -200.0, 6000.0, 2800.0), place, roofs)),
        ("draw_lines", (taken, place, roofs)), ("draw_gutters", (taken, place, takeoff)), ("draw_pipes", (taken, place, takeoff)),
        ("draw_edge_numbers", (taken, place, house, plan_drawing.letter(roofs, house))), ("_openings", (taken, place, house, takeoff)),
        ("draw_edge_numbers", (taken, place, shed, plan_drawing.letter(roofs, shed))), ("_openings", (taken, place, shed, takeoff)),
        ("draw_lay", (taken, place, house, takeoff)), ("draw_lay", (taken, place, shed, takeoff)),
        ("draw_names", (taken, place, roofs)), ("name_gutters", (taken, place, takeoff)), ("name_pipes", (taken, place, takeoff)),
        ("_north", (sketch, (left + 600.0, top), 33.0)), ("_wind", (sketch, (left + 1700.0, top), takeoff)),
        # 231 / 4.5 = 51.3 rows
        ("_schedule", (sketch, table, ["a", "b", "c", "d"], 51)), ("_key", (sketch, table, 4, 51, roofs)),
        ("title_block", (takeoff, "Roof plan", "R1")),
        ("finish", (sketch, "roof_plan", None, A3, (3250.0, 1300.0), (103.0, 123.5))),
    ]  # fmt: skip
    assert plan_drawing.roof_plan(SimpleNamespace(roofs=())) is None  # type: ignore[arg-type]


APRON = FoldSection(
    "apron", "Apron", ((0.0, 0.0), (120.0, 160.0), (210.0, 160.0)), (("wing", 200), ("top", 90)), (126.87,), 290, 1, 0, "top", 1,
    hand="left",
)  # fmt: skip


@pytest.mark.parametrize("line", [0, 1, 2])
def test_each_line_under_a_section_ends_3_mm_before_either_side_of_its_cell(line: int) -> None:
    name = "Apron 200 x 90 of long run"
    facts = "girth 290, 1 fold, no hem; colour top"
    text, height = ((name, 3.5), (facts, 2.5), (hand_words(APRON), 2.5))[line]
    for more, whole in ((6.01, True), (5.99, False)):
        sketch = Sketch(5)
        fold_drawing._words(sketch, APRON, (0.0, 0.0), (text_width(text, height) + more, 80.0), name, "")
        said = [item.text for item in sketch.items if isinstance(item, Text)]
        assert (said[line] == text) is whole
        assert text.startswith(said[line])


def test_what_the_angles_and_lengths_of_a_section_are_placed_by(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cell of 100 x 80 at 1:5 whose middle over its words lies at (1250, 2252.5): the section, 210 x 160, from (1145,
    2172.5); the mean of its corners is (110, 320 / 3) from there."""
    angles: list[Any] = []
    legs: list[Any] = []
    monkeypatch.setattr(fold_drawing, "_angle", lambda _, *given: angles.append(given))

    def leg_places(_: Room, *given: Any) -> list[Any]:
        legs.append(given)
        return [(0.0, 0.0)]

    monkeypatch.setattr(fold_drawing, "_leg_places", leg_places)
    fold_drawing._section(Sketch(5), APRON, (1000.0, 2000.0), (100.0, 80.0))
    a, b, c = (1145.0, 2172.5), (1265.0, 2332.5), (1355.0, 2332.5)
    assert angles == [(126.87, a, b, c)]
    assert [given[:4] for given in legs] == [(APRON, 0, a, b), (APRON, 1, b, c)]
    for given in legs:
        same(given[4], (1145.0 + 110.0, 2172.5 + 320.0 / 3.0))


@pytest.mark.parametrize(
    ("centre", "side"),
    [
        # the middle lies (3, 3), (3, 6), (-3, -3) and (-6, -6.4) from the centre: -0.6, 1.2, 0.6 and 0.96 along (-0.8, 0.6)
        ((97.0, 197.0), -1.0), ((97.0, 194.0), 1.0), ((103.0, 203.0), 1.0), ((106.0, 206.4), 1.0),
    ],
)  # fmt: skip
def test_the_side_of_a_leg_aslant_away_from_the_middle(centre: tuple[float, float], side: float) -> None:
    """From (70, 160) to (130, 240), its middle at (100, 200); to the left of it is (-0.8, 0.6)."""
    found = fold_drawing._aside((70.0, 160.0), (130.0, 240.0), centre, 10.0, 0.5)
    same(found, (100 - 8 * side, 200 + 6 * side))


def test_words_of_what_is_bought_are_smaller_from_22_letters_on() -> None:
    for bought, high in (("x" * 21, 25.0), ("x" * 22, 17.5)):
        sketch = Sketch(5)
        fold_drawing._words(sketch, replace(APRON, hand=""), (0.0, 0.0), (300.0, 80.0), "Apron", bought)
        (last,) = [item for item in sketch.items if isinstance(item, Text) and item.text == bought]
        assert last.height_mm == high


def test_how_high_a_wall_is_drawn_is_counted_from_the_foot_of_its_boards(monkeypatch: pytest.MonkeyPatch) -> None:
    """2450 from 50 under the floor: at 1:12 there are 203 x 12 = 2436, so 1:15."""
    monkeypatch.setattr(wall_in_parts, "_part", lambda takeoff, wall, shown, cuts, scale, window, n, before: scale)
    for foot, scale in ((-50.0, 15), (0.0, 12)):
        boards = zone(piece("a", box(0.0, foot, 3000.0, 100.0)), piece("b", box(0.0, 100.0, 3000.0, 2400.0)))
        found: Any = wall_in_parts.wall_parts(None, wall(), [boards], {})  # type: ignore[arg-type]
        assert found == (scale,)
