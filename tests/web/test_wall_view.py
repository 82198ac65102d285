"""What the elevation shows is what is typed and what is ordered: counted on a house of our own."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run_file, run_text
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.web.wall_view import (
    band_data,
    clad_words,
    given_data,
    on_wall,
    opening_data,
    opening_places,
    wall_data,
    wall_line,
    wall_named,
)

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
JOB = """job: House
roofs:
  - wall_line: [[0, 0], [8000, 0], [8000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    verge_overhang_mm: 450
    pitch_deg: 25
    fascia_height_mm: 2400
    edges: {2: {kind: gable}, 4: {kind: gable}}
walls:
  height_mm: 2400
  ground_mm: -300
  zones:
    - {board: bevel_187}
    - {walls: [2], from_mm: 2400, direction: sheets, profile: corrugated}
    - {walls: [3], direction: none}
  openings:
    - {wall: 1, name: W1, from_left_mm: 1000, sill_mm: 900, width_mm: 1200, height_mm: 1200}
    - {wall: 1, from_left_mm: 4000, sill_mm: 0, width_mm: 900, height_mm: 2000}
"""
TREE = read_yaml(JOB).value


@pytest.fixture(scope="module")
def house() -> Takeoff:
    return run_text(JOB, Path("job.yaml"))


def test_the_drawing_has_every_board_of_the_order_and_says_what_is_cut(house: Takeoff) -> None:
    wall = house.elevations[0]
    data = wall_data(wall, house, True)
    pieces = [piece for zone in house.cladding.boards if zone.wall == 1 for piece in zone.pieces]
    assert [board["mark"] for board in data["boards"]] == [piece.id for piece in pieces]
    assert all("cut" in board["words"] for board in data["boards"])
    assert data["outline"][:2] == [pytest.approx(wall.outline_xy[0][0]), pytest.approx(wall.outline_xy[0][1])]
    assert data["ground"] == [-300.0, -300.0]
    assert len(data["lines"]) == sum(1 for one in house.cladding.junctions for number, _ in one.lines if number == 1)


def test_boards_of_an_older_text_are_shown_as_such_and_only_on_the_same_wall(house: Takeoff) -> None:
    wider = run_text(JOB.replace("8000", "9000"), Path("job.yaml"), Stage.SHAPE).elevations
    assert wall_data(wider[0], house, False)["boards"] == []
    assert wall_data(wider[1], house, False)["boards"], "the gable is as it was"
    assert wall_data(house.elevations[0], house, False)["old"] is True


def test_openings_are_as_typed_with_the_places_they_have_in_the_job(house: Takeoff) -> None:
    found = opening_data(TREE, house.elevations[0])
    assert [(one["at"], one["mark"], one["kind"], one["y"], one["given"]) for one in found] == [
        (0, "W1", "window", 900.0, False),
        (1, "D2", "door", 0.0, False),
    ]
    # the marks are those of the drawings
    assert [one["mark"] for one in found] == [opening.name for opening in house.elevations[0].openings]
    assert opening_places(TREE, "D2") == [1]
    assert given_data(TREE, house.elevations[0]) == []


def test_openings_of_a_drawing_are_shown_and_stand_there() -> None:
    job = SAMPLES / "drawn_plan" / "job.yaml"
    wall = run_file(job, Stage.SHAPE).elevations[0]
    tree = read_yaml(job.read_text(encoding="utf-8")).value
    given = given_data(tree, wall)
    assert len(given) == len(wall.openings) > 0
    assert all(one["at"] < 0 and one["given"] for one in given)
    assert opening_data(tree, wall) == []


def test_bands_and_zones_are_told_of_their_walls(house: Takeoff) -> None:
    assert [band["name"] for band in band_data(TREE, house.elevations[1])] == ["zone 2"]
    assert band_data(TREE, house.elevations[0]) == []
    assert [on_wall(TREE, 0, number) for number in (1, 2, 3, 4)] == [True, True, False, True]
    assert [on_wall(TREE, 1, number) for number in (1, 2)] == [False, True]
    every = {"walls": {"zones": [{"walls": [1], "board": "b"}, {"from_mm": 2000, "board": "c"}, {"board": "d"}]}}
    assert [on_wall(every, 1, number) for number in (1, 2)] == [True, True], "a part without walls is of every wall"
    assert [on_wall(every, 2, number) for number in (1, 2)] == [False, True], "the whole of what is left"
    assert clad_words({"direction": "none"}) == "left out"
    assert clad_words({"board": {"width_mm": 150, "cover_mm": 135}}) == "horizontal, board 150, cover 135"


def test_a_wall_is_found_by_its_mark_or_that_of_a_board(house: Takeoff) -> None:
    board = house.cladding.boards[0].pieces[0]
    assert wall_named(house, "wall 2") == house.elevations[1]
    assert wall_named(house, board.id) == next(wall for wall in house.elevations if wall.wall == board.wall)
    assert wall_named(house, "P1") is None
    assert wall_named(None, "wall 2") is None
    assert wall_line(house.elevations[0]) == "wall 1: 8000 mm, faces south"
