"""What of imported faces is joined, and their borders in plan: figures by hand or a second way."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from drawn_faces import Point3, border

from takeoff.basics.errors import ShapeError
from takeoff.model.roof import UprightKind
from takeoff.shape.imported.joining import connected, expanded, sharing, welded
from takeoff.shape.imported.mesh_borders import (
    Borders,
    _along,
    _area,
    _coinciding,
    _last,
    _make_same,
    _paired,
    _straight_to,
    _straightened,
    outline_rings,
    sort_borders,
    step_faces,
)
from takeoff.shape.imported.mesh_clean import split_edges, weld


def test_connected_sets_have_the_least_of_their_members() -> None:
    a, b = np.array([5, 3, 1, 8]), np.array([3, 7, 2, 9])
    assert connected(10, a, b).tolist() == [0, 1, 1, 3, 4, 3, 6, 3, 8, 8]
    assert connected(3, a[:0], b[:0]).tolist() == [0, 1, 2]
    chain = np.arange(50)
    assert connected(51, chain[::-1], chain[::-1] + 1).tolist() == [0] * 51


def test_pairs_and_runs() -> None:
    i, j = expanded(np.array([2, 5, 9]), np.array([4, 5, 12]))
    assert (i.tolist(), j.tolist()) == ([0, 0, 2, 2, 2], [2, 3, 9, 10, 11])
    one, other = sharing(np.array([7, 3, 7, 7, 4, 3]))
    assert sorted(map(tuple, np.sort(np.stack([one, other], axis=1), axis=1).tolist())) == [
        (0, 2),
        (0, 3),
        (1, 5),
        (2, 3),
    ]


def test_points_within_a_distance_are_one_their_mean() -> None:
    """Against every pair in turn: a cloud of 300 about a hundred places, seeded."""
    rng = np.random.default_rng(5)
    cloud = np.round(rng.uniform(0.0, 40.0, (100, 3))[rng.integers(0, 100, 300)] + rng.uniform(-1.0, 1.0, (300, 3)), 2)
    means, new = welded(cloud, 2.0)
    near = np.linalg.norm(cloud[:, None] - cloud[None], axis=2) <= 2.0
    labels = np.arange(300)
    for _ in range(300):
        grown = np.where(near, labels[None], 300).min(axis=1)
        if (grown == labels).all():
            break
        labels = grown
    assert (new[:, None] == new[None]).tolist() == (labels[:, None] == labels[None]).tolist()
    for group in range(len(means)):
        assert means[group] == pytest.approx(cloud[new == group].mean(axis=0))
    with pytest.raises(ShapeError) as refused:
        welded(np.array([(0.0, 0.0, 0.0), (2.0 * 2**20, 0.0, 0.0)]), 2.0)
    assert refused.value.faults == ("the model is more than 2 km across; save the house alone",)


def test_points_of_borders_are_welded_to_the_first() -> None:
    points = [
        (0.0, 0.0, 0.0),
        (1.9, 0.0, 0.0),
        (3.8, 0.0, 0.0),
        (-1.0, -1.0, -1.0),
        (10.0, 10.0, 12.1),
        (10.0, 10.0, 10.0),
    ]
    means, new = weld(points, 2.0)
    assert new == [0, 0, 1, 0, 2, 3]
    assert [
        pytest.approx(mean)
        for mean in ((0.3, -1.0 / 3.0, -1.0 / 3.0), (3.8, 0.0, 0.0), (10.0, 10.0, 12.1), (10.0, 10.0, 10.0))
    ] == list(means)


def test_nodes_on_edges_are_put_into_rings() -> None:
    """Nodes 4 and 5 lie on the oblique side, 6 a little off it, 7 too far, 8 beyond its end."""
    nodes = [(0.0, 0.0, 0.0), (60.0, 80.0, 0.0), (0.0, 80.0, 0.0), (9.0, -50.0, 0.0)]
    nodes += [
        (30.0, 40.0, 0.0),
        (12.0, 16.0, 0.0),
        (48.0 - 1.2, 64.0 + 0.9, 0.0),
        (36.0 - 2.0, 48.0 + 1.5, 0.0),
        (61.2, 81.6, 0.0),
    ]
    rings = [(0, 1, 2), (3, 4, 5, 6, 7, 8)]
    found = split_edges(nodes, rings, 2.0)
    assert found[0] == (0, 5, 4, 6, 1, 2)
    assert split_edges(nodes, [(1, 0, 3), rings[1]], 2.0)[0][:5] == (1, 6, 4, 5, 0)
    assert split_edges(nodes, [], 2.0) == []


def test_borders_over_one_line_are_steps_the_higher_first() -> None:
    low, high = border(0, (0, 0, 5), (9, 0, 5), (0, 1)), border(1, (9, 0, 8), (0, 0, 7), (1, 0))
    alone = border(2, (0, 0, 9), (0, 9, 9), (0, 2))
    assert _paired([low, alone, high]) == ((alone,), ((high, low),))
    assert _paired([high, low, alone]) == ((alone,), ((high, low),))
    level = border(1, (9, 0, 5), (0, 0, 5), (1, 0))
    assert _paired([low, level]) == ((), ((level, low),))
    third = border(3, (0, 0, 1), (9, 0, 1), (0, 1))
    assert _paired([low, third, high])[0] == (third,)


def test_points_on_a_border_over_plan_nodes() -> None:
    """A border from (1, 2, 3) by (3, 4, 5) over 50 in plan, 10 up: nodes at 20 and 35, one a little beside it."""
    a, b = (1.0, 2.0, 3.0), (31.0, 42.0, 13.0)
    nodes: list[Point3] = [(0, 0, 0), (13.0, 18.0, 0.0), (22.0 - 0.8, 30.0 + 0.6, 0.0), (9, 9, 9)]
    found = _along(a, b, [0, 1, 2, 3], nodes)
    assert [pytest.approx(point) for point in (a, (13.0, 18.0, 7.0), (22.0, 30.0, 10.0), b)] == found
    assert _along(a, b, [0, 3], nodes) == [a, b]


def test_points_made_one_lead_to_the_last() -> None:
    a, b, c, d = ((float(k), 0.0, 0.0) for k in range(4))
    same: dict[Point3, Point3] = {}
    _make_same(same, a, b)
    _make_same(same, a, c)
    _make_same(same, d, a)
    _make_same(same, c, d)
    assert same == {a: b, b: c, d: c}
    assert [_last(same, point) for point in (a, b, c, d)] == [c] * 4
    top, foot = border(0, (0, 0, 10), (9, 0, 20.1), (0, 1)), border(1, (9, 0, 10), (0, 0, 0), (1, 0))
    assert _coinciding([(top, foot)], {}) == {(0, 0, 10): (0, 0, 0)}  # 10 mm is no step; 10.1 is


def test_free_borders_are_sorted_in_plan() -> None:
    """A high plane ends over a low one from x = 0 to 9; the low one goes on to 15, and a corner of 0.4 mm is no side."""
    free = [
        (0, (9.0, 0.0, 5.0), (0.0, 0.0, 5.0)),
        (1, (0.0, 0.0, 1.0), (15.0, 0.0, 1.0)),
        (1, (15.0, 0.0, 1.0), (15.3, 0.0, 1.3)),
    ]
    found = sort_borders(free, 0.5)
    assert [(top.ends, foot.ends) for top, foot in found.steps] == [
        (((9.0, 0.0, 5.0), (0.0, 0.0, 5.0)), ((0.0, 0.0, 1.0), (9.0, 0.0, 1.0)))
    ]
    assert [one.ends for one in found.outline] == [((9.0, 0.0, 1.0), (15.0, 0.0, 1.0))]
    assert found.extra == {((0.0, 0.0, 1.0), (15.0, 0.0, 1.0)): ((9.0, 0.0, 1.0),)}
    assert found.same[(15.0, 0.0, 1.0)] == (15.3, 0.0, 1.3)


def test_a_step_is_an_upright_face_that_looks_over_the_lower_plane() -> None:
    top, foot = border(0, (9.0, 0.0, 5.0), (0.0, 0.0, 4.0), (1, 0)), border(1, (0.0, 0.0, 1.0), (9.0, 0.0, 1.0), (0, 1))
    (found,) = step_faces(Borders((), (), ((top, foot),), {}, {}))
    assert found.normal == (0.0, 1.0, 0.0)
    assert found.upright is UprightKind.STEP
    assert sorted(found.rings_mm[0]) == [(0.0, 0.0, 1.0), (0.0, 0.0, 4.0), (9.0, 0.0, 1.0), (9.0, 0.0, 5.0)]
    (ring,) = found.rings_mm
    area = np.cross(np.subtract(ring[1], ring[0]), np.subtract(ring[2], ring[1]))
    assert area[1] > 0.0  # counter-clockwise seen from where it looks
    meeting = step_faces(Borders((), (), ((top, foot),), {}, {(0.0, 0.0, 4.0): (0.0, 0.0, 1.0)}))
    assert len(meeting[0].rings_mm[0]) == 3
    both = {(0.0, 0.0, 4.0): (0.0, 0.0, 1.0), (9.0, 0.0, 5.0): (9.0, 0.0, 1.0)}
    assert step_faces(Borders((), (), ((top, foot),), {}, both)) == []


def test_rings_without_points_on_a_straight() -> None:
    """They begin at their lowest left corner; a point 5 mm off the straight between those kept goes, one 6 mm off stays."""
    ring = [(100.0, 50.0), (0.0, 50.0), (0.0, 0.0), (50.0, -4.9), (100.0, 0.0)]
    assert _area(ring) == pytest.approx(2.0 * shapely.Polygon(ring).area)
    assert _straightened(ring, 5.0)[0] == (50.0, -4.9)
    square = [(100.0, 100.0), (0.0, 100.0), (0.0, 0.0), (100.0, 0.0), (104.9, 50.0)]
    assert _straightened(square, 5.0) == ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    assert _straightened([*square[:4], (106.0, 50.0)], 5.0) == (
        (0.0, 0.0),
        (100.0, 0.0),
        (106.0, 50.0),
        (100.0, 100.0),
        (0.0, 100.0),
    )
    assert _straight_to(square, 3, 5, 5.0)
    assert not _straight_to(square, 3, 5, 4.8)
    assert not _straight_to([(0.0, 0.0), (60.0, 80.0), (30.0, 40.0)], 0, 2, 5.0)  # past its end
    assert not _straight_to([(0.0, 0.0), (-3.0, -4.0), (30.0, 40.0)], 0, 2, 5.0)
    assert _straight_to([(0.0, 0.0), (12.0, 16.0), (30.0, 40.0)], 0, 2, 0.001)
    assert not _straight_to([(0.0, 0.0), (12.0, 16.0), (0.0, 0.0)], 0, 2, 99.0)


def test_what_is_straight_away_from_the_origin() -> None:
    """From (100, 7) by 3 in 4 over 500: a point half a millimetre on is on it, one off by 5 is, one off by 5.1 is not."""
    a, b = (100.0, 7.0), (500.0, 307.0)

    def on(along: float, off: float) -> bool:
        point = (a[0] + 0.8 * along - 0.6 * off, a[1] + 0.6 * along + 0.8 * off)
        return _straight_to([(9.0, 9.0), a, point, b], 1, 3, 5.05)

    assert [on(along, 5.0) for along in (0.5, 250.0, 499.5)] == [True, True, True]
    assert [on(along, -5.0) for along in (0.5, 250.0, 499.5)] == [True, True, True]
    assert [on(250.0, off) for off in (5.1, -5.1)] == [False, False]
    assert [on(along, 0.0) for along in (-0.5, 500.5)] == [False, False]


def test_rings_begin_at_the_lowest_corner_to_a_tenth() -> None:
    ring = [(0.0, 0.4), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)]
    assert _straightened(ring, 0.1) == ((100.0, 0.0), (100.0, 80.0), (0.0, 80.0), (0.0, 0.4))
    nearly = [(0.0, 0.04), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)]
    assert _straightened(nearly, 0.01) == ((0.0, 0.04), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0))
    left = [(40.4, 0.0), (0.0, 80.0), (40.0, 0.0)]
    assert _straightened(left, 0.01)[0] == (40.0, 0.0)


def outlined(*loops: list[tuple[float, float]]) -> Borders:
    points = tuple(point for loop in loops for point in loop)
    pieces, first = [], 0
    for loop in loops:
        numbers = list(range(first, first + len(loop)))
        pieces += [
            border(0, (*points[a], 0.0), (*points[b], 0.0), (a, b)) for a, b in zip(numbers, [*numbers[1:], numbers[0]], strict=True)
        ]  # fmt: skip
        first += len(loop)
    return Borders(points, tuple(pieces), (), {}, {})


def test_outer_rings_come_the_greatest_first_and_holes_too() -> None:
    """Two parts of 20 x 10 and 30 x 10 and two holes; what goes there and back encloses nothing."""
    small, large = (
        [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)],
        [(50.0, 0.0), (80.0, 0.0), (80.0, 10.0), (50.0, 10.0)],
    )
    tiny, wide = (
        [(55.0, 2.0), (55.0, 3.0), (56.0, 3.0), (56.0, 2.0)],
        [(60.0, 2.0), (60.0, 6.0), (66.0, 6.0), (66.0, 2.0)],
    )
    outer, holes = outline_rings(outlined(small, tiny, large, wide), 0.1)
    assert outer == (tuple(large), tuple(small))
    assert [set(ring) for ring in holes] == [set(wide), set(tiny)]
    assert outline_rings(outlined([(7.0, 8.0), (9.0, 8.0)]), 0.1) == ((), ())
