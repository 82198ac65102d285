"""What the walls panel does to a job: arithmetic by hand on a wall of 8000 x 2400."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit, edited_value
from takeoff.read.job.job_file import parse_job
from takeoff.web import wall_edits as walls
from takeoff.web.wall_edits import Place
from takeoff.web.zone_edits import (
    band_moved,
    board_given,
    clad_with,
    gable_foot,
    zone_added,
    zone_moved,
    zone_out,
    zone_set,
)
from takeoff.write.job_text.edits import edited_text

HOUSE = """job: House   # ours
roofs:
  - wall_line: [[0, 0], [8000, 0], [8000, 6000], [0, 6000]]
    pitch_deg: 25
    fascia_height_mm: 2400
walls:
  height_mm: 2400
  ground_mm: -300
  zones:
    - {board: bevel_187}
  openings:   # front first
    - {wall: 1, name: W1, from_left_mm: 1000, sill_mm: 900, width_mm: 1200, height_mm: 1200}
    - {wall: 1, from_left_mm: 4000, sill_mm: 0, width_mm: 900, height_mm: 2000}
"""
LEVEL = ((0.0, -50.0), (8000.0, -50.0), (8000.0, 2400.0), (0.0, 2400.0))
GABLE = ((0.0, -50.0), (6000.0, -50.0), (6000.0, 2400.0), (3000.0, 3800.0), (0.0, 2400.0))


def tree_of(text: str = HOUSE) -> object:
    from takeoff.read.job.yaml_tree import read_yaml

    return read_yaml(text).value


def test_an_opening_that_is_drawn_falls_on_steps_and_takes_the_next_name() -> None:
    edit = walls.opening_added(tree_of(), 2, Place(1503.2, 896.0, 1197.0, 1204.0), "window")
    text = edited_text(HOUSE, [edit])
    added = parse_job(text, "job.yaml").walls
    assert added is not None
    last = added.openings[-1]
    assert (last.wall, last.name, last.from_left_mm, last.sill_mm) == (2, "W2", 1500.0, 900.0)
    assert (last.width_mm, last.height_mm, last.kind) == (1200.0, 1200.0, None)
    assert text.startswith(HOUSE.rstrip("\n")), "nothing else is touched"


def test_a_window_down_to_the_floor_says_that_it_is_one() -> None:
    edit = walls.opening_added(tree_of(), 2, Place(100.0, 0.0, 1800.0, 2100.0), "window")
    assert edit.value == {
        "wall": 2, "name": "W2", "from_left_mm": 100, "sill_mm": 0, "width_mm": 1800, "height_mm": 2100,
        "kind": "window",
    }  # fmt: skip


def test_an_opening_of_the_upper_storey_counts_its_sill_from_there() -> None:
    edit = walls.opening_added({}, 1, Place(0.0, 3600.0, 900.0, 900.0), "window", (0.0, 2700.0))
    assert isinstance(edit.value, dict)
    assert (edit.value["sill_mm"], edit.value["storey"]) == (900, 2)
    assert edited_value({}, [edit]) == {"walls": {"openings": [edit.value]}}


def test_moving_changes_the_figures_that_moved_and_keeps_the_comments() -> None:
    edits = walls.opening_placed(tree_of(), 0, Place(1010.0, 900.0, 1200.0, 1200.0))
    assert edits == (Edit(("walls", "openings", 0, "from_left_mm"), 1010),)
    changed = [a for a, b in zip(HOUSE.splitlines(), edited_text(HOUSE, edits).splitlines(), strict=True) if a != b]
    assert len(changed) == 1
    assert "W1" in changed[0]


def test_a_door_lifted_off_the_floor_stays_a_door() -> None:
    edits = walls.opening_placed(tree_of(), 1, Place(4000.0, 50.0, 900.0, 2000.0))
    assert Edit(("walls", "openings", 1, "kind"), "door") in edits


@pytest.mark.parametrize(("typed", "written"), [("1.8 m", 1800), ("1800", 1800), ("1805,5", None), ("1,8", 1800)])
def test_sizes_are_typed_in_the_trades_way(typed: str, written: int | None) -> None:
    edit = walls.opening_set(tree_of(), 0, "width_mm", typed)
    assert edit.value == (1805.5 if written is None else written)


def test_what_cannot_be_read_is_said() -> None:
    for key, text in (("width_mm", "wide"), ("wall", "two"), ("wall", ""), ("height_mm", "-3")):
        with pytest.raises(UsageError):
            walls.opening_set(tree_of(), 0, key, text)
    with pytest.raises(UsageError):
        walls.opening_out(tree_of(), 7)
    with pytest.raises(UsageError):
        Place.of({"x": "wide"})


def test_a_name_that_is_emptied_goes() -> None:
    assert walls.opening_set(tree_of(), 0, "name", " ") == Edit(("walls", "openings", 0, "name"), GONE)


def test_a_copy_stands_beside_the_last_or_at_the_same_place_of_another_wall() -> None:
    here = walls.opening_copied(tree_of(), 0, 1)
    there = walls.opening_copied(tree_of(), 0, 3)
    assert isinstance(here.value, dict)
    assert isinstance(there.value, dict)
    assert here.value["from_left_mm"] == 4000 + 900 + 1200
    assert (there.value["wall"], there.value["from_left_mm"], there.value["name"]) == (3, 1000, "W2")


def test_walls_are_begun_with_height_ground_and_board() -> None:
    bare = HOUSE[: HOUSE.index("walls:")]
    text = edited_text(bare, [walls.walls_begun("2.4 m", "-300", "bevel_187")])
    job = parse_job(text, "job.yaml")
    assert job.walls is not None
    assert (job.walls.height_mm, job.walls.ground_mm, job.walls.zones[0].board) == (2400.0, -300.0, "bevel_187")


def test_what_holds_for_all_walls_is_set_and_taken_out() -> None:
    assert walls.walls_set("stud_mm", "400") == Edit(("walls", "stud_mm"), 400)
    assert walls.walls_set("stud_mm", "") == Edit(("walls", "stud_mm"), GONE)
    assert walls.walls_set("paved", "yes") == Edit(("walls", "paved"), True)


def test_zones_are_added_in_every_form_and_the_job_stands() -> None:
    boards, sheets = clad_with("vertical", "bevel_187"), clad_with("sheets", "corrugated")
    tree = tree_of()
    assert zone_added(tree, "the whole wall", [2], sheets, LEVEL).value == {"walls": [2], **sheets}
    assert zone_added(tree, "a band", [1], sheets, LEVEL).value == {"walls": [1], "from_mm": 1180, **sheets}
    assert zone_added(tree, "a width", [1], boards, LEVEL).value == {
        "walls": [1], "from_left_mm": 0, "width_mm": 4000, **boards,
    }  # fmt: skip
    assert zone_added(tree, "the gable triangle", [2], sheets, GABLE).value == {"walls": [2], "from_mm": 2400, **sheets}
    with pytest.raises(UsageError, match="no gable"):
        zone_added(tree, "the gable triangle", [1], sheets, LEVEL)
    text = edited_text(HOUSE, [zone_added(tree, "a band", [1], sheets, LEVEL)])
    job = parse_job(text, "job.yaml")
    assert job.walls is not None
    assert job.walls.zones[1].profile == "corrugated"


def test_a_gable_begins_at_the_lower_eave() -> None:
    assert gable_foot(GABLE) == 2400.0
    assert gable_foot(LEVEL) is None
    assert gable_foot(((0.0, 0.0), (5000.0, 0.0), (5000.0, 3000.0), (0.0, 2400.0))) == 2400.0


def test_a_zone_that_is_turned_loses_what_the_other_way_had() -> None:
    tree = {"walls": {"zones": [{"direction": "horizontal", "board": "bevel_187", "even_coursing": True}]}}
    now = edited_value(tree, zone_set(tree, 0, "direction", "sheets"))
    assert now == {"walls": {"zones": [{"direction": "sheets"}]}}
    done = edited_value(now, zone_set(now, 0, "product", "corrugated"))
    assert done == {"walls": {"zones": [{"direction": "sheets", "profile": "corrugated"}]}}


def test_a_band_is_drawn_higher_and_never_over_its_own_top() -> None:
    tree = {"walls": {"zones": [{"from_mm": 1000, "to_mm": 2000}]}}
    assert band_moved(tree, 0, "from_mm", 1204.0) == Edit(("walls", "zones", 0, "from_mm"), 1200)
    with pytest.raises(UsageError):
        band_moved(tree, 0, "from_mm", 2004.0)
    with pytest.raises(UsageError):
        band_moved(tree, 0, "to_mm", 900.0)


def test_zones_are_ordered_and_taken_out() -> None:
    tree = {"walls": {"zones": [{"walls": [1]}, {"walls": [2]}, {"walls": [3]}]}}
    swapped = edited_value(tree, zone_moved(tree, 0, 1))
    assert swapped == {"walls": {"zones": [{"walls": [2]}, {"walls": [1]}, {"walls": [3]}]}}
    assert edited_value(tree, zone_moved(tree, 1, 1)) == {
        "walls": {"zones": [{"walls": [1]}, {"walls": [3]}, {"walls": [2]}]}
    }
    assert edited_value(tree, zone_moved(tree, 2, -1)) == edited_value(tree, zone_moved(tree, 1, 1))
    assert zone_moved(tree, 0, -1) == ()
    assert edited_value(tree, [zone_out(tree, 1)]) == {"walls": {"zones": [{"walls": [1]}, {"walls": [3]}]}}


def test_a_board_of_ones_own_is_given_by_width_and_cover() -> None:
    tree = {"walls": {"zones": [{}]}}
    assert board_given(tree, 0, "150", "0.135 m").value == {"width_mm": 150, "cover_mm": 135}


def test_walls_are_named_by_number() -> None:
    assert walls.wall_numbers("2, 4 6-8") == [2, 4, 6, 7, 8]
    for text in ("x", "4-2", "1-99999"):
        with pytest.raises(UsageError):
            walls.wall_numbers(text)


def test_the_ground_of_one_wall_is_typed_end_by_end() -> None:
    first = walls.ground_set(tree_of(), 2, 1, "-0.6 m", -300.0)
    assert first == Edit(("walls", "ground_by_wall", 2), [-300, -600])
    text = edited_text(HOUSE, [first])
    job = parse_job(text, "job.yaml")
    assert job.walls is not None
    assert job.walls.ground_by_wall == {2: (-300.0, -600.0)}
    assert walls.ground_of(tree_of(text), 2) == (-300.0, -600.0)
    assert walls.ground_of(tree_of(), 2) is None
    gone = edited_text(text, [walls.ground_set(tree_of(text), 2, 0, "", -300.0)])
    assert parse_job(gone, "job.yaml").walls == parse_job(HOUSE, "job.yaml").walls


def test_storeys_stand_on_each_other_and_are_typed_over() -> None:
    tree: object = {"walls": {"height_mm": 2400}}
    tree = edited_value(tree, [walls.storey_added(tree, "main")])
    tree = edited_value(tree, [walls.storey_added(tree, "main")])
    storeys = [row["floor_mm"] for row in walls.rows_of(tree, "storeys")]
    assert storeys == [0, 2400]
    tree = edited_value(
        tree, [walls.storey_set(tree, 1, "floor_mm", "2.7 m"), walls.storey_set(tree, 1, "height_mm", "2350")]
    )
    assert walls.rows_of(tree, "storeys")[1] == {"roof": "main", "floor_mm": 2700, "height_mm": 2350}
    tree = edited_value(tree, [walls.storey_set(tree, 0, "out", "")])
    assert len(walls.rows_of(tree, "storeys")) == 1
    with pytest.raises(UsageError, match="height"):
        walls.storey_added({"walls": {}}, "main")


def test_lengths_and_walls_in_a_row_are_lists() -> None:
    assert walls.walls_set("stock_mm", "4800, 5.4 m 6000").value == [4800, 5400, 6000]
    assert walls.walls_set("on_concrete", "1-3").value == [1, 2, 3]
