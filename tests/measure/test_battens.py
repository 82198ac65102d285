"""Cavity battens, nogs behind vertical boards, base closer and its vent area."""

from __future__ import annotations

from dataclasses import replace
from math import cos, hypot, radians
from typing import Any

import pytest

from takeoff.measure.cladding.battens import (
    battens_at_nogs,
    battens_on_studs,
    extra_nogs,
    foot_stretches,
    nog_levels,
    offcut_note,
    stud_lines,
    vent_area_mm2,
    vent_check,
)
from takeoff.measure.cladding.face import Face, Hole, straights
from takeoff.model.findings import Severity
from takeoff.model.settings import Settings
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()
TIMBERS = load_catalogue().timbers
LEVEL = ((0.0, 2350.0), (6000.0, 2350.0))
WALL = Face(1, 0.0, 6000.0, -50.0, 2350.0, LEVEL, ())
WINDOW = Hole("W1", 2000.0, 3200.0, 900.0, 2100.0)
DOOR = Hole("D1", 2000.0, 3000.0, -50.0, 2050.0)


def with_setting(name: str, value: Any) -> Settings:
    return replace(SETTINGS, values={**SETTINGS.values, name: replace(SETTINGS.values[name], value=value)})


def test_battens_stand_on_every_stud_and_both_ends() -> None:
    assert stud_lines(WALL, 600, 40) == (20, 600, 1200, 1800, 2400, 3000, 3600, 4200, 4800, 5400, 5980)


def test_a_wall_face_past_its_framing_keeps_the_studs_of_the_framing() -> None:
    face = replace(WALL, left=-38.0, right=6038.0, top=((-38.0, 2350.0), (6038.0, 2350.0)))
    assert stud_lines(face, 600, 40)[:2] == (-18, 600)
    assert stud_lines(face, 600, 40)[-2:] == (5400, 6018)


def test_battens_at_jambs_and_none_through_an_opening() -> None:
    face = replace(WALL, holes=(WINDOW,))
    lines = stud_lines(face, 600, 40)
    assert 1980 in lines
    assert 3220 in lines
    battens = battens_on_studs(face, TIMBERS["batten_40x20"], 600, SETTINGS)
    at_2400 = [(line.a_xy[1], line.b_xy[1]) for line in battens.lines if line.a_xy[0] == line.b_xy[0] == 2400]
    assert at_2400 == [(-50, 900), (2100, 2350)]
    whole = sum(run.length_mm for run in battens.runs)
    # 11 studs and 2 jambs of 2400 less two of 1200 at 2400 and 3000, and one along the top
    assert whole == 13 * 2400 - 2 * 1200 + 6000


def test_the_only_level_batten_behind_horizontal_boards_is_at_the_top() -> None:
    battens = battens_on_studs(WALL, TIMBERS["batten_40x20"], 600, SETTINGS)
    level = [line for line in battens.lines if line.a_xy[1] == line.b_xy[1]]
    assert [(line.a_xy, line.b_xy) for line in level] == [((0, 2350), (6000, 2350))]


def test_battens_follow_a_raked_top() -> None:
    face = replace(WALL, top=((0.0, 2350.0), (3000.0, 3850.0), (6000.0, 2350.0)))
    battens = battens_on_studs(face, TIMBERS["batten_40x20"], 600, SETTINGS)
    at_1200 = next(line for line in battens.lines if line.a_xy[0] == line.b_xy[0] == 1200)
    assert at_1200.b_xy[1] == pytest.approx(2350 + 600)
    rakes = [run.length_mm for run in battens.runs[-2:]]
    assert rakes == pytest.approx([hypot(3000, 1500)] * 2)


@pytest.mark.parametrize(("height", "rows"), [(2400, 6), (2401, 7), (480, 2), (960, 3), (100, 2)])
def test_rows_behind_vertical_boards(height: float, rows: int) -> None:
    face = replace(WALL, base=0.0, frame_top=height, top=((0.0, height), (6000.0, height)))
    levels = nog_levels(face, 480)
    assert len(levels) == rows
    assert levels[0] == 0
    assert levels[-1] == pytest.approx(height)


def test_rows_go_on_up_a_gable() -> None:
    face = replace(WALL, base=0.0, frame_top=2400.0, top=((0.0, 2400.0), (3000.0, 3900.0), (6000.0, 2400.0)))
    levels = nog_levels(face, 480)
    assert levels == pytest.approx([480 * n for n in range(9)])  # 3840 is the last below 3900
    battens = battens_at_nogs(face, TIMBERS["batten_castellated_40x20"], SETTINGS)
    top_row = next(line for line in battens.lines if line.a_xy[1] == pytest.approx(3840))
    assert top_row.b_xy[0] - top_row.a_xy[0] == pytest.approx(6000 * 60 / 1500, abs=0.1)
    assert [run.length_mm for run in battens.runs[-2:]] == pytest.approx([hypot(3000, 1500)] * 2)


def test_level_battens_are_cut_round_openings() -> None:
    face = replace(WALL, holes=(WINDOW,))
    battens = battens_at_nogs(face, TIMBERS["batten_castellated_40x20"], SETTINGS)
    lengths = sorted(run.length_mm for run in battens.runs)
    # rows at -50, 430, 910, 1390, 1870, 2350: three pass the window
    assert lengths == pytest.approx([2000] * 3 + [2800] * 3 + [6000] * 3)


def test_sloped_battens_leave_gaps_at_their_ends() -> None:
    sloped = with_setting("vertical_batten", "sloped")
    battens = battens_at_nogs(WALL, TIMBERS["batten_40x20"], sloped)
    assert battens.runs[0].length_mm == pytest.approx(6000 / cos(radians(5)) - 100)


def test_extra_nogs_are_those_the_frame_lacks() -> None:
    nogs = extra_nogs(WALL, TIMBERS["nog_90x45"], 600, SETTINGS)
    # 4 rows between the plates, the frame has ceil(2400 / 800) - 1 = 2; ten bays in each of the two others
    assert len(nogs) == 20
    assert {run.length_mm for run in nogs} == {555}
    assert {run.splits_mm for run in nogs} == {()}


@pytest.mark.parametrize(("foot", "head", "count"), [(1390.0, 1870.0, 20), (1389.0, 1870.0, 19), (1389.0, 1871.0, 18)])
def test_extra_nogs_stop_at_openings_that_they_would_cross(foot: float, head: float, count: int) -> None:
    """The two added rows stand at 1390 and 1870. A window from one to the other crosses neither; a row that it crosses
    has 2000 and 2800 left: 4 bays and 5 instead of ten."""
    window = replace(WINDOW, foot=foot, head=head)
    face = replace(WALL, holes=(window,))
    assert (window.left, window.right) == (2000.0, 3200.0)
    assert len(extra_nogs(face, TIMBERS["nog_90x45"], 600, SETTINGS)) == count


def test_the_foot_is_open_at_doors_that_reach_it() -> None:
    assert foot_stretches(replace(WALL, holes=(DOOR, WINDOW))) == ((0, 2000), (3000, 6000))
    threshold = replace(DOOR, foot=0.0)
    assert foot_stretches(replace(WALL, holes=(threshold,))) == ((0, 6000),)


def test_a_closer_with_too_little_opening_stops() -> None:
    assert vent_area_mm2(8000, 1000) == 8000
    quantity, findings = vent_check(12500, SETTINGS)
    assert (quantity.figure, findings) == (12500, ())
    _, findings = vent_check(12500, with_setting("closer_vent_mm2_per_m", 800))
    assert findings[0].severity is Severity.STOP
    assert "2500 mm2 short" in findings[0].text


def test_the_batten_along_a_level_top_is_one_line_to_the_corners() -> None:
    # the face goes 38 past the framing at both ends: 38 + 6000 + 38 in one line, not three
    top = ((-38.0, 2350.0), (0.0, 2350.0), (6000.0, 2350.0), (6038.0, 2350.0))
    face = replace(WALL, left=-38.0, right=6038.0, top=top)
    battens = battens_on_studs(face, TIMBERS["batten_40x20"], 600, SETTINGS)
    assert [run.length_mm for run in battens.runs][-1] == 6076
    assert straights(((0.0, 2350.0), (3000.0, 3850.0), (6000.0, 2350.0))) == [
        ((0.0, 2350.0), (3000.0, 3850.0)),
        ((3000.0, 3850.0), (6000.0, 2350.0)),
    ]


def test_battens_shorter_than_an_offcut_are_told_and_in_no_cut_list() -> None:
    # below a door sill at the floor 50 mm are left of the battens at 2400 and 3000
    face = replace(WALL, holes=(Hole("D1", 2000.0, 3100.0, 0.0, 2100.0),))
    battens = battens_on_studs(face, TIMBERS["batten_40x20"], 600, SETTINGS)
    assert battens.left_out == 2
    assert min(run.length_mm for run in battens.runs) == 250  # over the door: 2350 - 2100
    assert len(battens.lines) == len(battens.runs)
    (note,) = offcut_note(battens.left_out, SETTINGS)
    assert note.text.startswith("2 pieces of batten under 100 mm")
    kept = battens_on_studs(face, TIMBERS["batten_40x20"], 600, with_setting("batten_offcut_mm", 50))
    assert kept.left_out == 0
    assert min(run.length_mm for run in kept.runs) == 50


def test_a_batten_of_the_least_length_is_cut() -> None:
    # from the foot of the cladding, 50 below the floor, to a sill at 50: the battens at 2400 and 3000
    face = replace(WALL, holes=(Hole("W1", 2000.0, 3100.0, 50.0, 2100.0),))
    battens = battens_on_studs(face, TIMBERS["batten_40x20"], 600, SETTINGS)
    assert battens.left_out == 0
    assert sum(run.length_mm == 100 for run in battens.runs) == 2
