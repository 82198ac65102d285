"""What was found in the house: stops first, each leads to its place and offers its cure."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial

from nicegui import background_tasks, ui

from takeoff.read.job.cures import Cure
from takeoff.web.findings_view import (
    JOB_FILE,
    MOST_PLACES,
    Row,
    asked_of,
    codes_of,
    counts_words,
    rows_of,
    written_lines,
)
from takeoff.web.house import House, News
from takeoff.web.tab import Tab
from takeoff.write.job_text.edits import edited_text

NAME = "Findings"
_NEWS = (News.TEXT, News.SHAPED, News.ORDERED, News.REFUSED)
_MOST_ROWS = 150  # drawn; what is less grave stands in the papers too


def findings_words(tab: Tab, button: ui.tab) -> None:
    """Says in the name of the panel how many stops and warnings there are."""

    def draw() -> None:
        words = "" if tab.house.empty else counts_words(codes_of(asked_of(tab.house)))
        button.props["label"] = f"{NAME} ({words})" if words else NAME
        button.update()

    tab.on(*_NEWS, do=draw)
    draw()


def findings_panel(tab: Tab) -> None:
    """Draws the panel."""
    with ui.element("div").classes("findings"):
        head = ui.element("h2").props("role=status")
        listed = ui.element("ol")
    with head:
        said = ui.label()

    wanted = 0  # the newest drawing that was asked for: an older one that comes later is left

    async def drawn(number: int) -> None:
        rows = await asyncio.to_thread(rows_of, asked_of(tab.house))
        if number != wanted or tab.client.is_deleted:
            return
        with tab.client:
            listed.clear()
            with listed:
                _list(tab, rows)

    def draw() -> None:
        nonlocal wanted
        wanted += 1
        said.set_text(_head(tab.house))
        background_tasks.create(drawn(wanted))

    tab.on(*_NEWS, do=draw)
    draw()


def _list(tab: Tab, rows: tuple[Row, ...]) -> None:
    for row in rows[:_MOST_ROWS]:
        with ui.element("li").classes(f"finding {row.code}"):
            _draw(tab, row)
    if len(rows) > _MOST_ROWS:
        with ui.element("li"):
            ui.label(f"and {len(rows) - _MOST_ROWS} more: all of them stand in the order sheet, on its page Checks")


def _head(house: House) -> str:
    if house.current(News.REFUSED):
        return "NOT AN ORDER: the job cannot be taken off"
    if not house.current(News.SHAPED):
        return "The house is being worked out."
    words = counts_words(codes_of(asked_of(house))) or "Nothing stops the order"
    return words if house.current(News.ORDERED) else f"{words}; the order is being made"


def _draw(tab: Tab, row: Row) -> None:
    with ui.element("p"):
        ui.label(f"{row.grave}:").classes("grave")
        ui.label(row.text)
    if row.advice:
        with ui.element("p"):
            ui.label(row.advice)
    with ui.element("div").classes("acts"):
        for mark in row.marks[:MOST_PLACES]:
            _button(f"Show {mark}", partial(_lead, tab, row.panel, mark))
        if not row.marks and row.panel != JOB_FILE and tab.has(row.panel):
            _button(f"Open {row.panel}", partial(tab.show, row.panel))
        if row.line:
            _button(f"Job file, line {row.line}", partial(_to_line, tab, row.line))
        offered = [_button(f"{cure.words} ...", None) for cure in row.cures]
    room = ui.element("div")
    for button, cure in zip(offered, row.cures, strict=True):
        button.on("click", partial(_offer, tab, room, cure))


def _lead(tab: Tab, panel: str, mark: str) -> None:
    tab.touch(mark)
    tab.show(panel)


def _to_line(tab: Tab, line: int) -> None:
    tab.touch(f"line {line}")
    tab.show(JOB_FILE)


async def _offer(tab: Tab, room: ui.element, cure: Cure) -> None:
    """Shows the very lines that a cure writes, and writes them when it is told to."""
    text = tab.house.copy.text
    with tab.told():
        after = await asyncio.to_thread(edited_text, text, cure.edits)
        with tab.client:
            room.clear()
            with room:
                with ui.element("pre"):
                    ui.label("\n".join(written_lines(text, after))).style("white-space: pre-wrap")
                if cure.sample:
                    ui.label("The figure stands for one that only you know: put yours in its place.").classes("why")
                with ui.element("div").classes("acts"):
                    _button("Write it into the job file", lambda: _write(tab, cure))
                    _button("Leave it", room.clear)


def _write(tab: Tab, cure: Cure) -> None:
    tab.edit(*cure.edits, said=f"cure: {cure.words}")


def _button(words: str, do: Callable[[], object] | None) -> ui.element:
    with ui.element("button").props("type=button") as button:
        ui.label(words)
    if do is not None:
        button.on("click", do)
    return button
