"""Areas cut into slabs and lines on a plane: figures by hand, areas a second way (shapely)."""

from __future__ import annotations

from math import hypot

import pytest
import shapely
from flat_planes import Point, edge, plane

from takeoff.shape.strips.plane_lines import (
    _on_plane,
    band_spans,
    is_inside,
    long_spans,
    one_joint,
    reaches,
    spans_at,
    subtract,
    supports_under,
    turned,
)
from takeoff.shape.strips.slabs import Slab, between_heights, connected, cut_slabs, rings_of, straightened, touch

SLAB = Slab(10.0, 30.0, 1.0, 5.0, 21.0, 13.0, "foot", "top")


def test_a_slab_and_its_mirror() -> None:
    """20 wide, 20 high at the left and 8 at the right: 280; at u = 15 a quarter of the way."""
    assert (SLAB.area_mm2, SLAB.foot_at(15.0), SLAB.top_at(15.0)) == (280.0, 2.0, 19.0)
    assert SLAB.mirrored() == Slab(-30.0, -10.0, 5.0, 1.0, 13.0, 21.0, "foot", "top")


@pytest.mark.parametrize(
    ("low", "high", "parts"),
    [
        (-9.0, 99.0, [SLAB]),
        (6.0, 12.0, [Slab(10.0, 30.0, 6.0, 6.0, 12.0, 12.0)]),
        (
            0.0,
            17.0,
            [Slab(10.0, 20.0, 1.0, 3.0, 17.0, 17.0, "foot", ""), Slab(20.0, 30.0, 3.0, 5.0, 17.0, 13.0, "foot", "top")],
        ),
        (
            3.0,
            99.0,
            [Slab(10.0, 20.0, 3.0, 3.0, 21.0, 17.0, "", "top"), Slab(20.0, 30.0, 3.0, 5.0, 17.0, 13.0, "foot", "top")],
        ),
        (17.0, 99.0, [Slab(10.0, 20.0, 17.0, 17.0, 21.0, 17.0, "", "top")]),
        (-9.0, 3.0, [Slab(10.0, 20.0, 1.0, 3.0, 3.0, 3.0, "foot", "")]),
        (22.0, 99.0, []),
        (-9.0, 1.0, []),
    ],
)
def test_the_part_of_a_slab_between_two_heights(low: float, high: float, parts: list[Slab]) -> None:
    assert list(between_heights(SLAB, low, high)) == parts


def test_an_area_is_cut_at_its_corners_and_where_it_is_asked() -> None:
    ring = ((0.0, 0.0), (40.0, 0.0), (60.0, 30.0), (20.0, 50.0))
    hole = ((30.0, 10.0), (30.0, 20.0), (35.0, 20.0), (35.0, 10.0))
    names = [("a", "b", "c", "d"), ("e", "f", "g", "h")]
    found = cut_slabs([ring, hole], names, [10.0, 0.0, 60.0, 70.0])
    assert [slab.u0 for slab in found] == [0.0, 10.0, 20.0, 30.0, 30.0, 35.0, 40.0]
    assert found[1] == Slab(10.0, 20.0, 0.0, 0.0, 25.0, 50.0, "a", "d")
    assert found[3] == Slab(30.0, 35.0, 0.0, 0.0, 10.0, 10.0, "a", "h")
    assert found[4] == Slab(30.0, 35.0, 20.0, 20.0, 45.0, 42.5, "f", "c")
    assert found[6] == Slab(40.0, 60.0, 0.0, 30.0, 40.0, 30.0, "b", "c")
    assert sum(slab.area_mm2 for slab in found) == pytest.approx(shapely.Polygon(ring).area - 50.0)
    assert cut_slabs([], []) == ()
    (outer, inner) = rings_of(found)
    assert shapely.Polygon(outer).equals(shapely.Polygon(ring))
    assert shapely.Polygon(inner).equals(shapely.Polygon(hole))
    assert (shapely.is_ccw(shapely.LinearRing(outer)), shapely.is_ccw(shapely.LinearRing(inner))) == (True, False)


def test_slabs_that_touch_hang_together() -> None:
    left, right = Slab(0.0, 10.0, 0.0, 0.0, 5.0, 8.0), Slab(10.0, 20.0, 7.0, 7.0, 12.0, 12.0)
    corner, far = Slab(10.0, 20.0, 8.0, 8.0, 12.0, 12.0), Slab(10.1, 20.0, 0.0, 0.0, 5.0, 5.0)
    assert touch(left, right)
    assert not touch(right, left)
    assert not touch(left, corner)
    assert not touch(left, far)
    low = Slab(50.0, 60.0, -1.0, 3.0, 5.0, 5.0)
    assert connected([left, right, low]) == ((low,), (left, right))
    assert connected([right, left, low]) == ((low,), (right, left))


@pytest.mark.parametrize(
    ("ring", "kept"),
    [
        ([(0, 0), (5, 0), (10, 0), (10, 10), (0, 10)], [(0, 0), (10, 0), (10, 10), (0, 10)]),
        ([(0, 0), (5, 0.009), (10, 0), (10, 10), (0, 10)], [(0, 0), (10, 0), (10, 10), (0, 10)]),
        ([(0, 0), (5, 0.011), (10, 0), (10, 10), (0, 10)], [(0, 0), (5, 0.011), (10, 0), (10, 10), (0, 10)]),
        ([(0, 0), (0.004, 0.005), (10, 0), (10, 10), (0, 10)], [(0, 0), (10, 0), (10, 10), (0, 10)]),
        ([(0, 0), (10, 0), (10, 10), (10, 14), (10, 10), (0, 10)], [(0, 0), (10, 0), (10, 14), (10, 10), (0, 10)]),
        ([(0, 0), (6, 8), (12, 16), (0, 10)], [(0, 0), (12, 16), (0, 10)]),
    ],
)  # fmt: skip
def test_rings_without_needless_points(ring: list[Point], kept: list[Point]) -> None:
    assert list(straightened(ring)) == kept


BAY = ((0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (60.0, 40.0), (60.0, 20.0), (40.0, 20.0), (40.0, 60.0), (0.0, 60.0))


def test_parts_of_level_lines() -> None:
    aslant = ((0.0, 0.0), (90.0, 0.0), (60.0, 60.0), (20.0, 40.0))
    assert spans_at([aslant], 30.0) == ((15.0, 75.0),)
    assert spans_at([BAY], 30.0) == ((0.0, 40.0), (60.0, 100.0))
    assert spans_at([BAY, ((10.0, 25.0), (20.0, 25.0), (20.0, 35.0), (10.0, 35.0))], 30.0) == (
        (0.0, 10.0),
        (20.0, 40.0),
        (60.0, 100.0),
    )
    assert [is_inside([BAY], at) for at in ((20.0, 30.0), (50.0, 30.0), (70.0, 30.0), (0.0, 30.0), (70.0, 50.0))] == [
        True,
        False,
        True,
        False,
        False,
    ]
    assert band_spans([BAY], 10.0, 30.0) == ((0.0, 100.0),)
    assert band_spans([BAY], 25.0, 35.0) == ((0.0, 40.0), (60.0, 100.0))
    assert band_spans([aslant], 30.0, 50.0) == ((pytest.approx(15.0, abs=1e-4), pytest.approx(75.0, abs=1e-4)),)
    assert band_spans([aslant], 42.0, 50.0) == ((pytest.approx(24.0, abs=1e-4), pytest.approx(69.0, abs=1e-4)),)


def test_timbers_to_their_long_points() -> None:
    """Ends aslant: 10 wide about v = 30, the long point at the left lies higher, at the right lower."""
    aslant = ((0.0, 0.0), (90.0, 0.0), (60.0, 60.0), (20.0, 60.0))
    ((left, right),) = long_spans([aslant], 30.0, 10.0)
    assert (left, right) == (pytest.approx(25.0 / 3.0, abs=1e-4), pytest.approx(90.0 - 12.5, abs=1e-4))
    # its centre line lies over the notch: two timbers; at v = 18 one reaches under it and no part is cut
    assert long_spans([BAY], 22.0, 10.0) == ((0.0, 60.0), (40.0, 100.0))
    assert long_spans([BAY], 18.0, 10.0) == ((0.0, 100.0),)
    assert long_spans([BAY], 30.0, 10.0) == ((0.0, 40.0), (60.0, 100.0))


def test_spans_less_gaps_and_rings_in_other_axes() -> None:
    assert subtract((0.0, 100.0), [(20.0, 30.0), (90.0, 120.0), (-5.0, 1.0)]) == ((1.0, 20.0), (30.0, 90.0))
    assert subtract((0.0, 100.0), []) == ((0.0, 100.0),)
    assert subtract((0.0, 10.0), [(-1.0, 11.0)]) == ()
    ((a, b),) = turned([((4.0, 6.0), (1.0, 2.0))], (1.0, 2.0), (0.6, 0.8))
    assert (a, b) == (pytest.approx((5.0, 0.0)), (0.0, 0.0))
    assert turned([((1.0 - 0.8, 2.0 + 0.6),)], (1.0, 2.0), (0.6, 0.8))[0][0] == pytest.approx((0.0, 1.0))


def test_an_edge_on_its_plane_with_the_way_inwards() -> None:
    ring = ((0.0, 0.0), (8.0, 0.0), (5.0, 4.0), (0.0, 4.0))
    for (a, b), inward in (
        (((8.0, 0.0), (5.0, 4.0)), (-0.8, -0.6)), (((5.0, 4.0), (8.0, 0.0)), (-0.8, -0.6)),
        (((0.0, 0.0), (8.0, 0.0)), (0.0, 1.0)), (((5.0, 4.0), (0.0, 4.0)), (0.0, -1.0)), (((0.0, 4.0), (0.0, 0.0)), (1.0, 0.0)),
    ):  # fmt: skip
        found = _on_plane(plane(ring), edge("E1", a, b))
        assert (found.a, found.b) == tuple(sorted((a, b)))
        assert found.inward == pytest.approx(inward)
        assert found.v_mm == (a[1] + b[1]) / 2.0
        assert found.is_top is (inward[1] < 0.0)
        size = hypot(found.b[0] - found.a[0], found.b[1] - found.a[1])
        assert found.along == pytest.approx(((found.b[0] - found.a[0]) / size, (found.b[1] - found.a[1]) / size))


@pytest.mark.parametrize(
    ("setting_out", "supports"),
    [
        # a line from (1000, 0) to (4000, 4000), 5 m long: 5/3 of its run; rafters from the left at 1800, 2700, 3600
        ("left", (1333.333, 2833.333, 4333.333)),
        # from the right end, 5 m: 1400, 2300, 3200
        ("right", (666.667, 2166.667, 3666.667)),
        # from the middle, 2.5 m: 1600, 2500, 3400
        ("middle", (1000.0, 2500.0, 4000.0)),
    ],
)
def test_rafters_under_a_line(setting_out: str, supports: tuple[float, ...]) -> None:
    bay = plane(((0.0, 0.0), (5000.0, 0.0), (5000.0, 6000.0), (0.0, 6000.0)))
    forth = supports_under(bay, (1000.0, 0.0), (4000.0, 4000.0), 900.0, setting_out)
    assert forth == pytest.approx(supports, abs=1e-3)
    back = supports_under(bay, (4000.0, 4000.0), (1000.0, 0.0), 900.0, setting_out)
    assert back == pytest.approx(tuple(5000.0 - x for x in reversed(supports)), abs=1e-3)
    assert supports_under(bay, (1800.0, 0.0), (3600.0, 0.0), 900.0, "left") == pytest.approx((900.0,))  # ends left out
    assert supports_under(bay, (1799.0, 0.0), (3601.0, 0.0), 900.0, "left") == pytest.approx((1.0, 901.0, 1801.0))
    assert supports_under(bay, (1800.0, 0.0), (1800.0, 3000.0), 900.0, "left") == ()


@pytest.mark.parametrize(
    ("length", "splits", "least", "covered"),
    [
        (6000.0, [], 0.0, True), (6000.02, [], 0.0, False), (6000.005, [], 0.0, True),
        (11000.0, [5500.0], 0.0, True), (12100.0, [5500.0], 0.0, False), (12000.0, [6000.0], 0.0, True),
        (16000.0, [11000.0, 5500.0], 0.0, True), (11000.0, [900.0], 0.0, False), (6900.0, [6000.0], 900.0, True),
        (6900.0, [6000.0], 901.0, False), (500.0, [], 900.0, True), (11500.0, [5000.0, 5400.0], 1000.0, False),
        (11300.0, [5000.0, 5400.0], 1000.0, True),
    ],
)  # fmt: skip
def test_whether_pieces_of_six_metres_cover_a_run(
    length: float, splits: list[float], least: float, covered: bool
) -> None:
    assert reaches(length, splits, 6000.0, least) is covered


@pytest.mark.parametrize(
    ("length", "splits", "apart", "one"),
    [
        (6000.0, [3000.0], 600.0, False),  # in one piece
        (9000.0, [3000.0, 3500.0], 600.0, True),
        (9000.0, [3000.0, 3600.0], 600.0, False),
        (9000.0, [2999.0, 3500.0], 600.0, True),  # at 2999 the other piece would be 6001 mm
        (9000.0, [], 600.0, False),
        (9000.0, [100.0, 3500.0], 600.0, True),  # at 100 mm no piece of 8.9 m is to be had
        (12500.0, [6000.0], 600.0, False),
        (9500.0, [3500.0, 6000.0, 5600.0], 2500.5, True),
    ],
)  # fmt: skip
def test_whether_rows_would_be_joined_in_one_line(length: float, splits: list[float], apart: float, one: bool) -> None:
    assert one_joint(length, splits, 6000.0, 500.0, apart) is one
