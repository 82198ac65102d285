"""Operators of a printed page and what waits for a site measure, by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.order import Hold
from takeoff.write.papers import print_pdf
from takeoff.write.papers.pages import Page
from takeoff.write.papers.paper_strips import Ink, Patch, Rule, Strip
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
