"""The panel of settings and products: settings with unit, bounds and basis; products; own ones; the office file."""

from __future__ import annotations

from functools import partial

from nicegui import ui

from takeoff.web.house import News
from takeoff.web.panels.office_text import OfficeText
from takeoff.web.panels.products_list import ProductsList
from takeoff.web.panels.settings_list import SettingsList
from takeoff.web.tab import Tab

PARTS = ("Settings", "Products", "Office file")


def products_panel(tab: Tab) -> None:
    """Draws the panel."""
    with ui.element("div").classes("products-panel"):
        with ui.element("div").classes("tools").props("role=radiogroup aria-label=Part"):
            buttons = {part: ui.button(part).props("flat no-caps dense role=radio") for part in PARTS}
        rooms = {}
        for part in PARTS:
            with ui.element("section") as rooms[part]:
                pass
        with rooms["Settings"]:
            settings = SettingsList(tab)
        with rooms["Office file"]:
            office = OfficeText(tab)
        with rooms["Products"]:
            products = ProductsList(tab, office)

    def choose(chosen: str) -> None:
        for part in PARTS:
            rooms[part].set_visibility(part == chosen)
            buttons[part].props(f"aria-checked={str(part == chosen).lower()}")
            buttons[part].classes("chosen") if part == chosen else buttons[part].classes(remove="chosen")

    def draw() -> None:
        settings.draw()
        products.draw()

    for part in PARTS:
        buttons[part].on_click(partial(choose, part))
    choose(PARTS[0])
    draw()
    tab.on(News.TEXT, News.SHAPED, News.ORDERED, do=draw)
