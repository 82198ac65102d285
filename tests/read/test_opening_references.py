"""Faults of holes and clear sheets that can be told from the job alone, each at its place."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import JobError
from takeoff.read.job.job_file import parse_job

HEAD = """\
job: cottage
roofs:
  - outline: [[0, 0], [9000, 0], [9000, 7200], [0, 7200]]
    pitch_deg: 25
    fascia_height_mm: 2400
    edges:
      2: {kind: gable}
      4: {kind: gable}
"""


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        ("penetrations: [{kind: pipe, at: [1, 1]}]", "job.yaml:9:20: roofs[1].penetrations[1]: needs diameter_mm, or"),
        ("penetrations: [{kind: roof_window, at: [1, 1], width_mm: 5}]", "needs width_mm and length_mm"),
        ("penetrations: [{kind: roof_window, at: [1, 1], diameter_mm: 5}]", "a roof window has width_mm and length_mm"),
        ("penetrations: [{kind: pipe, at: [1, 1], diameter_mm: 5, width_mm: 5}]", "not both"),
        (
            "penetrations: [{kind: pipe, name: a, at: [1, 1], diameter_mm: 5}, {kind: pipe, name: a, at: [9, 9]}]",
            "roofs[1].penetrations[2].name: two are named a",
        ),
        ("rooflight_sheets: [{edge: 5, from_left_mm: 5}]", "there is no edge 5; the outline has edges 1 to 4"),
        ("rooflight_sheets: [{edge: 2, from_left_mm: 5}]", "edge 2 is a gable"),
        ("penetrations: [{kind: chimney, at: [1, 1]}]", "kind"),
    ],
)
def test_faults_at_their_place(entry: str, fault: str) -> None:
    with pytest.raises(JobError) as caught:
        parse_job(f"{HEAD}    {entry}\n", "job.yaml")
    assert any(fault in text for text in caught.value.faults), caught.value.faults


def test_a_sound_job_has_none() -> None:
    entry = "penetrations: [{kind: pipe, at: [1000, 1000], diameter_mm: 100}]"
    assert len(parse_job(f"{HEAD}    {entry}\n", "job.yaml").roofs[0].penetrations) == 1
