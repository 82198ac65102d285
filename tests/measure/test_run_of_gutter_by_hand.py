"""One run of gutter round an inside corner, 8 m and 5 m: its stretches, its water, where pipes may stand and which limits
they keep, by hand. P1 brings 10 m2 at the left to 20 m2 at the right (15 in all), a valley 6 m2 at 8 m, P2 5 m2 evenly, a
wall 2 m2 from 9 to 11 m."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from takeoff.measure.rainwater.limits import CAPACITY, INSIDE, LENGTH, SECTION, SPACING, VALLEY, Limits
from takeoff.measure.rainwater.placing import Breach, PipeGround, Share
from takeoff.measure.rainwater.stretches import End, RunWater, Stretch, _under, stretch_at, stretches
from takeoff.measure.rainwater.water_curve import WaterCurve
from takeoff.model.drainage import GutterCorner, GutterLeg, GutterRun, Inflow, PlaneShare, ValleyFoot
from takeoff.model.settings import Settings

A, B, C = (0.0, 0.0, 2400.0), (8000.0, 0.0, 2400.0), (8000.0, 5000.0, 2400.0)
LEGS = (
    GutterLeg("E1", (1,), A, B, 8000.0, 21e6, (Inflow(0, 8000, 10e6, 20e6, "P1", 20.0), Inflow(8000, 8000, 6e6, 6e6, "P3", 30.0))),
    GutterLeg("E2", (2, 3), B, C, 5000.0, 5e6, (Inflow(0, 5000, 5e6, 5e6, "P2", 45.0),), (Inflow(1000, 3000, 2e6, 2e6, "W1", 90.0),)),
)  # fmt: skip
RUN = GutterRun(
    "G1", "main", LEGS, (GutterCorner("internal", 90.0, B),), False, 26e6, 45.0, valleys=(ValleyFoot("V1", B, 8000.0, 6e6),)
)  # fmt: skip
RING = replace(RUN, ring=True)


def test_stretches_between_corners() -> None:
    first, second = stretches(RUN)
    assert first == Stretch("G1.1", 0.0, 8000.0, A, B, End("stop end"), End("internal", 90.0), ("E1",), (1,))
    assert second == Stretch("G1.2", 8000.0, 5000.0, B, C, End("internal", 90.0), End("stop end"), ("E2",), (2, 3))
    assert [stretch_at((first, second), along).id for along in (-1.0, 7999.0, 8000.0, 99e3)] == [
        "G1.1",
        "G1.1",
        "G1.2",
        "G1.2",
    ]
    assert (first.at(2000.0), second.at(1250.0)) == ((2000.0, 0.0, 2400.0), (8000.0, 1250.0, 2400.0))
    # outwards is to the right of the way along: south of the first, east of the second
    assert (first.along(3000.0, -600.0), second.along(7300.0, 900.0)) == ((3000.0, 600.0), (900.0, -700.0))
    # half a millimetre off a corner is the corner; legs without one are one stretch
    near = replace(RUN, corners=(GutterCorner("internal", 90.0, (8000.3, 0.39, 2400.0)),))
    assert [part.id for part in stretches(near)] == ["G1.1", "G1.2"]
    (whole,) = stretches(replace(RUN, corners=(GutterCorner("internal", 90.0, (8000.4, 0.4, 2400.0)),)))
    assert (whole.length_mm, whole.edges, whole.outline_edges, whole.right) == (
        13_000.0,
        ("E1", "E2"),
        (1, 2, 3),
        End("stop end"),
    )


WATER = [
    (-1.0, 0.0), (0.0, 0.0), (4000.0, 6.25e6), (5500.0, 10e6 * 0.6875 + 10e6 * 0.6875**2 / 2), (7999.0, 14_997_500.625),
    (8000.0, 18e6), (8000.6, 21_000_600.0), (12_000.0, 25e6), (13_000.0, 26e6), (99e3, 26e6),
]  # fmt: skip


@pytest.mark.parametrize(("along", "area"), WATER)
def test_water_up_to_a_place(along: float, area: float) -> None:
    """Over the first x of 8 m: 10 x + 10 x x / 2 m2; at the valley itself half of it counts."""
    water = RunWater(RUN)
    assert water.upto(along) == pytest.approx(area)
    assert WaterCurve(water).upto(np.array([along]))[0] == pytest.approx(area)


def test_water_round_a_ring_and_by_weight() -> None:
    """Half of roof and twice the wall: 13 + 4; up to 10 m half of 23 and all but half of the wall."""
    ring, heavy = RunWater(RING), RunWater(RUN, lambda _, wall: 2.0 if wall else 0.5)
    for water, rows in (
        (ring, ((17_000.0, 32.25e6), (-1000.0, -1e6))),
        (heavy, ((10_000.0, 13.5e6), (13_000.0, 17e6))),
    ):
        for along, area in rows:
            assert water.upto(along) == pytest.approx(area)
            assert WaterCurve(water).upto(np.array([along]))[0] == pytest.approx(area)
    assert heavy.total_mm2 == 17e6


PARTED = 10e6 * 0.6875 + 10e6 * 0.6875**2 / 2  # up to 5.5 m, half way between pipes at 2 and 9 m


def ground(run: GutterRun, settings: Settings) -> PipeGround:
    return PipeGround(run, stretches(run), None, settings, 2)


def test_what_each_pipe_takes(settings: Settings) -> None:
    made = ground(RUN, settings)
    first, second = made.shares((2000.0, 9000.0))
    assert first == Share(pytest.approx(PARTED), 5500.0, pytest.approx(PARTED), pytest.approx(PARTED))
    rest = 26e6 - PARTED
    assert second == Share(pytest.approx(rest), 7500.0, pytest.approx(rest + 2e6), pytest.approx(rest + 2e6))
    assert made.plane_shares((2000.0, 9000.0)) == [
        (PlaneShare("P1", pytest.approx(PARTED), 20.0),),
        (
            PlaneShare("P1", pytest.approx(15e6 - PARTED), 20.0), PlaneShare("P3", pytest.approx(6e6), 30.0),
            PlaneShare("P2", pytest.approx(5e6), 45.0), PlaneShare("W1", pytest.approx(2e6), 90.0, wall=True),
        ),
    ]  # fmt: skip
    assert made.gaps((2000.0, 9000.0)) == [7000.0]
    assert made.gaps((2000.0,)) == []
    assert (made.apart(1000.0, 12_500.0), made.before_opening(1000.0)) == (11_500.0, False)
    ring = ground(RING, settings)
    assert (ring.apart(1000.0, 12_500.0), ring.gaps((2000.0, 9000.0))) == (1500.0, [7000.0, 6000.0])
    # round the ring water parts at 5.5 m and, half way from 9 to 15, at 12 m
    first, second = ring.shares((2000.0, 9000.0))
    assert (first.area_mm2, first.length_mm) == pytest.approx((PARTED + 1e6, 6500.0))
    assert (second.area_mm2, second.length_mm) == pytest.approx((25e6 - PARTED, 6500.0))
    assert ring.shares((2000.0,)) == [Share(26e6, 13_000.0, 28e6, 28e6)]


def test_where_pipes_may_stand(settings: Settings) -> None:
    """150 mm from an end, 600 from an inside corner (settings); along a stretch over half the spacing of 12 m at halves and
    thirds, and two pipes evenly spread at 3.25 and 9.75 m."""
    made = ground(RUN, settings)
    assert (made.good, made.other) == ([150.0, 12_850.0], [7400.0, 8600.0])
    assert made.spare == pytest.approx([8000 / 3, 3250.0, 4000.0, 16_000 / 3, 9750.0])
    assert (made.inside, made.ranges) == ([8000.0], [(150.0, 7400.0), (8600.0, 12_850.0)])


LIMITS = Limits(9.2e6, 5400.0, 6900.0, 5e6, 900.0, 600.0, 18.7e6)


def test_every_limit_that_places_do_not_keep(settings: Settings) -> None:
    made = ground(RUN, settings)
    rest = 28e6 - PARTED
    assert made.breaches((2000.0, 9000.0), LIMITS) == [
        Breach(CAPACITY, 0, pytest.approx(PARTED)),
        Breach(LENGTH, 0, 5500.0),
        Breach(CAPACITY, 1, pytest.approx(rest)),
        Breach(SECTION, 1, pytest.approx(rest)),
        Breach(LENGTH, 1, 7500.0),
        Breach(SPACING, 0, 7000.0),
        Breach(VALLEY, -1, 1000.0, "V1"),
    ]
    wide = Limits(rest * 1.0001, 7499.5, 6999.5, 6e6, 900.0, 600.0)
    assert made.breaches((2000.0, 9000.0), wide) == []
    assert made.breaches((2000.0, 9000.0), replace(wide, length_mm=7499.4)) == [Breach(LENGTH, 1, 7500.0)]
    assert made.breaches((2000.0, 9000.0), replace(wide, spacing_mm=6999.4)) == [Breach(SPACING, 0, 7000.0)]
    valley = replace(wide, valley_from_mm2=5.9e6)
    assert made.breaches((2000.0, 9000.0), replace(valley, valley_within_mm=999.5)) == []
    assert made.breaches((2000.0, 9000.0), replace(valley, valley_within_mm=999.4)) == [
        Breach(VALLEY, -1, 1000.0, "V1")
    ]
    free = replace(wide, length_mm=1e9, capacity_mm2=0.0)
    assert made.breaches((2000.0, 8599.5), free) == []
    assert made.breaches((2000.0, 8599.4), free) == [Breach(INSIDE, 1, pytest.approx(599.4))]


EAVE = Stretch(
    "G1.1", 0.0, 6000.0, (0.0, 9000.0, 0.0), (6000.0, 9000.0, 0.0), End("stop end"), End("stop end"), ("E1",), (1,)
)


@pytest.mark.parametrize(
    ("a", "b", "below"),
    [
        ((1000.0, 9450.0), (5000.0, 9450.0), (1000.0, 5000.0, 450.0)),
        ((5000.0, 9450.0), (1000.0, 9450.0), (1000.0, 5000.0, 450.0)),
        # a thousandth off along the wall is along the eave, more is not, however far from the origin it lies
        ((1000.0, 9450.0), (5000.0, 9453.99), (1000.0, 5000.0, 451.995)), ((1000.0, 9450.0), (5000.0, 9454.04), None),
        ((5999.5, 9450.0), (9000.0, 9450.0), None), ((5999.4, 9450.0), (9000.0, 9450.0), (5999.4, 9000.0, 450.0)),
        ((-3000.0, 9450.0), (0.5, 9450.0), None), ((-3000.0, 9450.0), (0.6, 9450.0), (-3000.0, 0.6, 450.0)),
        ((1000.0, 8999.5), (5000.0, 8999.5), (1000.0, 5000.0, 0.0)), ((1000.0, 8999.4), (5000.0, 8999.4), None),
    ],
)  # fmt: skip
def test_a_wall_under_an_eave(
    a: tuple[float, float], b: tuple[float, float], below: tuple[float, float, float] | None
) -> None:
    """An eave along x at y = 9 m, the house behind it; half a millimetre of the wall under it is none."""
    found = _under(EAVE, a, b)
    assert (found and (found.left_mm, found.right_mm, found.overhang_mm)) == (below and pytest.approx(below))
