"""Where cladding ends under an eave: a level soffit at the fascia's lower edge, a raked one, none. Worked by hand."""

from __future__ import annotations

from math import radians, tan
from typing import Any

import pytest

from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.walls import WallsJob
from takeoff.model.walls import Elevation
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.walls.walls import elevations

BOX = [(0, 0), (12000, 0), (12000, 8000), (0, 8000)]
WINDOW = {"wall": 1, "name": "W1", "from_left_mm": 2000, "sill_mm": 900, "width_mm": 1200, "height_mm": 1450}


def walls_of(roof: dict[str, Any] | None = None, soffit_mm: float | None = None, **more: Any) -> tuple[Elevation, ...]:
    """A hip of 12 x 8 m at 25 degrees, fascia and frame at 2450, eaves of 600."""
    settings = resolve_settings(Job(job="test", settings=more.pop("settings", {})))
    given = {"name": "main", "wall_line": BOX, "eave_overhang_mm": 600, "fascia_height_mm": 2450, "pitch_deg": 25}
    made = roof_from_outline(RoofJob.model_validate({**given, **(roof or {})}), 0.0, settings)
    job = WallsJob.model_validate({"height_mm": 2450, "ground_mm": -450, **more})
    return elevations(job, (made,), 0.0, settings, soffit_mm)


def tops(walls: tuple[Elevation, ...]) -> list[float]:
    return [max(y for _, y in wall.outline_xy) for wall in walls]


def findings(walls: tuple[Elevation, ...]) -> list[str]:
    return [finding.code for wall in walls for finding in wall.findings]


def test_boards_end_at_the_lower_edge_of_the_fascia() -> None:
    walls = walls_of()
    # 2450 - 150
    assert tops(walls) == [2300] * 4
    assert [wall.height_mm for wall in walls] == [2300] * 4
    (note,) = (finding for wall in walls for finding in wall.findings)
    assert note.text == (
        "Walls 1, 2, 3, 4: the soffit line is at 2300 mm over the floor (the fascia height less 150 mm), the frame at "
        "2450 mm: boards end at the soffit line, 150 mm lower."
    )


def test_a_frame_under_the_soffit_line_is_clad_to_its_own_height() -> None:
    walls = walls_of(height_mm=2250)
    assert tops(walls) == [2250] * 4
    assert findings(walls) == ["bare-under-soffit"]  # 50 mm up to the soffit line at 2300


def test_the_soffit_height_of_the_job_comes_first() -> None:
    walls = walls_of(soffit_mm=2400)
    assert tops(walls) == [2400] * 4
    assert "(as the job gives it)" in walls[0].findings[0].text


def test_a_raked_soffit_follows_the_sheets_to_the_wall() -> None:
    # over the wall line the sheets stand at 2450 + 600 tan 25 = 2729.8; 150 under them is over the frame
    assert tops(walls_of(settings={"soffit": "raked"})) == [2450] * 4
    high = 2450 + 600 * tan(radians(25)) - 150
    assert tops(walls_of(settings={"soffit": "raked"}, height_mm=2700)) == pytest.approx([high] * 4)


def test_eaves_too_narrow_for_a_soffit_leave_the_frame_height() -> None:
    # 65 less a fascia of 20 is under 50
    assert tops(walls_of({"eave_overhang_mm": 65})) == [2450] * 4
    assert tops(walls_of({"eave_overhang_mm": 70})) == [2300] * 4


def test_a_gable_keeps_its_rake_and_takes_the_courses_of_the_eaves() -> None:
    gables = {"edges": {2: {"kind": "gable", "verge_overhang_mm": 450}, 4: {"kind": "gable", "verge_overhang_mm": 450}}}
    walls = walls_of(gables)
    assert [wall.height_mm for wall in walls] == [2300] * 4
    assert tops(walls)[0] == 2300
    # ridge over the wall: 2450 + 4600 tan 25, cladding 150 under it
    assert tops(walls)[1] == pytest.approx(2450 + 4600 * tan(radians(25)) - 150)


def test_a_head_over_the_soffit_line_keeps_the_frame_height_and_is_told() -> None:
    walls = walls_of(openings=[WINDOW])  # head 2350
    assert tops(walls) == [2450, 2300, 2300, 2300]
    assert findings(walls) == ["head-over-soffit-line", "cladding-to-soffit-line"]
    assert "W1 at 2350 mm is over the soffit line at 2300 mm" in walls[0].findings[0].text


def test_a_frame_that_ends_under_its_soffit_line_is_told() -> None:
    """Fascia 2450 less 150: the soffit line at 2300 over the floor. A frame of 2200 leaves 100 mm bare; one of 2290
    leaves 10, which the mould of the soffit closes (common practice, no source)."""
    walls = walls_of(height_mm=2200)
    assert tops(walls) == pytest.approx([2200.0] * 4)
    (told,) = (finding for wall in walls for finding in wall.findings)
    assert told.code == "bare-under-soffit"
    assert told.refs == ("wall 1", "wall 2", "wall 3", "wall 4")
    assert "100 mm above it" in told.text
    assert findings(walls_of(height_mm=2290)) == []
