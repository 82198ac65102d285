"""What was found in the house: stops first, each leads to its place and offers its cure."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from nicegui import ui

from takeoff.web.findings_view import JOB_FILE, MOST_PLACES, Row, counts_words, rows_of
from takeoff.web.house import News
from takeoff.web.tab import Tab

_NEWS = (News.TEXT, News.SHAPED, News.ORDERED, News.REFUSED)
NAME = "Findings"


def findings_words(tab: Tab, button: ui.tab) -> None:
    """Says in the name of the panel how many stops and warnings there are."""

    def draw() -> None:
        words = counts_words(rows_of(tab.house))
        button.props["label"] = f"{NAME} ({words})" if words else NAME
        button.update()

    tab.on(*_NEWS, do=draw)
    draw()


def findings_panel(tab: Tab) -> None:
    """Draws the panel."""
    room = ui.element("div").classes("findings")

    def draw() -> None:
        room.clear()
        rows = rows_of(tab.house)
        with room:
            with ui.element("h2"):
                ui.label(_head(tab, rows))
            with ui.element("ol"):
                for row in rows:
                    with ui.element("li").classes(f"finding {row.code}"):
                        _draw(tab, row)

    tab.on(*_NEWS, do=draw)
    draw()


def _head(tab: Tab, rows: tuple[Row, ...]) -> str:
    house = tab.house
    if house.current(News.REFUSED):
        return "The job cannot be taken off. NOT AN ORDER"
    if not house.current(News.SHAPED):
        return "The house is being worked out."
    words = counts_words(rows) or "Nothing stops the order"
    return words if house.current(News.ORDERED) else f"{words}; the order is being made"


def _draw(tab: Tab, row: Row) -> None:
    with ui.element("p"):
        with ui.element("span").classes("grave"):
            ui.label(f"{row.grave}: ").style("display: inline")
        ui.label(row.text).style("display: inline")
    if row.advice:
        with ui.element("p"):
            ui.label(row.advice)
    with ui.element("div").classes("acts"):
        for mark in row.marks[:MOST_PLACES]:
            _button(f"Show {mark}", partial(_lead, tab, row.panel, mark))
        if row.line:
            _button(f"Job file, line {row.line}", partial(tab.show, JOB_FILE))


def _lead(tab: Tab, panel: str, mark: str) -> None:
    tab.touch(mark)
    tab.show(panel)


def _button(words: str, do: Callable[[], None]) -> None:
    with ui.element("button").props("type=button") as button:
        ui.label(words)
    button.on("click", do)
