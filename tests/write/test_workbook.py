"""The order sheet as a reader that does not recalculate sees it, and as it prints."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from typing import Any

import openpyxl
from openpyxl.worksheet._writer import WorksheetWriter
from python_calamine import CalamineWorkbook

from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.order import HOLD, Takeoff
from takeoff.write.words.item_names import item_name
from takeoff.write.workbook import book_package
from takeoff.write.workbook.make_template import FORMATS
from takeoff.write.workbook.workbook import fill_workbook, workbook_bytes
from takeoff.write.workbook.workbook_grid import BOX_INSIDE, BOX_LAST, GROUP_WORDS, MOST_WIDE
from takeoff.write.workbook.workbook_page import Cell, Formula

ROOF_SHEETS = ("Order", "Mill order", "Pack list", "Cutting list", "Purlins", "Purlin rows", "Flashings")


def rows(data: bytes, title: str) -> list[list[object]]:
    """Values as a reader sees them that trusts what is stored."""
    return CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name(title).to_python(skip_empty_area=False)


def test_every_formula_stores_the_value_it_gives(sample: Takeoff) -> None:
    filled = fill_workbook(sample)
    data = workbook_bytes(sample)
    formulas = openpyxl.load_workbook(io.BytesIO(data))
    values = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    seen = 0
    for sheet in formulas.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    seen += 1
                    assert values[sheet.title][cell.coordinate].value == filled.values[sheet.title][cell.coordinate]
    assert seen == sum(len(cells) for cells in filled.values.values()) > 70


def test_the_order_lists_every_line_with_its_total(sample: Takeoff) -> None:
    assert sample.order is not None
    printed = [row for row in rows(workbook_bytes(sample), "Order") if str(row[0])[:1].isdigit()]
    single = [row for row in printed if str(row[0]).isdigit()]
    lines = sample.order.lines
    sheets = [line for line in lines if line.item.startswith("sheet ")]
    assert [(row[1], row[2], row[5]) for row in single] == [
        (item_name(line.of), line.count, line.total) for line in lines if line not in sheets
    ]
    # sheets of a profile are one line that points to the mill order
    whole = next(row for row in printed if " to " in str(row[0]))
    numbers = [number for number, line in enumerate(lines, start=1) if line in sheets]
    assert whole[0] == f"{numbers[0]} to {numbers[-1]}"
    assert (whole[2], whole[4]) == (sum(line.count for line in sheets), max(line.each_mm for line in sheets))
    assert whole[5] == sample.order.sheets_bought_m
    formula = openpyxl.load_workbook(io.BytesIO(workbook_bytes(sample)))["Order"]
    row = next(row[0].row for row in formula.iter_rows() if row[0].value == whole[0])
    assert str(formula[f"F{row}"].value).startswith("='Mill order'!D")


def test_the_mill_order_is_longest_first_and_adds_up(sample: Takeoff) -> None:
    assert sample.order is not None
    printed = [row for row in rows(workbook_bytes(sample), "Mill order") if row[0] == "corrugated"]
    lengths = [float(str(row[2])) for row in printed]
    assert lengths == sorted(lengths, reverse=True)
    assert sum(float(str(row[1])) for row in printed) == len(sample.order.blanks)
    assert round(sum(float(str(row[3])) for row in printed), 3) == sample.order.sheets_bought_m


def test_the_cutting_list_has_every_sheet_once_with_its_bought_length(sample: Takeoff) -> None:
    assert sample.order is not None
    printed = {str(row[0]): row[2] for row in rows(workbook_bytes(sample), "Cutting list") if "." in str(row[0])[:3]}
    assert printed == {blank.pieces[0].mark: blank.length_mm for blank in sample.order.blanks}


def test_order_and_mill_order_come_first(sample: Takeoff) -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(sample)))
    assert book.sheetnames[:2] == ["Order", "Mill order"]


def test_letters_are_printed_at_eight_points_or_more(sample: Takeoff) -> None:
    """Digits of an 11 point sans serif are 0.556 x 11 = 6.12 points wide; an upright A4 page less 0.4 and 0.3 inch of
    margin is 545 points wide."""
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(sample)))
    for sheet in book.worksheets:
        wide = sum(sheet.column_dimensions[cell.column_letter].width for cell in sheet[5]) * 0.556 * 11
        fitted = bool(sheet.sheet_properties.pageSetUpPr and sheet.sheet_properties.pageSetUpPr.fitToPage)
        size = 11 * (min(1.0, 545 / wide) if fitted else sheet.page_setup.scale / 100)
        assert size >= 8.0, sheet.title
        assert fitted or wide * sheet.page_setup.scale / 100 <= 545, sheet.title
        assert sheet.page_setup.orientation == "portrait"


def test_what_a_paper_prints_is_not_printed_again(sample: Takeoff) -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(sample)))
    for title, paper in (("Cutting list", "site.pdf"), ("Basis", "office.pdf")):
        assert book[title].print_area.endswith("$4")
        assert f"printed as {paper}" in book[title]["A4"].value
    assert not book["Order"].print_area.endswith("$4")


def test_print_setup_footer_and_hold(sample: Takeoff) -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(sample)))
    for sheet in book.worksheets:
        assert sheet.page_setup.paperSize == 9
        assert sheet.print_title_rows == "$1:$5"
        assert sheet.oddFooter.left.text == "Orchard house <A> && shed, revision B, 2 March 2026"
        assert sheet.oddFooter.right.text == "job 00000000, page &P of &N"
        assert (sheet["A3"].value == HOLD) == (sheet.title in ROOF_SHEETS)
        sizes = {cell.font.size for row in sheet.iter_rows() for cell in row if cell.value is not None}
        assert min(sizes) >= 11
        assert sum(sheet.column_dimensions[cell.column_letter].width for cell in sheet[5]) <= MOST_WIDE


def test_nothing_from_a_job_becomes_a_formula(sample: Takeoff) -> None:
    assert sample.order is not None
    evil = '=HYPERLINK("x","y")'
    lines = tuple(replace(line, of=replace(line.of, name=evil), note="=1+1\x07") for line in sample.order.lines)
    finding = Finding("x", Severity.WARN, "=2+2", "@SUM(A1)", ("=3",))
    job = Job(job=evil, revision="=4")
    bad = replace(sample, job=job, order=replace(sample.order, lines=lines), findings=(finding,))
    filled = fill_workbook(bad)
    allowed = {(title, cell) for title, cells in filled.values.items() for cell in cells}
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(bad)))
    found = {
        (sheet.title, cell.coordinate)
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }
    assert found == allowed
    assert book["Order"]["I7"].value == "=1+1"
    assert book["Order"]["B7"].value == evil


def test_a_stopped_takeoff_is_no_order(stopped: Takeoff) -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(stopped)))
    assert book.sheetnames == ["Checks"]
    sheet = book["Checks"]
    assert str(sheet["A3"].value).startswith("NOT AN ORDER")
    assert (sheet["A6"].value, sheet["B6"].value) == ("STOP", "P2 is laid at 5 degrees")


def test_the_basis_names_the_source_and_standing_of_each_value(sample: Takeoff) -> None:
    printed = {str(row[0] or row[1]): row[1:] for row in rows(workbook_bytes(sample), "Basis")}
    letter, source = printed["cover 762 mm"][2:4]
    number = str(source).partition("]")[0].removeprefix("[")
    assert (letter, source) == ("R", f"[{number}] 3.1; for corrugated profiles")
    assert f"{number} A roofing code" in printed
    assert "overall 845 mm; rib pitch 76 mm" in " ".join(printed)
    assert printed["raked_allowance_mm"][0] == "added to a sheet that is cut on the rake"
    assert printed["raked_allowance_mm"][2] == "C"


def test_zip_dates_are_the_jobs(sample: Takeoff) -> None:
    with zipfile.ZipFile(io.BytesIO(workbook_bytes(sample))) as archive:
        assert {info.date_time for info in archive.infolist()} == {(2026, 3, 2, 0, 0, 0)}
        core = archive.read("docProps/core.xml").decode()
        relations = archive.read("xl/_rels/workbook.xml.rels").decode()
    assert core.count("2026-03-02T00:00:00Z") == 2
    numbers = [int(number) for number in re.findall(r'Id="rId([0-9]+)"', relations)]
    assert numbers == list(range(1, len(numbers) + 1))


def test_rows_are_written_as_the_library_writes_them(sample: Takeoff) -> None:
    """But for the numbers of formats, and for rows without a cell, which the library leaves out."""
    data = workbook_bytes(sample, cached=False)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for number, sheet in enumerate(openpyxl.load_workbook(io.BytesIO(data)).worksheets, start=1):
            writer = WorksheetWriter(sheet)
            writer.write()
            ours = archive.read(f"xl/worksheets/sheet{number}.xml").decode("utf-8")
            assert rows_of(ours) == rows_of(writer.read().decode("utf-8")), sheet.title
            writer.cleanup()


def rows_of(sheet: str) -> str:
    """The rows in the XML of a sheet."""
    rows = sheet.partition("<sheetData>")[2].partition("</sheetData>")[0]
    assert "</c>" in rows
    return re.sub(r' s="[0-9]+"|<row r="[0-9]+"></row>', "", rows)


def test_a_reader_sees_what_the_pages_hold(sample: Takeoff) -> None:
    """Every cell, its style, heights, merged cells and print areas; a merged box is framed at its foot and behind its
    last cell."""
    filled = fill_workbook(sample)
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(sample)))
    assert book.sheetnames == [page.sheet.title for page in filled.pages]
    names = {number: name for name, number in filled.template.styles.items()}
    seen = set()
    for page, sheet in zip(filled.pages, book.worksheets, strict=True):
        for row, cells in page.cells.items():
            for column, (style, value) in cells.items():
                cell: Any = sheet.cell(row, column)
                assert cell.value == (f"={value.text}" if isinstance(value, Formula) else value)
                seen.add(name := names.get(style, ""))
                if name.startswith("blank ") and name != "blank total":
                    assert cell.border.bottom.style in ("thin", "medium")  # the reader takes that of the first cell
                    assert cell.border.right.style == ("thin" if name == BOX_LAST.format("blank") else None)
                elif name:
                    assert cell.style == f"takeoff {'group' if name == GROUP_WORDS else name}"
                    assert cell.number_format == FORMATS.get(name.removesuffix(" total"), ("General", ""))[0]
        assert all(sheet.row_dimensions[row].height == height for row, height in page.heights.items())
        assert sorted(page.merged) == sorted(map(str, sheet.merged_cells.ranges))
        assert sheet.print_area == f"'{sheet.title}'!{page.print_area}"
    assert seen >= {"", "text", "kg", "length", "metres total", "note", "group", GROUP_WORDS, "heading", "heading right",
                    "blank", BOX_INSIDE.format("blank"), BOX_LAST.format("blank")}  # fmt: skip


def test_cells_of_every_kind_by_hand() -> None:
    """`t` and `xml:space` from memory of the format's published description (ECMA-376)."""
    cells: list[tuple[Cell, str]] = [
        (None, '<c r="A1" t="n" />'),
        ("a < b & c", '<c r="A1" t="inlineStr"><is><t>a &lt; b &amp; c</t></is></c>'),
        (" kept ", '<c r="A1" t="inlineStr"><is><t xml:space="preserve"> kept </t></is></c>'),
        (0.1 + 0.2, '<c r="A1" t="n"><v>0.3</v></c>'),
        (1e16, '<c r="A1" t="n"><v>1e+16</v></c>'),
        (7, '<c r="A1" t="n"><v>7</v></c>'),
        (Formula("A2<3", 0.1 + 0.2), '<c r="A1"><f>A2&lt;3</f><v>0.30000000000000004</v></c>'),
    ]
    assert [book_package._cell("A1", "", value, True) for value, _ in cells] == [xml for _, xml in cells]
    bare = book_package._cell("B2", ' s="3"', Formula("A2", 1.0), False)
    assert bare == '<c r="B2" s="3"><f>A2</f><v /></c>'
