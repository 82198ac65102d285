"""A small evaluator of the spreadsheet formulas in use: numbers, cells, ranges, + - * / and five functions.

Rules from memory of what spreadsheet programs do, held against LibreOffice by tests/crosschecks: an empty cell is 0 in
a sum and in a product; ROUND goes half away from zero on the 15 digits a program shows; texts in a range are passed
over. A function or a sign that is not known here raises ValueError, so that a new formula cannot go unread.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from openpyxl.utils import range_boundaries
from openpyxl.workbook import Workbook

_TOKEN = re.compile(
    r"\s*(?:(?P<sheet>'(?:[^']|'')+'|[A-Za-z_]\w*)!)?"
    r"(?:(?P<range>\$?[A-Z]{1,3}\$?\d+:\$?[A-Z]{1,3}\$?\d+)|(?P<cell>\$?[A-Z]{1,3}\$?\d+)(?![\w(])"
    r"|(?P<name>[A-Z]+)(?=\()|(?P<number>\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)|(?P<sign>[-+*/(),]))"
)

Value = float | list[float]


def sheet_round(value: float, places: int) -> float:
    """ROUND of a spreadsheet: half away from zero, on the 15 digits that the program works with."""
    shown = Decimal(f"{value:.15g}")
    return float(shown.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP))


class Sums:
    """The figures of a workbook worked out cell by cell, formulas from what they point to."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._known: dict[tuple[str, str], float | None] = {}

    def cell(self, title: str, cell: str) -> float | None:
        """The figure of a cell; None where it is empty or a text. Raises ValueError for a formula that goes round."""
        key = (title, cell)
        if key not in self._known:
            held = self._book[title][cell]
            self._known[key] = None
            if held.data_type == "f":
                self._known[key] = float("nan")
                self._known[key] = _Reader(self, title, str(held.value)[1:]).whole()
            elif isinstance(held.value, int | float):
                self._known[key] = float(held.value)
        return self._known[key]

    def span(self, title: str, span: str) -> list[float]:
        """The figures in a range row by row, empty cells and texts as 0 (all functions here pass over those)."""
        left, top, right, foot = range_boundaries(span.replace("$", ""))
        rows = self._book[title].iter_rows(min_row=top, max_row=foot, min_col=left, max_col=right)
        return [self.cell(title, cell.coordinate) or 0.0 for row in rows for cell in row]


class _Reader:
    """One formula read from left to right."""

    def __init__(self, sums: Sums, title: str, text: str) -> None:
        self._sums, self._title, self._text = sums, title, text
        self._tokens: list[re.Match[str]] = []
        at = 0
        while at < len(text):
            match = _TOKEN.match(text, at)
            if match is None or match.end() == at:
                raise ValueError(f"{title}: {text}: not understood at {text[at:]}")
            self._tokens.append(match)
            at = match.end()
        self._place = 0

    def whole(self) -> float:
        value = self._sum()
        if self._place != len(self._tokens):
            raise ValueError(f"{self._title}: {self._text}: more than one formula")
        return _one(value)

    def _next_is(self, *signs: str) -> str:
        if self._place < len(self._tokens) and self._tokens[self._place]["sign"] in signs:
            self._place += 1
            return str(self._tokens[self._place - 1]["sign"])
        return ""

    def _sum(self) -> Value:
        value = self._product()
        while sign := self._next_is("+", "-"):
            other = _one(self._product())
            value = _one(value) + other if sign == "+" else _one(value) - other
        return value

    def _product(self) -> Value:
        value = self._factor()
        while sign := self._next_is("*", "/"):
            other = _one(self._factor())
            value = _one(value) * other if sign == "*" else _one(value) / other
        return value

    def _factor(self) -> Value:
        if self._next_is("-"):
            return -_one(self._factor())
        if self._next_is("("):
            value = self._sum()
            self._close()
            return value
        token = self._tokens[self._place]
        self._place += 1
        title = (token["sheet"] or self._title).strip("'").replace("''", "'")
        if token["number"]:
            return float(token["number"])
        if token["cell"]:
            return self._sums.cell(title, token["cell"].replace("$", "")) or 0.0
        if token["range"]:
            return self._sums.span(title, token["range"])
        if token["name"]:
            return _call(token["name"], self._arguments())
        raise ValueError(f"{self._title}: {self._text}: {token[0]} stands where a figure is due")

    def _arguments(self) -> list[Value]:
        self._next_is("(")
        values = [self._sum()]
        while self._next_is(","):
            values.append(self._sum())
        self._close()
        return values

    def _close(self) -> None:
        if not self._next_is(")"):
            raise ValueError(f"{self._title}: {self._text}: a bracket is left open")


def _one(value: Value) -> float:
    if isinstance(value, list):
        raise ValueError("a range stands where one figure is due")
    return value


def _flat(values: Sequence[Value]) -> list[float]:
    return [figure for value in values for figure in (value if isinstance(value, list) else [value])]


def _call(name: str, values: list[Value]) -> float:
    match name:
        case "ROUND":
            figure, places = values
            return sheet_round(_one(figure), int(_one(places)))
        case "SUM":
            return sum(_flat(values))
        case "MAX":
            return max(_flat(values))
        case "MIN":
            return min(_flat(values))
        case "SUMPRODUCT":
            lists = [value if isinstance(value, list) else [value] for value in values]
            total = 0.0
            for row in zip(*lists, strict=True):
                product = 1.0
                for figure in row:
                    product *= figure
                total += product
            return total
        case _:
            raise ValueError(f"{name} is not known to this evaluator")


def differences(book: Workbook, stored: Mapping[str, Mapping[str, float]]) -> list[str]:
    """Cells whose formula gives another figure than the one stored beside it."""
    sums = Sums(book)
    found = []
    for title, cells in stored.items():
        for cell, ours in cells.items():
            theirs = sums.cell(title, cell)
            if theirs is None or not abs(theirs - ours) <= 1e-9 * max(1.0, abs(ours)):
                found.append(f"{title}!{cell}: {book[title][cell].value} gives {theirs}, stored {ours}")
    return found
