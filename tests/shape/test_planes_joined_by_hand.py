"""Which facets become one plane, which nodes of its border are left out, which ends are mates: limits from both sides.

Limits (takeoff/basics/tolerances.py, takeoff/basics/model_limits.py) are common practice, no source.
"""

from __future__ import annotations

from math import cos, degrees, radians, sin
from typing import Any

import numpy as np
import pytest
from drawn_faces import Point3, Quad, net_of, patch

from takeoff.basics.errors import ShapeError
from takeoff.shape.imported import gaps, planes, raised
from takeoff.shape.imported.net import Net
from takeoff.shape.imported.planes import Patch, Tables, grow

UP: Point3 = (0.0, 0.0, 1.0)


def strips(*given: tuple[float, float], long: float = 20000.0, at: Point3 = (3000.0, -2000.0, 700.0)) -> Net:
    """Strips side by side along x, each so wide on its slope and so steep in degrees, from `at` on."""
    x, y, z = at
    quads: list[Quad] = []
    for wide, slope in given:
        p, q = y + wide * cos(radians(slope)), z + wide * sin(radians(slope))
        quads.append(((x, y, z), (x + long, y, z), (x + long, p, q), (x, p, q)))
        y, z = p, q
    return net_of(*quads)


def grown(net: Net, fold: float = 0.0) -> list[tuple[tuple[int, ...], float]]:
    return [(one.facets, one.fold_deg) for one in grow(net, np.arange(len(net.corners)), fold)]


@pytest.mark.parametrize(
    ("wide", "turn", "fold", "one", "told"),
    [
        # within a degree of each other one plane fits: 3 m at half of 0.9 degrees rise 24 mm, and lie 12 off
        (3000.0, 0.9, 0.0, True, 0.0),
        (3000.0, 1.1, 0.0, False, 0.0),
        # 9 m at half of 0.9 degrees rise 71 mm, and lie some 35 off: no plane fits, but nobody folds so little
        (9000.0, 0.9, 0.0, False, 0.0),
        (9000.0, 0.9, 3.0, True, 0.9),
        (3000.0, 2.9, 3.0, True, 2.9),
        (3000.0, 3.1, 3.0, False, 0.0),
        # 8 mm on a width of 200 mm are 2.29 degrees, on 100 mm 4.57
        (200.0, 2.2, 0.0, True, 0.0),
        (200.0, 2.4, 0.0, False, 0.0),
        (100.0, 4.5, 0.0, True, 0.0),
        (100.0, 4.7, 0.0, False, 0.0),
    ],
)
def test_two_strips_are_one_plane_or_two(wide: float, turn: float, fold: float, one: bool, told: float) -> None:
    net = strips((wide, 20.0), (wide, 20.0 + turn))
    found = grown(net, fold)
    assert sorted(facets for facets, _ in found) == ([(0, 1, 2, 3)] if one else [(0, 1), (2, 3)])
    assert [own for _, own in found] == [pytest.approx(told, abs=1e-4)] * len(found)
    if one:
        (whole,) = grow(net, np.arange(4), fold)
        assert degrees(np.arccos(whole.normal[2])) == pytest.approx(20.0 + turn / 2.0, abs=1e-6)


def test_nothing_is_straightened_that_nobody_asks_for() -> None:
    assert len(grow(strips((9000.0, 20.0), (9000.0, 20.9)), np.arange(4))) == 2


@pytest.mark.parametrize("gx", [-0.7, 0.0, 0.3])
@pytest.mark.parametrize("gy", [-0.5, 0.2, 0.9])
def test_the_normal_of_a_plane_looks_up_whichever_way_it_falls(gx: float, gy: float) -> None:
    for wide, deep in ((9000.0, 400.0), (400.0, 9000.0)):
        quad: Quad = tuple((x, y, gx * x + gy * y) for x, y in ((0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep)))
        (found,) = grow(net_of(quad), np.arange(2))
        size = (gx * gx + gy * gy + 1.0) ** 0.5
        assert found.normal == pytest.approx((-gx / size, -gy / size, 1.0 / size))


def test_the_narrower_of_two_strips_says_how_far_they_may_be_turned() -> None:
    """4.5 degrees are no fold beside 100 mm, be it the first or the second; beside 110 mm (4.16) they are."""
    for order in ((100.0, 3000.0), (3000.0, 100.0)):
        assert len(grown(strips((order[0], 20.0), (order[1], 24.5)))) == 1
    for order in ((110.0, 3000.0), (3000.0, 110.0)):
        assert len(grown(strips((order[0], 20.0), (order[1], 24.5)))) == 2


def test_a_narrow_strip_does_not_hide_a_fold() -> None:
    """A strip of 29 mm is a crumb and lies in any plane; one of 31 mm is judged by its own turn."""
    assert len(grown(strips((3000.0, 20.0), (29.0, 34.0)))) == 1
    assert len(grown(strips((3000.0, 20.0), (31.0, 36.0)))) == 2


def test_the_sharpest_fold_that_was_straightened_is_told() -> None:
    """9 m each: the flatter fold of 1.2 is joined first, then 2.4 from the middle of both to the third (2.4 + 0.6)."""
    ((facets, fold),) = grown(strips((9000.0, 20.0), (9000.0, 21.2), (9000.0, 23.2)), 3.0)
    assert facets == (0, 1, 2, 3, 4, 5)
    assert fold == pytest.approx(2.6, abs=0.02)
    ((_, other),) = grown(strips((9000.0, 23.2), (9000.0, 21.2), (9000.0, 20.0)), 3.0)
    assert other == pytest.approx(fold, abs=1e-3)
    found = grown(strips((9000.0, 20.0), (8000.0, 22.5), (6000.0, 26.0), (5000.0, 27.0)), 3.0)
    assert [facets for facets, _ in found] == [(0, 1, 2, 3), (4, 5, 6, 7)]
    assert [fold for _, fold in found] == pytest.approx([2.5, 1.0], abs=1e-4)


def test_planes_come_the_largest_first_and_only_what_is_asked_for() -> None:
    net = strips((2000.0, 10.0), (4000.0, 30.0), (3000.0, 50.0))
    assert [facets for facets, _ in grown(net)] == [(2, 3), (4, 5), (0, 1)]
    some = grow(net, np.array([0, 1, 4]))
    assert [one.facets for one in some] == [(0, 1), (4,)]
    assert grow(net, np.array([], dtype=int)) == ()
    assert [one.facets for one in grow(net_of(net_quad(0.0), net_quad(9000.0)), np.arange(4))] == [(0, 1), (2, 3)]


def net_quad(x: float) -> Quad:
    return ((x, 0.0, 0.0), (x + 500.0, 0.0, 0.0), (x + 500.0, 400.0, 0.0), (x, 400.0, 0.0))


def test_a_barrel_is_cut_into_planes_that_lie_within_25_mm() -> None:
    """Strips of 150 mm over a circle of 4 m radius turn by 2.15 degrees each: no fold for one of them, a bend for all."""
    turn = degrees(0.15 / 4.0)
    found = grow(strips(*((150.0, 60.0 - turn * k) for k in range(40)), long=6000.0), np.arange(80))
    assert sorted(facet for one in found for facet in one.facets) == list(range(80))
    assert 3 <= len(found) <= 20
    assert max(one.off_mm for one in found) <= 25.0
    for one in found:
        assert one.facets == tuple(range(one.facets[0], one.facets[0] + len(one.facets)))


def test_facets_of_one_polygon_of_the_file_are_one_face() -> None:
    """A square of 200 mm whose corner is lifted by 14: its triangles, 141 high, are turned by 5.7 degrees, which is more than
    8 in 141 (3.2) but no more than 12, and by half of it from the plane of both. As two polygons they are a fold."""
    quad: Quad = ((0.0, 0.0, 0.0), (200.0, 0.0, 0.0), (200.0, 200.0, 14.0), (0.0, 200.0, 0.0))
    net = net_of(quad)
    assert grown(net) == [((0, 1), 0.0)]
    net.polygon_of[:] = [4, 5]
    assert sorted(grown(net)) == [((0,), 0.0), ((1,), 0.0)]
    lifted = net_of((*quad[:2], (200.0, 200.0, 45.0), quad[3]))
    assert len(grown(lifted)) == 2


def test_neighbours_share_a_side_and_are_both_asked_for() -> None:
    net = strips((2000.0, 10.0), (4000.0, 30.0), (3000.0, 50.0))
    found = planes._neighbours(net, np.array([0, 1, 2, 3]))
    pairs = {tuple(sorted(pair)) for pair in zip(*(side.tolist() for side in found), strict=True)}
    assert (0, 1) in pairs
    assert (2, 3) in pairs
    assert all(max(pair) < 4 for pair in pairs)
    assert len(pairs) == 3  # two diagonals and the fold between
    lists = planes._lists(np.array([3, 5]), np.array([5, 7]))
    assert lists == {3: [5], 5: [3, 7], 7: [5]}


def test_facets_are_reached_through_what_is_free() -> None:
    """Five squares in a row in one plane: the fourth is taken already, so the fifth is not reached."""
    net = net_of(*(tuple((x + 500.0 * k, y, z) for x, y, z in net_quad(0.0)) for k in range(5)))
    tables = Tables(net)
    beside = planes._lists(*planes._neighbours(net, np.arange(10)))
    middle: Any = tuple((-tables.origin).tolist())
    assert sorted(planes._reached(tables, 0, beside, set(range(10)), UP, middle)) == list(range(10))
    assert sorted(planes._reached(tables, 0, beside, set(range(10)) - {6, 7}, UP, middle)) == [0, 1, 2, 3, 4, 5]
    assert planes._reached(tables, 0, {}, set(range(10)), UP, middle) == [0]


# ------------------------------------------------------------ nodes on a straight


def plain(at: dict[int, Point3], *edges: list[tuple[int, int]], off: float = 0.0) -> frozenset[int]:
    return raised._plain(edges, at, [Patch((), UP, UP, off) for _ in edges])


RING = {1: (0.0, 0.0, 0.0), 2: (50.0, 0.0, 0.0), 3: (90.0, 0.0, 0.0), 4: (90.0, 60.0, 0.0), 5: (0.0, 60.0, 0.0)}
ROUND = [(1, 2), (2, 3), (3, 4), (4, 5), (5, 1)]


def test_nodes_on_a_straight_side_are_left_out_where_the_same_faces_meet_on_both_of_it() -> None:
    assert plain(RING, ROUND) == {2}
    beside = [(3, 2), (2, 1), (1, 6), (6, 3)]
    at = {**RING, 6: (40.0, -30.0, 0.0)}
    assert plain(at, ROUND, beside) == {2}  # both faces go on along it
    part = [(3, 2), (2, 6), (6, 3)]
    assert plain(at, ROUND, part) == frozenset()  # only one does
    assert plain({**RING, 2: (50.0, 0.02, 0.0)}, ROUND) == frozenset()
    assert plain({**RING, 2: (50.0, 0.009, 0.0)}, ROUND) == {2}
    assert plain({**RING, 2: (50.0, 0.0, 8.9)}, ROUND, off=3.0) == {2}
    assert plain({**RING, 2: (50.0, 0.0, 9.1)}, ROUND, off=3.0) == frozenset()
    without = {key: value for key, value in RING.items() if key != 2}
    assert plain(without, ROUND) == frozenset()  # a node of walls alone
    assert plain({key: value for key, value in RING.items() if key != 1}, ROUND) == frozenset()


def test_nodes_less_than_a_millimetre_apart_are_on_a_straight_as_others_are() -> None:
    at = {1: (0.0, 0.0, 0.0), 2: (0.7, 0.0, 0.0), 3: (1.4, 0.0, 0.0), 4: (1.4, 60.0, 0.0)}
    assert plain(at, [(1, 2), (2, 3), (3, 4), (4, 1)]) == {2}


def test_a_spike_is_no_straight() -> None:
    """From 1 to 2 and back to 3 beyond 1: in one line, but turned round."""
    at = {1: (0.0, 0.0, 0.0), 2: (50.0, 0.0, 0.0), 3: (-20.0, 0.0, 0.0), 4: (10.0, 60.0, 0.0)}
    assert plain(at, [(1, 2), (2, 3), (3, 4), (4, 1)]) == frozenset()


def test_a_ring_keeps_three_nodes() -> None:
    assert raised._without((1, 2, 3, 4), frozenset({2})) == (1, 3, 4)
    assert raised._without((1, 2, 3), frozenset({2})) == (1, 2, 3)
    assert raised._pairs((4, 7, 9)) == [(4, 7), (7, 9), (9, 4)]


def test_the_rings_of_a_patch_the_outer_first() -> None:
    """A frame of 90 x 60 with a hole of 20 x 20; a hole of under 100 mm2 is a crumb; a patch seen from below has none."""
    at = {
        **{n: RING[n] for n in (1, 3, 4, 5)},
        11: (10.0, 10.0, 0.0), 12: (10.0, 30.0, 0.0), 13: (30.0, 30.0, 0.0), 14: (30.0, 10.0, 0.0),
        21: (50.0, 10.0, 0.0), 22: (50.0, 19.0, 0.0), 23: (59.0, 19.0, 0.0), 24: (59.0, 10.0, 0.0),
    }  # fmt: skip
    outer = [(1, 3), (3, 4), (4, 5), (5, 1)]
    hole = [(11, 12), (12, 13), (13, 14), (14, 11)]
    crumb = [(21, 22), (22, 23), (23, 24), (24, 21)]
    level = patch(UP, (0.0, 0.0, 0.0))
    found = raised._loops("main", level, [*crumb, *hole, *outer], at)
    assert [sorted(loop) for loop in found] == [[1, 3, 4, 5], [11, 12, 13, 14]]
    assert raised._loops("main", level, [(b, a) for a, b in outer], at) == []
    with pytest.raises(ShapeError) as caught:
        raised._loops("main", level, [(3, 4), (4, 5)], at)
    assert caught.value.faults == ("roof main: the border of the plane at (90, 0) at height 0 does not close",)


def test_free_sides_are_those_that_no_other_plane_has() -> None:
    """Two squares side by side: the side between is shared; walls are given with their own nodes."""
    other = tuple((x + 500.0, y, z) for x, y, z in net_quad(0.0))
    wall: Quad = ((0.0, 0.0, -900.0), (500.0, 0.0, -900.0), (500.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    net = net_of(net_quad(0.0), other, wall)
    patches = [patch(UP, (0.0, 0.0, 0.0), 0, 1), patch(UP, (0.0, 0.0, 0.0), 2, 3)]
    walls = [patch((0.0, -1.0, 0.0), (0.0, 0.0, 0.0), 4, 5)]
    found = raised.raise_patches("main", net, patches, walls)
    assert found.patches == patches
    assert found.walls == walls
    assert [len(rings) for rings in found.rings] == [1, 1]
    assert sorted(found.free) == sorted(
        [
            (0, (0.0, 0.0, 0.0), (500.0, 0.0, 0.0)), (0, (500.0, 400.0, 0.0), (0.0, 400.0, 0.0)), (0, (0.0, 400.0, 0.0), (0.0, 0.0, 0.0)),
            (1, (500.0, 0.0, 0.0), (1000.0, 0.0, 0.0)), (1, (1000.0, 0.0, 0.0), (1000.0, 400.0, 0.0)), (1, (1000.0, 400.0, 0.0), (500.0, 400.0, 0.0)),
        ]
    )  # fmt: skip
    (sides,) = found.wall_borders
    assert {point for side in sides for point in side} == set(wall)
    assert len(sides) == 4


# ------------------------------------------------------------ mates


def mates(monkeypatch: pytest.MonkeyPatch, *xs: float) -> tuple[int, float]:
    """How many pairs of ends at these places along a line are brought together, and the widest; any two face."""
    net = net_of(*(tuple((x + p / 100.0, y / 100.0, z) for p, y, z in net_quad(0.0)) for x in xs))
    nodes = net.nodes.tolist()
    found = [gaps._End(nodes.index([x, 0.0, 0.0]), k, (x, 0.0, 0.0), (1.0, 0.0)) for k, x in enumerate(xs)]
    monkeypatch.setattr(gaps, "_free_ends", lambda *_: found)
    monkeypatch.setattr(gaps, "_face", lambda *_: True)
    closed = gaps.close_gaps(net, [patch(UP, UP)] * len(xs), [True] * len(xs), 300.0)
    return closed.pairs, closed.widest_mm


@pytest.mark.parametrize(
    ("places", "pairs", "widest"),
    [
        ((0.0, 100.0), 1, 100.0),
        ((0.0, 300.0), 1, 300.0),
        ((0.0, 301.0), 0, 0.0),
        ((0.0, 100.0, 200.4), 2, 100.4),  # a third as near as the second, but for half a millimetre
        ((0.0, 100.0, 200.6), 1, 100.0),
        ((200.4, 100.0, 0.0), 2, 100.4),
        ((0.0, 100.0, 1000.0, 1250.0), 2, 250.0),
    ],
)
def test_ends_are_mates_where_each_is_the_others_nearest(
    monkeypatch: pytest.MonkeyPatch, places: tuple[float, ...], pairs: int, widest: float
) -> None:
    assert mates(monkeypatch, *places) == (pairs, pytest.approx(widest))


def test_three_ends_that_gape_in_one_place_are_brought_to_the_middle_of_all() -> None:
    quads: list[Quad] = [
        tuple((x + dx, y, z + dz) for x, y, z in net_quad(0.0))
        for dx, dz in ((0.0, 0.0), (1000.0, 6.0), (2000.0, 12.0), (9000.0, 0.0))
    ]
    net = net_of(*quads)
    nodes = net.nodes.tolist()
    numbers = [nodes.index(list(quad[0])) for quad in quads]
    pairs = [
        (min(a, b), max(a, b))
        for a, b in ((numbers[1], numbers[2]), (numbers[0], numbers[1]), (numbers[0], numbers[2]))
    ]
    joined, kept = gaps._merged(net, sorted(pairs))
    (one,) = kept
    assert one == min(numbers[:3])
    assert joined.nodes[one].tolist() == [1000.0, 0.0, 6.0]
    assert all(number == one or number not in joined.corners for number in numbers[:3])
    assert joined.nodes[numbers[3]].tolist() == [9000.0, 0.0, 0.0]
    assert numbers[3] in joined.corners
    assert len(joined.sides) == len(net.sides)
    # a side whose ends become one is gone
    short, _ = gaps._merged(
        net, [(min(numbers[0], nodes.index([500.0, 0.0, 0.0])), max(numbers[0], nodes.index([500.0, 0.0, 0.0])))]
    )
    assert len(short.sides) == len(net.sides) - 1


@pytest.mark.parametrize("turn", [0.0001, 0.9, 1.1, 40.0])
@pytest.mark.parametrize("about", [(0, 1), (0, 2), (1, 2)])
def test_angles_between_planes_turned_about_any_axis(turn: float, about: tuple[int, int]) -> None:
    one, other = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
    one[about[0]] = 1.0
    other[about[0]], other[about[1]] = cos(radians(turn)), sin(radians(turn))
    a, b = (one[0], one[1], one[2]), (other[0], other[1], other[2])
    assert planes._angle_deg(a, b) == pytest.approx(turn, rel=1e-4)
    assert planes._angle_deg(b, a) == planes._angle_deg(a, b)


def test_a_facets_own_plane_and_its_width_are_counted_from_the_middle_of_all() -> None:
    """Four corners about (3250, 5200, 107): the first lies 250, 200 and 7 from it."""
    quad: Quad = ((3000.0, 5000.0, 100.0), (3500.0, 5000.0, 100.0), (3500.0, 5400.0, 114.0), (3000.0, 5400.0, 114.0))
    tables = Tables(net_of(quad))
    assert tables.own_plane(0)[1] == pytest.approx((-250.0, -200.0, -7.0))
    nothing = planes.Moments(1.0, np.zeros(3), np.zeros((3, 3)))
    assert planes._width(nothing) == 0.0
    thin = planes.Moments(2.0, np.zeros(3), np.diag([0.0, 0.25 / 6.0, 90.0]))
    assert planes._width(thin) == pytest.approx(0.5)


@pytest.mark.parametrize("ratio", [0.02, 0.1, 0.3, 0.7])
def test_planes_nearly_one_are_dropped_a_direction_at_a_time(ratio: float) -> None:
    """Four unit normals whose singular values stand to each other as 1 to a little over the ratio to a little under it:
    what is too far along the last is dropped, what lies along the second is not."""
    signs = np.array([(1.0, 1.0, 1.0), (1.0, -1.0, 1.0), (1.0, 1.0, -1.0), (1.0, -1.0, -1.0)]) / 2.0
    shares = np.array([1.0, 1.02 * ratio, 0.98 * ratio])
    values = shares * 2.0 / np.linalg.norm(shares)
    normals = signs * values
    assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0)
    near, far, dropped = np.array([1.0, 2.0, 44.0]), np.array([1.0, 2.0, 60.0]), np.array([1.0, 2.0, 0.0])
    # what differs by less than a fiftieth counts as one at any distance
    one = ratio == 0.02
    assert raised._least_step(normals, normals @ near, False) == pytest.approx(dropped if one else near)
    assert raised._least_step(normals, normals @ far, False) == pytest.approx(dropped)
    assert raised._least_step(normals, normals @ far, True) == pytest.approx(dropped if one else far)
    assert raised._least_step(normals, normals @ np.array([60.0, 0.0, 0.0]), False) == pytest.approx(np.zeros(3))
