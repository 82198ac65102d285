"""What people type into "ordered" and "received" of the order sheet is in the next one too, beside the same item and
length; what has no line any more is listed, and nothing typed is ever lost."""

from __future__ import annotations

import datetime
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import load_workbook

from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.model.order_folder import ORDER_SHEET, Written
from takeoff.pipeline import write_files
from takeoff.read.lists.typed_columns import typed_before

Place = tuple[str, str, float | None]


def typed_into(out: Path, entries: dict[tuple[str, int], tuple[object, object]]) -> None:
    """Type into the columns of a sheet's rows, as a person does."""
    book = load_workbook(out / ORDER_SHEET)
    for (title, row), values in entries.items():
        heads = {cell.value: cell.column for cell in book[title][5]}
        for heading, value in zip(("ordered", "received"), values, strict=True):
            book[title].cell(row, heads[heading]).value = value
    book.save(out / ORDER_SHEET)


def row_of(out: Path, title: str, item: str, length: float | None) -> int:
    sheet = load_workbook(out / ORDER_SHEET)[title]
    heads = {cell.value: cell.column for cell in sheet[5]}
    name = heads.get("item", heads.get("profile"))
    rows = [
        row[0].row
        for row in sheet.iter_rows(min_row=6)
        if str(row[name - 1].value).startswith(item) and row[heads["length mm"] - 1].value == length
    ]
    return int(rows[0])


def values_at(out: Path, title: str, row: int) -> tuple[object, object]:
    sheet = load_workbook(out / ORDER_SHEET, data_only=True)[title]
    heads = {cell.value: cell.column for cell in sheet[5]}
    return sheet.cell(row, heads["ordered"]).value, sheet.cell(row, heads["received"]).value


def without(takeoff: Takeoff, item: str) -> Takeoff:
    order = takeoff.order
    assert order is not None
    return replace(takeoff, order=replace(order, lines=tuple(line for line in order.lines if line.item != item)))


@pytest.fixture(scope="module")
def first(sample: Takeoff, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("first")
    write_files(sample, out, only="order")
    return out


@pytest.fixture
def out(first: Path, tmp_path: Path) -> Path:
    shutil.copytree(first, tmp_path / "out")
    return tmp_path / "out"


def again(takeoff: Takeoff, out: Path) -> Written:
    return write_files(takeoff, out, only="order")


def purlin_line(order: Order | None) -> OrderLine:
    assert order is not None
    return next(line for line in order.lines if line.delivery == "purlins" and line.each_mm > 0.0)


def test_numbers_days_and_words_stand_beside_the_same_lines_again(sample: Takeoff, out: Path) -> None:
    purlin = row_of(out, "Order", "Purlin", purlin_line(sample.order).each_mm)
    sheet = next(
        row[0].row for row in load_workbook(out / ORDER_SHEET)["Mill order"].iter_rows() if row[0].value == "corrugated"
    )
    typed_into(out, {("Order", purlin): (12, "half of it"), ("Mill order", sheet): (datetime.date(2026, 3, 5), 2.5)})
    done = again(sample, out)
    assert done.unmatched == ()
    assert done.kept == ((ORDER_SHEET, f"{ORDER_SHEET}.kept-1"),)
    assert values_at(out, "Order", purlin) == (12, "half of it")
    assert values_at(out, "Mill order", sheet) == ("2026-03-05", 2.5)
    assert again(sample, out).kept == (), "what was carried is part of the set"
    assert values_at(out, "Order", purlin) == (12, "half of it")


def test_what_no_longer_matches_is_listed_and_comes_back_with_its_line(
    sample: Takeoff, stopped: Takeoff, out: Path
) -> None:
    line = purlin_line(sample.order)
    row = row_of(out, "Order", "Purlin", line.each_mm)
    typed_into(out, {("Order", row): (7, None)})
    done = again(without(sample, line.item), out)
    assert len(done.unmatched) == 1
    assert done.unmatched[0].endswith(": ordered 7")
    listed = load_workbook(out / ORDER_SHEET)["Not matched"]
    values = [cell.value for cell in listed[6]]
    assert (values[0], *values[3:]) == ("Order", 7, None)
    assert again(stopped, out).unmatched == done.unmatched, "a stopped run keeps it"
    assert again(sample, out).unmatched == ()
    assert values_at(out, "Order", row) == (7, None)
    assert "Not matched" not in load_workbook(out / ORDER_SHEET).sheetnames


def test_a_formula_that_was_typed_is_no_formula_later(sample: Takeoff, out: Path) -> None:
    row = row_of(out, "Order", "Purlin", purlin_line(sample.order).each_mm)
    typed_into(out, {("Order", row): ("'=1+1", "x" * 5000)})
    again(sample, out)
    sheet = load_workbook(out / ORDER_SHEET)["Order"]
    heads = {cell.value: cell.column for cell in sheet[5]}
    assert sheet.cell(row, heads["ordered"]).data_type == "s"
    assert len(str(sheet.cell(row, heads["received"]).value)) <= 200


@pytest.mark.parametrize("content", [b"", b"not a workbook", b"PK\x03\x04 broken"])
def test_a_workbook_that_does_not_open_is_told_and_kept(content: bytes, sample: Takeoff, out: Path) -> None:
    (out / ORDER_SHEET).write_bytes(content)
    done = again(sample, out)
    assert ORDER_SHEET in done.unread
    assert done.kept == ((ORDER_SHEET, f"{ORDER_SHEET}.kept-1"),)
    assert (out / f"{ORDER_SHEET}.kept-1").read_bytes() == content


def test_a_column_put_in_between_does_no_harm(sample: Takeoff, out: Path) -> None:
    line = purlin_line(sample.order)
    row = row_of(out, "Order", "Purlin", line.each_mm)
    typed_into(out, {("Order", row): (3, 1)})
    book = load_workbook(out / ORDER_SHEET)
    book["Order"].insert_cols(3)
    book.save(out / ORDER_SHEET)
    (found,) = typed_before(out / ORDER_SHEET).lines
    assert (found.length_mm, found.ordered, found.received) == (line.each_mm, 3.0, 1.0)


def test_nothing_is_read_where_there_is_nothing(tmp_path: Path) -> None:
    assert typed_before(tmp_path / ORDER_SHEET).lines == ()
    assert typed_before(tmp_path / ORDER_SHEET).fault == ""
