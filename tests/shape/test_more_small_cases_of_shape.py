"""More small cases of shaping: figures by hand."""

from __future__ import annotations

from math import hypot, radians
from types import SimpleNamespace
from typing import Any

import pytest
from flat_planes import FLAT, plane
from made_roofs import box, rising, roof

from takeoff.model.findings import Finding, Severity
from takeoff.shape.faces import assemble as assembling
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.outline_order.directions import _Family, _related
from takeoff.shape.strips.plane_lines import long_spans, supports_under
from takeoff.shape.strips.sheeted_area import _taken_apart
from takeoff.shape.strips.slabs import straightened
from takeoff.shape.together import combine
from takeoff.shape.walls.lower_roofs import _less
from takeoff.shape.water import falling
from takeoff.shape.water.fall_cells import Cell
from takeoff.shape.water.fall_lines import Curtain


def test_a_plane_has_the_pitch_of_its_largest_face() -> None:
    steep = (0.0, -0.6, 0.8)
    small = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 400.0, 300.0), (0.0, 400.0, 300.0))
    large = ((300.0, 0.0, 0.0), (900.0, 0.0, 0.0), (900.0, 400.0, 300.0), (300.0, 400.0, 300.0))
    plan = Plan("main", (0.0, 0.0, 0.0), (box(0.0, 0.0, 900.0, 400.0),), edge_numbers=((1, 2, 3, 4),))
    for row in ([(small, 36.8), (large, 36.9)], [(large, 36.9), (small, 36.8)]):
        found = assembling.assemble([Face((ring,), steep, (1,), pitch_deg=pitch) for ring, pitch in row], plan, 0.0)
        assert [one.pitch_deg for one in found.planes] == [36.9]


@pytest.mark.parametrize(("size", "parts"), [(9.9, 1), (10.1, 2)])
def test_of_areas_taken_apart_those_under_a_hundred_square_millimetres_are_crumbs(size: float, parts: int) -> None:
    big, small = box(100.0, 50.0, 200.0, 150.0), box(300.0, 50.0, 300.0 + size, 50.0 + size)
    found = _taken_apart([big, small], [])
    assert len(found.rings) == len(found.edges) == parts
    assert sorted(found.rings[0]) == sorted(big)


def test_corners_joined_at_a_wall_are_told_with_both_roofs(monkeypatch: pytest.MonkeyPatch) -> None:
    plans: list[Any] = []
    own = Finding("own", Severity.NOTE, "own")
    lower = roof(
        "low",
        outline_mm=(box(0.0, 0.0, 900.0, 900.0),),
        edge_numbers=((1, 2, 3, 4),),
        planes=(rising("P1", 0.0, 0.0, 0.5, box(0.0, 0.0, 900.0, 900.0)),),
        findings=(own,),
    )
    house = roof(
        "high",
        wall_line_mm=(box(0.0, 500.0, 900.0, 2000.0),),
        outline_mm=(box(-100.0, 400.0, 1000.0, 2100.0),),
        planes=(rising("P9", 9000.0, 0.0, 0.0, box(-100.0, 400.0, 1000.0, 2100.0)),),
    )
    whole = combine._cut_faces
    monkeypatch.setattr(combine, "assemble", lambda faces, plan, north, **more: plans.append(plan) or lower)
    monkeypatch.setattr(combine, "closure_faults", lambda *_, **__: ())
    monkeypatch.setattr(combine, "_cut_faces", lambda *given: (*whole(*given)[:2], True))
    combine.cut_at_wall(lower, house)
    text = "roof low: corners within 3 mm of where the walls of roof high cut it were made one with them"
    advice = "the drawing is rounded; set it out to whole figures"
    (plan,) = plans
    assert plan.findings == (own, Finding("corners-joined", Severity.FIXED, text, advice))
    assert (plan.name, plan.outline_mm, plan.cut_away_mm2) == ("low", lower.outline_mm, pytest.approx(900.0 * 400.0))


def test_stretches_of_under_half_a_millimetre_are_nothing_wherever_they_lie() -> None:
    assert _less([(100.0, 200.0)], [(100.4, 300.0)]) == []
    assert _less([(100.0, 200.0)], [(100.6, 199.6)]) == [(100.0, 100.6)]
    assert _less([(-200.0, -100.0)], [(-199.4, -100.4)]) == [(-200.0, -199.4)]


@pytest.mark.parametrize("back", [False, True])
def test_water_across_cells_over_each_other(back: bool) -> None:
    """From 10 low in the first to 90 high in the second: each takes the half that lies over it."""
    low, high = (
        Cell("P1", "foot", "", 0.0, 100.0, 0.0, 0.0, 50.0, 50.0),
        Cell("P1", "valley", "top", 0.0, 100.0, 50.0, 50.0, 100.0, 100.0),
    )
    over: Any = SimpleNamespace(
        cells={"P1": (high, low)}, at_foot=lambda cell, water, ua, ub: (ua, ub, water.at_a_mm2, water.at_b_mm2)
    )
    flat: Any = SimpleNamespace(id="P1", frame=FLAT)
    a, b = (10.0, 10.0, 0.0), (90.0, 90.0, 0.0)
    water = Curtain(b, a, 300.0, 100.0, 0.0) if back else Curtain(a, b, 100.0, 300.0, 0.0)
    found = list(falling._to_edges(over, flat, water))
    assert [
        (name, pytest.approx(row))
        for name, row in (("foot", (10.0, 50.0, 50.0, 100.0)), ("valley", (50.0, 90.0, 100.0, 150.0)))
    ] == found


@pytest.mark.parametrize(("off", "related"), [(0.04, True), (0.06, True), (0.08, True), (0.09, False)])
def test_an_axis_at_nearly_half_a_right_angle_is_set_by_the_first(off: float, related: bool) -> None:
    """Ends of 4 m move by half of that times the turn: 3 mm at 0.086 degrees."""
    first, second = (_Family(radians(angle), (0,), 4000.0) for angle in (10.0, 55.0 + off))
    assert _related([first, second], 3.0)[1].related is related


def test_rafters_under_a_line_high_up_a_plane() -> None:
    """From (4000, 3500) down to (1000, 3000): 3600, 2700 and 1800 are 400, 1300 and 2200 of its 3000."""
    bay = plane(((0.0, 0.0), (5000.0, 0.0), (5000.0, 6000.0), (0.0, 6000.0)))
    due = [x / 3000.0 * hypot(3000.0, 500.0) for x in (400.0, 1300.0, 2200.0)]
    assert supports_under(bay, (4000.0, 3500.0), (1000.0, 3000.0), 900.0, "left") == pytest.approx(due)


BAY = ((0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (60.0, 40.0), (60.0, 20.0), (40.0, 20.0), (40.0, 60.0), (0.0, 60.0))


def test_a_timber_that_begins_at_a_notch_does_not_reach_under_it() -> None:
    """10 wide about 25, from the notch's foot at 20 on: two timbers; a hair lower they reach for each other."""
    assert long_spans([BAY], 25.0, 10.0) == ((0.0, 40.0), (60.0, 100.0))
    assert long_spans([BAY], 25.0, 10.1) == ((0.0, 60.0), (40.0, 100.0))


@pytest.mark.parametrize("dx", [0.0, 1000.0, -500.0])
@pytest.mark.parametrize("dy", [0.0, 700.0, -900.0])
@pytest.mark.parametrize(("off", "kept"), [(0.099, 4), (0.101, 5), (-0.099, 4), (-0.101, 5)])
def test_points_a_hundredth_off_a_side_of_a_ring_wherever_it_lies(dx: float, dy: float, off: float, kept: int) -> None:
    """A tenth where that is asked, off each of its four sides in turn."""
    ring = [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)]
    for k, point in enumerate(((50.0, off), (100.0 + off, 30.0), (50.0, 60.0 + off), (off, 30.0))):
        row = [(x + dx, y + dy) for x, y in (*ring[: k + 1], point, *ring[k + 1 :])]
        assert len(straightened(row, 0.1)) == kept
