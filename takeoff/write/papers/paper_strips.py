"""Blocks cut into strips: pieces that a page holds whole, one under the other, each with what is drawn on it.

Columns of figures are measured, so that every figure fits; words take what is left and are broken into lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from takeoff.basics.records import record
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.drawings.pdf import POINT, OnPage
from takeoff.write.letters.pdf_letters import width, wrapped
from takeoff.write.papers.blocks import (
    HEAD,
    Bar,
    Beside,
    Block,
    Column,
    Gap,
    Kind,
    Picture,
    Row,
    Table,
    Words,
)

_LEADING = 1.2  # from base line to base line, in sizes of letters
_BESIDE = 4.0  # between blocks beside each other [mm]
_LAST_ROWS = 3  # rows that stay with the last one of a table
_KNOWN = 32  # tables kept as they were laid: a page is measured before it is set
_PAD = 1.2  # beside the words of a cell [mm]
_ROW_PAD, _TIGHT_PAD = 1.1, 0.5  # over and under the lines of a row together [mm]
GREY, LIGHT, BLACK = 0.88, 0.6, 0.0


@record
class Ink:
    """Words on a strip: base line and left (or right) end from its top left corner [mm]."""

    x_mm: float
    y_mm: float
    text: str
    size: float
    bold: bool = False
    right: bool = False


@record
class Rule:
    """A line on a strip [mm]; `grey` 0 is black, 1 white."""

    a: tuple[float, float]
    b: tuple[float, float]
    thick_mm: float = 0.15
    grey: float = LIGHT


@record
class Patch:
    """A filled rectangle on a strip [mm]: left, top, width, height."""

    box: tuple[float, float, float, float]
    grey: float


@record
class Figure:
    """A drawing on a strip: its upper left corner there, and how it lies."""

    drawing: Drawing
    x_mm: float
    y_mm: float
    high_mm: float
    at: OnPage


Mark = Ink | Rule | Patch | Figure


@record
class Strip:
    """A piece of a page: its height, its marks, whether it stays with the next, and what is repeated over it where it
    comes first on a page."""

    high_mm: float
    marks: tuple[Mark, ...] = ()
    keep: bool = False
    heads: tuple[Strip, ...] = ()


def strips_of(block: Block, wide_mm: float) -> list[Strip]:
    """The strips of a block at a width. Whole sheets and page breaks are no strips."""
    match block:
        case Words():
            return _words(block, wide_mm)
        case Bar():
            return [_bar(block, wide_mm)]
        case Gap():
            return [Strip(block.high_mm)]
        case Picture():
            return [_picture(block, wide_mm)]
        case Table():
            return list(_table(block, wide_mm))
        case Beside():
            return [_beside(block, wide_mm)]
        case _:
            return []


def high_mm(blocks: Iterable[Block], wide_mm: float) -> float:
    """How much of a page blocks take [mm]."""
    return sum(strip.high_mm for block in blocks for strip in strips_of(block, wide_mm))


def line_mm(size: float) -> float:
    """From base line to base line [mm]."""
    return size * _LEADING / POINT


def _words(block: Words, wide_mm: float) -> list[Strip]:
    lines = wrapped(block.text, wide_mm * POINT, block.size, block.bold)
    high = line_mm(block.size)
    found = [Strip(high, (Ink(0.0, 0.8 * high, line, block.size, block.bold),), keep=True) for line in lines]
    last = replace(found[-1], high_mm=high + block.under_mm, keep=block.keep)
    return [*found[:-1], last]


def _bar(block: Bar, wide_mm: float) -> Strip:
    lines = wrapped(block.text, (wide_mm - 2 * _PAD) * POINT, HEAD, True)
    step = line_mm(HEAD)
    high = step * len(lines) + 1.6
    marks: list[Mark] = []
    if block.strong:
        ends = ((0.0, 0.0), (wide_mm, 0.0), (wide_mm, high), (0.0, high))
        marks += [Rule(a, b, 0.7, BLACK) for a, b in zip(ends, (*ends[1:], ends[0]), strict=True)]
    else:
        marks.append(Patch((0.0, 0.0, wide_mm, high), GREY))
        marks.append(Rule((0.0, 0.0), (wide_mm, 0.0), 0.5, BLACK))
    marks += [Ink(_PAD, 0.7 + step * (i + 0.8), line, HEAD, True) for i, line in enumerate(lines)]
    return Strip(high + 1.2, tuple(marks), keep=True)


def _picture(block: Picture, wide_mm: float) -> Strip:
    low_x, low_y, high_x, high_y = block.shown
    scale = block.drawing.scale
    size = min(1.0, wide_mm * scale / (high_x - low_x), block.most_mm * scale / (high_y - low_y))
    wide, high = (high_x - low_x) / scale * size, (high_y - low_y) / scale * size
    at = OnPage(size=size, shown=block.shown)
    return Strip(high + 1.5, (Figure(block.drawing, (wide_mm - wide) / 2.0, 0.0, high, at),), keep=True)


def _beside(block: Beside, wide_mm: float) -> Strip:
    shares = block.shares or (1.0,) * len(block.columns)
    room = wide_mm - _BESIDE * (len(block.columns) - 1)
    marks: list[Mark] = []
    highest = across = 0.0
    for column, share in zip(block.columns, shares, strict=True):
        down, each = 0.0, room * share / sum(shares)
        for strip in (strip for part in column for strip in strips_of(part, each)):
            marks += (moved(mark, across, down) for mark in strip.marks)
            down += strip.high_mm
        highest, across = max(highest, down), across + each + _BESIDE
    return Strip(highest, tuple(marks))


def moved(mark: Mark, right_mm: float, down_mm: float) -> Mark:
    """A mark at another place."""
    match mark:
        case Ink(x, y, text, size, bold, right):
            return Ink(x + right_mm, y + down_mm, text, size, bold, right)
        case Rule((ax, ay), (bx, by), thick, grey):
            return Rule((ax + right_mm, ay + down_mm), (bx + right_mm, by + down_mm), thick, grey)
        case Patch((left, top, wide, high), grey):
            return Patch((left + right_mm, top + down_mm, wide, high), grey)
        case Figure(drawing, x, y, high, at):
            return Figure(drawing, x + right_mm, y + down_mm, high, at)


@lru_cache(maxsize=_KNOWN)
def _table(table: Table, wide_mm: float) -> tuple[Strip, ...]:
    """A row a strip. The heading stays with the first two rows, the last rows stay together, a total with what it
    sums, a bar with what is under it."""
    widths = column_widths(table, wide_mm)
    heads: tuple[Strip, ...] = ()
    if not table.plain and any(column.heading for column in table.columns):
        head = Row(tuple(column.heading for column in table.columns), Kind.HEAD)
        heads = (_row(table, head, widths),)
    found = [replace(head, keep=True) for head in heads]
    if not heads and not table.plain:
        found = [Strip(0.0, (Rule((0.0, 0.0), (sum(widths), 0.0)),), keep=True)]
    last = len(table.rows) - 1
    for place, row in enumerate(table.rows):
        after = table.rows[place + 1].kind if place < last else None
        keep = (
            place < min(1, last)
            or last - _LAST_ROWS <= place < last
            or row.kind in (Kind.GROUP, Kind.HEAD)
            or after is Kind.TOTAL
        )
        found.append(replace(_row(table, row, widths), keep=keep, heads=heads))
    return tuple(found)


def column_widths(table: Table, wide_mm: float) -> list[float]:
    """Widths of the columns [mm]: what stands in those without a share, and the rest by shares."""
    widths = [
        max(column.least_mm, 0.0 if column.share else _natural(table, i, column))
        for i, column in enumerate(table.columns)
    ]
    shares = sum(column.share for column in table.columns)
    if not shares:
        return widths
    left = wide_mm - sum(width_ for width_, column in zip(widths, table.columns, strict=True) if not column.share)
    return [
        max(width_, left * column.share / shares) if column.share else width_
        for width_, column in zip(widths, table.columns, strict=True)
    ]


def _natural(table: Table, place: int, column: Column) -> float:
    words = [width(word, table.size, True) for word in column.heading.split()]
    for row in table.rows:
        if row.kind in (Kind.LINE, Kind.TOTAL) and place < len(row.cells):
            words.append(width(row.cells[place], table.size, column.bold or row.kind is Kind.TOTAL))
    return max(words, default=0.0) / POINT + 2 * _PAD


def _row(table: Table, row: Row, widths: Sequence[float]) -> Strip:
    if row.kind in (Kind.GROUP, Kind.NOTE):
        return _across(table, row, sum(widths))
    bold_row = row.kind in (Kind.HEAD, Kind.TOTAL)
    cells = [
        wrapped(text, (wide - 2 * _PAD) * POINT, table.size, bold_row or column.bold)
        for text, wide, column in zip(row.cells, widths, table.columns, strict=False)
    ]
    step = line_mm(table.size)
    high = max(row.high_mm, step * max(map(len, cells)) + _pad(table))
    marks = list(_row_frame(table, row, widths, high))
    x = 0.0
    for lines, wide, column in zip(cells, widths, table.columns, strict=False):
        first = high - step * len(lines) - _pad(table) / 2.0 if row.kind is Kind.HEAD else _pad(table) / 2.0
        for i, line in enumerate(lines):
            if line:
                at = x + wide - _PAD if column.right else x + _PAD
                base = first + step * (i + 0.8)
                marks.append(Ink(at, base, line, table.size, bold_row or column.bold, column.right))
        x += wide
    return Strip(high, tuple(marks))


def _pad(table: Table) -> float:
    return _TIGHT_PAD if table.tight or table.plain else _ROW_PAD


def _row_frame(table: Table, row: Row, widths: Sequence[float], high: float) -> Iterator[Mark]:
    if table.plain:
        return
    wide = sum(widths)
    if row.kind is Kind.HEAD:
        yield Patch((0.0, 0.0, wide, high), GREY)
        yield Rule((0.0, high), (wide, high), 0.4, BLACK)
    elif row.kind is Kind.TOTAL:
        yield Rule((0.0, 0.0), (wide, 0.0), 0.4, BLACK)
    else:
        yield Rule((0.0, high), (wide, high))
    x = 0.0
    for column, each in zip(table.columns, widths, strict=True):
        if column.boxed and row.kind is Kind.LINE:
            yield from (Rule((at, 0.0), (at, high), 0.15, 0.3) for at in (x, x + each))
        x += each


def _across(table: Table, row: Row, wide: float) -> Strip:
    bold = row.kind is Kind.GROUP
    lines = wrapped(row.cells[0], (wide - 2 * _PAD) * POINT, table.size, bold)
    step = line_mm(table.size)
    high = max(row.high_mm, step * len(lines) + _pad(table))
    marks: list[Mark] = []
    if bold:
        marks.append(Patch((0.0, 0.0, wide, high), GREY))
    marks += [Ink(_PAD, _pad(table) / 2.0 + step * (i + 0.8), line, table.size, bold) for i, line in enumerate(lines)]
    return Strip(high, tuple(marks))
