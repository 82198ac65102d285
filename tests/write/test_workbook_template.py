"""The template of the order sheet and the parts prepared from it; a user's own template, which is prepared as it is met."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.drawing.image import Image
from openpyxl.styles import Font
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from PIL import Image as Picture

from takeoff.basics.errors import TakeoffError
from takeoff.basics.files import template_path
from takeoff.model.order import Takeoff
from takeoff.write.workbook.make_template import make_template
from takeoff.write.workbook.prepare_template import prepare
from takeoff.write.workbook.prepared import prepared, prepared_of, prepared_text
from takeoff.write.workbook.steady import steady_zip
from takeoff.write.workbook.workbook import fill_workbook, workbook_bytes

TEMPLATE = "order_sheet.xlsx"
OwnTemplate = Callable[[bytes], None]


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> OwnTemplate:
    """Puts a file in the template's place, with the prepared parts of the program's own still beside it."""

    def put(data: bytes) -> None:
        (tmp_path / TEMPLATE).write_bytes(data)
        (tmp_path / "order_sheet.json").write_bytes(template_path("order_sheet.json").read_bytes())
        monkeypatch.setattr("takeoff.write.workbook.workbook.template_path", lambda name: tmp_path / name)

    return put


def saved(book: Any) -> bytes:
    """A workbook of the library as a file."""
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def test_the_template_in_the_repository_is_the_one_the_module_makes() -> None:
    assert template_path(TEMPLATE).read_bytes() == make_template()


def test_the_prepared_parts_in_the_repository_are_those_of_the_template() -> None:
    text = template_path("order_sheet.json").read_text(encoding="utf-8")
    made = prepare(template_path(TEMPLATE).read_bytes())
    assert text == prepared_text(made)
    assert prepared_text(prepared_of(text)) == text
    assert prepared_text(prepared(template_path(TEMPLATE))) == text


def test_a_template_of_ones_own_is_followed(sample: Takeoff, own: OwnTemplate) -> None:
    """Fonts, words, a picture on two sheets, widths, footers, names, validations and formats of columns."""
    book = load_workbook(template_path(TEMPLATE))
    logo = io.BytesIO()
    Picture.new("RGB", (60, 30), "red").save(logo, "png")
    for title in ("Loads", "Purlins"):  # the first of them is not written
        book[title].add_image(Image(io.BytesIO(logo.getvalue())), "F1")
    sheet = book["Order"]
    sheet["A1"].font = Font(name="Times New Roman", size=22)
    sheet["F2"], sheet["G3"], sheet["H2"] = "yard & spoutings", 12.5, None
    sheet.merge_cells("F4:H4")
    sheet.column_dimensions["B"].width = 40
    sheet.column_dimensions["M"].font = Font(name="Courier New", size=9)
    sheet.oddFooter.center.text = "call us"
    sheet.oddFooter.right.text = "&P"
    typed = DataValidation(type="list", formula1='"yes,no"')
    typed.add("K6:K200")
    sheet.add_data_validation(typed)
    book.defined_names["rate"] = DefinedName("rate", attr_text="Order!$G$3")
    book._named_styles["takeoff text"].font = Font(name="Courier New", size=10)
    own(saved(book))
    assert sample.order is not None
    read = load_workbook(io.BytesIO(workbook_bytes(sample)))
    sheet = read["Order"]
    assert (sheet["A1"].font.name, sheet["A1"].font.size) == ("Times New Roman", 22)
    assert (sheet["F2"].value, sheet["G3"].value) == ("yard & gutters", 12.5)
    assert "F4:H4" in map(str, sheet.merged_cells.ranges)
    assert (sheet.column_dimensions["B"].width, sheet.column_dimensions["M"].font.name) == (40, "Courier New")
    assert (sheet["B7"].style, sheet["B7"].font.name) == ("takeoff text", "Courier New")
    foot = sheet.oddFooter
    assert (foot.left.text[:7], foot.center.text, foot.right.text) == (
        "Orchard",
        "call us",
        "job 00000000, page &P of &N",
    )
    assert str(sheet.data_validations.dataValidation[0].sqref) == "K6:K200"
    assert read.defined_names["rate"].value == "Order!$G$3"
    assert [sheet.title for sheet in read.worksheets if sheet._images] == ["Purlins"]
    assert read["Purlins"]._images[0]._data() == logo.getvalue()


def test_a_template_without_print_titles_and_page_numbers(sample: Takeoff, own: OwnTemplate) -> None:
    book = load_workbook(template_path(TEMPLATE))
    for sheet in book.worksheets:
        sheet._print_rows = sheet.oddFooter.right.text = None
    own(saved(book))
    read = load_workbook(io.BytesIO(workbook_bytes(replace(sample, job_hash=""))))["Order"]
    assert (read.print_title_rows, read.print_area[:12], read.oddFooter.right.text) == (None, "'Order'!$A$1", None)


def test_a_template_saved_by_another_program(sample: Takeoff, own: OwnTemplate) -> None:
    """It gives each column the format of an empty cell, with an alignment of its own: the library numbers that anew."""
    with zipfile.ZipFile(template_path(TEMPLATE)) as archive:
        parts = {name: archive.read(name).replace(b"<col ", b'<col style="0" ') for name in archive.namelist()}
    first, aligned = b'quotePrefix="0" xfId="0" />', b'xfId="0"><alignment horizontal="general" /></xf>'
    assert first in parts["xl/styles.xml"]
    own(steady_zip({**parts, "xl/styles.xml": parts["xl/styles.xml"].replace(first, aligned, 1)}.items(), None))
    sheet = load_workbook(io.BytesIO(workbook_bytes(sample)))["Order"]
    assert (sheet.column_dimensions["B"].width, sheet.column_dimensions["B"].alignment.horizontal) == (32.5, None)
    assert (sheet["B7"].style, sheet["H7"].style, sheet["A1"].font.size) == ("takeoff text", "takeoff kg", 18)


def test_what_a_template_lacks_is_named(sample: Takeoff, own: OwnTemplate) -> None:
    book = load_workbook(template_path(TEMPLATE))
    book.remove(book["Mill order"])
    own(saved(book))
    with pytest.raises(TakeoffError, match="the sheet Mill order is missing"):
        fill_workbook(sample)
    book = load_workbook(template_path(TEMPLATE))
    book._named_styles["takeoff kg"].name = "my kg"
    own(saved(book))
    with pytest.raises(TakeoffError, match="the style takeoff kg is missing"):
        fill_workbook(sample)


def test_a_template_holds_texts_and_numbers_only(sample: Takeoff, own: OwnTemplate) -> None:
    book = load_workbook(template_path(TEMPLATE))
    book["Order"]["F2"] = "=TODAY()"
    own(saved(book))
    with pytest.raises(TakeoffError, match="Order!F2 is no text or number"):
        fill_workbook(sample)


def test_prepared_parts_that_cannot_be_read_are_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As those of another template are: a file half written, of another version, or of something else."""
    made = prepared(template_path(TEMPLATE))
    monkeypatch.setattr("takeoff.write.workbook.prepare_template.prepare", lambda template: made)
    for number, parts in enumerate(
        (b"", b'{"template": ', b"[]", b'{"template": "x"}', b'{"sheets": {"a": 1}}', b"\xff")
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        (folder / TEMPLATE).write_bytes(template_path(TEMPLATE).read_bytes())
        (folder / "order_sheet.json").write_bytes(parts)
        assert prepared(folder / TEMPLATE) is made


def test_a_template_may_use_columns_past_the_twenty_sixth(sample: Takeoff, own: OwnTemplate) -> None:
    places = ("Z3", "AA3", "AZ3", "BA3", "ZZ3", "AAA3")
    book = load_workbook(template_path(TEMPLATE))
    for place in places:
        book["Order"][place] = f"far out in {place}"
    own(saved(book))
    sheet = load_workbook(io.BytesIO(workbook_bytes(sample)))["Order"]
    assert [sheet[place].value for place in places] == [f"far out in {place}" for place in places]
    assert sheet.dimensions.startswith("A1:AAA")


@pytest.mark.parametrize("data", [b"", b"no workbook", steady_zip([("a", b"b")], None)])
def test_a_template_that_is_no_workbook_is_named(data: bytes, sample: Takeoff, own: OwnTemplate) -> None:
    own(data)
    with pytest.raises(TakeoffError, match=r"templates/order_sheet\.xlsx: .*no workbook"):
        fill_workbook(sample)
