"""The parts of the skeleton engine one by one: how corners move, when fronts meet.

Figures follow from the equations of the moving lines n.p = c + s t alone, solved by hand or a second way (numpy).
"""

from __future__ import annotations

from math import atan2, cos, pi, radians, sin
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from moving_fronts import (
    BIG,
    EAST,
    EPS,
    FAST,
    GOOD,
    NORTH_EAST,
    TINY,
    WHEN,
    along,
    hitting,
    lines,
    made,
    points,
    turned,
)

from takeoff.shape.skeleton import events, front, windows
from takeoff.shape.skeleton.front import COLLAPSE, HIT


@pytest.mark.parametrize(
    ("first", "second", "sa", "sb"),
    [(90.0, 180.0, 0.5, 0.5), (90.0, 120.0, 0.5, 0.25), (90.0, 60.0, 0.7, 0.3), (200.0, 20.0 + 340.0, 0.4, 0.9),
     (10.0, 350.0, 0.0, 0.6), (330.0, 95.0, 0.3, 0.2), (300.0, 160.0, 0.3, 0.2)],
)  # fmt: skip
def test_a_corner_moves_with_both_its_lines(first: float, second: float, sa: float, sb: float) -> None:
    normals = [(cos(radians(a)), sin(radians(a))) for a in (first, second)]
    t, c = 1.7, (2.0, -3.0)
    F = made(
        lines((*normals[0], c[0], sa), (*normals[1], c[1], sb)),
        points((0.0, 0.0, 0.0, 9.0, 9.0)),
        fin=[0],
        own=[1],
        cls=[1, 2],
    )
    reflex = front.set_motion(F, 0, 123.0, 456.0, t)
    way = np.linalg.solve(np.array(normals), np.array([sa, sb]))
    place = np.linalg.solve(np.array(normals), np.array([c[0] + sa * t, c[1] + sb * t]))
    assert (F.vx[0], F.vy[0]) == pytest.approx(tuple(way))
    assert (F.px[0], F.py[0], F.pt[0]) == pytest.approx((*place, t))
    turn = (second - first) % 360.0
    assert (reflex, F.reflex[0]) == (turn > 180.0, int(turn > 180.0))
    along = float(way @ (-normals[0][1], normals[0][0]))
    assert F.speed[0] == pytest.approx(abs(sa) + abs(along))


def test_a_corner_of_nearly_one_line_stands_where_it_was_made() -> None:
    """A sine of 0.0009 gives no good crossing, one of 0.0011 does; nor does a corner that stands still need one."""
    for sine, stays in ((0.0009, True), (0.0011, False)):
        F = made(
            lines((0.0, 1.0, 2.0, 0.5), (-sine, (1.0 - sine**2) ** 0.5, 2.0, 0.5)),
            points((0.0,) * 5),
            fin=[0],
            own=[1],
            cls=[1, 2],
        )
        front.set_motion(F, 0, 123.0, 456.0, 1.0)
        assert ((F.px[0], F.py[0]) == (123.0, 456.0)) is stays
    still = made(lines((0.0, 1.0, 2.0, 0.0), (-1.0, 0.0, 2.0, 0.0)), points((0.0,) * 5), fin=[0], own=[1], cls=[1, 2])
    front.set_motion(still, 0, 123.0, 456.0, 1.0)
    assert (still.px[0], still.py[0], still.speed[0]) == (123.0, 456.0, 0.0)


@pytest.mark.parametrize(
    ("classes", "speeds", "motion"),
    [
        ((1, 1), (0.5, 0.5), (0.4, 0.3, 0.5)),
        ((1, 1), (0.5, 0.6), (0.0, 0.0, -1.0)),
        ((1, -1), (0.5, 0.5), (0.0, 0.0, -1.0)),
    ],
)
def test_fronts_of_one_line(
    classes: tuple[int, int], speeds: tuple[float, float], motion: tuple[float, float, float]
) -> None:
    """Of one pitch they go on together, along (0.8, 0.6); else, or against each other, the point has no motion of its own."""
    F = made(
        lines((0.8, 0.6, 2.0, speeds[0]), (0.8, 0.6, 2.0, speeds[1])),
        points((0.0,) * 5),
        fin=[0],
        own=[1],
        cls=list(classes),
    )
    assert front.set_motion(F, 0, 7.0, 8.0, 3.0) is False
    assert (F.vx[0], F.vy[0], F.speed[0]) == pytest.approx(motion)
    assert (F.px[0], F.py[0], F.pt[0], F.reflex[0]) == (7.0, 8.0, 3.0, 0)


def test_a_vertex_near_a_place() -> None:
    """At (1, 2) at time 1, by (3, 4): at time 2 at (4, 6); within 0.01 x (1 + 5), across and up."""
    F = made(lines(), points((1.0, 2.0, 1.0, 3.0, 4.0)))
    for dx, dy, is_near in (
        (0.0599, 0.0599, True),
        (0.0601, 0.0, False),
        (0.0, 0.0601, False),
        (-0.0601, 0.0, False),
        (0.0, -0.0599, True),
    ):
        assert front.near(F, 0, 4.0 + dx, 6.0 + dy, 2.0) is is_near
    F.speed[0] = -2.0
    assert [front.near(F, 0, 4.0 + off, 6.0, 2.0) for off in (0.0299, 0.0301)] == [True, False]
    F.speed[0] = 5000.0
    assert [front.near(F, 0, 4.0 + off, 6.0, 2.0) for off in (10.009, 10.011)] == [True, False]


@pytest.mark.parametrize("way", [EAST, NORTH_EAST])
@pytest.mark.parametrize("faster", [0, 1])
def test_a_piece_of_front_shrinks_to_nothing(way: tuple[float, float], faster: int) -> None:
    """At time t its ends are at 1 + 0.5 (t - 0.5) and 9 - 0.25 (t - 2) along it: they meet at 8.75 / 0.75."""
    (ax, ay), (bx, by) = along(way, 1.0, 0.3), along(way, 9.0, 0.3)
    up = (-way[1], way[0])
    F = made(
        lines((*up, 0.0, 0.0)),
        points(
            (ax, ay, 0.5, 0.5 * way[0] + 0.2 * up[0], 0.5 * way[1] + 0.2 * up[1]),
            (bx, by, 2.0, -0.25 * way[0] + 0.2 * up[0], -0.25 * way[1] + 0.2 * up[1]),
        ),
    )
    F.speed[faster] = 7.0
    heap: list[Any] = []
    front.watch_collapse(F, heap, 0, 3.0)
    assert heap == [(pytest.approx(8.75 / 0.75), COLLAPSE, 0, 1)]
    late: list[Any] = []
    front.watch_collapse(F, late, 0, 12.0)
    assert late == [(12.0, COLLAPSE, 0, 1)]
    for who in (0, 1):
        G = made(
            lines((*up, 0.0, 0.0)), {name: list(getattr(F, name)) for name in ("px", "py", "pt", "vx", "vy", "speed")}
        )
        G.speed[who] = -1.0
        front.watch_collapse(G, late, 0, 3.0)
    parting = made(
        lines((*up, 0.0, 0.0)), {name: list(getattr(F, name)) for name in ("px", "py", "pt", "vx", "vy", "speed")}
    )
    parting.vx[0], parting.vy[0] = -0.5 * way[0], -0.5 * way[1]
    front.watch_collapse(parting, late, 0, 3.0)
    assert len(late) == 1


def test_a_rate_that_is_rounding_closes_nothing() -> None:
    F = made(
        lines((0.0, 1.0, 0.0, 0.0)),
        points((0.0, 0.0, 0.0, 0.0, 0.0), (5.0, 0.0, 0.0, 0.0, 0.0)),
        tol=[EPS, 0.01, BIG, FAST, GOOD],
    )
    heap: list[Any] = []
    F.vx, F.speed = [0.079, 0.0], [3.0, 4.0]  # 0.01 x (1 + 3 + 4) = 0.08
    front.watch_collapse(F, heap, 0, 0.0)
    assert heap == []
    F.vx[0] = 0.081
    front.watch_collapse(F, heap, 0, 0.0)
    assert heap == [(pytest.approx(5.0 / 0.081), COLLAPSE, 0, 1)]


@pytest.mark.parametrize("way", [EAST, NORTH_EAST])
def test_a_piece_reaches_over_a_place_by_its_slack(way: tuple[float, float]) -> None:
    """At time 4 its ends are at 1 + 0.5 x 3 and 9 - 0.25 x 2; the slack is 0.01 x (2 + speed): speeds 3 and 2000, capped at 1000."""
    (ax, ay), (bx, by) = along(way, 1.0), along(way, 9.0)
    F = made(
        lines((-way[1], way[0], 0.0, 0.0)),
        points((ax, ay, 1.0, 0.5 * way[0], 0.5 * way[1]), (bx, by, 2.0, -0.25 * way[0], -0.25 * way[1])),
    )
    F.speed = [3.0, 2000.0]
    for s, over in ((2.5 - 0.049, True), (2.5 - 0.051, False), (5.0, True), (8.5 + 10.01, True), (8.5 + 10.03, False)):
        assert front.spans(F, 0, *along(way, s), 4.0) is over
    F.speed = [2000.0, 3.0]
    for s, over in ((2.5 - 10.01, True), (2.5 - 10.03, False), (8.5 + 0.049, True), (8.5 + 0.051, False)):
        assert front.spans(F, 0, *along(way, s), 4.0) is over


def test_a_reflex_corner_is_aimed_at_what_it_hits_first() -> None:
    F, heap = hitting(), []
    front.aim(F, heap, 2, 2.0, False)
    assert heap == [(pytest.approx(WHEN), HIT, 2, 3)]
    assert F.hit_t[2] == pytest.approx(WHEN)
    F.px[0] = 6.0  # now the first piece reaches from 0 to 6
    front.aim(F, heap := [], 2, 2.0, False)
    assert heap == [(pytest.approx(1.0 + 5.5 / 1.5), HIT, 2, 0)]
    front.aim(F, heap := [], 2, 1.0 + 5.5 / 1.5 + 0.009, False)  # a hit just past is taken now
    assert heap == [(1.0 + 5.5 / 1.5 + 0.009, HIT, 2, 0)]
    front.aim(F, heap := [], 2, 1.0 + 5.5 / 1.5 + 0.011, False)
    assert [row[3] for row in heap] == [3]
    front.aim(F, heap := [], 2, 1.0 + 5.5 / 1.5 - 0.009, True)  # a fresh one cannot hit yet
    assert [row[3] for row in heap] == [3]
    front.aim(F, heap := [], 2, 1.0 + 5.5 / 1.5 - 0.011, True)
    assert [row[3] for row in heap] == [0]
    F.nxt[0] = 2  # its own piece is none
    front.aim(F, heap := [], 2, 2.0, False)
    assert [row[3] for row in heap] == [3]
    F.vy[2], F.vx[2] = -0.6, 0.0  # runs ahead of both
    front.aim(F, heap := [], 2, 2.0, False)
    assert (heap, F.hit_t[2]) == ([], BIG)


def test_reflex_corners_are_aimed_at_a_new_piece() -> None:
    F, heap = hitting(), []
    front.aim_at_piece(F, heap, 3, 2.0)
    assert heap == [(pytest.approx(WHEN), HIT, 2, 3)]
    front.aim_at_piece(F, heap := [], 3, 2.0)  # known already
    front.aim_at_piece(F, heap, 0, 2.0)  # does not reach so far
    assert heap == []
    for now, t0, found in (
        (WHEN + 0.009, 1.0, 1),
        (WHEN + 0.011, 1.0, 0),
        (WHEN - 0.009, WHEN - 0.005, 0),
        (WHEN - 0.02, WHEN - 0.005, 1),
    ):
        G = hitting()
        G.px[2], G.py[2], G.pt[2] = 4.0 + 0.5 * (t0 - 1.0), 1.0 + (t0 - 1.0), t0
        front.aim_at_piece(G, heap := [], 3, now)
        assert len(heap) == found
        assert all(row[0] == pytest.approx(max(now, WHEN)) for row in heap)
    own = hitting()
    own.ract = [4]
    front.aim_at_piece(own, heap := [], 3, 2.0)
    assert heap == []


@pytest.mark.parametrize("way", [EAST, NORTH_EAST, (-0.8, 0.6)])
def test_a_hit_is_one_wherever_the_outline_lies(way: tuple[float, float]) -> None:
    """The same fronts turned and moved by (70, -30); and a closing rate of 1.5 against 0.7 and 0.71 times one and the speed."""
    for tiny, found in ((TINY, 1), (0.7, 1), (0.71, 0)):
        F = turned(hitting(), way, (70.0, -30.0))
        F.tol[front.TINY_RATE] = tiny
        front.aim(F, heap := [], 2, 2.0, False)
        assert heap == [(pytest.approx(WHEN), HIT, 2, 3)] * found
        F.hit_t[2] = BIG
        front.aim_at_piece(F, heap := [], 3, 2.0)
        assert heap == [(pytest.approx(WHEN), HIT, 2, 3)] * found
        assert windows.hit_time(F, 2, 3, 2.0, 99.0) == (pytest.approx(WHEN) if found else BIG)


def test_nodes_that_are_one() -> None:
    """Within four snap distances across, up and in time."""
    F = SimpleNamespace(nodx=[0.0] * 4, nody=[0.0] * 4, nodt=[0.0] * 4, tally=[0] * 7, tol=[EPS])
    f: Any = F
    assert front.add_node(f, 1.0, 2.0, 3.0) == 0
    assert [front.add_node(f, 1.0399, 2.0, 3.0399), front.add_node(f, 1.0, 1.9601, 3.0)] == [0, 0]
    assert front.add_node(f, 1.0401, 2.0, 3.0) == 1
    assert front.add_node(f, 1.0, 1.9599, 3.0) == 2
    assert [front.add_node(f, 1.0, 2.0, 3.0), front.add_node(f, 1.0401, 2.0, 2.9601)] == [
        0,
        1,
    ]  # not the last made alone
    assert front.add_node(f, 1.0, 2.0, 3.0401) == 3
    assert (F.nodx, F.nody, F.nodt, F.tally[front.NODES]) == (
        [1.0, 1.0401, 1.0, 1.0],
        [2.0, 2.0, 1.9599, 2.0],
        [3.0, 3.0, 3.0, 3.0401],
        4,
    )
    assert front.add_node(f, 9.0, 9.0, 9.0) == 3
    assert F.tally[front.STATUS] == front.NO_ROOM


def test_pieces_round_a_point_stand_counter_clockwise() -> None:
    """Sixteen ways and both kinds; of two on one way the outgoing one first."""
    ways = [(cos(a), sin(a)) for a in np.arange(0.05, 2.0 * pi, pi / 8.0)]
    order = [5, 0, 13, 8, 2, 15, 11, 6, 1, 9, 3, 14, 7, 12, 4, 10]
    inward = [k % 2 for k in order]
    # a face whose front runs along (dx, dy) has the normal (-dy, dx); one that comes in leads away the other way
    normals = [
        (-ways[k][1], ways[k][0]) if not i else (ways[k][1], -ways[k][0]) for k, i in zip(order, inward, strict=True)
    ]
    F = made(lines(*((*normal, 0.0, 0.0) for normal in normals)), points())
    found = events.sort_rays(F, list(range(16)), inward)
    assert [order[k] for k in found] == sorted(range(16), key=lambda k: atan2(ways[k][1], ways[k][0]) % (2.0 * pi))
    both = made(lines((0.0, -1.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)), points())
    assert events.sort_rays(both, [0, 1], [1, 0]) == [1, 0]


@pytest.mark.parametrize("way", [EAST, NORTH_EAST])
@pytest.mark.parametrize(("to_a", "to_b", "end"), [(3.0, 3.05, 1), (3.05, 3.0, 2)])
def test_a_strip_closes_to_its_nearer_end(
    monkeypatch: pytest.MonkeyPatch, way: tuple[float, float], to_a: float, to_b: float, end: int
) -> None:
    """At time 5 the ends are where they were at 2 and 3 and so much of their ways on; v stands at (1, 2)."""
    (ax, ay), (bx, by) = along(way, to_a - 0.5 * 3.0), along(way, to_b + 0.25 * 2.0)
    moving = points(
        (*along(way, 0.0), 5.0, 0.0, 0.0),
        (ax, ay, 2.0, 0.5 * way[0], 0.5 * way[1]),
        (bx, by, 3.0, -0.25 * way[0], -0.25 * way[1]),
    )
    F = made(lines((-way[1], way[0], 0.0, 0.0)), moving, prv=[1, 0, 0], nxt=[2, 0, 0])
    met: list[Any] = []
    monkeypatch.setattr(events, "meet", lambda _, __, members, where, t: met.append((members, where, t)))
    events.close_strip(F, [], 0, 5.0)
    assert met == [([0, end], end, 5.0)]


@pytest.mark.parametrize(
    ("one", "two", "end"), [(0.5, 0.7, 2), (0.7, 0.5, 1), (0.0, 0.5, 1), (0.5, 0.0, 2), (0.5, 0.5, 1)]
)
def test_of_collinear_fronts_the_steeper_goes_on(
    monkeypatch: pytest.MonkeyPatch, one: float, two: float, end: int
) -> None:
    F = made(
        lines((0.0, 1.0, 0.0, one), (0.0, 1.0, 0.0, two)),
        points(*[(0.0,) * 5] * 3),
        fin=[0, 0, 0],
        own=[1, 0, 0],
        prv=[1, 0, 0],
        nxt=[2, 0, 0],
    )
    met: list[Any] = []
    monkeypatch.setattr(events, "meet", lambda _, __, members, where, t: met.append((members, where, t)))
    events.change_pitch(F, [], 0, 5.0)
    assert met == [([0, end], end, 5.0)]
