"""A gutter whose corner fittings take more off each leg than usual is an order like another: by hand."""

from __future__ import annotations

import json

import pytest

from takeoff import run
from takeoff.order.bounds.bounded import case_of
from takeoff.order.bounds.rainwater_bounds import gutter_lengths
from takeoff.read.job.job_file import parse_job


@pytest.mark.parametrize("leg_mm", [100, 500])
def test_fittings_take_off_what_the_job_says(leg_mm: int) -> None:
    """A hip of 12 x 8 m has 40 m of spouting in four legs; fittings take `leg_mm` off both ends of each."""
    roof = {"outline": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], "pitch_deg": 25, "fascia_height_mm": 2450}
    settings = {"gutter_corner_pvc": "fitting", "gutter_corner_fitting_leg_mm": leg_mm}
    job = {"job": "by hand", "roofs": [roof], "rainwater": {"gutter": "pvc_125"}, "settings": settings}
    taken = run(parse_job(json.dumps(job)))
    assert taken.order is not None
    (bound,) = gutter_lengths(case_of(taken, taken.order))
    assert bound.figure == pytest.approx(40.0 - 8 * leg_mm / 1000.0, abs=0.01)
    # fittings of 200 mm are always allowed for
    assert bound.low == pytest.approx(40.0 - 8 * max(leg_mm, 200) / 1000.0, abs=1e-6)
