"""How much is read, how many faults are listed, from which share on a part of a model is what: each bound as it stands.

Common practice, no source, where nothing else is said: these are regression figures, so that no bound moves unnoticed. Units:
3MF core specification, $INSUNITS of the DXF reference, 25.4 mm to an inch; grids in degrees by their EPSG codes.
"""

from __future__ import annotations

from importlib import import_module
from math import cos, radians

import pytest

READ: dict[str, dict[str, object]] = {
    "takeoff.book.issuing": {"WAIT_FOR_ISSUE_S": 120.0, "MOST_NOTE": 500, "MOST_TO": 120},
    "takeoff.estate.batch_rows": {"_MOST_TRIES": 2},
    "takeoff.estate.crews": {"_WAIT_S": 20},
    "takeoff.estate.many": {"MOST_WORKERS": 1000, "MOST_SECONDS": 1e6, "BATCH": 24},
    "takeoff.estate.running": {"_AHEAD": 2, "_MOST_TRIES": 6, "_LOOK_S": 0.5},
    "takeoff.estate.take_house": {"_MOST_WORDS": 600},
    "takeoff.read.cityjson.buildings_listed": {"_METRE_MM": 1000.0},
    "takeoff.read.cityjson.choice": {"_LISTED": 12},
    "takeoff.read.cityjson.cityjson": {"_METRE_MM": 1000.0, "_LEAST_ACROSS": 0.05},
    "takeoff.read.cityjson.documents": {"GREATEST_BYTES": 40_000_000, "GREATEST_SEQUENCE_BYTES": 200_000_000},
    "takeoff.read.cityjson.surfaces": {
        "DEPTHS": {"MultiSurface": 1, "CompositeSurface": 1, "Solid": 2, "MultiSolid": 3, "CompositeSolid": 3}
    },
    "takeoff.read.cityjson.vertices": {"_FURTHEST": 1e9},
    "takeoff.read.estates.attributes": {"_LIKE": 0.7},
    "takeoff.read.estates.map_houses": {"GREATEST_BYTES": 400_000_000, "GREATEST_LINE": 4_000_000},
    "takeoff.read.estates.parquet_houses": {"_ROWS": 1000},
    "takeoff.read.faces_builder": {"MOST_TRIANGLES": 400_000, "MOST_CORNERS": 10_000},
    "takeoff.read.gltf_guard": {"MOST_FIGURES": 20_000_000, "MOST_NODES": 20_000},
    "takeoff.read.ifc.gathering": {"_DEEPEST": 12},
    "takeoff.read.ifc.ifc": {"_METRE_MM": 1000.0},
    "takeoff.read.ifc.said_in_file": {"_MOST": 60},
    "takeoff.read.ifc.step_guard": {
        "GREATEST_BYTES": 100_000_000, "MOST_ENTITIES": 1_500_000, "MOST_NESTED": 500, "_HEAD": 65_536, "_TAIL": 4096,
    },
    "takeoff.read.ifc.worker": {"MOST_SECONDS": 120, "MOST_MEMORY": 4_000_000_000, "MOST_TRIANGLES": 400_000, "_LISTED": 12},
    "takeoff.read.issues.book_file": {"BOOK_VERSION": 1, "MOST_BYTES": 200_000_000, "MOST_FILE_BYTES": 1_000_000_000},
    "takeoff.read.issues.frozen_marks": {"_MOST_BYTES": 1_000_000_000},
    "takeoff.read.job.fault_cures": {"_TIMES": {"mm": 1.0, "m": 1000.0}},
    "takeoff.read.job.field_words": {"_MOST_PLACES": 3},
    "takeoff.read.job.job_bounds": {
        "MOST_CORNERS": 1000, "MOST_OPENINGS": 500, "MOST_HOLES": 500, "MOST_WALLS": 500, "MOST_ZONES": 200, "MOST_PIPES": 500,
        "MOST_ACROSS_MM": 500_000.0,
    },
    "takeoff.read.job.job_references": {"LEAST_HOUSE_MM": 500.0},
    "takeoff.read.job.metre_faults": {"LEAST_HEIGHT_MM": 20.0, "LEAST_OPENING_MM": 50.0},
    "takeoff.read.job.settings": {"_FAR": 10.0},
    "takeoff.read.job.yaml_tree": {"MOST_BYTES": 5_000_000, "DEEPEST": 40},
    "takeoff.read.lists.cut_list": {"MOST_FAULTS": 20, "MOST_SHEETS": 20_000},
    "takeoff.read.lists.length_words": {
        "LEAST_MM": 50.0, "MOST_MM": 60_000.0, "METRES_BELOW": 60.0, "UNIT_MM": {"mm": 1.0, "m": 1000.0},
    },
    "takeoff.read.lists.list_columns": {"_PLAIN_SHARE": 0.8, "HEADING_ROWS": 40},
    "takeoff.read.lists.list_rows": {"MOST_CSV_BYTES": 5_000_000},
    "takeoff.read.lists.quotation_file": {"MOST_FAULTS": 20, "MOST_MONEY": 1e9, "MOST_LINES": 2000, "_HEADING_ROWS": 40},
    "takeoff.read.lists.raw_table": {"MOST_ROWS": 20_000, "MOST_COLUMNS": 200},
    "takeoff.read.lists.site_measures": {"MOST_MM": 500_000.0},
    "takeoff.read.lists.typed_columns": {"_MOST_ROWS": 6000, "_MOST_COLUMNS": 24, "_MOST_LETTERS": 200},
    "takeoff.read.lists.workbook_guard": {
        "MOST_BYTES": 20_000_000, "MOST_UNFOLDED": 40_000_000, "MOST_RATIO": 150, "MOST_PARTS": 2000, "MOST_MARKS": 4_000_000,
        "MOST_MARKS_BESIDE": 200_000, "_LONGEST": 10,
    },
    "takeoff.read.lists.workbook_rows": {"MOST_MERGED": 20_000},
    "takeoff.read.mesh": {"GREATEST_BYTES": 200_000_000, "MOST_TRIANGLES": 400_000},
    "takeoff.read.outlines.drawing_bounds": {
        "GREATEST_BYTES": 24_000_000, "MOST_PATHS": 60_000, "MOST_CORNERS": 200_000, "_FARTHEST": 1e11, "_LONGITUDE": 180.0,
        "_LATITUDE": 90.0, "_DEGREES_ACROSS": 0.1,
    },
    "takeoff.read.outlines.dxf_lines": {"_UNITS": {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}, "_DEEPEST": 12},
    "takeoff.read.outlines.geojson_rings": {"_DEEPEST": 8},
    "takeoff.read.outlines.wkt_rings": {"_DEGREES": (4326, 4979, 4258, 4269, 4167, 4283, 7844), "_DEEPEST": 40},
    "takeoff.read.part_choice": {"_LISTED": 12},
    "takeoff.read.rain.rain_days": {"_LONGEST_GAP": 31, "_MOST_NAMED": 5},
    "takeoff.read.rain.rain_file": {"_MOST_BYTES": 8_000_000, "MOST_ROWS": 75_000, "_MOST_FAULTS": 20, "_MOST_MM": 2000.0},
    "takeoff.read.results.folder_state": {"MOST_FILE": 1_000_000_000, "MOST_DATA": 300_000_000, "MOST_NAMED": 20, "_NEAR": 0.0005},
    "takeoff.read.results.result_file": {"MOST_BYTES": 300_000_000},
    "takeoff.read.text_meshes": {"_MOST_GROUPS": 50, "_FAR": 1e12, "_SHOWN": 40},
    "takeoff.read.three_mf": {
        "GREATEST_BYTES": 100_000_000, "MOST_UNPACKED": 200_000_000, "_DEEPEST": 20,
        "_HERE": (1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0),
    },
}  # fmt: skip
SHAPE: dict[str, dict[str, object]] = {
    "takeoff.shape.imported.choose_planes": {"_COVERED": 0.5, "_DOUBLED": 0.02, "_ALONGSIDE": 0.9997},
    "takeoff.shape.imported.deciding.axis": {
        "_UPRIGHT": 0.05, "_SLOPING": (0.26, 0.9998), "_SAMPLES": 300, "_MOST_PAIRS": 2_000_000, "_SLOPES": 0.02, "_PLAIN": 0.1,
        "_WALLS": 0.2, "_LIFT": 0.05, "_PLAIN_LIFT": 0.2, "_PARALLEL": 0.999,
    },
    "takeoff.shape.imported.deciding.bodies": {"_SLOPES": 0.9997, "_ON": 0.8, "_HALF": 0.5, "_MOST_TOLD": 30, "_ROUGH": 2000},
    "takeoff.shape.imported.deciding.floor": {"_WALL": 0.26},
    "takeoff.shape.imported.deciding.stated_roof": {"_UP": 0.087, "_PARALLEL": 0.9998, "_PARTNER": 0.3, "_DEEPER": 1.5},
    "takeoff.shape.imported.deciding.unit": {"_SMALL": {"cm": 0.5}, "_STEEP": 0.26},
    "takeoff.shape.imported.drawn.drawn_elevations": {"_SQUARE_SHARE": 0.98, "_MOST_WAYS": 8},
    "takeoff.shape.imported.drawn.drawn_outlines": {"_MOST_LINES": 8},
    "takeoff.shape.imported.drawn.drawn_rings": {"MOST_RINGS": 1000, "_SMALL_SHARE": 0.04, "_PLACES": 6},
    "takeoff.shape.imported.drawn.join_lines": {"_MOST_FACETS": 180},
    "takeoff.shape.imported.drawn.look_at_drawing": {"_MOST_CHECKED": 2000},
    "takeoff.shape.imported.drawn.ring_choice": {"COURT_SHARE": 0.5},
    "takeoff.shape.imported.drawn.ring_findings": {"_MOST_OPEN": 3},
    "takeoff.shape.imported.gaps": {"_LEVEL_SHARE": 0.6, "_ALONGSIDE": 0.999},
    "takeoff.shape.imported.house_walls.fill_walls": {"_TOUCHES": 0.3, "_PART": 0.9, "_LITTLE": 0.5, "_COVERED": 0.95, "_NAME": 60},
    "takeoff.shape.imported.house_walls.outer_line": {"_ONE_LINE": 0.05, "_ONE_LINE_MM": 25.0, "_SAME_WAY": 0.9998},
    "takeoff.shape.imported.house_walls.upright_faces": {"_UPRIGHT": 0.05, "_STRIP_DEG": 1.0, "_STRIP_MM": 25.0},
    "takeoff.shape.imported.house_walls.wall_sides": {"_WHOLE": 0.95, "_SQUARE": 0.97},
    "takeoff.shape.imported.joining": {"_MOST_CELLS": 1_048_576},
    "takeoff.shape.imported.level_lines": {"_LEVEL": (1.0, 0.004), "_MOST_TURN": radians(2.0), "_FLAT": 0.02},
    "takeoff.shape.imported.look_at_model": {"_MOST_BODIES": 1000},
    "takeoff.shape.imported.mesh_clean": {"_MOST_CELLS": 4096},
    "takeoff.shape.imported.narrow": {"_LEAST_COS": cos(radians(30.0))},
    "takeoff.shape.imported.raised": {"_NEARLY_ONE": 0.02},
    "takeoff.shape.imported.roof_from_faces": {"_LEVEL_PLANE": 0.01},
    "takeoff.shape.imported.sky": {"_OVER_MM": 10.0},
    "takeoff.shape.imported.stated_areas": {"_SAME": 0.005, "_WORDS": 12},
}  # fmt: skip


@pytest.mark.parametrize("module", [*READ, *SHAPE])
def test_bounds_stand_as_they_are(module: str) -> None:
    wanted = READ.get(module) or SHAPE[module]
    held = import_module(module)
    assert {name: getattr(held, name) for name in wanted} == wanted


def test_units_of_rain_and_of_models_are_those_of_the_trade() -> None:
    rain = import_module("takeoff.read.rain.rain_file")._UNITS
    assert {word: mm for word, mm in rain.items() if mm == 25.4}.keys() >= {"in"}
    assert set(rain.values()) == {1.0, 10.0, 25.4}
    assert {word for word, mm in rain.items() if mm == 1.0} == {"mm", "millimetres", "millimeters"}
    assert {word for word, mm in rain.items() if mm == 10.0} == {"cm"}
    held = vars(import_module("takeoff.read.three_mf"))
    units = {"micron": 0.001, "millimeter": 1.0, "centimeter": 10.0, "inch": 25.4, "foot": 304.8, "meter": 1000.0}
    assert units in held.values()


def test_the_cells_ahead_of_one_are_half_of_those_round_it() -> None:
    ahead = set(import_module("takeoff.shape.imported.joining")._AHEAD)
    back = {(-x, -y, -z) for x, y, z in ahead}
    assert len(ahead) == 13
    assert not ahead & back
    assert ahead | back == {(x, y, z) for x in (-1, 0, 1) for y in (-1, 0, 1) for z in (-1, 0, 1)} - {(0, 0, 0)}
