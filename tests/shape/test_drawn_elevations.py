"""Walls from drawings of elevations give what the same walls typed by hand give."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from drawn_houses import add_ring, drawing, in_unit

from takeoff.basics.errors import JobError, ShapeError, TakeoffError, UndecidedError
from takeoff.model.order import Takeoff
from takeoff.model.walls import Elevation
from takeoff.pipeline import Stage, run_file
from takeoff.read.job.job_file import parse_job

# a gable wall 8 m wide, 2.4 m at its ends, 4.265 m at its middle: two windows and a door; beside it a plain wall of 6 m
GABLE = [(0, 0), (8000, 0), (8000, 2400), (4000, 4265), (0, 2400)]
PLAIN = [(20000, 100), (26000, 100), (26000, 2500), (20000, 2500)]
WINDOWS = [
    [(1000, 900), (2800, 900), (2800, 2100), (1000, 2100)],
    [(5500, 900), (6400, 900), (6400, 2100), (5500, 2100)],
    [(21000, 1000), (22200, 1000), (22200, 2000), (21000, 2000)],
]
DOOR = [(3500, 0), (4400, 0), (4400, 2100), (3500, 2100)]
ZONES = "zones: [{direction: horizontal, board: bevel_187}]"
TYPED = f"""
job: x
walls:
  elevations:
    - {{name: NORTH, width_mm: 8000, height_mm: 2400, top: [[0, 2400], [4000, 4265], [8000, 2400]]}}
    - {{name: Porch side, width_mm: 6000, height_mm: 2400, left: internal, right: none}}
  openings:
    - {{wall: 1, from_left_mm: 1000, sill_mm: 900, width_mm: 1800, height_mm: 1200, name: Window 1}}
    - {{wall: 1, from_left_mm: 5500, sill_mm: 900, width_mm: 900, height_mm: 1200, name: Window 2}}
    - {{wall: 1, from_left_mm: 3500, sill_mm: 0, width_mm: 900, height_mm: 2100, name: Door 1}}
    - {{wall: 2, from_left_mm: 1000, sill_mm: 900, width_mm: 1200, height_mm: 1000, name: Window 3}}
  {ZONES}
"""
DRAWN = f"""
job: x
walls:
  drawn_elevations:
    - {{file: walls.dxf, layer: NORTH, windows: GLASS, doors: DOORS, floor_above_foot_mm: 0}}
    - {{file: walls.dxf, layer: SIDE, windows: GLASS, floor_above_foot_mm: 0, name: Porch side, left: internal, right: none}}
  {ZONES}
"""


def write(path: Path, unit: str = "mm", header: str = "mm", **more: list[tuple[float, float]]) -> None:
    document = drawing(header)
    rings = [("NORTH", GABLE), ("SIDE", PLAIN), *(("GLASS", ring) for ring in WINDOWS), ("DOORS", DOOR)]
    rings += list(more.items())
    for layer, ring in rings:
        add_ring(document, in_unit(ring, unit), layer)
    # what is no outline: a frame within a window
    add_ring(document, in_unit([(1050, 950), (2750, 950), (2750, 2050), (1050, 2050)], unit), "GLASS")
    document.saveas(path)


def walls(takeoff: Takeoff) -> tuple[Elevation, ...]:
    return takeoff.elevations


def take_off(folder: Path, text: str = DRAWN, until: Stage = Stage.SHAPE) -> Takeoff:
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    return run_file(folder, until=until)


@pytest.mark.parametrize("unit", ["mm", "m", "in"])
def test_drawn_walls_are_those_typed(tmp_path: Path, unit: str) -> None:
    write(tmp_path / "walls.dxf", unit, unit)
    assert walls(take_off(tmp_path)) == walls(take_off(tmp_path, TYPED))


def test_the_cladding_is_the_same(tmp_path: Path) -> None:
    write(tmp_path / "walls.dxf")
    drawn, typed = take_off(tmp_path, until=Stage.MEASURE), take_off(tmp_path, TYPED, Stage.MEASURE)
    assert drawn.cladding == typed.cladding
    assert parse_job(TYPED).walls == drawn.job.walls


def test_the_floor_is_where_the_job_says_or_at_the_foot_with_a_word(tmp_path: Path) -> None:
    write(tmp_path / "walls.dxf")
    raised = take_off(tmp_path, DRAWN.replace("floor_above_foot_mm: 0", "floor_above_foot_mm: 150"))
    assert [opening.sill_mm for opening in walls(raised)[0].openings] == [750, -150, 750]
    assert walls(raised)[0].height_mm == 2250
    silent = take_off(tmp_path, DRAWN.replace(", floor_above_foot_mm: 0", ""))
    assert walls(silent) == walls(take_off(tmp_path))
    assert sum(finding.code == "drawing-floor-taken" for finding in silent.findings) == 2


def test_openings_are_of_layers_that_the_job_names_alone(tmp_path: Path) -> None:
    write(tmp_path / "walls.dxf")
    found = take_off(tmp_path, DRAWN.replace("windows: GLASS, doors: DOORS, ", ""))
    assert [len(wall.openings) for wall in walls(found)] == [0, 1]
    assert any("2 rings on layer GLASS of walls.dxf lie in no wall" in finding.text for finding in found.findings)


def refused(folder: Path, text: str, kind: type[TakeoffError]) -> str:
    with pytest.raises(kind) as stop:
        take_off(folder, text)
    return str(stop.value)


def test_what_is_wrong_is_named_with_its_place(tmp_path: Path) -> None:
    write(
        tmp_path / "walls.dxf",
        GLASS2=[(-300, 900), (600, 900), (600, 2100), (-300, 2100)],
        FLAT=[(0, 0), (9000, 0), (4500, 2000)],
    )
    said = refused(tmp_path, DRAWN.replace("layer: NORTH", "layer: NOTRH"), JobError)
    assert re.match(r"job.yaml:5:\d+: walls.dxf has no lines on a layer NOTRH; did you mean NORTH", said)
    said = refused(tmp_path, DRAWN.replace("windows: GLASS, doors", "windows: GLASS2, doors"), JobError)
    assert re.match(r"job.yaml:5:\d+: the window at \(-300, 900\) on layer GLASS2 lies across the outline", said)
    said = refused(tmp_path, DRAWN.replace("doors: DOORS", "doors: GLASS"), JobError)
    assert "cannot hold windows and doors both" in said
    said = refused(tmp_path, DRAWN.replace("layer: NORTH", "layer: FLAT"), ShapeError)
    assert "wall FLAT has no height at its ends" in said


def test_a_foot_out_of_level_is_refused(tmp_path: Path) -> None:
    stepped = [(0, 0), (4000, 0), (4000, -400), (8000, -400), (8000, 2400), (0, 2400)]
    write(tmp_path / "walls.dxf", STEP=stepped)
    said = refused(tmp_path, DRAWN.replace("layer: NORTH", "layer: STEP"), ShapeError)
    assert "foot of wall STEP is out of level by 400 mm" in said


def test_two_walls_on_a_layer_are_asked_for(tmp_path: Path) -> None:
    write(tmp_path / "walls.dxf", north=[(40000, 0), (47000, 0), (47000, 2400), (40000, 2400)])
    said = refused(tmp_path, DRAWN, UndecidedError)
    lines = re.findall(r"`- ([^`]*)`", said)
    assert len(lines) == 2
    found = take_off(tmp_path, re.sub(r"- \{file: walls.dxf, layer: NORTH[^}]*\}", f"- {lines[0]}", DRAWN))
    assert walls(found)[0].width_mm == 8000


def test_a_unit_in_doubt_is_asked_for(tmp_path: Path) -> None:
    write(tmp_path / "walls.dxf", "in", "mm")
    said = refused(tmp_path, DRAWN, UndecidedError)
    assert re.search(r"unit: in\}` makes its largest shape 8.00 x 4.2[67] m", said)


def test_walls_of_other_sources_keep_their_numbers(tmp_path: Path) -> None:
    write(tmp_path / "walls.dxf")
    text = DRAWN.replace("  drawn", "  elevations: [{name: A, width_mm: 3000, height_mm: 2400}]\n  drawn")
    found = take_off(tmp_path, text)
    assert [(wall.id, wall.wall, len(wall.openings)) for wall in walls(found)] == [
        ("A", 1, 0),
        ("NORTH", 2, 3),
        ("Porch side", 3, 1),
    ]
