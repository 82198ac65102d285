"""Regression: jobs that no sample is like still give what is recorded of them. What is recorded is no check value; it says
that something changed, and where."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from takeoff.pipeline import run_file

sys.path.insert(0, str(Path(__file__).parent))

from odd_record import ORDERS, RECORD, odd_digests, odd_jobs
from samples_record import RENEW, order_lines


@pytest.mark.parametrize("job", odd_jobs(), ids=lambda job: job.stem)
def test_an_odd_job_gives_what_is_recorded(job: Path) -> None:
    takeoff = run_file(job)
    assert order_lines(takeoff).splitlines() == (ORDERS / f"{job.stem}.txt").read_text("utf-8").splitlines(), RENEW
    found, recorded = odd_digests(takeoff), json.loads(RECORD.read_text(encoding="utf-8"))[job.stem]
    assert [part for part in {**found, **recorded} if found.get(part) != recorded.get(part)] == [], RENEW


def test_every_odd_job_is_recorded_and_nothing_else() -> None:
    names = [job.stem for job in odd_jobs()]
    assert sorted(json.loads(RECORD.read_text(encoding="utf-8"))) == names
    assert sorted(path.stem for path in ORDERS.glob("*.txt")) == names
