"""A process that holds a session, for a page that must answer at once: edits in, answers out.

    worker = Worker(job)            the process starts, and takes the job off
    worker.edit(other)              comes back at once with the edit's number
    worker.answer()                 figures of the house first, then the order

An edit that is sent while an older one is being worked on sets a flag. The older one is given up where it next looks
up, between stages and inside cutting, and answered as superseded; nothing is killed, and what was worked out so far is
remembered.
"""

from __future__ import annotations

import gc
import multiprocessing
import signal
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import replace
from enum import StrEnum
from multiprocessing.connection import Connection
from pathlib import Path
from queue import SimpleQueue
from typing import Protocol

from takeoff.basics.errors import TakeoffError, UsageError
from takeoff.basics.records import record
from takeoff.basics.superseding import Superseded
from takeoff.model.findings import Finding
from takeoff.model.job.job import Job
from takeoff.model.order import OrderLine, Takeoff
from takeoff.model.quantities import Quantities
from takeoff.pipeline import Stage, quantities_of, write_files
from takeoff.session import Changes, Edited, Session, TextJob, changed_job

_ENDS_WITHIN_S = 10.0  # a worker told to end is waited for so long
_CLOSED = 1 << 62  # newer than any edit
# records made between two looks for rings among the youngest: what an edit makes stays remembered, hardly any is a ring
_YOUNG = 50_000


class Reply(StrEnum):
    """What an answer of a worker is."""

    SHAPED = "shaped"  # the roofs and walls as shapes, of a job given as text; the rest follows
    MEASURED = "measured"  # the figures of the house; the order follows
    ORDERED = "ordered"  # the whole takeoff, and what the edit changed
    SUPERSEDED = "superseded"  # given up for a newer edit
    REFUSED = "refused"  # the job cannot be taken off: the session stands as it was
    WRITTEN = "written"  # the files are written
    WHOLE = "whole"  # the takeoff itself
    FAILED = "failed"  # a fault of the program


@record
class Answer:
    """What a worker says to edit or wish `number`; the first, which starts it, is 1.

    `figures` are with MEASURED; `changes`, `lines`, `findings` and `stopped` with ORDERED; `faults` in sentences with
    REFUSED and FAILED; `paths` with WRITTEN; `takeoff` with WHOLE, and of a job given as text with SHAPED and ORDERED.
    """

    number: int
    reply: Reply
    figures: Quantities | None = None
    changes: Changes | None = None
    lines: tuple[OrderLine, ...] = ()
    findings: tuple[Finding, ...] = ()
    stopped: bool = False
    faults: tuple[str, ...] = ()
    paths: tuple[Path, ...] = ()
    takeoff: Takeoff | None = None


class _Flag(Protocol):
    """A whole number that both processes see."""

    value: int


@record
class _Wish:
    """What is asked of the process: the job as it is now, or to write the files into `out` (the kinds that `only`
    names), or the whole takeoff."""

    number: int
    job: Job | TextJob | None = None
    out: Path | None = None
    only: str | None = None


class Worker:
    """One process that owns a session. Its memory stays warm until it is closed. Use it by `with`, or close it.

    Scripts that start one guard their start by `if __name__ == "__main__":`, as for any process that Python starts.
    """

    def __init__(self, job: Job | TextJob, base: Path = Path()) -> None:
        """Starts the process; the answers to the job as it stands come as those of edit 1."""
        context = multiprocessing.get_context("spawn")
        self.job: Job | TextJob = job
        self._number = 0
        self._newest: _Flag = context.RawValue("q", 0)
        self._pipe, far = context.Pipe()
        self._process = context.Process(target=_serve, args=(far, self._newest, base), daemon=True)
        with _deaf():
            self._process.start()
        far.close()
        self.edit(job)

    def __enter__(self) -> Worker:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def edit(self, job: Job | TextJob) -> int:
        """Send the job as it is now, or the text of its file; what is still being worked on is given up. Returns the
        edit's number."""
        self.job = job
        number = self._newest.value = self._number + 1
        return self._send(_Wish(number, job))

    def change(self, changes: Mapping[str, object]) -> int:
        """As `edit`, with values for places of the job (see `Session.change`). Raises UsageError for a place or value
        that cannot be, and where the job was given as text."""
        if isinstance(self.job, TextJob):
            raise UsageError("the job was given as the text of its file: change the text.")
        return self.edit(changed_job(self.job, changes))

    def write(self, out: Path | str, only: str | None = None) -> int:
        """Ask for the files of the last takeoff that was ordered, written there, or for the kinds that `only` names.
        Returns the wish's number."""
        return self._send(_Wish(self._number + 1, out=Path(out), only=only))

    def whole(self) -> int:
        """Ask for the last takeoff that was ordered. Returns the wish's number."""
        return self._send(_Wish(self._number + 1))

    def answer(self, timeout_s: float | None = None) -> Answer | None:
        """The next answer, waited for so long (None: for ever); None where there is none yet. Raises TakeoffError where
        the process has ended."""
        try:
            found: Answer | None = self._pipe.recv() if self._pipe.poll(timeout_s) else None
        except (EOFError, OSError) as err:
            raise TakeoffError("the process that held the session has ended; start another.") from err
        return found

    def close(self) -> None:
        """End the process: what it works on is given up where it next looks up."""
        self._newest.value = _CLOSED
        with suppress(OSError):
            self._pipe.send(None)
        self._process.join(_ENDS_WITHIN_S)
        self._pipe.close()

    def _send(self, wish: _Wish) -> int:
        self._number = wish.number
        try:
            self._pipe.send(wish)
        except OSError as err:
            raise TakeoffError("the process that held the session has ended; start another.") from err
        return wish.number


@contextmanager
def _deaf() -> Iterator[None]:
    """A process that is started within does not hear an interrupt from the keyboard: that is for whoever started it."""
    before = signal.getsignal(signal.SIGINT)
    if before is None or threading.current_thread() is not threading.main_thread():
        yield
        return
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _serve(pipe: Connection, newest: _Flag, base: Path) -> None:
    """The work of the process: wishes in, answers out, until it is told to end or nobody listens."""
    gc.set_threshold(_YOUNG)
    session, wishes = Session(base), SimpleQueue[_Wish | None]()
    threading.Thread(target=_hear, args=(pipe, newest, wishes), daemon=True).start()
    with suppress(EOFError, OSError, KeyboardInterrupt):
        while (wish := wishes.get()) is not None:
            for answer in _answers(wish, newest, session):
                pipe.send(answer)


def _hear(pipe: Connection, newest: _Flag, wishes: SimpleQueue[_Wish | None]) -> None:
    """Take in what comes at once, also while an edit is worked on: whoever sends a long text is not kept waiting."""
    wish: _Wish | None = None
    with suppress(EOFError, OSError):
        while (wish := pipe.recv()) is not None:
            wishes.put(wish)
    newest.value = _CLOSED
    wishes.put(None)


def _answers(wish: _Wish, newest: _Flag, session: Session) -> Iterator[Answer]:
    try:
        yield from _worked(wish, lambda: newest.value > wish.number and wish.job is not None, session)
    except Superseded:
        yield Answer(wish.number, Reply.SUPERSEDED)
    except TakeoffError as err:
        yield Answer(wish.number, Reply.REFUSED, faults=tuple(map(str, err.faults)))
    except Exception as err:
        yield Answer(wish.number, Reply.FAILED, faults=(f"{type(err).__name__}: {err}",))


def _worked(wish: _Wish, newer: Callable[[], bool], session: Session) -> Iterator[Answer]:
    if wish.job is None:
        yield _asked_for(wish, session.takeoff)
        return
    if newer():
        raise Superseded
    if isinstance(wish.job, TextJob):
        yield from _as_text(wish.number, wish.job, newer, session)
        return
    yield Answer(wish.number, Reply.MEASURED, figures=session.quantities(wish.job, newer))
    yield _ordered(wish.number, session.edit(wish.job, newer))


def _as_text(number: int, job: TextJob, newer: Callable[[], bool], session: Session) -> Iterator[Answer]:
    """The shape first, so that it can be drawn; then the figures; then the order, with the takeoff."""
    shaped = session.text_until(job, Stage.SHAPE, newer)
    yield Answer(number, Reply.SHAPED, findings=shaped.findings, stopped=shaped.stopped, takeoff=shaped)
    yield Answer(number, Reply.MEASURED, figures=quantities_of(session.text_until(job, Stage.MEASURE, newer)))
    edited = session.edit_text(job, newer)
    yield replace(_ordered(number, edited), takeoff=edited.takeoff)


def _ordered(number: int, edited: Edited) -> Answer:
    now = edited.takeoff
    lines = now.order.lines if now.order is not None else ()
    return Answer(
        number, Reply.ORDERED, changes=edited.changes, lines=lines, findings=now.findings, stopped=now.stopped
    )


def _asked_for(wish: _Wish, takeoff: Takeoff | None) -> Answer:
    if takeoff is None:
        raise TakeoffError("no edit has been taken off yet.")
    if wish.out is None:
        return Answer(wish.number, Reply.WHOLE, takeoff=takeoff)
    return Answer(wish.number, Reply.WRITTEN, paths=tuple(write_files(takeoff, wish.out, only=wish.only).paths))
