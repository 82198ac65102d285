"""What is told of pieces too short for boards, and how far level breaks go: figures by hand."""

from __future__ import annotations

import pytest

from takeoff.basics.vectors import Ring2
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.level_breaks import BreakRule, level_breaks
from takeoff.measure.cladding.panels import Panel
from takeoff.measure.cladding.short_pieces import without_short
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece


def _face(height: float, *holes: Hole) -> Face:
    return Face(1, 0.0, 6000.0, 0.0, height, ((0.0, height), (6000.0, height)), holes, ())


def _box(x0: float, y0: float, x1: float, y1: float) -> Ring2:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


@pytest.mark.parametrize(("second", "words"), [(50.6, "of 50 mm"), (51.6, "of 50 to 52 mm")])
def test_strips_within_a_millimetre_are_told_as_one_size(settings: Settings, second: float, words: str) -> None:
    """Two level pieces that end at the left side of a window: 50 mm long, and a little longer."""
    window = Hole("W1", 1000.0, 2000.0, 900.0, 2100.0, "window")
    lengths = (50.0, second)
    pieces = [
        BoardPiece("B", 1, "main", row, _box(1000.0 - long, 800.0 + 150.0 * row, 1000.0, 950.0 + 150.0 * row), long)
        for row, long in enumerate(lengths, start=1)
    ]
    kept, (note,) = without_short(_face(2400.0, window), pieces, 0, settings)
    assert kept == ()
    assert words in note.text
    assert "(2 pieces under 100 mm)" in note.text


def test_breaks_end_after_twenty() -> None:
    """A shaft of 70 m in boards of 3 m would take 23; twenty are set, a board's length apart from the foot up."""
    board = Panel(_box(0.0, 0.0, 200.0, 70_000.0), 0.0, 70_000.0, 0.0)
    breaks = level_breaks(_face(70_000.0), [board], (), BreakRule(3000.0, 100.0))
    assert breaks.levels_mm == tuple(3000.0 * n for n in range(1, 21))


def test_a_break_on_a_board_s_own_top_cuts_nothing() -> None:
    """Boards of 5 m beside boards that end on the heads at 2.1 m, stock of 3 m: a break at 2.1 m cuts the long ones
    alone and leaves no crumb of the others; it stands on the heads."""
    window = Hole("W1", 3000.0, 4000.0, 900.0, 2100.0, "window")
    boards = [
        Panel(_box(0.0, 0.0, 200.0, 5000.0), 0.0, 5000.0, 0.0),
        Panel(_box(200.0, 0.0, 400.0, 2100.0), 0.0, 2100.0, 0.0),
    ]
    breaks = level_breaks(_face(5000.0, window), boards, (), BreakRule(3000.0, 100.0))
    assert breaks.levels_mm == (2100.0,)
    assert breaks.short == 0
