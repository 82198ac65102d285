"""Tables of the order papers and rows of the workbook on paper: every cell by hand. The layout itself is no check value."""

from __future__ import annotations

import datetime
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from sheets_ordered_by_hand import BLANKS, DAY, LONG, ORDER, ROLL, SHORT, line, takeoff

from takeoff.model.job.ordering import DeliverTo
from takeoff.model.office import Firm, Letterhead, Supplier
from takeoff.model.order import HOLD
from takeoff.write.papers import order_heads, order_tables, recorded
from takeoff.write.papers.blocks import BODY, SMALL, Bar, Column, Gap, Kind, Row, Table, Words
from takeoff.write.papers.recorded import Recorded, places, shown
from takeoff.write.workbook.workbook_grid import Column as GridColumn
from takeoff.write.workbook.workbook_grid import Grid
from takeoff.write.workbook.workbook_page import Formula


def said(text: str) -> str:
    """The trade's words, made up."""
    return text.replace("Underlay", "Wrap")


LINE = Column("line")
ITEM, COUNT = Column("item", share=2.2), Column("count", right=True, bold=True)
LENGTH, TOTAL = Column("length mm", right=True, bold=True), Column("total", right=True)
UNIT, KG, NOTE = Column("unit"), Column("kg", right=True), Column("note", share=1.0)
DONE = Column("received", boxed=True)
NUMBERS = {"a": 4, "b": 12, "u": 1}
WRAP = line("u", "underlay", ROLL, 1200.5, 0.0, 1200.5)


def test_lines_with_a_sum_for_each_item_that_takes_several() -> None:
    """13.5 + 12.04 m; 48.06 and 42.8649 kg are shown as 48.1 and 42.9, and so are summed: 91."""
    lines = (SHORT, WRAP, replace(LONG, note="rake\x01d, Underlay"))
    table = order_tables.lines_table(lines, NUMBERS, said)
    total = Kind.TOTAL
    assert table == Table(
        (LINE, ITEM, COUNT, UNIT, LENGTH, TOTAL, UNIT, KG, NOTE, DONE),
        (
            Row(("4", "Corrugated 0.55", "3", "each", "4500", "13.50", "m", "48.1", "", "")),
            Row(("12", "Corrugated 0.55", "2", "each", "6020", "12.04", "m", "42.9", "rake d, Wrap", "")),
            Row(("", "together", "5", "each", "", "25.54", "m", "91.0", "", ""), total),
            Row(("1", "Wrap", "1,200.5", "each", "", "1,200.5", "each", "", "", "")),
            Row(("", "3 lines; longest piece; 1 line without a mass", "", "", "6020", "", "", "91.0", "", ""), total),
        ),
    )


def test_lines_without_masses_and_notes_have_no_columns_for_them() -> None:
    table = order_tables.lines_table((DAY, WRAP), {}, said)
    assert table.columns == (LINE, ITEM, COUNT, UNIT, LENGTH, TOTAL, UNIT, DONE)
    assert [row.cells for row in table.rows] == [
        ("", "Clear sheet", "1", "each", "3000", "3.00", "m", ""),
        ("", "Wrap", "1,200.5", "each", "", "1,200.5", "each", ""),
        ("", "2 lines; longest piece", "", "", "3000", "", "", ""),
    ]


def test_what_is_sent_and_what_is_taken_back_are_never_netted() -> None:
    """Of one item 3 x 4.5 and 1 x 4.5 to send, 2 x 6.02 m back; nothing of the 2 lines back has a mass of the third."""
    back = replace(LONG, count=-2.0, total=-12.04, kg=-42.86)
    lines = (SHORT, replace(SHORT, id="z", count=1.0, total=4.5, kg=16.02), back, replace(back, id="y", kg=0.0))
    table = order_tables.lines_table(lines, {}, said)
    total = Kind.TOTAL
    assert table.rows[4:] == (
        Row(("", "to send", "4", "each", "", "18.00", "m", "64.1", ""), total),
        Row(("", "taken back", "-4", "each", "", "-24.08", "m", "-42.9", ""), total),
        Row(("", "to send: 2 lines; longest piece", "", "", "4500", "", "", "64.1", ""), total),
        Row(
            ("", "taken back: 2 lines; longest piece; 1 line without a mass", "", "", "6020", "", "", "-42.9", ""),
            total,
        ),
    )
    none = replace(SHORT, count=0.0, total=0.0, kg=0.0)
    assert [words for words, _ in order_tables._apart((none,), "alone")] == ["alone"]
    assert [words for words, _ in order_tables._apart((replace(none, count=-0.5),), "alone")] == ["taken back"]


def test_lengths_and_units_of_a_line() -> None:
    """m2 is told as metres are; what is under 1 mm long has a length, and what has none is not summed as metres."""
    area = order_tables._cells(replace(SHORT, total_unit="m2", total=7.5, each_mm=0.6), NUMBERS, said)
    assert area == ("4", "Corrugated 0.55", "3", "each", "1", "7.50", "m2")
    assert order_tables._cells(replace(SHORT, total_unit="box", total=7.254), NUMBERS, said)[5:] == ("7.25", "box")
    two = [replace(WRAP, total_unit="m", id=name) for name in "ab"]
    assert len(order_tables.lines_table(two, {}, said).rows) == 3
    flat = [replace(SHORT, total_unit="m2", id=name) for name in "ab"]
    assert len(order_tables.lines_table(flat, {}, said).rows) == 3
    ones = [replace(SHORT, each_mm=1.0, id=name) for name in "ab"]
    assert len(order_tables.lines_table(ones, {}, said).rows) == 4
    tiny = order_tables._all([replace(SHORT, each_mm=0.4, kg=1.0)], True, "")
    assert tiny == (("", "1 line; longest piece", "", "", "0", "", ""), "1.0")
    assert order_tables._all([WRAP], False, "") == (("", "1 line", "", "", "", "", ""), "")


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((63,), "line 63"),
        ((22, 20, 21, 57), "lines 20 to 22, 57"),
        ((3, 5, 7), "lines 3, 5, 7"),
        ((1, 2), "lines 1 to 2"),
    ],
)
def test_numbers_of_lines(numbers: tuple[int, ...], words: str) -> None:
    assert order_tables.lines_words(numbers) == words


def test_sheets_of_walls_are_on_hold_longest_first() -> None:
    """25.54 m in 5; 91 kg. The blank of P1.01 gives P2.01 as well."""
    columns = (
        LINE, COUNT, LENGTH, Column("total m", right=True), KG,
        Column("marks, written on the end of each sheet", share=1.0), Column("note", share=0.5),
        Column("made", least_mm=12.0, boxed=True),
    )  # fmt: skip
    lines = (replace(SHORT, refs=("P1.03", "P1.01", "P2.01")), replace(LONG, note="Underlay\t"), DAY)
    blocks = list(order_tables.wall_sheet_blocks(takeoff(), replace(ORDER, blanks=BLANKS[:3]), lines, NUMBERS, said))
    total = Kind.TOTAL
    assert [block for block in blocks if not isinstance(block, Table) or block.columns == columns] == [
        Bar(HOLD, strong=True),
        Bar("Corrugated 0.55"),
        Words("Cover 762, overall 845 mm. Longest first. Cut square, tolerance +/- 5 mm unless agreed otherwise.", keep=True),
        Gap(),
        Table(columns, (
            Row(("12", "2", "6020", "12.04", "42.9", "P3.01, P3.02", "Wrap", "")),
            Row(("4", "3", "4500", "13.50", "48.1", "P1.03, P1.01 (P2.01 cut from it)", "", "")),
            Row(("all", "5", "", "25.54", "91.0", "longest 6020 mm", "", ""), total),
        )),
        Gap(),
        Bar("Clear sheet"),
        Words("Longest first. Cut square, tolerance +/- 5 mm unless agreed otherwise.", keep=True),
        Gap(),
        Table(columns, (
            Row(("", "1", "3000", "3.00", "", "P1.09", "", "")),
            Row(("all", "1", "", "3.00", "", "longest 3000 mm", "", ""), total),
        )),
        Gap(),
    ]  # fmt: skip
    assert list(order_tables.wall_sheet_blocks(takeoff(), ORDER, (), NUMBERS, said)) == []


# ------------------------------------------------------------------------ heads

BOXES = (Column("", least_mm=26.0), Column("", share=1.0, boxed=True, bold=True)) * 2
DELIVER = DeliverTo(address=["1\tRoad", "Town"], contact="Site", phone="7", access=["gate", "mud\x01"])
FIRM = Firm(name="Roof\ters", address=["A", "B"], contact="Me", phone="1", email="", tax_number="55")
SELLER = Supplier(name="Mill", address=["C"], contact="You", phone="", email="e@x", account="9\t8")


def house(**more: Any) -> Any:
    given = {
        "job": SimpleNamespace(revision="B\t", date=datetime.date(2026, 3, 2)),
        "issued": None,
        "supersedes": "A\t",
    }
    return SimpleNamespace(**{**given, **more})


def test_the_parties_and_the_order_in_two_columns_of_fields() -> None:
    head = Letterhead("walls", FIRM, SELLER, "N\t1", DELIVER, datetime.date(2026, 4, 1), (), ("walls",))
    assert order_heads.head_blocks(house(), head) == (
        Table(BOXES, (
            Row(("From", "Roof ers, A, B, tax number 55", "Order number", "N 1")),
            Row(("Contact", "Me, 1", "Revision", "B, supersedes A")),
            Row(("To", "Mill, C", "Date", "2 March 2026")),
            Row(("Contact there", "You, e@x", "Our account", "9 8")),
            Row(("Deliver to", "1 Road, Town", "Wanted by", "1 April 2026")),
            Row(("On site", "Site, 7", "Access", "gate; mud")),
        ), BODY),
    )  # fmt: skip


def test_what_nobody_gave_is_a_field_to_fill_in() -> None:
    """A row with one blank is as high as one with two; the day of an issue goes before that of the job."""
    bare = order_heads.letterhead_of(replace(ORDER, letterheads=()), "walls")
    assert bare == Letterhead("walls", None, None, "", None, None, (), ("walls",))
    job = SimpleNamespace(revision="B", date=None)
    (table,) = order_heads.head_blocks(house(job=job, supersedes=""), bare)
    assert isinstance(table, Table)
    rows = [
        ("From", "", "Order number", ""), ("Contact", "", "Revision", "B"), ("To", "", "Date", ""),
        ("Contact there", "", "Our account", ""), ("Deliver to", "", "Wanted by", ""), ("On site", "", "Access", ""),
    ]  # fmt: skip
    assert table.rows == tuple(Row(cells, high_mm=6.5) for cells in rows)
    standing = SimpleNamespace(issuing_on="2026-05-31")
    (issued,) = order_heads.head_blocks(house(job=job, issued=standing), replace(bare, number="7"))
    assert isinstance(issued, Table)
    assert issued.rows[0] == Row(("From", "", "Order number", "7"), high_mm=6.5)
    assert issued.rows[2].cells[3] == "31 May 2026"
    (unset,) = order_heads.head_blocks(house(issued=SimpleNamespace(issuing_on="")), bare)
    assert isinstance(unset, Table)
    assert unset.rows[2].cells[3] == "2 March 2026"
    two = (replace(bare, delivery="x"), replace(bare, number="3"))
    assert order_heads.letterhead_of(replace(ORDER, letterheads=two), "walls") == two[1]


@pytest.mark.parametrize(
    ("count", "rows"), [(0, []), (1, [1]), (5, [5]), (6, [3, 3]), (7, [4, 3]), (10, [5, 5]), (11, [4, 4, 3])]
)
def test_fields_are_spread_evenly_over_as_few_rows_as_can_be(count: int, rows: list[int]) -> None:
    blocks = list(order_heads.field_blocks(tuple((f"Underlay {i}", "Underlay") for i in range(count)), said))
    tables = [block for block in blocks if isinstance(block, Table)]
    assert [len(table.columns) for table in tables] == rows
    assert len(blocks) == 2 * len(rows)
    if count == 1:
        columns = (Column("Wrap 0", share=1.0, boxed=True, bold=True),)
        assert blocks == [Table(columns, (Row(("Wrap",), high_mm=6.5),), BODY), Gap()]


def test_terms_stay_together() -> None:
    terms = replace(order_heads.letterhead_of(ORDER, "walls"), terms=("a\t", "b", "c"))
    assert list(order_heads.terms_blocks(terms)) == [Words("Terms. a", keep=True), Words("b", keep=True), Words("c")]


# ----------------------------------------------------------- rows of the workbook

GRID = Grid(
    "made up",
    (GridColumn("mark", 4.0, "mark"), GridColumn("length", 9.0, "length"), GridColumn("words", 20.0, "text"),
     GridColumn("got", 8.0, "blank")),
)  # fmt: skip
COLUMNS = (
    Column("mark", bold=True), Column("length", right=True, bold=True), Column("words", share=20.0),
    Column("got", boxed=True, least_mm=14.0),
)  # fmt: skip


@pytest.mark.parametrize(
    ("value", "style", "text"),
    [
        (1234.567, "count", "1,234.57"), (2.0, "count", "2"), (1234.5, "whole", "1235"), (1234.4, "length", "1234"),
        (2.25, "tenth", "2.3"), (2.0, "tenth", "2.0"), (1200.5, "metres", "1,200.50"), (1.2346, "metres", "1.235"),
        (1.234, "area", "1.23"), (1.0, "area", "1.00"), (1.04, "kg", "1.0"), (0.0, "kg", ""), (3.14159, "money", "3.1416"),
        (3.0, "money", "3.00"), (22.46, "degrees", "22.5°"), (5.04, "percent", "5.0%"), (1.23456, "text", "1.235"),
        (None, "kg", ""), ("a\tb", "kg", "a b"), (Formula("A1", 7.5), "metres", "7.50"), (-0.001, "count", "0"),
    ],
)  # fmt: skip
def test_a_cell_as_it_is_printed(value: Any, style: str, text: str) -> None:
    assert shown(value, style) == text


@pytest.mark.parametrize(
    ("value", "most", "least", "text"),
    [(3.0, 2, 0, "3"), (3.0, 2, 1, "3.0"), (3.25, 2, 2, "3.25"), (30.0, 0, 0, "30"), (0.125, 2, 0, "0.13"), (1e6, 3, 2, "1,000,000.00")],
)  # fmt: skip
def test_a_figure_keeps_so_many_places(value: float, most: int, least: int, text: str) -> None:
    assert places(value, most, least) == text


def test_rows_of_a_sheet_become_tables_and_words() -> None:
    """Rows are numbered as on the sheet, 6 the first. A group that a heading follows begins the next table."""
    page = Recorded(GRID, said, _heads=("mark", "length", "Underlay", "got"))
    page.gap()
    page.note("Underlay\tfirst")
    page.heading(("m",), ())
    assert page.line(("P1", 1500.4, "Underlay", 1.0), styles=("text", "tenth")) == 9
    assert page.line(("all", 2.5), total=True) == 10
    page.gap()
    page.group("next")
    page.heading(("k", "l"))
    page.group("last")
    assert page.row == 15
    page.note("words")
    wide = Column("", share=1.0)
    heads = [replace(one, heading=name) for one, name in zip(COLUMNS, ("m", "", "", ""), strict=True)]
    assert page.finished() == (
        Table((wide,), (Row(("Wrap first",), Kind.NOTE),), SMALL, plain=True),
        Table(tuple(heads), (
            Row(("P1", "1500.4", "Wrap", "1")),
            Row(("all", "3"), Kind.TOTAL),
            Row(("",), Kind.NOTE, 2.0),
        ), SMALL),
        Table((wide,), (Row(("next",), Kind.GROUP), Row(("last",), Kind.GROUP), Row(("words",), Kind.NOTE)), SMALL, plain=True),
    )  # fmt: skip


def test_a_sheet_of_the_workbook_begins_under_its_own_headings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(recorded, "GRID", {"made up": GRID})
    page = Recorded.of("made up", said, 7.0)
    assert (page.row, page.finished()) == (6, ())
    page.line(("P1", 1500.4))
    page.heading(("a",))
    page.line(("P2",))
    first, second = page.finished()
    assert first == Table(COLUMNS, (Row(("P1", "1500")),), 7.0)
    assert isinstance(second, Table)
    assert [column.heading for column in second.columns] == ["a", "", "", ""]
    assert second.rows == (Row(("P2",)),)
