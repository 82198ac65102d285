"""The roomiest point of a polygon and the grid inside it, in the last column and row and where other shapes lie over it."""

from __future__ import annotations

import pytest

from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.label_places import edge_distance, grid_inside, inside, roomiest, segment_distance
from takeoff.write.drawings.overlaps import level


def turned(ring: Ring2) -> Ring2:
    """Across for up."""
    return tuple((y, x) for x, y in ring)


# 24 along, a bar of 0.8 at the head of a thin stem: its grid of 1 has a last, eleventh row at 10.5 of 10.9
BAR: Ring2 = (
    (-30.0, 10.1), (-18.05, 10.1), (-18.05, 0.0), (-17.95, 0.0), (-17.95, 10.1), (-6.0, 10.1), (-6.0, 10.9), (-30.0, 10.9),
)  # fmt: skip


def near(found: tuple[Point2, float], at: Point2, room: float) -> None:
    assert [round(x, 9) for x in found[0]] == [round(x, 9) for x in at]
    assert round(found[1], 9) == room


def test_the_roomiest_point_may_lie_in_the_last_row_or_column() -> None:
    near(roomiest((BAR,)), (-29.5, 10.5), 0.4)
    near(roomiest((turned(BAR),)), (10.5, -29.5), 0.4)


def test_what_lies_over_a_polygon_is_kept_off() -> None:
    """24 x 10 with its left 15 covered: 9 x 10 are left, and of those 4.5 the most is 4.5 at (19.5, 4.5) first."""
    box: Ring2 = ((0.0, 0.0), (24.0, 0.0), (24.0, 10.0), (0.0, 10.0))
    over: Ring2 = ((-1.0, -1.0), (15.0, -1.0), (15.0, 11.0), (-1.0, 11.0))
    near(roomiest((box,), ((over,),)), (19.5, 4.5), 4.5)
    near(roomiest((box,), ((((-9.0, -9.0), (99.0, -9.0), (99.0, 99.0), (-9.0, 99.0)),),)), (12.0, 5.0), 0.0)
    # a side of what lies over it is an edge as any: the last of a ring too
    edge: Ring2 = ((24.0, -5.0), (30.0, -5.0), (30.0, 15.0), (16.0, 15.0), (16.0, 5.0))
    (x, y), room = roomiest((box,), ((edge,),))
    assert room == min(edge_distance((box,), (x, y)), edge_distance((edge,), (x, y)))
    # a hole keeps words off and out of itself
    hole: Ring2 = ((3.0, 3.0), (3.0, 7.0), (21.0, 7.0), (21.0, 3.0))
    near(roomiest((box, hole)), (1.5, 1.5), 1.5)


def test_of_equal_places_the_first_from_the_lower_left_counts() -> None:
    near(roomiest((((0.0, 0.0), (24.0, 0.0), (24.0, 12.0), (0.0, 12.0)),)), (5.5, 5.5), 5.5)


def test_a_grid_of_twelve_inside_a_polygon_goes_by_its_room() -> None:
    """12 x 3.9: rows at 0.5, 1.5, 2.5 and 3.5, of which the second and third have 1.5 and 1.4 from the long sides."""
    ring: Ring2 = ((-12.0, 100.0), (0.0, 100.0), (0.0, 103.9), (-12.0, 103.9))
    found = grid_inside((ring,))
    assert len(found) == 48
    assert found[0] == (-10.5, 101.5)
    assert {round(y, 9) for _, y in found[:10]} == {101.5}
    assert {round(y, 9) for _, y in found[10:18]} == {102.5}
    assert found == sorted(found, key=lambda at: -round(edge_distance((ring,), at), 3))
    assert len(grid_inside((turned(ring),))) == 48
    assert len(grid_inside((ring,), cells=6)) == 12
    assert grid_inside((((5.0, 5.0), (5.0, 5.0), (5.0, 5.0)),)) == []


def test_the_distance_from_a_point_without_length() -> None:
    assert segment_distance((3.0, 4.0), (0.0, 0.0), (0.0, 0.0)) == 5.0
    assert segment_distance((3.0, 4.0), (1.0, 0.0), (1.0, 0.0)) == 20.0**0.5


@pytest.mark.parametrize(
    ("point", "found"),
    [
        # the slope from (300, 100) to (100, 500) is x = 300 - (y - 100) / 2, the other x = -100 + (y - 100) / 2
        ((249.0, 200.0), True), ((251.0, 200.0), False), ((149.0, 400.0), True), ((151.0, 400.0), False),
        ((-49.0, 200.0), True), ((-51.0, 200.0), False), ((51.0, 400.0), True), ((49.0, 400.0), False),
        # level with a corner: the lower one belongs to it, the upper one does not
        ((0.0, 100.0), True), ((100.0, 500.0), False), ((0.0, 99.0), False),
    ],
)  # fmt: skip
def test_points_inside_a_triangle(point: Point2, found: bool) -> None:
    for ring in (((-100.0, 100.0), (300.0, 100.0), (100.0, 500.0)), ((300.0, 100.0), (-100.0, 100.0), (100.0, 500.0))):
        assert inside((ring,), point) is found


def test_the_grid_is_as_fine_as_the_polygon_is_large() -> None:
    """240 x 100: cells of 10, the first place with 45 of room at (45, 45); 120 x 39 on twelve: of 10."""
    box: Ring2 = ((0.0, 0.0), (240.0, 0.0), (240.0, 100.0), (0.0, 100.0))
    near(roomiest((box,)), (45.0, 45.0), 45.0)
    hole: Ring2 = ((10.0, 10.0), (10.0, 20.0), (30.0, 20.0), (30.0, 10.0))
    found = grid_inside((((-120.0, 0.0), (0.0, 0.0), (0.0, 38.0), (-120.0, 38.0)), hole))
    assert sorted(found) == [(-115.0 + 10 * i, 5.0 + 10 * j) for i in range(12) for j in range(4)]
    assert {y for _, y in found[:2]} == {15.0}


@pytest.mark.parametrize(
    ("shape", "found"),
    [
        (((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)), True), (((0.0, 0.0), (4.0, 0.0)), True), (((1.0, 0.0), (1.0, 3.0)), True),
        (((0.0, 0.0), (4.0, 1.0)), False), (((0.0, 0.0), (4.0, 0.0), (4.0, 2.0)), False), (((0.0, 0.0), (4.0, 1.0), (3.0, 5.0), (-1.0, 4.0)), False),
    ],
)  # fmt: skip
def test_which_shapes_are_their_own_bounds(shape: Ring2, found: bool) -> None:
    for start in range(len(shape)):
        assert level((*shape[start:], *shape[:start])) is found
