"""What no house has is refused with its figure before time is spent; what a large job has is let through."""

from __future__ import annotations

import json
import time
from typing import Any

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.job.job import Job
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.job_references import reference_faults


def square(across: float, **more: Any) -> dict[str, Any]:
    ring = [[0, 0], [across, 0], [across, 8000], [0, 8000]]
    return {"wall_line": ring, "fascia_height_mm": 2400, "pitch_deg": 25, **more}


def comb(corners: int) -> list[list[float]]:
    ring: list[list[float]] = [[0, 0], [corners * 2000, 0]]
    for tooth in range(corners // 4):
        x = corners * 2000 - tooth * 8000
        ring += [[x, 14_000], [x - 4000, 14_000], [x - 4000, 8000], [x - 8000, 8000]]
    return ring


WALLS = {"height_mm": 2400, "zones": [{"board": "bevel_187"}]}
OPENING = {"wall": 1, "from_left_mm": 100, "sill_mm": 900, "width_mm": 600, "height_mm": 600}
HOLE = {"kind": "pipe", "at": [3000, 3000], "diameter_mm": 100}
THIN = {
    "kind": "trapezoidal",
    "cover_mm": 0.01,
    "overall_mm": 1,
    "rib_pitch_mm": 1,
    "depth_mm": 1,
    "least_pitch_deg": 3,
}
RAISED = {"profiles": {"thin": THIN}}


@pytest.mark.parametrize(
    ("job", "figure"),
    [
        ({"roofs": [square(999_999)]}, r"is 1,000\.0 m across, more than the 500 m"),
        ({"roofs": [square(20_000, name=f"r{n}") for n in range(61)]}, "at most 60|60"),
        ({"roofs": [{**square(9000), "wall_line": comb(1200)}]}, r"1,202 corners of outlines, more than the 1,000"),
        ({"roofs": [square(90_000)], "walls": {**WALLS, "openings": [OPENING] * 501}}, "501 openings, more than the 500"),
        ({"roofs": [square(90_000, penetrations=[HOLE] * 300), square(9000, name="b", penetrations=[HOLE] * 300)]}, "600 holes"),
        ({"roofs": [square(9000, covering={"profile": "thin"})], **RAISED}, r"some 1,800,000 sheets|sheets, more than the 8,000"),
        ({"roofs": [square(300_000)], "site": {"longest_piece_mm": 400}}, r"sheets, more than the 8,000"),
        ({"roofs": [square(480_000, name=f"r{n}", wall_line=[[0, n * 9e5], [480_000, n * 9e5], [480_000, n * 9e5 + 3e5], [0, n * 9e5 + 3e5]]) for n in range(3)]}, "metres of purlins"),
        ({"walls": {"elevations": [{"name": "a", "width_mm": 300_000, "height_mm": 6600}], "zones": [{"board": {"width_mm": 25, "cover_mm": 20}}]}}, "some 16,625 pieces on one drawing, more than the 6,000"),
    ],
)  # fmt: skip
def test_beyond_a_bound(job: dict[str, Any], figure: str) -> None:
    begin = time.process_time()
    with pytest.raises(JobError, match=figure):
        pipeline.run(parse_job(json.dumps({"job": "x", **job})))
    assert time.process_time() - begin < 5.0


@pytest.mark.parametrize(
    "job",
    [
        {"roofs": [square(12_000, name=f"unit {n}") for n in range(50)]},
        {"roofs": [{**square(9000), "wall_line": [[x / 8, y] for x, y in comb(500)]}]},
        {"roofs": [square(300_000)], "walls": {**WALLS, "openings": [{**OPENING, "wall": 1 + n % 4, "from_left_mm": 100 + 900 * (n // 4)} for n in range(300)]}},
    ],
)  # fmt: skip
def test_large_jobs_are_no_fault(job: dict[str, Any]) -> None:
    assert reference_faults(Job.model_validate_json(json.dumps({"job": "x", **job}))) == []


def test_fifty_roofs_are_measured() -> None:
    roofs = [square(12_000, name=f"unit {n}", wall_line=[[x + 20_000 * n, y] for x, y in ((0, 0), (12_000, 0), (12_000, 8000), (0, 8000))]) for n in range(50)]  # fmt: skip
    takeoff = pipeline.run(parse_job(json.dumps({"job": "x", "roofs": roofs})), until=pipeline.Stage.SHAPE)
    from takeoff.measure.size_bounds import check_size

    check_size(takeoff.roofs, takeoff.elevations, takeoff.job, takeoff.settings, takeoff.catalogue)
