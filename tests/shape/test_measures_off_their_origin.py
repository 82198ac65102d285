"""Rings, sides and walls away from (0, 0), and what is a crumb apart: small measures with figures by hand."""

from __future__ import annotations

from math import hypot, pi
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from takeoff.basics.tolerances import TOLERANCES
from takeoff.shape.imported import mesh_clean, net, roof_from_faces
from takeoff.shape.outline_order import directions
from takeoff.shape.skeleton import windows
from takeoff.shape.strips.plane_lines import one_joint
from takeoff.shape.strips.sheeted_area import _split
from takeoff.shape.strips.slabs import straightened
from takeoff.shape.walls.lower_roofs import _inside_line
from takeoff.shape.water.fall_lines import Curtain
from takeoff.shape.water.falling import _apart

Point = tuple[float, float]


def along(x: float, y: float) -> Point:
    """x along (0.8, 0.6) from (1000, 500) and y to the left of it."""
    return (1000.0 + 0.8 * x - 0.6 * y, 500.0 + 0.6 * x + 0.8 * y)


SQUARE = ((1000.0, 500.0), (1080.0, 560.0), (1080.0, 600.0), (1000.0, 600.0))


@pytest.mark.parametrize(
    "points",
    [
        [*SQUARE],
        [(1000.0, 500.0), (1040.0, 530.0), (1080.0, 560.0), (1080.0, 600.0), (1000.0, 600.0), (1000.0, 600.0)],
        [(1000.0, 550.0), (1000.0, 520.0), *SQUARE],
        [*SQUARE, (1000.0, 590.0), (1000.0, 530.0), (1000.0, 510.0)],
        [(1000.0, 500.0), (1000.0, 500.0), (1080.0, 560.0), (1080.0, 565.0), (1080.0, 575.0), (1080.0, 600.0), (1000.0, 600.0)],
    ],
)  # fmt: skip
def test_a_ring_keeps_its_corners_alone(points: list[Point]) -> None:
    found = straightened(points)
    first = found.index(SQUARE[0])
    assert found[first:] + found[:first] == SQUARE


def test_a_spike_stays_and_so_does_what_is_off_the_line() -> None:
    spike = ((1000.0, 500.0), (1080.0, 500.0), (1080.0, 600.0), (1080.0, 550.0), (1000.0, 550.0))
    assert straightened(spike) == spike
    off = ((1000.0, 500.0), (1040.0, 499.9), (1080.0, 500.0), (1080.0, 600.0), (1000.0, 600.0))
    assert straightened(off) == off
    assert straightened(off, 0.2) == (off[0], *off[2:])


def test_a_side_is_cut_where_an_edge_ends_on_it() -> None:
    a, b = along(0.0, 0.0), along(100.0, 0.0)
    ends = [along(50.0, 0.0), along(50.5, 0.0), along(30.0, 5.0), along(0.5, 0.0), along(99.5, 0.0), along(120.0, 0.0), along(-7.0, 0.0), along(20.0, 0.0)]  # fmt: skip
    found = [point for pair in _split(a, b, ends) for point in pair]
    assert found == [pytest.approx(along(x, 0.0)) for x in (0.0, 20.0, 20.0, 50.0, 50.0, 100.0)]
    assert _split(a, b, ()) == [(a, b)]


@pytest.mark.parametrize(
    ("rings", "found"),
    [
        ([((20.0, -50.0), (150.0, -50.0), (150.0, 40.0), (20.0, 40.0))], [(20.0, 100.0)]),
        ([((-20.0, -50.0), (80.0, -50.0), (80.0, 0.0), (-20.0, 0.0))], [(0.0, 80.0)]),
        ([((20.0, 0.0), (150.0, 0.0), (150.0, 40.0), (20.0, 40.0))], []),
        ([((110.0, -50.0), (150.0, -50.0), (150.0, 40.0), (110.0, 40.0))], []),
        (
            [
                ((20.0, -50.0), (150.0, -50.0), (150.0, 40.0), (20.0, 40.0)),
                ((50.0, -10.0), (50.0, 10.0), (70.0, 10.0), (70.0, -10.0)),
            ],
            [(20.0, 50.0), (70.0, 100.0)],
        ),
        ([((30.0, -60.0), (90.0, -60.0), (90.0, 60.0))], [(60.0 - 0.5 * TOLERANCES.same_point_mm, 90.0)]),
    ],
)
def test_where_the_ground_before_a_wall_is_inside_a_wall_line(rings: list[Any], found: list[Point]) -> None:
    wall: Any = SimpleNamespace(left_mm=along(0.0, 0.0), right_mm=along(100.0, 0.0), length_mm=100.0)
    placed = tuple(tuple(along(*point) for point in ring) for ring in rings)
    assert list(_inside_line(wall, placed)) == [pytest.approx(part) for part in found]


def test_places_for_a_joint_a_crumb_nearer_than_asked() -> None:
    slack = TOLERANCES.same_length_mm
    places = (3000.0, 3400.0, 4000.0)
    assert one_joint(7000.0, places, 4000.0, 500.0, 1000.0 + 1.5 * slack)
    assert not one_joint(7000.0, places, 4000.0, 500.0, 1000.0 + 0.5 * slack)
    assert one_joint(7000.0, (3000.0, 3400.0, 5000.0, 2900.0), 4000.0, 500.0, 500.0)
    assert not one_joint(4000.0, places, 4000.0, 500.0, 5000.0)
    assert not one_joint(7000.0, (), 4000.0, 500.0, 5000.0)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_points_in_neighbouring_cells_are_welded(axis: int) -> None:
    def at(value: float) -> tuple[float, float, float]:
        x, y, z = np.roll([value, 21.0, -13.0], axis).tolist()
        return (x, y, z)

    points, new = mesh_clean.weld([at(37.0), at(52.0), at(40.0), at(44.5)], 4.0)
    assert points == (at(38.5), at(52.0), at(44.5))
    assert new == [0, 1, 0, 2]


def test_a_side_has_one_number_either_way_round() -> None:
    stub: Any = SimpleNamespace(sides=np.array([(0, 3, 5), (1, 5, 3), (2, 4, 0), (3, 9, 8)]), nodes=range(10))
    assert net.Net.keys(stub).tolist() == [35, 35, 4, 89]


def test_the_top_of_a_wall_over_a_place() -> None:
    """The border runs 7 beside the place, from 3 before to 6 past it, and rises by 30 on the way."""
    at, line = (1000.0, 500.0, 0.0), (0.8, 0.6, 0.0)
    rising = ((*along(-3.0, 7.0), 10.0), (*along(6.0, 7.0), 40.0))
    lower = ((*along(5.0, 7.0), 2.0), (*along(-5.0, 7.0), 12.0))
    beside = ((*along(1.0, 7.0), 90.0), (*along(6.0, 7.0), 90.0))
    assert roof_from_faces._top_at([lower, rising, beside], at, line) == pytest.approx(20.0)
    assert roof_from_faces._top_at([rising[::-1]], at, line) == pytest.approx(20.0)  # type: ignore[list-item]
    assert roof_from_faces._top_at([lower], at, line) == pytest.approx(7.0)
    assert roof_from_faces._top_at([beside], at, line) == float("-inf")


def test_axes_near_an_angle_round_the_quarters_end() -> None:
    most = directions._MOST_TURN
    leaders = [0.1 * most, 0.9 * most, 0.5, 1.0, pi / 2.0 - 0.5 * most, pi / 2.0 - 0.05 * most]
    assert directions._near(leaders, 0.0) == [leaders[0], leaders[1], leaders[4], leaders[5]]
    assert directions._near(leaders, 0.7 * most) == [leaders[0], leaders[1], leaders[5]]
    assert directions._near(leaders, pi / 2.0 - 0.2 * most) == [leaders[4], leaders[5], leaders[0]]
    assert directions._near(leaders, 0.7) == []


def test_columns_of_a_window() -> None:
    places = {-3.0: 0, 0.0: 0, 3.9: 0, 4.0: 1, 7.0: 1, 11.0: 2, 19.9: 4, 20.0: 4, 31.0: 4}
    assert {offset: windows.place(offset, 4.0, 5) for offset in places} == places


@pytest.mark.parametrize(
    ("length", "kept"), [(0.5, [0.0, 0.5, 1.0]), (5000.0, [0.0, 0.01, 0.5, 0.505, 0.99, 1.0]), (0.0, [0.0, 0.01, 0.5, 0.505, 0.99, 1.0])]
)  # fmt: skip
def test_shares_of_water_a_crumb_apart_are_one(length: float, kept: list[float]) -> None:
    """A hundredth of half a millimetre is a crumb."""
    water = Curtain((100.0, 50.0, 30.0), (*along(length, 0.0), 30.0), 1.0, 1.0, 30.0)
    start = Curtain((*along(0.0, 0.0), 30.0), water.b, 1.0, 1.0, 30.0)
    assert hypot(start.b[0] - start.a[0], start.b[1] - start.a[1]) == pytest.approx(length)
    assert _apart({0.0, 0.01, 0.5, 0.505, 0.99, 1.0}, start) == kept
