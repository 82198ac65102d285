"""Rings on slopes, at their limits and out of true: every corner worked out by hand beside its case."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from takeoff.basics.errors import UsageError
from takeoff.web import rings

BOX = ((0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0))
# leaning to the right: 1 across for 2 up
LEANING = ((1000.0, 500.0), (7000.0, 500.0), (9000.0, 4500.0), (3000.0, 4500.0))
# a triangle 3-4-5 with a corner in the middle of its sloping side, 3x + 4y = 12000
SLOPING = ((0.0, 0.0), (4000.0, 0.0), (2000.0, 1500.0), (0.0, 3000.0))
FELL = "two corners would fall together: move less, or take a corner out."
CROSSED = "the outline would cross itself: move less."
INSIDE_OUT = "the outline would be turned inside out: move less."
FLAT = "an outline needs three corners or more that do not lie on one line: draw on, or give it up."


def test_a_coordinate_is_written_to_a_hundredth_and_never_as_minus_nothing() -> None:
    assert [repr(rings.tidy(value)) for value in (-0.0, -0.001, 12.346, 6200.004)] == ["0.0", "0.0", "12.35", "6200.0"]


def test_outward_is_square_to_a_side_and_out_of_the_ring_whichever_way_it_runs() -> None:
    """Of a box: down, right, up, left. Of the side from (4000, 0) to (0, 3000): (3000, 4000) / 5000."""
    ways = ["(0.0, -1.0)", "(1.0, 0.0)", "(0.0, 1.0)", "(-1.0, 0.0)"]
    assert [repr(rings.outward(BOX, k)) for k in range(4)] == ways
    round_the_other_way = tuple(reversed(BOX))  # its sides: up, right, down, left of the same box
    assert [repr(rings.outward(round_the_other_way, k)) for k in range(4)] == [ways[2], ways[1], ways[0], ways[3]]
    triangle = ((0.0, 0.0), (4000.0, 0.0), (0.0, 3000.0))
    assert rings.outward(triangle, 1) == pytest.approx((0.6, 0.8))
    assert rings.outward(tuple(reversed(triangle)), 0) == pytest.approx((0.6, 0.8))
    assert rings.outward(((0.0, 0.0), (0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0)), 0) == (0.0, -1.0)  # no length


def test_a_corner_of_leaning_sides_takes_them_along_in_their_directions() -> None:
    """Corner 2 to (10000, 5500): the top at y = 5500 meets the left side at 1000 + 5000/2 = 3500; the right side through
    it meets the foot at 10000 - 5000/2 = 7500. Corner 0 to (500, 700): the foot at y = 700 meets the right side at
    7000 + 200/2 = 7100; the left side through it meets the top at 500 + 3800/2 = 2400."""
    assert rings.corner_moved(LEANING, 2, (10000, 5500)) == ((1000, 500), (7500, 500), (10000, 5500), (3500, 5500))
    assert rings.corner_moved(LEANING, 0, (500, 700)) == ((500, 700), (7100, 700), (9000, 4500), (2400, 4500))


def test_a_side_that_runs_on_in_line_goes_with_a_moved_one_square_to_it() -> None:
    """The lower half of the sloping side out by 600, which is (360, 480): its foot at 4000 + 600 / 0.6 = 5000, its other
    end with it. With corner 1 to (4600, -200) the line is 3x + 4y = 13000, 200 out: (2000 + 120, 1500 + 160)."""
    assert rings.side_moved(SLOPING, 1, 600) == ((0, 0), (5000, 0), (2360, 1980), (0, 3000))
    assert rings.corner_moved(SLOPING, 1, (4600, -200)) == ((0, -200), (4600, -200), (2120, 1660), (0, 3000))


def test_a_corner_on_a_straight_side_moves_alone() -> None:
    five = (BOX[0], (6000.0, 0.0), *BOX[1:])
    assert rings.corner_moved(five, 1, (5900.004, -300)) == (BOX[0], (5900, -300), *BOX[1:])
    assert rings.corner_moved(SLOPING, 2, (2100, 1700)) == (*SLOPING[:2], (2100, 1700), SLOPING[3])


def test_a_part_of_a_sloping_side_is_drawn_out_with_a_side_that_joins_them() -> None:
    """Out by 500 is (300, 400); the foot goes to 4000 + 500 / 0.6 = 4833.33."""
    ring, origins = rings.drawn_out(SLOPING, 1, 500)
    assert ring == ((0, 0), (4833.33, 0), (2300, 1900), (2000, 1500), (0, 3000))
    assert origins == (0, 1, None, 2, 3)


def test_an_upright_side_is_made_so_long_at_either_end() -> None:
    assert rings.side_set(BOX, 1, 9000) == ((0, 0), (12000, 0), (12000, 9000), (0, 9000))
    assert rings.side_set(BOX, 1, 9000, move_start=True) == ((0, -1000), (12000, -1000), (12000, 8000), (0, 8000))
    # 5000 long, made 6000: 1000 more along (-0.8, 0.6), so its end's side goes along x = 0 to x = -800
    triangle = ((0.0, 0.0), (4000.0, 0.0), (0.0, 3000.0))
    assert rings.side_set(triangle, 1, 6000) == ((-800, 0), (4000, 0), (-800, 3600))


def test_a_side_is_one_millimetre_long_at_least() -> None:
    assert rings.side_set(BOX, 0, 1) == ((0, 0), (1, 0), (1, 8000), (0, 8000))
    assert rings.side_moved(BOX, 1, -11999) == ((0, 0), (1, 0), (1, 8000), (0, 8000))
    assert rings.corner_put_in(BOX, 0, 1) == (BOX[0], (1, 0), *BOX[1:])
    assert rings.corner_put_in(BOX, 1, 7999) == (*BOX[:2], (12000, 7999), *BOX[2:])


@pytest.mark.parametrize(
    ("move", "words"),
    [
        (
            lambda: rings.side_set(BOX, 0, 0.99),
            "a side of an outline is at least 1 mm long: type its length, or take a corner out.",
        ),
        (lambda: rings.side_moved(BOX, 1, -11999.5), FELL),
        (lambda: rings.side_moved(BOX, 1, -12000), FELL),
        (lambda: rings.side_moved(BOX, 1, -13000), INSIDE_OUT),
        (lambda: rings.corner_moved(BOX, 2, (-10, 4000), free=True), CROSSED),
        (lambda: rings.corner_put_in(BOX, 0, 0.99), "a new corner stands between the ends of the side, 1 to 11999 mm on."),
        (lambda: rings.corner_put_in(BOX, 1, 7999.5), "a new corner stands between the ends of the side, 1 to 7999 mm on."),
        (
            lambda: rings.corner_taken_out(BOX[:3], 0),
            "an outline has at least three corners: take the whole roof out instead.",
        ),
        (lambda: rings.new_ring(((0, 0), (10, 0), (20, 0))), FLAT),
        (lambda: rings.new_ring(((0, 0), (1, 0), (0, 1))), FLAT),  # half a square millimetre
        (
            lambda: rings.new_ring(((0, 0), (5000, 5000), (5000, 0), (0, 4000))),
            "the outline crosses itself: draw its corners in the order one walks round the house.",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_says_whole_what_to_do(move: Callable[[], object], words: str) -> None:
    with pytest.raises(UsageError) as told:
        move()
    assert told.value.faults == (words,)


def test_an_outline_that_crosses_itself_already_can_still_be_mended() -> None:
    bow = ((0.0, 0.0), (6000.0, 0.0), (0.0, 3000.0), (4000.0, 3000.0))
    assert rings.crosses_itself(bow)
    assert rings.corner_moved(bow, 1, (7000, 0), free=True) == ((0, 0), (7000, 0), (0, 3000), (4000, 3000))


def test_what_is_drawn_keeps_every_corner_that_is_one() -> None:
    """Corners 0.7 mm apart are two; those mirrored in the axis are no repeats; the least outline is a square millimetre."""
    mirrored = ((0.0, -4000.0), (8000.0, -4000.0), (8000.0, 4000.0), (0.0, 4000.0))
    assert rings.new_ring(mirrored) == mirrored
    near = ((0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.5, 8000.0), (0.0, 7999.5))
    assert rings.new_ring(near) == near
    assert rings.new_ring(((0, 0), (2, 0), (0, 1))) == ((0, 0), (2, 0), (0, 1))
    assert rings.new_ring(((0, 0), (0, 1), (2, 0))) == ((0, 0), (2, 0), (0, 1))


def test_a_corner_is_on_a_straight_side_below_a_millionth_of_a_turn() -> None:
    """0.01 mm out of line between 12 m and 12 m turns by 0.01/12000 twice, 1.67e-6; between 24 m and 24 m by 0.83e-6."""
    for half, corners in ((12000, 5), (24000, 4)):
        ring = ((0, 0), (half, 0.01), (2 * half, 0), (2 * half, 5000), (0, 5000))
        assert len(rings.new_ring(ring)) == corners
        assert rings.straight_on(ring, 1) is (corners == 4)
    assert rings.straight_on(SLOPING, 2)
    assert not rings.straight_on(SLOPING, 1)
