"""Corners and lines between claddings: a row of the table for every pair, and what each orders, by hand.

What a detail takes is common practice, no source, but for corners of level boards (a public renovation guide).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import radians, tan
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.cladding.wall_details import CLADDINGS, PLACES, TIMBERS, detail_of
from takeoff.measure.cladding.wall_trims import FLASHINGS
from takeoff.model.measured import CladdingMeasured
from takeoff.model.order import Takeoff
from takeoff.model.products import basis_of
from takeoff.pipeline import Stage, run, run_file, write_files
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.write.explain.explain_words import explain

CATALOGUE = load_catalogue()
VERTICAL = "direction: vertical, board: {width_mm: 150, cover_mm: 135, kind: shiplap}"
LEVEL = "board: bevel_187"
SHEETS = "direction: sheets, profile: corrugated"
OUT = "direction: none"
HOUSE = """\
job: corners
roofs: [{{wall_line: {line}, eave_overhang_mm: 600, fascia_height_mm: 2400, pitch_deg: 25{edges}}}]
walls:
  height_mm: 2400
  ground_mm: -450
  zones: {zones}
settings: {{{settings}}}
"""
BOX = "[[0, 0], [8000, 0], [8000, 6000], [0, 6000]]"
ELL = "[[0, 0], [9000, 0], [9000, 4000], [5000, 4000], [5000, 9000], [0, 9000]]"
GABLES = ", edges: {2: {kind: gable}, 4: {kind: gable}}"
# clad from 50 under the floor to the soffit line, 150 under the eave
HIGH = 2.300


def house(zones: str, line: str = BOX, edges: str = "", settings: str = "") -> Takeoff:
    text = HOUSE.format(line=line, zones=f"[{zones}]", edges=edges, settings=settings)
    return run(parse_job(text), Stage.MEASURE)


def zone(kind: str, walls: str = "") -> str:
    return f"{{{f'walls: [{walls}], ' if walls else ''}{kind}}}"


def metres(made: Takeoff | CladdingMeasured, item: str) -> float:
    clad = made.cladding if isinstance(made, Takeoff) else made
    return sum(run.length_mm for need in clad.needs for run in need.demands if run.item == item) / 1000.0


def details(made: Takeoff, place: str = "EI") -> dict[str, float]:
    """Metres of the details at corners, or at other places by the first letter."""
    found: dict[str, float] = {}
    for line in made.cladding.junctions:
        if line.detail[0] in place:
            found[line.detail] = found.get(line.detail, 0.0) + line.length_mm / 1000.0
    return found


@pytest.mark.parametrize("place", PLACES)
def test_every_pair_of_claddings_has_its_row(place: str) -> None:
    for one, other in product(CLADDINGS, CLADDINGS):
        if place in ("roof", "soffit") and one != other:
            continue
        row = detail_of(CATALOGUE, place, one, other)
        assert row is not None, (place, one, other)
        basis = basis_of(row, "parts")
        assert basis is not None
        assert basis.words()
        assert row.name
        nothing = not (row.parts or row.boxed or row.mitred)
        assert nothing == bool(row.counted or one == other == "none"), row
        if place not in ("level", "roof", "soffit"):
            assert detail_of(CATALOGUE, place, other, one) is row


def test_no_row_stands_twice_or_names_what_is_not_sold() -> None:
    rows = CATALOGUE.wall_details.values()
    pairs = [
        (row.place, *((row.one, row.other) if row.place == "level" else sorted((row.one, row.other)))) for row in rows
    ]
    assert len(set(pairs)) == len(pairs) == 10 + 10 + 16 + 10 + 4 + 4
    named = {part for row in rows for part in (*row.parts, *row.boxed, *row.mitred)}
    assert named <= {*TIMBERS, *FLASHINGS, "soaker"}


def test_corners_of_level_boards() -> None:
    """Four corners of 2300: at each two boards, a scriber to each, a back-flashing."""
    made = house(zone(LEVEL))
    assert details(made) == {"E.HH": pytest.approx(4 * HIGH)}
    for item, count in (("corner_100x25", 4), ("corner_75x25", 4), ("scriber_40x10", 8), ("corner_back_flashing", 4)):
        assert metres(made, item) == pytest.approx(count * HIGH)
    mitred = house(zone(LEVEL), settings="corner_style: mitred")
    soakers = [q.figure for need in mitred.cladding.needs for q in need.quantities if q.item == "soaker"]
    assert soakers == [4 * mitred.cladding.boards[0].courses]
    assert metres(mitred, "corner_100x25") == metres(mitred, "corner_back_flashing") == 0.0


@pytest.mark.parametrize(
    ("one", "other", "detail", "each"),
    [
        (
            LEVEL,
            VERTICAL,
            "E.HV",
            {"corner_100x25": 1, "corner_75x25": 1, "scriber_40x10": 1, "corner_back_flashing": 1},
        ),
        (LEVEL, SHEETS, "E.HS", {"sheet_corner_flashing": 1, "corner_75x25": 1, "scriber_40x10": 1}),
        (VERTICAL, SHEETS, "E.VS", {"sheet_corner_flashing": 1, "corner_75x25": 1, "scriber_40x10": 0}),
        (LEVEL, OUT, "E.HO", {"corner_75x25": 1, "scriber_40x10": 1, "corner_back_flashing": 1, "corner_100x25": 0}),
        (VERTICAL, OUT, "E.VO", {"corner_75x25": 1, "corner_back_flashing": 0, "corner_100x25": 0}),
        (SHEETS, OUT, "E.SO", {"sheet_corner_flashing": 1, "corner_75x25": 0}),
        (VERTICAL, VERTICAL, "E.VV", {"corner_100x25": 1, "corner_75x25": 1, "corner_back_flashing": 0}),
        (SHEETS, SHEETS, "E.SS", {"sheet_corner_flashing": 1, "corner_100x25": 0}),
    ],
)
def test_corners_of_a_box_clad_in_turn(one: str, other: str, detail: str, each: dict[str, int]) -> None:
    """Walls 1 and 3 in one cladding, 2 and 4 in another: four corners of 2300, all alike, whichever wall is left."""
    for zones in ((one, other), (other, one)):
        made = house(f"{zone(zones[0], '1, 3')}, {zone(zones[1], '2, 4')}")
        assert details(made) == {detail: pytest.approx(4 * HIGH)}
        for item, count in each.items():
            assert metres(made, item) == pytest.approx(count * 4 * HIGH), item


def test_an_inside_corner_of_two_claddings() -> None:
    """Wall 3 looks into the corner of an L, wall 4 beside it."""
    made = house(f"{zone(VERTICAL, '3')}, {zone(LEVEL)}", line=ELL)
    assert details(made) == {
        "E.HH": pytest.approx(4 * HIGH),
        "E.HV": pytest.approx(HIGH),
        "I.HV": pytest.approx(HIGH),
    }
    assert metres(made, "internal_corner_flashing") == pytest.approx(HIGH)


def test_a_corner_runs_to_the_higher_of_its_two_tops() -> None:
    """The roof lies over the gables' corners at 2400 + 600 tan 25 = 2679.8; they are clad to 150 under it, 2529.8, the
    eaves walls to 2250. Boards and flashing of each corner are 2579.8 long, scribers as high as the boards beside them:
    2300 on the eaves walls, 2579.8 on the gables."""
    made = house(zone(LEVEL), edges=GABLES)
    high = 0.050 + 2.400 + 0.600 * tan(radians(25)) - 0.150
    assert high == pytest.approx(2.5798, abs=1e-4)
    for item in ("corner_100x25", "corner_75x25", "corner_back_flashing"):
        assert metres(made, item) == pytest.approx(4 * high), item
    assert metres(made, "scriber_40x10") == pytest.approx(4 * high + 4 * HIGH)


def test_a_corner_is_there_only_where_both_walls_are_clad() -> None:
    """Two zones up a corner: brick to 900 on walls 2 and 4, boards over it; boards on 1 and 3."""
    made = house(f"{zone(LEVEL)}, {{walls: [2, 4], to_mm: 900, direction: none}}")
    assert details(made) == {"E.HO": pytest.approx(4 * 0.950), "E.HH": pytest.approx(4 * (HIGH - 0.950))}
    assert metres(made, "corner_100x25") == pytest.approx(4 * (HIGH - 0.950))
    assert metres(made, "corner_75x25") == pytest.approx(4 * HIGH)


def test_lines_between_zones() -> None:
    """Wall 1, 8076 across its face: an entry in upright boards from 3000 to 5000 over its whole height of 2300, level
    boards either side, each scribed to it."""
    made = house(f"{zone(LEVEL)}, {{walls: [1], from_left_mm: 3000, width_mm: 2000, {VERTICAL}}}")
    assert details(made, "LU") == {"U.HV": pytest.approx(2 * HIGH)}
    assert metres(made, "zone_flashing_upright") == pytest.approx(2 * HIGH)
    assert metres(made, "scriber_40x10") == pytest.approx((8 + 2) * HIGH)
    made = house(f"{zone(LEVEL)}, {{walls: [1], from_mm: 1200, {VERTICAL}}}")
    assert details(made, "LU") == {"L.VH": pytest.approx(8.076)}
    made = house(f"{zone(LEVEL)}, {{walls: [1], from_mm: 1200, direction: none}}")
    assert details(made, "LU") == {"L.OH": pytest.approx(8.076)}
    assert metres(made, "zone_flashing_level") == pytest.approx(8.076)


def test_tops_and_feet_are_named_and_bought_elsewhere() -> None:
    made = house(zone(LEVEL))
    assert details(made, "SR") == {"S.H": pytest.approx(2 * (8.076 + 6.076))}
    (line, *_) = [line for line in made.cladding.junctions if line.detail == "S.H"]
    assert (line.parts, line.counted) == ((), "mould with the soffits")


def test_details_stand_on_the_walls_that_meet() -> None:
    made = house(zone(LEVEL))
    corner = next(line for line in made.cladding.junctions if line.detail == "E.HH" and line.walls == (1, 4))
    assert corner.lines == ((1, ((-38.0, -50.0), (-38.0, 2250.0))), (4, ((6038.0, -50.0), (6038.0, 2250.0))))


def test_what_the_table_lacks_is_told() -> None:
    made = house(zone(LEVEL))
    rows: dict[str, Any] = {name: row for name, row in CATALOGUE.wall_details.items() if name != "E.HH"}
    assert made.job.walls is not None
    measured = measure_cladding(
        made.elevations, made.job.walls, made.roofs, made.settings, replace(CATALOGUE, wall_details=rows)
    )
    told = [finding for finding in measured.findings if finding.code == "wall-detail-unknown"]
    assert len(told) == 1
    assert "no row for horizontal and horizontal" in told[0].text
    assert metres(measured, "corner_back_flashing") == 0.0


def test_details_stand_in_the_workbook_and_are_explained(tmp_path: Path) -> None:
    """Of the house of two storeys: four outside corners of level boards, each 50 under the floor to the gable's clad top
    there, 5.396 + 0.050; the gable's upright boards over level ones, 2 x 6.076."""
    made = run_file("geometry_samples/two_storeys/job.yaml")
    write_files(made, tmp_path / "out")
    sheet = load_workbook(tmp_path / "out" / "order_sheet.xlsx")["Walls"]
    rows = {row[0]: row for row in sheet.iter_rows(values_only=True) if row[0]}
    assert rows["E.HH"][1] == "21.79 m"
    assert rows["L.VH"][1] == "12.15 m"
    assert "outside corner, level boards to level boards; 4 on walls 1, 2, 3, 4: " in rows["E.HH"][7]
    assert "junction flashing, level, between claddings" in rows["L.VH"][7]
    (told,) = explain(made, "I.HS")
    assert told.facts[0] == "2 lines, 5.24 m, on walls 1, 6, 8"
    assert any(fact.startswith("E.HH: outside corner") for fact in explain(made, "wall 1")[0].facts)
