"""The house in space, to turn and to touch."""

from __future__ import annotations

from takeoff.web.drawing.house_view import HouseView
from takeoff.web.feed import feed_of
from takeoff.web.house import News
from takeoff.web.tab import Tab
from takeoff.web.touches import own_marks


def house_panel(tab: Tab) -> None:
    """Draws the panel."""
    feed = feed_of(tab.house)
    view = HouseView(tab.root, feed.number, tab.touch)

    def draw() -> None:
        view.show(feed.number)

    def light() -> None:
        view.light(own_marks(feed.shown, tab.touched))

    tab.on(News.SHAPED, News.ORDERED, do=draw)
    tab.on_touch(light)
