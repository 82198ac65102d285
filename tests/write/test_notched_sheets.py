"""A sheet that is neither a rectangle, a rake nor cut to two lines says that it is notched, with all its corners.

Common practice, no source. The dormer sample by hand: P1 is 12 m wide and laid from its right; strips of 762 from 12000,
so the sheet P1.07 spans 12000 - 6 x 762 - 845 = 6583 to 7428. The dormer's right wall stands at 7000: 417 from the
sheet's left edge.
"""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook

from takeoff.measure.sheeting.sheet_ends import is_notched
from takeoff.model.order import Takeoff
from takeoff.model.sheets import SheetPiece
from takeoff.pipeline import run_file
from takeoff.shape.strips.slabs import Slab
from takeoff.write.explain.explain_words import explain
from takeoff.write.words.cut_words import foot_words, marking_words, needs_points, top_words
from takeoff.write.workbook.workbook import workbook_bytes

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@cache
def dormer() -> Takeoff:
    return run_file(SAMPLES / "dormer" / "job.yaml")


def piece(mark: str) -> SheetPiece:
    return next(p for sheets in dormer().roofing.sheets for p in sheets.pieces if p.mark == mark)


def test_both_ends_are_square_and_the_sheet_is_notched() -> None:
    beside = piece("P1.07")
    assert len(beside.outline_uv) == 8
    assert foot_words(beside) == "square"
    assert top_words(beside).startswith("square, notched at ")
    assert set(beside.beside) >= {"A1"}
    assert needs_points(beside)


def test_every_corner_is_given_in_turn_from_the_foot() -> None:
    """The wall stands 7000 - 6583 = 417 from the left edge of the sheet, all the way up the notch."""
    words = marking_words(piece("P1.07"), 845.0)
    assert words.startswith("notched, corners in turn 0 at 0, 0 at 845, ")
    assert words.count(" at 417") == 2
    assert words.count(" at ") == 8


def test_the_cutting_list_and_explain_say_the_same() -> None:
    rows = [str(row[0].value) for row in load_workbook(BytesIO(workbook_bytes(dormer())))["Cutting list"].iter_rows()]
    words = marking_words(piece("P1.07"), 845.0)
    assert f"CUT P1.07: {words}." in rows
    (said,) = explain(dormer(), "P1.07")
    assert any(words in fact for fact in said.facts)
    assert any(fact.startswith("notched at ") for fact in said.facts)


def test_the_sheets_that_end_on_the_dormers_front_include_it() -> None:
    (said,) = explain(dormer(), "A1")
    assert any("P1.07" in fact for fact in said.facts if fact.startswith("sheets that end on it"))


@pytest.mark.parametrize(
    ("slabs", "notched"),
    [
        ((Slab(0, 845, 0, 0, 4000, 4000),), False),  # a rectangle
        ((Slab(0, 845, 0, 0, 3000, 3932),), False),  # a rake
        ((Slab(0, 400, 0, 0, 3000, 3441), Slab(400, 845, 0, 0, 3441, 3000)), False),  # an apex: five corners
        (
            (Slab(0, 300, 0, 0, 3000, 3300), Slab(300, 600, 0, 0, 3300, 3300), Slab(600, 845, 0, 0, 3300, 3100)),
            False,  # two rakes with a ridge between: six corners
        ),
        ((Slab(0, 400, 0, 0, 3000, 3000), Slab(400, 845, 0, 0, 4000, 4000)), True),  # a step: six corners
        (
            (Slab(0, 400, 0, 0, 4000, 4000), Slab(400, 845, 0, 0, 1000, 1000), Slab(400, 845, 2000, 2000, 4000, 4000)),
            True,
        ),
        (
            (Slab(0, 300, 200, 0, 3000, 3300), Slab(300, 600, 0, 0, 3300, 3300), Slab(600, 845, 0, 90, 3300, 3100)),
            True,  # three lines above and three below: eight corners
        ),
    ],
)
def test_notched_by_outline_alone(slabs: tuple[Slab, ...], notched: bool) -> None:
    assert is_notched(slabs) is notched
