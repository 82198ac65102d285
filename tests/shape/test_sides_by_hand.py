"""Which sides of an outline points and segments of a roof lie on: every figure by hand."""

from __future__ import annotations

import pytest
from made_roofs import box

from takeoff.shape.faces.outline_sides import OutlineSides, _Cells
from takeoff.shape.faces.parts import Plan

Point3 = tuple[float, float, float]
OUTLINE = ((100.0, 200.0), (4100.0, 3200.0), (1100.0, 7200.0))  # 3, 4, 5 along its first side, 5 m long


def sides() -> OutlineSides:
    return OutlineSides(
        Plan(
            "main",
            (0.0, 0.0, 0.0),
            (OUTLINE, box(1000.0, 2000.0, 1500.0, 2500.0)),
            edge_numbers=((7, 5, 9), (1, 2, 3, 4)),
        )
    )


def off(s: float, side: float) -> Point3:
    return (100.0 + 0.8 * s - 0.6 * side, 200.0 + 0.6 * s + 0.8 * side, 900.0)


def test_points_on_the_sides_of_an_outline() -> None:
    assert sides().along(7, off(1250.0, 33.0)) == pytest.approx(1250.0)
    for s, side, on_it in ((0.0, 0.0, True), (-0.09, 0.0, True), (-0.11, 0.0, False), (5000.09, 0.0, True), (5000.11, 0.0, False), (900.0, 0.099, True),
                           (900.0, 0.101, False), (900.0, -0.101, False)):  # fmt: skip
        assert sides().holds(7, [off(300.0, 0.0), off(s, side)]) is on_it
    assert not sides().holds(6, [off(300.0, 0.0)])
    assert sides().through((4100.0, 3200.0, 0.0)) == (7, 5)
    assert sides().through(off(900.0, 0.0)) == (7,)
    assert [sides().starting_at((x, 3200.0, 5.0)) for x in (4100.0, 4100.09, 4100.11)] == [5, 5, None]


@pytest.mark.parametrize(
    ("a", "b", "beside"),
    [
        ((1000.0, 0.0), (2000.0, 0.0), True), ((-900.0, 0.0), (9000.0, 0.0), True), ((-900.0, 0.0), (0.11, 0.0), True), ((-900.0, 0.0), (0.09, 0.0), False),
        ((4999.89, 0.0), (6000.0, 0.0), True), ((4999.91, 0.0), (6000.0, 0.0), False), ((4000.0, 0.11), (9000.0, 0.11), False),
        ((4000.0, 0.09), (8000.0, 0.09), True), ((6000.0, 0.0), (4000.0, 0.0), True),
        ((-9000.0, 0.0), (-100.0, 0.0), False), ((-3000.0, 0.0), (2500.0, 0.0), True),
    ],
)  # fmt: skip
def test_segments_that_lie_on_a_side_for_some_of_their_length(
    a: tuple[float, float], b: tuple[float, float], beside: bool
) -> None:
    segment = (off(*a), off(*b))
    assert sides()._beside(7, segment) is beside
    assert sides()._beside(7, segment[::-1]) is beside
    assert sides().under([segment], (), True) == ((7,) if beside else ())
    assert sides().under([segment], (), False) == ()
    assert sides().under([(off(0.0, 900.0), off(5.0, 900.0)), segment], (9, 7, 5), False) == ((7,) if beside else ())
    assert not sides()._beside(8, segment)


def test_sides_of_a_long_outline_are_found_by_cells() -> None:
    """A saw of 60 sides along x: those whose boxes come near to a point's, in their order."""
    ends = {number: ((100.0 * (number - 1) + 900.0, 0.0), (100.0 * number + 900.0, 7.0)) for number in range(1, 61)}
    cells = _Cells(ends, 0.1)
    assert cells._side == pytest.approx(200.489, abs=1e-3)  # twice the length of a side
    assert cells.near([]) == ()
    near = cells.near([(3950.0, 3.0, 0.0)])
    assert 31 in near
    assert set(near) <= set(range(28, 35))
    assert list(near) == sorted(near)
    assert {20, 21, 22, 23} <= set(cells.near([(2850.0, 0.0), (3150.0, 5.0)]))
    assert cells.near([(3950.0, 9000.0, 0.0)]) == ()
    for at in ((900.0, 0.0), (6900.0, 7.0)):
        assert {1, 60} & set(cells.near([at]))
    few = _Cells(dict(list(ends.items())[:40]), 0.1)
    assert (few._side, few.near([(0.0, 9e9)])) == (0.0, tuple(range(1, 41)))
    wide = _Cells({**ends, 61: ((64900.0, 0.0), (900.0, 0.0))}, 0.1)
    assert wide._side == 1000.0
