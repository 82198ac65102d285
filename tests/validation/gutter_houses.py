"""Gabled houses and lean-tos whose gutters are as long as their outline, for checks of gutters against codes."""

from __future__ import annotations

import json
from typing import Any

from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.model.findings import Finding
from takeoff.model.measured import RainwaterMeasured
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters

GABLED = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
LEAN_TO = {2: {"kind": "gable"}, 3: {"kind": "gable"}, 4: {"kind": "gable"}}


def gutters_of(
    length_mm: float, depth_mm: float = 6000.0, pitch_deg: float = 20.0, edges: Any = None, **job: Any
) -> RainwaterMeasured:
    """Gutters of a gabled house, or of another roof by `edges`; `job` holds the rest of the job file."""
    outline = [[0, 0], [length_mm, 0], [length_mm, depth_mm], [0, depth_mm]]
    roof = {
        "outline": outline,
        "pitch_deg": pitch_deg,
        "fascia_height_mm": 2400,
        "edges": GABLED if edges is None else edges,
    }
    parsed = parse_job(json.dumps({"job": "by the code", "roofs": [roof], **job}))
    settings = resolve_settings(parsed)
    roofs = (roof_from_outline(parsed.roofs[0], 0.0, settings),)
    return measure_rainwater(trace_all_gutters(roofs), roofs, parsed, settings, load_catalogue())


def count(measured: RainwaterMeasured, name: str) -> float:
    """A quantity of the gutters by its id, 0 where there is none."""
    return sum(q.figure for need in measured.needs for q in need.quantities if q.id == name)


def findings(measured: RainwaterMeasured) -> dict[str, Finding]:
    """Findings by code, those of the downpipes among them."""
    found = [finding for need in measured.needs for finding in need.findings]
    found += [finding for plan in measured.downpipes for finding in plan.findings]
    return {finding.code: finding for finding in found}
