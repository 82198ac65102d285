"""What a house with nothing drawn shows first: where to begin."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from nicegui import ui

from takeoff.web.desk_head import plain_button
from takeoff.web.house import News
from takeoff.web.tab import Tab

# a panel, and what to do there first; the first of them says itself how it is begun
_BEGINNINGS = (("Plan", "Draw it on the plan"), ("Job file", "Write the job file"))


def first_steps(tab: Tab) -> Callable[[], None]:
    """Draws them, until something is drawn; what is given back draws them anew where another panel is in front."""
    room = ui.element("section").classes("first-steps").props('aria-label="Where to begin"')
    shown = [False]

    def draw() -> None:
        wanted = tab.house.empty and tab.front != _BEGINNINGS[0][0]
        if wanted and not shown[0]:
            with room:
                ui.label("Nothing is drawn yet.").classes("heading")
                for panel, words in _BEGINNINGS:
                    plain_button(words, partial(tab.show, panel))
        elif not wanted:
            room.clear()
        shown[0] = wanted
        room.set_visibility(wanted)

    draw()
    tab.on(News.TEXT, do=draw)
    return draw
