"""Eaves gutters by the National Construction Code (Australia).

Sources: the regulator's Gutter and downpipe provisions for housing (brackets at stop ends and at most 1.2 m apart),
status seen; the regulator's article of November 2016 (at most 12 m of gutter a downpipe), status seen on that page, which
restates the code. NCC 2019 let gutters on metal fascia lie level; the text of 2022 (test_hp22_gutters) does not.
"""

from __future__ import annotations

import json

import pytest

from takeoff.measure.rainwater.gutters import brackets_on
from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.model.measured import RainwaterMeasured
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters


def gabled(length_mm: int, gutter: str = "quad_125", code: str = "nz") -> RainwaterMeasured:
    """A gabled house of that length, 6 m wide: a run of gutter on each long side."""
    outline = [[0, 0], [length_mm, 0], [length_mm, 6000], [0, 6000]]
    roof = {
        "outline": outline,
        "pitch_deg": 20,
        "fascia_height_mm": 2400,
        "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}},
    }
    job = parse_job(json.dumps({"job": "by the code", "code": code, "roofs": [roof], "rainwater": {"gutter": gutter}}))
    settings = resolve_settings(job)
    roofs = (roof_from_outline(job.roofs[0], 0.0, settings),)
    return measure_rainwater(trace_all_gutters(roofs), roofs, job, settings, load_catalogue())


@pytest.mark.parametrize(("length_mm", "pipes"), [(11_900, 1), (12_000, 1), (12_100, 2), (24_000, 2), (24_100, 3)])
def test_no_outlet_drains_more_than_12_m(length_mm: int, pipes: int) -> None:
    for plan in gabled(length_mm).downpipes:
        assert dict(plan.limits)["gutter length per outlet"] == pipes
        assert plan.count >= pipes
        assert "gutter-too-long-for-outlet" not in {finding.code for finding in plan.findings}


@pytest.mark.parametrize("gutter", ["quad_125", "box_125", "box_150", "half_round_150"])
def test_metal_gutters_have_brackets_at_most_1200_apart(gutter: str) -> None:
    for length_mm in (1199, 1200, 1201, 12_000, 13_700):
        spans = brackets_on(length_mm, 1200) - 1
        assert length_mm / spans <= 1200 + 0.5
        needs = gabled(length_mm, gutter, "au").needs
        assert [q.figure for need in needs for q in need.quantities if q.id == "gutter brackets"] == [2 * (spans + 1)]


def test_fall_of_1_in_500() -> None:
    assert default_settings("au")["gutter_fall_one_in"].value == 500
    for gutter in ("quad_125", "box_125"):
        assert "gutter-fall" in [f.code for need in gabled(12_000, gutter, "au").needs for f in need.findings]
