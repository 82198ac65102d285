"""The taped size which, put right, makes all agree is named. Hand arithmetic on a gable: eave 9000, rafters 3972.2."""

from __future__ import annotations

import pytest

from takeoff.measure.roofing.sheets.site_checks import drawn_lengths, needed
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.model.supplied import SiteMeasure
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job

JOB = """\
job: Barn
site: {wind_zone: high}
roofs:
  - outline: [[0, 0], [9000, 0], [9000, 7200], [0, 7200]]
    pitch_deg: 25
    edges: {2: {kind: gable}, 4: {kind: gable}}
    covering: {lay_from: east}
"""


@pytest.fixture(scope="module")
def barn() -> Takeoff:
    return run(parse_job(JOB))


def stops(barn: Takeoff, **off: float) -> str:
    taped = [
        SiteMeasure(plane.id, item, mm + (off.get(item.replace(" ", "_"), 0.0) if plane.id == "P1" else 0.0))
        for plane in barn.roofs[0].planes
        for item, mm in drawn_lengths(plane).items()
        if item in (*needed(plane), "diagonal 1", "diagonal 2")
    ]
    found = run(parse_job(JOB), taped=tuple(taped)).findings
    return " ".join(finding.text for finding in found if finding.severity is Severity.STOP)


@pytest.mark.parametrize(
    ("off", "words"),
    [
        # both diagonals are sqrt(9000^2 + 3972.2^2) = 9837.5
        ({"diagonal_2": 30.0}, "diagonal 2 is 30 mm long: with 9838 all agree"),
        ({"eave": 40.0}, "eave is 40 mm long: with 9000 all agree"),
        ({"ridge": -35.0}, "ridge is 35 mm short: with 9000 all agree"),
        ({"rafter_left": 1000.0}, "rafter left is 1000 mm long: with 3972 all agree"),
    ],
)
def test_the_misread_size_is_named(barn: Takeoff, off: dict[str, float], words: str) -> None:
    assert words in stops(barn, **off)


def test_a_frame_a_little_out_does_not_hide_it(barn: Takeoff) -> None:
    assert "diagonal 2 is 3" in stops(barn, diagonal_2=35.0, rafter_left=6.0, eave=-5.0)


def test_sizes_that_agree_name_none(barn: Takeoff) -> None:
    assert stops(barn, eave=4.0) == ""
