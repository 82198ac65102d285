"""Tables of differences, whole, from differences made by hand; and how a workbook of them looks."""

from __future__ import annotations

import io

from openpyxl import load_workbook

from takeoff.model.differences import Change, Comparison, ListCheck, ListDifference, ListFault, ListTally, MarkChange
from takeoff.model.findings import Finding, Severity
from takeoff.write.differences.differences_workbook import differences_workbook
from takeoff.write.differences.tables import (
    Table,
    check_tables,
    comparison_tables,
    finding_tables,
    in_trade_words,
    measured_tables,
)
from takeoff.write.workbook.workbook_page import LINE_POINTS

NOTED = Finding("code", Severity.WARN, "a row is read twice", "look", ("row 3", "row 4"))


def test_a_supplied_list_against_ours() -> None:
    """6120.04 - 6000.16 = 119.88, up to 119.9; what is missing on either side leaves its cells empty."""
    check = ListCheck(
        "list.csv", "Cuts", 2.5, True,
        (
            ListDifference(ListFault.SHORT, "P1", "corrugated", 3, 6120.04, 6000.16, ("P1.01", "P1.02", "P1.03", "P1.05"), tuple(range(1, 14)), 6080.06),
            ListDifference(ListFault.MISSING, "", "", 1, 4000.0, 0.0, ("P2.01",)),
            ListDifference(ListFault.EXTRA, "P2", "trough", 2, 0.0, 900.0, (), tuple(range(1, 13))),
        ),
        (ListTally("P1", "corrugated", 9, 8, 7, 50.5, 49.25), ListTally("", "", 1, 2, 0, 3.0, 4.0)),
        (NOTED,),
    )  # fmt: skip
    differences, tally, checks = check_tables(check)
    assert differences == Table(
        "Differences", "list.csv, sheet Cuts against ours, plane by plane; within 2.5 mm a sheet is the same.",
        ("fault", "plane", "profile", "sheets", "ours mm", "reach mm", "theirs mm", "difference mm", "our marks", "their rows"),
        (False, False, False, True, True, True, True, True, False, False),
        (
            ("will not reach", "P1", "corrugated", 3, 6120.0, 6080.1, 6000.2, -119.9, "P1.01 to P1.03, P1.05", "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 1 more"),
            ("missing", "all", "all", 1, 4000.0, None, None, None, "P2.01", ""),
            ("extra", "P2", "trough", 2, None, None, 900.0, None, "", "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12"),
        ),
    )  # fmt: skip
    assert tally == Table(
        "Tally", "Sheets and metres in both lists.", ("plane", "profile", "ours", "theirs", "agree", "ours m", "theirs m"),
        (False, False, True, True, True, True, True),
        (("P1", "corrugated", 9, 8, 7, 50.5, 49.25), ("all", "all", 1, 2, 0, 3.0, 4.0)),
    )  # fmt: skip
    assert (checks,) == finding_tables((NOTED, NOTED))
    assert finding_tables(()) == ()
    assert (checks.title, checks.says, checks.right) == ("Checks", "What was noticed.", (False, False, False, False))
    assert checks.headings == ("", "finding", "what to do", "where")
    assert [row[1:] for row in checks.rows] == [("a row is read twice", "look", "row 3, row 4")]
    bare = check_tables(ListCheck("list.csv", "", 2.0, False, (), ()))
    assert bare[0].says == (
        "list.csv against ours, by totals, since the list does not name its planes; within 2 mm a sheet is the same."
    )
    assert len(bare) == 2


def change(
    kind: str, old: str, new: str, was: str = "1", now: str = "2", what: str = "length", by: str = "+1"
) -> Change:
    return Change(kind, what, old, new, was, now, by)


def test_what_changed_a_table_a_kind() -> None:
    """Sheets that change alike under one mark stand on one line; others do not join them."""
    changes = (
        change("sheet", "P1.01", "P1.01"), change("sheet", "P1.02", "P1.02"), change("sheet", "P1.03", "P1.03"),
        change("sheet", "P1.04", "P1.05"), change("sheet", "P1.06", "P1.06"), change("sheet", "P1.07", "P1.07", by="+2"),
        change("sheet", "", "P1.08"), change("sheet", "P1.09", ""),
        change("plane", "P1", "P1"), change("plane", "P2", "P2"), change("term", "pitch", "pitch"),
    )  # fmt: skip
    terms, planes, sheets = comparison_tables(Comparison("a", "b", changes, 1, 1, "Moved by 5 mm. "))
    assert sheets == Table(
        "Sheets", "Moved by 5 mm.", ("which", "what", "old", "new", "change"), (False, False, True, True, True),
        (
            ("P1.01 to P1.03", "length", "1", "2", "+1"),
            ("P1.04, now P1.05", "length", "1", "2", "+1"),
            ("P1.06", "length", "1", "2", "+1"),
            ("P1.07", "length", "1", "2", "+2"),
            ("P1.08", "length", "1", "2", "+1"),
            ("P1.09", "length", "1", "2", "+1"),
        ),
    )  # fmt: skip
    assert (planes.title, [row[0] for row in planes.rows], planes.right) == (
        "Planes",
        ["P1", "P2"],
        (False, False, True, True, True),
    )
    assert (terms.title, terms.right) == ("What was set", (False,) * 5)
    said = in_trade_words((terms, planes), lambda text: text.replace("P", "Q"))
    assert said[0] == terms  # what was set keeps the words of the file
    assert (said[1].title, [row[0] for row in said[1].rows]) == ("Qlanes", ["Q1", "Q2"])


def test_what_a_measured_frame_changes() -> None:
    changes = (
        MarkChange("A", "A1", 4000.0, 3988.4, "4000", "3988"), MarkChange("A", "A2", 0.0, 4000.0, "", "4000"),
        MarkChange("B", "B1", 4000.0, 0.0, "4000", ""), MarkChange("B", "B2", 5.0, 5.0, "5", "5"),
        MarkChange("A", "A3", 7.0, 7.0, "7", "7"), MarkChange("B", "B3", 6.0, 6.0, "6", "6"), MarkChange("B", "B4", 6.0, 6.0, "6", "6 of B3"),
    )  # fmt: skip
    changed, same = measured_tables(changes)
    assert changed == Table(
        "Changed sheets", "4 of 7 bought lengths change with the sizes measured on site.",
        ("plane", "mark", "drawn mm", "measured mm", "change mm"), (False, False, True, True, True),
        (
            ("A", "A1", "4000", "3988", -12.0), ("A", "A2", "none", "4000", None), ("B", "B1", "4000", "none", None),
            ("B", "B4", "6", "6 of B3", 0.0),
        ),
    )  # fmt: skip
    assert same == Table(
        "Unchanged sheets", "As drawn.", ("plane", "sheets", "marks"), (False, True, False),
        (("B", 2, "B2, B3"), ("A", 1, "A3")),
    )  # fmt: skip


def test_how_the_workbook_looks() -> None:
    """Widths in characters: 1.15 a letter of the longest cell, 1.3 of the heading, 6 at least, and 2; the last column takes
    what is left of 100. Rows of wrapped texts are so many lines high."""
    table = Table(
        "Sheets", "Says.", ("mark", "a long heading", "x", "last"), (False, True, False, True),
        (("P1.01" * 3, "1,380.50 mm", "", 12.5), ("a", "-6 mm", None, 3.0), ("", "+1,000 m2", " ".join(["0123456789"] * 12), 7)),
    )  # fmt: skip
    sheet = load_workbook(io.BytesIO(differences_workbook("House", (table,))))["Sheets"]
    widths = {letter: sheet.column_dimensions[letter].width for letter in "ABCD"}
    assert widths == {"A": 15 * 1.15 + 2.0, "B": 14 * 1.3 + 2.0, "C": 60.0, "D": 8.0}
    assert [sheet.row_dimensions[row].height for row in (1, 2, 3)] == [25.6, 17.6, 17.6]
    assert [sheet.row_dimensions[row].height for row in (6, 7)] == [None, None]
    assert sheet.row_dimensions[8].height == 3 * LINE_POINTS  # five of twelve words in 58 characters
    formats = [
        (sheet.cell(row, column).value, sheet.cell(row, column).number_format) for row in (6, 7, 8) for column in (2, 4)
    ]
    assert formats == [
        (1380.5, '#,##0.00" mm"'), (12.5, "0.###"), (-6, '+#,##0" mm";-#,##0" mm";#,##0" mm"'), (3, "0"),
        (1000, '+#,##0" m2";-#,##0" m2";#,##0" m2"'), (7, "0"),
    ]  # fmt: skip
    for column, (right, indent) in zip("ABCD", ((False, 1), (True, 0), (False, 1), (True, 0)), strict=True):
        for row in (5, 6):
            place = sheet[f"{column}{row}"].alignment
            assert (place.horizontal, place.indent, place.wrap_text) == ("right" if right else "left", indent, True)
    assert [(sheet.cell(row, 1).font.size, sheet.cell(row, 1).font.bold) for row in (1, 2, 3, 5, 6)] == [
        (16, True), (11, False), (11, False), (11, True), (11, False),
    ]  # fmt: skip
    assert (sheet.auto_filter.ref, sheet.freeze_panes, sheet.print_title_rows) == ("A5:D8", "A6", "$5:$5")
    assert sheet.print_area == "'Sheets'!$A$1:$D$8"
    setup = sheet.page_setup
    assert (setup.orientation, setup.paperSize, setup.fitToWidth, setup.fitToHeight) == ("landscape", 9, 1, 0)
    assert sheet.oddFooter.right.text == "page &P of &N"
    empty = load_workbook(io.BytesIO(differences_workbook("House", ()))).worksheets[0]
    assert (empty.title, empty.auto_filter.ref, empty.print_area) == ("Differences", None, "'Differences'!$A$1:$A$5")
    assert empty.column_dimensions["A"].width == 100.0
    short = Table("T", "", ("a", "b"), (False, False), (("x", "y"),))
    narrow = load_workbook(io.BytesIO(differences_workbook("House", (short,)))).worksheets[0]
    assert [narrow.column_dimensions[letter].width for letter in "AB"] == [8.0, 92.0]
