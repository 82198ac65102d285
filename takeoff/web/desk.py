"""The page as a whole: what is worked on, the panels, and the title block with what state the order is in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from nicegui import ui

from takeoff.model.order import Hold
from takeoff.web.house import News
from takeoff.web.panels.job_text_panel import job_text_panel
from takeoff.web.panels.plan_panel import plan_panel
from takeoff.web.tab import Tab

_LOOK = Path(__file__).parent / "look"
# what can be brought to the front, in the order of the work: its name, what draws it
PANELS: tuple[tuple[str, Callable[[Tab], None]], ...] = (("Plan", plan_panel), ("Job file", job_text_panel))


def desk(tab: Tab) -> None:
    """Builds the page for one tab."""
    ui.add_css((_LOOK / "page.css").read_text(encoding="utf-8"))
    _head(tab)
    with ui.tabs().props("dense no-caps align=left inline-label aria-label=Panels").classes("panels") as tabs:
        for name, _ in PANELS:
            ui.tab(name)
            tab.shows(name, partial(tabs.set_value, name))
    with ui.tab_panels(tabs, value=PANELS[0][0], animated=False, keep_alive=True).classes("panel-room"):
        for name, draw in PANELS:
            with ui.tab_panel(name):
                draw(tab)
    _title_block(tab)
    _keys(tab)


def _head(tab: Tab) -> None:
    copy = tab.house.copy
    with ui.element("header").classes("desk-head"):
        job = ui.element("h1")
        with job:
            name = ui.label()
        undo = ui.button("Undo", on_click=tab.house.undo).props("flat no-caps dense")
        redo = ui.button("Redo", on_click=tab.house.redo).props("flat no-caps dense")
        save = ui.button("Save", on_click=partial(_save, tab)).props("outline no-caps dense")
        state = ui.label().classes("saved").props("role=status")

    def draw() -> None:
        name.set_text(str(tab.house.tree.get("job") or "A house without a name"))
        undo.set_enabled(bool(copy.back))
        redo.set_enabled(bool(copy.forth))
        undo.tooltip(copy.back)
        save.set_enabled(copy.changed)
        state.set_text(f"{copy.path.name}: {'not saved' if copy.changed else 'saved'}")

    draw()
    tab.on(News.TEXT, News.SAVED, do=draw)
    tab.on(News.DISK, do=partial(_others_wrote, tab))


def _save(tab: Tab) -> None:
    with tab.told():
        tab.house.save()


def _others_wrote(tab: Tab) -> None:
    """What to do where the file was written by others, asked once."""


def _title_block(tab: Tab) -> None:
    """The strip at the foot, as on a drawing: job, state of the order, what is open."""
    with ui.element("footer").classes("title-block"):
        state = ui.label().classes("stamp").props("role=status")
        figures = ui.label()

    def draw() -> None:
        house = tab.house
        if house.current(News.REFUSED):
            state.set_text("NOT AN ORDER: the job cannot be taken off")
        elif not house.current(News.ORDERED):
            state.set_text("working")
        elif not house.order_stands:
            state.set_text("NOT AN ORDER: something stops it")
        else:
            order = house.ordered.order if house.ordered is not None else None
            state.set_text((order.state if order is not None else Hold.HOLD).value)
        found = house.figures if house.current(News.MEASURED) else None
        named = found.row if found is not None else {}
        shown = (
            ("roof", "roof_m2", "m2"),
            ("sheets", "sheets_m", "m"),
            ("catchment", "catchment_m2", "m2"),
            ("walls", "wall_m2", "m2"),
        )
        figures.set_text("   ".join(f"{word} {named[key]:.1f} {unit}" for word, key, unit in shown if key in named))

    draw()
    tab.on(News.TEXT, News.SHAPED, News.MEASURED, News.ORDERED, News.REFUSED, do=draw)


def _keys(tab: Tab) -> None:
    """Undo, redo and save by keyboard."""
