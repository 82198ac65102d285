"""Small rules of cells and drawings that whole sheets seldom reach: by hand."""

from __future__ import annotations

import pytest

from takeoff.write.drawings.plan_marks import _beside
from takeoff.write.workbook.safe_texts import CUT, MOST_CELL, cell_text, units


def test_a_text_that_is_cut_fits_its_cell_and_says_so() -> None:
    """A cell holds 32 767 units of UTF-16 (the workbook format's limit); ours stay under it."""
    assert MOST_CELL <= 32_767
    for letter in ("x", "\U0001d11e"):
        cut = cell_text(letter * 40_000)
        assert MOST_CELL - 2 < units(cut) <= MOST_CELL
        assert cut.endswith(CUT)
    assert cell_text("x" * MOST_CELL) == "x" * MOST_CELL


@pytest.mark.parametrize(
    ("a", "b", "place"),
    [
        ((0.0, 0.0), (1000.0, 0.0), (500.0, 100.0)),  # above a level line
        ((1000.0, 0.0), (0.0, 0.0), (500.0, 100.0)),  # whichever way it is drawn
        ((0.0, 0.0), (0.0, 1000.0), (-100.0, 500.0)),  # to the left of an upright one, above it as it is read
        ((0.0, 0.0), (600.0, 800.0), (300.0 - 80.0, 400.0 + 60.0)),
    ],
)
def test_a_word_beside_a_line_stands_square_off_its_middle(
    a: tuple[float, float], b: tuple[float, float], place: tuple[float, float]
) -> None:
    assert _beside(a, b, 100.0) == pytest.approx(place)
