"""The one house that a page shows: its working copy, what the worker last said of it, and who wants to hear.

Everything runs on the page's event loop but the wait for the worker, which has a thread. Nothing is computed here.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from contextlib import suppress
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
    DISK = "disk"  # others have done something with the file, or that was answered
    TROUBLE = "trouble"  # a fault of the program, in `trouble`


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
        self.trouble = ""
        self.version = 1  # of the text: one more at each change
        self._tree: tuple[str, dict[Any, Any]] = ("", {})
        self._number = 1
        self._died_at = (0, 0)  # the version at which the worker last died, and how many times
        self._of: dict[News, int] = {}
        self._listeners: list[Listener] = []
        self._waiting: dict[int, asyncio.Future[Answer]] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self.worker = Worker(self._text_job(), path.parent)

    # ---- what is known

    @property
    def tree(self) -> Any:
        """The job as plain values, as far as it is written: a dict; {} where the text is not YAML. To be read only."""
        if self._tree[0] != self.copy.text:
            value = read_yaml(self.copy.text).value
            self._tree = (self.copy.text, value if isinstance(value, dict) else {})
        return self._tree[1]

    def current(self, news: News) -> bool:
        """Whether what was last said (SHAPED, MEASURED, ORDERED, REFUSED) is of the newest text."""
        return self._of.get(news) == self._number

    @property
    def empty(self) -> bool:
        """Whether the job is a text that can be read and draws nothing yet."""
        tree = self.tree
        return bool(tree) and not tree.get("roofs") and not tree.get("walls")

    @property
    def stuck(self) -> bool:
        """Whether the newest text cannot be worked out, since the worker ends at it."""
        return self._died_at[1] >= _TIMES and self._died_at[0] == self.version

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
        if self.copy.put(text, said):
            self._changed()

    def again(self) -> None:
        """Take the same text off again: something beside the job file has changed, its book of issues."""
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

    def take_office(self) -> None:
        """The office file was written: the job is taken off with it."""
        self._changed()

    def take_theirs(self) -> None:
        """What others wrote into the file becomes the working copy."""
        self.copy.take_theirs()
        self._tell(News.DISK)
        self._changed()

    def keep_ours(self) -> None:
        """The working copy stays, whatever others wrote."""
        self.copy.keep_ours()
        self._tell(News.DISK)
        self._changed()

    async def written(self, out: Path, only: str | None = None) -> tuple[Path, ...]:
        """The files of the order as the command line writes them, into `out`. Raises TakeoffError where there is no
        order of the newest text."""
        if not self.current(News.ORDERED):
            raise TakeoffError("the order of the newest edit is not there yet.")
        try:
            answer = await self._wished(self.worker.write(out, only))
        except TakeoffError as err:
            raise TakeoffError(_ENDED) from err
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
        self._loop = None
        self.worker.close()

    def look_at_disk(self) -> None:
        """Tell of DISK where others have done something with the file; asked now and then."""
        if self.copy.look_at_disk():
            self._tell(News.DISK)

    # ---- within

    def _text_job(self) -> TextJob:
        return TextJob(self.copy.text, self.copy.path, self.office)

    def _changed(self) -> None:
        self.version += 1
        try:
            self._number = self.worker.edit(self._text_job())
        except TakeoffError:  # it has ended: whoever waits for it hears that too, and starts another with this text
            self._number = 0
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
                answer = None
            with suppress(RuntimeError):  # the loop has ended
                loop.call_soon_threadsafe(self._take, answer) if answer else loop.call_soon_threadsafe(self._died)
            if answer is None:
                return

    def _died(self) -> None:
        """The worker has ended by itself: start another, unless it does so at this very text again and again."""
        if self._loop is None:
            return
        for waiting in self._waiting.values():
            waiting.set_exception(TakeoffError(_ENDED))
        self._waiting.clear()
        version, times = self._died_at
        self._died_at = (self.version, times + 1 if version == self.version else 1)
        self._of.clear()
        if self._died_at[1] < _TIMES:
            self.trouble = f"{_ENDED} It was started again."
        else:
            self.trouble = (
                f"{_ENDED} It ended so {self._died_at[1]} times at this text: step back, or change what you typed last."
            )
        self.worker.close()
        self.worker = Worker(self._text_job() if self._died_at[1] < _TIMES else _NO_JOB, self.copy.path.parent)
        self._number = 1 if self._died_at[1] < _TIMES else 0
        self.start(self._loop)
        self._tell(News.TROUBLE)

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
            if answer.reply is Reply.FAILED:
                self.faults = tuple(
                    f"a fault of the program itself, not of the job: {fault}" for fault in answer.faults
                )
        self._tell(news)

    def _tell(self, news: News) -> None:
        for listener in tuple(self._listeners):
            listener(news)


_ENDED = "The process that works the house out has ended by itself, a fault of the program; nothing you drew is lost."
_TIMES = 3  # so often it is started for one text
_NO_JOB = TextJob("job: none\n", Path("job.yaml"))
_NEWS = {
    Reply.SHAPED: News.SHAPED,
    Reply.MEASURED: News.MEASURED,
    Reply.ORDERED: News.ORDERED,
    Reply.REFUSED: News.REFUSED,
    Reply.FAILED: News.REFUSED,
}
