"""A press that cures: what a fault or a finding says to write is written at its place, and leads there.

Jobs and what must come of them are written by hand.
"""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.basics.errors import Fault, JobError
from takeoff.model.findings import Finding, Severity
from takeoff.model.job_edits import EditPath
from takeoff.pipeline import run
from takeoff.read.job.cures import cures_of
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.told_places import place_of, places_of_ids, wall_path
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.write.job_text.edits import edited_text

TWO = """\
job: Two roofs
roofs:
  - name: house
    wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2400   # over the floor
    pitch_deg: 25
    edges:
      2: {kind: gable}
  - name: house porch
    outline: [[0, -2600], [3000, -2600], [3000, -600], [0, -600]]
    pitch_deg: 8
walls:
  height_mm: 2400
  zones:
    - {walls: [1, 2], board: bevel_187}
    - {direction: vertical, board: {width_mm: 150, cover_mm: 135}}
  openings:
    - {wall: 1, name: W1, from_left_mm: 1500, sill_mm: 900, width_mm: 1200, height_mm: 900}
"""
VALUE: Any = read_yaml(TWO).value


def faults(text: str) -> tuple[str, ...]:
    with pytest.raises(JobError) as caught:
        parse_job(text)
    return caught.value.faults


# what is written wrongly, and the line that stands there after the cure that is offered
TYPED = {
    "a key misspelt": ("    pitch_deg: 25\n", "    pich_deg: 25   # as drawn\n", "    pitch_deg: 25   # as drawn"),
    "a section misspelt": ("walls:\n", "wals:   # all\n", "walls:   # all"),
    "a word misspelt": ("{kind: gable}", "{kind: gabel}", "      2: {kind: gable}"),
    "a product misspelt": ("pitch_deg: 8\n", "pitch_deg: 8\nrainwater: {gutter: quad_126}\n", "rainwater: {gutter: quad_125}"),
    "a setting misspelt": ("walls:\n", "settings: {purlin_edge_by_mm: 400}\nwalls:\n", "settings: {purlin_edge_bay_mm: 400}"),
    "thousands": ("height_mm: 2400\n", "height_mm: 2,400\n", "  height_mm: 2400"),
    "a decimal comma": ("pitch_deg: 25\n", "pitch_deg: 22,5\n", "    pitch_deg: 22.5"),
    "a comma between braces": ("width_mm: 1200,", "width_mm: 1,200,", "    - {wall: 1, name: W1, from_left_mm: 1500, sill_mm: 900, width_mm: 1200, height_mm: 900}"),
    "quotes": ("pitch_deg: 25\n", "pitch_deg: '25'\n", "    pitch_deg: 25"),
    "a unit": ("eave_overhang_mm: 600\n", "eave_overhang_mm: 600 mm   # x\n", "    eave_overhang_mm: 600   # x"),
    "metres with a unit": ("eave_overhang_mm: 600\n", "eave_overhang_mm: 0.6 m\n", "    eave_overhang_mm: 600"),
    "degrees": ("pitch_deg: 25\n", "pitch_deg: 25°\n", "    pitch_deg: 25"),
    "metres": ("fascia_height_mm: 2400 ", "fascia_height_mm: 2.4 ", "    fascia_height_mm: 2400   # over the floor"),
    "a key of the top": ("  height_mm: 2400\n", "  height_mm: 2400\n  north_deg: 20\n", "north_deg: 20"),
    "a key of the walls": ("job: Two roofs\n", "job: Two roofs\nopenings: []\n", None),
}  # fmt: skip


@pytest.mark.parametrize("case", TYPED)
def test_a_fault_of_the_file_is_cured_where_it_stands(case: str) -> None:
    good, bad, line = TYPED[case]
    assert good in TWO
    text = TWO.replace(good, bad, 1)
    told, *more = faults(text)
    cures = cures_of(told, read_yaml(text).value)
    if line is None:  # what it would overwrite is there already
        assert cures == ()
        return
    assert len(cures) == 1, (told, more)
    made = edited_text(text, cures[0].edits)
    assert line in made.splitlines(), made
    parse_job(made)
    assert cures[0].words.startswith(("Write ", "Move "))


# what is told, and where it leads in TWO
PLACES: dict[str, tuple[str | Finding, EditPath]] = {
    "an address": ("walls.zones[1].board: there is no board x", ("walls", "zones", 0, "board")),
    "an edge by its number": ("job.yaml:9:16: roofs[1].edges[2].kind: must be eave", ("roofs", 0, "edges", 2, "kind")),
    "a key that lacks": ("walls.ground_mm: give it", ("walls", "ground_mm")),
    "a roof by its name": ("roof house: edges 2 and 4 cross", ("roofs", 0)),
    "the longer name": ("roof house porch: edges 2 and 4 cross", ("roofs", 1)),
    "no address": ("the file: it is not there", ()),
    "a path of its own": (Fault("roof house: too low", "roofs", "house", "edge", 3), ("roofs", 0, "wall_line", 2)),
    "line and column": ("job.yaml:7:16: too steep", ("roofs", 0, "pitch_deg")),
    "a wall": (Finding("x", Severity.NOTE, "t", refs=("wall 3",)), ("roofs", 0, "wall_line", 2)),
    "an opening": (Finding("x", Severity.NOTE, "t", refs=("W1",)), ("walls", "openings", 0)),
    "an edge of a roof": (
        Finding("x", Severity.NOTE, "roof house: t", refs=("edge 2",)),
        ("roofs", 0, "edges", 2),
    ),
    "a place given by hand": (
        Finding("x", Severity.NOTE, "downpipes_at[2] is far off"),
        ("rainwater", "downpipes_at", 1),
    ),
    "a setting": (Finding("x", Severity.NOTE, "t", source="setting wall_board"), ("settings", "wall_board")),
    "nothing": (Finding("x", Severity.NOTE, "t", refs=("P1",)), ()),
}


@pytest.mark.parametrize("case", PLACES)
def test_what_is_told_leads_to_its_place(case: str) -> None:
    told, path = PLACES[case]
    assert place_of(told, VALUE, text=TWO) == path


def told(advice: str, *refs: str, text: str = "t") -> Finding:
    return Finding("x", Severity.WARN, text, advice, refs)


def written(finding: Finding | str, text: str = TWO) -> list[tuple[str, list[str]]]:
    """Words of each cure, with the lines that it adds or changes."""
    found = []
    for cure in cures_of(finding, read_yaml(text).value):
        made = edited_text(text, cure.edits)
        found.append((cure.words, [line for line in made.splitlines() if line not in text.splitlines()]))
    return found


def test_a_line_goes_under_the_roof_that_is_meant_or_offers_each() -> None:
    line = "Add under the roof: `covering: {first_cover_mm: 600}`."
    added = "    covering: {first_cover_mm: 600}"
    assert written(told(line, "house porch")) == [
        ("Write covering: {first_cover_mm: 600}, under roof house porch", [added])
    ]
    assert [words for words, _ in written(told(line))] == [
        "Write covering: {first_cover_mm: 600}, under roof house",
        "Write covering: {first_cover_mm: 600}, under roof house porch",
    ]


def test_an_edge_keeps_what_is_said_of_it() -> None:
    line = "Free edges face the wind; add under the roof: `edges: {2: {start_side: left}, 3: {start_side: right}}`."
    assert written(told(line, "house"))[0][1] == [
        "      2: {kind: gable, start_side: left}",
        "      3: {start_side: right}",
    ]


def test_two_lines_of_one_zone_are_written_together() -> None:
    line = (
        "For that cover, in the zone: `board: {width_mm: 187, cover_mm: 140}` and in the zone: `even_coursing: false`."
    )
    words = "Write board: {width_mm: 187, cover_mm: 140} and even_coursing: false, in zone 1 of the walls"
    zone = "    - {walls: [1, 2], board: {width_mm: 187, cover_mm: 140}, even_coursing: false}"
    assert written(told(line, "wall 2")) == [(words, [zone])]
    assert written(told(line, "wall 3"))[0][0].endswith("in zone 2 of the walls")


def test_a_zone_more_and_a_zone_of_the_same_walls() -> None:
    line = "Add under zones of the walls: `- {{walls: [{0}], direction: horizontal, board: bevel_187}}`."
    assert written(told(line.format("3"))) == [
        (
            "Write {walls: [3], direction: horizontal, board: bevel_187}, as zone 3 of the walls",
            ["    - {walls: [3], direction: horizontal, board: bevel_187}"],
        )
    ]
    assert written(told(line.format("1, 2")))[0][1] == [
        "    - {walls: [1, 2], board: bevel_187, direction: horizontal}"
    ]


def test_choices_are_offered_side_by_side_and_a_sample_says_so() -> None:
    assert [words for words, _ in written(told("Add it: `code: au` or `code: nz`."))] == [
        "Write code: au",
        "Write code: nz",
    ]
    (cure,) = cures_of(told("Add, with the ground of your site: `walls: {ground_mm: -300}`."), VALUE)
    assert cure.sample
    assert not cures_of(told("Add it: `code: au`."), VALUE)[0].sample


def test_what_the_job_says_already_is_no_cure() -> None:
    assert written(told("Add it: `walls: {height_mm: 2400}`.")) == []
    assert written("run `takeoff look plan.dxf` to see them") == []
    assert cures_of("`job: x`", None) == ()


def test_the_ways_to_read_a_drawing_are_cures() -> None:
    text = "job: x\nroofs:\n  - {name: a, shape: {file: a.obj}}\n  - name: b\n    shape: {file: b.obj}   # drawn\n"
    assert written("b.obj: it may be `shape: {file: b.obj, unit: mm}` which makes it 12 m", text) == [
        ("Write shape: {file: b.obj, unit: mm}, under roof b", ["    shape: {file: b.obj, unit: mm}   # drawn"])
    ]
    assert written("b.obj: this one: `part: west`", text)[0][1] == ["    shape: {file: b.obj, part: west}   # drawn"]


def test_ids_of_the_house_lead_to_edges_and_roofs() -> None:
    """Four sides with a gable on the east: the plane, its eave and its gutter lead to the edge they stand on."""
    takeoff = run(parse_job(TWO))
    ids = places_of_ids(takeoff, VALUE)
    house = next(roof for roof in takeoff.roofs if roof.name == "house")
    south = next(plane for plane in house.planes if plane.outline_edges == (1,))
    assert ids[south.id] == ("roofs", 0, "wall_line", 0)
    gable = next(edge for edge in house.edges if edge.outline_edges == (2,))
    assert ids[gable.id] == ("roofs", 0, "edges", 2)
    ridge = next(edge for edge in house.edges if not edge.outline_edges and edge.roof == "house")
    assert ids[ridge.id] == ("roofs", 0)
    assert ids["wall 4"] == ("roofs", 0, "wall_line", 3)
    assert {path[:2] for path in ids.values()} <= {("roofs", 0), ("roofs", 1)}
    assert all(pipe.id in ids for plan in takeoff.rainwater.downpipes for pipe in plan.pipes)
    placed = [finding for finding in takeoff.findings if finding.refs and place_of(finding, VALUE, ids)]
    assert len(placed) == len([finding for finding in takeoff.findings if finding.refs])


def test_walls_are_counted_over_the_roofs_and_then_by_themselves() -> None:
    text = (
        "roofs:\n  - {name: a, wall_line: [[0, 0], [1, 0], [1, 1]]}\n  - {name: b, outline: [[0, 0], [1, 0], [1, 1]]}\n"
        "  - {name: c, wall_line: [[0, 0], [1, 0], [1, 1]], courtyards: [[[0, 0], [1, 0], [1, 1]]]}\n"
        "walls: {height_mm: 2400, elevations: [{name: x}]}\n"
    )
    value: Any = read_yaml(text).value
    assert wall_path(3, value) == ("roofs", 0, "wall_line", 2)
    assert wall_path(4, value) == ("roofs", 2, "wall_line", 0)
    assert wall_path(7, value) == ("roofs", 2, "courtyards", 0, 0)
    assert wall_path(10, value) == ("walls", "elevations", 0)
    assert wall_path(11, value) == ()


def test_hostile_words_neither_stop_nor_hang() -> None:
    for words in (
        "`" * 999,
        "`{`",
        "`- `",
        "`a: [`",
        "roof " * 2000,
        "x" * 9000 + ": ",
        "`&a [*a]`",
        "did you mean ?",
        "",
    ):
        assert cures_of(words, VALUE) == ()
        place_of(words, VALUE, text=TWO)
    for value in ({"roofs": 3, "walls": [1]}, {"roofs": [None, 4], "walls": {"zones": 2, "openings": [7]}}):
        for case in PLACES.values():
            place_of(case[0], value)
        cures_of(
            told("under the roof: `edges: {2: {kind: gable}}` in the zone: `board: x`, `unit: mm`", "wall 1"), value
        )
