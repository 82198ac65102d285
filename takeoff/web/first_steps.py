"""What a house with nothing drawn shows first: where to begin."""

from __future__ import annotations

from functools import partial

from nicegui import ui

from takeoff.web.desk_head import plain_button
from takeoff.web.house import House, News
from takeoff.web.tab import Tab

# a panel, what to do there first, in the words of its button
_BEGINNINGS = (
    ("Plan", "Draw the outline", "Click the corners, or type their lengths; a right angle unless you say otherwise."),
    ("Plan", "Open a model or a drawing", "A mesh, IFC, CityJSON or DXF file with the roof or its outline."),
    ("Job file", "Write the job file", "The house as text, with every key explained by what is wrong with it."),
)


def is_empty(house: House) -> bool:
    """Whether nothing is drawn yet."""
    return not house.tree.get("roofs") and not house.tree.get("walls") and not house.current(News.REFUSED)


def first_steps(tab: Tab) -> None:
    """Draws them, until something is drawn."""
    house = tab.house
    room = ui.element("section").classes("first-steps").props('aria-label="Where to begin"')

    def draw() -> None:
        room.clear()
        empty = is_empty(house)
        room.set_visibility(empty)
        if not empty:
            return
        with room:
            ui.label("Nothing is drawn yet. Begin with one of these:").classes("heading")
            seen: set[str] = set()
            for panel, words, more in _BEGINNINGS:
                if tab.has(panel) or panel == "Job file":
                    seen.add(panel)
                    with ui.element("p"):
                        plain_button(words, partial(tab.show, panel))
                        ui.label(more).classes("soft")

    draw()
    tab.on(News.TEXT, News.REFUSED, News.SHAPED, do=draw)
