"""Clips and discharge of downpipes by the NZ Metal Roof and Wall Cladding Code of Practice.

Source: the code of practice, clause 5.7 downpipes: brackets near both ends, intermediate ones where the span exceeds
3 m; discharge at least 50 mm above adjacent ground. Status: seen.
"""

from __future__ import annotations

import pytest

from takeoff.measure.rainwater.pipe_parts import clips_on
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()


@pytest.mark.parametrize(("drop_mm", "clips"), [(2_400, 2), (3_000, 2), (3_100, 3), (6_000, 3), (6_100, 4)])
def test_an_intermediate_clip_where_the_span_is_over_3_m(drop_mm: float, clips: int) -> None:
    found = clips_on(drop_mm, SETTINGS.number("downpipe_clip_span_mm"))
    assert found == clips
    assert drop_mm / (found - 1) <= 3_000


def test_discharge_50_mm_above_ground() -> None:
    assert SETTINGS.number("downpipe_ground_clearance_mm") == 50
