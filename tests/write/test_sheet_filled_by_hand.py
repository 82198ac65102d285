"""A sheet of the order sheet filled by hand: cells and their styles, heights of rows, merged cells, what is printed.

The sheet Left over has five columns, 47, 7, 9, 24 and 32 digits wide, 119 in all. A letter o is a digit wide, a space
half of one: n words of two letters take 2.5 n - 0.5. A line is 15 points high; cells keep 2 digits clear.
"""

from __future__ import annotations

import pytest

from takeoff.basics.files import template_path
from takeoff.write.workbook.prepared import prepared
from takeoff.write.workbook.workbook_grid import GRID
from takeoff.write.workbook.workbook_page import Cell, Formula, Page

TITLE = "Left over"


@pytest.fixture
def page() -> Page:
    template = prepared(template_path("order_sheet.xlsx"))
    return Page(template, template.sheet(TITLE), GRID[TITLE], lambda text: text.replace("spouting", "gutter"))


def held(page: Page, row: int) -> list[tuple[int, str, Cell]]:
    """Column, style and value of each cell of a row."""
    names = {number: name for name, number in page.template.styles.items()}
    return [(column, names[style], value) for column, (style, value) in page.cells[row].items()]


def test_bars_headings_and_notes(page: Page) -> None:
    """160 letters apart: 79 on a line, 79 + 78 / 2 = 118 of 119, so three lines."""
    page.group("=Bar")
    page.heading(("a", "b", ""), (False, True))
    page.gap()
    page.note("o " * 160)
    page.note("spouting")
    assert held(page, 6) == [(1, "group words", "=Bar"), *((column, "group", None) for column in (2, 3, 4, 5))]
    assert held(page, 7) == [(1, "heading", "a"), (2, "heading right", "b"), (3, "heading", None)]
    assert 8 not in page.cells
    assert [(column, style) for column, style, _ in held(page, 9)] == [(1, "note")]
    assert held(page, 10) == [(1, "note", "gutter")]
    assert page.merged == ["A9:E9", "A10:E10"]
    assert page.heights == {9: 45.0, 10: 15.0}
    assert (page.row, page.print_area) == (11, "$A$1:$E$10")


def test_rows_are_as_high_as_their_longest_text(page: Page) -> None:
    """45 digits hold 18 words (44.5), bold ones 0.9 of that, 40.5: 16 words (39.5)."""
    rows = [
        page.line(("oo " * 18, 2, None, "", Formula("A1", 2))),
        page.line(("oo " * 19, "x"), styles=("mark",)),
        page.line(("oo " * 16, None), total=True),
        page.line(("oo " * 17, None), total=True),
    ]
    assert rows == [6, 7, 8, 9]
    assert page.heights == {7: 30.0, 9: 30.0}
    words = ("oo " * 18).strip()
    assert held(page, 6) == [
        (1, "text", words), (2, "count", 2), (3, "length", None), (4, "text", None), (5, "text", Formula("A1", 2)),
    ]  # fmt: skip
    assert [style for _, style, _ in held(page, 7)] == ["mark", "count"]
    assert [style for _, style, _ in held(page, 8)] == ["text total", "count total"]
    assert page.values == {"E6": 2.0}


def test_a_box_of_several_columns(page: Page) -> None:
    page.merge(2, 4, "blank")
    page.put(2, None, "blank")
    assert page.merged == ["B6:D6"]
    assert sorted(held(page, 6)) == [(2, "blank", None), (3, "blank inside", None), (4, "blank last", None)]


def test_what_a_paper_prints_is_not_printed(page: Page) -> None:
    assert page.print_area == "$A$1:$E$5"
    page.line(("x",))
    page.grid = GRID["Measures"]
    assert page.print_area == "$A$1:$E$4"
