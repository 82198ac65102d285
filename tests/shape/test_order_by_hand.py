"""Outlines put in order, rule by rule: means without strays, groups, the least change, lines and their crossings."""

from __future__ import annotations

from math import atan2, cos, degrees, pi, radians, sin
from typing import Any

import numpy as np
import pytest

from takeoff.shape.outline_order import depths as of_depths
from takeoff.shape.outline_order.arcs import _bend, arcs
from takeoff.shape.outline_order.corners import Corners, _at, _crossing, _onto
from takeoff.shape.outline_order.depths import _Depth, _equal, _outward, _shared_fascias, _whole_mm
from takeoff.shape.outline_order.directions import _end_off, _mean_angle, _near, directions, off_axis
from takeoff.shape.outline_order.means import _weighted_median, gathered, least_change, settled_mean
from takeoff.shape.outline_order.plan_lines import refitted
from takeoff.shape.outline_order.plan_sides import Direction, Line, PlanRing, Side, line_slack_mm, sides_of
from takeoff.shape.outline_order.values import _evened

AXIS = (0.6, 0.8)


def line(quarters: int, off: float, sides: tuple[int, ...] = (), family: int = 0) -> Line:
    return Line(Direction(family, quarters, AXIS), off, sides)


def ring(*points: tuple[float, float], hole: bool = False, over: float = 0.0, roof: int = 0) -> PlanRing:
    return PlanRing(roof, points, hole, (over,) * len(points))


@pytest.mark.parametrize(
    ("values", "weights", "median"),
    [
        ([5.0, 1.0, 3.0], [1.0, 1.0, 1.0], 3.0), ([5.0, 1.0, 3.0, 9.0], [1.0] * 4, 4.0), ([5.0, 1.0], [1.0, 3.0], 1.0), ([7.0], [2.0], 7.0),
        ([1.0, 2.0, 10.0], [2.0, 2.0, 4.0], 6.0), ([1.0, 2.0, 10.0], [2.0, 2.0, 4.1], 10.0), ([10.0, 2.0, 1.0], [3.9, 2.0, 2.0], 2.0),
    ],
)  # fmt: skip
def test_medians_by_weight(values: list[float], weights: list[float], median: float) -> None:
    assert _weighted_median(values, weights) == median


def test_means_leave_strays_out() -> None:
    assert settled_mean([0.0, 0.0, 0.0, 1.0], [1.0] * 4) == 0.0
    assert settled_mean([1.0, 2.0, 3.0], [1.0] * 3) == 2.0
    assert settled_mean([1.0, 4.0], [1.0, 1.0], [3.0, 1.0]) == pytest.approx(1.75)
    assert settled_mean([10.0, 10.2, 10.4, 90.0], [1.0] * 4) == pytest.approx(10.2)


def test_values_gathered_about_their_heaviest() -> None:
    values, weights = [10.0, 11.0, 12.0, 13.0, 8.0, 9.0], [1.0, 5.0, 1.0, 4.0, 1.0, 1.0]
    assert gathered(values, weights, 1.0) == [[1, 2, 0], [3], [4, 5]]
    assert gathered(values, weights, 2.0) == [[1, 2, 3, 0, 5], [4]]
    assert gathered(values, weights, 1.0, lambda a, b: {a, b} == {1, 2}) == [[1, 0], [3, 2], [4, 5]]
    assert gathered([], [], 1.0) == []


def test_the_least_change_that_meets_conditions() -> None:
    """Weighted least squares under equations, solved a second way (numpy, by the multipliers)."""
    values, weights = [1.0, 5.0, 9.5, 20.0], [1.0, 4.0, 2.0, 0.5]
    conditions: list[Any] = [({0: -1.0, 1: 1.0}, 5.0), ({1: -1.0, 2: 1.0, 3: 0.5}, 12.0)]
    rows = np.zeros((2, 4))
    for k, (factors, _) in enumerate(conditions):
        for place, factor in factors.items():
            rows[k, place] = factor
    scale = np.diag(2.0 * np.array(weights))
    matrix = np.block([[scale, rows.T], [rows, np.zeros((2, 2))]])
    expected = np.linalg.solve(matrix, np.concatenate([scale @ np.array(values), [5.0, 12.0]]))[:4]
    assert least_change(values, weights, conditions) == pytest.approx(expected)
    again = [*conditions, ({0: -1.0, 1: 1.0}, 7.0), ({0: 2.0, 1: -2.0}, -10.0)]  # contradicts, and follows: left out
    assert least_change(values, weights, again) == pytest.approx(expected)
    assert least_change(values, weights, []) == values


def test_the_sides_of_rings() -> None:
    court = ring((1.0, 1.0), (1.0, 3.0), (4.0, 1.0), hole=True, over=7.0, roof=2)
    outer = PlanRing(1, ((0.0, 0.0), (3.0, 4.0), (0.0, 4.0)), False, (10.0, 20.0, 30.0))
    found = sides_of([outer, court])
    assert found[0] == Side(1, 0, 1, (0.0, 0.0), (3.0, 4.0), 5.0, atan2(4.0, 3.0), 1, 10.0)
    assert [(one.corner, one.after, one.inward, one.overhang_mm, one.roof) for one in found[1:]] == [
        (1, 2, 1, 20.0, 1), (2, 0, 1, 30.0, 1), (3, 4, 1, 7.0, 2), (4, 5, 1, 7.0, 2), (5, 3, 1, 7.0, 2),
    ]  # fmt: skip
    assert [one.inward for one in sides_of([ring(*outer.points[::-1]), ring(*court.points[::-1], hole=True)])] == [
        -1
    ] * 6


def test_directions_and_their_keys() -> None:
    rows = [Direction(3, quarters, AXIS) for quarters in range(4)]
    assert [one.along for one in rows] == [AXIS, (-0.8, 0.6), AXIS, (-0.8, 0.6)]
    assert [one.square for one in rows] == [(-0.8, 0.6), (-0.6, -0.8), (-0.8, 0.6), (-0.6, -0.8)]
    assert [one.line_key for one in rows] == [(3, 0), (3, 1), (3, 0), (3, 1)]
    assert [one.cross_key for one in rows] == [(3, 1), (3, 0), (3, 1), (3, 0)]


def test_how_far_apart_lines_are_one() -> None:
    """2 mm in a fine drawing, 4 in a coarse one (over 0.05), 6 at most."""
    assert [line_slack_mm(coarse) for coarse in (0.0, 0.05, 0.06, 99.0)] == [2.0, 2.0, 4.0, 6.0]


def test_lines_cross_and_points_are_laid_on_them() -> None:
    one, other = line(0, 30.0), line(1, -20.0)
    turn = one.direction.along[0] * other.direction.along[1] - one.direction.along[1] * other.direction.along[0]
    crossing = _crossing(one, other, turn)
    for each in (one, other):
        assert np.dot(crossing, each.direction.square) == pytest.approx(each.off_mm)
    for each in (one, other):
        onto = _onto(each, (7.0, -3.0))
        assert np.dot(onto, each.direction.square) == pytest.approx(each.off_mm)
        assert np.dot(onto, each.direction.along) == pytest.approx(np.dot((7.0, -3.0), each.direction.along))
        at = _at(each, 55.0)
        assert (np.dot(at, each.direction.along), np.dot(at, each.direction.square)) == pytest.approx(
            (55.0, each.off_mm)
        )


def test_corners_lie_where_their_lines_cross() -> None:
    """A ring of four sides of which three have lines; the corner with one line goes on to it, and the last stays."""
    sides = sides_of([ring((0.0, 0.0), (6.0, 8.1), (-2.0, 14.0), (-8.1, 6.0))])
    lines = [line(0, 0.0, (0,)), line(1, -10.0, (1,))]
    placed = Corners(sides).placed(lines, 0.0)
    assert placed[1] == pytest.approx((6.0, 8.0))
    assert placed[0] == (0.0, 0.0)
    assert placed[2] == pytest.approx((-2.0, 14.0))
    assert placed[3] == (-8.1, 6.0)


def test_corners_that_moved_too_far_are_told_with_their_sides() -> None:
    """Over 3 mm: both sides of the corner; a side that would lose more than half: it and both its neighbours."""
    points = [(0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0)]
    corners = Corners(sides_of([ring(*points)]))
    assert corners.misplaced([(3.0, 0.0), *points[1:]]) == set()
    assert corners.misplaced([(3.1, 0.0), *points[1:]]) == {0, 3}
    short = [(0.0, 0.0), (5.0, 0.0), (5.0, 400.0), (0.0, 400.0)]
    narrow = Corners(sides_of([ring(*short)]))
    assert narrow.misplaced([(2.5, 0.0), (5.0, 0.0), *short[2:]]) == set()
    assert narrow.misplaced([(2.6, 0.0), (5.0, 0.0), *short[2:]]) == {0, 1, 3}


@pytest.mark.parametrize(
    ("angle", "axis", "off"),
    [
        (0.3, 0.1, 0.2),
        (0.1, 0.3, -0.2),
        (0.1 + pi / 2.0, 0.3, -0.2),
        (0.3 - pi, 0.1, 0.2),
        (0.1 + 0.7, 0.1, 0.7),
        (0.1 + 0.8, 0.1, 0.8 - pi / 2.0),
    ],
)
def test_angles_off_an_axis(angle: float, axis: float, off: float) -> None:
    assert off_axis(angle, axis) == pytest.approx(off)


def test_leaders_near_an_angle_go_round_the_quarter() -> None:
    """2 degrees at most, either way; 44 and -45 are a degree apart."""
    leaders = [radians(a) for a in (-44.5, -3.0, 0.0, 1.9, 2.1, 44.0)]
    assert [round(degrees(a), 1) for a in _near(leaders, 0.0)] == [0.0, 1.9]
    assert sorted(round(degrees(a), 1) for a in _near(leaders, radians(44.9))) == [-44.5, 44.0]
    assert sorted(round(degrees(a), 1) for a in _near(leaders, radians(-44.9))) == [-44.5, 44.0]
    (side,) = sides_of([ring((0.0, 0.0), (1000.0, 0.0), (0.0, 1.0))])[:1]
    assert _end_off(side, 0.004) == pytest.approx(2.0)
    assert _end_off(side, radians(1.99)) == pytest.approx(500.0 * radians(1.99))
    assert _end_off(side, radians(2.01)) == float("inf")


def test_the_directions_of_a_house_with_a_wing_at_forty_five_degrees() -> None:
    """Sides of one axis share a family; a diagonal at 45.01 degrees is set by it; one at 20 degrees stands for itself."""
    turn = radians(45.01)
    points = [(0.0, 0.0), (9000.0, 0.4), (9000.0, 5000.0), (9000.0 - 2000.0 * cos(turn), 5000.0 + 2000.0 * sin(turn))]
    points += [(points[3][0] - 3000.0 * cos(radians(20.0)), points[3][1] + 3000.0 * sin(radians(20.0)))]
    points += [(0.0, points[4][1])]
    sides = sides_of([ring(*points)])
    found, coarse = directions(sides, frozenset())
    assert [one.quarters if one else None for one in found] == [
        0,
        1,
        found[2].quarters if found[2] else None,
        None,
        2,
        3,
    ]
    assert found[2] is not None
    assert degrees(atan2(found[2].axis[1], found[2].axis[0])) % 90.0 == pytest.approx(
        45.0 + degrees(atan2(found[0].axis[1], found[0].axis[0])), abs=1e-9
    )  # type: ignore[union-attr]
    assert 0.0 < coarse < 0.5
    free, _ = directions(sides, frozenset({2}))
    assert free[2] is None
    assert _mean_angle(sides, [0], 0.0) == pytest.approx(sides[0].angle)


def test_axes_are_fitted_to_the_ends_on_their_lines() -> None:
    """Two short sides far apart on one line say its direction: their ends fit 0.001 in 1 from the first to the last."""
    sides = sides_of(
        [
            ring(
                (0.0, 0.0),
                (1000.0, 0.0),
                (1000.0, -500.0),
                (9000.0, -500.0),
                (9000.0, 9.0),
                (10000.0, 9.0),
                (10000.0, 5000.0),
                (0.0, 5000.0),
            )
        ]
    )
    direction = Direction(0, 0, (1.0, 0.0))
    lines = [Line(direction, 0.0, (0, 4))]
    xs, ys = np.array([0.0, 1000.0, 9000.0, 10000.0]), np.array([0.0, 0.0, 9.0, 9.0])
    slope = float(((xs - xs.mean()) * (ys - ys.mean())).sum() / ((xs - xs.mean()) ** 2).sum())
    other = Direction(1, 0, AXIS)
    found = refitted(sides, (direction, None, other), lines)
    assert found[1:] == (None, other)
    assert found[0] is not None
    assert found[0].axis == pytest.approx((cos(slope), sin(slope)))
    turned = refitted(sides, (Direction(0, 1, AXIS),), [Line(Direction(0, 0, AXIS), 0.0, (0, 4))])
    along = np.array([[np.dot(p, AXIS), np.dot(p, (-0.8, 0.6))] for p in zip(xs, ys, strict=True)])
    t, r = along[:, 0] - along[:, 0].mean(), along[:, 1] - along[:, 1].mean()
    angle = atan2(0.8, 0.6) + float((t * r).sum() / (t * t).sum())
    assert turned[0] is not None
    assert turned[0].axis == pytest.approx((cos(angle), sin(angle)))


def test_which_way_is_out() -> None:
    sides = sides_of([ring((0.0, 0.0), (900.0, 0.0), (900.0, 400.0), (0.0, 400.0))])
    flat = Direction(0, 0, (1.0, 0.0))
    rows = [
        Line(flat, 0.0, ()),
        Line(Direction(0, 1, (1.0, 0.0)), 0.0, ()),
        Line(flat, 0.0, ()),
        Line(Direction(0, 1, (1.0, 0.0)), 0.0, ()),
    ]
    # offs grow to the north for lines along x, to the west for lines along y
    assert [_outward(sides, rows[k], k) for k in range(4)] == [-1.0, -1.0, 1.0, 1.0]
    back = sides_of([ring((0.0, 0.0), (0.0, 400.0), (900.0, 400.0), (900.0, 0.0))])
    assert [_outward(back, rows[1], 0), _outward(back, rows[0], 1)] == [1.0, 1.0]


def test_distances_become_whole_millimetres_where_all_nearly_are() -> None:
    """Of the main family, from the first line of each way; all of them within three times the coarseness."""
    flat = [Line(Direction(0, 0, (1.0, 0.0)), off, ()) for off in (10.0, 610.01, 1409.98)]
    assert _whole_mm(flat, [0, 1, 2], 0.01) == [({1: 1.0, 0: -1.0}, 600.0), ({2: 1.0, 0: -1.0}, 1400.0)]
    assert _whole_mm(flat, [0, 1, 2], 0.006) == []
    assert _whole_mm(flat, [1, 2], 0.011) == [({2: 1.0, 1: -1.0}, 800.0)]
    assert _whole_mm(flat, [0, 1, 2], 0.051) == []
    assert _whole_mm([Line(Direction(1, 0, (1.0, 0.0)), off, ()) for off in (0.0, 5.0)], [0, 1], 0.01) == []


def test_lines_of_two_roofs_that_share_a_fascia() -> None:
    """A wall line of 600 overhang at y = 0 and a roof drawn at y = -599: moved out they are 1 mm apart."""
    one = ring((0.0, 0.0), (900.0, 0.0), (900.0, 400.0), (0.0, 400.0), over=600.0)
    other = ring((2000.0, -599.0), (2900.0, -599.0), (2900.0, 300.0), (2000.0, 300.0), roof=1)
    sides = sides_of([one, other])
    flat = Direction(0, 0, (1.0, 0.0))
    lines = [Line(flat, 0.0, (0,)), Line(flat, -599.0, (4,))]
    expected = [({0: 1.0, 1: -1.0}, 600.0)]
    assert _shared_fascias(sides, lines, {0: 0, 4: 1}, 1.0) == expected
    assert _shared_fascias(sides, lines, {0: 0, 4: 1}, 0.9) == []
    same = sides_of([one, PlanRing(0, other.points, False, other.overhang_mm)])
    assert _shared_fascias(same, lines, {0: 0, 4: 1}, 1.0) == []


def test_depths_that_nearly_agree_are_made_equal() -> None:
    """3000 + 1200, 3000.4 + 1200 and 4201.2 without overhangs: neighbours in size, those that differ least first."""
    rows = [_Depth(0, 1, 1200.0, 4200.0), _Depth(2, 3, 0.0, 4201.2), _Depth(1, 4, 1200.0, 4200.5)]
    assert _equal(rows, 1.5) == [
        ({1: 1.0 - 1.0 + 1.0, 0: -1.0, 4: -1.0} | {1: 2.0}, 0.0),
        ({4: 1.0, 1: -1.0, 3: -1.0, 2: 1.0}, -1200.0),
    ]
    assert _equal(rows[:2], 1.1) == []


def test_distances_between_lines_of_one_way() -> None:
    flat, across = Direction(0, 0, (1.0, 0.0)), Direction(0, 1, (1.0, 0.0))
    lines = [
        Line(flat, 900.0, ()),
        Line(flat, 100.0, ()),
        Line(across, 500.0, ()),
        Line(flat, 106.0, ()),
        Line(flat, 106.1, ()),
    ]
    assert of_depths._distances(lines, [0, 1, 2, 3, 4]) == [
        _Depth(1, 0, 0.0, 800.0), _Depth(3, 0, 0.0, 794.0), _Depth(4, 0, 0.0, pytest.approx(793.9)), _Depth(1, 4, 0.0, pytest.approx(6.1)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("turn", "bend"), [(0.19, 0), (0.21, 1), (-0.21, -1), (14.9, 1), (15.1, 0), (-14.9, -1), (-15.1, 0), (180.0, 0)]
)
def test_corners_of_arcs_bend_a_little(turn: float, bend: int) -> None:
    for start in (0.0, 100.0, 179.9, -179.9):
        a, b = (
            Side(0, 0, 0, (0, 0), (0, 0), 1.0, (radians(angle) + pi) % (2.0 * pi) - pi, 1, 0.0)
            for angle in (start, start + turn)
        )
        assert _bend(a, b) == bend


def test_five_corners_in_a_row_make_an_arc() -> None:
    """A rectangle with one corner rounded: by five corners of 18 degrees none, by ten of 9 all the sides between them."""

    def rounded(count: int) -> PlanRing:
        step = pi / 2.0 / count
        points = [(0.0, 0.0), (9000.0, 0.0)]
        heading, (x, y) = 0.0, points[-1]
        for _ in range(count):
            heading += step
            if heading < pi / 2.0 - 1e-9:
                x, y = x + 300.0 * cos(heading), y + 300.0 * sin(heading)
                points.append((x, y))
        return ring(*points, (x, y + 4000.0), (0.0, y + 4000.0))

    assert arcs([rounded(5)]) == frozenset()
    other = ring((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
    assert arcs([other, rounded(10)]) == frozenset(range(3 + 1, 3 + 10))


def test_values_that_nearly_agree_become_what_most_agree_on() -> None:
    found = _evened([600.0, 599.9998, 600.0, 600.5, 450.0, 601.0])
    assert found[450.0] == 450.0
    assert found[601.0] == 601.0
    assert found[600.0] == found[599.9998] == found[600.5]
    assert found[600.0] == pytest.approx(600.0, abs=0.01)
