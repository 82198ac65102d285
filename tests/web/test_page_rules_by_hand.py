"""Small rules of the page: lines that an edit changed, places on the plan, words of the order, openings of walls; whole
results by hand, limits met exactly and just passed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from pydantic import BaseModel, Field

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import Edit
from takeoff.model.order import CutPlan, Delivery
from takeoff.pipeline import Stage, run_text
from takeoff.session import ChangedLine
from takeoff.web import (
    order_view,
    plan_edits,
    product_forms,
    roof_forms,
    touches,
    wall_edits,
)
from takeoff.web.order_view import Since
from takeoff.web.plan_view import plan_view
from takeoff.web.touches import Card
from takeoff.web.wall_edits import Place
from takeoff.web.wall_view import given_data, opening_data, wall_data


def changed(before: float, now: float) -> ChangedLine:
    return ChangedLine("roof", "sheet", 3000.0, "each", before, now)


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ((), ""),
        ((changed(1, 2),), "Since the last edit: 1 line changed"),
        ((changed(0, 2), changed(0, 1)), "Since the last edit: 2 lines new"),
        ((changed(3, 0), changed(1, 0)), "Since the last edit: 2 lines gone"),
        (
            (changed(1, 2), changed(3, 4), changed(5, 6), changed(0, 1), changed(0, 2), changed(1, 0)),
            "Since the last edit: 3 lines changed, 2 lines new, 1 line gone",
        ),
    ],
)
def test_lines_that_an_edit_changed_are_counted_by_kind(lines: tuple[ChangedLine, ...], words: str) -> None:
    assert order_view._changed_words(Since(lines)) == words


def test_a_line_that_went_without_a_name_goes_by_its_id(monkeypatch: pytest.MonkeyPatch) -> None:
    takeoff: Any = None
    monkeypatch.setattr(order_view, "item_names", lambda _: {})
    lines = (
        changed(2.5, 0),
        replace(changed(3, 0), delivery="walls"),
        changed(2, 1),
        replace(changed(1, 0), each_mm=0.0),
    )
    assert order_view._gone(takeoff, "roof", Since(lines)) == ["sheet: 2.5 x 3000 mm", "sheet: 1 each"]
    assert order_view._gone(takeoff, "roof", Since()) == []


@pytest.mark.parametrize(
    ("delivery", "words"),
    [
        (Delivery("roof", 1, 0.0, 0.0, 0.0, 0), "1 line"),
        (
            Delivery("roof", 12, 34.0, 0.6, 0.96, 2, 3),
            "12 lines, 34 pieces, longest 1 mm, 1.0 kg, 2 lines without a mass, 3 packs of sheets",
        ),
        (
            Delivery("roof", 2, 1.0, 6000.4, 1234.56, 1, 1),
            "2 lines, 1 piece, longest 6000 mm, 1234.6 kg, 1 line without a mass, 1 pack of sheets",
        ),
    ],
)
def test_a_delivery_in_words(delivery: Delivery, words: str) -> None:
    assert order_view._facts(delivery).replace(",234", "234") == words


def test_offcuts_stand_beside_what_is_cut_from_bars() -> None:
    plan: Any = SimpleNamespace(waste_mm=1234.6, bars=("bar",))
    none: Any = SimpleNamespace(waste_mm=1234.6, bars=())
    assert [order_view._offcuts(one) for one in (None, plan, none)] == ["", "1.23", ""]
    assert {"waste_mm", "bars"} <= set(dir(CutPlan))


def test_columns_of_figures_stand_to_the_right() -> None:
    right = [order_view.COLUMNS[at] for at in order_view.RIGHT]
    assert right == ["count", "length mm", "total", "kg", "offcuts m"]


# ---- the plan


def test_planes_lie_where_their_roof_does_and_go_round_a_courtyard(tmp_path: Path) -> None:
    """A flat square of 10 m at (100, 200) with a courtyard of 2 m in its middle: each plane, 5 degrees, is a trapezium of
    10000 and 2000, 4000 deep; its middle 4000 / 3 * (10000 + 2 * 2000) / 12000 = 1555.6 from its long side."""
    job = """job: Yard
roofs:
  - {outline: [[100, 200], [10100, 200], [10100, 10200], [100, 10200]], fascia_height_mm: 2700, pitch_deg: 5,
     courtyards: [[[4100, 4200], [6100, 4200], [6100, 6200], [4100, 6200]]], edges: {5: {kind: gable}, 6: {kind: gable}, 7: {kind: gable}, 8: {kind: gable}}}
"""
    shaped = run_text(job, tmp_path / "job.yaml", Stage.SHAPE)
    planes = plan_view({}, shaped, True)["planes"]
    assert sorted(tuple(plane["at"]) for plane in planes) == [
        (1655.6, 5200.0), (5100.0, 1755.6), (5100.0, 8644.4), (8544.4, 5200.0),
    ]  # fmt: skip
    (south,) = [plane for plane in planes if plane["turn"] == 90]
    assert sorted(south["rings"][0]) == [[100, 200], [4100, 4200], [6100, 4200], [10100, 200]]


def test_the_arrow_of_a_plane_goes_by_its_outer_ring() -> None:
    """Along 6000 and up 4000, a hole of 500 in it: the arrow may be 4000 long."""
    frame = SimpleNamespace(to_space=lambda point: (*point, 0.0), n=(0.0, -0.5, 0.8))
    rings = (((0.0, 0.0), (6000.0, 0.0), (0.0, 4000.0)), ((500.0, 500.0), (1000.0, 500.0), (1000.0, 1000.0)))
    plane: Any = SimpleNamespace(id="P1", frame=frame, rings_uv=rings, pitch_deg=26.565)
    roof: Any = SimpleNamespace(origin_mm=(100.0, 2000.0, 0.0))
    from takeoff.web.plan_view import _plane

    assert _plane(roof, plane) == {
        "id": "P1",
        "rings": [[[100, 2000], [6100, 2000], [100, 6000]], [[600, 2500], [1100, 2500], [1100, 3000]]],
        "at": [2100, 3333.3],
        "turn": 90,
        "px": 4000,
        "words": "P1  26.57°",
    }


BOX = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
# the courtyard's third side is the second half of a straight one
YARD = [[4000, 3000], [8000, 3000], [8000, 5000], [6000, 5000], [4000, 5000]]


def house(**walls: Any) -> dict[str, Any]:
    roof = {"name": "main", "wall_line": BOX, "courtyards": [YARD], "pitch_deg": 25, "edges": {4: {"kind": "gable"}}}
    return {"roofs": [roof], "walls": walls}


def test_a_part_of_a_straight_courtyard_wall_drawn_out_numbers_on_what_follows() -> None:
    """Sides 5 to 9 go round the courtyard; 7, the first half of its north side, moves 500 north: a step of a new side
    comes between it and 8, which becomes 9, and 9 becomes 10. North of a courtyard is into the house, so it is larger."""
    tree = house(on_concrete=[1, 5, 6, 7, 8, 9])
    edits = plan_edits.edge_by(tree, 0, 7, (0, 500))
    assert edits == (
        Edit(("roofs", 0, "courtyards", 0), [[4000, 3000], [8000, 3000], [8000, 5500], [6000, 5500], [6000, 5000], [4000, 5000]]),
        Edit(("walls", "on_concrete"), [1, 5, 6, 7, 9, 10]),
    )  # fmt: skip


def test_a_part_of_a_straight_wall_drawn_out_numbers_on_the_courtyards() -> None:
    """Edge 1 goes from (0, 0) to (5000, 0), 2 on to (12000, 0): 1 moves 700 south, and a new side comes between them."""
    tree = house(on_concrete=[1, 2, 5, 6, 10])
    tree["roofs"][0]["wall_line"] = [[0, 0], [5000, 0], [12000, 0], [12000, 8000], [0, 8000]]
    tree["roofs"][0]["edges"] = {2: {"kind": "gable"}, 5: {"kind": "gable"}, 6: {"kind": "wall"}, 10: {"kind": "gable"}}
    edits = plan_edits.edge_by(tree, 0, 1, (0, -700))
    assert edits == (
        Edit(("roofs", 0, "wall_line"), [[0, -700], [5000, -700], [5000, 0], [12000, 0], [12000, 8000], [0, 8000]]),
        Edit(("roofs", 0, "edges"), {3: {"kind": "gable"}, 6: {"kind": "gable"}, 7: {"kind": "wall"}, 11: {"kind": "gable"}}),
        Edit(("walls", "on_concrete"), [1, 3, 6, 7, 11]),
    )  # fmt: skip


def test_what_a_slope_takes_is_held_to_the_depth_behind_it() -> None:
    """At 25 degrees, tan 0.466308: a dormer of 1800, 1200 back and 600 high reaches 1200 + 1286.71 + 900 + 400 = 3786.71
    from the outline, 600 out: 3186.71 behind the wall."""
    sizes = {"width_mm": 1800, "back_mm": 1200, "high_mm": 600}
    (dormer,) = [form for form in roof_forms.ROOF_FORMS if form.name == "dormer"]
    for depth, fits in ((3187, True), (3186, False)):
        ring = [[0, 0], [12000, 0], [12000, depth], [0, depth]]
        roof = {"name": "main", "wall_line": ring, "eave_overhang_mm": 600, "pitch_deg": 25, "fascia_height_mm": 2400}
        if fits:
            assert roof_forms.roof_made({"roofs": [roof]}, 0, 1, dormer, None, sizes)["outline"][2] == [6900, 3190]
        else:
            with pytest.raises(UsageError):
                roof_forms.roof_made({"roofs": [roof]}, 0, 1, dormer, None, sizes)


def test_a_roof_added_to_a_job_of_one_renumbers_no_wall_of_it() -> None:
    new = {"name": "b", "wall_line": BOX, "pitch_deg": 10}
    tree = house(on_concrete=[1, 9, 10], openings=[{"wall": 10, "from_left_mm": 1200}])
    assert sorted(plan_edits.roof_added(tree, new), key=lambda edit: tuple(map(str, edit.path))) == [
        Edit(("roofs", 1), new),
        Edit(("walls", "on_concrete"), [1, 9, 14]),
        Edit(("walls", "openings"), [{"wall": 14, "from_left_mm": 1200}]),
    ]


# ---- what is touched

DATA: dict[str, Any] = {
    "parts": [{"m": "P1", "k": "plane", "o": "P1", "f": ["10 m2"]}, {"m": "G1", "k": "gutter", "o": "G1", "f": []}],
    "names": {"P1": [0], "G1": [1]},
    "words": {},
    "lines": [{"i": "L1", "t": "Sheet", "c": "2", "d": "roof", "r": ["P1"]}, {"i": "L2", "t": "Gutter", "c": "3", "d": "rain", "r": ["G1"]}],
    "workings": [],
    "bases": [],
}  # fmt: skip


def test_the_first_of_several_marks_is_told() -> None:
    assert touches.card_of(None, ("P1", "G1")) == Card("P1")
    assert touches.card_of(DATA, ("P8", "P9")) == Card(
        "P8", ("It has no part of its own in the house as it was last worked out.",)
    )
    assert touches.card_of(DATA, ("L1", "L2")) == Card("L1, Sheet", ("2", "delivered with roof"), marks=("P1",))
    assert touches.card_of(DATA, ("P9", "G1")) == Card("G1, gutter", (), "", (("L2", "L2, Gutter, 3"),))
    assert touches.card_of(DATA, ("P1", "G1")) == Card(
        "P1, G1: 2 parts", (), "", (("L1", "L1, Sheet, 2"), ("L2", "L2, Gutter, 3")), ("P1", "G1")
    )


# ---- walls


def test_figures_of_a_wall_are_shown_to_a_tenth(tmp_path: Path) -> None:
    job = """job: Wall
roofs:
  - {wall_line: [[0, 0], [8000, 0], [8000, 6000], [0, 6000]], eave_overhang_mm: 600, pitch_deg: 25, fascia_height_mm: 2400}
walls: {height_mm: 2400, ground_mm: -300}
"""
    shaped = run_text(job, tmp_path / "job.yaml", Stage.SHAPE)
    wall = replace(
        shaped.elevations[0], width_mm=1234.56, base_mm=-12.34, floors_mm=(0.06, 2700.26), ground_mm=(-300.07, -301.14),
        outline_xy=((0.0, 0.04), (1234.56, 0.0), (0.0, 2400.26)), covered_xy=(),
    )  # fmt: skip
    found = wall_data(wall, None, True)
    assert {key: found[key] for key in ("width", "base", "floors", "ground", "old", "boards")} == {
        "width": 1234.6, "base": -12.3, "floors": [0.1, 2700.3], "ground": [-300.1, -301.1], "old": False, "boards": [],
    }  # fmt: skip
    assert found["words"].startswith("wall 1: 1235 mm")


def test_an_opening_on_a_storey_says_its_floor_to_a_tenth() -> None:
    from takeoff.web.wall_view import _opening

    assert _opening(0, "W1", "window", (1.0, 2.0, 3.0, 4.0), 2700.26) == {
        "at": 0, "mark": "W1", "kind": "window", "given": False, "floor": 2700.3, "x": 1.0, "y": 2.0, "w": 3.0, "h": 4.0,
    }  # fmt: skip
    wall: Any = SimpleNamespace(
        wall=1,
        openings=(
            SimpleNamespace(name="A", kind="", from_left_mm=10.0, sill_mm=20.0, width_mm=30.0, height_mm=40.0),
            SimpleNamespace(name="B", kind="door", from_left_mm=11.0, sill_mm=0.0, width_mm=31.0, height_mm=41.0),
            SimpleNamespace(name="C", kind="door", from_left_mm=12.0, sill_mm=0.0, width_mm=32.0, height_mm=42.0),
        ),
    )
    tree = {"walls": {"openings": [{"wall": 1, "name": "B"}]}}
    assert [(row["at"], row["mark"], row["kind"], row["given"], row["floor"]) for row in given_data(tree, wall)] == [
        (-1, "A", "opening", True, 0.0), (-3, "C", "door", True, 0.0),
    ]  # fmt: skip
    assert opening_data({"walls": {}}, wall) == []


@pytest.mark.parametrize(
    ("floors", "y", "sill", "storey"),
    [
        ((0.0,), 900.0, 900, None), ((0.0, 2700.0), 2690.0, 2690, None), ((0.0, 2700.0), 2700.0, 0, 2),
        ((0.0, 2700.0, 5300.0), 5300.0, 0, 3), ((0.0, 2700.0, 5300.0), 5290.0, 2590, 2), ((500.0,), 100.0, 100, None),
        ((500.0, 3000.0), 100.0, 100, None),
    ],
)  # fmt: skip
def test_an_opening_is_on_the_storey_that_it_begins_on(
    floors: tuple[float, ...], y: float, sill: float, storey: int | None
) -> None:
    edit = wall_edits.opening_added({"walls": {}}, 3, Place(1000.0, y, 900.0, 600.0), "window", floors)
    assert isinstance(edit.value, dict)
    assert (edit.value["sill_mm"], edit.value.get("storey")) == (sill, storey)
    assert (edit.value["wall"], edit.value["from_left_mm"], edit.value["width_mm"]) == (3, 1000, 900)


def test_a_storey_that_is_not_there_is_told() -> None:
    tree = {"walls": {"storeys": [{"roof": "main", "height_mm": 2400}, {"roof": "main", "height_mm": 2600}]}}
    for at in (-1, 2):
        with pytest.raises(UsageError) as told:
            wall_edits.storey_set(tree, at, "height_mm", "2700")
        assert told.value.faults == ("that storey is not in the job any more.",)
    for at in (0, 1):
        assert wall_edits.storey_set(tree, at, "height_mm", "2700") == Edit(("walls", "storeys", at, "height_mm"), 2700)


# ---- own products


class _Own(BaseModel):
    length_mm: float | None = Field(None, description="length of a piece")
    name: str = Field(description="what it is called")
    said: str


def test_fields_of_a_form_say_what_their_schema_says_those_that_must_be_given_first() -> None:
    assert [(one.name, one.says, one.needed) for one in product_forms.asked_fields(_Own)] == [
        ("name", "what it is called", True), ("said", "", True), ("length_mm", "length of a piece", False),
    ]  # fmt: skip
    assert product_forms._plain({"anyOf": [{"type": "number"}, {"type": "string"}, {"type": "null"}]}, {}) == {
        "type": "number"
    }
