"""Batches handed out and gathered: the same way for processes and for a cluster."""

from __future__ import annotations

import errno
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from queue import Empty, Queue

from takeoff.basics.errors import UsageError
from takeoff.estate.batch_rows import STOP, Batch, BatchDone
from takeoff.estate.crews import Crew, Pending

Done = Callable[[BatchDone], None]
_AHEAD = 2  # batches handed out for each worker, so that none waits
_MOST_TRIES = 6  # of a batch: each death of a worker costs a try, and a house that kills its worker is given up at two
_LOOK_S = 0.5
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def run_batches(batches: Iterator[Batch], crew: Crew, done: Done) -> None:
    """Hand out every batch whose part is not whole, and say each that is done.

    Raises UsageError where the disk is full or a batch cannot be worked off; what is whole stays.
    """
    came: Queue[Pending] = Queue()
    out: dict[Pending, Batch] = {}
    tries: Counter[int] = Counter()

    def give(batch: Batch) -> None:
        pending = crew.hand_out(batch)
        out[pending] = batch
        pending.add_done_callback(came.put)

    for batch in batches:
        give(batch)
        while len(out) >= _AHEAD * crew.size:
            _one_done(came, out, crew, tries, give, done)
    while out:
        _one_done(came, out, crew, tries, give, done)


def _one_done(
    came: Queue[Pending],
    out: dict[Pending, Batch],
    crew: Crew,
    tries: Counter[int],
    give: Callable[[Batch], None],
    done: Done,
) -> None:
    pending = _next(came)
    batch = out.pop(pending)
    try:
        done(pending.result())
    except OSError as err:
        raise UsageError(_disk_words(batch, err)) from None
    except Exception as err:
        tries[batch.number] += 1
        if not crew.mend(err) or tries[batch.number] >= _MOST_TRIES:
            raise
        give(batch)


def _next(came: Queue[Pending]) -> Pending:
    """The next that is done; looked for again and again, so that a signal is heard."""
    while True:
        try:
            return came.get(timeout=_LOOK_S)
        except Empty:
            continue


def _disk_words(batch: Batch, err: OSError) -> str:
    what = "the disk is full" if err.errno in _FULL else f"cannot be written ({err.strerror or err})"
    return f"{batch.folder}: {what}; every house that is done stays: make room, then type the same command again"


def tell_to_stop(folder: Path) -> None:
    """No further house is begun by any worker on these parts."""
    (folder / STOP).touch()
