"""The one house that a page shows: its working copy, what the worker last said of it, and who wants to hear.

Everything runs on the page's event loop but the wait for the worker, which has a thread. Nothing is computed here.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import Any

from takeoff.basics.errors import TakeoffError
from takeoff.model.findings import Finding
from takeoff.model.job_edits import Edit
from takeoff.model.order import Takeoff
from takeoff.model.quantities import Quantities
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.session import Changes, TextJob
from takeoff.session_worker import Answer, Reply, Worker
from takeoff.web.working_copy import WorkingCopy
from takeoff.write.job_text.edits import edited_text


class News(StrEnum):
    """What a listener is told of."""

    TEXT = "text"  # the working copy has another text
    SHAPED = "shaped"  # the shape of the newest text is there
    MEASURED = "measured"  # its figures
    ORDERED = "ordered"  # its order
    REFUSED = "refused"  # the newest text cannot be taken off: `faults` say why
    SAVED = "saved"  # the file was written
    DISK = "disk"  # others have written the file


Listener = Callable[[News], None]


class House:
    """A job under work. `shaped`, `figures` and `ordered` are the last that were right and may be older than the text:
    `current` says for each whether it is of the newest text."""

    def __init__(self, path: Path, otherwise: str, office: Path | None = None) -> None:
        """Opens the working copy and starts the worker. Raises UnreadableFileError."""
        self.copy = WorkingCopy.opened(path, otherwise)
        self.office = office
        self.shaped: Takeoff | None = None
        self.figures: Quantities | None = None
        self.ordered: Takeoff | None = None
        self.changes: Changes | None = None
        self.faults: tuple[str, ...] = ()
        self._number = 1
        self._of: dict[News, int] = {}
        self._listeners: list[Listener] = []
        self._waiting: dict[int, asyncio.Future[Answer]] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self.worker = Worker(self._text_job(), path.parent)

    # ---- what is known

    @property
    def tree(self) -> Any:
        """The job as plain values, as far as it is written: a dict; {} where the text is not YAML."""
        value = read_yaml(self.copy.text).value
        return value if isinstance(value, dict) else {}

    def current(self, news: News) -> bool:
        """Whether what was last said (SHAPED, MEASURED, ORDERED, REFUSED) is of the newest text."""
        return self._of.get(news) == self._number

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What was found at the newest text, as far as it was worked out."""
        if self.current(News.ORDERED) and self.ordered is not None:
            return self.ordered.findings
        return self.shaped.findings if self.current(News.SHAPED) and self.shaped is not None else ()

    @property
    def order_stands(self) -> bool:
        """Whether an order of the newest text is there and nothing stops it."""
        ordered = self.ordered
        return self.current(News.ORDERED) and ordered is not None and ordered.order is not None and not ordered.stopped

    # ---- what people do

    def edit(self, *edits: Edit, said: str) -> None:
        """Change places of the job in its text; one step for undo. Raises UsageError where a place cannot be."""
        self.put(edited_text(self.copy.text, edits), said)

    def put(self, text: str, said: str) -> None:
        """Another text of the whole job."""
        self.copy.put(text, said)
        self._changed()

    def undo(self) -> None:
        """One step back, if there is one."""
        if self.copy.undo():
            self._changed()

    def redo(self) -> None:
        """One step forth, if there is one."""
        if self.copy.redo():
            self._changed()

    def save(self, over: bool = False) -> None:
        """Write the file. Raises UsageError, also where others have written it since and `over` is not given."""
        self.copy.save(over)
        self._tell(News.SAVED)

    def take_disk(self) -> None:
        """What others wrote into the file becomes the working copy. Raises UnreadableFileError."""
        self.copy.take_disk()
        self._changed()

    async def written(self, out: Path, only: str | None = None) -> tuple[Path, ...]:
        """The files of the order as the command line writes them, into `out`. Raises TakeoffError where there is no
        order of the newest text."""
        if not self.current(News.ORDERED):
            raise TakeoffError("the order of the newest edit is not there yet.")
        answer = await self._wished(self.worker.write(out, only))
        if answer.reply is not Reply.WRITTEN:
            raise TakeoffError(*answer.faults)
        return answer.paths

    # ---- who hears

    def hear(self, listener: Listener) -> Callable[[], None]:
        """Tell a listener of all news; returns what makes it deaf again."""
        self._listeners.append(listener)
        return lambda: self._listeners.remove(listener) if listener in self._listeners else None

    def start(self, loop: asyncio.AbstractEventLoop) -> None:
        """Begin to wait for the worker, on the loop that listeners live on."""
        self._loop = loop
        threading.Thread(target=self._listen, args=(self.worker, loop), daemon=True).start()

    def close(self) -> None:
        """End the worker."""
        self.worker.close()

    def look_at_disk(self) -> None:
        """Tell of DISK where others have written the file; asked now and then."""
        if self.copy.disk_changed():
            self._tell(News.DISK)

    # ---- within

    def _text_job(self) -> TextJob:
        return TextJob(self.copy.text, self.copy.path, self.office)

    def _changed(self) -> None:
        self._number = self.worker.edit(self._text_job())
        self._tell(News.TEXT)

    async def _wished(self, number: int) -> Answer:
        future: asyncio.Future[Answer] = asyncio.get_running_loop().create_future()
        self._waiting[number] = future
        return await future

    def _listen(self, worker: Worker, loop: asyncio.AbstractEventLoop) -> None:
        while True:
            try:
                answer = worker.answer()
            except TakeoffError:
                return
            if answer is not None:
                loop.call_soon_threadsafe(self._take, answer)

    def _take(self, answer: Answer) -> None:
        waiting = self._waiting.pop(answer.number, None)
        if waiting is not None and not waiting.done():
            waiting.set_result(answer)
        elif answer.number == self._number:
            self._take_newest(answer)

    def _take_newest(self, answer: Answer) -> None:
        news = _NEWS.get(answer.reply)
        if news is None:
            return
        self._of[news] = answer.number
        if news is News.SHAPED:
            self.shaped, self.faults = answer.takeoff, ()
        elif news is News.MEASURED:
            self.figures = answer.figures
        elif news is News.ORDERED:
            self.ordered, self.changes = answer.takeoff, answer.changes
        else:
            self.faults = answer.faults
        self._tell(news)

    def _tell(self, news: News) -> None:
        for listener in tuple(self._listeners):
            listener(news)


_NEWS = {
    Reply.SHAPED: News.SHAPED,
    Reply.MEASURED: News.MEASURED,
    Reply.ORDERED: News.ORDERED,
    Reply.REFUSED: News.REFUSED,
    Reply.FAILED: News.REFUSED,
}
