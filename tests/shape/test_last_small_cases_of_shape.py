"""Fronts that stand, plans whose sides pair off, lines that run down from their left: the last small cases by hand."""

from __future__ import annotations

from math import cos, hypot, radians, sin
from typing import Any

import pytest
from flat_planes import edge as line_on
from flat_planes import plane
from made_roofs import edge, roof
from moving_fronts import BIG, EAST, NORTH_EAST, WHEN, hitting, lines, made, points, turned

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.walls import Corner
from takeoff.shape.outline_order.corners import Corners
from takeoff.shape.outline_order.depths import _whole_mm
from takeoff.shape.outline_order.directions import _Family, _related, directions
from takeoff.shape.outline_order.plan_sides import Direction, Line, PlanRing, sides_of
from takeoff.shape.skeleton import events, faces, slivers, windows
from takeoff.shape.skeleton import front as fronts
from takeoff.shape.skeleton.faces import FaceRings
from takeoff.shape.skeleton.prepare import prepare
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep
from takeoff.shape.skeleton.solve import solve
from takeoff.shape.strips.plane_lines import reaches, supports_under
from takeoff.shape.strips.sheeted_area import _sides
from takeoff.shape.walls import line_walls as lining
from takeoff.shape.walls.covered_parts import CoverRule
from takeoff.shape.walls.wall_edges import WallEdge

OUT = Corner("external", 90.0)


@pytest.mark.parametrize(("a", "b"), [((1000.0, 3500.0), (4000.0, 3000.0)), ((1000.0, 3000.0), (4000.0, 3500.0)), ((4000.0, 3000.0), (1000.0, 3500.0)), ((4000.0, 3500.0), (1000.0, 3000.0))])  # fmt: skip
def test_rafters_under_lines_high_up_a_plane_whichever_way_they_run(a: Any, b: Any) -> None:
    """At 1800, 2700 and 3600 across."""
    bay = plane(((0.0, 0.0), (5000.0, 0.0), (5000.0, 6000.0), (0.0, 6000.0)))
    long = hypot(3000.0, 500.0)
    due = sorted(abs(x - a[0]) / 3000.0 * long for x in (1800.0, 2700.0, 3600.0))
    assert supports_under(bay, a, b, 900.0, "left") == pytest.approx(due)


@pytest.mark.parametrize(("length", "covered"), [(6899.995, True), (6899.985, False), (6900.0, True)])
def test_a_last_piece_may_be_a_crumb_shorter_than_the_least(length: float, covered: bool) -> None:
    assert reaches(length, [6000.0], 6000.0, 900.0) is covered


@pytest.mark.parametrize("standing", [0, 1])
def test_a_piece_between_a_standing_corner_and_one_that_comes_shrinks(standing: int) -> None:
    """Along x from 10 to 40; one end stands, the other comes by 3: gone at 10 past now, which is 2."""
    speeds = [(0.0, 0.0), (-3.0, 0.0)] if standing == 0 else [(3.0, 0.0), (0.0, 0.0)]
    F = made(lines((0.0, 1.0, 5.0, 0.0)), points((10.0, 5.0, 2.0, *speeds[0]), (40.0, 5.0, 2.0, *speeds[1])))
    heap: list[Any] = []
    fronts.watch_collapse(F, heap, 0, 2.0)
    assert heap == [(pytest.approx(12.0), fronts.COLLAPSE, 0, 1)]


def test_a_front_that_is_full_says_so_and_gives_its_last_vertex() -> None:
    F = made(lines((0.0, 1.0, 5.0, 0.0)), points((10.0, 5.0, 2.0, 0.0, 0.0), (40.0, 5.0, 2.0, 0.0, 0.0)))
    assert fronts.spawn(F, [], 0, 0, 0, 1, 0, 2.0) == 1
    assert F.tally[fronts.STATUS] == fronts.NO_ROOM


def test_a_window_of_a_front_that_stands_has_no_end() -> None:
    F = made(lines((0.0, 1.0, 0.0, 0.0), (0.0, -1.0, -5.0, 0.0)), points((0.0, 0.0, 0.0, 0.0, 0.0), (9.0, 5.0, 0.0, 0.0, 0.0)), own=[0, 1],
             window=[0.0, 0.0, 9.0, 0.0, 0.0, 0.0], piece_head=[7] * 9, path_head=[7] * 9, entry_who=[0] * 40, entry_next=[0] * 40)  # fmt: skip
    F.grid[windows.MOST] = 3
    windows.open_window(F, [], 1.0, 1)
    assert (F.window[windows.END], F.window[windows.CELL], F.grid[windows.ACROSS]) == (BIG, 4.5, 2)


def test_points_of_a_wall_that_runs_up_are_placed_by_lines_across_it() -> None:
    """A wall along y in three sides whose points lie at 3000 and 6002; a line along x at 6000 takes the second."""
    ring = PlanRing(0, ((0.0, 0.0), (4000.0, 0.0), (4000.0, 6000.0), (9000.0, 6000.0), (9000.0, 9000.0), (0.0, 9000.0), (0.5, 6002.0), (0.5, 3000.0)), False, (0.0,) * 8)  # fmt: skip
    sides = sides_of([ring])
    along, up = Direction(0, 0, (1.0, 0.0)), Direction(0, 1, (1.0, 0.0))
    rows = [Line(along, 0.0, (0,)), Line(up, -4000.0, (1,)), Line(along, 6000.0, (2,)), Line(up, -9000.0, (3,)), Line(along, 9000.0, (4,)), Line(up, 0.0, (5, 6, 7))]  # fmt: skip
    placed = Corners(sides).placed(rows, 0.5)
    assert placed[5:] == [pytest.approx(at, abs=1e-9) for at in ((0.0, 9000.0), (0.0, 6000.0), (0.0, 3000.0))]


def test_sides_that_pair_off_are_set_in_order_like_those_of_a_house() -> None:
    """A hexagon of three pairs, along 0, 37 and 68 degrees; one corner lies 5 mm out of the first pair: 2.5 mm at its ends."""
    ways = [(5000.0 * cos(radians(a)), 5000.0 * sin(radians(a))) for a in (0.0, 37.0, 68.0, 180.0, 217.0, 248.0)]
    at = [(0.0, 0.0)]
    for x, y in ways[:-1]:
        at.append((at[-1][0] + x, at[-1][1] + y))
    at[1] = (at[1][0], at[1][1] + 5.0)
    found, _ = directions(sides_of([PlanRing(0, tuple(at), False, (0.0,) * 6)]), frozenset())
    assert found[0] is not None
    assert found[3] is not None
    assert (found[0].family, found[0].quarters) == (found[3].family, (found[3].quarters + 2) % 4)


@pytest.mark.parametrize(("off", "related"), [(0.04, True), (0.08, True), (0.09, False)])
@pytest.mark.parametrize("shorter", [0, 1])
def test_an_axis_nearly_mirrored_in_the_first_is_set_by_it(off: float, related: bool, shorter: int) -> None:
    """20 degrees over and under; 3 mm at the ends of the shorter of both, which is 4 m: 0.086 degrees."""
    sizes = (4000.0, 9000.0) if shorter == 0 else (9000.0, 4000.0)
    first, over, under = _Family(radians(10.0), (0,), 12000.0), _Family(radians(30.0), (1,), sizes[0]), _Family(radians(-10.0 - off), (2,), sizes[1])  # fmt: skip
    assert [one.related for one in _related([first, over, under], 3.0)] == [False, related, related]


def test_a_roof_that_stops_against_a_wall_for_half_a_metre_is_told() -> None:
    own = roof("main", origin_mm=(0.0, 0.0, 0.0))
    wall = WallEdge(2, (0.0, 0.0), (6000.0, 0.0), OUT, OUT, 1, 0.0, "gable", True)
    lean = roof("lean-to", edges=(edge("A1", EdgeKind.APRON_HEAD, (1000.0, 0.0, 2400.0), (1500.0, 0.0, 2400.0)),))
    (found,) = lining._against(wall, own, (own, lean), CoverRule(150.0, 200.0, 40.0, {}, {}))
    assert found.text.startswith("Roof lean-to stops against wall 2 over 0.50 m: ")


@pytest.mark.parametrize(("corner", "beside"), [((1400.0, 500.3), (1400.0, 500.0)), ((1400.0, 500.0), (1399.7, 500.0))])
def test_a_side_of_a_crumb_is_none_wherever_it_lies(corner: Any, beside: Any) -> None:
    """0.3 mm up, and across, far from the origin."""
    ring = ((1000.0, 500.0), beside, corner, (1400.0, 800.0), (1000.0, 800.0))
    edges = [line_on("E1", (1000.0, 500.0), (1400.0, 500.0)), line_on("E2", (1400.0, 500.0), (1400.0, 800.0))]
    assert [one.edge for one in _sides(ring, plane(ring), edges, {})] == ["E1", "E2", "", ""]


def test_a_triangle_has_a_roof() -> None:
    """Three planes over sides of 3, 4 and 5 m: 6 m2 between them."""
    eave = EdgeProfile(0.0, (RiseStep(None, 45.0),))
    found = solve([[(0.0, 0.0), (4000.0, 0.0), (0.0, 3000.0)]], [eave] * 3)
    assert sorted(face.edge for face in found.faces) == [0, 1, 2]
    # the incircle has a radius of 1 m: each plane is half its side by that
    assert {face.edge: face.plan_area for face in found.faces} == pytest.approx({0: 2e6, 1: 2.5e6, 2: 1.5e6})


def test_an_open_way_of_two_nodes_is_no_ring() -> None:
    assert faces.forked_rings({0: 1}, [], [(0.0, 0.0), (9.0, 0.0)]) == [[-1, -1, -1]]


def test_distances_of_too_many_lines_stay_as_they_are() -> None:
    """Up to 160 lines of one way, a whole millimetre apart but for a crumb."""
    for count, asked in ((160, 159), (161, 0)):
        rows = [Line(Direction(0, 0, (1.0, 0.0)), 10.0 * k, (k,)) for k in range(count)]
        assert len(_whole_mm(rows, range(count), 0.0)) == asked


@pytest.mark.parametrize(("ahead", "gathered"), [(0.05, [0, 1]), (0.07, [0])])
def test_a_vertex_that_moves_fast_is_gathered_from_further_off(ahead: float, gathered: list[int]) -> None:
    """One that moves by 5 stands there within a hundredth times 6."""
    moving = points((5.0, 5.0, 2.0, 0.0, 0.0), (5.0 + ahead, 5.0, 2.0, 5.0, 0.0), (90.0, 90.0, 2.0, 0.0, 0.0))
    F = made(lines((0.0, 1.0, 5.0, 0.0), (0.0, 1.0, 99.0, 0.0)), moving, nxt=[2, 1, 0], prv=[2, 1, 0], own=[0, 1, 1], mark=[7, 0, 0], reflex=[1, 0, 0])  # fmt: skip
    members = [0]
    events.gather(F, members, 5.0, 5.0, 2.0, 7)
    assert members == gathered


def test_of_all_that_meets_one_that_stands_is_the_slowest(monkeypatch: pytest.MonkeyPatch) -> None:
    F = made(lines((0.0, 1.0, 0.0, 0.0)), points((1.0, 2.0, 1.0, 2.0, 0.0), (5.004, 2.0, 3.0, 0.0, 0.0)), mark=[0] * 2, nodx=[0.0] * 9, nody=[0.0] * 9, nodt=[0.0] * 9)  # fmt: skip
    monkeypatch.setattr(events, "gather", lambda *_: [])
    monkeypatch.setattr(events, "dissolve", lambda *_: None)
    events.meet(F, [], [0, 1], 0, 3.0)
    assert (F.nodx[0], F.nody[0], F.nodt[0]) == (5.004, 2.0, 3.0)


@pytest.mark.parametrize("way", [EAST, NORTH_EAST, (0.0, 1.0), (-0.8, 0.6)])
def test_a_hit_on_a_new_piece_is_one_for_a_vertex_made_late_wherever_it_lies(way: tuple[float, float]) -> None:
    F = turned(hitting(), way, (70.0, -30.0))
    (vx, vy), late = (F.vx[2], F.vy[2]), 2.0
    F.px[2], F.py[2], F.pt[2] = F.px[2] + vx * late, F.py[2] + vy * late, 1.0 + late
    heap: list[Any] = []
    fronts.aim_at_piece(F, heap, 3, 3.5)
    assert heap == [(pytest.approx(WHEN), fronts.HIT, 2, 3)]


@pytest.mark.parametrize(("x", "y"), [(5e9, 0.0), (0.0, 5e9), (-5e9, 0.0), (0.0, -5e9)])
def test_coordinates_are_as_coarse_as_the_greater_of_both(x: float, y: float) -> None:
    """5e9 mm are true to 2 ** -20 mm; 16 m is the scale."""
    ring = [(x, y), (x + 10000.0, y), (x + 10000.0, y + 6000.0), (x, y + 6000.0)]
    assert prepare([ring], [EdgeProfile(0.0, (RiseStep(None, 45.0),))] * 4).rounding == 2.0**-20 / 16384.0


def test_a_sliver_that_lies_evenly_about_the_first_corner() -> None:
    """From (-0.5, 0.5) to (0.5, 0.5): its nodes in order along it."""
    at = [(-0.5, 0.5, 0.0), (0.5, 0.5, 0.0), (-0.2, 0.500001, 0.0), (0.3, 0.500001, 0.0), (0.0, 0.0, 0.0)]
    row = [FaceRings(7, [0, 1, 3, 2], 1e-6, []), FaceRings(1, [1, 0, 4], 0.25, [])]
    slivers.drop_slivers(row, at, 1e-3)
    assert row == [FaceRings(1, [1, 3, 2, 0, 4], 0.25, [])]


@pytest.mark.parametrize(("area", "gone"), [(0.0049, True), (0.0051, False)])
def test_a_sliver_goes_by_its_longest_side_wherever_its_ring_begins(area: float, gone: bool) -> None:
    """Half as long as the outline: half a hundredth."""
    at = [(0.1, 0.2, 0.0), (0.6, 0.2, 0.0), (0.2, 0.2001, 0.0), (0.5, 0.2001, 0.0)]
    for ring in ([0, 1, 3, 2], [1, 3, 2, 0], [3, 2, 0, 1]):
        row = [FaceRings(7, ring, area, [])]
        slivers.drop_slivers(row, at, 0.01)
        assert (row == []) is gone
