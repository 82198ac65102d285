"""Rings under the drawing hand. Every expected corner is worked out by hand beside its case."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import UsageError
from takeoff.basics.polygons import signed_area
from takeoff.web import rings

BOX = ((0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0))
# 12 x 8 m with a 5 x 3 m wing to the north-west, as one would walk round it
ELL = ((0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (5000.0, 8000.0), (5000.0, 11000.0), (0.0, 11000.0))


def test_a_side_moves_square_to_itself() -> None:
    assert rings.side_moved(BOX, 1, 500) == ((0, 0), (12500, 0), (12500, 8000), (0, 8000))
    assert rings.side_moved(BOX, 0, 500) == ((0, -500), (12000, -500), (12000, 8000), (0, 8000))
    clockwise = tuple(reversed(BOX))
    assert set(rings.side_moved(clockwise, 0, 500)) == set(rings.side_moved(BOX, 2, 500))


def test_a_corner_takes_its_two_sides_along_and_keeps_them_square() -> None:
    assert rings.corner_moved(BOX, 2, (12500, 8300)) == ((0, 0), (12500, 0), (12500, 8300), (0, 8300))
    assert rings.corner_moved(BOX, 0, (-100, 200)) == ((-100, 200), (12000, 200), (12000, 8000), (-100, 8000))


def test_a_corner_set_free_moves_alone() -> None:
    assert rings.corner_moved(BOX, 2, (12500, 8300), free=True) == ((0, 0), (12000, 0), (12500, 8300), (0, 8000))


def test_sloping_sides_keep_their_direction() -> None:
    """A triangle 3-4-5: its sloping side from (4000, 0) to (0, 3000) moved out by 600: the normal is (0.6, 0.8), so it
    cuts the axes at 4000 + 600/0.6 = 5000 and 3000 + 600/0.8 = 3750."""
    triangle = ((0.0, 0.0), (4000.0, 0.0), (0.0, 3000.0))
    assert rings.side_moved(triangle, 1, 600) == ((0, 0), (5000, 0), (0, 3750))


def test_a_side_is_made_so_long() -> None:
    assert rings.side_set(BOX, 0, 13000) == ((0, 0), (13000, 0), (13000, 8000), (0, 8000))
    assert rings.side_set(BOX, 0, 13000, move_start=True) == ((-1000, 0), (12000, 0), (12000, 8000), (-1000, 8000))
    assert rings.side_set(BOX, 3, 9000) == ((0, -1000), (12000, -1000), (12000, 8000), (0, 8000))
    assert rings.side_set(ELL, 4, 6000) == (
        (-1000, 0), (12000, 0), (12000, 8000), (5000, 8000), (5000, 11000), (-1000, 11000),
    )  # fmt: skip


def test_a_corner_is_put_in_and_taken_out() -> None:
    five = rings.corner_put_in(BOX, 3, 3000)
    assert five == (*BOX, (0, 5000))
    assert rings.corner_taken_out(five, 4) == BOX


def test_a_part_of_a_wall_is_drawn_out_into_a_wing() -> None:
    """North side cut at x = 7000 and drawn out by 3 m from there to the east: an L with one side more."""
    five = rings.corner_put_in(BOX, 2, 5000)
    ring, origins = rings.drawn_out(five, 2, 3000)
    assert ring == ((0, 0), (12000, 0), (12000, 11000), (7000, 11000), (7000, 8000), (0, 8000))
    assert origins == (0, 1, 2, None, 3, 4)
    ring, origins = rings.drawn_out(five, 3, 3000)
    assert ring == ((0, 0), (12000, 0), (12000, 8000), (7000, 8000), (7000, 11000), (0, 11000))
    assert origins == (0, 1, 2, None, 3, 4)


def test_a_middle_part_is_drawn_out_at_both_ends_and_over_the_start_of_the_ring() -> None:
    six = rings.corner_put_in(rings.corner_put_in(BOX, 0, 8000), 0, 4000)
    ring, origins = rings.drawn_out(six, 1, 2000)
    assert ring == ((0, 0), (4000, 0), (4000, -2000), (8000, -2000), (8000, 0), (12000, 0), (12000, 8000), (0, 8000))
    assert origins == (0, None, 1, None, 2, 3, 4, 5)
    turned = (*six[2:], *six[:2])  # the same with the part as the last side
    ring, origins = rings.drawn_out(turned, 5, 2000)
    assert ring == ((8000, 0), (12000, 0), (12000, 8000), (0, 8000), (0, 0), (4000, 0), (4000, -2000), (8000, -2000))
    assert origins == (0, 1, 2, 3, 4, None, 5, None)


@pytest.mark.parametrize(
    "move",
    [
        lambda: rings.side_moved(BOX, 1, -12000),
        lambda: rings.side_moved(BOX, 1, -13000),
        lambda: rings.corner_moved(BOX, 2, (-10, 4000), free=True),
        lambda: rings.side_set(ELL, 4, 0),
        lambda: rings.side_moved(ELL, 2, -8500),
        lambda: rings.corner_put_in(BOX, 0, 12000),
        lambda: rings.corner_taken_out(BOX[:3], 0),
        lambda: rings.new_ring(((0, 0), (10, 0), (20, 0))),
        lambda: rings.new_ring(((0, 0), (5000, 5000), (5000, 0), (0, 4000))),
    ],
)
def test_what_is_no_outline_is_refused_with_what_to_do(move: object) -> None:
    with pytest.raises(UsageError, match=r": |stands between"):
        move()  # type: ignore[operator]


def test_a_new_ring_is_counter_clockwise_and_has_no_corner_twice() -> None:
    drawn = ((0, 0), (0, 8000), (12000, 8000), (12000, 4000), (12000, 0), (12000, 0), (6000, 0))
    ring = rings.new_ring(drawn)
    assert ring == ((0, 0), (12000, 0), (12000, 8000), (0, 8000))
    assert signed_area(ring) == 96e6
