"""The drawings read back by a second reader: GDAL's DXF driver, through pyogrio, another code base than the writer's.

It must find the layers, the real sizes in mm and the marks of the order.
"""

from __future__ import annotations

import importlib.util
from collections import Counter
from pathlib import Path

import pyogrio
import pytest
import shapely

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.drawings.dxf import dxf_text
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.sheet_drawing import sheet_layouts
from takeoff.write.drawings.wall_drawing import wall_drawings

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@pytest.fixture(scope="module")
def takeoff() -> Takeoff:
    path = Path(__file__).resolve().parents[1] / "write" / "sample_takeoff.py"
    spec = importlib.util.spec_from_file_location("sample", path)
    assert spec is not None
    assert spec.loader is not None
    sample = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(sample)
    made: Takeoff = sample.takeoff()
    return made


def read(text: str, folder: Path) -> list[tuple[str, str, shapely.Geometry]]:
    """(layer, text, geometry) of every entity as GDAL reads it."""
    path = folder / "drawing.dxf"
    path.write_text(text, encoding="utf-8")
    meta, _, geometry, fields = pyogrio.raw.read(path)
    columns = dict(zip(meta["fields"], fields, strict=True))
    shapes = shapely.from_wkb(geometry)
    return [
        (str(layer), "" if words is None else str(words), shape)
        for layer, words, shape in zip(columns["Layer"], columns["Text"], shapes, strict=True)
    ]


def test_roof_edges_come_back_at_their_length(takeoff: Takeoff, tmp_path: Path) -> None:
    drawing = roof_plan(takeoff)
    assert drawing is not None
    found = read(dxf_text(drawing), tmp_path)
    for layer in ("ROOF-EAVE", "ROOF-HIP", "ROOF-RIDGE"):
        theirs = sorted(shape.length for name, _, shape in found if name == layer)
        ours = sorted(edge.plan_length_mm for edge in takeoff.roofs[0].edges if edge.kind.row.layer == layer)
        assert theirs == pytest.approx(ours, abs=1e-6)
        assert ours


def test_sheets_come_back_with_marks_lengths_and_areas(takeoff: Takeoff, tmp_path: Path) -> None:
    assert takeoff.order is not None
    lengths = Counter(f"{blank.length_mm:.0f}" for blank in takeoff.order.blanks)
    seen: Counter[str] = Counter()
    for drawing, sheets in zip(sheet_layouts(takeoff), takeoff.roofing.sheets, strict=True):
        found = read(dxf_text(drawing), tmp_path)
        marks = [words for layer, words, _ in found if layer == "SHEET-MARK"]
        assert marks == [piece.mark for piece in sheets.pieces]
        seen.update(words for layer, words, _ in found if layer == "SHEET-LENGTH")
        areas = [shapely.Polygon(shape.coords).area for layer, _, shape in found if layer == "SHEET-OUTLINE"]
        assert areas == pytest.approx([shapely.Polygon(piece.outline_uv).area for piece in sheets.pieces], rel=1e-9)
    assert seen == lengths


@pytest.mark.parametrize("name", ["hip_12x8", "l_house", "homestead", "mesh_house"])
def test_drawings_of_a_sample_say_what_its_order_says(name: str, tmp_path: Path) -> None:
    """Mark by mark: the length on the drawing is the one bought, or its own and the sheet whose length it comes out of."""
    made = run_file(SAMPLES / name / "job.yaml")
    assert made.order is not None
    ordered: dict[str, str] = {}
    own = {piece.mark: f"{piece.order_mm:.0f}" for sheets in made.roofing.sheets for piece in sheets.pieces}
    for blank in made.order.blanks:
        first, *rest = (part.mark for part in blank.pieces)
        ordered |= {first: f"{blank.length_mm:.0f}"} | {mark: f"{own[mark]} from {first}" for mark in rest}
    drawn: dict[str, str] = {}
    for drawing in sheet_layouts(made):
        found = read(dxf_text(drawing), tmp_path)
        marks = [words for layer, words, _ in found if layer == "SHEET-MARK"]
        lengths = [words for layer, words, _ in found if layer == "SHEET-LENGTH"]
        drawn |= dict(zip(marks, lengths, strict=True))
    assert drawn == ordered
    assert len(drawn) > 20


def test_boards_and_openings_come_back(takeoff: Takeoff, tmp_path: Path) -> None:
    found = read(dxf_text(wall_drawings(takeoff)[0]), tmp_path)
    boards = [shape for layer, words, shape in found if layer == "WALL-BOARD" and not words]
    assert len(boards) == len(takeoff.cladding.boards[0].pieces)
    (opening,) = [shape for layer, words, shape in found if layer == "WALL-OPENING" and not words]
    assert opening.bounds == (2400.0, 900.0, 4200.0, 2100.0)
