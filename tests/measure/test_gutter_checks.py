"""Sections of gutters held against the area rule, by hand on a 12 x 8 m roof at 25 degrees."""

from __future__ import annotations

import json

import pytest

from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.model.drainage import DownpipePlan
from takeoff.model.job.job import Job
from takeoff.model.job.site import Site
from takeoff.model.measured import RainwaterMeasured
from takeoff.pipeline import run
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters

RECTANGLE = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
GABLES = {2: {"kind": "gable"}, 4: {"kind": "gable"}}


def job_of(outline: list[list[int]], rainwater: dict[str, object], edges: dict[int, object] | None = None) -> Job:
    roof = {"outline": outline, "pitch_deg": 25, "fascia_height_mm": 2450, "edges": edges or {}}
    return parse_job(json.dumps({"job": "by hand", "roofs": [roof], "rainwater": rainwater}))


def measured(job: Job) -> RainwaterMeasured:
    settings = resolve_settings(job)
    roofs = tuple(roof_from_outline(roof, job.north_deg, settings) for roof in job.roofs)
    return measure_rainwater(trace_all_gutters(roofs), roofs, job, settings, load_catalogue())


def plans(job: Job) -> tuple[DownpipePlan, ...]:
    return measured(job).downpipes


def test_the_area_rule_warns_by_either_method_with_its_figures() -> None:
    # 96 m2 to one outlet: 96 / cos 25 x 1.1 exposed x 1.0 rain x 1.1 pitch x 100 = 12 817 mm2; 96 x 6300 / 12 817 = 47.2
    for method in ("e1_as1", "area_per_m2"):
        plan = plans(job_of(RECTANGLE, {"method": method, "downpipes_at": [[6000, 0]], "downpipes_at_are_all": True}))[
            0
        ]
        said = next(finding for finding in plan.findings if finding.code == "gutter-too-small")
        assert "96.0 m2 x 1.103 slope x 1.1 exposure x 1 rain x 1.1 pitch x 100 = 12817 mm2" in said.text
        assert "no outlet takes over 47.2 m2" in said.advice
        assert plan.pipes[0].gutter_mm2 == pytest.approx(12816.9, abs=0.1)


def test_what_the_table_does_not_check_is_said_once_a_job() -> None:
    def notes(method: str) -> list[str]:
        needs = measured(job_of(RECTANGLE, {"method": method}, GABLES)).needs
        return [f.text for need in needs for f in need.findings if f.code == "gutter-section-not-checked"]

    assert len(notes("e1_as1")) == 1
    assert "the standard's curve is not in this program" in notes("e1_as1")[0]
    assert notes("area_per_m2") == []


def test_a_code_without_a_table_of_overflows_is_told_what_to_see_to_and_given_no_line_that_it_refuses() -> None:
    # 96 m2 in plan on 25 degrees, in wind by the code's factor: some litres a second whatever the factor
    job = job_of(RECTANGLE, {}).model_copy(update={"site": Site(rain_mm_per_h=90.0, rare_rain_mm_per_h=150.0)})
    (found,) = [finding for finding in run(job).findings if finding.code == "overflow-not-given"]
    assert found.advice == (
        "The job's code has no table of overflows: see that slots, a gap or a lower front carry as much."
    )
