"""Strips set on pages: no heading alone at a foot, no page with one line, tables headed anew on every page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from takeoff.basics.records import record
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.drawings.pdf import POINT
from takeoff.write.letters.pdf_letters import width
from takeoff.write.papers.blocks import BODY, HEAD, Bar, NewPage, Paper, Sheet
from takeoff.write.papers.paper_strips import Ink, Mark, Strip, line_mm, moved, strips_of

A4_UPRIGHT = (210.0, 297.0)
LEFT, _RIGHT, _TOP, _FOOT = 18.0, 12.0, 10.0, 14.0  # margins [mm]
_TITLE = 15.0  # size of the title [pt]
_LAST = 3  # strips at least on the last page
WIDE_MM = A4_UPRIGHT[0] - LEFT - _RIGHT


@record
class Page:
    """A page: its size, the strips on it with the height their tops lie at from its upper edge, or a whole drawing."""

    size_mm: tuple[float, float]
    strips: tuple[tuple[float, Strip], ...] = ()
    sheet: Drawing | None = None

    @property
    def marks(self) -> Iterator[Mark]:
        """What stands on it, from its upper left corner."""
        return (moved(mark, LEFT, down) for down, strip in self.strips for mark in strip.marks)


@dataclass(slots=True)
class _Setter:
    """Pages being set, the current one from the top down."""

    paper: Paper
    title: str
    banner: str
    pages: list[Page]
    strips: list[tuple[float, Strip]]
    down: float = 0.0
    fresh: bool = True

    def begin(self) -> None:
        """The head of a new page."""
        self.strips = []
        self.down = _TOP
        for strip in _head(self.paper, self.title, self.banner):
            self.put(strip)
        self.fresh = True

    def put(self, strip: Strip) -> None:
        self.strips.append((self.down, strip))
        self.down += strip.high_mm
        self.fresh = False

    def end(self) -> None:
        """Put the page away, unless nothing stands on it but its head."""
        if not self.fresh:
            self.pages.append(Page(A4_UPRIGHT, tuple(self.strips)))
        self.fresh = True

    @property
    def left_mm(self) -> float:
        return A4_UPRIGHT[1] - _FOOT - self.down


def pages_of(paper: Paper) -> tuple[Page, ...]:
    """The pages of a paper, in the order of its blocks; one with its head alone for a paper without blocks."""
    setter = _Setter(paper, paper.title, paper.banner, [], [])
    waiting: list[Strip] = []
    for block in paper.blocks:
        if isinstance(block, Sheet | NewPage):
            _set(setter, waiting)
            waiting = []
            setter.end()
            if isinstance(block, Sheet):
                setter.pages.append(Page(block.drawing.paper_mm, sheet=block.drawing))
            else:
                setter.title, setter.banner = block.title or paper.title, block.banner
        else:
            waiting += strips_of(block, WIDE_MM)
    _set(setter, waiting)
    setter.end()
    return tuple(setter.pages)


def room_mm(paper: Paper) -> float:
    """Height of a page under the paper's head [mm]."""
    head = sum(strip.high_mm for strip in _head(paper, paper.title, paper.banner))
    return A4_UPRIGHT[1] - _TOP - _FOOT - head


def _set(setter: _Setter, strips: list[Strip]) -> None:
    """Set strips, those that stay together on one page where a page holds them."""
    if not strips:
        return
    if setter.fresh:
        setter.begin()
    short = min(_LAST, len(strips))
    strips = [*strips[:-short], *(replace(strip, keep=True) for strip in strips[-short:-1]), strips[-1]]
    group: list[Strip] = []
    for strip in strips:
        group.append(strip)
        if not strip.keep:
            _set_group(setter, group)
            group = []
    _set_group(setter, group)


def _set_group(setter: _Setter, group: list[Strip]) -> None:
    high = sum(strip.high_mm for strip in group)
    if high > setter.left_mm and not setter.fresh:
        _turn(setter, group[0] if group else None)
    for strip in group:
        if strip.high_mm > setter.left_mm and not setter.fresh:
            _turn(setter, strip)
        setter.put(strip)


def _turn(setter: _Setter, first: Strip | None) -> None:
    setter.end()
    setter.begin()
    for head in first.heads if first is not None else ():
        setter.put(head)
    setter.fresh = True


def _head(paper: Paper, title: str, banner: str) -> list[Strip]:
    """Title, whose job, state."""
    size = _TITLE
    while size > HEAD and width(title, size, True) > WIDE_MM * POINT:
        size -= 1.0
    step = line_mm(size)
    strips = [Strip(step + 0.5, (Ink(0.0, 0.8 * step, title, size, True),))]
    step = line_mm(BODY)
    strips.append(Strip(step + 1.5, (Ink(0.0, 0.8 * step, paper.job, BODY),)))
    if banner:
        strips += [*strips_of(Bar(banner, strong=True), WIDE_MM), Strip(1.0)]
    return strips
