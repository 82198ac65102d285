"""Lists as text files typed by hand: the signs between their cells, their letters, and points of thousands."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.read.lists import length_words, list_rows
from takeoff.read.lists.cut_list import read_cut_list


def test_text_files_and_the_signs_between_their_cells(tmp_path: Path) -> None:
    path = tmp_path / "l.csv"
    for text, rows, sign in (
        ("a,b\r\n\r\n, \nc,\n", ((1, ("a", "b")), (4, ("c", None))), ","),
        ("a;b,c\n1;2\n", ((1, ("a", "b,c")), (2, ("1", "2"))), ";"),
        ("a\tb\n", ((1, ("a", "b")),), "\t"),
        ('"a\nb",c\nd,e\n', ((2, ("a\nb", "c")), (3, ("d", "e"))), ","),
        ("a;b\n" * 20 + "x\n" * 20 + "a,b,c,d\n" * 20, None, ";"),
    ):  # fmt: skip
        path.write_text(text, encoding="utf-8", newline="")
        (found,) = list_rows.read_tables(path)
        assert (found.file, found.sheet, found.delimiter) == ("l.csv", "", sign)
        assert rows is None or tuple((row.number, row.cells) for row in found.rows) == rows
    for encoding in ("utf-16", "utf-8-sig"):
        path.write_text("M\u00e4rk,b\n", encoding=encoding)
        assert list_rows.read_tables(path)[0].rows[0].cells == ("M\u00e4rk", "b")
    path.write_bytes(b"ab\xff,c")
    with pytest.raises(UnreadableFileError) as caught:
        list_rows.read_tables(path)
    assert caught.value.faults == (f"{path}: byte 2 is no utf-8- text; save it as CSV UTF-8",)
    path.write_bytes(b"a\0b")
    with pytest.raises(UnreadableFileError, match=r"holds zero bytes, so it is no text file$"):
        list_rows.read_tables(path)
    path.write_text('ok,1\n"' + "x" * 140_000, encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=r", row 2: field larger than field limit"):
        list_rows.read_tables(path)
    path.write_text("x\n" * 39 + "a;b\n" + "a,b,c\n", encoding="utf-8")
    assert list_rows.read_tables(path)[0].delimiter == ";"  # of the first forty lines
    path.write_text("a," * 200 + "b\n", encoding="utf-8")
    with pytest.raises(UnreadableFileError) as caught:
        list_rows.read_tables(path)
    assert caught.value.faults == (f"{path}: 201 columns, more than the 200 a cut list can have",)
    path.write_text("a,b\n", encoding="utf-8")
    with pytest.raises(UsageError, match=r"l.csv has no sheet 'Roof'; it has none: it is a text file$"):
        read_cut_list(path, "Roof")
    kept = tmp_path / "l.csv.kept-12"
    kept.write_text("a,b\n", encoding="utf-8")
    assert len(list_rows.read_tables(kept)) == 1
    other = tmp_path / "l.ods"
    other.write_text("a,b\n", encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=r"a list is read from CSV or XLSX; save it as one of them$"):
        list_rows.read_tables(other)
    assert list_rows.MOST_CSV_BYTES == 5_000_000


def test_points_of_thousands_in_a_list_of_decimal_commas() -> None:
    assert length_words.read_count("1.200", commas=True) == 1200
    assert length_words.read_length("4.380", "mm", commas=True).mm == 4380.0
    assert length_words.read_length("1,234. ", "mm").mm == 1234.0
    with pytest.raises(ValueError, match=r"^'2.5' is not a whole number of sheets from 0 to 10 000$"):
        length_words.read_count("2.5", commas=True)
    assert (length_words.LEAST_MM, length_words.MOST_MM, length_words.METRES_BELOW) == (50.0, 60_000.0, 60.0)
