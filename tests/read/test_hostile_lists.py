"""Lists built to cost time or to be misread: stray cells, huge merged ranges, damage, two columns of one heading,
decimal commas. Small files cost little, and what can be read two ways is refused."""

from __future__ import annotations

import random
import time
import tracemalloc
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.supplied import SuppliedList
from takeoff.read.lists.cut_list import read_cut_list
from takeoff.read.lists.site_measures import read_site_measures


def book(path: Path, *more: tuple[str, object]) -> Path:
    made = Workbook()
    sheet = made.worksheets[0]
    for row in (("mark", "qty", "length mm"), ("P1.01", 2, 4380), ("P1.02", 1, 990)):
        sheet.append(row)
    for place, value in more:
        sheet[place] = value
    made.save(path)
    return path


def rewritten(path: Path, part: str, old: str, new: str) -> Path:
    """A part of a workbook changed by its text."""
    with zipfile.ZipFile(path) as folder:
        parts = {name: folder.read(name) for name in folder.namelist()}
    assert old in parts[part].decode()
    parts[part] = parts[part].decode().replace(old, new).encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as folder:
        for name, data in parts.items():
            folder.writestr(name, data)
    return path


def lines(found: SuppliedList) -> list[tuple[str, int, float]]:
    return [(line.mark, line.count, line.length_mm) for line in found.lines]


def text_list(tmp_path: Path, text: str) -> SuppliedList:
    (tmp_path / "list.csv").write_text(text, encoding="utf-8")
    return read_cut_list(tmp_path / "list.csv")


SHEET = "xl/worksheets/sheet1.xml"
TWO = [("P1.01", 2, 4380.0), ("P1.02", 1, 990.0)]


def test_cells_without_values_far_away_cost_nothing(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx")
    far = '<row r="1048576"><c r="XFD1048576" s="0"/></row></sheetData>'
    rewritten(path, SHEET, "</sheetData>", far)
    tracemalloc.start()
    begin = time.perf_counter()
    assert lines(read_cut_list(path)) == TWO
    assert time.perf_counter() - begin < 3.0
    assert tracemalloc.get_traced_memory()[1] < 50e6
    tracemalloc.stop()


def test_a_stray_value_in_the_last_column_is_refused_by_its_place(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx", ("XFD2", "x"))
    with pytest.raises(UnreadableFileError, match="cell XFD2 is in column 16,384"):
        read_cut_list(path)


def test_a_stray_value_in_the_last_row_is_told_by_its_row(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx", ("B1048576", 3))
    begin = time.perf_counter()
    with pytest.raises(UnreadableFileError, match=r"row 1048576: a quantity \(3\) without a length"):
        read_cut_list(path)
    assert time.perf_counter() - begin < 3.0


def test_a_huge_merged_range_costs_nothing_and_is_refused(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx")
    merged = '</sheetData><mergeCells count="1"><mergeCell ref="A2:XFD1048576"/></mergeCells>'
    rewritten(path, SHEET, "</sheetData>", merged)
    begin = time.perf_counter()
    with pytest.raises(UnreadableFileError, match="merged"):
        read_cut_list(path)
    assert time.perf_counter() - begin < 3.0


def test_rows_out_of_order_and_cells_twice_are_damage(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx")
    rewritten(path, SHEET, "</sheetData>", '<row r="2"><c r="A2"><v>1</v></c></row></sheetData>')
    with pytest.raises(UnreadableFileError, match="row 2 of sheet Sheet stands after row 3"):
        read_cut_list(path)
    path = book(tmp_path / "list.xlsx")
    rewritten(path, SHEET, '<c r="C2"', '<c r="C2"><v>1</v></c><c r="C2"')
    with pytest.raises(UnreadableFileError, match="stands in it twice"):
        read_cut_list(path)


def test_more_formats_than_a_list_needs_are_refused(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx")
    junk = "".join(f'<font><sz val="{i}"/></font>' for i in range(100_000))
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as folder:
        folder.writestr("xl/more.xml", f"<x>{junk}</x>")
    with pytest.raises(UnreadableFileError, match="formats and names"):
        read_cut_list(path)


def test_a_document_type_is_found_wherever_it_stands(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx")
    rewritten(path, SHEET, "<worksheet", f"<!--{'x' * 10_000}--><!DOCTYPE x><worksheet")
    with pytest.raises(UnreadableFileError, match="document type"):
        read_cut_list(path)


def test_any_damage_is_one_kind_of_fault(tmp_path: Path) -> None:
    whole = book(tmp_path / "list.xlsx").read_bytes()
    chance = random.Random(7)
    for _ in range(120):
        data = bytearray(whole)
        for _ in range(chance.randrange(1, 8)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        (tmp_path / "damaged.xlsx").write_bytes(data[: chance.choice((len(data), chance.randrange(len(data))))])
        try:
            found = read_cut_list(tmp_path / "damaged.xlsx")
        except UnreadableFileError:
            continue
        assert lines(found) == TWO  # the damage hit nothing that is read


@pytest.mark.parametrize(
    ("heads", "words"),
    [
        ("qty,length mm,length mm", "two columns for the length, 'length mm' in column 2 and 'length mm' in column 3"),
        ("qty,length mm,qty", "two columns for the quantity"),
        ("no,qty,length mm", "two columns for the quantity, 'no' in column 1 and 'qty' in column 2"),
        ("qty,length mm,cut length mm", "two columns for the length"),
        ("qty,mark,mark,length mm", "two columns for the mark"),
    ],
)
def test_two_columns_of_one_kind_are_refused(tmp_path: Path, heads: str, words: str) -> None:
    with pytest.raises(UnreadableFileError, match=words):
        text_list(tmp_path, f"{heads}\n1,2,3,4\n")


def test_two_columns_for_a_taped_size_are_refused(tmp_path: Path) -> None:
    (tmp_path / "form.csv").write_text("plane,item,mm,measured\nP1,eave,100,200\n", encoding="utf-8")
    with pytest.raises(UnreadableFileError, match="2 columns for mm"):
        read_site_measures(tmp_path / "form.csv")


def test_decimal_commas_without_quotes_are_told_not_shifted(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match=r"row 2: 4 cells under 3 headings: a comma that is no end of a cell"):
        text_list(tmp_path, "mark,length m,qty\nP1.01,4,38,2\nP1.02,990,1\n")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("mark;qty;length m\nA;2;4,38\nB;1;4,380\n", [("A", 2, 4380.0), ("B", 1, 4380.0)]),
        ("mark;qty;length mm\nA;2;4380,5\nB;1;1.234,5\n", [("A", 2, 4380.5), ("B", 1, 1234.5)]),
        ("mark;qty;length mm\nA;2,000;4380,0\n", [("A", 2, 4380.0)]),
        ('mark,qty,length m\nA,2,"4,38"\nB,1,"12,500"\n', [("A", 2, 4380.0), ("B", 1, 12_500.0)]),
        ('mark,qty,length mm\nA,2,"4,380"\nB,1,990.5\n', [("A", 2, 4380.0), ("B", 1, 990.5)]),
        ("mark;qty;length mm\nA;2;4.380\n", [("A", 2, 4380.0)]),
    ],
)
def test_decimal_commas(tmp_path: Path, text: str, found: list[tuple[str, int, float]]) -> None:
    assert lines(text_list(tmp_path, text)) == found


def test_a_decimal_comma_that_makes_no_length_is_refused(tmp_path: Path) -> None:
    """12,500 in a list of decimal commas is 12.5, whatever 12 500 would be."""
    with pytest.raises(UnreadableFileError, match=r"row 3: '12,500' in mm is no length"):
        text_list(tmp_path, "mark;qty;length mm\nA;2;4380,5\nB;1;12,500\n")


def test_a_kept_list_is_read_by_its_own_kind(tmp_path: Path) -> None:
    (tmp_path / "list.csv.kept-12").write_text("mark,qty,length mm\nP1.01,2,4380\n", encoding="utf-8")
    assert lines(read_cut_list(tmp_path / "list.csv.kept-12")) == [("P1.01", 2, 4380.0)]


def test_what_a_spreadsheet_program_saved_is_read_alike(tmp_path: Path) -> None:
    path = book(tmp_path / "list.xlsx", ("A5", "=1+1"), ("D2", True))
    again = load_workbook(path)
    again.worksheets[0].merge_cells("E1:F1")
    again.save(path)
    assert lines(read_cut_list(path)) == TWO
