"""Damp-proof course under bottom plates on concrete, by hand; laps of 100 mm and rolls of 20 m: common practice."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import JobError
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job

HOUSE = """\
job: slab
roofs: [{{wall_line: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], eave_overhang_mm: 600, pitch_deg: 25}}]
walls:
  height_mm: 2400
  ground_mm: -450
  on_concrete: {walls}
  zones: [{{board: bevel_187}}]
  openings:
    - {{wall: 1, from_left_mm: 2000, sill_mm: 0, width_mm: 800, height_mm: 2100}}
    - {{wall: 1, from_left_mm: 5000, sill_mm: 900, width_mm: 1200, height_mm: 1200}}
settings: {{{settings}}}
"""


def bought(walls: str, settings: str = "") -> list[tuple[float, str, float]]:
    """Count, unit and measured metres of the damp-proof course."""
    order = run(parse_job(HOUSE.format(walls=walls, settings=settings))).order
    lines = [line for line in order.lines if line.item == "damp-proof course"]
    return [(line.count, line.unit, float(line.working.terms[0].value)) for line in lines]


def test_plates_of_a_house_on_a_slab() -> None:
    """Plates 40 m less a door of 0.8 m, 39.2 m; four corners lap 0.4 m: 39.6 m. A second roll of 20 m laps the first by
    0.1 m: 39.7 m, two rolls."""
    assert bought("[1, 2, 3, 4]") == [(2, "roll", pytest.approx(39.7))]


def test_a_wider_lap_takes_a_third_roll() -> None:
    """39.2 m and four laps of 0.3 m are 40.4 m; two more ends of rolls 0.6 m: 41.0 m, three rolls."""
    assert bought("[1, 2, 3, 4]", "damp_course_lap_mm: 300") == [(3, "roll", pytest.approx(41.0))]


def test_the_walls_named_alone_and_metres_without_rolls() -> None:
    """The short wall 2 alone: 8 m in a roll, for round its corners no strip goes on; with no roll size nothing is
    rounded up. Walls 1 and 2: 12 m less the door and 8 m meet at one corner, 19.3 m; walls 1 and 3 meet at none."""
    assert bought("[2]") == [(1, "roll", pytest.approx(8.0))]
    assert bought("[1, 2]") == [(1, "roll", pytest.approx(19.3))]
    assert bought("[2, 1]") == [(1, "roll", pytest.approx(19.3))]
    assert bought("[2, 4]") == [(1, "roll", pytest.approx(16.0))]
    order = run(parse_job(HOUSE.format(walls="[2]", settings="damp_course_roll_m: 0"))).order
    assert [(line.count, line.unit) for line in order.lines if line.item == "damp-proof course"] == [(8.0, "m")]


def test_what_it_is_worked_out_of_is_told() -> None:
    needs = run(parse_job(HOUSE.format(walls="[1, 2, 3, 4]", settings=""))).cladding.needs
    rule = next(each for need in needs for each in need.quantities if each.item == "damp-proof course").working
    assert [(term.name, term.value) for term in rule.terms[:3]] == [
        ("bottom plates", 39.2),
        ("corners between two walls on concrete", 4),
        ("ends of rolls", 1),
    ]


def test_none_where_no_wall_stands_on_concrete() -> None:
    assert bought("[]") == []


@pytest.mark.parametrize(
    ("walls", "settings", "told"),
    [
        ("[1, 5]", "", r"6:20: .*there is no wall 5; walls go from 1 to 4"),
        ("[1, 1]", "", r"6:20: .*wall 1 is named twice"),
        ("[0]", "", r"6:17: "),
        ("[1]", "damp_course_lap_mm: 1000, damp_course_roll_m: 1", r"11:\d+: .*damp_course_lap_mm 1000 mm is no less"),
        ("[1]", "damp_course_lap_mm: 1001", r"11:\d+: .*damp_course_lap_mm"),
    ],
)
def test_faults_are_told_at_their_place(walls: str, settings: str, told: str) -> None:
    with pytest.raises(JobError, match=told):
        parse_job(HOUSE.format(walls=walls, settings=settings), "job.yaml")


def test_what_the_metres_are_made_of_is_said() -> None:
    """39.2 m of plates, four corners and the end of one roll, each lapped 0.1 m: 39.7 m."""
    needs = run(parse_job(HOUSE.format(walls="[1, 2, 3, 4]", settings=""))).cladding.needs
    (course,) = [q for need in needs for q in need.quantities if q.item == "damp-proof course"]
    assert [term.value for term in course.working.terms[:3]] == [39.2, 4, 1]
    assert [term.name for term in course.working.terms[:3:2]] == ["bottom plates", "ends of rolls"]
