"""Faults of single fields: every kind has words of its own, and none of the validation library's."""

from __future__ import annotations

import re

import pytest

from takeoff.basics.errors import JobError
from takeoff.read.job.job_file import parse_job

HOUSE = """\
job: Test house
roofs:
  - outline: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
    pitch_deg: 25
"""
OPENING = "walls: {openings: [{wall: 1, from_left_mm: 2400, sill_mm: 0, width_mm: 900, height_mm: 2100}]}"
PROFILE = "profiles: {a: {kind: tray, cover_mm: 9, overall_mm: 9, rib_pitch_mm: 9, depth_mm: 9, least_pitch_deg: 9, kg_per_m: {x: 3}}}"
LIBRARY = re.compile(r"[Ii]nput|should|validation|pattern|[Tt]uple|permitted|parse|object|array|\\d|None|True|False")


def faults(text: str) -> list[str]:
    with pytest.raises(JobError) as caught:
        parse_job(text)
    return [fault.split(": ", 1)[1] for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('north_deg: "25"', "north_deg: needs a number, got '25': leave out the quotes"),
        ("north_deg: 25,5", "north_deg: needs a number, got '25,5': write the decimal point: 25.5"),
        ("north_deg: 12,000", "north_deg: needs a number, got '12,000': no comma in thousands: write 12000"),
        ("north_deg: 25 deg", "north_deg: needs a number without a unit, got '25 deg'"),
        ("north_deg:", "north_deg: needs a number without a unit, got nothing"),
        (OPENING.replace("2400", "2,4"), "walls.openings[1][4]: a comma stands in the number of from_left_mm (2,4): write the decimal point: 2.4"),
        (OPENING.replace("2400", "2,400"), "walls.openings[1][400]: a comma stands in the number of from_left_mm (2,400): no comma in thousands: write 2400"),
        (OPENING.replace("wall: 1,", "wall: 1.5,"), "walls.openings[1].wall: needs a whole number without a unit, got 1.5"),
        (OPENING.replace("wall: 1,", ""), "walls.openings[1].wall: is needed"),
        ("rainwater: {downpipes_at: [[15,000, 0]]}", "rainwater.downpipes_at[1]: a point is [x, y], two numbers, has 3; no comma in thousands"),
        ("rainwater: {downpipes_at: [[15]]}", "rainwater.downpipes_at[1]: a point is [x, y], two numbers, has 1; no comma in thousands"),
        ("rainwater: {downpipes_at: [15]}", "rainwater.downpipes_at[1]: a point is [x, y], two numbers, got 15"),
        ("rainwater: {downpipes_at: 15}", "rainwater.downpipes_at: needs a list [..], got 15"),
        ("walls: {ground_by_wall: {1: [1]}}", "walls.ground_by_wall[1]: needs [left, right], two heights, has 1; no comma in thousands"),
        ("walls: {ground_by_wall: {a: [1, 2]}}", "walls.ground_by_wall.a: a wall is named by its number, got 'a'"),
        ("walls: {paved: 1}", "walls.paved: must be true or false, got 1"),
        ("walls: {zones: [{board: ''}]}", "walls.zones[1].board: is empty: needs a word"),
        ("walls: {zones: [{board: 3}]}", "walls.zones[1].board: needs a word in quotes or plain text, got 3"),
        ("walls: {zones: [3]}", "walls.zones[1]: needs keys and values, got 3"),
        ("purlins: {section: 70 x 45}", "purlins.section: needs width x depth as 70x45, got '70 x 45'"),
        ("purlins: {stock_mm: []}", "purlins.stock_mm: needs at least 1 entries, has 0"),
        (f"purlins: {{stock_mm: {list(range(1, 42))}}}", "purlins.stock_mm: has at most 40 entries, has 41"),
        ("site:", "site: needs keys and values, got nothing"),
        ("site: {wind_zone: 3}", "site.wind_zone: needs a word in quotes or plain text, got 3"),
        ("revision: abcdefghijklmnop", "revision: has at most 12 characters, has 16"),
        ("date: 3", "date: needs a date as 2026-03-02, got 3"),
        ("date: 2026-03-02T11", "date: needs a date as 2026-03-02, got '2026-03-02T11'"),
        ("date: [1]", "date: needs a date as 2026-03-02, got [1]"),
        ("settings: {a: [1]}", "settings.a: needs a number, a word, true or false, got [1]"),
        ("settings: [1]", "settings: needs keys and values, got [1]"),
        ("rates: {prices: {a: -1}}", "rates.prices.a: must be at least 0.0, got -1"),
        ("rates: {prices: {'': 3}}", "rates.prices.: a name here has 1 to 200 characters, got ''"),
        ("rates: {extra_percent: {1: a}}", "rates.extra_percent[1]: needs a number without a unit, got 'a'"),
        ("north_deg: 1e999", "north_deg: needs a finite number, got inf"),
        ("north_deg: 400", "north_deg: must be at most 360.0, got 400"),
        (PROFILE, "profiles.a.kg_per_m.x: a mass is named by the thickness of its metal in mm, got 'x'"),
        ('revision: "\\ud800"', "not YAML here: a \\ in double quotes begins an escape, and this is none; use single quotes"),
        ("penetrations: []", "penetrations: unknown key here; penetrations belongs under roofs[..]"),
        ("section: 70x45", "section: unknown key here; section belongs under purlins"),
        ("walls: {north_deg: 3}", "walls.north_deg: unknown key here; north_deg belongs at the top level"),
        ("sections: 70x45", "sections: unknown key; did you mean settings?"),
    ],
)  # fmt: skip
def test_each_kind_of_fault_has_words_of_its_own(line: str, fault: str) -> None:
    found = faults(HOUSE + line + "\n")
    assert found == [fault]
    assert not LIBRARY.search(found[0])


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("[12000, 0]", "[12,000, 0]", "roofs[1].outline[2]: a point is [x, y], two numbers, has 3; no comma in thousands"),
        ("pitch_deg: 25", "edges: {a: {kind: gable}}", "roofs[1].edges.a: an edge is named by its number, got 'a'"),
        ("pitch_deg: 25", "profile: corrugated", "roofs[1].profile: unknown key here; profile belongs under roofs[..].covering or walls.zones[..]"),
        ("pitch_deg: 25", "pitch_deg: 25\n    fascia_height_mm: 2.75", "roofs[1].fascia_height_mm: is 2.75 mm: lengths are millimetres, was this given in metres?"),
        ("pitch_deg: 25", "pitch_deg: 25\n    edges: {1: {fascia_height_mm: 2.75}}", "roofs[1].edges[1].fascia_height_mm: is 2.75 mm: lengths are millimetres, was this given in metres?"),
    ],
)  # fmt: skip
def test_faults_of_a_roof_are_told_in_words(old: str, new: str, fault: str) -> None:
    assert fault in faults(HOUSE.replace(old, new))


def test_walls_and_openings_in_metres_are_named() -> None:
    text = HOUSE.replace("outline", "wall_line") + OPENING.replace("{openings", "{height_mm: 2.4, openings").replace(
        "2100", "2.1"
    )
    assert faults(text) == [
        "walls.height_mm: is 2.4 mm: lengths are millimetres, was this given in metres?",
        "walls.openings[1].height_mm: is 2.1 mm: lengths are millimetres, was this given in metres?",
    ]


def test_a_fascia_at_the_floor_is_no_fault() -> None:
    assert parse_job(HOUSE + "    fascia_height_mm: 0\n").roofs[0].fascia_height_mm == 0


def test_two_roofs_of_one_name_are_one_fault() -> None:
    second = HOUSE.split("roofs:\n")[1] + "    below: main\n"
    assert faults(HOUSE + second) == ["roofs[2].name: two roofs are named main"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('job: "x\nroofs: 3\n', "the quote opened on line 1 is not closed"),
        ("job: x\nroofs 3\ndate: 4\n", "line 2 has no colon"),
        ("job: [1, 2\nroofs: 3\n", "the [ opened on line 1 is not closed"),
        ("site: {a: 1\nroofs: 3\n", "the { opened on line 1 is not closed"),
        ("roofs:\n  - name: a\n   pitch: 3\n", "otherwise than what began on line 2"),
        ("job: x: y\n", "put text with a colon in quotes"),
        ("job:\n\t- 3\n", "indent with spaces"),
    ],
)
def test_what_is_not_closed_is_told_with_the_line_where_it_opened(text: str, words: str) -> None:
    (fault,) = faults(text)
    assert words in fault
