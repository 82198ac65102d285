"""What is touched, in words: a strip beside every panel."""

from __future__ import annotations

from functools import partial

from nicegui import background_tasks, ui

from takeoff.web.feed import feed_of
from takeoff.web.house import News
from takeoff.web.tab import Tab
from takeoff.web.touches import Card, card_of, told_marks

_NOTHING = (
    "Touch an edge, a sheet, a wall, a gutter, or a line of the order: what it is and how it was reckoned stands here."
)


def touched_strip(tab: Tab) -> None:
    """Draws the strip."""
    feed = feed_of(tab.house)
    strip = ui.element("aside").classes("touched").props('aria-label="What is touched" aria-live=polite')
    with strip:
        room = ui.element("div").classes("touched-card")

    def draw() -> None:
        marks = told_marks(feed.shown, tab.touched)
        if marks and feed.known is None and feed.shown is not None:
            background_tasks.create(when_known(tab.touched))
            return
        room.clear()
        card = card_of(feed.known, marks)
        strip.classes("empty") if card is None else strip.classes(remove="empty")
        with room:
            _draw(tab, card)

    async def when_known(mark: str) -> None:
        await feed.house_data()
        if mark == tab.touched and feed.known is not None:
            with tab.client:
                draw()

    tab.on_touch(draw)
    tab.on(News.SHAPED, News.ORDERED, do=draw)
    draw()


def _draw(tab: Tab, card: Card | None) -> None:
    if card is None:
        with ui.element("h2"):
            ui.label("Nothing is touched")
        ui.label(_NOTHING)
        return
    with ui.element("h2"):
        ui.label(card.title)
    if card.facts:
        with ui.element("ul"):
            for fact in card.facts:
                with ui.element("li"):
                    ui.label(fact)
    if card.part_of:
        with ui.element("p"):
            ui.label("Part of ")
            _button(tab, card.part_of, card.part_of)
    if card.lines:
        _head("On order lines" if len(card.lines) > 1 else "On order line")
        for mark, words in card.lines:
            _button(tab, mark, words).classes("line-button")
    if card.marks:
        _head(f"Goes to {len(card.marks) + card.more} {'places' if len(card.marks) + card.more > 1 else 'place'}")
        with ui.element("div").classes("marks"):
            for mark in card.marks:
                _button(tab, mark, mark)
        if card.more:
            ui.label(f"and {card.more} more")
    if card.rule:
        _working(card)


def _head(words: str) -> None:
    with ui.element("h3"):
        ui.label(words)


def _button(tab: Tab, mark: str, words: str) -> ui.element:
    with ui.element("button").props("type=button").classes("plain") as button:
        ui.label(words)
    button.on("click", partial(tab.touch, mark))
    return button


def _working(card: Card) -> None:
    with ui.element("details").props("open"):
        with ui.element("summary"):
            ui.label("Working")
        ui.label(card.rule)
        with ui.element("dl"):
            for term in card.terms:
                with ui.element("dt"):
                    ui.label(term.said)
                with ui.element("dd"):
                    ui.label(term.basis)
