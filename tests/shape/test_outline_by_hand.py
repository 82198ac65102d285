"""Outlines rule by rule: corners moved out by overhangs, recesses roofed over, rings refused, each with figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely

from takeoff.model.findings import Finding, Severity
from takeoff.shape.faces.parts import Face
from takeoff.shape.outline.outline_checks import _gap, _meeting, _runs_back, check_rings, inside
from takeoff.shape.outline.overhangs import Outline, _outward, _swallowed, move_out, moved_corner
from takeoff.shape.outline.recesses import Bridged, Recess, _meet, bridge_recesses
from takeoff.shape.outline.short_edges import _without_repeats, join_short_edges

Point = tuple[float, float]


def on(s: float, left: float = 0.0) -> Point:
    """A place by how far along a line of way (3, 4, 5) from (1, 2), and to its left."""
    return (1.0 + 0.6 * s - 0.8 * left, 2.0 + 0.8 * s + 0.6 * left)


# overhangs


@pytest.mark.parametrize(
    ("n1", "n2"),
    [
        ((0.0, -1.0), (1.0, 0.0)),
        ((0.6, 0.8), (-0.8, 0.6)),
        ((0.6, 0.8), (1.0, 0.0)),
        ((0.0, -1.0), (0.6, 0.8)),
        ((0.0, -1.0), (0.03, -0.99955)),
    ],
)
def test_a_corner_lies_on_both_moved_sides(n1: Point, n2: Point) -> None:
    """n.x = n.p + d for both, solved a second way."""
    p, d1, d2 = (7.0, -3.0), 600.0, 450.0
    (found,) = moved_corner(p, n1, d1, n2, d2)
    matrix = np.array([n1, n2])
    assert found == pytest.approx(tuple(np.linalg.solve(matrix, matrix @ np.array(p) + np.array([d1, d2]))))


def test_sides_in_line_jog_where_their_overhangs_differ() -> None:
    n = (0.6, 0.8)
    near = (0.6 - 0.0152, 0.8 + 0.0114)  # turned by 0.019
    assert moved_corner((10.0, 20.0), n, 600.0, near, 450.0) == (
        (370.0, 500.0),
        (10.0 + 450.0 * near[0], 20.0 + 450.0 * near[1]),
    )
    assert moved_corner((10.0, 20.0), n, 600.0, n, 600.0) == ((370.0, 500.0),)
    assert moved_corner((10.0, 20.0), n, 599.5, n, 600.0) == (
        (370.0, 500.0),
    )  # half a millimetre is no jog: the wider one
    assert moved_corner((10.0, 20.0), n, 600.0, n, 599.5) == ((370.0, 500.0),)
    assert len(moved_corner((10.0, 20.0), n, 600.0, n, 599.4)) == 2
    assert moved_corner((10.0, 20.0), n, 600.0, (-0.6, -0.8), 450.0) == (
        (10.0 - 270.0, 20.0 - 360.0),
    )  # back over itself


def test_ways_out_of_a_roof() -> None:
    ring = (on(0.0), on(50.0), on(50.0, 30.0))
    ways = [(0.8, -0.6), (0.6, 0.8)]
    assert [pytest.approx(way) for way in ways] == _outward(ring, False)[:2]
    assert [pytest.approx((-x, -y)) for x, y in ways] == _outward(ring, True)[:2]
    back = _outward(ring[::-1], False)
    assert (back[1], back[0]) == (pytest.approx(ways[0]), pytest.approx(ways[1]))


WALLS = ((0.0, 0.0), (4000.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0))


def test_a_wall_line_moved_out() -> None:
    """Sides 1 and 2 in one line with 600 and 450: a jog at 4000, number 6."""
    found, faults = move_out([WALLS], [(1, 2, 3, 4, 5)], {1: 600.0, 2: 450.0, 3: 0.0, 4: 300.0, 5: 100.0})
    assert faults == ()
    assert found == Outline(
        (((-100.0, -600.0), (4000.0, -600.0), (4000.0, -450.0), (9000.0, -450.0), (9000.0, 6300.0), (-100.0, 6300.0)),),
        ((1, 6, 2, 3, 4, 5),),
        {6: (1, 2)},
    )
    turned = WALLS[1:] + WALLS[:1]  # the jog stands before the ring's first side: it closes the ring
    again, _ = move_out([turned], [(2, 3, 4, 5, 1)], {1: 600.0, 2: 450.0, 3: 0.0, 4: 300.0, 5: 100.0})
    assert again.numbers == ((2, 3, 4, 5, 1, 6),)
    assert again.rings[0][0] == (4000.0, -450.0)
    assert again.rings[0][-1] == (4000.0, -600.0)
    court = ((2000.0, 2000.0), (3000.0, 2000.0), (3000.0, 3000.0), (2000.0, 3000.0))
    both, _ = move_out([WALLS, court], [(1, 2, 3, 4, 5), (6, 7, 8, 9)], dict.fromkeys(range(1, 10), 100.0))
    assert both.rings[1] == (
        (2100.0, 2100.0),
        (2900.0, 2100.0),
        (2900.0, 2900.0),
        (2100.0, 2900.0),
    )  # smaller: roof grows in


@pytest.mark.parametrize(("tip", "refused"), [(1000.0 * 0.05, True), (1000.0 * 0.0502, False)])
def test_a_corner_as_sharp_as_six_degrees(tip: float, refused: bool) -> None:
    """Two sides at h in 1000 to either side of their middle line meet 1 / sin(half the angle) overhangs away: for h = 50
    that is 20.02 overhangs, for 50.2 it is 19.95."""
    ring = ((0.0, 0.0), (100000.0, -100.0 * tip), (100000.0, 100.0 * tip))
    _, faults = move_out([ring], [(1, 2, 3)], dict.fromkeys((1, 2, 3), 600.0))
    reach = 600.0 * (1000.0**2 + tip**2) ** 0.5 / tip
    said = (
        f"edges 3 and 1 meet in so sharp a corner that their overhangs run {reach:.0f} mm past it; cut the corner off, or give the "
        "outline itself"
    )
    assert faults == ((said,) if refused else ())


@pytest.mark.parametrize(("deep", "swallowed"), [(1200.4, True), (1201.0, False)])
def test_a_side_between_overhangs_is_swallowed(deep: float, swallowed: bool) -> None:
    """A niche between walls with 600 each: less than half a millimetre of it is left."""
    ring = (
        (0.0, 0.0),
        (9000.0, 0.0),
        (9000.0, 6000.0),
        (5000.0 + deep, 6000.0),
        (5000.0 + deep, 4000.0),
        (5000.0, 4000.0),
        (5000.0, 6000.0),
        (0.0, 6000.0),
    )
    _, faults = move_out([ring], [tuple(range(1, 9))], dict.fromkeys(range(1, 9), 600.0))
    said = f"edge 5 ({deep:.0f} mm) is swallowed by the overhangs of its neighbours; give them less overhang, or give the outline itself"
    assert faults == ((said,) if swallowed else ())
    if swallowed:
        assert faults[0].path == ("edge", 5)  # type: ignore[attr-defined]
    oblique = (on(0.0), on(100.0), on(100.0, 50.0))
    left = [on(30.0, -9.0), on(30.6, -9.0), on(200.0, 50.0)]
    assert _swallowed(oblique, (7, 8, 9), left, (7, 8, 9)) == []
    assert (
        next(text[:6] for text in _swallowed(oblique, (7, 8, 9), [left[0], on(30.4, -9.0), left[2]], (7, 8, 9)))
        == "edge 7"
    )


# recesses


def niche(wide: float, left_deep: float = 3000.0, right_deep: float = 3000.0) -> tuple[Point, ...]:
    """A house 9 m wide with a recess in its northern side: its left wall ends `left_deep` north of its back."""
    return (
        (0.0, 0.0), (9000.0, 0.0), (9000.0, 1000.0 + right_deep), (4000.0 + wide, 1000.0 + right_deep),
        (4000.0 + wide, 1000.0), (4000.0, 1000.0), (4000.0, 1000.0 + left_deep), (0.0, 1000.0 + left_deep),
    )  # fmt: skip


NUMBERS = tuple(range(1, 9))


def bridged(ring: tuple[Point, ...], over: dict[int, float] | None = None) -> Bridged:
    return bridge_recesses([ring], [NUMBERS], over or dict.fromkeys(NUMBERS, 600.0))


def test_a_recess_whose_overhangs_reach_across_is_roofed_over() -> None:
    """Right wall 4 m, left wall 3 m deep: closed at the shallower, the left one, whose front runs on to the right wall."""
    found = bridged(niche(1000.0, 3000.0, 4000.0), {**dict.fromkeys(NUMBERS, 0.0), 4: 400.0, 6: 600.0})
    assert found.rings == (
        ((0.0, 0.0), (9000.0, 0.0), (9000.0, 5000.0), (5000.0, 5000.0), (5000.0, 4000.0), (0.0, 4000.0)),
    )
    assert found.numbers == ((1, 2, 3, 4, 7, 8),)
    assert found.recesses == (Recess((4, 5, 6), 1000.0, 4000.0, 1000.0),)
    other = bridged(niche(1000.0, 4500.0, 3000.0))
    assert other.rings == (
        ((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (4000.0, 4000.0), (4000.0, 5500.0), (0.0, 5500.0)),
    )
    assert other.numbers == ((1, 2, 3, 6, 7, 8),)
    assert other.recesses == (Recess((4, 5, 6), 1000.0, 4500.0, 1200.0),)


@pytest.mark.parametrize(("wide", "closed"), [(1200.5, True), (1200.6, False), (1000.0, True), (3000.0, False)])
def test_a_recess_is_closed_up_to_both_overhangs(wide: float, closed: bool) -> None:
    found = bridged(niche(wide))
    assert len(found.recesses) == int(closed)
    if closed:  # both fronts in one line: they meet in the middle of the mouth
        half = 4000.0 + wide / 2.0
        assert found.rings == (((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (half, 4000.0), (0.0, 4000.0)),)
        assert found.numbers == ((1, 2, 3, 7, 8),)
    else:
        assert found == Bridged((niche(wide),), (NUMBERS,), ())


def test_fronts_two_millimetres_apart_are_in_one_line() -> None:
    assert bridged(niche(1000.0, 3000.0, 3002.0)).numbers == ((1, 2, 3, 7, 8),)
    assert bridged(niche(1000.0, 3000.0, 3002.1)).numbers == ((1, 2, 3, 4, 7, 8),)


@pytest.mark.parametrize(
    ("lean", "closed"), [(260.0, True), (262.0, False)]
)  # 3000 at 0.087 is 262.0 off 3000 x 0.0873
def test_a_nook_whose_sides_lean_apart_is_no_recess(lean: float, closed: bool) -> None:
    ring = list(niche(600.0))
    ring[3] = (4600.0 + lean, 4000.0)
    assert bool(bridged(tuple(ring)).recesses) is closed


def test_what_stands_out_is_no_recess() -> None:
    bay = (
        (0.0, 0.0),
        (9000.0, 0.0),
        (9000.0, 4000.0),
        (5000.0, 4000.0),
        (5000.0, 7000.0),
        (4000.0, 7000.0),
        (4000.0, 4000.0),
        (0.0, 4000.0),
    )
    assert bridged(bay).recesses == ()
    # but in a court the roof lies on its other side
    outer = ((-9e3, -9e3), (18e3, -9e3), (18e3, 18e3), (-9e3, 18e3))
    court = bridge_recesses([outer, bay], [(11, 12, 13, 14), NUMBERS], dict.fromkeys((*NUMBERS, 11, 12, 13, 14), 600.0))
    assert [one.edges for one in court.recesses] == [(4, 5, 6)]
    assert [one.edges for one in bridged(niche(1000.0)[::-1]).recesses] == [(2, 3, 4)]


@pytest.mark.parametrize(("left_deep", "right_deep"), [(3000.0, 4000.0), (4500.0, 3000.0), (3000.0, 3000.0)])
def test_a_recess_lies_any_way_round(left_deep: float, right_deep: float) -> None:
    """The same house turned by (3, 4, 5), begun at each of its corners."""
    ring = niche(1000.0, left_deep, right_deep)
    plain = bridged(ring)
    for k in range(8):
        turned = tuple(on(*point) for point in (*ring[k:], *ring[:k]))
        numbers = (*NUMBERS[k:], *NUMBERS[:k])
        found = bridge_recesses([turned], [numbers], dict.fromkeys(NUMBERS, 600.0))
        assert (found.recesses[0].edges, found.recesses[0].width_mm) == ((4, 5, 6), pytest.approx(1000.0))
        assert found.recesses[0].depth_mm == pytest.approx(plain.recesses[0].depth_mm)
        expected = {number: on(*point) for number, point in zip(plain.numbers[0], plain.rings[0], strict=True)}
        assert set(found.numbers[0]) == set(expected)
        for number, point in zip(found.numbers[0], found.rings[0], strict=True):
            assert point == pytest.approx(expected[number])


def test_where_two_lines_meet() -> None:
    assert _meet(on(0.0), (0.6, 0.8), on(40.0, 30.0), (0.8, -0.6)) == pytest.approx(on(40.0))
    assert _meet(on(0.0), (0.6, 0.8), on(40.0, 30.0), (0.6, 0.8)) is None


# rings


@pytest.mark.parametrize(
    ("s", "left", "gap"),
    [(20.0, 7.0, 7.0), (20.0, -7.0, 7.0), (-3.0, 4.0, 5.0), (53.0, 4.0, 5.0), (0.0, 0.0, 0.0), (50.0, 0.0, 0.0)],
)
def test_the_distance_of_a_point_from_a_side(s: float, left: float, gap: float) -> None:
    assert _gap(on(0.0), on(50.0), on(s, left)) == pytest.approx(gap)


@pytest.mark.parametrize(
    ("c", "d", "meet"),
    [
        (on(20.0, 8.0), on(20.0, -2.0), on(20.0)), (on(20.0, 8.0), on(30.0, -2.0), on(28.0)), (on(20.0, 8.0), on(20.0, 0.6), None),
        (on(20.0, 8.0), on(20.0, 0.4), on(20.0, 0.4)), (on(20.0, 0.4), on(20.0, 8.0), on(20.0, 0.4)), (on(50.4, 8.0), on(50.4, -8.0), on(50.0)),
        (on(-0.4, 8.0), on(-0.4, -8.0), on(0.0)), (on(50.6, 8.0), on(50.6, -8.0), None), (on(-0.6, 8.0), on(-0.6, -8.0), None),
        (on(60.0), on(90.0), None), (on(40.0), on(90.0), on(50.0)), (on(10.0, 0.6), on(40.0, 0.6), None),
    ],
)  # fmt: skip
def test_where_sides_meet(c: Point, d: Point, meet: Point | None) -> None:
    found = _meeting(on(0.0), on(50.0), c, d)
    assert found == (None if meet is None else pytest.approx(meet))


@pytest.mark.parametrize(
    ("c", "back"),
    [
        (on(20.0), True),
        (on(20.0, 0.49), True),
        (on(-50.0, 0.9), True),
        (on(20.0, 0.51), False),
        (on(50.0, 30.0), False),
        (on(90.0), False),
    ],
)
def test_sides_that_run_back(c: Point, back: bool) -> None:
    """Across by the length of one, half a millimetre of the longer at most: 50 x 0.49 of 25, 50 x 0.9 of 50, 50 x 0.51 of 25."""
    assert _runs_back(on(0.0), on(50.0), c) is back
    for b, c in (
        ((9.0, 0.0), (4.0, 0.0)),
        ((0.0, 9.0), (0.0, 4.0)),
        ((-9.0, 0.0), (-4.0, 0.0)),
        ((0.0, -9.0), (0.0, -4.0)),
    ):
        assert _runs_back((0.0, 0.0), b, c)
        assert not _runs_back((0.0, 0.0), b, (2.0 * b[0], 2.0 * b[1]))
    assert _runs_back(on(0.0), on(50.0), on(0.0, 0.499))
    assert not _runs_back(on(0.0), on(50.0), on(0.0, 0.501))


def test_points_inside_a_ring() -> None:
    ring = [(0.0, 0.0), (60.0, 10.0), (70.0, 50.0), (30.0, 20.0), (0.0, 40.0)]
    area = shapely.Polygon(ring)
    for x in np.arange(-7.3, 80.0, 9.0):
        for y in np.arange(-4.1, 60.0, 7.0):
            assert inside(ring, (float(x), float(y))) is area.contains(shapely.Point(x, y))


def test_faults_know_their_edge() -> None:
    """The fourth point twice, a spike at the sixth, and a crossing: each at its edge of the roof."""
    ring = [(0.0, 0.0), (9.0, 0.0), (9.0, 3.0), (9.0, 6.0), (9.0, 6.0), (5.0, 6.0), (7.0, 6.0), (0.0, 6.0)]
    _, found = check_rings("main", "outline", [[(1000.0 * x, 1000.0 * y) for x, y in ring]])
    assert [(fault.path, fault.split(" has ")[0].split(" runs ")[0]) for fault in found] == [  # type: ignore[attr-defined]
        (("roofs", "main", "edge", 4), "roof main: outline: edge 4"),
        (("roofs", "main", "edge", 6), "roof main: outline: edge 6"),
        (("roofs", "main", "edge", 7), "roof main: outline: edge 7"),
    ]
    _, crossed = check_rings("main", "outline", [[(0.0, 0.0), (9000.0, 0.0), (0.0, 6000.0), (9000.0, 6000.0)]])
    assert [fault.path for fault in crossed] == [("roofs", "main", "edge", 2)]  # type: ignore[attr-defined]


def faults(*rings: list[Point]) -> list[str]:
    return list(check_rings("main", "outline", rings)[1])


def test_rings_that_are_none_are_told_edge_by_edge() -> None:
    square = [(0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0)]
    checked, none = check_rings(
        "main", "outline", [[*square, (0.0, 1e-6)], [(1000.0, 1000.0), (2000.0, 1000.0), (2000.0, 2000.0)]]
    )
    assert (none, checked.first, checked.numbers()) == ((), (1, 5), ((1, 2, 3, 4), (5, 6, 7)))
    assert checked.findings == (
        Finding(
            "point-repeated", Severity.FIXED, "roof main: outline: the last point repeats the first and was left out"
        ),
    )
    assert faults([(0.0, 0.0)]) == ["roof main: outline has 1 point; give at least 3 that enclose the roof"]
    assert faults([(0.0, 0.0), (5.0, 5.0)]) == [
        "roof main: outline has 2 points; give at least 3 that enclose the roof"
    ]
    assert faults([square[0], square[1], (9000.0, 0.5), *square[2:]]) == [
        "roof main: outline: edge 2 has no length: points 2 and 3 are the same; leave one out"
    ]
    assert faults([*square, (0.4, 0.3)]) == [
        "roof main: outline: edge 5 has no length: points 5 and 1 are the same; leave one out"
    ]
    assert faults([square[0], (9500.0, 0.0), *square[1:]]) == [
        "roof main: outline: edge 2 runs back over edge 1 at point 2; take the point out or move it"
    ]
    court = [(1000.0, 1000.0), (1000.2, 1000.0), (2000.0, 2000.0), (1000.0, 2000.0)]
    assert faults(square, court) == [
        "roof main: courtyard 1: edge 5 has no length: points 1 and 2 are the same; leave one out"
    ]
    assert faults([square[0], square[2], square[1], square[3]]) == [
        "roof main: outline: edges 1 and 3 cross or touch at (4500, 3000); give the points in order round the roof"
    ]
    fine = [(1000.0, 1000.0), (2000.0, 1000.0), (2000.0, 2000.0)]
    assert faults(square, [(x + 9000.0, y) for x, y in fine]) == [
        "roof main: courtyard 1 lies outside the outline; it must be inside"
    ]
    inner = [(1700.0, 1200.0), (1800.0, 1200.0), (1800.0, 1300.0)]
    assert faults(square, fine, inner) == ["roof main: courtyard 2 lies inside courtyard 1; leave one out"]
    touching = [(0.4, 1000.0), (2000.0, 1000.0), (2000.0, 2000.0)]
    assert faults(square, touching) == [
        "roof main: outline: edges 4 and 5 cross or touch at (0, 1000); give the points in order round the roof",
        "roof main: outline: edges 4 and 7 cross or touch at (0, 1000); give the points in order round the roof",
    ]
    assert faults([(0.0, 0.0), (10.0, 0.0), (10.0, 9.0)]) == ["roof main: the outline encloses no area"]
    assert faults([(0.0, 0.0), (20.0, 0.0), (20.0, 10.0)]) == []


# short edges


def test_short_edges_are_drawn_together() -> None:
    """Two faces share a ridge of 2 mm; neither of its ends lies on the outline."""
    a, b, c, d, p, q = (
        (0.0, 0.0, 0.0),
        (9.0, 0.0, 0.0),
        (9.0, 9.0, 0.0),
        (0.0, 9.0, 0.0),
        (4.0, 4.0, 4.0),
        (4.0, 6.0, 4.0),
    )
    sides: Any = SimpleNamespace(through=lambda point: {a: (1, 4), b: (1, 2), c: (2, 3), d: (3, 4)}.get(point, ()))
    up = (0.0, 0.0, 1.0)
    faces = [Face(((a, b, p),), up), Face(((b, c, q, p),), up), Face(((p, q, (4.5, 5.0, 4.0)),), up)]
    found, gone = join_short_edges(faces, sides, 2.01)
    assert gone == 2  # q, and the point between
    assert [face.rings_mm for face in found] == [((a, b, p),), ((b, c, p),)]
    assert join_short_edges(faces, sides, 1.0) == (faces, 0)
    on_side = {p: (7,), q: ()}
    sides.through = lambda point: on_side.get(point, ())
    assert join_short_edges(faces[1:2], sides, 2.01)[0][0].rings_mm == ((b, c, p),)
    on_side = {p: (), q: (7,)}
    assert join_short_edges(faces[1:2], sides, 2.01)[0][0].rings_mm == ((b, c, q),)
    on_side = {p: (8,), q: (7,)}
    assert join_short_edges(faces[1:2], sides, 2.01)[0][0].rings_mm == ((b, c, q, p),)


def test_rings_without_repeats_and_spurs() -> None:
    a, b, c, d = ((float(k), 0.0, 0.0) for k in range(4))
    assert _without_repeats([a, a, b, c, c, d, a]) == (a, b, c, d)
    assert _without_repeats([a, b, c, b, d]) == (a, b, d)
    assert _without_repeats([a, b, a]) == (a,)
