"""Issuing: a button that opens what is held and open, and an act of its own that freezes the order in the book."""

from __future__ import annotations

import asyncio
from functools import partial

from nicegui import ui

from takeoff.basics.errors import TakeoffError
from takeoff.book.issuing import MOST_NOTE, MOST_TO, Issued, issue_file, issues_of
from takeoff.model.issues import IssueBook
from takeoff.web.house import House, News
from takeoff.web.issuing_view import EVERY, deliveries_of, issue_words, open_of, why_not_issued
from takeoff.web.tab import Tab


def issue_dialog(tab: Tab) -> None:
    """Draws the button, and the dialog when it is asked for."""
    house = tab.house
    with ui.element("div").classes("issue-act"):
        button = ui.button("Issue ...", on_click=partial(_ask, tab)).props("outline no-caps dense")
        why = ui.label().classes("why")

    def draw() -> None:
        reason = why_not_issued(house)
        button.set_enabled(not reason)
        why.set_text(reason)

    tab.on(News.TEXT, News.SAVED, News.ORDERED, News.REFUSED, News.DISK, do=draw)
    draw()


async def _ask(tab: Tab) -> None:
    """The dialog: what is held and open, what is issued, to whom and why."""
    house = tab.house
    if house.ordered is None:
        return
    book = await asyncio.to_thread(_book, house)
    left = open_of(house.ordered)
    with tab.client, ui.dialog().props("persistent") as dialog, ui.element("div").classes("issue-form"):
        _head("Issue the order")
        ui.label("What is issued is frozen with its files in the folder issues beside the job, and is never changed.")
        _list("Held", left.held)
        _list("Open", left.open)
        _list("Issued so far", tuple(map(issue_words, book.issues)))
        _list("The book", (*book.faults, *book.edited))
        given = list(deliveries_of(house.ordered.order))
        delivery = ui.select(given, value=EVERY, label="What").props("outlined dense")
        note = ui.input("Why (it stands in the book)").props(f"outlined dense maxlength={MOST_NOTE}")
        to = ui.input("To whom").props(f"outlined dense maxlength={MOST_TO}")
        date = ui.input("Day, as 2026-03-02 (else the job's, else today)").props("outlined dense")
        told = ui.label().props("role=status").classes("why")

        async def act() -> None:
            go.disable()
            told.set_text("Being frozen.")
            wanted = "" if delivery.value == EVERY else str(delivery.value)
            told.set_text(await _issue(tab, note.value or "", wanted, to.value or "", (date.value or "").strip()))
            go.enable()

        with ui.element("div").classes("acts"):
            go = ui.button("Issue", on_click=act).props("outline no-caps")
            ui.button("Close", on_click=dialog.close).props("flat no-caps")
    dialog.on("hide", dialog.delete)
    dialog.open()


async def _issue(tab: Tab, note: str, delivery: str, to: str, date: str) -> str:
    """Freezes what is asked for; in words what was done, or why not."""
    house = tab.house
    house.look_at_disk()  # what others wrote a moment ago is not issued unseen
    why = why_not_issued(house)
    if why:
        return why
    try:
        done: Issued = await asyncio.to_thread(issue_file, house.copy.path, note, delivery, to, date, house.office)
    except TakeoffError as err:
        return " ".join(map(str, err.faults))
    if done.issue is None:
        return "NOT AN ORDER: something stops it, see Findings."
    house.again()  # the order stands to another book now
    return f"Issue {done.issue.number} stands in the book, with {len(done.issue.files)} files in {done.folder.name}."


def _book(house: House) -> IssueBook:
    try:
        return issues_of(house.copy.path)
    except TakeoffError as err:
        return IssueBook((), tuple(map(str, err.faults)))


def _head(words: str) -> None:
    with ui.element("h2"):
        ui.label(words)


def _list(head: str, texts: tuple[str, ...]) -> None:
    if not texts:
        return
    with ui.element("h3"):
        ui.label(f"{head}: {len(texts)}")
    with ui.element("ul"):
        for text in texts:
            with ui.element("li"):
                ui.label(text)
