"""The skeleton engine's rare cases by hand: chains that began late, slivers, lifted ends, directions any way round, cells."""

from __future__ import annotations

from math import cos, pi, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest
from moving_fronts import lines, made, points

from takeoff.shape.skeleton import bases, breaks, events, faces, setup, slivers, windows
from takeoff.shape.skeleton import front as fronts
from takeoff.shape.skeleton import prepare as preparing
from takeoff.shape.skeleton.faces import FaceRings
from takeoff.shape.skeleton.prepare import Directions, Edge, Rise, prepare
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep

PLAIN: Rise = ((0.0, 1.0, 0),)
LOW = EdgeProfile(64.0, (RiseStep(None, 45.0),))


def chain() -> Any:
    """At time 3 a rectangle from (10, 20) to (16, 24); its corners were made at 0, 1, 2 and 2.5, and move in by ways of their own."""
    due, ways, since = [(10.0, 20.0), (16.0, 20.0), (16.0, 24.0), (10.0, 24.0)], [(1.0, 2.0), (-0.5, 1.5), (-2.0, -1.0), (0.25, -3.0)], [0.0, 1.0, 2.0, 2.5]  # fmt: skip
    moving = points(*((x - vx * (3.0 - t), y - vy * (3.0 - t), t, vx, vy) for (x, y), (vx, vy), t in zip(due, ways, since, strict=True)))  # fmt: skip
    return made(lines((0.0, 1.0, 0.0, 0.0)), moving, mark=[0] * 4, swap=[-1], flat=[0])


def test_the_area_of_a_chain_whose_corners_were_made_at_different_times() -> None:
    F = chain()
    chains, areas, due = breaks.chains_at(F, 3.0)
    assert (chains, areas, due) == ([0], [pytest.approx(48.0)], [-1])
    assert breaks.chains_at(F, 3.0)[1] == [pytest.approx(48.0)]  # looked at again, each look by a stamp of its own


@pytest.mark.parametrize(("x", "y", "within"), [(13.0, 22.0, True), (10.1, 20.1, True), (15.9, 23.9, True), (9.9, 22.0, False), (16.1, 22.0, False), (13.0, 19.9, False), (13.0, 24.1, False)])  # fmt: skip
def test_a_place_inside_a_chain_whose_corners_were_made_at_different_times(x: float, y: float, within: bool) -> None:
    for first in range(4):
        F = chain()
        for name, value in (("px", x - 2.0), ("py", y + 1.0), ("pt", 1.0), ("vx", 1.0), ("vy", -0.5)):
            getattr(F, name).append(value)
        assert breaks.inside(F, 4, first, 3.0) is within


NODES: list[faces.Node] = [
    (0.1, 0.2, 0.01), (1.1, 0.2, 0.01), (0.4, 0.20004, 0.01), (0.8, 0.20004, 0.01), (1.1, 0.9, 0.05), (0.1, -0.5, 0.05), (0.6, 1.2, 0.09),
]  # fmt: skip


def sliver(area: float = 3e-5) -> FaceRings:
    """1 long and a few hundred-thousandths wide: 0 1 along its foot, 3 2 back over it."""
    return FaceRings(7, [0, 1, 3, 2], area, [])


def test_a_sliver_goes_and_its_neighbours_share_its_nodes() -> None:
    """Below it a face that walks 1 to 0, above it one that walks 0 2 3 1: the first takes 3 and 2 in between."""
    below, above = FaceRings(1, [1, 0, 5], 3500.0, []), FaceRings(2, [0, 2, 3, 1, 4, 6], 6000.0, [])
    ring = FaceRings(3, [4, 6, 5], 9000.0, [[6, 1, 0]])
    row = [below, sliver(), above, ring]
    slivers.drop_slivers(row, NODES, 0.01)
    assert row == [FaceRings(1, [1, 3, 2, 0, 5], 3500.0, []), above, FaceRings(3, [4, 6, 5], 9000.0, [[6, 1, 3, 2, 0]])]
    assert above.outer == [0, 2, 3, 1, 4, 6]


@pytest.mark.parametrize(
    ("area", "gone"), [(0.0099, True), (0.0101, False), (-0.0099, True), (-0.0101, False), (0.041, False)]
)
def test_a_sliver_is_thinner_than_the_width_over_its_length(area: float, gone: bool) -> None:
    """A hundredth over its longest side of 1."""
    row = [sliver(area)]
    slivers.drop_slivers(row, NODES, 0.01)
    assert (row == []) is gone


def test_what_has_a_hole_or_no_ring_is_no_sliver() -> None:
    holed = FaceRings(7, [0, 1, 3, 2], 0.01, [[4, 5, 6]])
    broken = FaceRings(8, [-1, -1, -1], -1.0, [])
    small = FaceRings(9, [0, 1, 4], 0.039, [])  # four hundredths at most are looked at
    row = [holed, broken, small]
    slivers.drop_slivers(row, NODES, 0.01)
    assert [part.face for part in row] == [7, 8, 9]
    # a ring that begins with node 1, and one whose nodes lie past its longest side's ends
    turned = [FaceRings(7, [1, 3, 2, 0], 3e-5, []), FaceRings(1, [1, 0, 5], 3500.0, [])]
    slivers.drop_slivers(turned, NODES, 0.01)
    assert turned == [FaceRings(1, [1, 3, 2, 0, 5], 3500.0, [])]


def test_a_sliver_that_runs_up_and_aslant() -> None:
    """From (1, 2, 3) 30 along (1, 2, 2) / 3: nodes at 10 and 20 of it; looked along in space, not in plan."""
    at = [
        (1.0 + s / 3.0, 2.0 + 2.0 * s / 3.0, 3.0 + 2.0 * s / 3.0 + up)
        for s, up in ((0.0, 0.0), (30.0, 0.0), (10.0, 1e-6), (20.0, 1e-6))
    ]
    row = [FaceRings(7, [0, 1, 3, 2], 1e-5, []), FaceRings(1, [1, 0, 4], 5.0, []), FaceRings(2, [0, 1, 4], 5.0, [])]
    slivers.drop_slivers(row, [*at, (9.0, 0.0, 0.0)], 1e-3)
    assert row == [FaceRings(1, [1, 3, 2, 0, 4], 5.0, []), FaceRings(2, [0, 1, 4], 5.0, [])]


def test_rings_by_their_sides() -> None:
    assert slivers.pairs([4, 7, 9]) == [(4, 7), (7, 9), (9, 4)]
    assert slivers.split([4, 7, 9], {(7, 9): [1, 2], (9, 4): [3], (9, 7): [8]}) == [4, 7, 1, 2, 9, 3]


def test_each_end_of_a_lifted_face_has_the_nodes_below_its_own_top() -> None:
    """From 10 up: its right end rises to 50 and meets roofs at 10, 40 and 60, its left to 30 and meets 20, 35 and 5."""
    place = [(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 0.0, 50.0), (0.0, 0.0, 30.0)]
    found: Any = SimpleNamespace(nodes=list(place), lines=SimpleNamespace(nx=[0.0], ny=[1.0]))
    part = FaceRings(0, [0, 1, 2, 3], 1.0, [])
    bases.lift(found, part, [0, 1, 2, 3], 10.0, {1: {60.0, 40.0, 10.0, 5.0}, 0: {35.0, 20.0, 5.0, 10.0}}, {})
    assert [found.nodes[n] for n in part.outer] == [(100.0, 0.0, 10.0), (100.0, 0.0, 40.0), (100.0, 0.0, 50.0), (0.0, 0.0, 30.0), (0.0, 0.0, 20.0), (0.0, 0.0, 10.0)]  # fmt: skip
    assert part.area == pytest.approx(100.0 * (40.0 + 20.0) / 2.0)


def test_a_reflex_corner_that_ends_leaves_the_others_in_their_places() -> None:
    """Of five vertices three are reflex, at places 0 to 2: the second goes, and the last takes its place."""
    F = made(lines((0.0, 1.0, 0.0, 0.0), (1.0, 0.0, 0.0, 0.0)), points(*[(float(k), 0.0, 0.0, 0.0, 0.0) for k in range(5)]), reflex=[1, 0, 1, 1, 0], start=[10, 11, 12, 13, 14], where=[0, 1, 2, 3, 4], ract=[0, 2, 3], rwhere=[0, 0, 1, 2, 0],
             own=[0] * 5, fin=[1] * 5, side_from=[0] * 9, side_to=[0] * 9, side_face=[0] * 9, tally=[5, 0, 0, 5, 3, 0, 0])  # fmt: skip
    fronts.finish(F, 2, 99)
    assert (F.tally[fronts.REFLEX], F.ract[:2], F.rwhere[0], F.rwhere[3]) == (2, [0, 3], 0, 1)
    assert (F.tally[fronts.ACTIVE], F.act[:4], F.where[4], F.alive) == (4, [0, 1, 4, 3], 2, [1, 1, 0, 1, 1])
    assert list(zip(F.side_from, F.side_to, F.side_face, strict=True))[:2] == [(12, 99, 1), (99, 12, 0)]
    fronts.finish(F, 3, 99)
    assert (F.tally[fronts.REFLEX], F.ract[:1], F.tally[fronts.ACTIVE], F.act[:3]) == (1, [0], 3, [0, 1, 4])


@pytest.mark.parametrize("turn", range(0, 360, 15))
def test_opposite_edges_have_opposite_directions_however_they_run(turn: int) -> None:
    """A rectangle of 8 x 5 and a short edge that runs with its first; a diagonal stands for itself."""

    def way(size: float, angle: float) -> tuple[float, float]:
        return (size * cos(radians(turn + angle)), size * sin(radians(turn + angle)))

    rows = [
        way(8.0, 0.0),
        way(5.0, 90.0),
        way(8.0, 180.0),
        way(5.0, 270.0),
        way(1.0, 0.02),
        way(1.0, 180.02),
        way(6.0, 53.0),
    ]
    edges = [Edge(k, 0.0, 0.0, x, y, x, y, PLAIN, 0.0) for k, (x, y) in enumerate(rows)]
    Directions(edges, 0.001).group()
    first, up, across = edges[0].direction, edges[1].direction, edges[6].direction
    assert [edge.direction for edge in edges] == [first, up, -first, -up, first, -first, across]
    assert len({abs(first), abs(up), abs(across)}) == 3
    assert {edges[k].like for k in (0, 2, 4, 5)} in ({0}, {2})


def test_edges_are_in_one_direction_within_the_rounding_of_their_coordinates(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a survey grid 5e9 mm off, where a coordinate is true to 2 ** -20 mm: four of those, in outline sizes, are added."""
    strays: list[float] = []

    class Told(Directions):
        def __init__(self, edges: list[Edge], stray: float) -> None:
            strays.append(stray)
            super().__init__(edges, stray)

    monkeypatch.setattr(preparing, "Directions", Told)
    ring = [(5e9, 5e9), (5e9 + 10000.0, 5e9), (5e9 + 10000.0, 5e9 + 6000.0), (5e9, 5e9 + 6000.0)]
    plan = prepare([ring], [LOW] * 4)
    assert plan.rounding == 2.0**-20 / 16384.0
    assert strays == [preparing.STRAY_REL + 4.0 * plan.rounding]


def test_edges_share_a_plane_by_how_they_begin() -> None:
    """The first changes its pitch further up; the next begins as it does, the one after as it ends."""
    rows = [((0.0, 1.0, 0), (0.5, 2.0, 1)), ((0.0, 1.0, 0),), ((0.0, 2.0, 0), (0.5, 1.0, 1)), ((0.0, 2.0, 0),)]
    plan: Any = SimpleNamespace(edges=[SimpleNamespace(direction=1, rise=rise) for rise in rows], loops=[[0, 1, 2, 3]])
    assert setup.same_plane(plan) == [-1, 0, -1, 2]


def test_a_new_reflex_corner_looks_ahead_in_the_front_it_is_of(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[Any] = []
    monkeypatch.setattr(events, "watch_piece", lambda F, heap, a, t: told.append(("piece", F is front, heap, a, t)))
    monkeypatch.setattr(events, "look_ahead", lambda F, heap, v, t: told.append(("look", F is front, heap, v, t)))
    front: Any = SimpleNamespace(
        alive=[1, 1, 1], nxt=[1, 2, 0], prv=[2, 0, 1], speed=[1.0] * 3, reflex=[0, 1, 0], start=[0, 0, 0]
    )
    events.settle(front, ["heap"], 1, 5.0)  # type: ignore[list-item]
    assert told == [
        ("piece", True, ["heap"], 0, 5.0),
        ("piece", True, ["heap"], 1, 5.0),
        ("look", True, ["heap"], 1, 5.0),
    ]


@pytest.mark.parametrize(
    ("y", "rows"), [(49.5, [0, 1]), (50.5, [0, 1]), (48.0, [0]), (52.0, [1]), (99.5, [1]), (0.5, [0])]
)
def test_what_lies_within_the_margin_of_a_row_is_in_it(y: float, rows: list[int]) -> None:
    """A window of 2 x 2 cells of 50 from (1000, 2000), whose margin is 1."""
    F: Any = SimpleNamespace(grid=[0] * 5, window=[0.0] * 6, tol=[0.0, 0.0, 1e300, 0.0, 0.0])
    F.grid[windows.ACROSS] = 2
    F.window[windows.LEFT], F.window[windows.BOTTOM], F.window[windows.CELL], F.window[windows.MARGIN] = (
        1000.0,
        2000.0,
        50.0,
        1.0,
    )
    found = windows.cells(F, *(1010.0, 2000.0 + y) * 4)
    assert found == [2 * row for row in rows]
    across = windows.cells(F, *(1000.0 + y, 2010.0) * 4)
    assert across == rows


def test_a_ring_that_passes_nodes_twice_is_cut_where_it_closes() -> None:
    """0 1 2 3 1 4 5 0: the loop 1 2 3, and 0 1 4 5 round it; a node of a loop that was cut off may be met again."""
    place = [(0.0, 0.0), (10.0, 0.0), (14.0, 6.0), (6.0, 6.0), (20.0, 0.0), (10.0, 20.0)]
    rows = faces.forked_rings({0: 1, 1: 2, 2: 3, 3: 1, 4: 5, 5: 0}, [(1, 4)], place)
    assert sorted(map(sorted, rows)) == [[0, 1, 4, 5], [1, 2, 3]]
    # 0 1 2 3 1 2 4: both 1 and 2 twice; after the loop 1 2 3 the way goes on over 2 again
    place = [(0.0, 0.0), (10.0, 0.0), (12.0, 1.0), (11.0, 8.0), (5.0, 20.0)]
    twice = faces.forked_rings({0: 1, 1: 2, 2: 3, 3: 1, 4: 0}, [(1, 2), (2, 4)], place)
    assert sorted(map(sorted, twice)) == [[0, 1, 2, 4], [1, 2, 3]]
    assert faces.forked_rings({0: 1, 1: 2}, [], place) == [[-1, -1, -1]]


def test_the_heading_of_a_way_is_its_angle() -> None:
    assert [
        faces.heading((3.0, 4.0), to) for to in ((5.0, 4.0), (3.0, 9.0), (1.0, 4.0), (3.0, 1.0), (4.0, 6.0))
    ] == pytest.approx([0.0, pi / 2.0, pi, -pi / 2.0, 1.1071487])
