"""Sides of planes moved by their trims and areas cut into strips: figures by hand."""

from __future__ import annotations

import itertools
from math import hypot

import pytest
from flat_planes import Point, edge, plane

from takeoff.basics.errors import TakeoffError
from takeoff.shape.strips.sheeted_area import (
    _FAR_MITRE,
    SheetedArea,
    _corner,
    _edge_under,
    _first_to_vanish,
    _moved_ring,
    _Side,
    _sides,
    _split,
    _stays_near,
    _taken_apart,
    _turn,
    _winding,
    move_sides,
)
from takeoff.shape.strips.slabs import Slab
from takeoff.shape.strips.strips import Widths, _lap_side, _mirrored, cut_strips, strip_count


def side(at: Point, end: Point, name: str = "", trim: float = 0.0, gone: float = 0.0) -> _Side:
    size = hypot(end[0] - at[0], end[1] - at[1])
    return _Side(at, end, ((end[0] - at[0]) / size, (end[1] - at[1]) / size), name, trim, gone)


def test_a_side_moves_square_to_itself_outwards() -> None:
    """The area lies on the left of (3, 4, 5): outwards is (0.8, -0.6)."""
    assert side((1.0, 2.0), (4.0, 6.0), trim=10.0).line((1.0, 2.0)) == pytest.approx((9.0, -4.0))
    assert _turn((1.0, 0.0), (0.6, 0.8)) == pytest.approx(0.8)
    assert _turn((1.0, 0.0), (0.6, -0.8)) == pytest.approx(0.8)
    assert _turn((1.0, 0.0), (-0.6, 0.8)) == 2.0
    assert _turn((1.0, 0.0), (0.0, 1.0)) == 2.0


def test_a_side_is_cut_where_edges_end_on_it() -> None:
    a, b = (100.0, 200.0), (400.0, 600.0)

    def on(s: float, off: float) -> Point:
        return (100.0 + 0.6 * s - 0.8 * off, 200.0 + 0.8 * s + 0.6 * off)

    cut = _split(
        a,
        b,
        [
            on(300.0, 0.9),
            on(120.0, -0.9),
            on(200.0, 1.1),
            on(250.0, -1.1),
            on(120.9, 0.0),
            on(0.9, 0.0),
            on(499.1, 0.0),
            on(-5.0, 0.0),
            on(505.0, 0.0),
        ],
    )
    stops = [0.0, 120.0, 300.0, 500.0]
    assert [point for p, q in cut for point in (p, q)] == [
        pytest.approx(on(s, 0.0)) for pair in itertools.pairwise(stops) for s in pair
    ]
    assert len(_split(a, b, [on(1.1, 0.0)])) == 2


def test_the_edge_that_a_side_lies_on() -> None:
    """From (100, 200) by (3, 4, 5) 500 long: its middle is (250, 400). An edge along, one 30 off, one turned by 0.11 in 1."""
    p, q = (100.0, 200.0), (400.0, 600.0)

    def on(s: float, off: float) -> Point:
        return (100.0 + 0.6 * s - 0.8 * off, 200.0 + 0.8 * s + 0.6 * off)

    along, off = ("A", on(-900.0, 12.0), on(900.0, 12.0)), ("B", on(900.0, -11.0), on(-900.0, -11.0))
    assert _edge_under(p, q, [along, off]) == "B"
    assert _edge_under(p, q, [along]) == "A"
    assert _edge_under(p, q, [("C", on(0.0, 49.9), on(500.0, 49.9))]) == "C"
    assert _edge_under(p, q, [("C", on(0.0, 50.1), on(500.0, 50.1))]) == ""
    assert _edge_under(p, q, [("D", on(-750.0, -99.0), on(1250.0, 99.0))]) == "D"  # 0.099 in 1, and through its middle
    assert _edge_under(p, q, [("D", on(-750.0, -105.0), on(1250.0, 105.0))]) == ""
    assert _edge_under(p, q, [("E", on(290.0, 0.0), on(700.0, 0.0))]) == "E"  # begins 40 past its middle
    assert _edge_under(p, q, [("E", on(301.0, 0.0), on(700.0, 0.0))]) == ""
    assert _edge_under(p, q, [("E", on(-100.0, 0.0), on(199.0, 0.0))]) == ""
    assert _edge_under(p, q, [("F", on(250.0, 0.0), on(250.009, 0.0)), along]) == "A"
    assert _edge_under(p, q, [along, ("G", along[1], along[2])]) == "A"


@pytest.mark.parametrize(
    ("left", "right", "corner"),
    [
        # square: both trims
        (side((0, 0), (100, 0), trim=10.0), side((100, 0), (100, 80), trim=6.0), [(106.0, -10.0)]),
        (side((0, 0), (100, 0), trim=-10.0), side((100, 0), (100, 80), trim=-6.0), [(94.0, 10.0)]),
        (side((0, 0), (100, 0), trim=10.0), side((100, 0), (160, 80), trim=0.0), [(92.5, -10.0)]),
        # straight on with two trims: a step; with one: a point
        (side((0, 0), (100, 0), trim=10.0), side((100, 0), (200, 0), trim=4.0), [(100.0, -10.0), (100.0, -4.0)]),
        (side((0, 0), (100, 0), trim=10.0), side((100, 0), (200, 0), trim=10.0), [(100.0, -10.0)]),
        # nearly straight: they meet far away, so they step
        (side((0, 0), (100, 0), trim=10.0), side((100, 0), (200, 1), trim=0.0), [(100.0, -10.0), (100.0, 0.0)]),
    ],
)  # fmt: skip
def test_where_moved_neighbours_meet(left: _Side, right: _Side, corner: list[Point]) -> None:
    assert [pytest.approx(point) for point in corner] == list(_corner(left, right))


def test_sides_that_shrink_to_nothing() -> None:
    """An upright side between level ones never vanishes; the top of a trapezium does, and a triangle is left."""
    square = [
        side((0, 0), (100, 0)),
        side((100, 0), (100, 40), trim=-30.0),
        side((100, 40), (0, 40)),
        side((0, 40), (0, 0), trim=-60.0),
    ]
    corners = [_corner(square[i - 1], one) for i, one in enumerate(square)]
    assert _moved_ring([square[0], replace_trim(square[1], -30.0), square[2], replace_trim(square[3], -60.0)])[0] == (
        (60.0, 0.0),
        (70.0, 0.0),
        (70.0, 40.0),
        (60.0, 40.0),
    )
    assert _first_to_vanish(square, corners) is None
    trapezium = [
        side((0, 0), (100, 0)),
        side((100, 0), (70, 40), trim=-25.0),
        side((70, 40), (30, 40)),
        side((30, 40), (0, 0), trim=-25.0),
    ]
    corners = [_corner(trapezium[i - 1], one) for i, one in enumerate(trapezium)]
    # each slope moves its end of the top in by 25 x 5 / 4 = 31.25: the top of 40 is gone after 40 / 62.5 of the way
    assert _first_to_vanish(trapezium, corners) == 2
    ring, _ = _moved_ring(trapezium)
    assert [pytest.approx(point) for point in ((31.25, 0.0), (68.75, 0.0), (50.0, 25.0))] == list(ring)


def replace_trim(one: _Side, trim: float) -> _Side:
    return _Side(one.at, one.end, one.along, one.edge, trim)


RECT = ((0.0, 0.0), (900.0, 0.0), (900.0, 500.0), (0.0, 500.0))
EDGES = [
    edge("E1", RECT[0], RECT[1]),
    edge("E2", RECT[1], RECT[2]),
    edge("E3", RECT[2], RECT[3]),
    edge("E4", RECT[3], RECT[0]),
]


def test_a_plane_with_its_sides_moved() -> None:
    found = move_sides(plane(RECT), EDGES, {"E1": 50.0, "E2": -20.0, "E3": 5.0})
    assert found == SheetedArea(
        (((0.0, -50.0), (880.0, -50.0), (880.0, 505.0), (0.0, 505.0)),), (("E1", "E2", "E3", "E4"),)
    )
    assert found.area_mm2 == 880.0 * 555.0
    hole = ((300.0, 100.0), (300.0, 200.0), (500.0, 200.0), (500.0, 100.0))
    holed = move_sides(plane(RECT, hole[::-1]), [*EDGES, edge("H", hole[0], hole[1])], {"H": 10.0})
    assert holed.area_mm2 == 900.0 * 500.0 - 190.0 * 100.0
    assert move_sides(plane(RECT), EDGES, {"E1": -300.0, "E3": -201.0}) == SheetedArea((), ())
    assert move_sides(plane(RECT), EDGES, {"E1": -300.0, "E3": -199.0}).area_mm2 == pytest.approx(900.0)


def test_sides_of_one_edge_are_one_and_two_edges_make_two() -> None:
    ring = ((300.0, 0.0), (900.0, 0.0), (900.0, 500.0), (0.0, 500.0), (0.0, 0.0))
    sides = _sides(ring, plane(ring), EDGES, {"E1": 7.0})
    assert [(one.edge, one.at, one.end, one.trim_mm) for one in sides] == [
        ("E1", (0.0, 0.0), (900.0, 0.0), 7.0), ("E2", RECT[1], RECT[2], 0.0), ("E3", RECT[2], RECT[3], 0.0), ("E4", RECT[3], RECT[0], 0.0),
    ]  # fmt: skip
    halves = [edge("A", (0.0, 0.0), (300.0, 0.0)), edge("B", (300.0, 0.0), (900.0, 0.0)), *EDGES[1:]]
    assert [one.edge for one in _sides(RECT, plane(RECT), halves, {})] == ["A", "B", "E2", "E3", "E4"]
    crumb = ((0.0, 0.0), (899.6, 0.0), (900.0, 0.0), *RECT[2:])
    assert [one.edge for one in _sides(crumb, plane(crumb), EDGES, {})] == ["E1", "E2", "E3", "E4"]


def test_sides_that_end_far_away_are_a_fault_of_the_program() -> None:
    """Trims of 10 mm: ten of them and half a millimetre at most, as far as a mitre goes."""
    reach = _FAR_MITRE * 10.0 + 0.5
    for far, fine in ((reach, True), (reach + 1.0, False)):
        for ring in (
            ((-far, 0.0), (5.0, 5.0)),
            ((900.0 + far, 0.0), (5.0, 5.0)),
            ((5.0, -far), (5.0, 5.0)),
            ((5.0, 500.0 + far), (5.0, 5.0)),
        ):
            area = SheetedArea((ring,), (("", ""),))
            if fine:
                _stays_near(area, plane(RECT), 10.0)
                continue
            with pytest.raises(TakeoffError) as fault:
                _stays_near(area, plane(RECT), 10.0)
            assert fault.value.faults == (
                (
                    f"plane P1: its sides moved by up to 10 mm end {far:.0f} mm away from it; this is a fault of the program, not of "
                    "the job: please report it with the job file"
                ),
            )


def test_of_rings_that_cross_what_lies_within_is_left() -> None:
    """A bow tie: the half that it goes round counter-clockwise stays."""
    tie = ((0.0, 0.0), (100.0, 0.0), (0.0, 80.0), (100.0, 80.0))
    assert [_winding(tie, at) for at in ((50.0, 10.0), (50.0, 70.0), (5.0, 40.0), (-9.0, 10.0))] == [1, -1, 0, 0]
    found = _taken_apart([tie], [side((0.0, 0.0), (100.0, 0.0), "E1"), side((100.0, 0.0), (0.0, 80.0))])
    (ring,) = found.rings
    assert sorted(ring) == [(0.0, 0.0), (50.0, 40.0), (100.0, 0.0)]
    named = dict(zip(ring, found.edges[0], strict=True))
    assert named == {(0.0, 0.0): "E1", (100.0, 0.0): "", (50.0, 40.0): ""}


def area_of(*points: Point) -> SheetedArea:
    return SheetedArea((tuple(points),), (tuple(f"E{k}" for k in range(len(points))),))


@pytest.mark.parametrize(
    ("width", "overall", "count"),
    [(845.0, True, 1), (846.0, True, 2), (762.0, False, 1), (763.0, False, 2), (-5.0, True, 1)],
)
def test_strips_over_a_width(width: float, overall: bool, count: int) -> None:
    assert strip_count(width, Widths(762.0, 845.0, overall)) == count


def test_strips_from_the_left_and_from_the_right() -> None:
    """Covers of 100, sheets of 110, over 0 to 250: three; the last by its cover, those before with their laps."""
    area = area_of((0.0, 0.0), (250.0, 0.0), (250.0, 50.0), (0.0, 50.0))
    left = cut_strips(area, -20.0, "left", Widths(100.0, 110.0))
    extents = [(run.strip, run.run, run.cover[0].u0, run.cover[-1].u1, run.sheet[-1].u1) for run in left]
    assert extents == [(1, 1, 0.0, 80.0, 90.0), (2, 1, 80.0, 180.0, 190.0), (3, 1, 180.0, 250.0, 250.0)]
    right = cut_strips(area, 270.0, "right", Widths(100.0, 110.0))
    extents = [(run.strip, run.run, run.cover[0].u0, run.cover[-1].u1, run.sheet[0].u0) for run in right]
    assert extents == [(1, 1, 170.0, 250.0, 160.0), (2, 1, 70.0, 170.0, 60.0), (3, 1, 0.0, 70.0, 0.0)]
    assert _mirrored(area) == SheetedArea(
        (((-0.0, 50.0), (-250.0, 50.0), (-250.0, 0.0), (-0.0, 0.0)),), (("E2", "E1", "E0", "E3"),)
    )
    assert cut_strips(SheetedArea((), ()), 0.0, "left", Widths(100.0, 110.0)) == ()


def test_what_lies_within_the_lap_of_the_sheet_before_needs_none_of_its_own() -> None:
    """300 wide at the top, 208 at the foot: the third strip's lower part would be 8 wide, within a lap of 10."""
    area = area_of((0.0, 0.0), (208.0, 0.0), (208.0, 40.0), (300.0, 40.0), (300.0, 50.0), (0.0, 50.0))
    found = cut_strips(area, 0.0, "left", Widths(100.0, 110.0))
    assert [(run.strip, run.run) for run in found] == [(1, 1), (2, 1), (3, 1)]
    lone = area_of(
        (0.0, 0.0), (208.0, 0.0), (208.0, 20.0), (200.0, 20.0), (200.0, 40.0), (290.0, 40.0), (290.0, 50.0), (0.0, 50.0)
    )
    runs = cut_strips(lone, 0.0, "left", Widths(100.0, 110.0))
    assert [(run.strip, run.run, sum(slab.area_mm2 for slab in run.cover)) for run in runs] == [
        (1, 1, 5000.0), (2, 1, 5000.0 + 160.0), (3, 1, 900.0),
    ]  # fmt: skip
    by_cover = cut_strips(lone, 0.0, "left", Widths(100.0, 110.0, by_overall=False))
    assert [(run.strip, run.run) for run in by_cover] == [(1, 1), (2, 1), (3, 1), (3, 2)]


def test_the_lap_of_a_sheet_goes_no_higher_than_the_sheet() -> None:
    cover = Slab(0.0, 100.0, 10.0, 10.0, 50.0, 40.0)
    beside = [Slab(100.0, 110.0, 10.4, 10.4, 40.4, 40.4), Slab(100.0, 110.0, 60.0, 60.0, 70.0, 70.0)]
    assert _lap_side([cover], beside) == (beside[0],)
    jump = Slab(100.0, 110.0, 0.0, 0.0, 80.0, 80.0)
    assert _lap_side([cover], [jump]) == (Slab(100.0, 110.0, 10.0, 10.0, 40.0, 40.0),)
    near = Slab(100.0, 110.0, 9.6, 9.6, 40.4, 40.4)  # off by less than half a millimetre: no jump
    assert _lap_side([cover], [near]) == (near,)
    on = Slab(110.0, 120.0, 9.6, 9.6, 90.0, 90.0)
    assert _lap_side([cover], [on, near]) == (near, Slab(110.0, 120.0, 9.6, 9.6, 40.4, 40.4))
