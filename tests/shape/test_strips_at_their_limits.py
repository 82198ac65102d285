"""Sides that vanish, parts that touch, levels that pass through corners: the rare cases of strips, figures by hand."""

from __future__ import annotations

from math import hypot

import pytest
from flat_planes import Point, edge, plane

from takeoff.basics.errors import TakeoffError
from takeoff.shape.strips.plane_lines import _on_plane, band_spans, long_spans, reaches, supports_under
from takeoff.shape.strips.sheeted_area import (
    SheetedArea,
    _corner,
    _first_to_vanish,
    _moved_ring,
    _Side,
    _sides,
    _stays_near,
    _turn,
)
from takeoff.shape.strips.slabs import Slab, between_heights, connected, rings_of


def turned(x: float, y: float) -> Point:
    """Turned by (3, 4, 5) and moved to (70, -30)."""
    return (70.0 + 0.6 * x - 0.8 * y, -30.0 + 0.8 * x + 0.6 * y)


def side(at: Point, end: Point, trim: float = 0.0, gone: float = 0.0) -> _Side:
    (ax, ay), (bx, by) = turned(*at), turned(*end)
    size = hypot(bx - ax, by - ay)
    return _Side((ax, ay), (bx, by), ((bx - ax) / size, (by - ay) / size), "", trim, gone)


def test_the_sine_between_sides_whichever_way_they_run() -> None:
    for a, b, sine in (
        ((0.6, 0.8), (0.8, 0.6), 0.28), ((0.6, 0.8), (0.28, 0.96), 0.352), ((0.6, 0.8), (0.96, -0.28), 0.936), ((0.6, 0.8), (0.8, -0.6), 2.0), ((0.6, 0.8), (-0.28, -0.96), 2.0),
        ((-0.6, 0.8), (-0.96, -0.28), 0.936),
    ):  # fmt: skip
        assert (_turn(a, b), _turn(b, a)) == (pytest.approx(sine), pytest.approx(sine))


def trapezium(trim: float) -> list[_Side]:
    """Base 100, top 40, 40 high: each slope moves its end of the top in by five quarters of its trim."""
    return [
        side((0.0, 0.0), (100.0, 0.0)), side((100.0, 0.0), (70.0, 40.0), trim), side((70.0, 40.0), (30.0, 40.0)), side((30.0, 40.0), (0.0, 0.0), trim),
    ]  # fmt: skip


@pytest.mark.parametrize(("trim", "gone"), [(-15.9, None), (-16.1, 2), (-39.0, 2), (-41.0, 2), (-60.0, 2)])
def test_of_sides_that_shrink_to_nothing_the_first_goes(trim: float, gone: int | None) -> None:
    """The top is gone from 16 on; from 40 on the base too, but later on the way."""
    sides = trapezium(trim)
    corners = [_corner(sides[k - 1], one) for k, one in enumerate(sides)]
    assert _first_to_vanish(sides, corners) == gone
    again = [*sides[2:], *sides[:2]]  # the top listed first
    assert _first_to_vanish(again, [*corners[2:], *corners[:2]]) == (None if gone is None else 0)
    ring, _ = _moved_ring(sides)
    if trim == -39.0:
        assert [pytest.approx(turned(*point)) for point in ((48.75, 0.0), (51.25, 0.0), (50.0, 5.0 / 3.0))] == list(
            ring
        )


def test_a_jog_between_lines_of_one_direction_steps_the_other_way() -> None:
    """From 5 down to 15 up: the side between turns round, and is no side that vanished."""
    sides = [
        side((0.0, 0.0), (50.0, 0.0)), side((50.0, 0.0), (50.0, -5.0)), side((50.0, -5.0), (100.0, -5.0), -20.0), side((100.0, -5.0), (100.0, 90.0)),
        side((100.0, 90.0), (0.0, 90.0)), side((0.0, 90.0), (0.0, 0.0)),
    ]  # fmt: skip
    corners = [_corner(sides[k - 1], one) for k, one in enumerate(sides)]
    assert _first_to_vanish(sides, corners) is None
    due = ((0.0, 0.0), (50.0, 0.0), (50.0, 15.0), (100.0, 15.0), (100.0, 90.0), (0.0, 90.0))
    assert [pytest.approx(turned(*point)) for point in due] == list(_moved_ring(sides)[0])


EDGES = [
    edge("E1", (0.0, 0.0), (900.0, 0.0)), edge("E2", (900.0, 0.0), (900.0, 500.0)), edge("E3", (900.0, 500.0), (0.0, 500.0)), edge("E4", (0.0, 500.0), (0.0, 0.0)),
]  # fmt: skip


def test_neighbours_on_one_edge_are_one_while_they_run_straight() -> None:
    def named(*ring: Point) -> list[tuple[str, Point, Point]]:
        return [(one.edge, one.at, one.end) for one in _sides(ring, plane(ring), EDGES, {"E1": 7.0})]

    rest = [
        ("E2", (900.0, 0.0), (900.0, 500.0)),
        ("E3", (900.0, 500.0), (0.0, 500.0)),
        ("E4", (0.0, 500.0), (0.0, 0.0)),
    ]
    top: tuple[Point, ...] = ((900.0, 500.0), (0.0, 500.0))
    assert named((0.0, 0.0), (300.0, 0.0), (600.0, 0.0), (900.0, 0.0), *top) == [
        ("E1", (0.0, 0.0), (900.0, 0.0)),
        *rest,
    ]
    # bent by 1 in 22.5 each way they are two, wherever the ring begins
    assert named((0.0, 0.0), (450.0, 20.0), (900.0, 0.0), *top)[:2] == [
        ("E1", (0.0, 0.0), (450.0, 20.0)),
        ("E1", (450.0, 20.0), (900.0, 0.0)),
    ]
    assert len(named((450.0, 20.0), (900.0, 0.0), *top, (0.0, 0.0))) == 5


def test_without_trims_nothing_moves_further_than_a_mitre_of_one() -> None:
    ring = ((0.0, 0.0), (900.0, 0.0), (900.0, 500.0), (0.0, 500.0))
    _stays_near(SheetedArea((((920.4, 5.0),),), (("",),)), plane(ring), 0.0)
    with pytest.raises(TakeoffError):
        _stays_near(SheetedArea((((920.6, 5.0),),), (("",),)), plane(ring), 0.0)


def test_slabs_that_touch_in_a_corner_have_rings_of_their_own() -> None:
    """Two squares on a diagonal, and on the other one; two round a hole that meets them in a corner."""
    up = [Slab(100.0, 110.0, 50.0, 50.0, 60.0, 60.0), Slab(110.0, 120.0, 60.0, 60.0, 70.0, 70.0)]
    assert rings_of(up) == (
        ((100.0, 50.0), (110.0, 50.0), (110.0, 60.0), (100.0, 60.0)), ((110.0, 60.0), (120.0, 60.0), (120.0, 70.0), (110.0, 70.0)),
    )  # fmt: skip
    down = [Slab(100.0, 110.0, 60.0, 60.0, 70.0, 70.0), Slab(110.0, 120.0, 50.0, 50.0, 60.0, 60.0)]
    assert sorted(sorted(ring) for ring in rings_of(down)) == [
        [(100.0, 60.0), (100.0, 70.0), (110.0, 60.0), (110.0, 70.0)], [(110.0, 50.0), (110.0, 60.0), (120.0, 50.0), (120.0, 60.0)],
    ]  # fmt: skip
    ring = [
        Slab(0.0, 10.0, 0.0, 0.0, 30.0, 30.0),
        Slab(10.0, 20.0, 0.0, 0.0, 10.0, 10.0),
        Slab(10.0, 20.0, 20.0, 20.0, 30.0, 30.0),
        Slab(20.0, 30.0, 0.0, 0.0, 10.0, 10.0),
    ]
    ring.append(Slab(20.0, 30.0, 20.0, 20.0, 30.0, 30.0))
    (whole,) = rings_of(ring)
    assert whole == (
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 10.0),
        (10.0, 10.0),
        (10.0, 20.0),
        (30.0, 20.0),
        (30.0, 30.0),
        (0.0, 30.0),
    )
    # a wedge between slabs of unequal height, and one that ends in a point
    assert rings_of([Slab(0.0, 10.0, 0.0, 5.0, 10.0, 5.0)]) == (((0.0, 0.0), (10.0, 5.0), (0.0, 10.0)),)
    assert rings_of([]) == ()


def test_slabs_far_over_each_other_are_parts_of_their_own() -> None:
    low, over, beside = (
        Slab(0.0, 10.0, 0.0, 0.0, 5.0, 5.0),
        Slab(0.0, 10.0, 8.0, 8.0, 9.0, 9.0),
        Slab(10.0, 20.0, 8.5, 8.5, 9.5, 9.5),
    )
    assert connected([over, low, beside]) == ((low,), (over, beside))
    assert connected([beside, over, low]) == ((low,), (beside, over))
    assert between_heights(low, 6.0, 9.0) == ()
    assert between_heights(over, 0.0, 8.0) == ()


BAY = ((0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (60.0, 40.0), (60.0, 20.0), (40.0, 20.0), (40.0, 60.0), (0.0, 60.0))
TEE = ((40.0, 0.0), (60.0, 0.0), (60.0, 20.0), (100.0, 20.0), (100.0, 60.0), (0.0, 60.0), (0.0, 20.0), (40.0, 20.0))
KNOB = ((0.0, 0.0), (60.0, 0.0), (100.0, 20.0), (60.0, 20.0), (60.0, 60.0), (0.0, 60.0))  # widest right under 20
SHELF = ((0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (100.0, 20.0), (60.0, 60.0), (0.0, 60.0))  # widest right over 20


def near(*spans: tuple[float, float]) -> list[object]:
    return [pytest.approx(span, abs=1e-4) for span in spans]


def test_bands_that_end_at_corners() -> None:
    """What begins or ends at their very edge is not in them."""
    assert band_spans([BAY], 20.0, 30.0) == ((0.0, 40.0), (60.0, 100.0))
    assert band_spans([BAY], 10.0, 20.0) == ((0.0, 100.0),)
    assert band_spans([BAY], 40.0, 50.0) == ((0.0, 40.0),)
    assert band_spans([TEE], 0.0, 20.0) == ((40.0, 60.0),)
    assert band_spans([TEE], 10.0, 21.0) == ((0.0, 100.0),)
    assert near((0.0, 100.0)) == list(band_spans([KNOB], 10.0, 30.0))
    assert near((0.0, 100.0)) == list(band_spans([SHELF], 10.0, 30.0))
    assert band_spans([BAY, ((0.0, 70.0), (9.0, 70.0), (9.0, 90.0), (0.0, 90.0))], 61.0, 69.0) == ()


def test_timbers_that_end_at_corners() -> None:
    assert long_spans([TEE], 15.0, 10.0) == ((40.0, 60.0),)
    assert long_spans([TEE], 15.0, 10.1) == ((0.0, 100.0),)
    assert near((0.0, 100.0)) == list(long_spans([KNOB], 15.0, 20.0))
    assert near((0.0, 100.0)) == list(long_spans([SHELF], 25.0, 20.0))
    assert near((0.0, 90.0)) == list(long_spans([KNOB], 10.0, 10.0))  # up to 15: its corner lies further off
    # what is reached across a gap is another timber
    far = ((0.0, 30.0), (10.0, 30.0), (10.0, 40.0), (0.0, 40.0))
    assert long_spans([((0.0, 0.0), (5.0, 0.0), (5.0, 20.0), (0.0, 20.0)), far], 15.0, 40.0) == ((0.0, 5.0),)


def test_short_lines_have_rafters_too() -> None:
    """500 long over one at 1800; along a rafter none, however it is a hair askew."""
    bay = plane(((0.0, 0.0), (5000.0, 0.0), (5000.0, 6000.0), (0.0, 6000.0)))
    assert supports_under(bay, (1500.0, 0.0), (2000.0, 0.0), 900.0, "left") == pytest.approx((300.0,))
    assert supports_under(bay, (2000.0, 0.0), (1500.0, 0.0), 900.0, "left") == pytest.approx((200.0,))
    assert supports_under(bay, (1799.9999, 0.0), (1800.0001, 3000.0), 900.0, "left") == ()
    assert supports_under(bay, (100.0, 0.0), (4900.0, 0.0), 900.0, "right") == pytest.approx(
        (400.0, 1300.0, 2200.0, 3100.0, 4000.0)
    )


@pytest.mark.parametrize(("split", "covered"), [(6000.005, True), (6000.02, False)])
def test_a_piece_may_be_a_crumb_longer_than_the_stock(split: float, covered: bool) -> None:
    assert reaches(11000.0, [split], 6000.0, 0.0) is covered


def test_edges_of_a_plane_away_from_its_origin_look_inwards() -> None:
    ring = tuple((x + 1000.0, y + 500.0) for x, y in ((0.0, 0.0), (80.0, 0.0), (50.0, 40.0), (0.0, 40.0)))
    ways = [(0.0, 1.0), (-0.8, -0.6), (0.0, -1.0), (1.0, 0.0)]
    for k, way in enumerate(ways):
        found = _on_plane(plane(ring), edge("E1", ring[k], ring[(k + 1) % 4]))
        assert found.inward == pytest.approx(way)
