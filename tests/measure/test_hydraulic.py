"""The general hydraulic method beside the tables: flow = area x intensity, against a figure that is given."""

from __future__ import annotations

import json

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run
from takeoff.read.job.job_file import parse_job


def taken(**settings: object) -> Takeoff:
    roof = {"outline": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], "pitch_deg": 25, "fascia_height_mm": 2450}
    job = {"job": "by hand", "site": {"rain_mm_per_h": 144}, "roofs": [roof], "settings": settings}
    return run(parse_job(json.dumps(job)), until=Stage.MEASURE)


def codes(takeoff: Takeoff) -> set[str]:
    return {finding.code for need in takeoff.rainwater.needs for finding in need.findings}


def test_flow_of_each_pipe_is_its_effective_area_times_the_rain() -> None:
    """24 m2 x 1.23315 = 29.596 m2; at 144 mm/h 1 m2 brings 0.04 L/s: 1.18382 L/s."""
    found = {quantity.id: quantity.figure for quantity in taken().rainwater.catchment}
    for name in ("DP1", "DP2", "DP3", "DP4"):
        assert found[f"catchment {name} effective"] == pytest.approx(29.5956, abs=1e-4)
        assert found[f"catchment {name} flow"] == pytest.approx(1.18382, abs=1e-5)


def test_nothing_is_held_against_a_figure_that_nobody_gave() -> None:
    assert not codes(taken()) & {"gutter-over-its-flow", "downpipe-over-its-flow"}


def test_a_figure_that_is_given_is_held() -> None:
    assert "gutter-over-its-flow" in codes(taken(gutter_carries_l_s=1.0))
    assert "downpipe-over-its-flow" in codes(taken(downpipe_carries_l_s=1.0))
    assert not codes(taken(gutter_carries_l_s=1.2, downpipe_carries_l_s=1.2)) & {
        "gutter-over-its-flow",
        "downpipe-over-its-flow",
    }
