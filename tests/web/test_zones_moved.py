"""A zone that is moved up or down the list takes its comments with it; every other line stays as it is."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import UsageError
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.web.zone_edits import zone_moved_text
from takeoff.write.job_text.entries_moved import neighbours_swapped

ZONES = """\
walls:
  # all of them
  height_mm: 2400
  zones:
    # the usual board
    # as on the drawings
    - board: bevel_187  # asked on site
      from_mm: 0

    - {walls: [2], direction: none}  # the garage
    # last
    - walls: [3]
      direction: vertical
job: Hut
"""
FIRST_TWO = """\
walls:
  # all of them
  height_mm: 2400
  zones:
    - {walls: [2], direction: none}  # the garage
    # the usual board
    # as on the drawings
    - board: bevel_187  # asked on site
      from_mm: 0

    # last
    - walls: [3]
      direction: vertical
job: Hut
"""
LAST_TWO = """\
walls:
  # all of them
  height_mm: 2400
  zones:
    # the usual board
    # as on the drawings
    - board: bevel_187  # asked on site
      from_mm: 0

    # last
    - walls: [3]
      direction: vertical
    - {walls: [2], direction: none}  # the garage
job: Hut
"""


def moved(text: str, at: int, by: int) -> str:
    return zone_moved_text(text, read_yaml(text).value, at, by)


def test_comments_go_with_their_zone() -> None:
    assert moved(ZONES, 0, 1) == FIRST_TWO
    assert moved(ZONES, 1, -1) == FIRST_TWO
    assert moved(ZONES, 1, 1) == LAST_TWO
    assert moved(ZONES, 2, -1) == LAST_TWO
    assert moved(moved(ZONES, 1, 1), 2, -1) == ZONES


def test_at_the_ends_of_the_list_nothing_moves() -> None:
    assert moved(ZONES, 0, -1) == ZONES
    assert moved(ZONES, 2, 1) == ZONES
    with pytest.raises(UsageError):
        moved(ZONES, 3, -1)


def test_a_file_without_a_last_line_end_and_one_of_another_system() -> None:
    text = "walls:\n  zones:\n    - {walls: [1]}\n    - {walls: [2]} # two"
    assert moved(text, 1, -1) == "walls:\n  zones:\n    - {walls: [2]} # two\n    - {walls: [1]}"
    text = "walls:\r\n  zones:\r\n    # one\r\n    - {walls: [1]}\r\n    # two\r\n    - {walls: [2]}\r\n"
    assert (
        moved(text, 0, 1)
        == "walls:\r\n  zones:\r\n    # two\r\n    - {walls: [2]}\r\n    # one\r\n    - {walls: [1]}\r\n"
    )


def test_a_list_on_one_line_is_moved_by_its_values() -> None:
    text = "walls: {zones: [{walls: [1]}, {walls: [2]}]}  # both\n"
    assert neighbours_swapped(text, ("walls", "zones"), 0) is None
    assert moved(text, 0, 1) == "walls: {zones: [{walls: [2]}, {walls: [1]}]}  # both\n"


def test_what_is_no_list_of_lines_is_left() -> None:
    for text, path, first in (
        (ZONES, ("walls", "zones"), 2), (ZONES, ("walls", "zones"), -1), (ZONES, ("walls",), 0),
        (ZONES, ("walls", "none"), 0), ("a: [", ("a",), 0),
    ):  # fmt: skip
        assert neighbours_swapped(text, path, first) is None
