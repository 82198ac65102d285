"""Supplied cut lists as people send them: what is read, and that every fault is told with its place."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.model.supplied import SuppliedList
from takeoff.read.lists.cut_list import read_cut_list
from takeoff.read.lists.length_words import read_count, read_length


def csv_list(folder: Path, text: str) -> SuppliedList:
    path = folder / "list.csv"
    path.write_text(text, encoding="utf-8")
    return read_cut_list(path)


def book(folder: Path, *rows: tuple[object, ...], title: str = "List", merge: str = "") -> Path:
    made = Workbook()
    sheet = made.active
    assert sheet is not None
    sheet.title = title
    for row in rows:
        sheet.append(row)
    if merge:
        sheet.merge_cells(merge)
    path = folder / "list.xlsx"
    made.save(path)
    return path


def faults(path: Path) -> str:
    with pytest.raises(UnreadableFileError) as caught:
        read_cut_list(path)
    assert int(caught.value.exit_code) == 4
    return "\n".join(caught.value.faults)


def plain(supplied: SuppliedList) -> list[tuple[str, int, float]]:
    return [(line.plane, line.count, line.length_mm) for line in supplied.lines]


@pytest.mark.parametrize(
    ("cell", "unit", "mm"),
    [
        (4380, "mm", 4380.0),
        (4.38, "m", 4380.0),
        ("4.380 m", "", 4380.0),
        ("4.380 m", "mm", 4380.0),  # the cell's own unit goes before the heading's
        ("4,380", "mm", 4380.0),
        ("4,380", "m", 4380.0),
        ("4,380", "", 4380.0),
        ("4 380", "mm", 4380.0),
        ("4380mm", "", 4380.0),
        ("4'380 mm", "", 4380.0),
        ("4.380", "mm", 4380.0),  # a point between thousands: 4.38 mm is no sheet
        ("12.5", "", 12500.0),
        (59.9, "", 59900.0),
        ("1,234.5", "mm", 1234.5),
    ],
)
def test_lengths_as_people_write_them(cell: str | float, unit: str, mm: float) -> None:
    assert read_length(cell, unit).mm == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("cell", "unit"),
    [("four", "mm"), (4.38, "mm"), (4380, "m"), (-4380, "mm"), ("4.38.1", "mm"), ("43 80", "mm"), ("14 ft", ""),
     ("1,2,3", ""), ("4380 x 3", "mm"), (float("nan"), "mm"), (float("inf"), ""), ("", "mm"), ("=2*3", "mm"), ("4e3", "mm")],
)  # fmt: skip
def test_what_is_no_length_is_refused(cell: str | float, unit: str) -> None:
    with pytest.raises(ValueError, match=r"length|number|unit|read|no"):
        read_length(cell, unit)


@pytest.mark.parametrize(("cell", "count"), [(3, 3), (3.0, 3), ("3", 3), ("x3", 3), ("3 no", 3), ("1,200", 1200)])
def test_counts(cell: str | float, count: int) -> None:
    assert read_count(cell) == count


@pytest.mark.parametrize("cell", [2.5, "-1", "two", -1, 1e9, "2,5", float("nan")])
def test_what_is_no_count_is_refused(cell: str | float) -> None:
    with pytest.raises(ValueError, match="sheets"):
        read_count(cell)


def test_a_plain_list(tmp_path: Path) -> None:
    found = csv_list(tmp_path, "Mark,Plane,Qty,Length mm\nP1.01,P1,2,4380\nP2.01,plane 2,1,990\n")
    assert plain(found) == [("P1", 2, 4380.0), ("P2", 1, 990.0)]
    assert [line.row for line in found.lines] == [2, 3]
    assert found.by_plane
    assert found.findings == ()


def test_title_rows_totals_and_other_signs(tmp_path: Path) -> None:
    text = "Roof sheets for the house;;\n;;\nquantity;length (m);note\n2;4,380;long\n\n1;0,99;\ntotal;9,75;\n"
    found = csv_list(tmp_path, text)
    assert plain(found) == [("", 2, 4380.0), ("", 1, 990.0)]
    assert not found.by_plane


def test_a_merged_title_is_let_be(tmp_path: Path) -> None:
    path = book(tmp_path, ("Sheets", None, None), ("qty", "length mm", "mark"), (2, 4380, "a"), merge="A1:C1")
    assert plain(read_cut_list(path)) == [("", 2, 4380.0)]


@pytest.mark.parametrize(("length", "unit"), [("4.38", "m"), ("4380", "mm")])
def test_a_unit_that_is_not_stated_is_taken_and_said(tmp_path: Path, length: str, unit: str) -> None:
    found = csv_list(tmp_path, f"qty,length\n1,{length}\n")
    assert plain(found) == [("", 1, 4380.0)]
    assert [finding.code for finding in found.findings] == ["list-unit-taken"]
    assert f"taken as {unit}," in found.findings[0].text


def test_units_that_mix_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("qty,length\n1,4380\n1,4200\n1,4.1\n", encoding="utf-8")
    assert "list.csv, row 4: without a unit the lengths look like mm and like m (like m in rows 4)" in faults(path)


def test_planes_from_headings_and_marks(tmp_path: Path) -> None:
    found = csv_list(tmp_path, "qty,length mm\nP1: north,\n2,4380\nPlane 2,\n1,990\n")
    assert plain(found) == [("P1", 2, 4380.0), ("P2", 1, 990.0)]
    found = csv_list(tmp_path, "mark,length mm\nP1.01,4380\nP3/2a,990\n")
    assert plain(found) == [("P1", 1, 4380.0), ("P3", 1, 990.0)]
    assert [finding.code for finding in found.findings] == ["list-count-taken"]


def test_the_sheet_that_is_a_cut_list(tmp_path: Path) -> None:
    made = Workbook()
    for title, length in (("Timber", 6000), ("Mill order", 4380)):
        sheet = made.create_sheet(title)
        sheet.append(("qty", "length mm"))
        sheet.append((1, length))
    path = tmp_path / "list.xlsx"
    made.save(path)
    assert plain(read_cut_list(path)) == [("", 1, 4380.0)]
    assert plain(read_cut_list(path, "timber")) == [("", 1, 6000.0)]
    with pytest.raises(UsageError, match="Timber, Mill order"):
        read_cut_list(path, "Roof")


def test_merged_cells_inside_the_data(tmp_path: Path) -> None:
    rows = [("plane", "qty", "length mm"), ("P1", 2, 4380), (None, 1, 990), ("P2", 1, 800)]
    path = book(tmp_path, *rows, merge="A2:A3")
    assert "list.xlsx, sheet List, row 2: cells under plane are merged (rows 2 to 3)" in faults(path)


def test_missing_columns(tmp_path: Path) -> None:
    path = book(tmp_path, ("mark", "qty", "colour"), ("a", 2, "grey"))
    assert faults(path) == "list.xlsx, sheet List: row 1 has no heading for the length; it reads: mark, qty, colour"
    path = book(tmp_path, ("length mm", "colour"), (4380, "grey"))
    assert "row 1 has no heading for the quantity" in faults(path)
    path = book(tmp_path, ("a", "b"), (1, 2))
    assert "no heading row" in faults(path)


def test_lengths_in_feet_are_not_guessed(tmp_path: Path) -> None:
    assert "ft is not read" in faults(book(tmp_path, ("qty", "length ft"), (1, 14)))


def test_another_table_below_is_not_read(tmp_path: Path) -> None:
    rows = [("qty", "length mm", "note"), (2, 4380, ""), ("", "plain", "with pairs"), ("", 33, 31)]
    found = read_cut_list(book(tmp_path, *rows))
    assert plain(found) == [("", 2, 4380.0)]
    assert [finding.code for finding in found.findings] == ["list-ends"]
    assert "row 3" in found.findings[0].text


def test_text_numbers_in_a_workbook(tmp_path: Path) -> None:
    path = book(tmp_path, ("qty", "length"), ("2", "4.380 m"), (" 1 ", "4,380"))
    assert plain(read_cut_list(path)) == [("", 2, 4380.0), ("", 1, 4380.0)]


def test_formulas_without_values_are_told(tmp_path: Path) -> None:
    path = book(tmp_path, ("qty", "length mm"), (2, "=4000+380"), (1, 990))
    assert "list.xlsx, sheet List, row 2: B2 is a formula without a stored value" in faults(path)


def test_formulas_with_values_are_used(tmp_path: Path) -> None:
    path = book(tmp_path, ("qty", "length mm"), (2, "=4000+380"))
    with zipfile.ZipFile(path) as source:
        parts = {name: source.read(name) for name in source.namelist()}
    sheet = parts["xl/worksheets/sheet1.xml"].replace(b"<f>4000+380</f><v />", b"<f>4000+380</f><v>4380</v>")
    sheet = sheet.replace(b"<f>4000+380</f><v></v>", b"<f>4000+380</f><v>4380</v>")
    assert b"<v>4380</v>" in sheet
    with zipfile.ZipFile(path, "w") as target:
        for name, data in parts.items():
            target.writestr(name, sheet if name == "xl/worksheets/sheet1.xml" else data)
    assert plain(read_cut_list(path)) == [("", 2, 4380.0)]


@pytest.mark.parametrize("value", ["#REF!", "#N/A", True])
def test_errors_and_words_in_cells_are_told(tmp_path: Path, value: object) -> None:
    assert "row 2: B2 holds" in faults(book(tmp_path, ("qty", "length mm"), (2, value), (1, 990)))


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("qty,length mm\nx,4380\n1,abc\n1,\n,990\n1.5,990\n", encoding="utf-8")
    told = faults(path).splitlines()
    assert [line.split(":")[0] for line in told] == [f"list.csv, row {row}" for row in (2, 3, 4, 5, 6)]


def test_more_faults_than_fit_a_screen_are_counted(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("qty,length mm\n" + "1,abc\n" * 50, encoding="utf-8")
    assert faults(path).splitlines()[-1] == "list.csv: and 30 faults more"


def test_a_million_rows_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("qty,length mm\n" + "1,4380\n" * 600_000, encoding="utf-8")
    assert "20,000 rows" in faults(path)
    made = Workbook(write_only=True)
    sheet = made.create_sheet("List")
    sheet.append(("qty", "length mm"))
    for _ in range(25_000):
        sheet.append((1, 4380))
    made.save(tmp_path / "list.xlsx")
    assert "sheet List: more than the 20,000 rows" in faults(tmp_path / "list.xlsx")


def test_a_zip_bomb_is_not_opened(tmp_path: Path) -> None:
    path = book(tmp_path, ("qty", "length mm"), (1, 4380))
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as folder:
        folder.writestr("xl/worksheets/sheet2.xml", b" " * 30_000_000)
    assert "times its size" in faults(path)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as folder:
        folder.writestr("xl/media/x.bin", b" " * 30_000_000)
    assert "unfolds to" in faults(path)


def test_files_that_are_no_list(tmp_path: Path) -> None:
    wrong = {
        "a.xlsx": b"not a zip",
        "b.xlsx": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600,
        "c.xlsx": b"",
        "d.csv": b"\xff\xfe\x00",
        "e.csv": b"qty,length mm\n1,\xe9\n",
        "f.csv": b"",
        "g.pdf": b"%PDF",
        "h.csv": b"qty,len\x00gth\n",
    }
    for name, data in wrong.items():
        (tmp_path / name).write_bytes(data)
        assert name in faults(tmp_path / name)
    assert "there is no such file" in faults(tmp_path / "no.xlsx")
    assert "is a folder" in faults(tmp_path)
    with zipfile.ZipFile(tmp_path / "z.xlsx", "w") as folder:
        folder.writestr("readme.txt", "hello")
    assert "no XLSX workbook in it" in faults(tmp_path / "z.xlsx")
    assert "locked by a password" in faults(tmp_path / "b.xlsx")


def test_a_damaged_workbook_is_told(tmp_path: Path) -> None:
    whole = book(tmp_path, ("qty", "length mm"), (1, 4380))
    with zipfile.ZipFile(whole) as source:
        parts = {name: source.read(name) for name in source.namelist()}
    for name in ("xl/workbook.xml", "xl/worksheets/sheet1.xml", "[Content_Types].xml", "xl/_rels/workbook.xml.rels"):
        damaged = tmp_path / "damaged.xlsx"
        with zipfile.ZipFile(damaged, "w") as target:
            for other, data in parts.items():
                target.writestr(other, data[: len(data) // 2] if other == name else data)
        assert "damaged.xlsx: damaged" in faults(damaged), name


def test_a_document_type_is_refused(tmp_path: Path) -> None:
    path = book(tmp_path, ("qty", "length mm"), (1, 4380))
    with zipfile.ZipFile(path, "a") as folder:
        folder.writestr("xl/extra.xml", '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>')
    assert "declares a document type" in faults(path)
