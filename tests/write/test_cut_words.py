"""Cuts in words: points of a made-up sheet, and the cutting list of a hip roof read back."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook

from takeoff.model.order import Takeoff
from takeoff.model.sheets import CutShape, EndCut, SheetPiece
from takeoff.pipeline import run_file
from takeoff.write.explain.explain_words import explain
from takeoff.write.words.cut_words import hand, marking_words, needs_points
from takeoff.write.workbook.workbook import workbook_bytes

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@pytest.fixture(scope="module")
def homestead() -> Takeoff:
    return run_file(SAMPLES / "homestead" / "job.yaml")


def rows_of(takeoff: Takeoff) -> list[tuple[object, ...]]:
    sheet = load_workbook(BytesIO(workbook_bytes(takeoff)))["Cutting list"]
    return [tuple(cell.value for cell in row) for row in sheet.iter_rows()]


def test_sides_and_breaks_are_said(sample: Takeoff) -> None:
    piece = sample.roofing.sheets[0].pieces[5]
    top = EndCut(CutShape.APEX, ("H2", "H3"), 47.8, points_mm=((0.0, 4203.9), (201.6, 4426.3), (845.0, 3716.3)))
    foot = EndCut(CutShape.SQUARE, points_mm=((0.0, 0.0), (845.0, 0.0)))
    peaked = replace(piece, top=top, foot=foot)
    assert needs_points(peaked)
    assert not needs_points(piece)
    assert marking_words(peaked, 845.0) == "left side 0 to 4204, right side 0 to 3716; top 4426 at 202"


def test_a_tip_has_no_side(homestead: Takeoff) -> None:
    piece = find(homestead, "P2.01")
    assert marking_words(piece, 845.0) == "left tip 0, right side 0 to 932"
    assert hand(piece) == "right"


def find(takeoff: Takeoff, mark: str) -> SheetPiece:
    return next(piece for sheets in takeoff.roofing.sheets for piece in sheets.pieces if piece.mark == mark)


def test_the_cutting_list_says_the_points(homestead: Takeoff) -> None:
    rows = rows_of(homestead)
    heads = next(row for row in rows if row[0] == "mark")
    assert heads[5:7] == ("long point mm", "from left mm")
    assert {row[0]: row[5:7] for row in rows if row[0] in ("P1.07", "P2.07", "P3.08", "P3.21")} == {
        "P1.07": (5321, 594), "P2.07": (5309, 240), "P3.08": (None, None), "P3.21": (5057, 0),
    }  # fmt: skip
    said = {str(row[0]) for row in rows}
    assert "CUT P2.07: left side 0 to 5045, right side 0 to 4641; top 5309 at 240." in said
    assert "CUT P3.21: left side 497 to 5057, right side 0 to 4125; foot 0 at 451." in said


def test_explain_says_them_too(homestead: Takeoff) -> None:
    (found,) = explain(homestead, "P1.07")
    facts = " ".join(found.facts)
    assert "long point 5321 mm above the foot, 594 mm from the left edge" in facts
    assert "cut left side 0 to 5321, right side 0 to 5045; top 5321 at 594." in facts
    assert "0/0, 845/0, 845/5045, 594/5321, 0/5321 mm" in facts
