"""A plain table of the papers on the page."""

from __future__ import annotations

from nicegui import ui

from takeoff.write.differences.tables import Cell, Table
from takeoff.write.words.words import number


def draw_table(table: Table) -> None:
    """The table with its heading and what it says."""
    with ui.element("section").classes("plain-table"):
        ui.label(table.title).classes("heading")
        ui.label(table.says).classes("soft")
        with ui.element("table").classes("typed-table"):
            with ui.element("tr"):
                for words, right in zip(table.headings, table.right, strict=True):
                    with ui.element("th").classes("right" if right else ""):
                        ui.label(words)
            for row in table.rows:
                with ui.element("tr"):
                    for cell, right in zip(row, table.right, strict=True):
                        with ui.element("td").classes("right" if right else ""):
                            ui.label(_words(cell))


def _words(cell: Cell) -> str:
    if cell is None:
        return ""
    return cell if isinstance(cell, str) else number(cell)
