"""What a hand does on the plan: the edits, and that all that goes by a number goes with it. Worked by hand."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import Edit, edited_value
from takeoff.web import plan_edits


def house() -> dict[str, Any]:
    """12 x 8 m; a second roof with walls; a wall by itself: walls 1 to 4, 5 to 8, and 9."""
    return {
        "job": "Store",
        "roofs": [
            {
                "name": "main",
                "wall_line": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]],
                "edges": {2: {"kind": "gable"}, 3: {"pitch_deg": 30}},
                "no_spouting_on": [3],
                "rooflight_sheets": [{"edge": 3, "from_left_mm": 1000, "strips": 1}],
                "penetrations": [{"kind": "pipe", "at": [3000, 4000], "diameter_mm": 100}],
            },
            {"name": "shed", "wall_line": [[20000, 0], [23000, 0], [23000, 3000], [20000, 3000]], "edges": {1: {"kind": "gable"}}},
        ],
        "rainwater": {"none_on": [3, 4]},
        "walls": {
            "height_mm": 2400,
            "zones": [{"board": "bevel_187"}, {"walls": [3, 4, 5], "direction": "vertical"}, {"walls": [3], "direction": "none"}],
            "openings": [
                {"wall": 3, "name": "W1", "from_left_mm": 1000, "width_mm": 1800, "sill_mm": 900, "height_mm": 1200},
                {"wall": 3, "name": "W2", "from_left_mm": 9000, "width_mm": 1800, "sill_mm": 900, "height_mm": 1200},
                {"wall": 6, "name": "W3", "from_left_mm": 500, "width_mm": 900, "sill_mm": 900, "height_mm": 1200},
                {"wall": 9, "name": "W4", "from_left_mm": 500, "width_mm": 900, "sill_mm": 900, "height_mm": 1200},
            ],
            "ground_by_wall": {3: [-300, -450], 9: [-100, -100]},
            "on_concrete": [3, 4, 9],
            "grounds": [{"wall": 4, "level_mm": -100, "kind": "paved"}],
            "elevations": [{"name": "by itself", "width_mm": 3000, "height_mm": 2400}],
        },
    }  # fmt: skip


def done(tree: dict[str, Any], edits: tuple[Edit, ...]) -> Any:
    kept = copy.deepcopy(tree)
    now = edited_value(tree, edits)
    assert tree == kept
    return now


def places(tree: Any) -> dict[str, tuple[int, float]]:
    return {one["name"]: (one["wall"], one["from_left_mm"]) for one in tree["walls"]["openings"]}


def test_a_corner_set_to_a_place_changes_the_ring_alone() -> None:
    tree = house()
    edits = plan_edits.corner_to(tree, 0, 3, (12500, 8300))
    assert edits == (Edit(("roofs", 0, "wall_line"), [[0, 0], [12500, 0], [12500, 8300], [0, 8300]]),)


def test_an_edge_moved_by_what_is_square_to_it() -> None:
    now = done(house(), plan_edits.edge_by(house(), 0, 2, (250, 999)))
    assert now["roofs"][0]["wall_line"] == [[0, 0], [12250, 0], [12250, 8000], [0, 8000]]
    assert now["walls"] == house()["walls"]


def test_an_edge_made_so_long() -> None:
    now = done(house(), plan_edits.edge_length(house(), 0, 1, 12600))
    assert now["roofs"][0]["wall_line"] == [[0, 0], [12600, 0], [12600, 8000], [0, 8000]]


def test_a_corner_put_in_takes_every_number_along() -> None:
    """Edge 3, the north wall, runs from x = 12000 to 0; parted 5 m from its start. Seen from outside its left end is its
    start: W1 with its middle at 1.9 m stays on wall 3, W2 at 9.9 m goes to wall 4, 9000 - 5000 from its left end."""
    now = done(house(), plan_edits.corner_on(house(), 0, 3, 5000))
    main = now["roofs"][0]
    assert main["wall_line"] == [[0, 0], [12000, 0], [12000, 8000], [7000, 8000], [0, 8000]]
    assert main["edges"] == {2: {"kind": "gable"}, 3: {"pitch_deg": 30}, 4: {"pitch_deg": 30}}
    assert main["no_spouting_on"] == [3, 4]
    assert now["rainwater"]["none_on"] == [3, 4, 5]
    walls = now["walls"]
    assert places(now) == {"W1": (3, 1000), "W2": (4, 4000), "W3": (7, 500), "W4": (10, 500)}
    assert [zone.get("walls") for zone in walls["zones"]] == [None, [3, 4, 5, 6], [3, 4]]
    assert walls["ground_by_wall"] == {3: [-300, -362.5], 4: [-362.5, -450], 10: [-100, -100]}
    assert walls["on_concrete"] == [3, 4, 5, 10]
    assert walls["grounds"][0]["wall"] == 5
    assert main["rooflight_sheets"][0] == {"edge": 3, "from_left_mm": 1000, "strips": 1}
    assert now["roofs"][1] == house()["roofs"][1]


def test_on_a_clockwise_outline_the_left_end_is_the_end() -> None:
    tree = house()
    tree["roofs"][0]["wall_line"].reverse()  # edge 1 is the north wall from x = 0 to 12000, left end at x = 12000
    tree["walls"]["openings"] = [{"wall": 1, "name": "W1", "from_left_mm": 1000, "width_mm": 1800}]
    now = done(tree, plan_edits.corner_on(tree, 0, 1, 5000))
    assert now["roofs"][0]["wall_line"][:3] == [[0, 8000], [5000, 8000], [12000, 8000]]
    assert places(now) == {"W1": (2, 1000)}
    tree["walls"]["openings"][0]["from_left_mm"] = (
        8000  # from x = 4000 down to 2200: on the first part, which ends at 5000
    )
    now = done(tree, plan_edits.corner_on(tree, 0, 1, 5000))
    assert places(now) == {"W1": (1, 1000)}


def test_a_corner_taken_out_joins_two_walls() -> None:
    tree = done(house(), plan_edits.corner_on(house(), 0, 3, 5000))
    now = done(tree, plan_edits.corner_out(tree, 0, 4))
    assert now == house()


def test_the_first_corner_taken_out_joins_the_last_wall_and_the_first() -> None:
    """A house of five corners, the first on a straight south wall: walls 5 and 1 become one, the last."""
    tree = house()
    tree["roofs"] = [
        {
            "name": "main",
            "wall_line": [[6000, 0], [12000, 0], [12000, 8000], [0, 8000], [0, 0]],
            "edges": {1: {"pitch_deg": 20}, 5: {"pitch_deg": 35}},
        }
    ]
    tree["walls"] = {
        "openings": [
            {"wall": 1, "name": "W1", "from_left_mm": 500, "width_mm": 1000},
            {"wall": 5, "name": "W2", "from_left_mm": 500, "width_mm": 1000},
        ]
    }
    now = done(tree, plan_edits.corner_out(tree, 0, 1))
    assert now["roofs"][0]["wall_line"] == [[12000, 0], [12000, 8000], [0, 8000], [0, 0]]
    assert now["roofs"][0]["edges"] == {4: {"pitch_deg": 35}}
    assert places(now) == {"W1": (4, 6500), "W2": (4, 500)}


def test_a_part_of_a_wall_drawn_out_gets_a_wall_of_its_own() -> None:
    tree = done(house(), plan_edits.corner_on(house(), 0, 3, 5000))
    now = done(tree, plan_edits.edge_by(tree, 0, 3, (0, 3000)))
    assert now["roofs"][0]["wall_line"] == [[0, 0], [12000, 0], [12000, 11000], [7000, 11000], [7000, 8000], [0, 8000]]
    assert now["roofs"][0]["edges"] == {2: {"kind": "gable"}, 3: {"pitch_deg": 30}, 5: {"pitch_deg": 30}}
    assert places(now) == {"W1": (3, 1000), "W2": (5, 4000), "W3": (8, 500), "W4": (11, 500)}


def test_courtyards_are_numbered_on_and_seen_from_within() -> None:
    tree = house()
    tree["roofs"][0]["courtyards"] = [[[4000, 3000], [8000, 3000], [8000, 5000], [4000, 5000]]]
    tree["walls"] = {
        "openings": [
            {"wall": 5, "name": "W1", "from_left_mm": 500, "width_mm": 1000},
            {"wall": 9, "name": "W2", "from_left_mm": 1, "width_mm": 2},
        ]
    }
    now = done(tree, plan_edits.corner_on(tree, 0, 5, 1000))
    assert now["roofs"][0]["courtyards"] == [[[4000, 3000], [5000, 3000], [8000, 3000], [8000, 5000], [4000, 5000]]]
    # edge 5 runs east; from within the courtyard one looks south at it, its left end is in the east: W1 is from x = 7500 down
    assert places(now) == {"W1": (6, 500), "W2": (10, 1)}
    now = done(tree, plan_edits.edge_by(tree, 0, 5, (0, -100)))
    assert now["roofs"][0]["courtyards"][0][0] == [4000, 2900]


def test_a_new_roof_and_a_roof_taken_out_shift_the_walls_beyond() -> None:
    porch = {"name": "porch", "wall_line": [[0, 9000], [3000, 9000], [3000, 9900]]}
    now = done(house(), plan_edits.roof_added(house(), porch))
    assert now["roofs"][2] == porch
    assert places(now)["W3"] == (6, 500)
    assert places(now)["W4"] == (12, 500)
    now = done(house(), plan_edits.roof_gone(house(), 0))
    assert [roof["name"] for roof in now["roofs"]] == ["shed"]
    assert "none_on" not in now["rainwater"]
    assert places(now) == {"W3": (2, 500), "W4": (5, 500)}
    assert [zone.get("walls") for zone in now["walls"]["zones"]] == [None, [1]]
    empty = {"job": "New", "roofs": []}
    assert done(empty, plan_edits.roof_added(empty, porch))["roofs"] == [porch]


def test_a_roof_taken_out_is_named_nowhere_any_more() -> None:
    tree = house()
    tree["roofs"][0]["below"] = "shed"
    tree["walls"] |= {"roof": "shed", "storeys": [{"roof": "shed"}, {"roof": "main"}, {"roof": "shed"}]}
    now = done(tree, plan_edits.roof_gone(tree, 1))
    assert "below" not in now["roofs"][0]
    assert "roof" not in now["walls"]
    assert now["walls"]["storeys"] == [{"roof": "main"}]


def test_walls_of_one_roof_alone() -> None:
    tree = house()
    tree["walls"]["roof"] = "shed"
    now = done(tree, plan_edits.corner_on(tree, 0, 3, 5000))
    assert now["walls"] == tree["walls"]
    assert plan_edits.wall_of(tree, 1, 2) == 2
    assert plan_edits.wall_of(tree, 0, 2) == 0
    assert plan_edits.wall_of(house(), 1, 2) == 6
    assert plan_edits.edge_of_wall(house(), 6) == (1, 2)
    assert plan_edits.edge_of_wall(house(), 9) is None


def test_a_whole_roof_is_moved_with_its_holes() -> None:
    now = done(house(), plan_edits.roof_by(house(), 0, (100, -50)))
    assert now["roofs"][0]["wall_line"][0] == [100, -50]
    assert now["roofs"][0]["penetrations"][0]["at"] == [3100, 3950]
    assert now["roofs"][1] == house()["roofs"][1]


@pytest.mark.parametrize(
    "tree",
    [
        {},
        {"roofs": None},
        {"roofs": [{"shape": {"file": "a.obj"}}]},
        {"roofs": [{"outline": [[0, 0], ["x", 1], [2, 2]]}]},
    ],
)
def test_a_roof_that_cannot_be_drawn_says_so(tree: dict[str, Any]) -> None:
    with pytest.raises(UsageError, match="from a file"):
        plan_edits.corner_to(tree, 0, 1, (0, 0))
