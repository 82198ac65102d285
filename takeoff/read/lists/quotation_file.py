"""A supplier's quotation, CSV or XLSX -> Quotation. Every fault is told with its file, sheet and row.

Read are what is sold, how many, and a price a unit or an amount; a line number of ours, a length and a unit where they
are given. Bounds on size, rows and columns are those of every list.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import isfinite
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.records import record
from takeoff.model.quotation import Quotation, QuotedLine
from takeoff.read.lists.length_words import has_decimal_commas, read_length
from takeoff.read.lists.list_rows import read_tables
from takeoff.read.lists.raw_table import Cell, RawTable, Row

HEADINGS: Mapping[str, tuple[str, ...]] = {
    "item": ("item", "description", "product", "material", "what", "goods"),
    "count": ("qty", "quantity", "count", "no", "nr", "pcs", "pieces"),
    "rate": ("rate", "price", "unit price", "price each", "each", "unit rate", "net price"),
    "amount": ("amount", "total", "sum", "line total", "extension", "value", "total price"),
    "length": ("length", "length mm", "length m", "len", "cut length"),
    "unit": ("unit", "units", "uom"),
    "ref": ("line", "our line", "line no", "your line", "ref", "reference", "pos", "position"),
}
MOST_FAULTS = 20
MOST_MONEY = 1e9
MOST_LINES = 2_000  # the largest order has some hundreds
_HEADING_ROWS = 40
_MONEY = re.compile(r"[^\d\-]*(?P<sign>-?)[^\d\-]*(?P<figure>\d[\d.,'’ ]*?)\s*[^\d.,'’ ]*$")
_TOTALS = ("total", "sub-total", "subtotal", "sub total", "grand total", "sum", "tax", "freight", "delivery charge")


@record
class _Columns:
    row: int
    at: Mapping[str, int]
    unit: str

    def get(self, row: Row, kind: str) -> Cell:
        """The cell of a kind in a row."""
        column = self.at.get(kind)
        return None if column is None or column >= len(row.cells) else row.cells[column]


def read_quotation(path: Path, sheet: str = "") -> Quotation:
    """The quotation in a file; `sheet` names the worksheet where a workbook holds several.

    Raises UnreadableFileError with every fault, UsageError for a worksheet that is not there.
    """
    tables = read_tables(path)
    if sheet:
        named = tuple(table for table in tables if table.sheet.lower() == sheet.lower())
        if not named:
            known = ", ".join(table.sheet for table in tables if table.sheet) or "none: it is a text file"
            raise UsageError(f"{path} has no sheet {sheet!r}; it has {known}")
        tables = named
    for table in tables:
        columns = _columns(table)
        if columns is not None:
            return _read(table, columns)
    raise UnreadableFileError(
        f"{path}: no heading row with an item, a quantity and a price; name the columns: line, item, length mm, "
        "quantity, unit, price, amount"
    )


def _columns(table: RawTable) -> _Columns | None:
    """The columns of the first row that names what is sold, how many, and a price or an amount."""
    for row in table.rows[:_HEADING_ROWS]:
        words = [_heading(cell) for cell in row.cells]
        at: dict[str, int] = {}
        for kind, known in HEADINGS.items():
            found = [i for i, word in enumerate(words) if word in known and i not in at.values()]
            if found:
                at[kind] = found[0]
        if {"item", "count"} <= set(at) and ("rate" in at or "amount" in at):
            length = words[at["length"]] if "length" in at else ""
            return _Columns(row.number, at, next((u for u in ("mm", "m") if length.endswith(f" {u}")), ""))
    return None


def _heading(cell: Cell) -> str:
    return " ".join(re.sub(r"[^\w]+", " ", cell.lower()).split()) if isinstance(cell, str) and len(cell) < 60 else ""


def _read(table: RawTable, columns: _Columns) -> Quotation:
    faults: list[str] = []
    lines: list[QuotedLine] = []
    below = [row for row in table.rows if row.number > columns.row]
    figures = [columns.get(row, kind) for row in below for kind in ("count", "rate", "amount")]
    commas = has_decimal_commas(figures, table.delimiter)
    for row in below:
        item = columns.get(row, "item")
        name = "" if item is None else " ".join(str(item).split())
        if _is_total(row) or columns.get(row, "count") is None:
            continue
        try:
            lines.append(_line(row, name, columns, commas, table))
        except ValueError as err:
            faults.append(f"{table.place(row.number)}: {err}")
    if len(lines) > MOST_LINES:
        faults = [f"{table.file}: {len(lines):,} lines, more than the {MOST_LINES:,} a quotation can have"]
    if not lines and not faults:
        faults.append(f"{table.file}: no line with an item and a quantity under the headings")
    if faults:
        more = len(faults) - MOST_FAULTS
        rest = [f"{table.file}: and {more} faults more"] if more > 0 else []
        raise UnreadableFileError(*faults[:MOST_FAULTS], *rest)
    return Quotation(table.file, table.sheet, tuple(lines))


def _is_total(row: Row) -> bool:
    words = [cell.lower() for cell in row.cells if isinstance(cell, str)]
    return bool(words) and words[0].startswith(_TOTALS)


def _line(row: Row, name: str, columns: _Columns, commas: bool, table: RawTable) -> QuotedLine:
    """One line. Raises ValueError, in words, for a cell that is none of its kind."""
    for kind, column in columns.at.items():
        why = table.odd.get((row.number, column), "")
        if why and kind != "item":
            raise ValueError(f"{kind}: {why}")
    if not name:
        raise ValueError(f"a quantity ({columns.get(row, 'count')}) without an item")
    length = columns.get(row, "length")
    each = read_length(length, columns.unit, commas=commas).mm if length not in (None, 0, "0", "-") else 0.0
    ref = columns.get(row, "ref")
    return QuotedLine(
        row=row.number,
        ref=_ref(ref),
        item=name[:300],
        each_mm=each,
        count=read_money(columns.get(row, "count"), commas, "quantity") or 0.0,
        unit=str(columns.get(row, "unit") or "").strip()[:20],
        rate=read_money(columns.get(row, "rate"), commas, "price"),
        amount=read_money(columns.get(row, "amount"), commas, "amount"),
    )


def _ref(cell: Cell) -> str:
    if isinstance(cell, float) and cell == int(cell):
        return str(int(cell))
    return "" if cell is None else str(cell).strip()[:40]


def read_money(cell: Cell, commas: bool = False, what: str = "price") -> float | None:
    """A figure as people write money: "$ 1,234.50", "1 234,50"; None for an empty cell. Raises ValueError for what is
    none, is less than 0 or beyond all sense.

    >>> read_money("$ 1,234.50"), read_money("1.234,50", commas=True), read_money(4.2), read_money(None)
    (1234.5, 1234.5, 4.2, None)
    """
    if cell is None or cell == "-":
        return None
    if isinstance(cell, str):
        match = _MONEY.fullmatch(cell.strip())
        if match is None or match["sign"]:
            raise ValueError(f"{cell[:40]!r} is no {what}")
        text = re.sub(r"[\s'’]", "", match["figure"])
        text = text.replace(".", "").replace(",", ".") if commas else text.replace(",", "")
        try:
            value = float(text)
        except ValueError:
            raise ValueError(f"{cell[:40]!r} is no {what}") from None
    else:
        value = float(cell)
    if not isfinite(value) or not 0.0 <= value <= MOST_MONEY:
        raise ValueError(f"{value:g} is no {what}")
    return value
