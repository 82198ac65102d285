"""Faces of walls by hand: what of a top is higher than a line."""

from __future__ import annotations

import pytest

from takeoff.measure.cladding.face import stretches_above

GABLE = ((0.0, 0.0), (1000.0, 1000.0), (2000.0, 0.0))


@pytest.mark.parametrize(
    ("height", "stretches"),
    [
        (-1.0, ((0.0, 2000.0),)),
        (400.0, ((400.0, 1600.0),)),
        (999.7, ((999.7, 1000.3),)),
        (999.8, ()),  # 0.4 mm wide: a point, as any two points within half a millimetre are one
        (1000.0, ()),
    ],
)
def test_a_gable_is_as_wide_over_a_line_as_its_slopes_leave_it(
    height: float, stretches: tuple[tuple[float, float], ...]
) -> None:
    found = stretches_above(GABLE, height)
    assert [end for stretch in found for end in stretch] == pytest.approx([end for one in stretches for end in one])


def test_a_dip_parts_it() -> None:
    top = ((0.0, 100.0), (500.0, 100.0), (1000.0, 50.0), (1500.0, 100.0))
    assert stretches_above(top, 75.0) == ((0.0, 750.0), (1250.0, 1500.0))
