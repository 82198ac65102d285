"""The houses that downpipes are tested on, as jobs, and what is measured of their rainwater."""

from __future__ import annotations

import json

from takeoff.measure.rainwater.chosen import Chosen, choose
from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.model.drainage import DownpipePlan, GutterRun
from takeoff.model.job.job import Job
from takeoff.model.measured import RainwaterMeasured
from takeoff.model.roof import Roof
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters

RECTANGLE = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
ELL = [[0, 0], [12000, 0], [12000, 6000], [6000, 6000], [6000, 12000], [0, 12000]]
GABLES = {2: {"kind": "gable"}, 4: {"kind": "gable"}}


def job_of(
    outline: list[list[int]],
    rainwater: dict[str, object] | None = None,
    settings: dict[str, object] | None = None,
    roof: dict[str, object] | None = None,
    site: dict[str, object] | None = None,
) -> Job:
    roof = {"outline": outline, "pitch_deg": 25, "fascia_height_mm": 2450, **(roof or {})}
    whole = {"job": "by hand", "site": site or {}, "roofs": [roof], "rainwater": rainwater or {}}
    return parse_job(json.dumps({**whole, "settings": settings or {}}))


def shaped(job: Job) -> tuple[tuple[Roof, ...], tuple[GutterRun, ...], Chosen]:
    settings = resolve_settings(job)
    roofs = tuple(roof_from_outline(roof, job.north_deg, settings) for roof in job.roofs)
    chosen = choose(job, settings, load_catalogue())
    return roofs, trace_all_gutters(roofs, job.bare_edges), chosen


def measured(job: Job) -> RainwaterMeasured:
    roofs, gutters, chosen = shaped(job)
    return measure_rainwater(gutters, roofs, job, chosen.settings, load_catalogue())


def plans(job: Job) -> tuple[DownpipePlan, ...]:
    return measured(job).downpipes


def codes(job: Job) -> set[str]:
    result = measured(job)
    found = {finding.code for plan in result.downpipes for finding in plan.findings}
    return found | {finding.code for need in result.needs for finding in need.findings}


HOUSE = {"wall_line": [[0, 0], [10800, 0], [10800, 6800], [0, 6800]], "eave_overhang_mm": 600, "pitch_deg": 25}


def walled(openings: list[dict[str, object]], rainwater: dict[str, object] | None = None) -> Job:
    walls = {"height_mm": 2450, "zones": [{"board": "bevel_187"}], "openings": openings}
    roof = {**HOUSE, "fascia_height_mm": 2450}
    return parse_job(json.dumps({"job": "by hand", "roofs": [roof], "walls": walls, "rainwater": rainwater or {}}))
