"""Corners moved out, bends that are no recesses, short edges between fixed points: the rare cases of outlines by hand."""

from __future__ import annotations

from math import cos, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.job.roofs import RoofJob
from takeoff.shape.outline import roof_from_outline as raising
from takeoff.shape.outline.outline_checks import CheckedRings
from takeoff.shape.outline.overhangs import moved_corner
from takeoff.shape.outline.recesses import _meet, bridge_recesses
from takeoff.shape.outline.rises import EdgeRise, edge_rises, plate_heights
from takeoff.shape.outline.short_edges import _join, join_short_edges
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep

Point = tuple[float, float]


@pytest.mark.parametrize("turn", range(10, 360, 35))
def test_corners_on_a_straight_whichever_way_it_runs(turn: int) -> None:
    """In line: a jog where the overhangs differ, else the greater of both; back on itself: the second side's."""
    n = (cos(radians(turn)), sin(radians(turn)))
    p = (70.0, -30.0)

    def out(d: float, way: Point = n) -> Any:
        return pytest.approx((p[0] + d * way[0], p[1] + d * way[1]))

    assert list(moved_corner(p, n, 600.0, n, 450.0)) == [out(600.0), out(450.0)]
    assert list(moved_corner(p, n, 600.0, n, 600.4)) == [out(600.4)]
    assert list(moved_corner(p, n, 600.4, n, 600.0)) == [out(600.4)]
    back = (-n[0], -n[1])
    assert list(moved_corner(p, n, 600.0, back, 450.0)) == [out(450.0, back)]
    # 1.2 degrees is a corner, 1.1 is none
    for bend, jogs in ((1.1, 2), (1.2, 1)):
        m = (cos(radians(turn + bend)), sin(radians(turn + bend)))
        assert len(moved_corner(p, n, 600.0, m, 450.0)) == jogs


def test_a_wall_that_bends_twice_by_two_degrees_has_no_recess() -> None:
    """Its sides would be straight against each other but for the way: both run on."""
    slope = (2000.0 * cos(radians(2.0)), 2000.0 * sin(radians(2.0)))
    x = 8000.0
    ring = (
        (0.0, 0.0), (10000.0, 0.0), (10000.0, 6000.0), (x, 6000.0), (x - slope[0], 6000.0 - slope[1]), (x - slope[0] - 1000.0, 6000.0 - slope[1]),
        (x - 2.0 * slope[0] - 1000.0, 6000.0), (0.0, 6000.0),
    )  # fmt: skip
    found = bridge_recesses([ring], [range(1, 9)], dict.fromkeys(range(1, 9), 900.0))
    assert (found.rings, found.numbers, found.recesses) == ((ring,), (tuple(range(1, 9)),), ())
    assert (
        _meet((0.0, 0.0), (1.0, 0.0), (5.0, 5.0), (0.9999995, 0.0009)) is None
    )  # under a thousandth they run side by side
    assert _meet((0.0, 0.0), (1.0, 0.0), (5.0, 5.0), (0.9999994, 0.0011)) is not None


def test_the_outline_of_a_wall_line_with_a_recess() -> None:
    """Between fronts in line: 1000 wide and 800 deep, with 600 of overhang on both sides of it."""
    ring = (
        (0.0, 0.0),
        (9000.0, 0.0),
        (9000.0, 6000.0),
        (5000.0, 6000.0),
        (5000.0, 5200.0),
        (4000.0, 5200.0),
        (4000.0, 6000.0),
        (0.0, 6000.0),
    )
    job = RoofJob(name="main", wall_line=list(ring), eave_overhang_mm=600.0, pitch_deg=25.0)
    rises, _ = edge_rises(job, 8, 2400.0)
    outline, (found,) = raising._outline(job, CheckedRings((ring,), (1,), ()), rises)
    assert found.text.startswith("roof main: the recess of edges 4 to 6, 1000 mm wide and 800 mm deep")
    assert outline.rings == (
        ((-600.0, -600.0), (9600.0, -600.0), (9600.0, 6600.0), (4500.0, 6600.0), (-600.0, 6600.0)),
    )
    assert outline.numbers == ((1, 2, 3, 7, 8),)
    typed = RoofJob(name="main", outline=list(ring), pitch_deg=25.0)
    plain, nothing = raising._outline(typed, CheckedRings((ring,), (5,), ()), rises)
    assert (plain.rings, plain.numbers, plain.jogs, nothing) == ((ring,), (tuple(range(5, 13)),), {}, ())


def test_a_point_moves_onto_another_only_along_the_sides_it_lies_on() -> None:
    """One side each, or none; a point of an upright face stays."""
    a, b = (0.0, 0.0, 0.0), (1.0, 0.0, 0.0)

    def joined(of_a: set[int], of_b: set[int], *still: tuple[float, float, float]) -> dict[Any, Any]:
        sides: Any = SimpleNamespace(through=lambda point: {a: of_a, b: of_b}[point])
        into: dict[Any, Any] = {}
        _join(into, b, a, sides, set(still))
        return into

    assert joined(set(), set()) == {b: a}
    assert joined({1}, {1}) == {b: a}
    assert joined({1, 2}, {1}) == {b: a}
    assert joined({1}, {1, 2}) == {a: b}
    assert joined({1}, {2}) == {}
    assert joined(set(), set(), b) == {a: b}
    assert joined({1}, set(), b) == {}
    assert joined(set(), {1}, a) == {}
    assert joined(set(), set(), a, b) == {}


@pytest.mark.parametrize(("long", "joined"), [(2.99, 1), (3.0, 0)])
def test_edges_shorter_than_three_millimetres_go(long: float, joined: int) -> None:
    from takeoff.shape.faces.parts import Face

    sides: Any = SimpleNamespace(through=lambda _: ())
    ring = ((0.0, 0.0, 0.0), (9.0, 0.0, 0.0), (9.0, 0.6 * long, 0.8 * long), (0.0, 9.0, 0.0))
    faces, count = join_short_edges([Face((ring,), (0.0, 0.0, 1.0))], sides, 3.0)
    assert (count, len(faces[0].rings_mm[0])) == (joined, 4 - joined)


def test_the_plate_height_goes_by_the_first_step() -> None:
    steps = (RiseStep(3000.0, 45.0), RiseStep(None, 20.0))
    assert plate_heights({1: EdgeRise("eave", 2400.0, 600.0, EdgeProfile(2400.0, steps))}) == {1: pytest.approx(3000.0)}
