"""A page that keeps what tables write into it, as rows to be compared whole."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any


class Rows:
    """Rows as they came: each what it is, then what it holds. The first is row 10 unless it is said otherwise."""

    def __init__(self, row: int = 10) -> None:
        self.row = row
        self.kept: list[tuple[Any, ...]] = []

    def line(self, cells: Sequence[Any], total: bool = False, styles: Sequence[str] = ()) -> int:
        return self._keep("total" if total else "line", *cells, *([tuple(styles)] if styles else []))

    def group(self, text: str) -> None:
        self._keep("group", text)

    def heading(self, cells: Sequence[str], right: Sequence[bool] = ()) -> None:
        self._keep("heading", *cells, *([tuple(right)] if right else []))

    def note(self, text: str) -> None:
        self._keep("note", text)

    def gap(self) -> None:
        self._keep("gap")

    def _keep(self, *what: Any) -> int:
        self.kept.append(what)
        self.row += 1
        return self.row - 1
