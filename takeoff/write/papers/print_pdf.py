"""Pages printed as a PDF: real text, one count of pages, the same bytes for the same pages."""

from __future__ import annotations

import io
from collections.abc import Iterator

from takeoff.write.drawings.pdf import POINT, OnPage, page_operators
from takeoff.write.letters.pdf_letters import REGULAR, Typed, face, width
from takeoff.write.papers.blocks import SMALL, Paper
from takeoff.write.papers.pages import Page, pages_of
from takeoff.write.papers.paper_strips import Figure, Ink, Patch, Rule

_LEFT, _RIGHT, _UNDER = 18.0, 12.0, 6.0  # where the words under a page stand [mm]
_COUNT_ROOM = 30.0  # kept for the count of pages beside them [mm]


def pdf_bytes(paper: Paper, pack: bool = True) -> bytes:
    """The paper as a PDF; without `pack` its pages can be read as text."""
    from reportlab.pdfgen.canvas import Canvas

    face(False), face(True)
    pages = pages_of(paper)
    out = io.BytesIO()
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


def _operators(typed: Typed, page: Page) -> Iterator[str]:
    """Fills, lines and drawings of a page."""
    high = page.size_mm[1]
    if page.sheet is not None:
        yield page_operators(typed, page.sheet, OnPage())
    for mark in page.marks:
        if isinstance(mark, Patch):
            left, top, across, down = (size * POINT for size in mark.box)
            yield f"{mark.grey:g} g {left:.2f} {high * POINT - top - down:.2f} {across:.2f} {down:.2f} re f"
    for mark in page.marks:
        if isinstance(mark, Rule):
            (ax, ay), (bx, by) = ((x * POINT, (high - y) * POINT) for x, y in (mark.a, mark.b))
            yield f"{mark.grey:g} G {mark.thick_mm * POINT:.2f} w {ax:.2f} {ay:.2f} m {bx:.2f} {by:.2f} l S"
        elif isinstance(mark, Figure):
            at = OnPage(mark.x_mm, high - mark.y_mm - mark.high_mm, mark.at.size, mark.at.shown)
            yield page_operators(typed, mark.drawing, at)


def _texts(typed: Typed, page: Page, foot: tuple[Ink, ...]) -> Iterator[str]:
    yield "BT 0 g"
    for mark in (*page.marks, *foot):
        if isinstance(mark, Ink) and mark.text:
            back = width(mark.text, mark.size, mark.bold) if mark.right else 0.0
            x, y = mark.x_mm * POINT - back, (page.size_mm[1] - mark.y_mm) * POINT
            yield f"1 0 0 1 {x:.2f} {y:.2f} Tm {typed.shows(mark.text, mark.size, mark.bold)}"
    yield "ET"


def _foot(paper: Paper, page: Page, count: str) -> tuple[Ink, ...]:
    """Whose paper it is, and which page of how many."""
    wide, high = page.size_mm
    said = f"{paper.title}. {paper.job}" if page.sheet is not None else paper.job
    said = f"{said}  {paper.mark}".rstrip()
    room = (wide - _LEFT - _RIGHT - _COUNT_ROOM) * POINT
    while said and width(said, SMALL) > room:
        said = said[:-1]
    return Ink(_LEFT, high - _UNDER, said, SMALL), Ink(wide - _RIGHT, high - _UNDER, count, SMALL, right=True)
