"""The workbook of differences: figures as figures, texts as texts, the same bytes for the same tables."""

from __future__ import annotations

import datetime
import io

from openpyxl import load_workbook

from takeoff.write.differences.differences_workbook import differences_workbook
from takeoff.write.differences.tables import Table

TABLE = Table(
    "Sheets", "What differs.", ("mark", "old", "by"), (False, True, True),
    (("P1.01", "5,380 mm", "+6 mm"), ("=1+1", "none", "-0.25 m2"), ("@x", 12.5, None)),
)  # fmt: skip


def test_figures_and_texts() -> None:
    sheet = load_workbook(io.BytesIO(differences_workbook("House", (TABLE,))))["Sheets"]
    assert [sheet.cell(row, 1).value for row in (1, 2, 3)] == ["Sheets", "House", "What differs."]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=6, max_row=8)]
    assert rows == [["P1.01", 5380, 6], ["=1+1", "none", -0.25], ["@x", 12.5, None]]
    # a text from a file is never a formula
    assert sheet["A7"].data_type == "s"
    assert sheet["C7"].number_format.split(";")[0] == '+#,##0.00" m2"'


def test_the_same_bytes_each_time() -> None:
    first = differences_workbook("House", (TABLE,), datetime.date(2026, 3, 2))
    assert first == differences_workbook("House", (TABLE,), datetime.date(2026, 3, 2))


def test_no_difference_is_said() -> None:
    book = load_workbook(io.BytesIO(differences_workbook("House", ())))
    assert book.worksheets[0]["A3"].value == "Nothing differs."


def test_rows_are_as_high_as_their_wrapped_texts() -> None:
    # a column's width counts digits (ECMA-376, width of a column): 200 of them in one of at most 60 take four lines
    long = " ".join(["0123456789"] * 20)
    table = Table("Cautions", "Read these.", ("what", "what to do"), (False, False), ((long, "ask"), ("short", "ask")))
    sheet = load_workbook(io.BytesIO(differences_workbook("House", (table,))))["Cautions"]
    assert sheet.column_dimensions["A"].width <= 62.0
    assert (sheet.row_dimensions[6].height or 0.0) >= 4 * 15.0
    assert sheet.row_dimensions[7].height is None
