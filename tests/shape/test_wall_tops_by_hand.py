"""Corners, sides and tops of walls, each with figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from oblique_wall import Point, at, near, plane, wall

from takeoff.model.roof import Frame, UprightKind
from takeoff.model.walls import Corner
from takeoff.shape.walls import wall_edges as edges_of
from takeoff.shape.walls.wall_edges import _corner, _offset, _over, _same_way, _Side, _sides, run_beside
from takeoff.shape.walls.wall_tops import (
    _meeting,
    _step_height,
    _straight,
    clipped,
    height_over,
    highest_between,
    lowest_between,
    plane_spans,
    raised,
    roof_over_wall,
    tidy,
)


@pytest.mark.parametrize(
    ("a", "b", "c", "corner"),
    [
        ((0, 0), (10, 0), (10, 10), Corner("external", 90.0)),
        ((0, 0), (10, 0), (10, -10), Corner("internal", 90.0)),
        ((5, 5), (15, 5), (25, 15), Corner("external", 135.0)),
        ((5, 5), (15, 5), (5, 15), Corner("external", 45.0)),
        ((5, 5), (15, 5), (25, -5), Corner("internal", 135.0)),
        ((0, 0), (1000, 0), (2000, 8), Corner("none", 180.0)),  # 0.46 degrees
        ((0, 0), (1000, 0), (2000, -8), Corner("none", 180.0)),
        ((0, 0), (1000, 0), (2000, 9), Corner("external", 180.0 - 0.515652)),
    ],
)
def test_corners_of_walls(a: Point, b: Point, c: Point, corner: Corner) -> None:
    found = _corner(a, b, c)
    assert (found.kind, found.angle_deg) == (corner.kind, pytest.approx(corner.angle_deg, abs=1e-5))


def side(left: Point, right: Point, number: int = 1) -> _Side:
    return _Side(number, 0, left, left, right, right)


def test_places_beside_a_wall() -> None:
    one = side((1000.0, 2000.0), (4000.0, 6000.0))
    assert _offset(one, at(1234.0, 700.0)) == pytest.approx(700.0)
    assert _offset(one, at(9999.0, -250.0)) == pytest.approx(-250.0)
    for (s, t), shared in (
        ((0.0, 5000.0), 5000.0), ((1000.0, 4200.0), 3200.0), ((-700.0, 1500.0), 1500.0), ((4000.0, 8000.0), 1000.0),
        ((4000.0, 3100.0), 900.0), ((6000.0, 8000.0), -1000.0), ((-900.0, -400.0), -400.0),
    ):  # fmt: skip
        assert edges_of._shared(one, side(at(s, 300.0), at(t, -80.0))) == pytest.approx(shared)


@pytest.mark.parametrize(
    ("right", "same"),
    [((3000.0, 4000.0), True), ((-3000.0, -4000.0), False), ((4000.0, -3000.0), False), ((0.0, 0.0), False),
     ((3076.0, 3942.0), True), ((3083.0, 3936.0), False)],
)  # fmt: skip
def test_sides_that_run_one_way(right: Point, same: bool) -> None:
    """(3076, 3942) is turned by 1.1 degrees from (3000, 4000), (3083, 3936) by 1.2; the limit, 0.9998, is 1.146 degrees."""
    one = side((1000.0, 2000.0), (4000.0, 6000.0))
    assert _same_way(one, side((700.0, 900.0), (700.0 + right[0], 900.0 + right[1]))) is same


def test_an_outline_side_is_over_a_wall_where_it_is_not_inside() -> None:
    one = side((1000.0, 2000.0), (4000.0, 6000.0))
    assert _over(one, side(at(0.0, 600.0), at(5000.0, 600.0)))
    assert _over(one, side(at(0.0, -4.9), at(5000.0, -4.9)))
    assert not _over(one, side(at(0.0, -5.1), at(5000.0, -5.1)))
    assert not _over(one, side(at(5000.0, 600.0), at(0.0, 600.0)))
    assert not _over(one, None)


def test_sides_are_turned_with_the_house_on_their_left() -> None:
    """A ring round the house clockwise, and a court counter-clockwise: both are turned."""
    outer = ((0.0, 0.0), (0.0, 8.0), (9.0, 8.0), (9.0, 0.0))
    court = ((3.0, 3.0), (5.0, 3.0), (5.0, 4.0))
    found = list(_sides((outer, court), ()))
    assert [(one.number, one.ring) for one in found] == [(1, 0), (2, 0), (3, 0), (4, 0), (5, 1), (6, 1), (7, 1)]
    assert (found[0].before, found[0].left, found[0].right, found[0].after) == (outer[2], outer[1], outer[0], outer[3])
    assert (found[4].before, found[4].left, found[4].right, found[4].after) == (court[2], court[1], court[0], court[2])
    assert [one.number for one in _sides((outer, court), ((7, 8, 9, 10), (3, 2, 1)))] == [7, 8, 9, 10, 3, 2, 1]
    assert next(_sides((outer[::-1],), ())).left == outer[3]


def test_a_model_wall_takes_the_nearest_outline_side_that_runs_beside_it() -> None:
    one = side((1000.0, 2000.0), (4000.0, 6000.0), 9)
    far, close = side(at(0.0, 900.0), at(5000.0, 900.0), 1), side(at(0.0, 600.0), at(2500.0, 600.0), 2)
    short, inside = side(at(4000.0, 100.0), at(8000.0, 100.0), 3), side(at(0.0, -6.0), at(5000.0, -6.0), 4)
    assert edges_of._beside(one, [far, close, short, inside]) is close
    assert edges_of._beside(one, [far, short, inside]) is far
    assert edges_of._beside(one, [short, inside, side(at(5000.0, 600.0), at(0.0, 600.0), 5)]) is None
    half = side(at(3000.0, 100.0), at(7000.0, 100.0), 6)  # 2 of 4 m
    assert edges_of._beside(one, [half]) is half
    other_ring = _Side(7, 1, *(point for point in (far.left, far.left, far.right, far.right)))
    assert edges_of._beside(one, [other_ring]) is None


def test_roof_edges_in_the_plane_of_a_wall() -> None:
    def run(s: float, t: float, out: float = 0.0) -> Any:
        return SimpleNamespace(a_mm=(*at(s, 0.0), 2400.0), b_mm=(*at(t, out), 2600.0))

    assert run_beside(wall(), run(1000.0, 4000.0), (0.0, 0.0)) == pytest.approx(3000.0)
    assert run_beside(wall(), run(-1000.0, 4000.0), (0.0, 0.0)) == pytest.approx(4000.0)
    assert run_beside(wall(), run(1000.0, 4000.0, 4.9), (0.0, 0.0)) == pytest.approx(3000.0)
    assert run_beside(wall(), run(1000.0, 4000.0, 5.1), (0.0, 0.0)) == 0.0
    assert run_beside(wall(), run(6000.0, 9000.0), (0.0, 0.0)) == 0.0
    assert run_beside(wall(), run(1000.0, 4000.0), (600.0, 800.0)) == pytest.approx(3000.0)  # a metre along
    assert run_beside(wall(), run(3000.0, 4000.0), (900.0, 1200.0)) == pytest.approx(500.0)
    assert run_beside(wall(), run(1000.0, 4000.0), (800.0, -600.0)) == 0.0


# tops


def test_tops_without_needless_points() -> None:
    assert tidy([], 6000.0) == ()
    assert tidy([(10.0, 2400.0)], 6000.0) == ((0.0, 2400.0), (6000.0, 2400.0))
    ridge = [(3.0, 2400.0), (1500.0, 3000.0), (3000.0, 3600.0), (3000.0, 3600.004), (5990.0, 2400.0)]
    assert tidy(ridge, 6000.0) == ((0.0, 2400.0), (3000.0, 3600.0), (6000.0, 2400.0))
    step = [(0.0, 2400.0), (2000.0, 2400.0), (2000.0, 2700.0), (2000.0, 3000.0), (6000.0, 3000.0)]
    assert tidy(step, 6000.0) == ((0.0, 2400.0), (2000.0, 2400.0), (2000.0, 3000.0), (6000.0, 3000.0))


@pytest.mark.parametrize(
    ("b", "straight"),
    [((3000.0, 3000.009), True), ((3000.0, 3000.011), False), ((3000.0, 2999.989), False), ((0.005, 3000.0), False),
     ((5999.995, 3599.999), False), ((2000.0, 2800.0), True)],
)  # fmt: skip
def test_points_on_the_way(b: Point, straight: bool) -> None:
    assert _straight((0.0, 2400.0), b, (6000.0, 3600.0)) is straight
    assert _straight((7.0, 100.0), (7.0, 200.0), (7.0, 300.0))
    assert not _straight((7.0, 100.0), (7.0, 300.0), (7.0, 200.0))


GABLE = ((0.0, 2400.0), (3000.0, 3600.0), (6000.0, 2700.0))


def test_the_higher_of_a_top_and_a_level_line() -> None:
    """Up 1200 on 3000, down 900 on 3000: 2800 is met at 1000 and at 3000 + 800 x 3000 / 900."""
    assert near(
        raised(GABLE, 2800.0),
        [(0.0, 2800.0), (1000.0, 2800.0), (3000.0, 3600.0), (3000.0 + 2666.6667, 2800.0), (6000.0, 2800.0)],
    )
    assert raised(GABLE, 2000.0) == GABLE
    assert raised(GABLE, 4000.0) == ((0.0, 4000.0), (6000.0, 4000.0))
    assert near(raised(GABLE, 2400.0), GABLE)


def test_parts_of_a_top() -> None:
    assert near(
        clipped(GABLE, 1000.0, 4000.0), [(1000.0, 2800.0), (3000.0, 3600.0), (3000.0, 3600.0), (4000.0, 3300.0)]
    )
    assert near(clipped(GABLE, 1500.0, 1500.0), [(1500.0, 3000.0), (1500.0, 3000.0)])
    assert (lowest_between(GABLE, 1000.0, 5000.0), highest_between(GABLE, 1000.0, 2000.0)) == (2800.0, 3200.0)
    stepped = ((0.0, 2400.0), (2000.0, 2500.0), (2000.0, 3000.0), (6000.0, 3000.0))
    assert near(clipped(stepped, 1000.0, 2000.0), [(1000.0, 2450.0), (2000.0, 2500.0)])
    assert near(clipped(stepped, 2000.0, 3000.0), [(2000.0, 3000.0), (3000.0, 3000.0)])
    assert [_step_height(stepped, x) for x in (-1.0, 500.0, 2000.0, 6000.0, 7000.0)] == [
        2400.0,
        2425.0,
        2500.0,
        3000.0,
        3000.0,
    ]
    assert _step_height(stepped[1:], 2000.0) == 3000.0
    assert _step_height(((5.0, 10.0), (5.0, 30.0)), 5.0) == 30.0


def test_where_a_plane_lies_over_a_wall() -> None:
    """A plane over the house's side of the wall (left of it), from 1.2 m to 4.4 m along it; and a hole in it from 2 to 3 m."""
    ring = [at(1200.0, 300.0), at(4400.0, 300.0), at(4400.0, -3000.0), at(1200.0, -3000.0)]
    hole = [at(2000.0, 100.0), at(3000.0, 100.0), at(3000.0, -500.0), at(2000.0, -500.0)]
    over = plane(*ring)
    assert near(plane_spans(over, wall(), 5000.0), [(1200.0, 4400.0)])
    holed = SimpleNamespace(frame=over.frame, rings_uv=(over.rings_uv[0], tuple(hole)))
    assert near(plane_spans(holed, wall(), 5000.0), [(1200.0, 2000.0), (3000.0, 4400.0)])
    on = plane(at(-900.0, 0.0), at(9000.0, 0.0), at(9000.0, -3000.0), at(-900.0, -3000.0))
    assert near(plane_spans(on, wall(), 5000.0), [(0.0, 5000.0)])
    assert list(plane_spans(on, wall(), 5000.0, inside=False)) == []
    # ends nearer than 1 mm to the wall's own are its own; what is no longer than half a millimetre is nothing
    close = plane(at(0.9, 300.0), at(4999.1, 300.0), at(4999.1, -3000.0), at(0.9, -3000.0))
    assert near(plane_spans(close, wall(), 5000.0), [(0.0, 5000.0)])
    apart = plane(at(1.1, 300.0), at(4998.9, 300.0), at(4998.9, -3000.0), at(1.1, -3000.0))
    assert near(plane_spans(apart, wall(), 5000.0), [(1.1, 4998.9)])
    crumb = plane(at(1200.0, 300.0), at(1200.4, 300.0), at(1200.4, -3000.0), at(1200.0, -3000.0))
    assert list(plane_spans(crumb, wall(), 5000.0)) == []
    # a border that crosses the wall aslant, from 1 m out at 1 m to 1 m in at 3 m: it crosses at 2 m
    aslant = plane(at(1000.0, 1000.0), at(3000.0, -1000.0), at(1000.0, -1000.0))
    assert near(plane_spans(aslant, wall(), 5000.0), [(1000.0, 2000.5)])  # sought half a millimetre inside


def test_the_roof_over_a_wall() -> None:
    """1 in 10 along y: a wall that goes up 4000 in y over 5000; planes of two falls that meet over 3 m, and a gap after 4 m."""
    assert height_over(plane((0.0, 0.0), low=2400.0, fall=0.1), wall(), 2500.0) == pytest.approx(2400.0 + 0.1 * 4000.0)
    whole = plane(at(-900.0, 600.0), at(9000.0, 600.0), at(9000.0, -3000.0), at(-900.0, -3000.0), fall=0.1)
    roof: Any = SimpleNamespace(planes=(whole,))
    assert near(roof_over_wall(roof, wall()), [(0.0, 2600.0), (5000.0, 3000.0)])
    first = plane(at(-900.0, 600.0), at(3000.0, 600.0), at(3000.0, -3000.0), at(-900.0, -3000.0), fall=0.1)
    level = plane(at(3000.0, 600.0), at(4000.0, 600.0), at(4000.0, -3000.0), at(3000.0, -3000.0), low=2840.0)
    roof = SimpleNamespace(planes=(first, level))  # at 3 m y is 4400: 2840
    assert near(roof_over_wall(roof, wall()), [(0.0, 2600.0), (3000.0, 2840.0), (5000.0, 2840.0)])
    lower = plane(at(-900.0, 600.0), at(9000.0, 600.0), at(9000.0, -3000.0), at(-900.0, -3000.0), low=2500.0)
    assert near(roof_over_wall(SimpleNamespace(planes=(whole, lower)), wall()), [(0.0, 2500.0), (5000.0, 2500.0)])  # type: ignore[arg-type]
    step = plane(at(3000.0, 600.0), at(9000.0, 600.0), at(9000.0, -3000.0), at(3000.0, -3000.0), low=3200.0)
    assert near(
        roof_over_wall(SimpleNamespace(planes=(first, step)), wall()),  # type: ignore[arg-type]
        [(0.0, 2600.0), (3000.0, 2840.0), (3000.0, 3200.0), (5000.0, 3200.0)],
    )
    assert roof_over_wall(SimpleNamespace(planes=()), wall()) == ()  # type: ignore[arg-type]


def test_where_planes_meet_over_a_wall() -> None:
    """Rises of 0.08 and 0 along the wall, 0.04 mm apart at 3 m: they meet half a millimetre further back."""
    one, other = plane((0.0, 0.0), low=2400.0, fall=0.1), plane((0.0, 0.0), low=2839.96)
    meeting = _meeting(one, other, wall(), 3000.0)
    assert meeting is not None
    assert near([meeting], [(2999.5, 2839.96)])
    assert _meeting(one, one, wall(), 3000.0) is None
    assert _meeting(one, plane((0.0, 0.0), low=3200.0), wall(), 3000.0) is None


def test_a_gable_on_the_outline_itself_lets_its_wall_rise() -> None:
    over = side((0.0, 0.0), (6000.0, 0.0), 3)

    def face(y: float, kind: UprightKind = UprightKind.GABLE, edge: int = 3) -> Any:
        frame = Frame((0.0, y, 2400.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
        return SimpleNamespace(kind=kind, outline_edge=edge, frame=frame, rings_uv=(((0, 0), (6000, 0), (3000, 1500)),))

    def stands(*faces: Any) -> bool:
        return edges_of._stands_gable(SimpleNamespace(uprights=faces), over)  # type: ignore[arg-type]

    assert stands(face(4.9))
    assert not stands(face(5.1))
    assert not stands(face(-5.1))
    assert not stands(face(0.0, UprightKind.STEP), face(0.0, edge=2))
    assert stands(face(0.0, UprightKind.STEP), face(900.0), face(0.0))
