"""A table of the workbook as it stands on a paper: the same rows, filled by the same hand: both say the same."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from takeoff.basics.rounding import half_up
from takeoff.write.papers.blocks import SMALL, Block, Column, Kind, Row, Table
from takeoff.write.words.words import plain
from takeoff.write.workbook.workbook_grid import FIRST_ROW, GRID, Grid
from takeoff.write.workbook.workbook_page import Cell, Formula

_GAP_HIGH = 2.0  # of an empty row [mm]
_RIGHT = frozenset(("count", "whole", "length", "tenth", "metres", "area", "kg", "money", "degrees", "percent"))


def places(value: float, most: int, least: int = 0) -> str:
    """A figure with its thousands parted, at least and at most so many decimals.

    >>> places(1200.5, 3, 2), places(3.0, 2), places(-0.001, 2)
    ('1,200.50', '3', '0')
    """
    text = f"{Decimal(repr(half_up(value, most))):,.{most}f}"
    while most > least and text.endswith("0"):
        text, most = text[:-1], most - 1
    text = text.rstrip(".")
    return "0" if text == "-0" else text


# the number formats of the template's styles, said once more for paper
_SHOWN: dict[str, Callable[[float], str]] = {
    "count": lambda value: places(value, 2),
    "whole": lambda value: f"{half_up(value, 0):.0f}",
    "length": lambda value: f"{half_up(value, 0):.0f}",
    "tenth": lambda value: f"{half_up(value, 1):.1f}",
    "metres": lambda value: places(value, 3, 2),
    "area": lambda value: places(value, 2, 2),
    "kg": lambda value: places(value, 1, 1) if value else "",
    "money": lambda value: places(value, 4, 2),
    "degrees": lambda value: f"{half_up(value, 1):.1f}°",
    "percent": lambda value: f"{half_up(value, 1):.1f}%",
}


def shown(value: Cell, style: str) -> str:
    """A cell's value as it is printed in a style of the workbook."""
    if isinstance(value, Formula):
        value = value.value
    if value is None:
        return ""
    if isinstance(value, str):
        return plain(value)
    as_style = _SHOWN.get(style)
    return as_style(float(value)) if as_style is not None else places(float(value), 3)


@dataclass(slots=True)
class Recorded:
    """Rows of one sheet of the workbook, kept for a paper. `said` puts the trade's words into every text."""

    grid: Grid
    said: Callable[[str], str]
    size: float = SMALL
    row: int = FIRST_ROW
    blocks: list[Block] = field(default_factory=list)
    _rows: list[Row] = field(default_factory=list)
    _heads: tuple[str, ...] = ()

    @classmethod
    def of(cls, title: str, said: Callable[[str], str], size: float = SMALL) -> Recorded:
        """An empty one for the sheet of that title."""
        grid = GRID[title]
        return cls(grid, said, size, _heads=tuple(column.heading for column in grid.columns))

    def line(self, cells: Sequence[Cell], total: bool = False, styles: Sequence[str] = ()) -> int:
        """A row; returns the number it has on the sheet."""
        own = [*styles, *(column.style for column in self.grid.columns[len(styles) :])]
        texts = tuple(self.said(shown(value, style)) for value, style in zip(cells, own, strict=False))
        self._rows.append(Row(texts, Kind.TOTAL if total else Kind.LINE))
        self.row += 1
        return self.row - 1

    def group(self, text: str) -> None:
        """A bar with a heading."""
        self._across(text, Kind.GROUP)

    def note(self, text: str) -> None:
        """Words across the table."""
        self._across(text, Kind.NOTE)

    def _across(self, text: str, kind: Kind) -> None:
        self._rows.append(Row((self.said(plain(text)),), kind))
        self.row += 1

    def heading(self, cells: Sequence[str], right: Sequence[bool] = ()) -> None:
        """The heading of a further table, in the columns of this one."""
        self._close(keep=1 if self._rows and self._rows[-1].kind is Kind.GROUP else 0)
        self._heads = tuple(map(self.said, cells))
        self.row += 1

    def gap(self) -> None:
        """An empty row."""
        if self._rows:
            self._rows.append(Row(("",), Kind.NOTE, _GAP_HIGH))
        self.row += 1

    def finished(self) -> tuple[Block, ...]:
        """What was written, as blocks."""
        self._close()
        return tuple(self.blocks)

    def _close(self, keep: int = 0) -> None:
        """Make a table of the rows so far; the last `keep` of them begin the next one."""
        rows = self._rows[: len(self._rows) - keep]
        if any(row.kind in (Kind.LINE, Kind.TOTAL) for row in rows):
            self.blocks.append(Table(self._columns(), tuple(rows), self.size))
        elif rows:
            self.blocks.append(Table((Column("", share=1.0),), tuple(rows), self.size, plain=True))
        self._rows = self._rows[len(self._rows) - keep :]

    def _columns(self) -> tuple[Column, ...]:
        heads = (*self._heads, *("",) * len(self.grid.columns))
        return tuple(
            Column(
                self.said(heads[i]),
                right=column.style in _RIGHT,
                share=0.0 if column.style in _RIGHT or column.style in ("mark", "blank") else column.width,
                bold=column.style in ("mark", "length"),
                boxed=column.style == "blank",
                least_mm=14.0 if column.style == "blank" else 0.0,
            )
            for i, column in enumerate(self.grid.columns)
        )
