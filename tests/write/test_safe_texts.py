"""Names and texts of a job can hold anything: the workbook opens, shows them as they are, and runs none of them."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from openpyxl import load_workbook
from python_calamine import CalamineWorkbook

from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Takeoff
from takeoff.write.differences.differences_workbook import differences_workbook
from takeoff.write.differences.tables import Table
from takeoff.write.words.words import plain
from takeoff.write.workbook.safe_texts import CUT, cell_text, csv_text, header_text, sheet_name, units
from takeoff.write.workbook.workbook import workbook_bytes

HOUSE = "\N{HOUSE BUILDING}"
NAMES = ["A & B", "&R&P&[File]", "24 High Road & Sons", "&" * 60, "=1+1", '"&"Arial"', HOUSE * 60, "_x0041_", "a\x00b\x0bc",
         "]]>&<x>", "-5", "@x", "+1", "'", "\ufffe", "[[next]] [[date]]", "x" * 60]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_any_name_of_a_job(sample: Takeoff, name: str) -> None:
    named = replace(sample, job=sample.job.model_copy(update={"job": name, "revision": "&C&D=1"}))
    data = workbook_bytes(named)
    with zipfile.ZipFile(io.BytesIO(data)) as folder:
        for part in folder.namelist():
            if part.endswith(".xml"):
                ElementTree.fromstring(folder.read(part))
            if part.startswith("xl/worksheets/sheet"):
                for text in re.findall(r"<odd(?:Header|Footer)>(.*?)</odd", folder.read(part).decode("utf-8")):
                    assert units(ElementTree.fromstring(f"<x>{text}</x>").text or "") <= 255
                    # nothing but our own codes: where text stands, and page numbers
                    assert set(re.findall(r"&amp;(.)", text.replace("&amp;&amp;", ""))) <= set("LCRPN")
    assert load_workbook(io.BytesIO(data))["Order"].cell(2, 1).data_type == "s"
    assert load_workbook(io.BytesIO(data)).properties.title == f"{plain(name)}, order sheet"
    shown = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name("Order").to_python()[1][0]
    assert str(shown).startswith(" ".join(re.sub("[\x00-\x1f\ufffe]", " ", name).split())[:20])


def test_a_text_that_takes_the_trades_word_is_escaped_once(sample: Takeoff) -> None:
    finding = Finding("x", Severity.WARN, "the spouting _x0041_", "", ())
    data = workbook_bytes(replace(sample, findings=(finding,)))
    shown = load_workbook(io.BytesIO(data))["Checks"].cell(6, 2).value
    assert shown == "the gutter _x005F_x0041_"


def test_the_limits_of_cells_count_16_bit_units_and_a_cut_is_said() -> None:
    assert units(cell_text(HOUSE * 40_000)) <= 32_767
    assert cell_text("mark " * 10_000).endswith(CUT)
    assert cell_text("x" * 32_000) == "x" * 32_000


def test_no_half_ampersand_is_left_in_a_footer() -> None:
    for most in range(1, 12):
        text = header_text("a&b&&c&&&", most)
        assert len(text) <= most
        assert "&" not in text.replace("&&", "")


@pytest.mark.parametrize("name", ["a/b\\c?d*e[f]g:h", "'quoted'", "", "x" * 80, HOUSE * 40, "History\x00"])
def test_sheet_names(name: str) -> None:
    first = sheet_name(name)
    second = sheet_name(name, [first.upper()])
    for made in (first, second):
        assert 1 <= units(made) <= 31
        assert not re.search(r"[\[\]:*?/\\]", made)
        assert made.strip("'") == made
    assert first.lower() != second.lower()


def test_tables_of_one_title_get_sheets_of_their_own() -> None:
    tables = [Table("Roof: a/b", "", ("what",), (False,), (("=1+1",),))] * 3
    book = load_workbook(io.BytesIO(differences_workbook("a & b", tables)))
    assert book.sheetnames == ["Roof  a b", "Roof  a b 2", "Roof  a b 3"]
    assert {sheet.cell(6, 1).data_type for sheet in book} == {"s"}


@pytest.mark.parametrize(("text", "safe"), [("=cmd|'x'!A1", False), ("+1+1", False), ("-x", False), ("@a", False), ("\t=1", False), ("-12", True), ("12,5", True), ("P1", True), ("", True)])  # fmt: skip
def test_csv_cells_begin_no_formula(text: str, safe: bool) -> None:
    assert csv_text(text) == (text if safe else f"'{text}")
