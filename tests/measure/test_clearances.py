"""The foot of the cladding over the ground: which limit, at which end, how grave."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.cladding.clearances import check_clearance
from takeoff.model.basis import Basis, Status
from takeoff.model.findings import Severity
from takeoff.model.job.walls import WallsJob
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner, Elevation
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
FREE = Corner("none", 180.0)


def wall(left: float, right: float, paved: bool = False) -> Elevation:
    ring = ((0.0, -50.0), (6000.0, -50.0), (6000.0, 2400.0), (0.0, 2400.0))
    return Elevation(
        "wall 3", 3, 6000.0, 2400.0, ring, -50.0, (), FREE, FREE, (left, right), paved, 0.0, (0.0, 0.0), (6000.0, 0.0)
    )


def limit(name: str, **change: Any) -> Settings:
    return replace(SETTINGS, values={**SETTINGS.values, name: replace(SETTINGS.values[name], **change)})


@pytest.mark.parametrize(
    ("ground", "paved", "clear"),
    [(-225, False, True), (-224, False, False), (-150, True, True), (-149, True, False), (-400, False, True)],
)
def test_limits_of_paved_and_unpaved_ground(ground: float, paved: bool, clear: bool) -> None:
    assert (check_clearance(wall(ground, ground, paved), SETTINGS) == ()) is clear


def test_each_end_is_looked_at() -> None:
    findings = check_clearance(wall(-400, -200), SETTINGS)
    assert len(findings) == 1
    assert (
        findings[0].text
        == "At the right end of wall 3 the cladding ends 150 mm over unpaved ground; 175 mm are wanted."
    )
    assert findings[0].advice == "Lower the ground by 25 mm there, or raise the floor."
    assert len(check_clearance(wall(-190, -200), SETTINGS)) == 2
    level = check_clearance(wall(-200, -200), SETTINGS)
    assert [finding.text[:12] for finding in level] == ["Along wall 3"]


def test_a_limit_that_was_read_stops_and_one_from_memory_warns() -> None:
    assert check_clearance(wall(-100, -400), SETTINGS)[0].severity is Severity.STOP
    weak = limit("clearance_unpaved_mm", basis=Basis(Status.MEMORY))
    assert check_clearance(wall(-100, -400), weak)[0].severity is Severity.WARN
    own = limit("clearance_unpaved_mm", value=200, basis=Basis(Status.SET_IN_JOB))
    assert check_clearance(wall(-240, -400), own)[0].severity is Severity.STOP
    assert check_clearance(wall(-100, -400), SETTINGS, assumed=True)[0].severity is Severity.WARN


def test_the_limit_names_its_source() -> None:
    assert "Code of Practice" in check_clearance(wall(-100, -400), SETTINGS)[0].source


def test_a_wall_with_a_deck_and_a_paved_part() -> None:
    """Foot at -50. Unpaved at -300: 250 over it, 175 wanted. Paving at -140 from 1.0 to 3.0 m: 90 over it, 100 wanted
    (code of practice). A deck at -150 from 4.0 m on: 100 over it, as over paving (common practice, no source)."""
    wall = {"name": "front", "width_mm": 6000, "height_mm": 2400}
    paved = {"wall": 1, "from_left_mm": 1000, "width_mm": 2000, "level_mm": -140, "kind": "paved"}
    deck = {"wall": 1, "from_left_mm": 4000, "level_mm": -150, "kind": "deck"}
    job = WallsJob.model_validate({"elevations": [wall], "ground_mm": -300, "grounds": [paved, deck]})
    (made,) = elevations(job, (), 0.0, SETTINGS)
    (near,) = check_clearance(made, SETTINGS)
    assert near.severity is Severity.STOP
    assert near.text == "From 1000 to 3000 mm along front the cladding ends 90 mm over paved ground; 100 mm are wanted."
    lower = WallsJob.model_validate({"elevations": [wall], "ground_mm": -300, "grounds": [{**deck, "level_mm": -120}]})
    (near,) = check_clearance(elevations(lower, (), 0.0, SETTINGS)[0], SETTINGS)
    assert near.severity is Severity.WARN
    assert "70 mm over a deck; 100 mm" in near.text
    # a deck along the whole wall is all the ground there is
    job = WallsJob.model_validate(
        {"elevations": [wall], "ground_mm": -100, "grounds": [{"wall": 1, "level_mm": -200, "kind": "deck"}]}
    )
    assert check_clearance(elevations(job, (), 0.0, SETTINGS)[0], SETTINGS) == ()


def test_ground_along_no_wall_or_past_its_end_is_refused() -> None:
    wall = {"name": "front", "width_mm": 6000, "height_mm": 2400}
    parts = [
        {"wall": 2, "level_mm": -200, "kind": "deck"},
        {"wall": 1, "from_left_mm": 5000, "width_mm": 1500, "level_mm": -200, "kind": "deck"},
    ]
    with pytest.raises(JobError) as caught:
        elevations(WallsJob.model_validate({"elevations": [wall], "grounds": parts}), (), 0.0, SETTINGS)
    assert [fault.split(":")[0] for fault in caught.value.faults] == ["walls.grounds[1].wall", "walls.grounds[2]"]
