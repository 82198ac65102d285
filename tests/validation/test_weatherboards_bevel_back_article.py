"""Bevel-back weatherboards against a building research magazine, no. 150 p. 31 (how to install them correctly).

Status: seen. Least lap 32 mm (figure 2); one nail a board a stud, no double nailing.
"""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.model.findings import Severity
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
WALL = {"name": "wall", "width_mm": 6000, "height_mm": 2350, "left": "none", "right": "none"}


def clad(board: Any) -> CladdingMeasured:
    job = WallsJob.model_validate({"elevations": [WALL], "zones": [{"board": board}], "ground_mm": -450})
    return measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, load_catalogue())


@pytest.mark.parametrize(("lap", "refused"), [(28, True), (31.9, True), (32, False), (40, False)])
def test_a_lap_under_32_mm_is_refused(lap: float, refused: bool) -> None:
    measured = clad({"width_mm": 187, "cover_mm": 187 - lap, "kind": "bevel_back"})
    findings = [finding for finding in measured.findings if finding.severity is not Severity.NOTE]
    assert [finding.code for finding in findings] == (["board-lap-too-small"] if refused else [])
    if refused:
        assert findings[0].severity is Severity.STOP
        assert "the least is 32 mm" in findings[0].text
        assert "no. 150" in findings[0].source


@pytest.mark.parametrize("board", ["bevel_187", "bevel_142", "bevel_140_old"])
def test_no_bevel_back_board_is_ever_set_out_under_32_mm(board: str) -> None:
    boards = clad(board).boards[0]
    assert boards.board_width_mm - boards.cover_mm >= 32


@pytest.mark.parametrize("board", ["bevel_187", "bevel_142"])
def test_one_nail_a_board_a_stud(board: str) -> None:
    measured = clad(board)
    studs = 11  # 0, 600 ... 6000
    nails = next(quantity for quantity in measured.needs[0].quantities if quantity.item.startswith("board nail"))
    crossings = next(term.value for term in nails.working.terms if term.name.startswith("crossings"))
    each = next(term.value for term in nails.working.terms if term.name.startswith("nails a crossing"))
    assert (crossings, each) == (measured.boards[0].courses * studs, 1)
