"""From an outline to a front that can run: every figure by hand.

The outline's first corner is the origin and lengths are divided by the power of two above its size, so that 32 mm are 1.
"""

from __future__ import annotations

from math import inf, radians, sqrt, tan
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.shape.skeleton import setup
from takeoff.shape.skeleton.front import ACTIVE, NODES, REFLEX, SIDES, VERTICES, Front
from takeoff.shape.skeleton.prepare import (
    Directions,
    Edge,
    Rise,
    Rises,
    faster,
    prepare,
    same_rise,
    speed_at,
    speed_of,
)
from takeoff.shape.skeleton.record import FASCIA_STEP, JOG_STEP, EdgeProfile, RiseStep, SkeletonNote
from takeoff.shape.skeleton.windows import BOTTOM, END, LEFT, MOST, SIZE

Point = tuple[float, float]
COT_30 = sqrt(3.0)


def profile(start: float, *steps: tuple[float | None, float | None]) -> EdgeProfile:
    return EdgeProfile(start, tuple(RiseStep(up_to, pitch) for up_to, pitch in steps))


LOW = profile(64.0, (None, 45.0))
HIGH = profile(80.0, (96.0, 45.0), (None, 90.0))
HOUSE = [(100.0, 200.0), (110.0, 200.0), (110.0, 206.0), (100.0, 206.0)]
COURT = [(103.0, 202.0), (103.0, 204.0), (105.0, 204.0), (105.0, 202.0)]
PLAIN: Rise = ((0.0, 1.0, 0),)
STEPPED: Rise = ((0.0, 0.0, FASCIA_STEP), (0.5, 1.0, 0), (1.0, 0.0, 1))


def test_an_outline_is_scaled_and_its_edges_are_grouped_by_direction() -> None:
    """10 x 6: from its first corner 16 at most, so 32 is the scale. 1.5e-14 of 200 are its places: 2 ** -45, over 32."""
    plan = prepare([HOUSE, COURT], [LOW, HIGH, LOW, LOW, *[LOW] * 4])
    a, b, c, d, e, f = (mm / 32.0 for mm in (10.0, 6.0, 3.0, 2.0, 5.0, 4.0))
    two = 2.0 / 32.0
    assert (plan.origin, plan.scale, plan.z0, plan.rounding) == ((100.0, 200.0), 32.0, 64.0, 2.0**-50)
    assert (plan.area, plan.loops, plan.notes) == (56.0 / 1024.0, [[0, 1, 2, 3], [4, 5, 6, 7]], [])
    assert plan.edges == [
        Edge(0, 0.0, 0.0, a, 0.0, a, 0.0, PLAIN, 0.0, False, 1, 0),
        Edge(1, a, 0.0, a, b, 0.0, b, STEPPED, 0.5, False, 2, 1),
        Edge(2, a, b, 0.0, b, -a, 0.0, PLAIN, 0.0, False, -1, 0),
        Edge(3, 0.0, b, 0.0, 0.0, 0.0, -b, PLAIN, 0.0, False, -2, 1),
        Edge(4, c, d, c, f, 0.0, two, PLAIN, 0.0, False, 2, 1),
        Edge(5, c, f, e, f, two, 0.0, PLAIN, 0.0, False, 1, 0),
        Edge(6, e, f, e, d, 0.0, -two, PLAIN, 0.0, False, -2, 1),
        Edge(7, e, d, c, d, -two, 0.0, PLAIN, 0.0, False, -1, 0),
    ]  # fmt: skip


def test_the_way_an_outline_was_typed_and_points_typed_twice_change_no_edge() -> None:
    """Clockwise with its first corner thrice: edges 1 and 6 have no length, and 5 is the first that is walked."""
    ring = [HOUSE[0], HOUSE[0], HOUSE[3], HOUSE[2], HOUSE[1], HOUSE[0]]
    profiles = [profile(64.0, (None, 20.0 + k)) for k in range(6)]
    plan = prepare([ring], profiles)
    a, b = 10.0 / 32.0, 6.0 / 32.0
    assert [(one.number, one.ax, one.ay, one.bx, one.by) for one in plan.edges] == [
        (4, 0.0, 0.0, a, 0.0), (3, a, 0.0, a, b), (2, a, b, 0.0, b), (1, 0.0, b, 0.0, 0.0),
    ]  # fmt: skip
    assert [one.rise[0][1] for one in plan.edges] == pytest.approx([1.0 / tan(radians(20.0 + k)) for k in (4, 3, 2, 1)])
    assert plan.area == 60.0 / 1024.0
    # a court typed counter-clockwise is walked clockwise
    court = prepare([HOUSE, COURT[::-1]], [LOW] * 8)
    assert [one.number for one in court.edges] == [0, 1, 2, 3, 6, 5, 4, 7]
    assert [(one.vx, one.vy) for one in court.edges[4:]] == [
        (0.0, 2 / 32), (2 / 32, 0.0), (0.0, -2 / 32), (-2 / 32, 0.0)
    ]  # fmt: skip
    assert (court.edges[4].ax, court.edges[4].ay, court.area) == (3.0 / 32.0, 2.0 / 32.0, 56.0 / 1024.0)


@pytest.mark.parametrize(("apart", "corners"), [(0.9e-9, 4), (1.1e-9, 5)])
def test_corners_nearer_than_a_thousand_millionth_of_the_size_are_one(apart: float, corners: int) -> None:
    """The scale is 32: along x and along y."""
    mm = 32.0 * apart
    for x, y in ((10.0 - mm, 0.0), (10.0, mm)):
        plan = prepare(
            [
                [
                    (0.0, 0.0),
                    (x, y) if y == 0.0 else (10.0, 0.0),
                    (10.0, 0.0) if y == 0.0 else (x, y),
                    (10.0, 6.0),
                    (0.0, 6.0),
                ]
            ],
            [LOW] * 5,
        )
        assert len(plan.edges) == corners


@pytest.mark.parametrize(
    ("first", "second", "way"),
    [((None, 45.0), (None, 30.0), -1.0), ((None, 30.0), (None, 45.0), 1.0)],
)
def test_a_step_stands_between_collinear_neighbours_that_rise_differently(
    first: tuple[float | None, float], second: tuple[float | None, float], way: float
) -> None:
    """It looks to the side of the slower of the two: the faster one's front is ahead of it. Scale 32."""
    ring = [(1.0, 2.0), (7.0, 2.0), (17.0, 2.0), (17.0, 10.0), (1.0, 10.0)]
    plan = prepare([ring], [profile(0.0, first), profile(0.0, second), LOW, LOW, LOW])
    jog: Rise = ((0.0, 0.0, JOG_STEP),)
    x = 6.0 / 32.0
    assert plan.edges[5] == Edge(0, x, 0.0, x, 0.0, 0.0, -way * x, jog, 0.0, True, -2 if way > 0 else 2, 2)
    assert plan.loops == [[0, 5, 1, 2, 3, 4]]
    text = "Edges 1 and 2 are in one line but rise differently: an upright step stands between."
    assert plan.notes == [SkeletonNote("step_at_collinear_edges", (0, 1), text)]
    assert [one.direction for one in plan.edges[:5]] == [-1, -1, 2, 1, -2]
    # the same turned by (3, 4, 5): the step runs square to the line
    turned = prepare(
        [[(0.6 * x - 0.8 * y, 0.8 * x + 0.6 * y) for x, y in ring]],
        [profile(0.0, first), profile(0.0, second), LOW, LOW, LOW],
    )
    vx, vy = turned.edges[0].vx, turned.edges[0].vy
    assert (turned.edges[5].vx, turned.edges[5].vy) == (way * vy, -way * vx)
    assert vx * 4.0 == pytest.approx(vy * 3.0)


def test_the_rise_of_an_edge_in_time() -> None:
    """Heights over 64, divided by 32."""
    rises = Rises(64.0, 32.0)
    for given, due in (
        (LOW, PLAIN),
        (HIGH, STEPPED),
        (profile(80.0, (None, 90.0)), ((0.0, 0.0, 0),)),  # a gable stands from the lowest fascia on
        (profile(80.0, (None, None)), ((0.0, 0.0, 0),)),
        (profile(64.0, (None, 0.0)), ((0.0, 0.0, FASCIA_STEP), (0.0, None, 0))),
        (profile(80.0, (None, 0.0)), ((0.0, 0.0, FASCIA_STEP), (0.5, None, 0))),
        (profile(64.0, (72.0, 90.0), (88.0, 45.0), (None, 0.0)), ((0.0, 0.0, 0), (0.25, 1.0, 1), (0.75, None, 2))),
        (profile(64.0, (96.0, 45.0), (112.0, 0.0)), ((0.0, 1.0, 0), (1.0, None, 1))),  # a flat top has no upper end
    ):
        assert rises.of(0, given) == due
    assert rises.of(0, HIGH) is rises.of(5, HIGH)
    assert rises.of_ring(3, [LOW, HIGH]) == [(PLAIN, 0.0), (STEPPED, 0.5)]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (profile(64.0), "its rise profile needs a finite start height and at least one step."),
        (profile(inf, (None, 45.0)), "its rise profile needs a finite start height and at least one step."),
        (profile(64.0, (96.0, 0.0), (None, 45.0)), "nothing can follow a flat top: make it the last step."),
        (profile(64.0, (64.0, 45.0), (None, 30.0)), "the heights of its steps must rise, and only the last has no upper end."),
        (profile(64.0, (96.0, 45.0)), "the heights of its steps must rise, and only the last has no upper end."),
        (profile(64.0, (None, 45.0), (None, 30.0)), "the heights of its steps must rise, and only the last has no upper end."),
        (profile(64.0, (inf, 45.0), (None, 30.0)), "the heights of its steps must rise, and only the last has no upper end."),
        (profile(64.0, (None, 90.5)), "pitch 90.5 degrees is not between 0 and 90."),
        (profile(64.0, (None, -1.0)), "pitch -1 degrees is not between 0 and 90."),
    ],
)  # fmt: skip
def test_rises_that_no_edge_can_have(given: EdgeProfile, said: str) -> None:
    with pytest.raises(ShapeError) as refused:
        Rises(64.0, 32.0).of_ring(6, [LOW, given])
    assert refused.value.faults == (f"Edge 8: {said}",)


def test_the_speed_of_a_pitch_is_its_cotangent() -> None:
    assert [speed_of("", pitch) for pitch in (None, 90.0, 45.0)] == [0.0, 0.0, 1.0]
    assert speed_of("", 0.0) is None
    assert speed_of("", 30.0) == pytest.approx(COT_30)
    assert speed_of("", 89.999) == pytest.approx(1.745329e-5, rel=1e-6)


def test_which_of_two_rises_is_ahead() -> None:
    slow: Rise = ((0.0, 0.0, 0), (0.5, 1.0, 1))
    fast: Rise = ((0.0, 0.0, 0), (0.5, 2.0, 1))
    late: Rise = ((0.0, 0.0, 0), (0.6, 2.0, 1))
    flat: Rise = ((0.0, 0.0, 0), (0.6, None, 1))
    assert [speed_at(slow, t) for t in (0.0, 0.49, 0.5, 9.0)] == [0.0, 0.0, 1.0, 1.0]
    assert speed_at(flat, 0.6) == inf
    assert [faster(a, b) for a, b in ((slow, fast), (fast, slow), (late, slow), (slow, late), (flat, late), (slow, slow))] == [
        False, True, False, True, True, False,
    ]  # fmt: skip
    assert same_rise(slow, ((0.0, 0.0, 7), (0.5, 1.0, 9)))  # whatever its steps are called
    assert [same_rise(slow, other) for other in (fast, late, slow[:1], ((0.1, 0.0, 0), slow[1]))] == [False] * 4


def grouped(*ways: Point, stray: float = 0.01) -> list[tuple[int, int]]:
    edges = [Edge(k, 0.0, 0.0, x, y, x, y, PLAIN, 0.0) for k, (x, y) in enumerate(ways)]
    Directions(edges, stray).group()
    return [(edge.direction, edge.like) for edge in edges]


@pytest.mark.parametrize(
    ("way", "direction", "like"),
    [
        # the second end may lie 0.01 beside the leader's line
        ((5.0, 0.0099), 1, 0), ((5.0, 0.0101), 3, 2), ((5.0, -0.0099), 1, 0), ((-5.0, 0.0099), -1, 0), ((-5.0, -0.0099), -1, 0),
        ((-5.0, -0.0101), 3, 2),
        ((3.0 - 0.006, 4.0 + 0.004), 2, 1), ((-3.0, -4.0), -2, 1), ((3.0 + 0.009, 4.0 - 0.008), 3, 2),
    ],
)  # fmt: skip
def test_short_edges_take_the_direction_of_long_ones(way: Point, direction: int, like: int) -> None:
    """Leaders along (1, 0) and (3, 4, 5)."""
    assert grouped((24.0, 0.0), (9.0, 12.0), way) == [(1, 0), (2, 1), (direction, like)]


def test_directions_near_a_half_turn_are_one_with_those_near_none() -> None:
    assert grouped((20.0, 0.0), (6.0, 8.0), (-6.0, 8.0), (-5.0, 0.005)) == [(1, 0), (2, 1), (3, 2), (-1, 0)]
    assert grouped((-20.0, 0.02), (6.0, 8.0), (-6.0, 8.0), (5.0, 0.001)) == [(1, 0), (2, 1), (3, 2), (-1, 0)]
    # whichever is typed first, the longest leads: by width and height together
    assert grouped((5.0, 0.009), (-3.0, -8.0), (9.0, 0.0), (3.0, 8.0)) == [(2, 2), (1, 1), (2, 2), (-1, 1)]


def test_a_front_ready_to_run() -> None:
    """Of HOUSE, its right end from 80 by 45 degrees, upright from 96 on: n.p = c + s t holds there from t = 0.5 to 1."""
    plan = prepare([HOUSE], [LOW, HIGH, LOW, LOW])
    ready = setup.set_up(plan, float, sqrt, 1e-11, 50)
    F = ready.front
    a, b = 10.0 / 32.0, 6.0 / 32.0
    assert list(zip(F.nx, F.ny, F.c, F.s, strict=True)) == [
        (0.0, 1.0, 0.0, 1.0), (-1.0, 0.0, -a, 0.0), (-1.0, 0.0, -a - 0.5, 1.0), (-1.0, 0.0, -a + 0.5, 0.0), (0.0, -1.0, -b, 1.0),
        (1.0, 0.0, 0.0, 1.0),
    ]  # fmt: skip
    assert (F.cls, F.flat, F.jog, F.swap) == ([1, 2, 2, 2, -1, -2], [0] * 6, [0] * 6, [-1] * 6)
    assert (ready.first_face, ready.edge_of, ready.step_of) == ([0, 1, 4, 5], [0, 1, 1, 1, 2, 3], [0, -1, 0, 1, 0, 0])
    assert (F.break_t, F.break_old, F.break_new) == ([0.5, 1.0], [1, 2], [2, 3])
    assert F.tol == [1e-11, 1e-15, 1e300, 1000.0, 1e-3]
    assert ready.outline_nodes == [0, 1, 2, 3]
    assert list(zip(F.nodx, F.nody, F.nodt, strict=True))[:4] == [
        (0.0, 0.0, 0.0),
        (a, 0.0, 0.0),
        (a, b, 0.0),
        (0.0, b, 0.0),
    ]
    assert [F.tally[k] for k in (VERTICES, NODES, SIDES, ACTIVE, REFLEX)] == [4, 4, 4, 4, 0]
    assert list(zip(F.side_from, F.side_to, F.side_face, strict=True))[:4] == [
        (0, 1, 0),
        (1, 2, 1),
        (2, 3, 4),
        (3, 0, 5),
    ]
    assert (F.prv[:4], F.nxt[:4], F.own[:4], F.fin[:4], F.start[:4]) == (
        [3, 0, 1, 2], [1, 2, 3, 0], [0, 1, 4, 5], [5, 0, 1, 4], [0, 1, 2, 3]
    )  # fmt: skip
    assert {len(F.px), len(F.hit_t), len(F.own), len(F.rwhere), len(F.nodt)} == {50}
    assert {len(F.side_from), len(F.side_to), len(F.side_face)} == {200}
    assert (F.grid, F.window, F.entry_who, F.piece_head) == ([0] * 5, [0.0] * 6, [], [])


def test_edges_in_one_line_at_one_rise_share_their_plane() -> None:
    """A thousandth of a millimetre out of line: the second lies on the first's line, not on its own. A flat top and a
    step start at the time they begin."""
    ring = [(0.0, 0.0), (6.0, 0.0), (16.0, 1e-9), (16.0, 8.0), (0.0, 8.0)]
    profiles = [LOW, LOW, profile(64.0, (80.0, 90.0), (None, 0.0)), LOW, LOW]
    ready = setup.set_up(prepare([ring], profiles), float, sqrt, 1e-11, 50)
    F = ready.front
    assert F.c[1] == F.c[0]
    assert (F.s[2:4], F.flat[2:4], F.c[3]) == ([0.0, 0.0], [0, 1], F.c[2])
    edges = [
        SimpleNamespace(direction=d, rise=((0.0, s, 0),)) for d, s in ((1, 1.0), (1, 1.0), (1, 2.0), (2, 2.0), (1, 1.0))
    ]
    plan: Any = SimpleNamespace(edges=edges, loops=[[4, 0, 1, 2, 3]])
    assert setup.same_plane(plan) == [4, 0, -1, -1, -1]


def test_a_step_of_no_length_shares_the_node_of_its_corner() -> None:
    ring = [(0.0, 0.0), (6.0, 0.0), (16.0, 0.0), (16.0, 8.0), (0.0, 8.0)]
    steep, slow = profile(64.0, (None, 60.0)), profile(64.0, (None, 30.0))
    ready = setup.set_up(prepare([ring], [steep, slow, LOW, LOW, LOW]), float, sqrt, 1e-11, 60)
    assert ready.outline_nodes == [0, 1, 2, 3, 4, 1]
    assert [ready.front.tally[k] for k in (VERTICES, NODES, SIDES)] == [6, 5, 5]
    # the last of its ring: it shares the first corner's
    turned = [ring[k] for k in (1, 2, 3, 4, 0)]
    last = setup.set_up(prepare([turned], [slow, LOW, LOW, LOW, steep]), float, sqrt, 1e-11, 60)
    assert last.outline_nodes == [0, 1, 2, 3, 4, 0]


@pytest.mark.parametrize(("corners", "across"), [(199, 0), (200, 15), (224, 15), (226, 16)])
def test_a_large_outline_has_a_grid(corners: int, across: int) -> None:
    """From 200 corners on, the root of their number and one more cells a side, with room for 120 entries a corner."""
    x_span, y_span = (17, 23) if corners < 224 else (23, 17)
    plan: Any = SimpleNamespace(
        edges=[SimpleNamespace(ax=-3.0 + k % x_span, ay=5.0 + k % y_span) for k in range(corners)]
    )
    F = Front()
    setup.make_grid(F, plan, float)
    assert (F.grid[MOST], sum(F.grid), len(F.grid)) == (across, across, MOST + 1)
    assert (len(F.piece_head), len(F.path_head), set(F.piece_head + F.path_head)) == (
        across**2, across**2, {-1} if across else set()
    )  # fmt: skip
    assert (F.entry_who, F.entry_next) == ([0] * (120 * corners if across else 0),) * 2
    assert len(F.window) == END + 1
    assert [F.window[k] for k in (LEFT, BOTTOM, SIZE)] == ([-3.0, 5.0, 22.0] if across else [0.0] * 3)
