"""Sides of sheeted areas: which edge they lie on, where moved neighbours meet, which vanishes first; away from the origin."""

from __future__ import annotations

from math import cos, hypot, radians, sin

import pytest
from flat_planes import Point, edge, plane

from takeoff.basics.errors import TakeoffError
from takeoff.shape.strips.plane_lines import one_joint, supports_under
from takeoff.shape.strips.sheeted_area import (
    SheetedArea,
    _corner,
    _edge_under,
    _first_to_vanish,
    _moved_ring,
    _Side,
    _sides,
    _simple,
    _split,
    _stays_near,
    _winding,
    move_sides,
)
from takeoff.shape.strips.slabs import cut_slabs, rings_of, straightened

FRAMES = [(0.0, 0.0, 0.0), (0.0, 1000.0, 2000.0), (90.0, -300.0, 700.0), (180.0, 50.0, -80.0), (37.0, 70.0, -30.0), (-120.0, -900.0, -400.0)]  # fmt: skip


def placed(frame: tuple[float, float, float], x: float, y: float) -> Point:
    turn, dx, dy = frame
    c, s = round(cos(radians(turn)), 15), round(sin(radians(turn)), 15)
    return (dx + c * x - s * y, dy + s * x + c * y)


def side(frame: tuple[float, float, float], at: Point, end: Point, trim: float = 0.0, gone: float = 0.0) -> _Side:
    (ax, ay), (bx, by) = placed(frame, *at), placed(frame, *end)
    size = hypot(bx - ax, by - ay)
    return _Side((ax, ay), (bx, by), ((bx - ax) / size, (by - ay) / size), "", trim, gone)


@pytest.mark.parametrize("frame", FRAMES)
def test_sides_with_their_ways_and_edges(frame: tuple[float, float, float]) -> None:
    """A triangle begun in the middle of its base, which two runs of the ring lie on: three sides, each on its edge."""
    a, b, c, m = (placed(frame, *at) for at in ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (100.0, 0.0)))
    edges = [edge("E1", a, b), edge("E2", b, c), edge("E3", c, a)]
    found = _sides((m, b, c, a), plane((m, b, c, a)), edges, {"E1": 7.0, "E3": -3.0})
    due = [("E1", a, b, 7.0), ("E2", b, c, 0.0), ("E3", c, a, -3.0)]
    assert [(one.edge, one.at, one.end, one.trim_mm, one.gone_mm) for one in found] == [(*row, 0.0) for row in due]
    for one, (_, p, q, _) in zip(found, due, strict=True):
        size = hypot(q[0] - p[0], q[1] - p[1])
        assert one.along == pytest.approx(((q[0] - p[0]) / size, (q[1] - p[1]) / size))


@pytest.mark.parametrize("frame", FRAMES)
def test_a_side_is_cut_where_edges_end_within_a_millimetre_of_it(frame: tuple[float, float, float]) -> None:
    """Beside it by 0.9 but not by 1.1; further than 1 from its ends and from each other."""
    a, b = placed(frame, 10.0, 5.0), placed(frame, 110.0, 5.0)

    def stops(*ends: Point) -> list[float]:
        parts = _split(a, b, [placed(frame, *end) for end in ends])
        return [hypot(q[0] - a[0], q[1] - a[1]) for _, q in parts[:-1]]

    assert stops((60.0, 5.9), (40.0, 4.1)) == pytest.approx([30.0, 50.0])
    assert stops((60.0, 6.1), (40.0, 3.9)) == []
    assert stops((11.1, 5.0), (108.9, 5.0)) == pytest.approx([1.1, 98.9])
    assert stops((10.9, 5.0), (109.1, 5.0), (8.0, 5.0), (112.0, 5.0)) == []
    assert stops((60.0, 5.0), (60.9, 5.0), (61.1, 5.0)) == pytest.approx([50.0, 51.1])


@pytest.mark.parametrize("frame", FRAMES)
def test_the_edge_that_a_side_lies_on(frame: tuple[float, float, float]) -> None:
    """The nearest to its middle, up to 50 off; turned by less than a sine of 0.1; one of no length is none."""

    def line(name: str, p: Point, q: Point) -> tuple[str, Point, Point]:
        return (name, placed(frame, *p), placed(frame, *q))

    def under(*lines: tuple[str, Point, Point]) -> str:
        return _edge_under(placed(frame, 0.0, 0.0), placed(frame, 200.0, 0.0), lines)

    near, far = line("near", (50.0, 20.0), (500.0, 20.0)), line("far", (500.0, -30.0), (-50.0, -30.0))
    assert [under(near, far), under(far, near), under(far)] == ["near", "near", "far"]
    assert under(line("x", (0.0, 49.9), (200.0, 49.9))) == "x"
    assert under(line("x", (0.0, 50.1), (200.0, 50.1))) == ""
    # its own end counts, not the line it lies on: 40 past the middle, 10 beside it are 41.2 off, 49 and 12 are 50.4
    assert under(line("x", (140.0, 10.0), (300.0, 10.0))) == "x"
    assert under(line("x", (149.0, 12.0), (300.0, 12.0))) == ""
    assert under(line("x", (60.0, 10.0), (-300.0, 10.0))) == "x"
    assert under(line("x", (51.0, 12.0), (-300.0, 12.0))) == ""
    for rise, name in ((0.0995, "x"), (0.1015, ""), (-0.0995, "x"), (-0.1015, "")):  # sines 0.0990 and 0.1010
        assert under(line("x", (0.0, -100.0 * rise), (200.0, 100.0 * rise))) == name
    assert under(line("point", (100.0, 1.0), (100.005, 1.0)), near) == "near"


@pytest.mark.parametrize("frame", FRAMES)
def test_where_moved_neighbours_meet(frame: tuple[float, float, float]) -> None:
    """A right angle moved by 3 and 5; sides in one line moved alike, and unlike."""
    one = side(frame, (0.0, 0.0), (100.0, 0.0), 3.0)
    (meet,) = _corner(one, side(frame, (100.0, 0.0), (100.0, 80.0), 5.0))
    assert meet == pytest.approx(placed(frame, 105.0, -3.0))
    (alike,) = _corner(one, side(frame, (100.0, 0.0), (190.0, 0.0), 3.0))
    assert alike == pytest.approx(placed(frame, 100.0, -3.0))
    (crumb,) = _corner(one, side(frame, (100.0, 0.0), (190.0, 0.0), 3.009))
    assert crumb == pytest.approx(placed(frame, 100.0, -3.0))
    step = _corner(one, side(frame, (100.0, 0.0), (190.0, 0.0), 3.011))
    assert list(step) == [pytest.approx(placed(frame, 100.0, -y)) for y in (3.0, 3.011)]


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("trim", [0.3, 1.0, 40.0])
def test_a_mitre_goes_twenty_trims_at_most(frame: tuple[float, float, float], trim: float) -> None:
    """Two sides that meet at 2 a, both moved by t, cross t / sin(a) away: 19.9 t where a is 2.8805 degrees, 20.1 t where it is
    2.8518. A trim under 1 counts as 1; so does what vanished between them, by its own."""
    most = max(trim, 1.0)
    for times, points in ((19.9, 1), (20.1, 2)):
        sine = trim / (times * most)
        rise = sine / (1.0 - sine * sine) ** 0.5 * 1000.0
        left, right = side(frame, (0.0, -rise), (1000.0, 0.0), trim), side(frame, (1000.0, 0.0), (0.0, rise), trim)
        assert len(_corner(left, right)) == points
        if points == 1:
            assert _corner(left, right)[0] == pytest.approx(placed(frame, 1000.0 + times * most, 0.0))
    gone = side(frame, (1000.0, 0.0), (0.0, rise), trim, 1.1 * most)
    assert len(_corner(left, gone)) == 1


@pytest.mark.parametrize("frame", FRAMES)
def test_of_two_ends_of_one_body_the_shorter_vanishes_first(frame: tuple[float, float, float]) -> None:
    """Six-sided: a top of 40 and a foot of 44 between slopes of 4 in 3 that move in by 28: each end loses 35, so 40 comes to
    -30 and 44 to -26: four sevenths of the way before 44 of 70. Either may be listed first, or run any way."""
    slopes = ((62.0, 0.0), (20.0, 56.0)), ((-20.0, 56.0), (-62.0, 0.0)), ((-62.0, 0.0), (-22.0, -160.0 / 3.0)), ((22.0, -160.0 / 3.0), (62.0, 0.0))  # fmt: skip
    sides = [
        side(frame, (20.0, 56.0), (-20.0, 56.0)), side(frame, *slopes[1], -28.0), side(frame, *slopes[2], -28.0),
        side(frame, (-22.0, -160.0 / 3.0), (22.0, -160.0 / 3.0)), side(frame, *slopes[3], -28.0), side(frame, *slopes[0], -28.0),
    ]  # fmt: skip
    for start in range(6):
        row = [*sides[start:], *sides[:start]]
        corners = [_corner(row[k - 1], one) for k, one in enumerate(row)]
        assert _first_to_vanish(row, corners) == (-start) % 6


@pytest.mark.parametrize(("ring", "simple"), [
    (((0.0, 0.0), (100.0, 10.005), (100.0, 10.0), (0.0, 10.0)), True), (((0.0, 0.0), (100.0, 10.02), (100.0, 10.0), (0.0, 10.0)), False),
    (((100.0, 0.0), (100.0, 10.0), (0.0, 10.0), (0.0, 10.005)), True), (((100.0, 0.0), (100.0, 10.0), (0.0, 10.0), (0.0, 10.02)), False),
    # a loop that goes round the wrong way at one corner counts twice over: 2 x 7 x 7 are no 100 mm2, 2 x 7.2 x 7.2 are
    (((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (100.0, 107.0), (107.0, 107.0), (107.0, 100.0), (100.0, 100.0), (0.0, 100.0)), True),
    (((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (100.0, 107.2), (107.2, 107.2), (107.2, 100.0), (100.0, 100.0), (0.0, 100.0)), False),
])  # fmt: skip
def test_rings_that_cross_by_more_than_a_crumb_are_not_simple(ring: tuple[Point, ...], simple: bool) -> None:
    moved = tuple((x + 300.0, y - 50.0) for x, y in ring)
    assert _simple([ring]) is _simple([moved]) is simple


@pytest.mark.parametrize(("x", "y"), [(-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)])
def test_a_corner_that_ends_far_off_on_any_side_is_a_fault(x: float, y: float) -> None:
    """20 trims of 3 and half a millimetre past a plane of 100 x 60."""
    ring = ((700.0, 400.0), (800.0, 400.0), (800.0, 460.0), (700.0, 460.0))

    def off(by: float) -> SheetedArea:
        return SheetedArea((((750.0 + x * (50.0 + by), 430.0 + y * (30.0 + by)),),), (("",),))

    _stays_near(off(60.4), plane(ring), 3.0)
    with pytest.raises(TakeoffError) as caught:
        _stays_near(off(60.6), plane(ring), 3.0)
    assert str(caught.value) == (
        "plane P1: its sides moved by up to 3 mm end 61 mm away from it; this is a fault of the program, not of the job: please report it with the job file"
    )


@pytest.mark.parametrize("turn", range(0, 360, 30))
def test_how_often_a_ring_goes_round_a_point(turn: int) -> None:
    frame = (float(turn), 500.0, -900.0)
    ring = tuple(placed(frame, *at) for at in ((0.0, 0.0), (90.0, 0.0), (90.0, 30.0), (50.0, 30.0), (50.0, 60.0), (0.0, 60.0)))  # fmt: skip
    for at, times in (((25.0, 40.0), 1), ((70.0, 20.0), 1), ((70.0, 40.0), 0), ((-5.0, 20.0), 0), ((95.0, 20.0), 0), ((25.0, 70.0), 0)):  # fmt: skip
        assert _winding(ring, placed(frame, *at)) == times
        assert _winding(ring[::-1], placed(frame, *at)) == -times
        assert _winding((*ring, *ring), placed(frame, *at)) == 2 * times


def test_a_ring_of_which_two_sides_are_left_is_gone() -> None:
    """A strip 10 wide moved in by 6 on both sides; by 4 a strip of 2 is left, its ends moved out by 3."""
    ends = ((100.0, 0.0), (100.0, 10.0)), ((0.0, 10.0), (0.0, 0.0))

    def moved(trim: float) -> tuple[tuple[Point, ...], tuple[str, ...]]:
        long = [side(FRAMES[1], (0.0, 0.0), (100.0, 0.0), trim), side(FRAMES[1], (100.0, 10.0), (0.0, 10.0), trim)]
        return _moved_ring([long[0], side(FRAMES[1], *ends[0], 3.0), long[1], side(FRAMES[1], *ends[1], 3.0)])

    assert moved(-6.0) == ((), ())
    ring, names = moved(-4.0)
    assert list(ring) == [pytest.approx(placed(FRAMES[1], *at)) for at in ((-3.0, 4.0), (103.0, 4.0), (103.0, 6.0), (-3.0, 6.0))]  # fmt: skip
    assert names == ("", "", "", "")


def test_moved_sides_keep_their_edges_and_holes_their_way_round() -> None:
    """400 x 300 with a hole of 100 x 50: the outer sides move out by 10, the hole's foot in by 5, whichever way the rings go."""
    ring = ((500.0, 200.0), (900.0, 200.0), (900.0, 500.0), (500.0, 500.0))
    hole = ((600.0, 300.0), (600.0, 350.0), (700.0, 350.0), (700.0, 300.0))
    names = {"A": (ring[0], ring[1]), "B": (ring[1], ring[2]), "C": (ring[2], ring[3]), "D": (ring[3], ring[0]), "K": (hole[3], hole[0])}  # fmt: skip
    edges = [edge(name, *ends) for name, ends in names.items()]
    trims = {"A": 10.0, "C": -20.0, "K": 5.0}
    due = ((500.0, 190.0), (900.0, 190.0), (900.0, 480.0), (500.0, 480.0))
    inner = ((600.0, 305.0), (600.0, 350.0), (700.0, 350.0), (700.0, 305.0))
    for given in ((ring, hole), (ring[::-1], hole[::-1])):
        found = move_sides(plane(*given), edges, trims)
        outer, small = found.rings
        first = outer.index(due[0])
        assert (outer[first:] + outer[:first], found.edges[0][first:] + found.edges[0][:first]) == (due, ("A", "B", "C", "D"))  # fmt: skip
        first = small.index(inner[0])
        assert small[first:] + small[:first] == inner
        assert sorted(found.edges[1]) == ["", "", "", "K"]
        assert found.area_mm2 == pytest.approx(400.0 * 290.0 - 100.0 * 45.0)
    # a hole that its own trims close is gone; a plane narrower than its trims is too
    assert len(move_sides(plane(ring, hole), edges, {"K": 51.0}).rings) == 1
    assert move_sides(plane(ring, hole), edges, {"A": -160.0, "C": -160.0}) == SheetedArea((), ())


def test_an_area_about_the_origin_is_cut_like_any_other() -> None:
    """Sides from -30 to 30 across are sides too, and heights either side of 0."""
    ring = ((-30.0, -20.0), (30.0, -20.0), (30.0, 20.0), (-30.0, 20.0))
    (slab,) = cut_slabs([ring], [("a", "b", "c", "d")])
    assert (slab.u0, slab.u1, slab.foot0, slab.foot1, slab.top0, slab.top1, slab.foot_edge, slab.top_edge) == (
        -30.0, 30.0, -20.0, -20.0, 20.0, 20.0, "a", "c",
    )  # fmt: skip
    hole = ((-10.0, -5.0), (-10.0, 5.0), (10.0, 5.0), (10.0, -5.0))
    outer, inner = rings_of(cut_slabs([ring, hole], [("",) * 4, ("",) * 4]))
    assert (sorted(outer), sorted(inner)) == (sorted(ring), sorted(hole))


@pytest.mark.parametrize("start", range(6))
def test_needless_points_go_wherever_a_ring_begins(start: int) -> None:
    ring = ((0.0, 0.0), (50.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 80.0), (0.0, 40.0))
    kept = [(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 80.0)]
    found = straightened((*ring[start:], *ring[:start]))
    first = found.index(kept[0])
    assert [*found[first:], *found[:first]] == kept


def test_three_points_on_a_line_are_no_ring() -> None:
    assert len(straightened(((0.0, 0.0), (50.0, 0.0), (100.0, 0.0)))) == 2
    triangle = ((0.0, 0.0), (50.0, 0.0), (50.0, 30.0))
    assert straightened(triangle) == triangle


def test_joints_at_the_very_least_and_most_of_a_piece() -> None:
    """Two pieces of 500 to 4000: at 500 of 4500 both are at their limit. What one piece covers, a crumb longer or not, has no joint."""
    assert one_joint(4500.0, [500.0], 4000.0, 500.0, 600.0)
    assert one_joint(4500.0, [499.995, 4000.005], 4000.0, 500.0, 3600.0)
    assert not one_joint(4500.0, [499.98], 4000.0, 500.0, 600.0)
    assert not one_joint(4500.0, [499.0], 4000.0, 400.0, 600.0)
    assert not one_joint(4000.005, [2000.0], 4000.0, 500.0, 600.0)
    assert one_joint(4000.02, [2000.0], 4000.0, 500.0, 600.0)


def test_rafters_under_a_line_that_begins_up_the_slope() -> None:
    """From (1000, 700) to (4000, 4700), 5 m: as from (1000, 0) to (4000, 4000)."""
    bay = plane(((0.0, 0.0), (5000.0, 0.0), (5000.0, 6000.0), (0.0, 6000.0)))
    assert supports_under(bay, (1000.0, 700.0), (4000.0, 4700.0), 900.0, "left") == pytest.approx(
        (4000.0 / 3.0, 8500.0 / 3.0, 13000.0 / 3.0)
    )
