"""Which column of a supplied list is what: found by the trade's words in its heading row, under any title rows."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from contextlib import suppress

from takeoff.basics.records import record
from takeoff.read.lists.length_words import METRES_BELOW, read_count, read_length, unit_of
from takeoff.read.lists.raw_table import Cell, RawTable, Row

_PLAIN_SHARE = 0.8  # of the rows a column without a heading fills
_PLAIN_MARK = re.compile(r"p\s*[0-9]{1,4}(\s*[.\-/]\s*[0-9]+(?:-[0-9]+)?[a-z]?)?", re.IGNORECASE)
HEADING_ROWS = 40  # a heading row is looked for in so many filled rows

# exact headings first; then a heading that holds one of the words in WORDS and none of NOT_THESE
HEADINGS: Mapping[str, tuple[str, ...]] = {
    "length": ("length", "len", "l", "cut length", "sheet length", "order length", "bought", "ordered", "cut"),
    "count": ("qty", "quantity", "no", "nr", "number", "count", "nos", "pcs", "pieces", "sheets", "each", "off", "#"),
    "plane": ("plane", "roof plane", "face", "slope", "roof face", "roof slope"),
    "mark": ("mark", "marks", "sheet mark", "id", "label", "ref", "reference", "sheet", "sheet no", "piece"),
    "profile": ("profile", "sheet profile", "product", "material", "description", "item"),
    "unit": ("unit", "units", "length unit"),
    "source": ("cut from", "from", "cut out of"),
}
WORDS: Mapping[str, tuple[str, ...]] = {
    "length": ("length",),
    "count": ("qty", "quantity"),
    "plane": ("plane", "slope"),
    "mark": ("mark",),
    "profile": ("profile",),
}
NOT_THESE = frozenset(
    {"total", "sum", "left", "right", "side", "cover", "waste", "longest", "lineal", "linear", "area"}
)
_NO_WORDS = "\x00"  # of a cell that is no heading
_SAID = {"count": "quantity"}


@record
class Columns:
    """0-based columns of a list by kind, the row of its headings (0: it has none, its columns are plain), and the unit
    its length heading states."""

    row: int
    at: Mapping[str, int]
    unit: str

    def get(self, row: Row, kind: str) -> Cell:
        """The cell of that kind in a row, None where there is none."""
        column = self.at.get(kind)
        return None if column is None or column >= len(row.cells) else row.cells[column]


@record
class _Heading:
    words: str
    unit: str


def find_columns(table: RawTable) -> Columns | str:
    """The columns of a list, or in words what is missing. Raises ValueError for a unit that is not read, and for
    columns of which nobody can tell which is meant."""
    best: tuple[int, Mapping[str, int], Row] | None = None
    for row in table.rows[:HEADING_ROWS]:
        headings = [_heading(cell) for cell in row.cells]
        at = _kinds(headings)
        if "length" in at and ("count" in at or "mark" in at):
            _refuse_doubles(row, headings, at)
            return Columns(row.number, at, headings[at["length"]].unit)
        if at and (best is None or len(at) > len(best[1])):
            best = (row.number, at, row)
    if best is None and (plain := plain_columns(table)) is not None:
        return plain
    if best is None:
        return f"no heading row in the first {HEADING_ROWS} rows; name the columns: mark, plane, quantity, length mm"
    seen = ", ".join(str(cell) for cell in best[2].cells if cell is not None)
    missing = "length" if "length" not in best[1] else "quantity"
    return f"row {best[0]} has no heading for the {missing}; it reads: {seen[:200]}"


def plain_columns(table: RawTable) -> Columns | None:
    """The columns of a list without headings, where nobody could take one for another: one column of lengths, beside it
    at most one of quantities (whole numbers, where the lengths are none that are), of marks and of planes."""
    rows = [row for row in table.rows if sum(cell is not None for cell in row.cells) > 1]  # a title fills one cell
    width = max((len(row.cells) for row in rows), default=0)
    at: dict[str, int] = {}
    for column in range(width):
        cells = [row.cells[column] for row in rows if column < len(row.cells) and row.cells[column] is not None]
        kind = _plain_kind(cells)
        if len(cells) < _PLAIN_SHARE * len(rows) or not kind:
            continue
        if kind in at:
            return None
        at[kind] = column
    return Columns(0, at, "") if "length" in at and ("count" in at or "mark" in at) else None


def _plain_kind(cells: Sequence[Cell]) -> str:
    """What a column without a heading can only be, "" where it can be several things or none."""
    kinds = {_cell_kind(cell) for cell in cells}
    return kinds.pop() if len(kinds) == 1 else ""


def _cell_kind(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str) and (match := _PLAIN_MARK.fullmatch(cell.strip())):
        return "mark" if match.group(1) else "plane"
    with suppress(ValueError):
        # a whole number under what is taken for metres is a quantity, whatever it might measure
        if read_count(cell) < METRES_BELOW:
            return "count"
    with suppress(ValueError):
        read_length(cell, "")
        return "length"
    return ""


def _kinds(headings: Sequence[_Heading]) -> dict[str, int]:
    at: dict[str, int] = {}
    for exact in (True, False):
        for kind in HEADINGS:
            for column, heading in enumerate(headings):
                if kind not in at and column not in at.values() and _is(kind, heading, exact):
                    at[kind] = column
    return at


def _refuse_doubles(row: Row, headings: Sequence[_Heading], at: Mapping[str, int]) -> None:
    """Raises ValueError for two columns of one heading, or two that could both be the quantity or the length."""
    for kind, column in at.items():
        for other, heading in enumerate(headings):
            same = heading.words == headings[column].words
            either = kind in ("count", "length") and heading.words in HEADINGS[kind] and heading.words != "#"
            if other != column and other not in at.values() and heading.words != _NO_WORDS and (same or either):
                first, second = sorted((column, other))
                raise ValueError(
                    f"row {row.number} has two columns for the {_SAID.get(kind, kind)}, {row.cells[first]!r} in column "
                    f"{first + 1} and {row.cells[second]!r} in column {second + 1}; keep one, or name "
                    "the other otherwise"
                )


def _is(kind: str, heading: _Heading, exact: bool) -> bool:
    if exact:
        return heading.words in HEADINGS[kind] or (kind == "length" and not heading.words and bool(heading.unit))
    words = set(heading.words.split())
    return bool(words & set(WORDS.get(kind, ()))) and not words & NOT_THESE


def _heading(cell: Cell) -> _Heading:
    """A heading without its unit: "Length (mm)" is ("length", "mm"). Raises ValueError for ft, in or cm on a length."""
    if not isinstance(cell, str) or len(cell) > 60:
        return _Heading(_NO_WORDS, "")
    words = re.sub(r"[^\w#'\"]+", " ", cell.lower()).split()
    if not words:
        return _Heading(_NO_WORDS, "")
    unit = ""
    kept = []
    is_length = any(word in ("length", "len", "cut") for word in words)
    for word in words:
        found = ""
        try:
            found = unit_of(word)
        except ValueError:
            # "length in mm" is in mm, "foot cut" is a cut: only a unit at the end is one
            if is_length and word == words[-1]:
                raise
        if found:
            unit = found
        elif word not in ("in", "of"):
            kept.append(word)
    return _Heading(" ".join(kept), unit)
