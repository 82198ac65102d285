"""The strip at the foot, as on a drawing: job, revision, date, what state the order is in, its main figures."""

from __future__ import annotations

import datetime
from functools import partial

from nicegui import ui

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit
from takeoff.model.order import Hold
from takeoff.web.drawing.text_field import TextField
from takeoff.web.house import House, News
from takeoff.web.tab import Tab

_FIGURES = (
    ("roof", "roof_m2", "m²"),
    ("sheets", "sheets_m", "m"),
    ("catchment", "catchment_m2", "m²"),
    ("walls", "wall_m2", "m²"),
)
# key of the job, the field's words, the step's, letters at most, what is seen while it is empty
_FIELDS = (
    ("job", "Job", "name typed", 60, ""),
    ("revision", "Rev.", "revision typed", 12, "A"),
    ("date", "Date", "date typed", 10, "2026-07-01"),
)


def title_block(tab: Tab) -> None:
    """Draws it."""
    house = tab.house
    with ui.element("footer").classes("title-block"):
        fields = {
            key: TextField(label, partial(_typed, tab, key, said), most, hint).classes(f"field-{key}")
            for key, label, said, most, hint in _FIELDS
        }
        state = ui.label().classes("stamp").props("role=status")
        figures = ui.label().classes("figures")

    def draw() -> None:
        state.set_text(state_words(house))
        state.classes(add="working" if busy(house) else "", remove="" if busy(house) else "working")
        figures.set_text(figure_words(house))

    def fill() -> None:
        for key, box in fields.items():
            box.show(shown_value(house, key))

    draw()
    fill()
    tab.on(News.TEXT, News.SHAPED, News.MEASURED, News.ORDERED, News.REFUSED, News.TROUBLE, do=draw)
    tab.on(News.TEXT, do=fill)


def shown_value(house: House, key: str) -> str:
    """What stands in the job under a key of the title block."""
    value = house.tree.get(key)
    return "" if value is None else str(value)


def field_edit(key: str, typed: str) -> Edit:
    """What a field of the title block that was typed in changes; an empty one is taken out of the job. Raises
    UsageError for a date that is none."""
    typed = " ".join(typed.split())
    if key == "job":
        return Edit(("job",), typed or "New house")
    if not typed:
        return Edit((key,), GONE)
    if key == "date":
        try:
            datetime.date.fromisoformat(typed)
        except ValueError:
            raise UsageError(f"{typed} is no date: type it as 2026-07-01.") from None
    return Edit((key,), typed)


def busy(house: House) -> bool:
    """Whether the newest text is still being worked out."""
    return not house.empty and not (house.current(News.REFUSED) or house.current(News.ORDERED) or house.stuck)


def state_words(house: House) -> str:
    """The state of the order, or what is being worked out."""
    if house.empty:
        return "Nothing is drawn yet"
    if house.current(News.REFUSED) or house.stuck:
        return "NOT AN ORDER: the job cannot be taken off"
    if not house.current(News.ORDERED):
        if house.current(News.MEASURED):
            return "working: the order follows"
        return "working: figures and order follow" if house.current(News.SHAPED) else "working"
    if not house.order_stands:
        return "NOT AN ORDER: something stops it"
    order = house.ordered.order if house.ordered is not None else None
    state = order.state if order is not None else Hold.HOLD
    return _STATES[state]


_STATES = {
    Hold.HOLD: "HOLD: site measure before manufacture",
    Hold.MEASURED: "Measured on site",
    Hold.RELEASED: "Released for manufacture",
}


def figure_words(house: House) -> str:
    """The main figures of the newest text, "" until they are there."""
    found = house.figures if house.current(News.MEASURED) else None
    if found is None:
        return ""
    named = found.row
    return "   ".join(f"{word} {named[key]:,.1f} {unit}" for word, key, unit in _FIGURES if named.get(key))


def _typed(tab: Tab, key: str, said: str, typed: str) -> bool:
    if " ".join(typed.split()) == shown_value(tab.house, key):
        return False
    with tab.told():
        tab.house.edit(field_edit(key, typed), said=said)
        return True
    return False
