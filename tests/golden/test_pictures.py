"""The pictures of the samples are those the program draws, small, and shown in their READMEs."""

from __future__ import annotations

import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from renew_pictures import PICTURE, PLAN, picture, plan, sample_jobs

JOBS = sample_jobs()


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.parent.name)
def test_a_picture_is_current(job: Path) -> None:
    drawn = job.with_name(PICTURE).read_text(encoding="utf-8")
    assert drawn == picture(job), "renew with: python tests/golden/renew_pictures.py"
    assert len(drawn) < 40_000
    assert PICTURE in job.with_name("README.md").read_text(encoding="utf-8")
    ElementTree.fromstring(drawn)


def test_every_sample_with_a_roof_is_drawn() -> None:
    assert len(JOBS) >= 15


def test_the_plan_at_the_top_of_the_readme_is_current() -> None:
    drawn = PLAN.read_text(encoding="utf-8")
    assert drawn == plan(), "renew with: python tests/golden/renew_pictures.py"
    ElementTree.fromstring(drawn)
