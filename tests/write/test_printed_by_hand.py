"""Operators of a printed page and what waits for a site measure, by hand."""

from __future__ import annotations

import os
from types import SimpleNamespace
from typing import Any

import pytest
from pypdfium2 import PdfDocument

from takeoff.model.order import Hold
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.drawings.pdf import OnPage
from takeoff.write.papers import print_pdf
from takeoff.write.papers.blocks import Paper, Sheet, Words
from takeoff.write.papers.pages import Page
from takeoff.write.papers.paper_strips import Figure, Ink, Patch, Rule, Strip
from takeoff.write.papers.start_paper import holds

POINT = 72 / 25.4  # points of 1/72 inch in a millimetre


class _Typed:
    """Shows a text by its words, size and weight."""

    def shows(self, text: str, size: float, bold: bool = False) -> str:
        return f"[{text} {size:g}{' bold' if bold else ''}]"


TYPED: Any = _Typed()


def test_fills_and_lines_of_a_page_from_its_lower_left_corner() -> None:
    """A4 upright, strips 30 and 50 mm down, 18 mm from the left edge. A patch 2 down and 5 high has its foot at 297 - 30 -
    2 - 5 = 260."""
    strips = (
        (30.0, Strip(9.0, (Patch((1.0, 2.0, 40.0, 5.0), 0.88), Rule((1.0, 2.0), (31.0, 4.0), 0.5, 0.25)))),
        (50.0, Strip(9.0, (Rule((0.0, 0.0), (10.0, 0.0)), Patch((0.0, 0.0, 1.0, 1.0), 0.0)))),
    )

    def pt(*mm: float) -> str:
        return " ".join(f"{x * POINT:.2f}" for x in mm)

    assert list(print_pdf._operators(TYPED, Page((210.0, 297.0), strips))) == [
        f"0.88 g {pt(19, 260, 40, 5)} re f", f"0 g {pt(18, 246, 1, 1)} re f",
        f"0.25 G {pt(0.5)} w {pt(19, 265)} m {pt(49, 263)} l S", f"0.6 G {pt(0.15)} w {pt(18, 247)} m {pt(28, 247)} l S",
    ]  # fmt: skip


def test_words_of_a_page_stand_on_their_base_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """The foot's words stand from the page's edge; those that end on the right go back by their own width, 40 points
    here."""
    monkeypatch.setattr(print_pdf, "width", lambda text, size, bold=False: 40.0)
    strips = ((30.0, Strip(9.0, (Ink(1.0, 4.0, "left", 9.0, True), Ink(100.0, 5.0, "right", 8.0, right=True)))),)
    foot = (Ink(18.0, 291.0, "whose", 7.0),)
    assert list(print_pdf._texts(TYPED, Page((210.0, 297.0), strips), foot)) == [
        "BT 0 g",
        f"1 0 0 1 {19 * POINT:.2f} {263 * POINT:.2f} Tm [left 9 bold]",
        f"1 0 0 1 {118 * POINT - 40:.2f} {262 * POINT:.2f} Tm [right 8]",
        f"1 0 0 1 {18 * POINT:.2f} {6 * POINT:.2f} Tm [whose 7]",
        "ET",
    ]


def order(bought: float, state: Hold, *lines: tuple[str, float]) -> Any:
    return SimpleNamespace(
        sheets_bought_m=bought,
        state=state,
        lines=tuple(SimpleNamespace(delivery=name, each_mm=mm) for name, mm in lines),
    )


TAPE = ("HOLD", "roof sheets: tape the frame (boxes in site.pdf), then release")
FOLD = ("HOLD", "flashings: nothing is folded before the frame is taped")


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (order(0.0, Hold.HOLD), []), (order(0.4, Hold.HOLD), [TAPE]), (order(0.4, Hold.RELEASED), []),
        (order(0.4, Hold.MEASURED), [("HOLD", "roof sheets: measured on site, not yet released")]),
        (order(0.0, Hold.HOLD, ("flashings", 0.4)), [FOLD]), (order(0.0, Hold.HOLD, ("flashings", 0.0), ("walls", 9.0)), []),
        (order(9.0, Hold.HOLD, ("flashings", 4000.0)), [TAPE, FOLD]),
    ],
)  # fmt: skip
def test_what_waits_for_a_site_measure(made: Any, said: list[tuple[str, str]]) -> None:
    assert list(holds(made)) == said


def test_drawings_are_put_where_their_strips_are(monkeypatch: pytest.MonkeyPatch) -> None:
    """A whole sheet stands as it is. A figure 20 across, 5 down and 40 high on a strip 30 down has its foot at 297 - 30 -
    5 - 40 = 222, its left at 18 + 20."""
    monkeypatch.setattr(print_pdf, "page_operators", lambda typed, drawing, at: (drawing, at))
    sheet, small = (
        Drawing("a", "A", 50, (400.0, 287.0), (0.0, 0.0), ()),
        Drawing("b", "B", 10, (9.0, 9.0), (0.0, 0.0), ()),
    )
    assert list(print_pdf._operators(TYPED, Page((400.0, 287.0), sheet=sheet))) == [(sheet, OnPage())]
    at = OnPage(size=0.5, shown=(0.0, 0.0, 90.0, 90.0))
    figure = Figure(small, 20.0, 5.0, 40.0, at)
    found = list(print_pdf._operators(TYPED, Page((210.0, 297.0), ((30.0, Strip(50.0, (figure,))),))))
    assert found == [(small, OnPage(38.0, 222.0, 0.5, (0.0, 0.0, 90.0, 90.0)))]


def test_a_paper_is_printed_page_by_page(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two pages, the second 400 x 287 mm; the day that the environment names is neither printed nor lost."""
    sheet = Drawing("a", "A", 50, (400.0, 287.0), (0.0, 0.0), ())
    paper = Paper("site", "For the (roofer)", "Shed, revision B", "", (Words("first"), Sheet(sheet)), "job 01234567")
    day = "1234567890"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", day)
    data = print_pdf.pdf_bytes(paper)
    assert os.environ["SOURCE_DATE_EPOCH"] == day
    monkeypatch.delenv("SOURCE_DATE_EPOCH")
    assert print_pdf.pdf_bytes(paper) == data
    assert "SOURCE_DATE_EPOCH" not in os.environ
    document = PdfDocument(data)
    assert document.get_metadata_dict()["Title"] == "For the (roofer)"
    assert document.get_metadata_dict()["Author"] == "takeoff"
    assert document.get_metadata_dict()["Subject"] == "Shed, revision B"
    sizes = [tuple(round(size / POINT, 1) for size in page.get_size()) for page in document]
    assert sizes == [(210.0, 297.0), (400.0, 287.0)]
    texts = [page.get_textpage().get_text_range().split("\r\n") for page in document]
    words = "Shed, revision B job 01234567"  # gaps are not in the text that is read
    assert texts[0] == ["For the (roofer)", "Shed, revision B", "first", f"{words} page 1 of 2"]
    assert texts[1][-1] == f"For the (roofer). {words} page 2 of 2"
    document.close()
    assert b"BT 0 g" not in data
    loose = print_pdf.pdf_bytes(paper, pack=False)
    assert loose.count(b"BT 0 g") == 2
