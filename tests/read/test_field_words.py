"""Faults of single fields: every kind has words of its own, and none of the validation library's."""

from __future__ import annotations

import re
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.read.job import field_words as words_of
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


# ------------------------------------------------------------ words of single fields, called by themselves


def told(kind: str, path: tuple[str | int, ...], value: Any, above: Any = None, **more: Any) -> str:
    error: Any = {"type": kind, "loc": more.pop("loc", path), "ctx": more, "msg": "", "input": value}
    return words_of.fault_words(error, path, value, above)


@pytest.mark.parametrize(
    ("kind", "path", "value", "more", "said"),
    [
        ("x", ("settings", "a"), [1], {}, "needs a number, a word, true or false, got [1]"),
        ("x", ("settings",), 7, {}, "is not what belongs here; job.schema.json says what does, got 7"),
        ("x", ("settings", "a", "b"), 7, {}, "is not what belongs here; job.schema.json says what does, got 7"),
        ("x", ("edges", "a"), 7, {"loc": ("edges", "a", "[key]")}, "an edge is named by its number, got 'a'"),
        ("x", ("a",), 7, {"loc": ("a", "[key]")}, "a name here has 1 to 200 characters, got 'a'"),
        ("enum", ("a",), "eav", {"expected": "'eave', 'gable' or 'wall'"}, "must be eave, gable or wall, got 'eav'; did you mean eave?"),
        ("literal_error", ("a",), 7, {"expected": "'eave' or 'wall'"}, "must be eave or wall, got 7"),
        ("int_type", ("a",), None, {}, "needs a whole number without a unit, got nothing"),
        ("float_type", ("a",), True, {}, "needs a number without a unit, got true"),
        ("greater_than", ("a",), -1, {"gt": 0.5}, "must be more than 0.5, got -1"),
        ("greater_than_equal", ("a",), 0, {"ge": 1}, "must be at least 1, got 0"),
        ("less_than_equal", ("a",), 9, {"le": 8}, "must be at most 8, got 9"),
        ("less_than", ("a",), 9, {"lt": 9}, "must be less than 9, got 9"),
        ("too_short", ("a", "outline"), [1], {"min_length": 3, "actual_length": 1}, "needs at least 3 points, has 1"),
        ("too_short", ("a", "wall_line"), [1], {"min_length": 3, "actual_length": 1}, "needs at least 3 points, has 1"),
        ("too_short", ("outline", "a"), [1], {"min_length": 3, "actual_length": 1}, "needs at least 3 entries, has 1"),
        ("too_short", (), [1], {"min_length": 3, "actual_length": 1}, "needs at least 3 entries, has 1"),
        ("too_long", ("a", "outline"), [1, 2], {"max_length": 1}, "has at most 1 points, has 2"),
        ("too_long", ("a",), [1, 2], {"max_length": 1}, "has at most 1 entries, has 2"),
        ("too_long", ("at", 0), [1, 2, 3], {"max_length": 2, "field_type": "Tuple"}, "a point is [x, y], two numbers, has 3; no comma in thousands"),
        ("missing", ("a", "b"), None, {}, "is needed"),
        ("missing", ("at", 1), [7], {"loc": ("a", "at", 1)}, "a point is [x, y], two numbers, has 1; no comma in thousands"),
        ("missing", ("at", 1), [7], {"loc": ("a", 1, "at")}, "is needed"),
        ("tuple_type", ("ground_by_wall", 1), 5, {}, "needs [left, right], two heights, got 5"),
        ("tuple_type", ("ground_by_wall", 1), [5], {}, "needs [left, right], two heights, has 1; no comma in thousands"),
        ("string_too_long", ("a",), 12345, {"max_length": 3}, "has at most 3 characters, has 5"),
        ("string_too_short", ("a",), "", {}, "is empty: needs a word"),
        ("date_parsing", ("a",), "x", {}, "needs a date as 2026-03-02, got 'x'"),
        ("bool_type", ("a",), None, {}, "must be true or false, got nothing"),
    ],
)  # fmt: skip
def test_words_of_a_kind_of_fault(kind: str, path: Any, value: Any, more: dict[str, Any], said: str) -> None:
    assert told(kind, path, value, **more) == said


@pytest.mark.parametrize(
    ("key", "above", "said"),
    [
        (400, {"a": 2, 400: None}, "a comma stands in the number of a (2,400): no comma in thousands: write 2400"),
        ("5", {"b": 9, "a": 2, "5": None}, "a comma stands in the number of a (2,5): write the decimal point: 2.5"),
        (4, {"a": 2.5, 4: None}, "a comma begins a new key, and 4 is none; write a decimal point, no comma in thousands"),
        (4, {"a": True, 4: None}, "a comma begins a new key, and 4 is none; write a decimal point, no comma in thousands"),
        (4, {4: None, "a": 2}, "a comma begins a new key, and 4 is none; write a decimal point, no comma in thousands"),
        (4, {"a": 2, 4: 7}, ""),
        ("4a", {"a": 2, "4a": None}, ""),
        ("x", {"a": 2, "x": None}, ""),
        (4, [2, 4], ""),
    ],
)  # fmt: skip
def test_a_number_cut_in_two_by_a_comma(key: str | int, above: Any, said: str) -> None:
    assert words_of._stray_words(key, above) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("12,000", "no comma in thousands: write 12000"), ("1,200,000", "no comma in thousands: write 1200000"), ("-1,5", "write the decimal point: -1.5"),
        ("1,25", "write the decimal point: 1.25"), ("1,2345", "write the decimal point: 1.2345"), ("+1,5", "write the decimal point: +1.5"), ("1.5", ""), ("a,5", ""), ("1,5x", ""),
    ],
)  # fmt: skip
def test_numbers_with_commas(text: str, said: str) -> None:
    assert words_of.comma_words(text) == said


def test_keys_that_belong_elsewhere_and_keys_of_maps() -> None:
    """At most three places, the least deep first; under a name of the job's own there are the keys of what is named."""
    assert words_of._extra_words(("profiles", "thin", "cover"), {}, Job) == "unknown key; did you mean cover_mm?"
    assert words_of._extra_words(("walls", "zones", 0, "bord"), {}, Job) == "unknown key; did you mean board?"
    assert words_of._extra_words(("roofs", 0, "zzzzzz"), {}, Job).startswith("unknown key; known: allow_partial, ")
    assert words_of._extra_words(("walls", "code"), {}, Job) == "unknown key here; code belongs at the top level"
    many = words_of._extra_words(("site", "height_mm"), {}, Job)
    assert many.startswith("unknown key here; height_mm belongs under ")
    places = many.removeprefix("unknown key here; height_mm belongs under ").split(" or ")
    assert len(places) == 3
    assert [place.count(".") for place in places] == sorted(place.count(".") for place in places)
    assert list(words_of._places_of("board_supply", Office, "", ())) == []
    assert words_of._model_at(("roofs", 0, "covering"), Job).__name__ == "CoveringJob"
    assert words_of._model_at(("profiles", "thin"), Job).__name__ == words_of._model_at(("profiles",), Job).__name__
    assert words_of._model_at(("job",), Job) is Job


def test_a_number_in_quotes_and_one_with_a_unit() -> None:
    assert words_of._number_words(True, "25") == "needs a whole number, got '25': leave out the quotes"
    assert words_of._number_words(False, "2,5") == "needs a number, got '2,5': write the decimal point: 2.5"
    assert words_of._number_words(False, 7) == "needs a number without a unit, got 7"
    assert [words_of._short(value) for value in (None, True, False, 1.5, "x" * 39)] == [
        "nothing", "true", "false", "1.5", "'" + "x" * 36 + "...",
    ]  # fmt: skip
