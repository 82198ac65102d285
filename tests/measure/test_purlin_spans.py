"""Bays, spans and supports of purlins inside a plane, worked out by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from takeoff.measure.roofing.purlins.purlin_rows import Row, widest_bay_mm
from takeoff.model.roof import Roof
from takeoff.shape.strips.plane_lines import long_spans, reaches, spans_at, supports_under

Make = Callable[..., Roof]


def test_the_widest_bay_is_that_of_a_real_width_inside_the_plane(gable_roof: Make) -> None:
    plane = gable_roof().planes[0]  # 10 m wide, 4256.7 up the rake
    rows = [
        Row(50.0, (0.0, 10000.0), "eave"),
        Row(950.0, (0.0, 9800.0), "purlin"),
        Row(1850.0, (0.0, 10000.0), "purlin"),
    ]
    # for 200 mm at the right the middle row is missing: 1800 there, 900 everywhere else
    assert widest_bay_mm(plane, rows, 201.0) == 900.0
    assert widest_bay_mm(plane, rows, 199.0) == 1800.0
    assert widest_bay_mm(plane, rows[:1], 300.0) == 0.0
    # rows on both sides of a hole are not a bay
    hole = ((4000.0, 100.0), (4000.0, 1800.0), (6000.0, 1800.0), (6000.0, 100.0))
    holed = replace(plane, rings_uv=(*plane.rings_uv, hole))
    apart = [Row(50.0, (0.0, 10000.0), "eave"), Row(1850.0, (4000.0, 6000.0), "purlin")]
    assert widest_bay_mm(holed, apart, 300.0) == 0.0


def test_spans_of_a_notched_plane() -> None:
    ring = (
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 50.0),
        (60.0, 50.0),
        (60.0, 20.0),
        (40.0, 20.0),
        (40.0, 50.0),
        (0.0, 50.0),
    )
    assert spans_at((ring,), 10.0) == ((0.0, 100.0),)
    assert spans_at((ring,), 30.0) == ((0.0, 40.0), (60.0, 100.0))
    # a timber whose middle is cut by the notch is two, though its lower side passes below it
    assert long_spans((ring,), 22.0, 10.0) == ((0.0, pytest.approx(60.0)), (pytest.approx(40.0), 100.0))


@pytest.mark.parametrize(("setting_out", "first"), [("middle", 500.0), ("left", 900.0), ("right", 100.0)])
def test_supports_by_where_they_are_set_out(gable_roof: Make, setting_out: str, first: float) -> None:
    plane = gable_roof().planes[0]
    along = supports_under(plane, (0.0, 50.0), (10000.0, 50.0), 900.0, setting_out)
    assert along[0] == pytest.approx(first)
    assert len(along) == 11


def test_supports_under_a_sloping_timber_are_further_apart(hip_roof: Make) -> None:
    roof = hip_roof()
    along = supports_under(roof.planes[0], (0.0, 0.0), (4000.0, 4413.5), 900.0, "left")
    # 900 mm of plan along u is 900 x sqrt(1 + tan2) of the hip in the plane
    assert along[1] - along[0] == pytest.approx(900.0 * (1 + (4413.5 / 4000) ** 2) ** 0.5)
    assert supports_under(roof.planes[0], (4000.0, 0.0), (4000.0, 900.0), 900.0, "left") == ()


@pytest.mark.parametrize(
    ("length", "splits", "reached"),
    [
        (5900.0, (), True),  # one piece
        (6800.0, (900.0, 3400.0), True),  # 3400 + 3400
        (6800.0, (900.0,), False),  # 900 is shorter than the least piece, 5900 would fit
        (6800.0, (), False),
        (14000.0, (2000.0, 8000.0, 8100.0), True),  # 2000 + 6000 + 6000
        (14000.0, (2000.0, 8100.0), False),  # 6100 is longer than the stock
    ],
)
def test_whether_joints_on_rafters_can_make_a_run(length: float, splits: tuple[float, ...], reached: bool) -> None:
    assert reaches(length, splits, 6000.0, 1800.0) is reached
