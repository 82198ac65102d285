"""Drawings say what the order says: read back from the DXF text, not from the records they were drawn from."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest

from takeoff.model.order import HOLD, Takeoff
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.write.drawings.drawing import Drawing, Fill, Line, Text, readable_angle
from takeoff.write.drawings.dxf import dxf_text
from takeoff.write.drawings.fold_drawing import fold_drawings
from takeoff.write.drawings.layers import LAYERS
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.purlin_drawing import purlin_plan
from takeoff.write.drawings.sheet_drawing import sheet_layouts
from takeoff.write.drawings.svg import svg_text
from takeoff.write.drawings.wall_drawing import wall_drawings
from takeoff.write.files import drawings
from takeoff.write.words.bought import cut_pieces

ROOT = Path(__file__).resolve().parents[2]


def read_back(drawing: Drawing) -> ezdxf.document.Drawing:
    return ezdxf.read(io.StringIO(dxf_text(drawing)))


def texts(doc: ezdxf.document.Drawing, layer: str) -> list[str]:
    return [text.dxf.text for text in doc.modelspace().query(f'TEXT[layer=="{layer}"]')]


def test_marks_and_lengths_on_the_layouts_are_those_of_the_order(sample: Takeoff) -> None:
    read: dict[str, str] = {}
    for drawing in sheet_layouts(sample):
        doc = read_back(drawing)
        marks, lengths = texts(doc, "SHEET-MARK"), texts(doc, "SHEET-LENGTH")
        assert len(marks) == len(lengths)
        read |= dict(zip(marks, lengths, strict=True))
    assert sample.order is not None
    ordered = {blank.pieces[0].mark: f"{blank.length_mm:.0f}" for blank in sample.order.blanks}
    assert len(ordered) == 54
    assert read == ordered


def test_a_sheet_is_drawn_at_its_real_size_and_place(sample: Takeoff) -> None:
    drawing = sheet_layouts(sample)[0]
    rings = [
        sorted((round(x, 3), round(y, 3)) for x, y, *_ in line.get_points())
        for line in read_back(drawing).modelspace().query('LWPOLYLINE[layer=="SHEET-OUTLINE"]')
    ]
    pieces = sample.roofing.sheets[0].pieces
    assert rings == [sorted((round(u, 3), round(v, 3)) for u, v in piece.outline_uv) for piece in pieces]


def test_a_sheet_cut_from_another_names_it(sample: Takeoff) -> None:
    assert sample.order is not None
    first, second, *rest = sample.order.blanks
    both = replace(first, pieces=(*first.pieces, replace(second.pieces[0], turned=True)))
    paired = replace(sample, order=replace(sample.order, blanks=(both, *rest)))
    doc = read_back(sheet_layouts(paired)[0])
    read = dict(zip(texts(doc, "SHEET-MARK"), texts(doc, "SHEET-LENGTH"), strict=True))
    assert (read["P1.01"], read["P1.02"]) == ("1040", "1880 from P1.01")


def test_every_edge_is_drawn_once_on_its_layer_and_stands_in_the_schedule(sample: Takeoff) -> None:
    drawing = roof_plan(sample)
    assert drawing is not None
    doc = read_back(drawing)
    for edge in sample.roofs[0].edges:
        lines = doc.modelspace().query(f'LINE[layer=="{edge.kind.row.layer}"]')
        same = [
            line
            for line in lines
            if line.dxf.start.vec2.isclose(edge.a_mm[:2]) and line.dxf.end.vec2.isclose(edge.b_mm[:2])
        ]
        assert len(same) == 1, edge.id
        assert edge.id in texts(doc, "TEXT")
        assert f"{edge.id}: {edge.length_mm:.0f}" in texts(doc, "TEXT")
    assert sorted(texts(doc, "EDGE-NUMBER")) == ["1", "2", "3", "4"]
    assert {"D1", "D2"} <= set(texts(doc, "DOWNPIPE"))


def test_edge_numbers_lie_outside_whichever_way_the_outline_was_typed(sample: Takeoff) -> None:
    roof = sample.roofs[0]
    for ring in (roof.outline_mm[0], roof.outline_mm[0][::-1]):
        drawing = roof_plan(replace(sample, roofs=(replace(roof, outline_mm=(ring,)),)))
        assert drawing is not None
        for item in drawing.items:
            if isinstance(item, Text) and item.layer == "EDGE-NUMBER":
                x, y = item.at_mm
                assert not (0 < x < 12000 and 0 < y < 8000)


def test_dimensions_print_millimetres(sample: Takeoff) -> None:
    """The library's own style would print a hundredfold."""
    drawing = roof_plan(sample)
    assert drawing is not None
    printed = []
    for dimension in read_back(drawing).modelspace().query("DIMENSION"):
        block = dimension.get_geometry_block()
        assert block is not None
        printed += [text.plain_text() for text in block.query("MTEXT")] + [t.dxf.text for t in block.query("TEXT")]
    assert sorted(printed) == ["12000", "8000"]


def test_dxf_states_its_unit_and_passes_the_audit(sample: Takeoff) -> None:
    for drawing in drawings(sample):
        doc = read_back(drawing)
        assert doc.header["$INSUNITS"] == 4
        assert doc.header["$MEASUREMENT"] == 1
        auditor = doc.audit()
        assert (auditor.errors, auditor.fixes) == ([], [])
        assert any("all dimensions in mm" in text for text in texts(doc, "TITLE"))
        used = {entity.dxf.layer for entity in doc.modelspace()}
        assert used <= set(LAYERS)


def test_roof_drawings_print_the_hold_and_walls_do_not(sample: Takeoff) -> None:
    def banner(drawing: Drawing) -> str:
        return " ".join(item.text for item in drawing.items if isinstance(item, Text) and item.layer == "HOLD")

    assert {banner(drawing) for drawing in sheet_layouts(sample)} == {HOLD}
    plan = roof_plan(sample)
    assert plan is not None
    assert banner(plan) == HOLD
    assert [banner(drawing) for drawing in wall_drawings(sample)] == [""]


def test_boards_on_the_elevation_carry_their_cut_lengths(sample: Takeoff) -> None:
    words = texts(read_back(wall_drawings(sample)[0]), "WALL-BOARD")
    lengths = [f"{piece.id}: {piece.length_mm:.0f}" for boards in sample.cladding.boards for piece in boards.pieces]
    # the uppermost board is ripped to 20 mm: too thin to carry words
    assert sorted(words) == sorted(lengths[:-1])


def test_the_folding_schedule_draws_each_section_with_its_legs_and_what_is_bought(sample: Takeoff) -> None:
    (drawing,) = fold_drawings(sample)
    doc = read_back(drawing)
    (line,) = doc.modelspace().query('LWPOLYLINE[layer=="FOLD-SECTION"]')
    points = [(x, y) for x, y, *_ in line.get_points()]
    moved = [value for x, y in points for value in (x - points[0][0], y - points[0][1])]
    assert moved == pytest.approx([0, 0, 150, 70, 300, 0], abs=1e-6)
    assert texts(doc, "FOLD-SECTION") == ["166", "166"]
    assert {"130°", "1 x 6000"} <= set(texts(doc, "TEXT"))


def test_svg_is_well_formed_and_escapes_the_job(sample: Takeoff) -> None:
    for drawing in drawings(sample):
        tree = ElementTree.fromstring(svg_text(drawing))
        words = ["".join(text.itertext()) for text in tree.iter("{http://www.w3.org/2000/svg}text")]
        assert "Orchard house <A> & shed" in words


def test_svg_prints_at_its_scale(sample: Takeoff) -> None:
    drawing = roof_plan(sample)
    assert drawing is not None
    assert drawing.scale == 50
    svg = svg_text(drawing)
    assert 'width="420mm"' in svg
    eave = re.search(r'data-layer="ROOF-EAVE"[^>]*>\s*<line x1="([\d.]+)" y1="[\d.]+" x2="([\d.]+)"', svg)
    assert eave is not None
    assert float(eave[2]) - float(eave[1]) == pytest.approx(12000 / 50)


def test_a_text_is_never_upside_down() -> None:
    assert [readable_angle((0.0, 0.0), end) for end in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))] == [
        0.0, 0.0, 90.0, 90.0,
    ]  # fmt: skip


def test_a_stopped_takeoff_is_drawn_with_its_fault(stopped: Takeoff) -> None:
    (drawing,) = drawings(stopped)
    doc = read_back(drawing)
    hold = " ".join(texts(doc, "HOLD"))
    assert "P2 is laid at 5 degrees" in hold
    assert "NOT AN ORDER" in hold
    (circle,) = doc.modelspace().query('CIRCLE[layer=="HOLD"]')
    assert tuple(circle.dxf.center)[:2] == (10000.0, 4000.0)


def test_classes_stand_in_one_order(sample: Takeoff) -> None:
    """The library writes them in the order of a set, which differs between processes, now and then."""
    for drawing in drawings(sample):
        names = re.findall(r"0\nCLASS\n *1\n([^\n]*)\n", dxf_text(drawing))
        assert names == sorted(names)
        assert len(names) > 5


def test_the_same_bytes_in_every_process(sample: Takeoff) -> None:
    probe = (
        "import importlib.util,hashlib,sys;"
        "s=importlib.util.spec_from_file_location('s',sys.argv[1]);m=importlib.util.module_from_spec(s);"
        "s.loader.exec_module(m);t=m.takeoff();"
        "from takeoff.write.files import drawings;from takeoff.write.drawings.dxf import dxf_text;"
        "from takeoff.write.drawings.svg import svg_text;from takeoff.write.workbook.workbook import workbook_bytes;"
        "from takeoff.write.data.result_json import result_json;"
        "d=[dxf_text(x,t.job.date)+svg_text(x) for x in drawings(t)];"
        "print(hashlib.sha256(''.join(d).encode()+workbook_bytes(t)+result_json(t).encode()).hexdigest())"
    )
    made = {
        subprocess.run(
            [sys.executable, "-c", probe, str(ROOT / "tests" / "write" / "sample_takeoff.py")],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland"))
    }
    assert len(made) == 1


def test_the_purlin_plan_shows_every_row_where_it_lies_and_every_joint(sample: Takeoff) -> None:
    plan = purlin_plan(sample)
    assert plan is not None
    assert plan.name == "purlin_plan"
    rows = [line for line in sample.roofing.purlins if line.role in ("eave", "purlin", "ridge", "head")]
    drawn = [item for item in plan.items if isinstance(item, Line) and item.layer == "PURLIN-ROW"]
    assert len(drawn) == len(rows) + 1  # and the key
    cuts = cut_pieces(sample.order)
    joints = sum(max(0, len(cuts.get(line.run, ())) - 1) for line in sample.roofing.purlins)
    marks = [item for item in plan.items if isinstance(item, Line) and item.layer == "PURLIN-JOINT"]
    assert len(marks) == joints + 1
    words = " ".join(item.text for item in plan.items if isinstance(item, Text))
    assert "Rafters set out from the middle" in words


def test_a_light_fill_is_written_as_its_outlines() -> None:
    """A solid fill hides what lies under it where a reader does not keep the order of drawing."""

    def box(at: float, size: float) -> tuple[tuple[float, float], ...]:
        return ((at, at), (at + size, at), (at + size, at + size), (at, at + size))

    fill = Fill("FOLD-SECTION", (box(0.0, 1000.0), box(100.0, 200.0), box(600.0, 100.0)), 0.5)
    doc = read_back(Drawing("x", "x", 50, (297.0, 210.0), (0.0, 0.0), (fill,)))
    rings = [[(x, y) for x, y, *_ in line] for line in doc.modelspace().query("LWPOLYLINE")]
    assert rings == [list(ring) for ring in fill.rings_mm]


def test_the_folder_reads_how_many_folds_and_hems_a_section_has() -> None:
    """An L with a gable at 25 degrees: a cap is 10 + 20 + 155 a side with a fold between each and a hem at both edges; a
    tray 20 + 105 a side without a hem; a barge 10 + 20 + 153 + 68 + 15 with one hem."""
    ell = [[0, 0], [12000, 0], [12000, 6000], [6000, 6000], [6000, 12000], [0, 12000]]
    roof = {"outline": ell, "pitch_deg": 25, "fascia_height_mm": 2400, "edges": {2: {"kind": "gable"}}}
    takeoff = run(parse_job(json.dumps({"job": "by hand", "site": {"wind_zone": "high"}, "roofs": [roof]})))
    (drawing,) = fold_drawings(takeoff)
    words = texts(read_back(drawing), "TEXT")
    facts = {name.split()[0]: fact for name, fact in pairwise(words) if fact.startswith("girth ")}
    assert facts == {
        "Ridge": "girth 370, 5 folds, 2 hems; colour top",
        "Hip": "girth 370, 5 folds, 2 hems; colour top",
        "Valley": "girth 250, 3 folds, no hem; colour top",
        "Barge": "girth 266, 4 folds, 1 hem; colour top",
    }
