"""Edits of walls and zones: every edit and every message whole, values at their limits and just beyond."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit
from takeoff.web import wall_edits as walls
from takeoff.web import zone_edits as zones
from takeoff.web.wall_edits import Place

OPENINGS = ("walls", "openings")
ZONES = ("walls", "zones")
TREE: dict[str, Any] = {
    "walls": {
        "height_mm": 2400,
        "openings": [
            {"wall": 1, "name": "W1", "from_left_mm": 1000, "sill_mm": 900, "width_mm": 1200, "height_mm": 1100},
            {"wall": 1, "from_left_mm": 4000, "sill_mm": 0, "width_mm": 870, "height_mm": 2000},
            {"wall": 2, "name": "W3", "from_left_mm": 300, "sill_mm": 600, "width_mm": 500, "height_mm": 700, "storey": 2},
            {"wall": 2, "name": "D9", "from_left_mm": 1500, "sill_mm": 0, "width_mm": 900, "height_mm": 2000, "kind": "door"},
        ],
    }
}  # fmt: skip
FLOORS = (0.0, 2700.0, 5300.0)


def refused(do: Callable[[], object]) -> str:
    with pytest.raises(UsageError) as told:
        do()
    (words,) = map(str, told.value.faults)
    return words


def test_a_place_on_steps_of_ten_is_one_step_large_at_least_and_not_left_of_its_wall() -> None:
    assert Place(1004.9, 896.0, 1197.0, 1203.0).stepped() == Place(1000, 900, 1200, 1200)
    assert Place(-30.0, -30.0, 4.0, 3.0).stepped() == Place(0, -30, 10, 10)
    assert Place.of({"x": "1", "y": 2, "w": 3.5, "h": 4}) == Place(1, 2, 3.5, 4)
    for sent in ({}, {"x": "wide", "y": 1, "w": 1, "h": 1}, {"x": None, "y": 1, "w": 1, "h": 1}, 7):
        assert refused(lambda sent=sent: Place.of(sent)) == "the drawing sent no place."


def test_what_is_typed_of_an_opening() -> None:
    assert [walls.floor_of({"storey": storey}, FLOORS) for storey in (None, 0, 1, 2, 3, 4, True, "2")] == [
        0, 0, 0, 2700, 5300, 0, 0, 0,
    ]  # fmt: skip
    assert walls.place_of(TREE["walls"]["openings"][2], FLOORS) == Place(300, 3300, 500, 700)
    rows = [{"sill_mm": 0.0}, {"sill_mm": 0.5}, {"sill_mm": -20}, {}, {"sill_mm": 900, "kind": "vent"}]
    assert [walls.kind_of(row) for row in rows] == ["door", "window", "door", "door", "vent"]
    assert [walls.mark_of(row, at) for at, row in enumerate(rows)] == ["D1", "W2", "D3", "D4", "W5"]
    assert [walls.number_of({"a": value}, "a", 7.0) for value in (3, 2.5, True, "3", None)] == [3, 2.5, 7, 7, 7]
    assert [repr(walls.tidy(value)) for value in (1200.0, 1200.4567, -0.5)] == ["1200", "1200.457", "-0.5"]


def test_the_next_mark_that_is_free() -> None:
    """W1, D2 (no name, second in the job), W3, D9 are taken."""
    assert [walls.next_name(TREE, kind) for kind in ("window", "door", "vent")] == ["W2", "D1", "W2"]
    full = {"walls": {"openings": [{"name": "W1"}, {"name": "W2"}]}}
    assert walls.next_name(full, "window") == "W3"
    assert walls.next_name({}, "door") == "D1"


@pytest.mark.parametrize(
    ("y", "sill", "storey"), [(2690, 2690, None), (2700, 0, 2), (3600, 900, 2), (5300, 0, 3), (-100, -100, None)]
)
def test_an_opening_is_on_the_storey_that_it_begins_on(y: float, sill: int, storey: int | None) -> None:
    row = {"wall": 3, "name": "W2", "from_left_mm": 500, "sill_mm": sill, "width_mm": 600, "height_mm": 700}
    row |= {"storey": storey} if storey else {}
    row |= {"kind": "window"} if sill <= 0 else {}
    assert walls.opening_added(TREE, 3, Place(500, y, 600, 700), "window", FLOORS) == Edit((*OPENINGS, 4), row)


def test_of_an_opening_that_is_moved_what_changed_by_more_than_half_a_millimetre() -> None:
    assert walls.opening_placed(TREE, 0, Place(1000.5, 900.6, 1199.4, 1100)) == (
        Edit((*OPENINGS, 0, "sill_mm"), 900.6), Edit((*OPENINGS, 0, "width_mm"), 1199.4),
    )  # fmt: skip
    assert walls.opening_placed(TREE, 2, Place(310, 3300, 500, 700), FLOORS) == (
        Edit((*OPENINGS, 2, "from_left_mm"), 310),
    )
    assert walls.opening_placed(TREE, 0, Place(1000, 0, 1200, 1100)) == (
        Edit((*OPENINGS, 0, "sill_mm"), 0), Edit((*OPENINGS, 0, "kind"), "window"),
    )  # fmt: skip
    assert walls.opening_placed(TREE, 3, Place(1500, 50, 900, 2000)) == (Edit((*OPENINGS, 3, "sill_mm"), 50),)
    assert walls.opening_placed({"walls": {"openings": [{}]}}, 0, Place(0, 0, 1, 1)) == tuple(
        Edit((*OPENINGS, 0, key), value)
        for key, value in (("from_left_mm", 0), ("sill_mm", 0), ("width_mm", 1), ("height_mm", 1))
    )
    for place in (Place(0, 0, 0, 5), Place(0, 0, 5, 0)):
        assert (
            refused(lambda place=place: walls.opening_placed(TREE, 0, place)) == "an opening has a width and a height."
        )


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("sill_mm", "-50", -50), ("width_mm", "1.2 m", 1200), ("wall", " 3 ", 3), ("storey", "", GONE), ("storey", "2", 2),
        ("kind", "", GONE), ("name", " Bay 1 ", "Bay 1"), ("wall", "999999", 999999),
    ],
)  # fmt: skip
def test_what_is_typed_into_the_table(key: str, text: str, value: object) -> None:
    assert walls.opening_set(TREE, 1, key, text) == Edit((*OPENINGS, 1, key), value)


@pytest.mark.parametrize(
    ("do", "words"),
    [
        (lambda: walls.opening_set(TREE, 0, "wall", ""), "an opening is on a wall: type its number."),
        (lambda: walls.opening_set(TREE, 0, "wall", "1000000"), "wall: type a whole number, as 2."),
        (lambda: walls.opening_set(TREE, 4, "name", "x"), "that opening is not in the job any more."),
        (lambda: walls.opening_out(TREE, -1), "that opening is not in the job any more."),
        (lambda: walls.opening_copied(TREE, 4, 1), "that opening is not in the job any more."),
        (lambda: walls.wall_numbers("4-x"), '"4-x" is no wall: type numbers, as 2, 4 or 4-6.'),
        (lambda: walls.wall_numbers("1234567890"), '"1234567890" is no wall: type numbers, as 2, 4 or 4-6.'),
        (lambda: walls.wall_numbers("6-4"), '"6-4" is no row of walls: type the lower number first, as 4-6.'),
        (lambda: walls.wall_numbers("1-502"), '"1-502" is no row of walls: type the lower number first, as 4-6.'),
        (lambda: walls.wall_numbers("y" * 30), f'"{"y" * 20}" is no wall: type numbers, as 2, 4 or 4-6.'),
        (lambda: walls.whole_number("2.5", "on_wall"), "on wall: type a whole number, as 2."),
        (lambda: walls.elevation_added({}, " ", "1", "1"), "a wall by itself has a name: type one, as north side."),
        (lambda: walls.storey_set(TREE, 0, "out", ""), "that storey is not in the job any more."),
        (
            lambda: walls.storey_added({"walls": {"height_mm": 0}}, "main"),
            "type the frame height of the walls first: a storey is as high, until you type another.",
        ),
        (lambda: zones.zone_set({}, 0, "walls", "1"), "that zone is not in the job any more."),
        (lambda: zones.zone_out({}, -1), "that zone is not in the job any more."),
        (
            lambda: zones.zone_set({"walls": {"zones": [{}]}}, 0, "direction", "z" * 30),
            f"{'z' * 20} is no way to clad: horizontal, vertical, sheets, none.",
        ),
        (lambda: zones.band_moved({"walls": {"zones": [{}]}}, 0, "walls", 1.0), "a band has a foot and a top."),
    ],
)
def test_what_cannot_be_is_told_whole(do: Callable[[], object], words: str) -> None:
    assert refused(do) == words


def test_copies() -> None:
    """On its own wall beyond the last, which ends at 4870, by its width, on a step: 6070; 870 wide from the door: 5740."""
    rows = TREE["walls"]["openings"]
    assert walls.opening_copied(TREE, 0, 1) == Edit((*OPENINGS, 4), {**rows[0], "name": "W2", "from_left_mm": 6070})
    assert walls.opening_copied(TREE, 1, 1) == Edit((*OPENINGS, 4), {**rows[1], "name": "D1", "from_left_mm": 5740})
    assert walls.opening_copied(TREE, 0, 2) == Edit((*OPENINGS, 4), {**rows[0], "name": "W2", "wall": 2})


def test_numbers_of_walls() -> None:
    assert walls.wall_numbers("2, 4-6,5 2") == [2, 4, 5, 6]
    assert walls.wall_numbers("3-3") == [3]
    assert len(walls.wall_numbers("1-501")) == 501
    assert walls.wall_numbers("123456789") == [123456789]
    assert walls.wall_numbers("") == []


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("height_mm", "2.4 m", 2400), ("ground_mm", "-300", -300), ("paved", "yes", True), ("gables", "no", False),
        ("wrap", "wall wrap", "wall wrap"), ("on_concrete", "1, 3", [1, 3]), ("stock_mm", "4800, 5.4 m 6000.4 mm", [4800, 5400, 6000]),
        ("wrap", " ", GONE), ("on_concrete", "", GONE),
    ],
)  # fmt: skip
def test_what_holds_for_all_walls(key: str, text: str, value: object) -> None:
    assert walls.walls_set(key, text) == Edit(("walls", key), value)


def test_walls_begun_and_walls_by_themselves() -> None:
    assert walls.walls_begun("2.55 m", "-0.3 m", "b") == Edit(
        ("walls",), {"height_mm": 2550, "ground_mm": -300, "zones": [{"direction": "horizontal", "board": "b"}]}
    )
    tree = {"walls": {"elevations": [{}]}}
    assert walls.elevation_added(tree, " north ", "3 m", "2410") == Edit(
        ("walls", "elevations", 1), {"name": "north", "width_mm": 3000, "height_mm": 2410}
    )


def test_ground_and_storeys() -> None:
    tree = {"walls": {"height_mm": 2400, "ground_by_wall": {2: [-300, -450.5], 3: [1], 4: [1, "x"]}}}
    assert [walls.ground_of(tree, wall) for wall in (1, 2, 3, 4)] == [None, (-300, -450.5), None, None]
    path = ("walls", "ground_by_wall")
    assert walls.ground_set(tree, 2, 0, "-200", -9.0) == Edit((*path, 2), [-200, -450.5])
    assert walls.ground_set(tree, 1, 1, "-200", -9.0) == Edit((*path, 1), [-9, -200])
    assert walls.ground_set(tree, 2, 0, " ", -9.0) == Edit((*path, 2), GONE)
    first = walls.storey_added(tree, "main")
    assert first == Edit(("walls", "storeys", 0), {"roof": "main", "floor_mm": 0, "height_mm": 2400})
    tree["walls"]["storeys"] = [{"roof": "main", "floor_mm": 100, "height_mm": 2500}, {"roof": "shed", "height_mm": 9}]
    assert walls.storey_added(tree, "main") == Edit(
        ("walls", "storeys", 2), {"roof": "main", "floor_mm": 2600, "height_mm": 2500}
    )
    at = ("walls", "storeys", 1)
    assert walls.storey_set(tree, 1, "roof", "main") == Edit((*at, "roof"), "main")
    assert walls.storey_set(tree, 1, "floor_mm", "-100") == Edit((*at, "floor_mm"), -100)
    assert walls.storey_set(tree, 1, "height_mm", "2.4 m") == Edit((*at, "height_mm"), 2400)
    assert walls.storey_set(tree, 1, "out", "") == Edit(at, GONE)
    assert "below nothing" in refused(lambda: walls.storey_set(tree, 1, "height_mm", "-1"))


# ---- zones

LEANING = ((500.0, -50.0), (6500.0, -50.0), (6500.0, 2310.0), (2000.0, 3800.0), (500.0, 2404.0))


def test_parts_of_a_wall_that_a_zone_begins_with() -> None:
    """Half of -50 to 3800 is 1875, written 1880; half of 6000 wide; the lower eave, 2310."""
    tree = {"walls": {"zones": [{}, {}]}}
    made = {part: zones.zone_added(tree, part, [1, 2], {"direction": "none"}, LEANING).value for part in zones.PARTS}
    assert made == {
        "the whole wall": {"walls": [1, 2], "direction": "none"},
        "a band": {"walls": [1, 2], "from_mm": 1880, "direction": "none"},
        "a width": {"walls": [1, 2], "from_left_mm": 0, "width_mm": 3000, "direction": "none"},
        "the gable triangle": {"walls": [1, 2], "from_mm": 2310, "direction": "none"},
    }
    assert zones.zone_added(tree, "a band", [], {}, ()) == Edit((*ZONES, 2), {})
    level = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 2400.0), (0.0, 2400.0))
    assert refused(lambda: zones.zone_added(tree, "the gable triangle", [], {}, level)) == (
        "this wall has no gable: its top is level."
    )


def test_a_gable_rises_more_than_a_millimetre_over_its_lower_eave() -> None:
    for top, foot in ((2401.0, None), (2401.5, 2400.0)):
        assert zones.gable_foot(((0.0, 0.0), (5000.0, 0.0), (5000.0, 2400.0), (2500.0, top), (0.0, 2400.0))) == foot
    # corners within a millimetre of an end stand at it
    assert zones.gable_foot(((0.0, 0.0), (5000.0, 0.0), (4999.5, 2500.0), (2500.0, 3000.0), (0.9, 2400.0))) == 2400


@pytest.mark.parametrize(
    ("row", "key", "text", "edits"),
    [
        ({}, "walls", "2-3", [("walls", [2, 3])]), ({}, "walls", "", [("walls", GONE)]),
        ({}, "from_mm", "-1.5 m", [("from_mm", -1500)]), ({}, "break_mm", " ", [("break_mm", GONE)]),
        ({}, "product", "b", [("board", "b")]), ({"direction": "sheets"}, "product", "p", [("profile", "p")]),
        ({}, "even_coursing", "yes", [("even_coursing", True)]), ({}, "even_coursing", "no", [("even_coursing", False)]),
        ({}, "even_coursing", "", [("even_coursing", GONE)]), ({}, "says", " x ", [("says", "x")]), ({}, "says", " ", [("says", GONE)]),
        (
            {"board": "b", "even_coursing": True, "break_mm": 9}, "direction", "sheets",
            [("direction", "sheets"), ("board", GONE), ("even_coursing", GONE), ("break_mm", GONE)],
        ),
        ({"profile": "p", "break_mm": 9}, "direction", "vertical", [("direction", "vertical"), ("profile", GONE)]),
        ({"board": "b", "even_coursing": True}, "direction", "vertical", [("direction", "vertical"), ("even_coursing", GONE)]),
        ({"profile": "p", "board": "b"}, "direction", "none", [("direction", "none"), ("board", GONE), ("profile", GONE)]),
        ({"board": "b", "even_coursing": True, "break_mm": 9}, "direction", "horizontal", [("direction", "horizontal"), ("break_mm", GONE)]),
    ],
)  # fmt: skip
def test_what_is_set_of_a_zone(row: dict[str, Any], key: str, text: str, edits: list[tuple[str, object]]) -> None:
    tree = {"walls": {"zones": [{}, row]}}
    assert zones.zone_set(tree, 1, key, text) == tuple(Edit((*ZONES, 1, name), value) for name, value in edits)


def test_boards_by_their_sizes_and_what_clads() -> None:
    tree = {"walls": {"zones": [{}]}}
    assert zones.zone_set(tree, 0, "board cover_mm", "135") == (Edit((*ZONES, 0, "board", "cover_mm"), 135),)
    own = {"width_mm": 150, "cover_mm": 135}
    assert zones.board_given(tree, 0, "150", "135") == Edit((*ZONES, 0, "board"), own)
    assert zones.board_given(tree, 0, "150", "135", "shiplap") == Edit((*ZONES, 0, "board"), own | {"kind": "shiplap"})
    assert zones.clad_with("none", "x") == {"direction": "none"}
    assert zones.clad_with("sheets", "x") == {"direction": "sheets", "profile": "x"}
    assert zones.clad_with("vertical", "x") == {"direction": "vertical", "board": "x"}


def test_a_band_is_ten_millimetres_high_at_least() -> None:
    tree = {"walls": {"zones": [{"from_mm": 1000, "to_mm": 2000}, {"from_mm": 1000}]}}
    assert zones.band_moved(tree, 0, "from_mm", 1994.0).value == 1990
    assert zones.band_moved(tree, 0, "to_mm", 1006.0).value == 1010
    assert zones.band_moved(tree, 1, "from_mm", 9000.0).value == 9000
    for key, height in (("from_mm", 1996.0), ("to_mm", 1004.0)):
        assert refused(lambda key=key, height=height: zones.band_moved(tree, 0, key, height)) == (
            "a band begins below its top."
        )
