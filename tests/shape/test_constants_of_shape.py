"""What the rooms of shaping set out with: places in flat lists, limits of shares and angles, each by what it decides."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest
from made_roofs import box

from takeoff.shape.faces import frames
from takeoff.shape.faces.name_edges import Side as FaceSide
from takeoff.shape.faces.name_edges import Touch, is_level
from takeoff.shape.outline.rises import VERTICAL
from takeoff.shape.outline_order import depths
from takeoff.shape.outline_order.corners import Corners
from takeoff.shape.outline_order.directions import _families
from takeoff.shape.outline_order.means import settled_mean
from takeoff.shape.outline_order.plan_sides import Direction, Line, PlanRing, Side, sides_of
from takeoff.shape.skeleton import check, events, front, ladder, windows
from takeoff.shape.walls.wall_draft import Draft
from takeoff.shape.water.wall_water import NO_WALLS


def test_places_in_flat_lists_follow_each_other() -> None:
    """One each, from the first on, so that nothing is written over."""
    for places in (
        (front.VERTICES, front.NODES, front.SIDES, front.ACTIVE, front.REFLEX, front.STATUS, front.STAMP),
        (front.EPS, front.TINY_RATE, front.BIG, front.FAST, front.GOOD_DET),
        (front.OK, front.NO_ROOM, front.TANGLED, front.ENDLESS, front.STUCK),
        (windows.ON, windows.ACROSS, windows.USED, windows.SEEN, windows.MOST),
        (windows.NO, windows.YES, windows.FULL),
        (windows.LEFT, windows.BOTTOM, windows.SIZE, windows.CELL, windows.MARGIN, windows.END),
    ):
        assert places == tuple(range(len(places)))


def test_events_of_one_time_are_taken_in_their_order() -> None:
    kinds = (front.STRIP, front.COLLAPSE, front.HIT, front.TIE)
    assert all(one < other for one, other in pairwise(kinds))
    assert events.LONGEST >= 2**30
    assert ladder.DIGITS >= 50
    assert (ladder.RUNGS[0], check.TURN_RAD) == ((float, 1e-11), 1e-3)


def test_up_is_up_and_an_upright_step_is_upright() -> None:
    assert frames.UP == (0.0, 0.0, 1.0)
    assert (VERTICAL.up_to_z, VERTICAL.pitch_deg) == (None, 90.0)


@pytest.mark.parametrize(("rise", "level"), [(9.0, True), (11.0, False)])
def test_an_edge_is_level_that_falls_less_than_a_fifth_of_its_plane(rise: float, level: bool) -> None:
    """1000 long beside a plane of 5 in 100: 10. Beside one of 30 in 100 it may fall 20, 2 in 100 at most."""
    for gx, limit in ((0.05, level), (0.3, True)):
        size = (1.0 + gx * gx) ** 0.5
        touches = [Touch(FaceSide.ROOF, (-gx / size, 0.0, 1.0 / size), (1.0, 0.0, 0.0))]
        assert is_level((0.0, 0.0, 0.0), (0.0, 1000.0, rise), touches) is limit
        assert not is_level((0.0, 0.0, 0.0), (0.0, 1000.0, 21.0), touches)


def test_values_further_off_than_three_times_the_middle_distance_are_strays() -> None:
    """0, 1, 2, 3 and 7 lie 2, 1, 0, 1 and 5 off 2, in the middle 1: 7 is none of them; 5 would be, and so is 4.9."""
    assert settled_mean([0.0, 1.0, 2.0, 3.0, 7.0], [1.0] * 5) == pytest.approx(1.5)
    assert settled_mean([0.0, 1.0, 2.0, 3.0, 5.1], [1.0] * 5) == pytest.approx(1.5)
    assert settled_mean([0.0, 1.0, 2.0, 3.0, 4.9], [1.0] * 5) == pytest.approx(10.9 / 5.0)


@pytest.mark.parametrize(("off", "groups"), [(4.4, [(0, 1)]), (4.6, [(0, 1), (2, 3)]), (6.0, [(0, 1), (2, 3)])])
def test_sides_gather_round_a_leader_within_one_and_a_half_times_the_slack(off: float, groups: list[Any]) -> None:
    """Two of 9 m and two of 4 m whose ends lie off by 4.4 mm of 3: they are gathered, but stay in no family for it."""
    rows = [(9000.0, 0.0), (9000.0, 0.0), (4000.0, off / 2000.0), (4000.0, off / 2000.0)]
    sides = [Side(0, k, k, (0.0, 0.0), (0.0, 0.0), size, angle, 1, 0.0) for k, (size, angle) in enumerate(rows)]
    assert [family.sides for family in _families(sides, range(4), 3.0)] == groups


@pytest.mark.parametrize(
    ("angle", "crossed"), [(5.1, True), (4.9, False), (-5.1, True), (-4.9, False), (175.1, False), (174.9, True)]
)
def test_lines_that_meet_at_under_five_degrees_give_no_corner(angle: float, crossed: bool) -> None:
    """They cross in (0, 0); else the corner is laid on the line of the longer of its sides, which runs along x."""
    sides = sides_of([PlanRing(0, ((0.0, 3.0), (400.0, 40.0), (-9000.0, 3.0)), False, (0.0,) * 3)])
    one = Line(Direction(0, 0, (1.0, 0.0)), 0.0, (2,))
    other = Line(Direction(1, 0, (cos(radians(angle)), sin(radians(angle)))), 0.0, (0,))
    found = Corners(sides)._meeting(0, (0.5, 3.0), one, other)
    assert found == (pytest.approx((0.0, 0.0), abs=1e-9) if crossed else (0.5, 0.0))


@pytest.mark.parametrize(
    ("coarse", "facing", "distances"), [(0.04, 0.75, 0.75), (0.5, 2.0, 2.0), (0.1, 0.0, 0.75), (9.0, 12.0, 12.0)]
)
def test_how_nearly_depths_agree_that_are_made_equal(
    monkeypatch: pytest.MonkeyPatch, coarse: float, facing: float, distances: float
) -> None:
    """Four times how coarse the drawing is, from what nobody sets out (0.75) to twice what lines may be apart (12); in a coarse
    drawing at least what brings ridges together."""
    asked: list[float] = []
    monkeypatch.setattr(depths, "_equal", lambda rows, slack: asked.append(slack) or [])
    depths.conditions(sides_of([PlanRing(0, box(0.0, 0.0, 900.0, 400.0), False, (0.0,) * 4)]), [], coarse, frozenset())
    assert asked == [max(facing, depths._SAME_RIDGE_MM) if coarse > 0.05 else facing, distances]


def test_depths_are_compared_in_houses_not_in_coastlines(monkeypatch: pytest.MonkeyPatch) -> None:
    """Depths of up to 160 sides, distances between any two of up to 48 lines."""
    asked: list[str] = []
    monkeypatch.setattr(depths, "_equal", lambda rows, slack: asked.append(rows) or [])
    monkeypatch.setattr(depths, "_depths", lambda *_: "depths")
    monkeypatch.setattr(depths, "_distances", lambda *_: "distances")
    monkeypatch.setattr(depths, "_shared_fascias", lambda *_: [])
    monkeypatch.setattr(depths, "_whole_mm", lambda *_: [])
    side: Any = SimpleNamespace()
    for sides, count, due in ((160, 48, ["depths", "distances"]), (160, 49, ["depths"]), (161, 4, [])):
        asked.clear()
        depths.conditions(
            [side] * sides, [Line(Direction(0, 0, (1.0, 0.0)), float(k), (k,)) for k in range(count)], 0.0, frozenset()
        )
        assert asked == due


def test_a_wall_stands_on_the_main_floor_and_without_a_rule_no_wall_brings_water() -> None:
    top = ((0.0, 2400.0), (5000.0, 2400.0))
    none: Any = None
    assert Draft("w", 1, 5000.0, 2400.0, top, none, none, 0.0, (0.0, 0.0), (1.0, 0.0), 0.0).floors_mm == (0.0,)
    assert NO_WALLS.share == 0.0
