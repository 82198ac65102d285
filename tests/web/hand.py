"""A hand on the page without a browser: the page is built in this process, its fields and buttons are told what a browser
would tell them, and what it shows is read from its elements.

    with page(HUT, tmp_path) as hand:           # the job's text; its worker is this process
        hand.take_off()                         # shape, figures, order of the text as it is
        hand.tell("frame height", "typed", "2600")
        hand.text                               # the job as it is now
        hand.said                               # what was told in the tab
"""

from __future__ import annotations

import asyncio
import difflib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

from nicegui import Client, core, ui
from nicegui.page import page as nicegui_page

from takeoff.basics.errors import TakeoffError
from takeoff.model.findings import Finding
from takeoff.pipeline import Stage, quantities_of
from takeoff.session import Session, TextJob
from takeoff.session_worker import Answer, Reply
from takeoff.web import house as house_module
from takeoff.web.desk import desk
from takeoff.web.house import House
from takeoff.web.tab import Tab

_KNOWN: dict[tuple[str, str], tuple[Answer, ...]] = {}


class StillWorker:
    """Stands for the process that works a house out: it takes edits and says nothing by itself."""

    def __init__(self, job: Any, base: Path) -> None:
        self.number, self.job = 1, job

    def edit(self, job: Any) -> int:
        self.number, self.job = self.number + 1, job
        return self.number

    def close(self) -> None: ...


@dataclass
class Hand:
    """A tab on a house. `said`: what was told in it; `ran`: what was asked of elements in the browser."""

    house: House
    tab: Tab
    client: Client
    loop: asyncio.AbstractEventLoop
    faults: list[BaseException] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    ran: list[str] = field(default_factory=list)
    found: tuple[Finding, ...] | None = None  # what the worker finds, in the place of what it would

    @property
    def text(self) -> str:
        return self.house.copy.text

    def live(self, do: Any) -> Any:
        """Do something while the page lives, and wait until all that it began has come to its end."""

        async def lived() -> Any:
            result = do()
            if asyncio.iscoroutine(result):
                result = await result
            for _ in range(2000):
                begun = asyncio.all_tasks() - {asyncio.current_task()}
                begun = {one for one in begun if "outbox" not in one.get_name()}
                if not begun:
                    break
                await asyncio.wait(begun, timeout=5)
            return result

        result = self.loop.run_until_complete(lived())
        for _, kind, payload in self.client.outbox.messages:
            if kind == "notify":
                self.said.append(payload["message"])
            elif kind == "run_javascript":
                self.ran.append(payload["code"])
        self.client.outbox.messages.clear()
        for fault in self.faults:
            raise fault
        return result

    def take_off(self) -> None:
        """What the worker says of the text as it is."""
        number = self.house._number
        given = [replace(one, number=number) for one in _answers(self.house._text_job())]
        if self.found is not None:
            given = [_finding(one, self.found) for one in given]
        self.live(lambda: [self.house._take(one) for one in given])

    def elements(self, panel: str = "") -> list[ui.element]:
        """All elements as they stand on the page, or those of a panel."""
        if not panel:
            return list(below(self.client.layout))
        return list(below(self.panel(panel)))

    def panel(self, name: str) -> ui.element:
        return next(one for one in self.elements() if isinstance(one, ui.tab_panel) and one.props["name"] == name)

    def named(self, words: str, panel: str = "", nth: int = 1) -> ui.element:
        """An element by its words or its label."""
        found = [one for one in self.elements(panel) if name_of(one) == words and one._event_listeners]
        assert len(found) >= nth, f"{words!r} stands {len(found)} times"
        return found[nth - 1]

    def tell(self, words: str | ui.element, event: str, args: Any = None, panel: str = "", nth: int = 1) -> None:
        """Tell an element of an event, as the browser does."""
        element = self.named(words, panel, nth) if isinstance(words, str) else words
        kinds = [one for one in element._event_listeners.values() if one.type == event]
        assert kinds, f"{words} hears no {event}, but {[one.type for one in element._event_listeners.values()]}"

        def do() -> None:
            for listener in kinds:
                element._handle_event({"listener_id": listener.id, "args": args})

        self.live(do)

    def press(self, words: str, panel: str = "", nth: int = 1) -> None:
        """A button."""
        self.tell(words, "click", {}, panel, nth)

    def write(self, words: str, text: str, panel: str = "", nth: int = 1) -> None:
        """Type into a field of the library's own, and leave it."""
        element: Any = self.named(words, panel, nth)
        self.live(lambda: element.set_value(text))
        if any(one.type == "change" for one in element._event_listeners.values()):
            self.tell(element, "change")

    def front(self, panel: str) -> None:
        """Bring a panel to the front."""
        self.live(lambda: self.tab.show(panel))

    def touch(self, mark: str) -> None:
        self.live(lambda: self.tab.touch(mark))

    def shown(self, panel: str = "") -> list[str]:
        """All words that are seen, in their order."""
        root = self.panel(panel) if panel else self.client.layout
        return [words for one in below(root, hidden=False) if (words := _words(one))]


def changed(before: str, after: str) -> list[str]:
    """Lines that went and came."""
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


def name_of(element: ui.element) -> str:
    """What an element is called on the page."""
    label = element.props.get("label") or element.props.get("aria-label")
    if label:
        return str(label)
    words = [_words(one) for one in below(element)]
    return " ".join(word for word in words if word)


def _words(element: ui.element) -> str:
    text = getattr(element, "_text", None)
    return str(text or element.props.get("label") or "")


def below(element: ui.element, hidden: bool = True) -> Iterator[ui.element]:
    """An element and all below it. `hidden`: also what is not seen."""
    if not hidden and not element.visible:
        return
    yield element
    for slot in element.slots.values():
        for child in slot.children:
            yield from below(child, hidden)


def _finding(answer: Answer, found: tuple[Finding, ...]) -> Answer:
    takeoff = answer.takeoff
    return answer if takeoff is None else replace(answer, takeoff=replace(takeoff, findings=found))


def _answers(job: TextJob) -> tuple[Answer, ...]:
    key = (job.text, str(job.path.parent if "file" in job.text else ""))
    if key not in _KNOWN:
        try:
            _KNOWN[key] = _worked(job)
        except TakeoffError as err:
            _KNOWN[key] = (Answer(1, Reply.REFUSED, faults=tuple(map(str, err.faults))),)
    return _KNOWN[key]


def _worked(job: TextJob) -> tuple[Answer, ...]:
    session = Session(job.path.parent)
    shaped = session.text_until(job, Stage.SHAPE)
    figures = quantities_of(session.text_until(job, Stage.MEASURE))
    edited = session.edit_text(job)
    return (
        Answer(1, Reply.SHAPED, takeoff=shaped),
        Answer(1, Reply.MEASURED, figures=figures),
        Answer(1, Reply.ORDERED, changes=edited.changes, takeoff=edited.takeoff),
    )


@contextmanager
def own_loop() -> Iterator[None]:
    """Without the running loop of the browser's library, where its tests came first."""
    running = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    try:
        yield
    finally:
        asyncio._set_running_loop(running)


@contextmanager
def page(text: str, folder: Path, root: str = "/token") -> Iterator[Hand]:
    """The page of a job in a folder."""
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    loop = asyncio.new_event_loop()
    faults: list[BaseException] = []
    with (
        patch.object(house_module, "Worker", StillWorker),
        patch.object(core, "loop", loop),
        patch.object(core.app, "handle_exception", faults.append),
    ):
        house = House(folder / "job.yaml", "")

        async def begun() -> Hand:
            client = Client(nicegui_page("/"))
            tab = Tab(house, client, root)
            client.on_delete(house.hear(tab.news))
            with client:
                desk(tab)
            return Hand(house, tab, client, loop, faults)

        hand = loop.run_until_complete(begun())
        try:
            hand.live(lambda: None)
            yield hand
        finally:
            hand.client.outbox.stop()
            loop.run_until_complete(_ended(hand.client))
            loop.close()


async def _ended(client: Client) -> None:
    client.delete()
    for task in asyncio.all_tasks() - {asyncio.current_task()}:
        task.cancel()
    await asyncio.sleep(0)
