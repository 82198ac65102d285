"""Regression: broken jobs are refused in the words that are recorded of them, with the cures that are offered."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from refusals_record import RECORD, broken_jobs, said
from samples_record import RENEW

JOBS = dict(broken_jobs())


@pytest.fixture(scope="module")
def recorded() -> dict[str, str]:
    """What was said of each broken job, by what is broken."""
    parts = RECORD.read_text(encoding="utf-8").removeprefix("== ").split("\n== ")
    return {title: text.removesuffix("\n") for title, text in (part.split("\n", 1) for part in parts)}


@pytest.mark.parametrize("title", JOBS, ids=lambda title: title.replace(" ", "_").replace(":", ""))
def test_a_broken_job_is_refused_as_recorded(title: str, recorded: dict[str, str]) -> None:
    assert said(JOBS[title]).splitlines() == recorded[title].splitlines(), RENEW


def test_every_broken_job_is_recorded_and_nothing_else(recorded: dict[str, str]) -> None:
    assert list(recorded) == list(JOBS), RENEW
