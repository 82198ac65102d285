"""What goes by the number of a side keeps it: every figure by hand, each limit met exactly and just passed.

The sides are 8000, 10000, 8000, 10000 round the house and 3000, 4000, 5000 round a courtyard.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from takeoff.web.numbers_kept import (
    Piece,
    Renumbering,
    corner_gone,
    roof_renumbered,
    side_parted,
    walls_renumbered,
    whole_sides,
)

FOUR = [8000.0, 10000.0, 8000.0, 10000.0]
SEVEN = [*FOUR, 3000.0, 4000.0, 5000.0]
# a corner put in 3000 from the start of side 2
PARTED = side_parted(1, 3000.0, FOUR)
TURNED = replace(PARTED, from_end=frozenset({2}))
# the corner between the courtyard's first side and its second taken out: 5 and 6 are one, 6500 long
JOINED = corner_gone(5, 4, 3, SEVEN, 6500.0)


def test_sides_that_are_whole_old_ones_or_new() -> None:
    assert whole_sides([2, None, 0], [100.0, 200.0, 300.0], [300.0, 50.0, 100.0]) == Renumbering(
        {3: (Piece(1, 0.0, 300.0, 0.0),), 1: (Piece(3, 0.0, 100.0, 0.0),)},
        {1: 100.0, 2: 200.0, 3: 300.0}, {1: 300.0, 2: 50.0, 3: 100.0}, frozenset(),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("k", "numbers", "now"),
    [
        (0, {1: (1, 2), 2: (3,), 3: (4,), 4: (5,)}, [3000, 5000, 10000, 8000, 10000]),
        (1, {1: (1,), 2: (2, 3), 3: (4,), 4: (5,)}, [8000, 3000, 7000, 8000, 10000]),
        (3, {1: (1,), 2: (2,), 3: (3,), 4: (4, 5)}, [8000, 10000, 8000, 3000, 7000]),
    ],
)
def test_a_side_that_is_parted_is_two_and_those_after_it_go_one_on(
    k: int, numbers: dict[int, tuple[int, ...]], now: list[float]
) -> None:
    parted = side_parted(k, 3000.0, FOUR)
    pieces = {
        old: (Piece(new[0], 0.0, FOUR[old - 1]),)
        if len(new) == 1
        else (Piece(new[0], 0.0, 3000.0), Piece(new[1], 3000.0, FOUR[old - 1]))
        for old, new in numbers.items()
    }
    assert parted == Renumbering(pieces, dict(enumerate(FOUR, 1)), dict(enumerate(now, 1)))
    assert {old: parted.new(old) for old in (1, 2, 3, 4)} == numbers
    assert not any(map(parted.joined, range(6)))
    assert (parted.new(0), parted.new(5)) == ((), ())


def test_a_corner_taken_out_joins_the_side_after_it_to_the_one_before() -> None:
    assert Renumbering(
        {
            1: (Piece(1, 0, 8000),), 2: (Piece(2, 0, 10000),), 3: (Piece(3, 0, 8000),), 4: (Piece(4, 0, 10000),),
            5: (Piece(5, 0, 3000),), 6: (Piece(5, 0, 4000, 3000),), 7: (Piece(6, 0, 5000),),
        },
        dict(enumerate(SEVEN, 1)), {1: 8000, 2: 10000, 3: 8000, 4: 10000, 5: 6500, 6: 5000},
    ) == JOINED  # fmt: skip
    assert [JOINED.joined(n) for n in range(1, 8)] == [False] * 5 + [True, False]


def test_the_first_corner_of_a_ring_lies_between_its_last_side_and_its_first() -> None:
    """Of the courtyard: 7 and 5 are one under the number of 7, which is 6 now; of the house: 4 and 1 under that of 4, now
    3."""
    found = corner_gone(4, 4, 3, SEVEN, 7200.0)
    assert {old: pieces[0] for old, pieces in found.pieces.items() if old > 4} == {
        5: Piece(6, 0, 3000, 5000), 6: Piece(5, 0, 4000), 7: Piece(6, 0, 5000),
    }  # fmt: skip
    assert found.now_mm == {1: 8000, 2: 10000, 3: 8000, 4: 10000, 5: 4000, 6: 7200}
    found = corner_gone(0, 0, 4, SEVEN, 12800.0)
    assert [found.pieces[old][0] for old in range(1, 8)] == [
        Piece(3, 0, 8000, 10000), Piece(1, 0, 10000), Piece(2, 0, 8000), Piece(3, 0, 10000),
        Piece(4, 0, 3000), Piece(5, 0, 4000), Piece(6, 0, 5000),
    ]  # fmt: skip
    assert found.now_mm == {1: 10000, 2: 8000, 3: 12800, 4: 3000, 5: 4000, 6: 5000}


@pytest.mark.parametrize(
    ("how", "old", "left", "width", "there"),
    [
        # by its middle: 2450 and 3000 lie on the first 3000, 3000.5 does not
        (PARTED, 2, 2000, 900, (2, 2000)), (PARTED, 2, 2600, 800, (2, 2600)), (PARTED, 2, 2600, 801, (3, 0)),
        (PARTED, 2, 5000.126, 900, (3, 2000.13)), (PARTED, 2, 9800, 900, (3, 6800)), (PARTED, 1, 500, 900, (1, 500)),
        (PARTED, 3, 500, 900, (4, 500)), (PARTED, 5, 500, 900, None),
        # from the end: 10000 - 2000 - 900 = 7100 from the start, 4100 on the second, 7000 - 4100 - 900 = 2000 from its end
        (TURNED, 2, 2000, 900, (3, 2000)), (TURNED, 2, 7500, 900, (2, 500)), (TURNED, 2, 6500, 1000, (2, 0)),
        (TURNED, 2, 6490, 1000, (3, 6490)), (TURNED, 1, 500, 900, (1, 500)),
        # the second of two that are one lies 3000 on
        (JOINED, 6, 500, 900, (5, 3500)), (JOINED, 5, 500, 900, (5, 500)), (JOINED, 7, 500, 900, (6, 500)),
        # 4000 - 500 - 900 = 2600 from the start of 6, 5600 from that of 5, whose end is 6500 from there: 0 left
        (replace(JOINED, from_end=frozenset({6})), 6, 500, 900, (5, 0)),
        (replace(JOINED, from_end=frozenset({6})), 6, 1500, 900, (5, 1000)),
    ],
)  # fmt: skip
def test_what_lies_on_a_side_is_found_by_its_middle_from_its_left_end(
    how: Renumbering, old: int, left: float, width: float, there: tuple[int, float] | None
) -> None:
    assert how.placed(old, left, width) == there


def test_a_roof_keeps_what_is_said_of_its_edges() -> None:
    roof = {
        "name": "main",
        "edges": {1: {"a": 1}, 2: {"b": 2}, 4: {"c": 3}, "x": 4, 9: 5},
        "no_spouting_on": [1, 2, "x", 4, 9],
        "rooflight_sheets": [
            {"edge": 2, "from_left_mm": 2000, "width_mm": 900}, {"edge": 2, "from_left_mm": 4000, "width_mm": 900},
            {"edge": 4, "from_left_mm": 700}, {"edge": 3}, {"edge": "2"}, "x", {"edge": 9, "from_left_mm": 1},
            {"edge": 2, "from_left_mm": True, "width_mm": True},
        ],
    }  # fmt: skip
    assert roof_renumbered(roof, PARTED) == {
        "name": "main",
        "edges": {1: {"a": 1}, 2: {"b": 2}, 3: {"b": 2}, 5: {"c": 3}, "x": 4},
        "no_spouting_on": [1, 2, 3, "x", 5],
        "rooflight_sheets": [
            {"edge": 2, "from_left_mm": 2000, "width_mm": 900}, {"edge": 3, "from_left_mm": 1000, "width_mm": 900},
            {"edge": 5, "from_left_mm": 700}, {"edge": 4}, {"edge": "2"}, "x",
            {"edge": 2, "from_left_mm": 0.0, "width_mm": True},
        ],
    }  # fmt: skip
    bare = {"edges": "no map", "no_spouting_on": 3, "rooflight_sheets": None}
    assert roof_renumbered(bare, PARTED) == bare


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ({5: "own", 6: "other"}, {5: "own"}), ({6: "other", 5: "own"}, {5: "own"}), ({6: "other"}, {5: "other"}),
        ({7: "next", 6: "other", 1: "first"}, {6: "next", 1: "first", 5: "other"}),
    ],
)  # fmt: skip
def test_of_two_sides_that_become_one_what_is_said_of_the_first_holds(
    said: dict[Any, Any], kept: dict[Any, Any]
) -> None:
    assert roof_renumbered({"edges": said}, JOINED) == {"edges": kept}


def test_a_yes_is_no_number() -> None:
    first = side_parted(0, 3000.0, FOUR)
    assert roof_renumbered({"no_spouting_on": [True, 2]}, first) == {"no_spouting_on": [True, 3]}
    assert roof_renumbered({"edges": {True: "said"}}, first) == {"edges": {True: "said"}}
    assert roof_renumbered({"rooflight_sheets": [{"edge": True}]}, corner_gone(1, 0, 4, FOUR, 1.0)) == {
        "rooflight_sheets": [{"edge": True}]
    }


def test_walls_before_the_outline_keep_their_numbers_and_those_beyond_it_go_on() -> None:
    """The outline has walls 5 to 8; 6 is parted into 6 and 7."""
    walls = {
        "height_mm": 2400,
        "openings": [
            {"wall": 4, "from_left_mm": 9000}, {"wall": 5, "from_left_mm": 100, "width_mm": 600},
            {"wall": 6, "from_left_mm": 2800, "width_mm": 900}, {"wall": 8, "from_left_mm": 1}, {"wall": 9, "sill_mm": 1},
            {"name": "none"}, {"wall": 6},
        ],
        "grounds": [{"wall": 6, "from_left_mm": 4000.0, "width_mm": 10}],
        "on_concrete": [4, 5, 6, 8, 9, "x"],
        "zones": [{"walls": [6, 9]}, {"board": "b"}, {"walls": []}, "x", {"walls": "all"}],
        "ground_by_wall": {4: [-1, -2], 5: [-10, -20], 6: [-300, -600], 8: [-5, -6], 9: [-7, -8], "x": 1, 7: "no", True: 3},
    }  # fmt: skip
    assert walls_renumbered(walls, 4, PARTED) == {
        "height_mm": 2400,
        "openings": [
            {"wall": 4, "from_left_mm": 9000}, {"wall": 5, "from_left_mm": 100, "width_mm": 600},
            {"wall": 7, "from_left_mm": 0.0, "width_mm": 900}, {"wall": 9, "from_left_mm": 1}, {"wall": 10, "sill_mm": 1},
            {"name": "none"}, {"wall": 6},
        ],
        "grounds": [{"wall": 7, "from_left_mm": 1000.0, "width_mm": 10}],
        "on_concrete": [4, 5, 6, 7, 9, 10, "x"],
        "zones": [{"walls": [6, 7, 10]}, {"board": "b"}, {"walls": []}, "x", {"walls": "all"}],
        # 3000 of 10000 down from -300 to -600: -390
        "ground_by_wall": {
            4: [-1, -2], 5: [-10, -20], 6: [-300, -390], 7: [-390, -600], 9: [-5, -6], 10: [-7, -8], "x": 1, True: 3, 8: "no",
        },
    }  # fmt: skip
    bare = {"openings": 1, "grounds": 2, "on_concrete": 3, "ground_by_wall": 4, "zones": 5}
    assert walls_renumbered(bare, 4, PARTED) == bare


def test_walls_that_are_gone_take_along_what_names_them_alone() -> None:
    """Of four sides the second is gone: walls 1, 3, 4 are 1, 2, 3 now; 5 is 4."""
    three = whole_sides([0, 2, 3], FOUR, [8000.0, 8000.0, 10000.0])
    walls = {
        "openings": [{"wall": 1}, {"wall": 2}, {"wall": 3, "from_left_mm": 5}, {"wall": 4}, {"wall": 5}],
        "on_concrete": [2, 4],
        "zones": [{"walls": [2]}, {"walls": [2, 3]}, {"walls": [5]}],
        "ground_by_wall": {2: [0, 0], 5: [-1, -2]},
    }
    assert walls_renumbered(walls, 0, three) == {
        "openings": [{"wall": 1}, {"wall": 2, "from_left_mm": 5}, {"wall": 3}, {"wall": 4}],
        "on_concrete": [3],
        "zones": [{"walls": [2]}, {"walls": [4]}],
        "ground_by_wall": {4: [-1, -2]},
    }


@pytest.mark.parametrize(
    ("how", "levels", "now"),
    [
        # from the end: it begins at -600 and ends at -300; 3000 on it is -510
        (TURNED, {2: [-300, -600]}, {2: [-510, -600], 3: [-300, -510]}),
        (PARTED, {2: [-300.0, -301.0]}, {2: [-300, -300.3], 3: [-300.3, -301]}),
        # a third of a millimetre a metre: 3000 on 10000 from 0 to -1.11111 is -0.333333
        (PARTED, {2: [0.0, -1.11111]}, {2: [0, -0.33], 3: [-0.33, -1.11]}),
        (JOINED, {6: [-200, -350], 5: [-100, -200]}, {5: [-100, -350]}),
        (JOINED, {6: [-200, -350]}, {5: [-200, -350]}),
        (JOINED, {5: [-100, -200]}, {5: [-100, -200]}),
        (replace(JOINED, from_end=frozenset({5, 6})), {5: [-100, -200], 6: [-350, -100]}, {5: [-350, -200]}),
        (PARTED, {2: [-300, True]}, {2: [-300, True], 3: [-300, True]}),
        (PARTED, {2: [-300]}, {2: [-300], 3: [-300]}),
        (PARTED, {2: [-1, -2, -3]}, {2: [-1, -2, -3], 3: [-1, -2, -3]}),
    ],
)  # fmt: skip
def test_ground_runs_straight_between_the_ends_of_a_wall(
    how: Renumbering, levels: dict[int, Any], now: dict[int, Any]
) -> None:
    found = walls_renumbered({"ground_by_wall": levels}, 0, how)["ground_by_wall"]
    assert found == now
    assert [type(each) for pair in found.values() for each in pair if each == int(each)] == [
        type(each) for pair in now.values() for each in pair if each == int(each)
    ]
