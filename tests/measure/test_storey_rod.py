"""The storey rod: course lines on the commonest head, and slivers of a course that are told. Worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.model.job.job import Job
from takeoff.model.job.walls import WallsJob
from takeoff.model.walls import WallBoards
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.walls.walls import elevations

CATALOGUE = load_catalogue()
RUSTICATED = {"width_mm": 187, "cover_mm": 150, "kind": "rusticated"}


def courses(height: float, *openings: tuple[float, float], board: Any = "bevel_187", **values: Any) -> WallBoards:
    """One wall 9 m wide with openings 1200 wide, each (sill, head) over the floor; floor lap 50."""
    settings = resolve_settings(Job(job="test", settings=values))
    places = [
        {"wall": 1, "from_left_mm": 500 + 2000 * n, "sill_mm": sill, "width_mm": 1200, "height_mm": head - sill}
        for n, (sill, head) in enumerate(openings)
    ]
    wall = {"name": "wall", "width_mm": 9000, "height_mm": height, "left": "none", "right": "none"}
    given = {"elevations": [wall], "zones": [{"board": board}], "openings": places, "ground_mm": -450}
    job = WallsJob.model_validate(given)
    return measure_cladding(elevations(job, (), 0.0, settings), job, (), settings, CATALOGUE).boards[0]


def codes(boards: WallBoards) -> list[str]:
    return [finding.code for finding in boards.findings]


def test_a_course_line_stands_on_the_commonest_head() -> None:
    # head 2100 + 50 = 2150 = 14 x 153.571, lap 33.4 (32 to 60); 16 courses: 15 x 153.571 + 187 = 2490.6 of 2500, the
    # mould closes 9.4. Evened without heads: 2313 / 15 = 154.2, and the line at 2108.8 leaves 8.8 over the head
    boards = courses(2450, (900, 2100), (300, 2100), (1200, 1950))
    assert boards.cover_mm == pytest.approx(2150 / 14)
    assert boards.courses == 16
    assert min(abs(mark - 2100) for mark in boards.marks_mm) < 1e-6
    assert "(head + floor lap) / 14" in boards.working.rule
    plain = courses(2450, (900, 2100), (300, 2100), (1200, 1950), course_to_heads=False)
    assert (plain.courses, plain.cover_mm) == (16, pytest.approx(2313 / 15))
    over_head = next(f for f in plain.findings if "over the head" in f.text)
    assert over_head.text.startswith("Wall 1: 9 mm of a board show over the head of W1, W2 at 2100 mm")


def test_the_top_gap_is_a_setting() -> None:
    # without a gap under the mould 16 courses end 9.4 short of 2500: the heads would cost a course more
    boards = courses(2450, (900, 2100), course_top_gap_mm=8)
    assert boards.cover_mm == pytest.approx(2313 / 15)
    (note,) = (f for f in boards.findings if "over the head" in f.text)
    # 2150 / 14 = 153.57: ceil((2500 - 187) / 153.57) + 1 = 17 courses
    assert note.advice.startswith("A cover of 153.6 mm puts a line there, in 17 courses")
    assert courses(2450, (900, 2100), course_top_gap_mm=10).cover_mm == pytest.approx(2150 / 14)


def test_no_lap_grows_over_the_most_for_a_head() -> None:
    # the head at 1050 is 1100 over the foot: 1100 / 7 = 157.1 laps 29.9 < 32, 1100 / 8 = 137.5 laps 49.5: 18 courses
    # against 16 of the frame height: not taken
    boards = courses(2450, (300, 1050))
    assert boards.cover_mm == pytest.approx(2313 / 15)


def test_of_equally_common_heads_the_higher_is_met() -> None:
    assert courses(2450, (900, 2100), (900, 1950)).cover_mm == pytest.approx(2150 / 14)


def test_slivers_under_sills_are_told_for_boards_of_one_cover_too() -> None:
    # lines at -50 + 150 n: 850 and 2050; a sill at 870 shows 20 of the board from 850, a head at 2180 leaves 20 to 2200
    boards = courses(2450, (870, 2180), board=RUSTICATED)
    texts = [finding.text for finding in boards.findings if finding.code == "sliver-of-a-course"]
    assert [text.split(" mm of a board show ")[0].removeprefix("Wall 1: ") for text in texts] == ["20", "20"]
    # 30 each way is a strip, no sliver; on a line there is none
    assert "sliver-of-a-course" not in codes(courses(2450, (880, 2170), board=RUSTICATED))
    assert "sliver-of-a-course" not in codes(courses(2450, (850, 2050), board=RUSTICATED))
    assert "sliver-of-a-course" in codes(courses(2450, (880, 2170), board=RUSTICATED, course_sliver_mm=31))


def test_a_head_in_the_top_course_leaves_no_course_above() -> None:
    # whole courses from the foot: the last line stands at -50 + 16 x 150 = 2350; a head at 2440 has none above it
    assert "sliver-of-a-course" not in codes(courses(2450, (900, 2440), board=RUSTICATED))
