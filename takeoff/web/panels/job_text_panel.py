"""The job file as text, to read and to write in: the truth that every other panel edits."""

from __future__ import annotations

import re
from functools import partial
from typing import Any

from nicegui import ui

from takeoff.model.findings import Severity
from takeoff.web.drawing.job_text_box import JobTextBox
from takeoff.web.house import House, News
from takeoff.web.tab import Tab
from takeoff.web.text_lines import (
    SaidOfLine,
    changed_lines,
    counted,
    plain_ends,
    said_of_line,
    with_ends_of,
)

_LINE = re.compile(r"line (?P<line>\d+)")  # touched elsewhere: a line of the job file
_MOST_SAID = 60  # sentences beside the text; the findings have a panel of their own
_MOST_LINES = 200  # of what changed


def job_text_panel(tab: Tab) -> None:
    """Draws the panel."""
    house = tab.house
    with ui.element("div").classes("job-text"):
        box = JobTextBox("Job file")
        with ui.element("aside"):
            said = ui.element("section").props('aria-label="Said of lines"')
            changed = ui.element("section").props('aria-label="Not saved"')

    def wrote(event: Any) -> None:
        text, base = str(event.args.get("text", "")), event.args.get("base")
        if base == house.version:
            with tab.told():
                house.put(with_ends_of(text, house.copy.text), "typed in the job file")

    def took(event: Any) -> None:
        now = house.copy.text
        with tab.told():
            house.put(with_ends_of(str(event.args.get("mine", "")), now), "typed in the job file, then set aside")
            house.put(now, "the change from elsewhere, taken")

    def draw() -> None:
        box.show(plain_ends(house.copy.text), house.version)

    def tell() -> None:
        of_lines = said_now(house)
        box.mark_lines(counted(of_lines))
        said.clear()
        with said:
            _said(box, of_lines, house)

    def compare() -> None:
        changed.clear()
        with changed:
            _not_saved(house)

    def go() -> None:
        found = _LINE.fullmatch(tab.touched)
        if found is not None:
            box.go_to(int(found["line"]))

    box.on("wrote", wrote)
    tab.on_touch(go)
    box.on("took", took)
    tab.on(News.TEXT, do=draw)
    tab.on(News.TEXT, News.SHAPED, News.ORDERED, News.REFUSED, do=tell)
    tab.on(News.TEXT, News.SAVED, News.DISK, do=compare)
    for part in (draw, tell, compare):
        part()


def said_now(house: House) -> list[SaidOfLine]:
    """Faults of the newest text, else what was found at lines of it; stops first."""
    if house.current(News.REFUSED):
        return [said_of_line(fault) for fault in house.faults]
    rank = list(Severity)
    placed = [one for one in house.findings if one.source.startswith(f"{house.copy.path.name}:")]
    placed.sort(key=lambda one: rank.index(one.severity))
    return [said_of_line(f"{one.severity.value}: {one.text}", one.source) for one in placed]


def _said(box: JobTextBox, of_lines: list[SaidOfLine], house: House) -> None:
    if house.current(News.REFUSED):
        ui.label("What has to be put right").classes("heading")
    elif of_lines:
        ui.label("Said of lines").classes("heading")
    else:
        ui.label("Nothing is wrong with any line.")
    with ui.element("ul").classes("said"):
        for one in of_lines[:_MOST_SAID]:
            with ui.element("li"):
                if one.line:
                    go = ui.element("button").props("type=button").classes("plain")
                    go.on("click", partial(box.go_to, one.line))
                    with go:
                        ui.label(f"▸ line {one.line}")
                ui.label(one.words)
    if len(of_lines) > _MOST_SAID:
        ui.label(f"and {len(of_lines) - _MOST_SAID} more")


def _not_saved(house: House) -> None:
    copy = house.copy
    if not copy.changed:
        ui.label("All is saved.")
        return
    if copy.saved is None:
        ui.label(f"{copy.path.name} is not there yet: Save writes it.")
        return
    lines = changed_lines(copy.saved, copy.text)
    ui.label("Not saved yet").classes("heading")
    ui.label("+ is new, - stands in the file still").classes("soft")
    with ui.element("pre").classes("changed-lines").props("tabindex=0"):
        for line in lines[:_MOST_LINES]:
            kind = {"+": "new", "-": "gone"}.get(line.sign, "same")
            ui.label(f"{line.sign} {line.number:>4}  {line.text}").classes(kind)
        if len(lines) > _MOST_LINES:
            ui.label(f"and {len(lines) - _MOST_LINES} lines more")
