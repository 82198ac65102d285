"""Where more tank brings least: the knee of a made-up curve, by hand."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

from takeoff.measure.tank.sizes import knee_of
from takeoff.model.tank_store import MONTH_DAYS, SizeResult


def curve(*points: tuple[float, float]) -> list[SizeResult]:
    rest: dict[str, Any] = {field.name: 0 for field in fields(SizeResult)}
    return [SizeResult(**{**rest, "volume_l": volume, "by_volume": share}) for volume, share in points]


def test_the_knee_lies_furthest_over_the_line_from_the_first_size_to_the_last() -> None:
    """10 to 50 m3 give 0.2, 0.4, 0.8, 0.9 and 1.0: over the straight line, whose steps are a quarter, they lie 0, 0, 0.25,
    0.125 and 0."""
    points = [(10e3, 0.2), (20e3, 0.4), (30e3, 0.8), (40e3, 0.9), (50e3, 1.0)]
    assert knee_of(curve(*points)) == 30e3
    # sizes unevenly apart: 0, 0.5 - 0.1 = 0.4, 0.75 - 0.5 = 0.25, 0
    assert knee_of(curve((10e3, 0.2), (14e3, 0.6), (30e3, 0.8), (50e3, 1.0))) == 14e3


@pytest.mark.parametrize("points", [[(1e3, 0.1), (2e3, 0.9)], [(1e3, 0.5), (2e3, 0.5), (3e3, 0.5)]])
def test_too_few_sizes_or_a_level_curve_have_no_knee(points: list[tuple[float, float]]) -> None:
    assert knee_of(curve(*points)) is None


def test_the_months_are_those_of_the_calendar() -> None:
    # the mean February of four years has 28.25 days, and the year 365.25
    assert MONTH_DAYS[:1] + MONTH_DAYS[2:] == (31, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    assert sum(MONTH_DAYS) == pytest.approx(365.25)
    assert MONTH_DAYS[1] == 28.25


def test_all_water_is_accounted_for() -> None:
    """100 L run off into a store of 10: 60 are drawn, 30 spilt, 5 let by and 3 thrown away, and 12 are left."""
    (one,) = curve((1e3, 1.0))
    water = {"run_off_l": 100, "yield_l": 60, "overflow_l": 30, "first_flush_l": 5, "discarded_l": 3}
    assert replace(one, **water, start_l=10, end_l=12).balance_l == 0
    assert replace(one, **water, start_l=12, end_l=10).balance_l == 4
