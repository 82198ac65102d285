"""The page as a whole: its head, the panels, and the title block with what state the order is in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from nicegui import ui

from takeoff.web.desk_head import desk_head
from takeoff.web.first_steps import first_steps
from takeoff.web.panels.findings_panel import findings_panel, findings_words
from takeoff.web.panels.house_panel import house_panel
from takeoff.web.panels.job_text_panel import job_text_panel
from takeoff.web.panels.order_panel import order_panel
from takeoff.web.panels.plan_panel import plan_panel
from takeoff.web.panels.products_panel import products_panel
from takeoff.web.panels.tank_panel import tank_panel
from takeoff.web.panels.walls_panel import walls_panel
from takeoff.web.tab import Tab
from takeoff.web.title_block import title_block
from takeoff.web.touched_strip import touched_strip

_LOOK = Path(__file__).parent / "look"
# what can be brought to the front, in the order of the work: its name, what draws it
PANELS: tuple[tuple[str, Callable[[Tab], None]], ...] = (
    ("Plan", plan_panel),
    ("House", house_panel),
    ("Walls", walls_panel),
    ("Order", order_panel),
    ("Findings", findings_panel),
    ("Tank", tank_panel),
    ("Products", products_panel),
    ("Job file", job_text_panel),
)


def desk(tab: Tab) -> None:
    """Builds the page for one tab."""
    _look()
    tab.front = PANELS[0][0]
    desk_head(tab)
    begin = first_steps(tab)

    def turned(event: Any) -> None:
        tab.came_to_front(str(event.value))
        begin()

    with ui.tabs(on_change=turned).props(_TABS).classes("panels") as tabs:
        for name, _ in PANELS:
            found = ui.tab(name)
            if name == "Findings":
                findings_words(tab, found)
            tab.shows(name, partial(_front, tabs, name))
    with ui.element("div").classes("room-and-strip"):
        with ui.tab_panels(tabs, value=PANELS[0][0], animated=False, keep_alive=True).classes("panel-room"):
            for name, draw in PANELS:
                with ui.tab_panel(name), tab.building(name):
                    draw(tab)
        touched_strip(tab)
    title_block(tab)


def _front(tabs: ui.tabs, name: str) -> None:
    tabs.set_value(name)


_TABS = "dense no-caps align=left inline-label outside-arrows mobile-arrows aria-label=Panels"


def _look() -> None:
    for file in sorted(_LOOK.glob("*.css")):
        ui.add_css(file.read_text(encoding="utf-8"))
    ui.colors(primary="#1a1a1a", secondary="#575757", accent="#0b4f8a", warning="#f3e7c4", negative="#8a1c1c")
