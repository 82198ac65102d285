"""Regression: every sample still gives what is recorded of it. What is recorded is no check value; it says that something
changed, and where."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from takeoff.pipeline import run_file

sys.path.insert(0, str(Path(__file__).parent))

from samples_record import ORDERS, RECORD, RENEW, digests, order_lines, sample_jobs


@pytest.mark.parametrize("job", sample_jobs(), ids=lambda job: job.parent.name)
def test_a_sample_gives_what_is_recorded(job: Path) -> None:
    takeoff = run_file(job)
    name = job.parent.name
    assert order_lines(takeoff).splitlines() == (ORDERS / f"{name}.txt").read_text(encoding="utf-8").splitlines(), RENEW
    found, recorded = digests(takeoff), json.loads(RECORD.read_text(encoding="utf-8"))[name]
    assert [part for part in {**found, **recorded} if found.get(part) != recorded.get(part)] == [], RENEW


def test_every_sample_is_recorded_and_nothing_else() -> None:
    names = [job.parent.name for job in sample_jobs()]
    assert sorted(json.loads(RECORD.read_text(encoding="utf-8"))) == names
    assert sorted(path.stem for path in ORDERS.glob("*.txt")) == names
