"""Quotations and sizes taped on the frame as rows typed by hand: every line that is read, every fault whole."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.model.quotation import QuotedLine
from takeoff.model.supplied import SiteMeasure
from takeoff.read.lists import quotation_file, site_measures
from takeoff.read.lists.quotation_file import read_quotation
from takeoff.read.lists.raw_table import RawTable, Row
from takeoff.read.lists.site_measures import read_site_measures


def table(*rows: tuple[Any, ...], sheet: str = "", first: int = 1, **more: Any) -> RawTable:
    return RawTable("l.csv", sheet, tuple(Row(n, cells) for n, cells in enumerate(rows, start=first)), **more)


# ------------------------------------------------------------ quotations

QUOTE = ("Line", "Description", "Length m", "Qty", "Unit", "Rate", "Amount")


def quoted(folder: Path, *rows: str, heads: str = ";".join(QUOTE)) -> Any:
    path = folder / "q.csv"
    path.write_text("\n".join((heads, *rows)) + "\n", encoding="utf-8")
    return read_quotation(path)


def unquoted(folder: Path, *rows: str, **more: str) -> tuple[str, ...]:
    with pytest.raises(UnreadableFileError) as caught:
        quoted(folder, *rows, **more)
    return caught.value.faults


def test_lines_of_a_quotation(tmp_path: Path) -> None:
    """Totals and rows without a quantity are no lines; a length of 0 or a dash is none; marks of money fall away."""
    long = "n" * 310
    found = quoted(
        tmp_path, "7;Sheet  a;4.38;3;each;$ 2.50;7.50", "R" * 50 + ";" + long + ";-;12;" + "u" * 30 + ";;1,234.50", ";Screws;0;1000;;0.05;",
        ";delivery;;;;;90", "Total;;;3;;;9", "8;Nails;;0;box;-;0",
    )  # fmt: skip
    assert found.lines == (
        QuotedLine(2, "7", "Sheet a", 4380.0, 3.0, "each", 2.5, 7.5),
        QuotedLine(3, "R" * 40, "n" * 300, 0.0, 12.0, "u" * 20, None, 1234.5),
        QuotedLine(4, "", "Screws", 0.0, 1000.0, "", 0.05, None),
        QuotedLine(7, "8", "Nails", 0.0, 0.0, "box", None, 0.0),
    )  # fmt: skip
    assert (found.file, found.sheet) == ("q.csv", "")


@pytest.mark.parametrize(
    ("heads", "row", "mm"),
    [
        ("Item;Qty;Price;Length", "a;1;2;4.38", 4380.0), ("Item;Qty;Price;Length mm", "a;1;2;4380", 4380.0), ("Item;Qty;Sum;Length m", "a;1;2;4.38", 4380.0),
        ("Item;Qty;Price", "a;1;2", 0.0), ("ITEM;nr;unit-price;len", "a;1;2;90", 90.0),
    ],
)  # fmt: skip
def test_headings_of_a_quotation(tmp_path: Path, heads: str, row: str, mm: float) -> None:
    (line,) = quoted(tmp_path, row, heads=heads).lines
    assert (line.item, line.count, line.rate or line.amount, line.each_mm) == ("a", 1.0, 2.0, mm)


def test_faults_of_a_quotation(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert unquoted(tmp_path, ";;;3;;;", ";a;;many;;;", ";a;;1;;dear;", ";a;;1;;;-4", ";a;1 ft;1;;;", ";a;;1;;2e9;") == (
        "q.csv, row 2: a quantity (3) without an item", "q.csv, row 3: 'many' is no quantity", "q.csv, row 4: 'dear' is no price",
        "q.csv, row 5: '-4' is no amount", "q.csv, row 6: ft is not read; give lengths in mm or m", "q.csv, row 7: '2e9' is no price",
    )  # fmt: skip
    assert unquoted(tmp_path, ";a;;1;;1000000001;") == ("q.csv, row 2: 1e+09 is no price",)
    assert quoted(tmp_path, ";a;;1;;1000000000;").lines[0].rate == 1e9
    assert unquoted(tmp_path, ";a;;;;1;") == ("q.csv: no line with an item and a quantity under the headings",)
    heading = "no heading row with an item, a quantity and a price; name the columns: line, item, length mm, quantity, unit, price, amount"
    for heads in ("Item;Price", "Qty;Price", "Item;Qty"):
        assert unquoted(tmp_path, heads=heads) == (f"{tmp_path / 'q.csv'}: {heading}",)
    assert len(unquoted(tmp_path, *[";;;3;;;"] * 20)) == 20
    assert unquoted(tmp_path, *[";;;3;;;"] * 22)[20:] == ("q.csv: and 2 faults more",)
    assert unquoted(tmp_path, *[";;;3;;;"] * 21)[20:] == ("q.csv: and 1 faults more",)
    assert (
        quotation_file.MOST_LINES,
        quotation_file.MOST_MONEY,
        quotation_file.MOST_FAULTS,
        quotation_file._HEADING_ROWS,
    ) == (2000, 1e9, 20, 40)
    monkeypatch.setattr(quotation_file, "MOST_LINES", 2)
    assert len(quoted(tmp_path, *[";a;;1;;;1"] * 2).lines) == 2
    assert unquoted(tmp_path, *[";a;;1;;;1"] * 3) == ("q.csv: 3 lines, more than the 2 a quotation can have",)


def test_sheets_and_cells_of_a_quotation_in_a_workbook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    heads, line = ("Item", "Qty", "Price", "Ref"), ("a", 2, 3.5, 4.0)
    held = (
        table(("x",), sheet="A"),
        table(*[("-",)] * 39, heads, line, sheet="B"),
        table(heads, line, ("b", 1, 1, 7.5), sheet="C"),
    )
    monkeypatch.setattr(quotation_file, "read_tables", lambda path: held)
    assert read_quotation(tmp_path).lines == (QuotedLine(41, "4", "a", 0.0, 2.0, "", 3.5, None),)
    assert [line.ref for line in read_quotation(tmp_path, "c").lines] == ["4", "7.5"]
    with pytest.raises(UsageError, match=r" has no sheet 'D'; it has A, B, C$"):
        read_quotation(tmp_path, "D")
    late = (table(*[("-",)] * 40, heads, line, sheet="B"),)
    monkeypatch.setattr(quotation_file, "read_tables", lambda path: late)
    with pytest.raises(UnreadableFileError, match="no heading row"):
        read_quotation(tmp_path)
    odd = (table(heads, line, odd={(2, 2): "C2 is none", (2, 0): "A2 is none"}),)
    monkeypatch.setattr(quotation_file, "read_tables", lambda path: odd)
    with pytest.raises(UnreadableFileError) as caught:
        read_quotation(tmp_path)
    assert caught.value.faults == ("l.csv, row 2: rate: C2 is none",)


# ------------------------------------------------------------ sizes taped on the frame


def taped(
    *rows: tuple[Any, ...],
    planes: Any = None,
    heads: tuple[Any, ...] = ("Plane", "Size", "Drawn", "Measured"),
    **more: Any,
) -> Any:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(site_measures, "read_tables", lambda path: (table(("Form",), heads, *rows, **more),))
        return read_site_measures(Path("m.csv"), planes)


def untaped(*rows: tuple[Any, ...], **more: Any) -> tuple[str, ...]:
    with pytest.raises(UnreadableFileError) as caught:
        taped(*rows, **more)
    return caught.value.faults


def test_sizes_that_are_filled_in() -> None:
    """In mm whatever they look like, up to 500 m; two ways of naming a diagonal; what is left blank is not measured."""
    assert taped(
        ("plane 1", "Rafter  left", 4000, 4012), ("P1", "diagonal, rising right", 5000, "5 003"), ("2", "Diagonal, rising left", 5000, 500_000),
        ("P2", "eave", 5000, None), ("P2", "ridge", 5000), ("P3", "nonsense", 1, None),
    ) == (
        SiteMeasure("P1", "rafter left", 4012.0, 3), SiteMeasure("P1", "diagonal 1", 5003.0, 4), SiteMeasure("P2", "diagonal 2", 500_000.0, 5),
    )  # fmt: skip
    assert taped(("P1", "eave", "4,5 m"), ("P1", "ridge", "5,25 m"), heads=("plane", "item", "mm"))[0].mm == 4500.0
    assert site_measures.MOST_MM == 500_000.0


def test_sizes_that_are_wrong() -> None:
    rows: list[tuple[Any, ...]] = [
        (None, "eave", 1, 4000), ("P9", "eave", 1, 4000), ("P1", "eav", 1, 4000), ("P1", None, 1, 4000), ("P1", "eave", 1, 4000), ("P1", "eave", 1, 4001), ("P1", "ridge", 1, 500_001),
    ]  # fmt: skip
    known = "rafter left, rafter right, eave, ridge, diagonal 1, diagonal 2"
    said = untaped(*rows, planes=("P1", "P2"), odd={(10, 3): "D10 is a date"})
    assert said == (
        "l.csv, row 3: names no plane", "l.csv, row 4: P9 is no plane of this job; it has P1, P2",
        "l.csv, row 5: eav is no size that is taped; did you mean eave?", f"l.csv, row 6: nothing is no size that is taped; known: {known}",
        "l.csv, row 8: eave of P1 stands in row 7 already", "l.csv, row 9: 500001 in mm is no length it can have (50 mm to 500 m)",
    )  # fmt: skip
    assert untaped(("P1", "eave", 1, 4000), odd={(3, 3): "D3 is a date"}) == ("l.csv, row 3: D3 is a date",)
    assert untaped(("P1", "eave", 1, None)) == ("m.csv: no size is filled in under mm",)
    assert len(untaped(*[(None, "eave", 1, 4000)] * 25)) == 20
    assert untaped(heads=("plane", "item")) == ("l.csv: no row with the headings plane, item, mm",)
    assert untaped(heads=("plane", "item", "mm", "on site")) == ("l.csv, row 2: 2 columns for mm; keep one",)
    assert untaped(("P1", "eave", 1, 4000), first=1, heads=("-",)) == (
        "l.csv: no row with the headings plane, item, mm",
    )


def test_headings_of_taped_sizes_in_the_first_twenty_rows(monkeypatch: pytest.MonkeyPatch) -> None:
    for before, found in ((19, True), (20, False)):
        held = table(*[("-",)] * before, ("plane", "item", "mm"), ("P1", "eave", 4000))
        monkeypatch.setattr(site_measures, "read_tables", lambda path, held=held: (held,))
        if found:
            assert read_site_measures(Path("m")) == (SiteMeasure("P1", "eave", 4000.0, 21),)
        else:
            with pytest.raises(UnreadableFileError, match="no row with the headings"):
                read_site_measures(Path("m"))
    monkeypatch.setattr(site_measures, "read_tables", lambda path: ())
    with pytest.raises(UnreadableFileError, match=r"^m: has no sheet that is not hidden$"):
        read_site_measures(Path("m"))
