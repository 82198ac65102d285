"""The job file as text, to read and to write in: the truth that every other panel edits."""

from __future__ import annotations

from nicegui import ui

from takeoff.web.house import News
from takeoff.web.tab import Tab


def job_text_panel(tab: Tab) -> None:
    """Draws the panel."""
    house = tab.house
    with ui.element("div").classes("job-text"):
        box = ui.textarea("Job file", value=house.copy.text).props("outlined autogrow spellcheck=false").classes("mono")
        faults = ui.element("ul").classes("faults")

    def wrote() -> None:
        house.put(box.value or "", "job file written in")

    def draw() -> None:
        if box.value != house.copy.text:
            box.set_value(house.copy.text)

    def told() -> None:
        faults.clear()
        with faults:
            for fault in house.faults if house.current(News.REFUSED) else ():
                with ui.element("li"):
                    ui.label(fault)

    box.on("blur", wrote)
    tab.on(News.TEXT, do=draw)
    tab.on(News.TEXT, News.SHAPED, News.REFUSED, do=told)
    told()
