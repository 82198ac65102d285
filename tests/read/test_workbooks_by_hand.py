"""Workbooks built by hand: what may be opened, the cells that are read, what was typed beside an order; each refusal whole."""

from __future__ import annotations

import datetime
import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.ordered import TypedBefore, TypedLine
from takeoff.read.lists import typed_columns, workbook_guard, workbook_rows
from takeoff.read.lists.raw_table import RawTable, Row
from takeoff.read.lists.typed_columns import typed_before
from takeoff.read.lists.workbook_guard import check_workbook, readable
from takeoff.read.lists.workbook_rows import workbook_tables

PATH = Path("l.xlsx")


def zipped(parts: dict[str, bytes], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", how) as folder:
        for name, data in parts.items():
            folder.writestr(name, data)
    return held.getvalue()


def guarded(parts: dict[str, bytes], how: int = zipfile.ZIP_DEFLATED) -> str:
    try:
        check_workbook(PATH, zipped({"xl/workbook.xml": b"<w/>", **parts}, how))
    except UnreadableFileError as err:
        return err.faults[0].removeprefix("l.xlsx: ")
    return ""


def test_bounds_of_a_workbook(monkeypatch: pytest.MonkeyPatch) -> None:
    guard = workbook_guard
    bounds = (
        guard.MOST_BYTES,
        guard.MOST_UNFOLDED,
        guard.MOST_RATIO,
        guard.MOST_PARTS,
        guard.MOST_MARKS,
        guard.MOST_MARKS_BESIDE,
    )
    assert bounds == (20_000_000, 40_000_000, 150, 2000, 4_000_000, 200_000)
    monkeypatch.setattr(guard, "MOST_PARTS", 3)
    assert guarded({"a": b"", "b": b""}) == ""
    assert guarded({"a": b"", "b": b"", "c": b""}) == "4 parts, more than the 3 a list is made of"
    monkeypatch.setattr(guard, "MOST_UNFOLDED", 5000)
    assert guarded({"a": b"x" * 4996}) == ""
    assert (
        guarded({"a": b"x" * 4997})
        == "unfolds to 5,001 bytes, more than the 5,000 a list can need; keep only the sheet with the list and save it again"
    )
    monkeypatch.setattr(guard, "MOST_UNFOLDED", 40_000_000)
    assert guarded({"a": b"x" * 999_996}) == ""
    assert "times its size; no list does, so it is not opened" in guarded({"a": b"x" * 999_997})
    assert guarded({"a": b"x" * 1_000_000}, zipfile.ZIP_STORED) == ""


def test_marks_of_sheets_and_of_what_stands_beside(monkeypatch: pytest.MonkeyPatch) -> None:
    """Shared strings and sheets count together, all else apart; pictures are not looked into."""
    monkeypatch.setattr(workbook_guard, "MOST_MARKS", 4)
    monkeypatch.setattr(workbook_guard, "MOST_MARKS_BESIDE", 3)
    assert guarded({"xl/Sheet1.xml": b"<<<", "xl/SharedStrings.xml": b"<", "s": b"<<", "p.png": b"<" * 9}) == ""
    many = "marks, more than the {0} a list can need; copy the list alone into a new workbook"
    assert guarded({"xl/sheet1.xml": b"<<<", "xl/sharedStrings.xml": b"<<"}) == "cells and texts of 5 " + many.format(4)
    assert guarded({"styles": b"<<<"}) == "formats and names of 4 " + many.format(3)


def test_what_is_no_workbook(monkeypatch: pytest.MonkeyPatch) -> None:
    for data, says in (
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1rest",
            "l.xlsx: locked by a password, or in the old binary form; save it as plain XLSX",
        ),
        (b"text", "l.xlsx: not an XLSX workbook: File is not a zip file"),
        (zipped({"a": b""}), "l.xlsx: a zip file, but no XLSX workbook in it"),
    ):
        with pytest.raises(UnreadableFileError) as caught:
            check_workbook(PATH, data)
        assert caught.value.faults == (says,)
    for mark in (b"<!DOCTYPE x>", b"<!\0E\0N\0T\0ITY x>"):
        assert guarded({"a.xml": b"x" * 50 + mark}) == "a.xml declares a document type; no workbook needs one"
    monkeypatch.setattr(workbook_guard, "_CHUNK", 7)
    for before in range(7):
        assert (
            guarded({"a.xml": b"x" * before + b"<!DOCTYPE"}) == "a.xml declares a document type; no workbook needs one"
        )
    assert guarded({"a.xml": b"x"}, zipfile.ZIP_BZIP2).endswith("in it is folded in a way no workbook is")
    data = bytearray(zipped({"xl/workbook.xml": b"<w/>", "b": b""}))
    place = data.rindex(b"PK\1\2")
    data[place + 8] |= 1
    with pytest.raises(UnreadableFileError) as caught:
        check_workbook(PATH, bytes(data))
    assert caught.value.faults == ("l.xlsx: b in it is locked by a password",)
    with pytest.raises(UnreadableFileError, match=r"^l.xlsx: words: KeyError$"), readable(PATH, "words"):
        raise KeyError
    with pytest.raises(UnreadableFileError, match=r"^told$"), readable(PATH, "words"):
        raise UnreadableFileError("told")


def saved(*sheets: tuple[str, list[tuple[Any, ...]]], hidden: str = "", merge: str = "") -> bytes:
    made = Workbook()
    made.remove(made.worksheets[0])
    for title, rows in sheets:
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
        if merge:
            sheet.merge_cells(merge)
        if title == hidden:
            sheet.sheet_state = "hidden"
    held = io.BytesIO()
    made.save(held)
    return held.getvalue()


def test_cells_of_a_workbook() -> None:
    day = datetime.datetime(2026, 3, 2)
    rows: list[tuple[Any, ...]] = [
        ("a", None, 2),
        (None, None),
        (" b ", 1.5, True, day, "#REF!", "=1+1"),
        ("#LONGERNAME", "#no", "", "x"),
    ]
    (first, second) = workbook_tables(
        PATH, saved(("One", rows), ("Two", [("x",)]), ("Three", [("y",)]), hidden="Three", merge="B1:C2")
    )
    odd = {
        (3, 2): "C3 holds true, not a figure", (3, 3): "D3 holds a date or time, not a figure", (3, 4): "E3 holds the error #REF!",
        (3, 5): "F3 is a formula without a stored value; open the list, let it calculate, save it",
    }  # fmt: skip
    assert first.rows[0] == Row(1, ("a",))  # what was merged keeps its first cell alone
    assert first.rows[1:] == (Row(3, ("b", 1.5, None, None, None, None)), Row(4, ("#LONGERNAME", "#no", None, "x")))
    assert (first.file, first.sheet, first.merged, first.odd) == ("l.xlsx", "One", ((1, 2, 1, 2),), odd)
    assert second == RawTable("l.xlsx", "Two", (Row(1, ("x",)),), ((1, 2, 1, 2),))
    assert workbook_rows._cell(datetime.time(3), False, "A1") == (None, "A1 holds a date or time, not a figure")
    assert [workbook_rows._cell(text, False, "A1")[1] for text in ("#DIV/0!", "#N/A", "#NAME?", "#ABCDEFGHI")] == [
        f"A1 holds the error {text}" for text in ("#DIV/0!", "#N/A", "#NAME?")
    ] + [""]
    assert workbook_rows.MOST_MERGED == 20_000


def test_cells_beyond_the_last_column() -> None:
    assert len(workbook_tables(PATH, saved(("S", [(None,) * 199 + (1,)])))[0].rows[0].cells) == 200
    with pytest.raises(UnreadableFileError) as caught:
        workbook_tables(PATH, saved(("S", [(None,) * 1200 + (1,)])))
    says = "l.xlsx, sheet S: cell ATE1 is in column 1,201, more than the 200 a cut list can have; delete what is in it"
    assert caught.value.faults == (says,)


# ------------------------------------------------------------ what was typed beside an order


def typed(folder: Path, *sheets: tuple[str, list[tuple[Any, ...]]]) -> TypedBefore:
    path = folder / "order.xlsx"
    path.write_bytes(saved(*sheets))
    return typed_before(path)


HEADS = ("line", "item", "length mm", "ordered", "received", "item")


def test_what_was_typed_beside_the_lines(tmp_path: Path) -> None:
    """Figures, days and words, two hundred letters of them; the first of two columns of a name; nothing above the headings."""
    rows: list[tuple[Any, ...]] = [
        ("x", "y", 1, 2, 3), HEADS, (1, "a  b", 900, 3, None, "other"), (2, "c", "long", datetime.datetime(2026, 3, 2), True), (3, "d", 5, None, ""), (4, "e", 5.5, "w" * 210, datetime.datetime(2026, 3, 2, 4, 5)),
    ]  # fmt: skip
    found = typed(
        tmp_path,
        ("Order", rows),
        ("Other", rows),
        ("Not matched", [("sheet", "item", "length mm", "ordered", "received"), ("Order", "z", 7, 1.5, "no")]),
    )
    assert found == TypedBefore((
        TypedLine("Order", "a b", 900.0, 3.0, ""), TypedLine("Order", "c", 0.0, "2026-03-02", "yes"), TypedLine("Order", "e", 5.5, "w" * 200, "2026-03-02 04:05"),
        TypedLine("Order", "z", 7.0, 1.5, "no"),
    ))  # fmt: skip
    assert (typed_columns._MOST_ROWS, typed_columns._MOST_COLUMNS, typed_columns._MOST_LETTERS) == (6000, 24, 200)


def test_lines_of_a_mill_order_are_named_by_the_bar_over_them(tmp_path: Path) -> None:
    heads = ("profile", "length mm", "ordered", "received")
    rows: list[tuple[Any, ...]] = [
        heads, ("Rib 760",), ("a note on it",), (None, 4000, 2, None), ("spare sheet", 4000, 1, None), ("Wave",), (None, 3000, 5, 4),
    ]  # fmt: skip
    found = typed(tmp_path, ("Mill order", rows))
    assert [(line.item, line.length_mm, line.ordered) for line in found.lines] == [
        ("Rib 760", 4000.0, 2.0),
        ("Rib 760, spare sheet", 4000.0, 1.0),
        ("Wave", 3000.0, 5.0),
    ]


def test_no_workbook_and_one_that_does_not_open(tmp_path: Path) -> None:
    assert typed_before(tmp_path / "none.xlsx") == TypedBefore()
    path = tmp_path / "order.xlsx"
    path.write_bytes(b"text")
    assert typed_before(path) == TypedBefore(fault=f"{path}: not an XLSX workbook: File is not a zip file")
    path.write_bytes(zipped({"xl/workbook.xml": b"<w/>"}))
    assert typed_before(path).fault.startswith(f"{path}: damaged, it does not open as a workbook: ")


@pytest.mark.parametrize(("numbers", "faulty"), [((1, 2), ""), ((3, 9), ""), ((0, 1), "row 0 of sheet S stands after row 0"), ((2, 2), "row 2 of sheet S stands after row 2")])  # fmt: skip
def test_rows_of_a_sheet_go_up_from_one(monkeypatch: pytest.MonkeyPatch, numbers: tuple[int, ...], faulty: str) -> None:
    cell = {"column": 1, "value": "x", "data_type": "s"}
    monkeypatch.setattr(workbook_rows, "_rows", lambda *_: iter([(number, [cell]) for number in numbers]))
    sheet: Any = type("Sheet", (), {"title": "S"})
    if faulty:
        with pytest.raises(ValueError, match=f"^{faulty}$"):
            workbook_rows._sheet_table(PATH, sheet)
    else:
        found = workbook_rows._sheet_table(PATH, sheet)
        assert found.rows == tuple(Row(number, ("x",)) for number in numbers)
