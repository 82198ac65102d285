"""The head of the page: the job's name, steps back and forth, save, and what must be known before anything else."""

from __future__ import annotations

from functools import partial
from typing import Any

from nicegui import ui

from takeoff.model.findings import Severity
from takeoff.web.drawing.keys import Keys
from takeoff.web.house import House, News
from takeoff.web.tab import Tab
from takeoff.web.working_copy import Others


def desk_head(tab: Tab) -> None:
    """Draws it."""
    house = tab.house
    with ui.element("header").classes("desk-head"):
        with ui.element("h1"):
            name = ui.label()
        last = ui.label().classes("soft last-step")
        undo = plain_button("Undo", partial(_safely, tab, house.undo)).props("aria-keyshortcuts=Control+Z")
        redo = plain_button("Redo", partial(_safely, tab, house.redo)).props("aria-keyshortcuts=Control+Y")
        save = plain_button("Save", partial(_safely, tab, house.save)).props("aria-keyshortcuts=Control+S")
        state = ui.label().classes("saved").props("role=status")
    notices = ui.element("div").classes("notices")

    def draw() -> None:
        copy = house.copy
        name.set_text(job_name(house))
        last.set_text(f"last: {copy.back}" if copy.back else "")
        _enable(undo, bool(copy.back), f"Undo: {copy.back} (Ctrl+Z)" if copy.back else "Nothing to undo")
        _enable(redo, bool(copy.forth), f"Redo: {copy.forth} (Ctrl+Y)" if copy.forth else "Nothing to redo")
        _enable(save, copy.changed, f"Save {copy.path} (Ctrl+S)")
        state.set_text(saved_words(house))

    def notice() -> None:
        notices.clear()
        with notices:
            _stopped(tab)
            _others(tab)
            _told_once(house)

    def pressed(event: Any) -> None:
        _safely(tab, {"undo": house.undo, "redo": house.redo, "save": house.save}[str(event.args)])

    Keys().on("pressed", pressed)
    draw()
    notice()
    tab.on(News.TEXT, News.SAVED, News.DISK, do=draw)
    tab.on(News.TEXT, News.SAVED, News.DISK, News.ORDERED, News.SHAPED, News.REFUSED, News.TROUBLE, do=notice)


def plain_button(label: str, do: Any) -> ui.element:
    """A button as all of ours are: its words, black on paper."""
    button = ui.element("button").props("type=button").classes("plain")
    button.on("click", do)
    with button:
        ui.label(label)
    return button


def job_name(house: House) -> str:
    """The job's name, or words where it has none."""
    return str(house.tree.get("job") or "A house without a name")


def saved_words(house: House) -> str:
    """Whether the file has what is seen here."""
    copy = house.copy
    if not copy.changed:
        return f"{copy.path.name}: saved"
    return (
        f"{copy.path.name}: not there yet" if copy.saved is None and not copy.back else f"{copy.path.name}: not saved"
    )


def stop_words(house: House) -> str:
    """Why there is no order, "" where there is one, it is still being worked out or nothing is drawn yet."""
    if house.empty:
        return ""
    if house.current(News.REFUSED):
        many = len(house.faults)
        return f"NOT AN ORDER: {many} {'fault' if many == 1 else 'faults'} in the job, {_last_good(house)}"
    stops = [one for one in house.findings if one.severity is Severity.STOP]
    if not stops:
        return ""
    first = stops[0].text
    return f"NOT AN ORDER: {first}" if len(stops) == 1 else f"NOT AN ORDER: {len(stops)} things stop it, first: {first}"


def _last_good(house: House) -> str:
    return "what is drawn is the last that could be" if house.shaped is not None else "nothing can be drawn yet"


def _safely(tab: Tab, do: Any) -> None:
    with tab.told():
        do()


def _enable(button: ui.element, may: bool, words: str) -> None:
    button.props.pop("disabled", None)
    button.props["title"] = words
    button.props["aria-disabled"] = "false" if may else "true"
    button.update()


def _stopped(tab: Tab) -> None:
    words = stop_words(tab.house)
    if not words:
        return
    with ui.element("div").classes("notice stop").props("role=alert"):
        ui.label(words)
        to = "Job file" if tab.house.current(News.REFUSED) or not tab.has("Findings") else "Findings"
        plain_button(f"Show: {to}", partial(tab.show, to))


def _others(tab: Tab) -> None:
    house, copy = tab.house, tab.house.copy
    if copy.others is Others.NOTHING:
        return
    with ui.element("div").classes("notice").props("role=alert"):
        ui.label(_OTHERS[copy.others].format(name=copy.path.name))
        if copy.others is Others.WROTE:
            plain_button("Take theirs", partial(_safely, tab, house.take_theirs))
            plain_button("Keep mine", partial(_safely, tab, house.keep_ours))
        else:
            plain_button("Write it again", partial(_safely, tab, partial(house.save, True)))


_OTHERS = {
    Others.WROTE: "{name} was changed by others while it was open here. Whichever stays, the other is one step back.",
    Others.TOOK_AWAY: "{name} was taken away or renamed by others. What you see here is the last of it.",
    Others.SPOILT: "{name} was changed by others and cannot be read any more. What you see is the last that could be.",
}


def _told_once(house: House) -> None:
    copy = house.copy
    said = []
    if house.trouble:
        said.append(house.trouble)
    if copy.unkept and copy.changed:
        said.append(
            f"Nothing can be kept in {copy.path.parent} ({copy.unkept}): what is not saved is lost if this ends."
        )
    if copy.restored and copy.changed and copy.others is Others.NOTHING:
        said.append("This was found again: it was not saved before. Undo has the file as it is.")
    for words in said:
        with ui.element("div").classes("notice").props("role=status"):
            ui.label(words)
