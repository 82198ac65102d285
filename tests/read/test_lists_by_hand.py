"""Supplied lists as rows typed by hand: which column is what, every line that is read, every fault and note whole."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.model.findings import Finding, Severity
from takeoff.model.supplied import SuppliedLine
from takeoff.read.lists import cut_list, list_columns, raw_table
from takeoff.read.lists.cut_list import _Reader, plane_name, read_cut_list
from takeoff.read.lists.list_columns import Columns, find_columns
from takeoff.read.lists.raw_table import RawTable, Row, bound_rows


def table(*rows: tuple[Any, ...], sheet: str = "", first: int = 1, **more: Any) -> RawTable:
    return RawTable("l.csv", sheet, tuple(Row(n, cells) for n, cells in enumerate(rows, start=first)), **more)


# ------------------------------------------------------------ columns


@pytest.mark.parametrize(
    ("headings", "at", "unit"),
    [
        (("Mark", "Plane", "Qty", "Length mm"), {"length": 3, "count": 2, "plane": 1, "mark": 0}, "mm"),
        (("Sheet", "No", "Len (m)", "Cut from"), {"length": 2, "count": 1, "mark": 0, "source": 3}, "m"),
        (("mm", "#"), {"length": 0, "count": 1}, "mm"),
        (("Length in metres", "Roof slope", "Sheet profile", "pcs"), {"length": 0, "count": 3, "plane": 1, "profile": 2}, "m"),
        (("net length", "sheet qty"), {"length": 0, "count": 1}, ""),
        (("total length", "L", "left length", "each", "Unit"), {"length": 1, "count": 3, "unit": 4}, ""),
        (("Length", "marks of it"), {"length": 0}, None),
        (("Length", "Mark no"), {"length": 0, "mark": 1}, ""),
        (("foot cut", "cut", "no"), {"length": 1, "count": 2}, ""),
        (("of", "Qty", "Length"), {"length": 2, "count": 1}, ""),
        (("--", "Qty", "Length"), {"length": 2, "count": 1}, ""),
        (("total length", "net length", "qty"), {"length": 1, "count": 2}, ""),
    ],
)  # fmt: skip
def test_columns_by_their_headings(headings: tuple[str, ...], at: dict[str, int], unit: str | None) -> None:
    found = find_columns(table(("A list",), headings, first=3))
    if unit is None:
        assert found == "row 4 has no heading for the quantity; it reads: Length, marks of it"
    else:
        assert found == Columns(4, at, unit)


def test_a_cell_of_a_row_that_is_short() -> None:
    columns = Columns(1, {"length": 1, "count": 3}, "")
    assert [columns.get(Row(2, ("a", 7)), kind) for kind in ("length", "count", "mark")] == [7, None, None]
    assert columns.get(Row(2, ("a", 7, None, 3)), "count") == 3
    assert columns.get(Row(2, ("a", 7, None)), "count") is None


def test_rows_that_name_too_little() -> None:
    """The row that names most is told; two hundred letters of it."""
    rows = (
        ("note",),
        ("Plane", "Mark"),
        ("Qty", "Profile", "Plane", None, "x" * 59, "y" * 59, "z" * 59, "w" * 59),
        ("length",),
    )
    reads = ", ".join(["Qty", "Profile", "Plane", "x" * 59, "y" * 59, "z" * 59, "w" * 59])[:200]
    assert find_columns(table(*rows)) == f"row 3 has no heading for the length; it reads: {reads}"
    assert find_columns(table(("Length",), ("Plane",))) == "row 1 has no heading for the quantity; it reads: Length"
    none = "no heading row in the first 40 rows; name the columns: mark, plane, quantity, length mm"
    assert find_columns(table(("a b",), ("c d",))) == none
    late = [("word", "other")] * 39
    assert isinstance(find_columns(table(*late, ("qty", "length"))), Columns)
    assert find_columns(table(*late, ("word", "other"), ("qty", "length"))) == none
    assert find_columns(table(("qty", "length " + "x" * 53), ("1", "2"))) == Columns(1, {"count": 0, "length": 1}, "")
    assert "no heading for the length" in str(find_columns(table(("qty", "length " + "x" * 54))))


@pytest.mark.parametrize(
    ("headings", "says"),
    [
        (("Qty", "Length", "Qty"), "row 1 has two columns for the quantity, 'Qty' in column 1 and 'Qty' in column 3; keep one, or name the other otherwise"),
        (("Len", "Qty", "Cut length"), "row 1 has two columns for the length, 'Len' in column 1 and 'Cut length' in column 3; keep one, or name the other otherwise"),
        (("Length", "Plane", "No", "Plane"), "row 1 has two columns for the plane, 'Plane' in column 2 and 'Plane' in column 4; keep one, or name the other otherwise"),
        (("Length ft", "Qty"), "ft is not read; give lengths in mm or m"),
        (("Qty", "cut in inches"), "inches is not read; give lengths in mm or m"),
    ],
)  # fmt: skip
def test_columns_of_which_nobody_can_tell(headings: tuple[str, ...], says: str) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        find_columns(table(headings))
    assert str(caught.value) == says


def test_a_second_sign_for_numbers_and_other_marks_do_no_harm() -> None:
    assert find_columns(table(("Qty", "Length", "#", None, None))) == Columns(1, {"length": 1, "count": 0}, "")
    assert find_columns(table(("Mark", "Label", "Length", "Qty"))) == Columns(
        1, {"length": 2, "count": 3, "mark": 0}, ""
    )


def test_columns_without_headings() -> None:
    """A title fills one cell; four rows in five are enough, four in six are not; planes stand by themselves, sheets with their number."""
    rows = [
        ("Roof",),
        ("P1.01", "P1", 3, 4.38),
        ("P1.02", "P1", 59, 60),
        ("P2.01-1a", "P2", "4", "4,380 mm"),
        ("p2/1", "p 2", 0, 9000),
        (None, "P3", 2, 5200),
    ]
    assert find_columns(table(*rows)) == Columns(0, {"mark": 0, "plane": 1, "count": 2, "length": 3}, "")
    assert list_columns.plain_columns(table(*rows, (None, None, 2, 5200))) == Columns(
        0, {"plane": 1, "count": 2, "length": 3}, ""
    )
    for odd in ((60, 4380), (3, 4), ("P1", 4380), (2, "x")):
        assert list_columns.plain_columns(table(odd, odd)) is None
    assert list_columns.plain_columns(table((3, 4380, 5200))) is None  # two of lengths
    assert list_columns.plain_columns(table(("P1.1", 4380))) == Columns(0, {"mark": 0, "length": 1}, "")
    assert list_columns.plain_columns(table()) is None
    ragged = [("P1.1", 4380, 2), ("P1.2", 4380)]
    assert list_columns.plain_columns(table(*ragged)) == Columns(0, {"mark": 0, "length": 1}, "")
    notes = [("north", "x y", 2, 4380), ("south", "z", 3, 4400)]
    assert list_columns.plain_columns(table(*notes)) == Columns(0, {"count": 2, "length": 3}, "")
    assert (list_columns._PLAIN_SHARE, list_columns.HEADING_ROWS) == (0.8, 40)


# ------------------------------------------------------------ lines

HEADS = ("Plane", "Mark", "Profile", "Qty", "Length")


def read(*rows: tuple[Any, ...], heads: tuple[Any, ...] = HEADS, lists: int = 1, **more: Any) -> Any:
    held = table(heads, *rows, **more)
    columns = find_columns(held)
    assert isinstance(columns, Columns), columns
    return _Reader(held, columns).read(lists)


def faults(*rows: tuple[Any, ...], **more: Any) -> tuple[str, ...]:
    with pytest.raises(UnreadableFileError) as caught:
        read(*rows, **more)
    return caught.value.faults


def test_lines_as_they_are_read() -> None:
    """Totals, sizes to tape and leftovers are no sheets; a quantity of 0 is none; a mark that is a number is one."""
    supplied = read(
        ("plane 3", 7.0, "rib  a", 2, "4380 mm"), ("Face 04", "x", None, "3 no", "5.2 m"), ("west", None, None, 0, 4000),
        ("Total", None, None, 5, 9000), ("P1", "Sub-total", None, 5, 9000), ("sheets", None, None, 5, 22000), ("CHECK", "size", None, 5, 1),
        (None, None, None, None, None), ("P1", "P1.02", None, 1, 60),
    )  # fmt: skip
    assert supplied.lines == (
        SuppliedLine(2, 2, 4380.0, "P3", "rib a", "7"), SuppliedLine(3, 3, 5200.0, "P4", "", "x"), SuppliedLine(10, 1, 60.0, "P1", "", "P1.02"),
    )  # fmt: skip
    assert (supplied.file, supplied.sheet) == ("l.csv", "")
    text = "l.csv: no unit is stated; the lengths were taken as mm, since all are 60 or more."
    assert supplied.findings == (
        Finding("list-unit-taken", Severity.NOTE, text, "State it in the heading, as length mm."),
    )


def test_leftovers_are_cut_from_others() -> None:
    """A row that says what it is cut from has no length of its own to buy."""
    heads = ("Mark", "Qty", "Length mm", "Cut from")
    assert len(read(("a", 1, 4380, None), ("b", 1, None, "a"), heads=heads).lines) == 1
    assert faults(("a", 1, 4380, None), ("b", 1, None, None), heads=heads) == (
        "l.csv, row 3: a quantity (1) without a length",
    )


def test_planes_of_headings_between_the_lines() -> None:
    heads = ("Mark", "Qty", "Length mm")
    rows: list[tuple[Any, ...]] = [
        ("Roof plane 2", None, None),
        ("a", 1, 4000),
        ("3 spare", None, None),
        ("b", 1, 4100),
        ("P7 north", None, None),
        ("P9.1", 2, 4200),
    ]
    supplied = read(*rows, heads=heads)
    assert [(line.plane, line.mark) for line in supplied.lines] == [("P2", "a"), ("P2", "b"), ("P7", "P9.1")]
    named = read(("plane 9", None, None, None, None), (None, 7.5, None, 1, "4 m"))
    assert [(line.plane, line.mark) for line in named.lines] == [("", "7.5")]
    marks = read(("P1.01", 1, 4000), ("p12/3-4b", 1, 4000), heads=heads)
    assert [line.plane for line in marks.lines] == ["P1", "P12"]
    assert [line.plane for line in read(("P1.01", 1, 4000), ("spare", 1, 4000), heads=heads).lines] == ["", ""]
    assert [plane_name(words) for words in ("3", "p 04", "Roof face 5", "slope 6 x", "west", "P1 P2")] == [
        "P3",
        "P4",
        "P5",
        "slope 6 x",
        "west",
        "P1 P2",
    ]


def test_faults_of_lines() -> None:
    assert faults(
        ("P1", None, None, 2, None), ("P1", None, None, None, 4000), ("P1", None, None, 1.5, 4000), ("P1", None, None, 1, "long"), ("P1", None, None, 1, 9),
        odd={(3, 3): "D3 holds an error", (6, 4): "E6 is none"},
    ) == (
        "l.csv, row 2: a quantity (2) without a length", "l.csv, row 3: D3 holds an error",
        "l.csv, row 4: 1.5 is not a whole number of sheets from 0 to 10 000", "l.csv, row 5: 'long' is not a length",
        "l.csv, row 6: E6 is none",
    )  # fmt: skip
    assert faults(("P1", None, None, None, 4000)) == ("l.csv, row 2: a length (4000) without a quantity",)
    assert faults(("note", None, None, None, None), sheet="Mill") == (
        "l.csv, sheet Mill: no line with a quantity and a length under the headings",
    )
    assert faults(("P1", None, None, None, None), odd={(2, 3): "a", (2, 4): "b"}) == ("l.csv, row 2: b; a",)


def test_twenty_faults_are_told() -> None:
    bad = ("P1", None, None, 1, None)
    assert faults(*[bad] * 20) == tuple(f"l.csv, row {n}: a quantity (1) without a length" for n in range(2, 22))
    assert faults(*[bad] * 23)[20:] == ("l.csv: and 3 faults more",)
    assert faults(*[bad] * 21)[20:] == ("l.csv: and 1 faults more",)


def test_a_column_of_units_and_columns_without_quantities() -> None:
    supplied = read((1, 4.38, "m"), (2, 4380, "mm"), (3, 4400, None), heads=("Qty", "Length", "Unit"))
    assert [(line.count, line.length_mm) for line in supplied.lines] == [(1, 4380.0), (2, 4380.0), (3, 4400.0)]
    supplied = read(("a", 4.38), ("b", 59), heads=("Mark", "Length"))
    assert [(line.count, line.length_mm) for line in supplied.lines] == [(1, 4380.0), (1, 59000.0)]
    unit = "l.csv: no unit is stated; the lengths were taken as m, since all are under 60."
    count = Finding(
        "list-count-taken", Severity.NOTE, "l.csv: no column of quantities; each row was taken as one sheet."
    )
    assert (supplied.findings[0].text, supplied.findings[1:]) == (unit, (count,))
    assert read(("P1", None, None, 1, "4,380"), ("P1", None, None, 1, "5 m")).findings == ()  # either way 4.38 m


def test_units_that_mix() -> None:
    metres: list[tuple[Any, ...]] = [("P1", None, None, 1, 4.38)] * 11
    told = "without a unit the lengths look like mm and like m (like {0} in rows {1}); state the unit in the heading, as length mm"
    assert faults(*metres, ("P1", None, None, 1, 4380)) == (f"l.csv, row 13: {told.format('mm', '13')}",)
    shown = ", ".join(str(n) for n in range(2, 12)) + " ..."
    assert faults(*metres, *[("P1", None, None, 1, 4380)] * 12) == (f"l.csv, row 2: {told.format('m', shown)}",)
    ten = ", ".join(str(n) for n in range(2, 12))
    late = ", ".join(str(n) for n in range(12, 22))
    mixed = [("P1", None, None, 1, 4380)] * 10 + metres[:10]
    assert faults(*mixed) == (f"l.csv, row 12: {told.format('m', late)}",)
    assert faults(*metres[:10], *[("P1", None, None, 1, 4380)] * 10) == (f"l.csv, row 2: {told.format('m', ten)}",)


def test_another_table_and_headings_again() -> None:
    """Headings that stand again on a further page are let be; other words where a length should stand end the list."""
    supplied = read(
        ("P1", None, None, 1, "4 m"),
        HEADS,
        ("P1", None, None, 1, "5 m"),
        ("Item", "Size", None, "each", "price"),
        ("x", None, None, 1, "9 m"),
    )
    assert [line.length_mm for line in supplied.lines] == [4000.0, 5000.0]
    text = "l.csv: another table begins in row 5; it was not read."
    assert supplied.findings == (Finding("list-ends", Severity.NOTE, text),)
    assert faults(("P1", None, None, "two", "long")) == ("l.csv, row 2: 'two' is not a number of sheets",)
    after = faults(("P1", None, None, 1, "4 m"), ("P1", None, None, 2, "long"))
    assert after == ("l.csv, row 3: 'long' is not a length",)
    after = faults(("P1", None, None, 1, "4 m"), ("P1", None, None, None, "5 m"), ("P1", None, None, "3 no", "long"))
    assert after == ("l.csv, row 3: a length (5 m) without a quantity", "l.csv, row 4: 'long' is not a length")
    assert read(("P1", None, None, 1, "4 m"), ("P1", None, None, None, "price")).findings[0].code == "list-ends"


def test_cells_that_are_merged() -> None:
    """Over several rows, or over columns of one line that is read; what stands beside or above is let be."""
    rows = [("P1", "a", None, 1, "4 m"), ("P1", "b", None, 2, "5 m"), ("P1", "c", None, 2, "5 m")]

    def merged(*area: int) -> tuple[str, ...]:
        try:
            read(*rows, merged=(area,))
        except UnreadableFileError as err:
            return err.faults
        return ()

    each = "so that each row has its own value"
    assert merged(2, 3, 3, 3) == (f"l.csv, row 2: cells under count are merged (rows 2 to 3); unmerge them, {each}",)
    assert merged(1, 2, 4, 4) == (f"l.csv, row 1: cells under length are merged (rows 1 to 2); unmerge them, {each}",)
    assert merged(4, 4, 3, 4) == (
        f"l.csv, row 4: cells under length and count are merged (row 4); unmerge them, {each}",
    )
    assert merged(3, 3, 0, 0) == ()
    assert merged(1, 1, 3, 4) == ()
    assert merged(2, 3, 5, 6) == ()
    assert merged(9, 9, 3, 4) == ()
    under_title = table(HEADS, *rows, first=3, merged=((2, 3, 3, 3),))
    assert len(_Reader(under_title, Columns(3, {"count": 3, "length": 4}, "")).read(1).lines) == 3


def test_notes_on_a_list() -> None:
    rows = [("P1", None, None, 1, "4 m")] + [(None, None, None, 1, "5 m")] * 13
    supplied = read(*rows, lists=3, sheet="Mill")
    shown = ", ".join(str(n) for n in range(3, 15))
    assert supplied.findings == (
        Finding("list-sheet-taken", Severity.NOTE, "l.csv: 3 of its sheets hold a list; Mill was read.", "Name another with --sheet."),
        Finding("list-planes-incomplete", Severity.NOTE, f"l.csv, sheet Mill: rows {shown} ... name no plane, so the list is checked by totals."),
    )  # fmt: skip
    assert (
        read(*rows[:13], lists=2).findings[1].text
        == f"l.csv: rows {shown} name no plane, so the list is checked by totals."
    )
    assert read(*rows[1:]).findings == ()
    held = table(("P1.1", 2, 4380), ("P1.2", 2, 5200))
    columns = find_columns(held)
    assert isinstance(columns, Columns)
    (_, taken) = _Reader(held, columns).read(1).findings
    text = "l.csv: it has no headings; its columns were taken as mark in column 1, quantity in column 2, length in column 3."
    assert taken == Finding("list-columns-taken", Severity.NOTE, text, "Name them: mark, plane, quantity, length mm.")


def test_a_comma_that_is_no_end_of_a_cell() -> None:
    words = "4 cells under 3 headings: a comma that is no end of a cell, as in 4,38? put such cells in quotes, or save with semicolons"
    heads = ("Mark", "Qty", "Length")
    assert faults(("a", "1", "4", "38"), heads=heads, delimiter=",") == (f"l.csv, row 2: {words}",)
    assert len(read(("a", "1", "4", "38"), heads=heads, delimiter=";").lines) == 1
    assert len(read(("a", "1", "4"), heads=heads, delimiter=",").lines) == 1


def test_as_many_sheets_as_a_roof_can_have(monkeypatch: pytest.MonkeyPatch) -> None:
    assert (cut_list.MOST_SHEETS, cut_list.MOST_FAULTS, raw_table.MOST_ROWS, raw_table.MOST_COLUMNS) == (
        20_000,
        20,
        20_000,
        200,
    )
    monkeypatch.setattr(cut_list, "MOST_SHEETS", 3000)
    row = ("P1", None, None, 1500, "4 m")
    assert len(read(row, row).lines) == 2
    assert faults(row, row, ("P1", None, None, 1, "4 m")) == (
        "l.csv: 3,001 sheets, more than the 3,000 a roof can have",
    )
    bound_rows(Path("l"), "", 20_000, 200)
    for rows, columns, says in (
        (20_001, 1, "l: more than the 20,000 rows a cut list can have"),
        (1, 1234, "l: 1,234 columns, more than the 200 a cut list can have"),
    ):
        with pytest.raises(UnreadableFileError) as caught:
            bound_rows(Path("l"), "", rows, columns)
        assert caught.value.faults == (says,)
    with pytest.raises(UnreadableFileError, match=r"^l, sheet S: more"):
        bound_rows(Path("l"), "S", 20_001, 1)


def test_which_sheet_is_the_cut_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = (("Qty", "Length mm"), (1, 4000))
    names = ["Sums", "Roof", "My sheets", "Cutting", "Cut list A", "Mill order"]
    for k in range(1, 6):
        held = tuple(table(*rows, sheet=name) for name in names[: k + 1])
        monkeypatch.setattr(cut_list, "read_tables", lambda path, held=held: held)
        assert read_cut_list(tmp_path).sheet == names[k]
    assert read_cut_list(tmp_path, "roof").sheet == "Roof"
    with pytest.raises(
        UsageError, match=r"has no sheet 'Wall'; it has Sums, Roof, My sheets, Cutting, Cut list A, Mill order$"
    ):
        read_cut_list(tmp_path, "Wall")
    monkeypatch.setattr(
        cut_list, "read_tables", lambda path: (table(("a",), sheet="A"), table(("Qty", "Len ft"), sheet="B"))
    )
    with pytest.raises(UnreadableFileError) as caught:
        read_cut_list(tmp_path)
    none = "no heading row in the first 40 rows; name the columns: mark, plane, quantity, length mm"
    assert caught.value.faults == (f"l.csv, sheet A: {none}", "l.csv, sheet B: ft is not read; give lengths in mm or m")
    monkeypatch.setattr(cut_list, "read_tables", lambda path: ())
    with pytest.raises(UnreadableFileError, match=r": holds no list$"):
        read_cut_list(tmp_path)
