"""Plain strips of walls cut without the geometry library: the very corners that the library gives."""

from __future__ import annotations

from random import Random

import pytest

from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.face_parts import _cut_parts, seen_parts
from takeoff.measure.cladding.plain_parts import plain_parts

LEVEL = ((-50.0, 2400.0), (6050.0, 2400.0))
GABLE = ((-50.0, 2400.0), (3000.0, 3800.0), (6050.0, 2400.0))


def face(*holes: Hole, top: tuple[tuple[float, float], ...] = LEVEL) -> Face:
    return Face(1, -50.0, 6050.0, -50.0, 2400.0, top, holes)


WINDOW = Hole("W1", 1500.0, 3300.0, 900.0, 2100.0)
DOOR = Hole("D1", 4200.0, 5100.0, -50.0, 2100.0)


def test_a_course_between_openings_by_hand() -> None:
    """1000 to 1150 over the floor: left of the window, between window and door, right of the door."""
    rings = [part[0] for part in seen_parts(face(WINDOW, DOOR), -50.0, 6050.0, 1000.0, 1150.0)]
    assert [(ring[0], ring[2]) for ring in rings] == [
        ((-50.0, 1000.0), (1500.0, 1150.0)),
        ((3300.0, 1000.0), (4200.0, 1150.0)),
        ((5100.0, 1000.0), (6050.0, 1150.0)),
    ]


def test_a_board_over_and_under_a_window_by_hand() -> None:
    rings = [part[0] for part in seen_parts(face(WINDOW), 2000.0, 2135.0, -60.0, 2500.0)]
    assert [(ring[0], ring[2]) for ring in rings] == [
        ((2000.0, -50.0), (2135.0, 900.0)),
        ((2000.0, 2100.0), (2135.0, 2400.0)),
    ]


def test_a_course_over_a_sill_is_notched_by_hand() -> None:
    """850 to 1000 over the floor: notched from its head by the window from 900 on, parted by the door."""
    assert plain_parts(face(WINDOW, DOOR), -50.0, 6050.0, 850.0, 1000.0) == (
        (
            (
                (-50.0, 850.0), (4200.0, 850.0), (4200.0, 1000.0), (3300.0, 1000.0),
                (3300.0, 900.0), (1500.0, 900.0), (1500.0, 1000.0), (-50.0, 1000.0),
            ),
        ),
        (((5100.0, 850.0), (6050.0, 850.0), (6050.0, 1000.0), (5100.0, 1000.0)),),
    )  # fmt: skip


def test_a_board_at_a_jamb_is_notched_by_hand() -> None:
    assert plain_parts(face(WINDOW), 1400.0, 1535.0, -60.0, 2500.0) == (
        (
            (
                (1400.0, -50.0), (1535.0, -50.0), (1535.0, 900.0), (1500.0, 900.0),
                (1500.0, 2100.0), (1535.0, 2100.0), (1535.0, 2400.0), (1400.0, 2400.0),
            ),
        ),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("strip", "holes"),
    [
        # a window wholly within the strip
        ((-50.0, 6050.0, 800.0, 2200.0), (WINDOW,)),
        # one reaches in from the left and one from the head
        (
            (2000.0, 4400.0, 1000.0, 2200.0),
            (Hole("A", 1500.0, 2300.0, 1200.0, 1500.0), Hole("B", 3000.0, 3500.0, 1900.0, 2300.0)),
        ),
        # two that reach in from foot and head leave a neck of a crumb between them
        (
            (-50.0, 6050.0, 850.0, 1150.0),
            (Hole("A", 0.0, 900.0, -50.0, 1000.0), Hole("B", 900.0, 1800.0, 1000.3, 2000.0)),
        ),
    ],
)
def test_what_is_left_to_the_library(strip: tuple[float, float, float, float], holes: tuple[Hole, ...]) -> None:
    assert plain_parts(face(*holes), *strip) is None
    assert seen_parts(face(*holes), *strip) == _cut_parts(face(*holes), *strip)


def test_openings_that_pass_each_other_part_a_course() -> None:
    """One takes its foot up to 1050 and the next all that is over 1000: nothing joins left and right of their jamb."""
    holes = (Hole("A", 0.0, 900.0, -50.0, 1050.0), Hole("B", 900.0, 1800.0, 1000.0, 2000.0))
    found = plain_parts(face(*holes), -50.0, 6050.0, 850.0, 1150.0)
    assert found is not None
    assert found == _cut_parts(face(*holes), -50.0, 6050.0, 850.0, 1150.0)
    assert len(found) == 2


def test_under_a_raked_top_only_what_lies_below_the_rake_is_plain() -> None:
    assert plain_parts(face(top=GABLE), -50.0, 6050.0, 1000.0, 1150.0) is not None
    assert plain_parts(face(top=GABLE), -50.0, 6050.0, 2350.0, 2500.0) is None


def test_a_board_up_to_a_gable_by_hand() -> None:
    """The gable rises 1400 in 3050: over 135 mm by 61.967, and half as much on each side of its ridge."""
    (board,) = plain_parts(face(top=GABLE), 1000.0, 1135.0, -60.0, 3900.0) or ()
    assert board == (((1000.0, -50.0), (1135.0, -50.0), (1135.0, 2943.934426), (1000.0, 2881.967213)),)
    (ridge,) = plain_parts(face(top=GABLE), 2932.5, 3067.5, -60.0, 3900.0) or ()
    assert ridge[0][2:] == ((3067.5, 3769.016393), (3000.0, 3800.0), (2932.5, 3769.016393))


def test_a_board_beside_a_window_under_a_gable_by_hand() -> None:
    """Notched by the window, and cut to the rake over it: 2400 and 1400 in 3050 over 1485 and 1620. A window that
    reaches past the low end of the rake is left to the library."""
    (board,) = plain_parts(face(WINDOW, top=GABLE), 1435.0, 1570.0, -60.0, 3900.0) or ()
    foot, notch = ((1435.0, -50.0), (1570.0, -50.0)), ((1570.0, 900.0), (1500.0, 900.0), (1500.0, 2100.0))
    assert board == ((*foot, *notch, (1570.0, 2100.0), (1570.0, 3143.606557), (1435.0, 3081.639344)),)
    for head, plain in ((3080.0, True), (3081.0, False), (3100.0, False)):
        found = plain_parts(face(Hole("W", 1500.0, 3300.0, 900.0, head), top=GABLE), 1435.0, 1570.0, -60.0, 3900.0)
        assert (found is not None) is plain


def test_boards_up_to_a_rake_are_cut_as_the_library_cuts_them() -> None:
    random, plain = Random(5), 0
    for _ in range(200):
        ridge = random.choice((3000.0, 2400.123, 1000.0 / 3.0))
        top = random.choice(
            (GABLE, ((-50.0, 2400.0), (ridge, 2400.0 + random.uniform(10.0, 4000.0)), (6050.0, 2500.0)))
        )
        foot = random.choice((-50.0, 900.0))
        holes = (Hole("W", 1200.0, 3300.0, foot, random.choice((2100.0, 2350.5, 2500.0, 3000.0))),)
        wall = face(*holes, top=top)
        x0 = random.choice((-60.0, -50.0, 1200.0, ridge, ridge + 0.3, random.uniform(-50.0, 6000.0)))
        strip = (x0, x0 + random.choice((135.0, 101.0 / 3.0, 762.0)), -51.0, random.choice((2450.0, 2900.0, 9000.0)))
        found = plain_parts(wall, *strip)
        if found is not None:
            plain += 1
            library = _cut_parts(wall, *strip)
            assert [len(part[0]) for part in found] == [len(part[0]) for part in library], (wall, strip)
            points, others = ([xy for part in parts for xy in part[0]] for parts in (found, library))
            off = max(
                abs(a - b) for one, other in zip(points, others, strict=True) for a, b in zip(one, other, strict=True)
            )
            assert off < 2.5e-6, (wall, strip)
    assert plain > 60


def test_plain_strips_are_cut_as_the_library_cuts_them() -> None:
    random, plain = Random(3), 0
    for _ in range(400):
        spots = [random.choice((0.0, 0.004, 0.02, 300.0, 451.37)) + 600.0 * n for n in range(12)]
        holes = [
            Hole(
                f"H{n}", spots[n], spots[n + 1], spots[random.randrange(3)] - 50.0, 2400.0 - spots[random.randrange(3)]
            )
            for n in random.sample(range(10), 3)
        ]
        wall = face(*holes, top=random.choice((LEVEL, GABLE)))
        x0, y0 = random.choice((-50.0, *spots[:9])), random.choice((-51.0, 0.0, *spots[:3]))
        strip = (x0, x0 + random.choice((135.0, 600.0, 6100.0)), y0, y0 + random.choice((150.0, 187.5, 2600.0)))
        found = plain_parts(wall, *strip)
        if found is not None:
            plain += 1
            assert found == _cut_parts(wall, *strip), (wall, strip)
    assert plain > 100


# a gable of 1 in 2 from 2400 at its ends: a board from 1000 to 1135 ends from 2900 to 2967.5
STEEP = Face(1, 0.0, 6000.0, -50.0, 2400.0, ((0.0, 2400.0), (3000.0, 3900.0), (6000.0, 2400.0)), ())


@pytest.mark.parametrize(
    ("strip", "head", "plain"),
    [
        ((1000.0, 1135.0, 2899.4, 3900.0), None, True), ((1000.0, 1135.0, 2899.5, 3900.0), None, False),
        ((1000.0, 1135.0, 2950.0, 3900.0), None, False),  # it begins beside the rake
        ((1000.0, 1135.0, -60.0, 2968.1), None, True), ((1000.0, 1135.0, -60.0, 2968.0), None, False),
        ((1000.0, 1135.0, -60.0, 2930.0), None, False),  # and ends beside it
        ((1000.0, 1000.6, -60.0, 3900.0), None, True), ((1000.0, 1000.5, -60.0, 3900.0), None, False),
        ((1000.0, 1135.0, -60.0, 3900.0), 2899.4, True), ((1000.0, 1135.0, -60.0, 3900.0), 2899.5, False),
        ((1000.0, 1135.0, -60.0, 3900.0), 2900.3, False), ((1000.0, 1135.0, -60.0, 3900.0), 2950.0, False),
    ],
)  # fmt: skip
def test_what_is_plain_under_a_rake(strip: tuple[float, float, float, float], head: float | None, plain: bool) -> None:
    """`head`: of an opening over the whole of the board. What is not plain is cut by the library, to the same corners."""
    holes = (Hole("W", 900.0, 1300.0, 900.0, head),) if head is not None else ()
    wall = Face(1, 0.0, 6000.0, -50.0, 2400.0, STEEP.top, holes)
    found = plain_parts(wall, *strip)
    assert (found is not None) is plain
    if found is not None:
        assert [len(part[0]) for part in found] == [len(part[0]) for part in _cut_parts(wall, *strip)]
    assert seen_parts(wall, *strip) == (found if found is not None else _cut_parts(wall, *strip))


def test_a_top_with_a_step_or_a_corner_just_beside_a_board_is_left_to_the_library() -> None:
    """A top that steps up by 500 at 3000, and a ridge 0.3 mm left of a board's side."""
    stepped = ((0.0, 2400.0), (3000.0, 3000.0), (3000.0, 3500.0), (6000.0, 2400.0))
    wall = Face(1, 0.0, 6000.0, -50.0, 2400.0, stepped, ())
    for strip in ((2900.0, 3000.0), (3000.0, 3100.0), (2950.0, 3050.0), (1000.0, 1100.0)):
        assert plain_parts(wall, *strip, -60.0, 3900.0) is None, strip
    for x0, plain in ((3000.0, True), (3000.3, False), (3000.5, False), (3000.6, True)):
        for x1 in (x0 + 100.0, x0):
            strip = (x0, x1) if x1 > x0 else (6000.0 - x0 - 100.0, 6000.0 - x0)
            assert (plain_parts(STEEP, *strip, -60.0, 3999.0) is not None) is plain, strip


def test_what_an_opening_leaves_of_a_course() -> None:
    """0.8 of the course from 1000 to 1060 are taken by one that ends at 1000.8; of one that begins 1 mm from the end of the
    face 60 mm2 are left, which is nothing; 2 mm from it 120."""
    low = face(Hole("W", -100.0, 6100.0, 500.0, 1000.8))
    assert plain_parts(low, -50.0, 6050.0, 1000.0, 1060.0) == (
        (((-50.0, 1000.8), (6050.0, 1000.8), (6050.0, 1060.0), (-50.0, 1060.0)),),
    )
    for left, count in ((-49.0, 0), (-48.0, 1)):
        wide = face(Hole("W", left, 6050.0, 900.0, 2100.0))
        assert len(plain_parts(wide, -50.0, 6050.0, 1000.0, 1060.0) or ()) == count
    # just a hundred square millimetres are nothing
    assert plain_parts(face(Hole("W", -48.0, 6050.0, 900.0, 2100.0)), -50.0, 6050.0, 1000.0, 1050.0) == ()
