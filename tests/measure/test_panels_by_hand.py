"""Boards of strips of a wall under a gable of 1 in 2 and over a foot that falls 3 in 10: where they are cut, how far past
what is seen of them, and how far off square; by hand."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, degrees

import pytest

from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.level_breaks import BreakRule, Breaks, level_breaks
from takeoff.measure.cladding.panels import (
    Panel,
    _end_rakes,
    _past_rake,
    level_panels,
    rakes_of,
    upright_cuts,
    upright_panel,
)

FOOT, TOP, PEAK = -50.0, 2350.0, 3850.0
GABLE = Face(1, 0.0, 6000.0, FOOT, TOP, ((0.0, TOP), (3000.0, PEAK), (6000.0, TOP)), ())
LEFT = ((0.0, 900.0), (3000.0, 0.0), (6000.0, 0.0), (6000.0, 2400.0), (0.0, 2400.0))  # its foot falls from the left
RIGHT = tuple((6000.0 - x, y) for x, y in (LEFT[2], LEFT[1], LEFT[0], LEFT[4], LEFT[3]))
STEEP, FLAT = degrees(atan2(10, 3)), degrees(atan2(3, 10))  # off square of a level, of an upright board
HALF = degrees(atan2(1, 2))


def fallen(ring: tuple[tuple[float, float], ...]) -> Face:
    return Face(1, 0.0, 6000.0, 0.0, 2400.0, ((0.0, 2400.0), (6000.0, 2400.0)), (), rings=((ring,),))


def level(face: Face, y0: float, y1: float, lap: float = 30.0) -> list[Panel]:
    return list(level_panels(face, y0, y1, lap))


def upright(face: Face, x0: float, x1: float, *breaks: float, lap: float = 15.0) -> list[Panel]:
    return list(map(upright_panel, upright_cuts(face, x0, x1, lap, breaks)))


def rounded(panel: Panel) -> tuple[object, ...]:
    return (
        panel.ring,
        round(panel.start, 6),
        round(panel.end, 6),
        round(panel.past, 6),
        tuple(round(r, 6) for r in panel.rakes_deg),
    )


def test_a_level_board_under_a_gable() -> None:
    """From 2500 to 2650 it is 5400 long at its foot and 4800 at its top, cut 2 in 1 at both ends."""
    off = round(90.0 - HALF, 6)
    (panel,) = level(GABLE, 2500.0, 2650.0)
    ring = ((300.0, 2500.0), (5700.0, 2500.0), (5400.0, 2650.0), (600.0, 2650.0))
    assert rounded(panel) == (ring, 300.0, 5700.0, 0.0, (off, off))
    (square,) = level(GABLE, 100.0, 250.0)
    assert rounded(square)[1:] == (0.0, 6000.0, 0.0, (0.0, 0.0))


def test_a_level_board_over_a_foot_that_falls() -> None:
    """From 150 to 300 the foot goes on from 2500 back to 2000; over a lap of 30 another 100. At the other end likewise."""
    (panel,) = level(fallen(LEFT), 150.0, 300.0)
    ring = ((2500.0, 150.0), (6000.0, 150.0), (6000.0, 300.0), (2000.0, 300.0))
    assert rounded(panel) == (ring, 1900.0, 6000.0, 100.0, (round(STEEP, 6), 0.0))
    (panel,) = level(fallen(RIGHT), 150.0, 300.0)
    ring = ((0.0, 150.0), (3500.0, 150.0), (4000.0, 300.0), (0.0, 300.0))
    assert rounded(panel) == (ring, 0.0, 4100.0, 0.0, (0.0, round(STEEP, 6)))
    # no further than the face: at 885 it begins 50 from its end
    (panel,) = level(fallen(LEFT), 735.0, 885.0)
    assert rounded(panel)[1:4] == (0.0, 6000.0, 50.0)
    (panel,) = level(fallen(RIGHT), 735.0, 885.0)
    assert rounded(panel)[1:4] == (0.0, 6000.0, 0.0)
    # where the foot ends within the board it goes no further
    (panel,) = level(fallen(LEFT), 800.0, 950.0)
    assert rounded(panel)[1:4] == (0.0, 6000.0, 0.0)
    (panel,) = level(fallen(LEFT), 0.0, 150.0)
    assert rounded(panel)[1:] == (2400.0, 6000.0, 100.0, (round(STEEP, 6), 0.0))


def test_level_boards_beside_an_opening() -> None:
    window = Hole("W", 2000.0, 3200.0, 50.0, 300.0)
    first, second = level(replace(GABLE, holes=(window,)), 100.0, 250.0)
    assert (rounded(first)[1:3], rounded(second)[1:3]) == ((0.0, 2000.0), (3200.0, 6000.0))


def test_an_upright_board_under_a_gable() -> None:
    """From 1000 to 1150 it rises from 2850 to 2925, and a lap of 15 beyond its long side 7.5 more; falling likewise. At the
    ridge it is as high as the ridge; one at the end of the face has no more lap than there is face."""
    (panel,) = upright(GABLE, 1000.0, 1150.0)
    ring = ((1000.0, FOOT), (1150.0, FOOT), (1150.0, 2925.0), (1000.0, 2850.0))
    assert rounded(panel) == (ring, FOOT, 2932.5, 0.0, (0.0, round(HALF, 6)))
    (panel,) = upright(GABLE, 4850.0, 5000.0)
    assert rounded(panel)[1:] == (FOOT, 2932.5, 0.0, (0.0, round(HALF, 6)))
    (ridge,) = upright(GABLE, 2950.0, 3100.0)
    assert rounded(ridge)[1:] == (FOOT, PEAK, 0.0, (0.0, round(HALF, 6)))
    rising = replace(GABLE, top=((0.0, TOP), (6000.0, PEAK)))
    (last,) = upright(rising, 5840.0, 5990.0)
    assert last.end == pytest.approx(PEAK - 10.0 / 4.0 + 10.0 / 4.0)
    (last,) = upright(rising, 5850.0, 6000.0)
    assert last.end == PEAK
    falling = replace(GABLE, top=((0.0, PEAK), (6000.0, TOP)))
    (first,) = upright(falling, 6.0, 156.0)
    assert first.end == pytest.approx(PEAK)
    (first,) = upright(falling, 100.0, 250.0)
    assert first.end == pytest.approx(PEAK - 25.0 + 3.75)


def test_an_upright_board_over_a_foot_that_falls() -> None:
    """From 1000 to 1150 the foot falls from 600 to 555, and over a lap of 15 another 4.5; not below the face's lowest."""
    (panel,) = upright(fallen(LEFT), 1000.0, 1150.0)
    ring = ((1150.0, 555.0), (1150.0, 2400.0), (1000.0, 2400.0), (1000.0, 600.0))
    assert rounded(panel) == (ring, 550.5, 2400.0, 4.5, (round(FLAT, 6), 0.0))
    (panel,) = upright(fallen(RIGHT), 4850.0, 5000.0)
    assert rounded(panel)[1:] == (550.5, 2400.0, 4.5, (round(FLAT, 6), 0.0))
    (panel,) = upright(fallen(LEFT), 2850.0, 2990.0)
    assert rounded(panel)[1:4] == (0.0, 2400.0, 3.0)


def test_upright_boards_cut_on_a_level_break() -> None:
    """Each ends there; a board that begins under the break by its rake begins at it."""
    low, high = upright(GABLE, 1000.0, 1150.0, 1200.0)
    assert (rounded(low)[1:], rounded(high)[1:]) == (
        (FOOT, 1200.0, 0.0, (0.0, 0.0)), (1200.0, 2932.5, 0.0, (0.0, round(HALF, 6))),
    )  # fmt: skip
    assert len(upright(GABLE, 1000.0, 1150.0, 2930.0)) == 1
    assert rounded(upright(GABLE, 1000.0, 1150.0, 2930.0)[0])[2] == 2930.0
    assert rounded(upright(fallen(LEFT), 1000.0, 1150.0, 553.0)[0])[1:4] == (553.0, 2400.0, 2.0)


def test_an_upright_board_that_is_raked_in_part() -> None:
    """At 2900 a level break cuts most of the top: the corner counts all the same, and is no lap's."""
    low, high = upright(GABLE, 1000.0, 1150.0, 2860.0)
    assert rounded(low)[1:] == (FOOT, 2860.0, 0.0, (0.0, round(HALF, 6)))
    assert rounded(high)[1:4] == (2860.0, 2932.5, 0.0)


def test_how_far_off_square_a_sheet_is_cut() -> None:
    """By its longest raked edge, where as much or more of the end is raked as is square."""

    def top(*points: tuple[float, float]) -> tuple[float, float]:
        return rakes_of(((0.0, 0.0), (1000.0, 0.0), *points))

    assert top((1000.0, 2000.0), (0.0, 1500.0)) == (0.0, pytest.approx(HALF))
    assert top((1000.0, 2000.0), (500.0, 2000.0), (0.0, 1750.0)) == (0.0, pytest.approx(HALF))
    assert top((1000.0, 2000.0), (499.0, 2000.0), (0.0, 1750.0)) == (0.0, 0.0)
    assert top((1000.0, 1000.0), (600.0, 1200.0), (0.0, 2100.0)) == (0.0, pytest.approx(degrees(atan2(3, 2))))
    # a hundredth of rise is none, half a millimetre of run neither
    assert top((1000.0, 2000.0), (0.0, 2000.01)) == (0.0, 0.0)
    assert top((1000.0, 2000.0), (0.0, 2000.02))[1] > 0.0
    assert top((1000.0, 1500.0), (999.5, 2000.0), (0.0, 2000.0)) == (0.0, 0.0)
    foot = rakes_of(((0.0, 500.0), (1000.0, 0.0), (1000.0, 2000.0), (0.0, 2000.0)))
    assert foot == (pytest.approx(HALF), 0.0)
    assert rakes_of(((0.0, 0.0), (1000.0, 500.0), (1000.0, 2000.0), (0.0, 2000.0))) == foot


def test_pieces_that_a_level_break_leaves_too_short() -> None:
    """A break that the job gives at 3000: a board from 2800 leaves 200 below it, one to 3100 leaves 100 above it; one that
    is short by itself is no break's, nor one of 400 less half a millimetre."""
    rule = BreakRule(3000.0, 400.0, 3000.0)
    ring = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0))
    reaches = ((0.0, 5000.0), (2800.0, 5000.0), (200.0, 3100.0), (0.0, 200.0), (2600.5, 5000.0), (0.0, 3399.5))
    boards = [Panel(ring, start, end, 0.0) for start, end in reaches]
    plain = replace(GABLE, top=((0.0, 5000.0), (6000.0, 5000.0)), frame_top=5000.0)
    assert level_breaks(plain, boards, (), rule) == Breaks((3000.0,), ("as the job gives it",), 2)


def test_boards_that_end_at_a_break_are_not_cut_by_it() -> None:
    """One that ends 0.4 over it, or begins 0.4 under it, stays whole: on the storey line at 2600 no piece is short."""
    ring = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0))
    plain = replace(GABLE, top=((0.0, 5000.0), (6000.0, 5000.0)), frame_top=5000.0, levels=(2600.0,))
    for start, end, level in (
        (0.0, 2600.4, 2600.0),
        (0.0, 2600.6, 3000.0),
        (2599.6, 4000.0, 2600.0),
        (2599.4, 4000.0, 3000.0),
    ):
        boards = [Panel(ring, 0.0, 5000.0, 0.0), Panel(ring, start, end, 0.0)]
        assert level_breaks(plain, boards, (), BreakRule(3000.0, 400.0)).levels_mm == (level,), (start, end)


def test_a_gap_in_a_course_leaves_its_board_whole() -> None:
    """A meter box of 50 x 40 in the middle of what is seen of a board: what is beside, over and under it hangs together."""
    holed = Face(
        1, 0.0, 3000.0, 0.0, 2400.0, ((0.0, 2400.0), (3000.0, 2400.0)), (Hole("M", 1000.0, 1050.0, 60.0, 100.0),)
    )
    (found,) = level_panels(holed, 0.0, 150.0, 37.0)
    assert (found.start, found.end, found.past, found.rakes_deg) == (0.0, 3000.0, 0.0, (0.0, 0.0))


# a board from 1000 to 1150 on a face from 100 to 5100: the corners of its foot and of its top, left to right
LONG = Face(1, 100.0, 5100.0, 0.0, 2400.0, ((100.0, 2400.0), (5100.0, 2400.0)), ())
Line = tuple[tuple[float, float], ...]


@pytest.mark.parametrize(
    ("foot", "left", "right", "past"),
    [
        (((1000.0, 200.0), (1150.0, 275.0)), 100.0, 5100.0, 15.0),  # 1 in 2, a lap of 30 on its low side
        (((1000.0, 275.0), (1150.0, 200.0)), 100.0, 5100.0, 15.0),
        (((1000.0, 200.0), (1150.0, 275.0)), 990.0, 5100.0, 5.0),  # 10 of the face are left of it
        (((1000.0, 275.0), (1150.0, 200.0)), 100.0, 1160.0, 5.0),
        (((1000.0, 200.0), (1150.0, 275.0)), 1010.0, 5100.0, 0.0),  # none is
        (((1000.0, 200.0), (1150.0, 200.0)), 100.0, 5100.0, 0.0),
        # its lowest point within the board; on a line, but higher than the other end
        (((1000.0, 200.0), (1050.0, 150.0), (1150.0, 250.0)), 100.0, 5100.0, 0.0),
        (((1000.0, 220.0), (1050.0, 300.0), (1150.0, 190.0)), 100.0, 5100.0, 33.0),
        (((1000.0, 190.0), (1100.0, 300.0), (1150.0, 220.0)), 100.0, 5100.0, 33.0),
        # both ends as low: the steeper counts
        (((1000.0, 200.0), (1050.0, 240.0), (1150.0, 200.0)), 100.0, 5100.0, 24.0),
    ],
)
def test_what_a_raked_end_takes_over_the_lap_beside_it(foot: Line, left: float, right: float, past: float) -> None:
    """At its foot, and the same upside down at its top."""
    face = replace(LONG, left=left, right=right)
    ring = (*foot, (1150.0, 2000.0), (1000.0, 2000.0))
    assert _past_rake(face, ring, (1000.0, 1150.0), 30.0, 1.0) == pytest.approx(past)
    top = ((1000.0, 0.0), (1150.0, 0.0), *((x, 2400.0 - y) for x, y in reversed(foot)))
    assert _past_rake(face, top, (1000.0, 1150.0), 30.0, -1.0) == pytest.approx(past)


def test_an_upright_board_with_a_gap_in_it_on_a_narrow_wall() -> None:
    """A wall of 900, higher than it is wide; a box of 40 x 60 within the board from 300 to 435 leaves it whole."""
    narrow = Face(
        1, 0.0, 900.0, -50.0, 2350.0, ((0.0, 2350.0), (900.0, 2350.0)), (Hole("M", 350.0, 390.0, 500.0, 560.0),)
    )
    (found,) = map(upright_panel, upright_cuts(narrow, 300.0, 435.0, 30.0))
    assert (found.start, found.end, found.past, found.rakes_deg) == (-50.0, 2350.0, 0.0, (0.0, 0.0))


def test_an_end_that_is_raked_in_part() -> None:
    """100 upright and 50 raked over 30: cut for the rake, atan(30 / 50) off square."""
    ring = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 150.0), (30.0, 150.0), (0.0, 100.0))
    assert _end_rakes(ring) == (pytest.approx(degrees(atan2(30, 50))), 0.0)
    assert _end_rakes(tuple((3000.0 - x, y) for x, y in reversed(ring))) == (0.0, pytest.approx(degrees(atan2(30, 50))))
