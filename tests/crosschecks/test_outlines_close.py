"""Every outline of the skeleton data raised as a job: planes tile it, nothing is left between them.

The data (own, CC0) is meant for the solver; here it goes through mends, naming and assembling too. The folder is named by
the variable TAKEOFF_DATA; without it these tests skip.
"""

from __future__ import annotations

import json
import os
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.basics.polygons import rings_area
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

PATH = Path(os.environ.get("TAKEOFF_DATA", "")) / "skeleton" / "outlines.jsonl"
SETTINGS = resolve_settings(Job(job="check"))
# a part bounded by gables only never closes: to be refused by name
NO_ROOF = {"e_gable_any-1-6"}

pytestmark = pytest.mark.skipif(not PATH.is_file(), reason="TAKEOFF_DATA names no folder of outlines")


def _cases() -> dict[str, list[dict[str, Any]]]:
    by_class: dict[str, list[dict[str, Any]]] = defaultdict(list)
    if PATH.is_file():
        for line in PATH.read_text(encoding="utf-8").splitlines():
            case = json.loads(line)
            by_class[case["cls"]].append(case)
    return by_class


CASES = _cases()


def _job(case: dict[str, Any]) -> RoofJob | None:
    """The case in mm; None where a pitch is outside what a job may ask for."""
    rings = [[(1000.0 * x, 1000.0 * y) for x, y in ring] for ring in (case["outer"], *case.get("holes", []))]
    count = sum(len(ring) for ring in rings)
    pitches = case.get("pitch") or [45.0] * count
    heights = case.get("h0") or [0.0] * count
    if any(not 1 <= pitch <= 85 and pitch != 90 for pitch in pitches):
        return None
    edges = {
        n: EdgeJob(kind="gable", fascia_height_mm=1000.0 * h)
        if pitch == 90
        else EdgeJob(pitch_deg=float(pitch), fascia_height_mm=1000.0 * h)
        for n, (pitch, h) in enumerate(zip(pitches, heights, strict=True), start=1)
    }
    return RoofJob(outline=rings[0], courtyards=rings[1:], edges=edges)


@pytest.mark.parametrize("name", CASES)
def test_planes_tile_every_outline(name: str) -> None:
    for case in CASES[name]:
        job = _job(case)
        if job is None or len(case["outer"]) > 300:
            continue
        if case["id"] in NO_ROOF:
            with pytest.raises(ShapeError, match="never closes"):
                roof_from_outline(job, 0.0, SETTINGS)
            continue
        roof = roof_from_outline(job, 0.0, SETTINGS)
        covered = sum(plane.plan_area_mm2 for plane in roof.planes)
        assert covered == pytest.approx(rings_area(roof.outline_mm), rel=1e-9), case["id"]
        assert all(len(edge.faces) > 1 or edge.outline_edges for edge in roof.edges), case["id"]
