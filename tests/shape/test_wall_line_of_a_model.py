"""The line that a model's walls stand on, and the upright faces it is found from, with figures by hand.

Limits (takeoff/basics/model_limits.py) are common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest
from drawn_walls import Point, corners, face, room, same, under

from takeoff.model.faces import RawPart, StatedPart, raw_faces
from takeoff.shape.imported.house_walls.outer_line import (
    _cornered,
    _face_line,
    _meeting,
    _numbered,
    _on_faces,
    _without_straights,
    outer_line,
)
from takeoff.shape.imported.house_walls.upright_faces import UprightFaces, _bodies, _covered, _high, upright_faces


@pytest.mark.parametrize(
    ("a", "b", "c", "d", "meet"),
    [
        # in one line, or off by 25 mm: the middle of the short side
        ((0, 0), (1000, 0), (1100, 0), (3000, 0), (1050, 0)),
        ((0, 0), (1000, 0), (1000, 25), (3000, 25), (1000, 12.5)),
        ((0, 0), (1000, 0), (1000, 26), (3000, 26), None),
        # turned by 3 in 100 and 25 in 500: still one line (a twentieth); by 6 in 100 they cross
        ((0, 0), (1000, 0), (1000, 20), (2000, 50), (1000, 10)),
        ((0, 0), (2000, 0), (2100, 6), (3100, 66), (2000, 0)),
        # square: the corner that both make
        ((0, 0), (1000, 0), (1100, 90), (1100, 2000), (1100, 0)),
        ((5000, 3000), (5000, 1000), (5080, 900), (7000, 900), (5000, 900)),
        # a corner further than 300 mm from the middle of the short side is none: 3-4-5, 1 in 3 and 1 in 10
        ((0, 0), (1000, 0), (1200, 200), (4200, 1200), None),
        ((0, 0), (1000, 0), (1100, 90), (2000, 630), (950, 0)),
    ],
)  # fmt: skip
def test_where_the_sides_by_a_short_one_meet(a: Point, b: Point, c: Point, d: Point, meet: Point | None) -> None:
    found = _meeting(a, b, c, d)
    assert found == (None if meet is None else pytest.approx(meet))


@pytest.mark.parametrize(("rise", "meets"), [(0.205, True), (0.2, False)])
def test_a_corner_may_be_twice_a_short_side_away(rise: float, meets: bool) -> None:
    """A level side, and one that rises by 1 in 5 from 60 mm over its end: they cross 300 mm before it, 301.5 mm from the middle
    of the 60 mm; a little steeper 292.7 mm before it, 294.2 mm from there."""
    found = _meeting((0.0, 0.0), (1000.0, 0.0), (1000.0, 60.0), (2000.0, 60.0 + 1000.0 * rise))
    assert (found is not None) is meets


def test_square_ends_of_walls_at_an_oblique_corner_are_no_sides() -> None:
    """A corner of 5 x 4 m cut by a side of 100 x 100 mm, 141 mm long: the corner stays; by 110 x 110 mm, 156 mm, the side."""

    def ring(cut: float) -> list[Point]:
        return [(0.0, 0.0), (5000.0, 0.0), (5000.0, 4000.0 - cut), (5000.0 - cut, 4000.0), (0.0, 4000.0)]

    assert same(_cornered(ring(100.0)), [(0.0, 0.0), (5000.0, 0.0), (5000.0, 4000.0), (0.0, 4000.0)])
    assert _cornered(ring(110.0)) == ring(110.0)


def test_a_short_side_whose_neighbours_meet_nowhere_near_stays() -> None:
    """A niche: a jog of 100 mm between two sides along x, 100 mm apart."""
    ring: list[Point] = [(0.0, 0.0), (5000.0, 0.0), (5000.0, 4000.0), (2500.0, 4000.0), (2500.0, 4100.0), (0.0, 4100.0)]
    assert _cornered(ring) == ring
    # and a short side beside it that does meet goes all the same
    cut = [*ring[:1], (4950.0, 0.0), (5000.0, 50.0), *ring[2:]]
    assert same(_cornered(cut), [(0.0, 0.0), (5000.0, 0.0), *ring[2:]])


@pytest.mark.parametrize(
    ("point", "stays"),
    [
        ((2500.0, 0.0), False),
        ((2500.0, -0.49), False),  # half a millimetre out of line
        ((2500.0, -0.51), True),
        ((5000.0, 0.009), False),  # on the corner
    ],
)
def test_what_is_in_line_is_no_corner(point: Point, stays: bool) -> None:
    square: list[Point] = [(0.0, 0.0), (5000.0, 0.0), (5000.0, 4000.0), (0.0, 4000.0)]
    ring = [square[0], point, *square[1:]] if point[0] < 5000.0 else [*square[:2], point, *square[2:]]
    found = _without_straights(ring)
    assert len(found) == (5 if stays else 4)
    assert (point in found) is stays or point[0] == 5000.0


def test_straight_points_go_by_and_by_and_three_stay() -> None:
    square: list[Point] = [(0.0, 0.0), (1000.0, 0.0), (2000.0, 0.0), (3000.0, 0.0), (3000.0, 4000.0), (0.0, 4000.0)]
    assert _without_straights(square) == [(0.0, 0.0), (3000.0, 0.0), (3000.0, 4000.0), (0.0, 4000.0)]
    flat: list[Point] = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)]
    assert _without_straights(flat) == flat


def test_a_side_lies_where_its_greatest_face_does() -> None:
    """From (0, 0) to (4000, 0) with the house above it, so outwards is down: a face 20 mm out, one as long but lower 10 mm in."""
    near = corners(face((0.0, -20.0), (4000.0, -20.0), 0.0, 2400.0), face((0.0, 10.0), (4000.0, 10.0), 0.0, 300.0))
    assert _face_line((0.0, 0.0), (4000.0, 0.0), near) == pytest.approx((0.0, -1.0, 20.0))
    turned_over = near[:, ::-1]  # faces that look inwards
    assert _face_line((0.0, 0.0), (4000.0, 0.0), turned_over) == pytest.approx((0.0, -1.0, 20.0))


@pytest.mark.parametrize(
    "far",
    [
        face((0.0, -26.0), (4000.0, -26.0), 0.0, 2400.0),  # further than 25 mm
        face((4000.0, -20.0), (8000.0, -20.0), 0.0, 2400.0),  # past its ends
        face((-4000.0, -20.0), (0.0, -20.0), 0.0, 2400.0),
    ],
)
def test_a_side_without_a_face_of_its_own_stays(far: list[list[tuple[float, float, float]]]) -> None:
    assert _face_line((0.0, 3000.0), (4000.0, 3000.0), corners(far)) == pytest.approx((0.0, -1.0, -3000.0))
    assert _face_line((0.0, 0.0), (4000.0, 0.0), corners(far)) == pytest.approx((0.0, -1.0, 0.0))


def test_corners_lie_where_the_faces_cross() -> None:
    ring: list[Point] = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)]
    faces = corners(
        face((0.0, -20.0), (4000.0, -20.0), 0.0, 2400.0), face((4010.0, 0.0), (4010.0, 3000.0), 0.0, 2400.0)
    )
    expected = [(0.0, -20.0), (4010.0, -20.0), (4010.0, 3000.0), (0.0, 3000.0)]
    assert same(_on_faces(ring, faces), expected)
    both = corners(face((0.0, -20.0), (4000.0, -20.0), 0.0, 2400.0), face((4020.0, 0.0), (4020.0, 3000.0), 0.0, 2400.0))
    assert _on_faces(ring, both)[1] == (4000.0, 0.0)  # 28 mm away: further than walls of one line are


HOUSE: list[Point] = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (2000.0, 4000.0), (2000.0, 3000.0), (0.0, 3000.0)]
ROOF = [(-500.0, -500.0), (6500.0, -500.0), (6500.0, 4500.0), (1500.0, 4500.0), (1500.0, 3500.0), (-500.0, 3500.0)]


@pytest.mark.parametrize("first", range(6))
def test_walls_are_numbered_as_the_outline_is(first: int) -> None:
    outline = ROOF[first:] + ROOF[:first]
    assert same(outer_line(room(HOUSE), under(outline)), HOUSE[first:] + HOUSE[:first])
    assert same(outer_line(room(HOUSE[::-1]), under(outline)), HOUSE[first:] + HOUSE[:first])


def test_of_a_square_house_the_side_nearest_to_the_outlines_is_its_first() -> None:
    square: list[Point] = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 4000.0), (0.0, 4000.0)]
    outline = [(4500.0, -500.0), (4500.0, 4500.0), (-500.0, 4500.0), (-500.0, -500.0)]
    assert same(outer_line(room(square), under(outline)), [*square[1:], square[0]])
    # outlines that run the other way round number the walls so too
    assert _numbered(square, tuple(outline[::-1])) == (square[0], square[3], square[2], square[1])
    # 1.1 degrees and less are one way (cosine 0.9998): 1 in 55 is 1.04 degrees, 1 in 45 is 1.27
    for fall, fits in ((1.0 / 55.0, True), (1.0 / 45.0, False)):
        skewed = [(x - y * fall + 100.0, y + x * fall) for x, y in (*square[2:], *square[:2])]
        assert _numbered(square, tuple(skewed)) == ((*square[2:], *square[:2]) if fits else tuple(square))


def test_only_what_is_closed_in_under_the_roof_is_the_house() -> None:
    beside: list[Point] = [(20000.0, 0.0), (29000.0, 0.0), (29000.0, 9000.0), (20000.0, 9000.0)]
    both = np.concatenate([room(HOUSE), room(beside)])
    assert same(outer_line(both, under(ROOF)), HOUSE)
    porch: list[Point] = [(6000.0, 0.0), (6400.0, 0.0), (6400.0, 4000.0), (6000.0, 4000.0)]
    closed = outer_line(np.concatenate([room(HOUSE), room(porch)]), under(ROOF))
    assert same(closed, [HOUSE[0], porch[1], porch[2], *HOUSE[3:]])
    open_side = corners(face((0.0, 0.0), (6000.0, 0.0), 0.0, 2400.0))
    assert outer_line(open_side, under(ROOF)) == ()
    assert outer_line(np.zeros((0, 3, 3)), under(ROOF)) == ()


@pytest.mark.parametrize(("wide", "found"), [(999.0, False), (1001.0, True)])  # 2 m2 is the least house
def test_less_than_two_square_metres_are_no_house(wide: float, found: bool) -> None:
    hut: list[Point] = [(0.0, 0.0), (2000.0, 0.0), (2000.0, wide), (0.0, wide)]
    assert bool(outer_line(room(hut), under(ROOF))) is found


@pytest.mark.parametrize(("gap", "found"), [(5.9, True), (6.1, False)])  # each is drawn longer by 3 mm at either end
def test_walls_that_miss_each_other_by_less_than_six_millimetres_meet(gap: float, found: bool) -> None:
    walls = [face(a, b, 0.0, 2400.0) for a, b in zip(HOUSE, [*HOUSE[1:], HOUSE[0]], strict=True)]
    walls[0] = face((0.0, 0.0), (3000.0, 0.0), 0.0, 2400.0) + face((3000.0 + gap, 0.0), (6000.0, 0.0), 0.0, 2400.0)
    assert bool(outer_line(corners(*walls), under(ROOF))) is found


def test_bodies_of_an_opening_hang_together_by_corners() -> None:
    triangles = np.array([(0, 1, 2), (3, 4, 5), (2, 6, 7), (8, 4, 9), (10, 11, 12), (7, 13, 14)])
    assert [found.tolist() for found in _bodies(triangles)] == [
        [[0, 1, 2], [2, 6, 7], [7, 13, 14]],
        [[3, 4, 5], [8, 4, 9]],
        [[10, 11, 12]],
    ]


def test_the_length_that_stretches_cover() -> None:
    assert _covered(np.array([5.0, 0.0, 1.0, 8.0]), np.array([7.0, 3.0, 2.0, 9.0])) == 6.0
    assert _covered(np.array([0.0, 2.0]), np.array([3.0, 4.0])) == 4.0
    assert _covered(np.array([-2.0]), np.array([1.5])) == 3.5


def _tall(*faces: list[list[tuple[float, float, float]]]) -> list[bool]:
    every = corners(*faces)
    crossed = np.cross(every[:, 1] - every[:, 0], every[:, 2] - every[:, 0])
    return [bool(v) for v in _high(every, crossed, np.linalg.norm(crossed, axis=1))][::2]


def test_a_strip_under_600_mm_high_is_no_wall() -> None:
    assert _tall(face((0.0, 0.0), (6000.0, 0.0), 0.0, 600.0)) == [True]
    assert _tall(face((0.0, 0.0), (6000.0, 0.0), 0.0, 599.0)) == [False]
    # two lie in one line, one over the other: 350 and 250 mm
    assert _tall(face((0.0, 0.0), (6000.0, 0.0), 0.0, 350.0), face((0.0, 0.0), (6000.0, 0.0), 350.0, 600.0)) == [
        True,
        True,
    ]
    # in another line, or another direction, they stand alone
    assert _tall(face((0.0, 0.0), (6000.0, 0.0), 0.0, 350.0), face((0.0, 60.0), (6000.0, 60.0), 350.0, 600.0)) == [
        False,
        False,
    ]
    assert _tall(face((0.0, 0.0), (6000.0, 0.0), 0.0, 350.0), face((0.0, 0.0), (0.0, 6000.0), 0.0, 2400.0)) == [
        False,
        True,
    ]
    # on average: 6 m of 300 mm and 3 m beyond of 1200 mm are 1.8 + 3.6 m2 over 9 m
    assert _tall(face((0.0, 0.0), (6000.0, 0.0), 0.0, 300.0), face((6000.0, 0.0), (9000.0, 0.0), 0.0, 1200.0)) == [
        True,
        True,
    ]
    oblique = face((0.0, 0.0), (3000.0, 4000.0), 0.0, 601.0), face((5000.0, 0.0), (2000.0, 4000.0), 0.0, 599.0)
    assert _tall(*oblique) == [True, False]


def test_walls_are_what_a_file_states_or_what_it_says_nothing_of() -> None:
    wall, other = face((0.0, 0.0), (6000.0, 0.0), 0.0, 2400.0), face((0.0, 4000.0), (6000.0, 4000.0), 0.0, 2400.0)
    window = face((1000.0, 0.0), (2000.0, 0.0), 900.0, 2100.0)
    every = corners(wall, other, window)
    number = np.arange(18).reshape(6, 3)

    def found(*stated: StatedPart) -> UprightFaces:
        parts = tuple(RawPart(f"p{k}", f"part {k}", what) for k, what in enumerate(stated))
        raw = raw_faces(every.reshape(-1, 3), number, "house", part_of=[0, 0, 1, 1, 2, 2], parts=parts)
        return upright_faces(raw, raw.points, (100.0, 200.0, 300.0))

    moved = every - np.array([100.0, 200.0, 300.0])
    stated = found(StatedPart.UNKNOWN, StatedPart.WALL, StatedPart.OPENING)
    assert np.array_equal(stated.corners_mm, moved[2:4])
    assert [opening.name for opening in stated.openings] == ["part 2", "part 2"]  # its triangles share no corners here
    assert np.array_equal(np.concatenate([opening.corners_mm for opening in stated.openings]), moved[4:])
    silent = found(StatedPart.UNKNOWN, StatedPart.UNKNOWN, StatedPart.OTHER)
    assert np.array_equal(silent.corners_mm, moved[:4])
    assert silent.openings == ()


@pytest.mark.parametrize(
    ("lean", "area", "stands"),
    [(0.0, 1.0, True), (119.0, 1.0, True), (121.0, 1.0, False), (0.0, 1e-7, False)],  # 5 % of 2400 mm is 120 mm
)
def test_a_wall_stands_within_three_degrees_and_is_no_crumb(lean: float, area: float, stands: bool) -> None:
    a = 6000.0 * area
    points = [(0.0, 0.0, 0.0), (a, 0.0, 0.0), (a, lean, 2400.0), (0.0, lean, 2400.0)]
    raw = raw_faces(points, [(0, 1, 2), (0, 2, 3)], "house")
    assert (len(upright_faces(raw, raw.points, (0.0, 0.0, 0.0)).corners_mm) == 2) is stands
