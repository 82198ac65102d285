"""The order: its lines, sheets and drawings, what can be taken away, and what is issued."""

from __future__ import annotations

from collections.abc import Callable

from nicegui import background_tasks, ui

from takeoff.model.findings import Finding
from takeoff.web.downloads import DOWNLOADS, why_not
from takeoff.web.drawing.file_buttons import FileButtons
from takeoff.web.drawing.order_list import OrderList
from takeoff.web.feed import Feed, feed_of
from takeoff.web.house import House, News
from takeoff.web.panels.issue_dialog import issue_dialog
from takeoff.web.tab import Tab
from takeoff.web.touches import lit_marks, own_marks


def order_panel(tab: Tab) -> None:
    """Draws the panel."""
    house, feed = tab.house, feed_of(tab.house)
    with ui.element("div").classes("order-panel"):
        with ui.element("div").classes("order-acts"):
            issue_dialog(tab)
            with ui.element("details").classes("downloads"):
                with ui.element("summary"):
                    ui.label("Files to take away")
                files = FileButtons(tab.root, [(each.key, each.words) for each in DOWNLOADS if not each.lacks])
        listed = OrderList(tab.root, feed.number, tab.touch)

    def draw() -> None:
        listed.show(feed.number, not house.current(News.ORDERED), stop_words(house))
        files.allow(why_not(house))

    def light() -> None:
        listed.light(lit_marks(feed.known, own_marks(feed.shown, tab.touched)))
        if tab.touched and feed.known is None:
            background_tasks.create(_when_known(feed, tab, light))

    tab.on(News.TEXT, News.SHAPED, News.ORDERED, News.REFUSED, do=draw)
    tab.on_touch(light)
    draw()


async def _when_known(feed: Feed, tab: Tab, light: Callable[[], None]) -> None:
    """Light again once the data are there."""
    await feed.house_data()
    if feed.known is not None:
        with tab.client:
            light()


def stop_words(house: House) -> tuple[str, ...]:
    """What stops the order of the newest text, in sentences; none where it stands or is still being worked out."""
    if house.current(News.REFUSED):
        return house.faults
    stops: tuple[Finding, ...] = ()
    if house.current(News.ORDERED) and house.ordered is not None:
        stops = house.ordered.stops
    elif house.current(News.SHAPED) and house.shaped is not None:
        stops = house.shaped.stops
    return tuple(finding.text for finding in stops)
