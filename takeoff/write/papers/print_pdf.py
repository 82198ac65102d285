"""Pages printed as a PDF: real text, one count of pages, the same bytes for the same pages."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from contextlib import contextmanager

from takeoff.write.drawings.pdf import POINT, OnPage, page_operators
from takeoff.write.letters.pdf_letters import REGULAR, Typed, face, width
from takeoff.write.papers.blocks import SMALL, Paper
from takeoff.write.papers.pages import LEFT, Page, pages_of
from takeoff.write.papers.paper_strips import Figure, Ink, Patch, Rule

_DAY = "SOURCE_DATE_EPOCH"
_RIGHT, _UNDER = 12.0, 6.0  # where the words under a page stand [mm]
_COUNT_ROOM = 30.0  # kept for the count of pages beside them [mm]


def pdf_bytes(paper: Paper, pack: bool = True) -> bytes:
    """The paper as a PDF; without `pack` its pages can be read as text."""
    from reportlab.pdfgen.canvas import Canvas

    face(False), face(True)
    pages = pages_of(paper)
    out = io.BytesIO()
    with _no_day_from_outside():
        canvas = Canvas(out, invariant=1, pageCompression=int(pack), initialFontName=REGULAR)
    canvas.setTitle(paper.title)
    canvas.setAuthor("takeoff")
    canvas.setSubject(paper.job)
    typed = Typed(canvas)
    for number, page in enumerate(pages, start=1):
        canvas.setPageSize(tuple(size * POINT for size in page.size_mm))
        foot = _foot(paper, page, f"page {number} of {len(pages)}")
        canvas.addLiteral("\n".join((*_operators(typed, page), *_texts(typed, page, foot))))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@contextmanager
def _no_day_from_outside() -> Iterator[None]:
    """The library would put the day that this variable of the environment names into the file, and another day makes
    other bytes."""
    held = os.environ.pop(_DAY, None)
    try:
        yield
    finally:
        if held is not None:
            os.environ[_DAY] = held


def _operators(typed: Typed, page: Page) -> Iterator[str]:
    """Fills, lines and drawings of a page."""
    if page.sheet is not None:
        yield page_operators(typed, page.sheet, OnPage())
    for top, strip in page.strips:
        for mark in strip.marks:
            if isinstance(mark, Patch):
                left, down, across, high = mark.box
                foot = (page.size_mm[1] - top - down - high) * POINT
                left += LEFT
                yield f"{mark.grey:g} g {left * POINT:.2f} {foot:.2f} {across * POINT:.2f} {high * POINT:.2f} re f"
    for top, strip in page.strips:
        up = page.size_mm[1] - top
        for mark in strip.marks:
            if isinstance(mark, Rule):
                (ax, ay), (bx, by) = (((LEFT + x) * POINT, (up - y) * POINT) for x, y in (mark.a, mark.b))
                yield f"{mark.grey:g} G {mark.thick_mm * POINT:.2f} w {ax:.2f} {ay:.2f} m {bx:.2f} {by:.2f} l S"
            elif isinstance(mark, Figure):
                at = OnPage(LEFT + mark.x_mm, up - mark.y_mm - mark.high_mm, mark.at.size, mark.at.shown)
                yield page_operators(typed, mark.drawing, at)


def _texts(typed: Typed, page: Page, foot: tuple[Ink, ...]) -> Iterator[str]:
    yield "BT 0 g"
    for top, strip in page.strips:
        for mark in strip.marks:
            if isinstance(mark, Ink):
                yield _ink(typed, mark, LEFT, page.size_mm[1] - top)
    yield from (_ink(typed, ink, 0.0, page.size_mm[1]) for ink in foot)
    yield "ET"


def _ink(typed: Typed, ink: Ink, left: float, up: float) -> str:
    back = width(ink.text, ink.size, ink.bold) if ink.right else 0.0
    x, y = (left + ink.x_mm) * POINT - back, (up - ink.y_mm) * POINT
    return f"1 0 0 1 {x:.2f} {y:.2f} Tm {typed.shows(ink.text, ink.size, ink.bold)}"


def _foot(paper: Paper, page: Page, count: str) -> tuple[Ink, ...]:
    """Whose paper it is, and which page of how many."""
    wide, high = page.size_mm
    said = f"{paper.title}. {paper.job}" if page.sheet is not None else paper.job
    said = f"{said}  {paper.mark}".rstrip()
    room = (wide - LEFT - _RIGHT - _COUNT_ROOM) * POINT
    while said and width(said, SMALL) > room:
        said = said[:-1]
    return Ink(LEFT, high - _UNDER, said, SMALL), Ink(wide - _RIGHT, high - _UNDER, count, SMALL, right=True)
