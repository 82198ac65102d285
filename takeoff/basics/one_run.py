"""What a process that does one thing and ends asks of the interpreter; a program that uses takeoff is not told so."""

from __future__ import annotations

import atexit
import gc
import os
import sys
from collections.abc import Callable

# records made between two looks for rings among the youngest: a run makes some 300 000, a third of which last to its
# end, and hardly any ring; at the usual 700 a tenth of its time goes into looking
_YOUNG = 500_000


def for_one_run() -> None:
    """Look for rings of records seldom, and not once more at the end, when all goes with the process; let the schema
    library ask no other package that is installed whether it has something to add, and the library of matrices start
    no threads, which would wait for large ones at full speed: those of a house are small."""
    gc.set_threshold(_YOUNG)
    atexit.register(gc.freeze)
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def whole_end() -> Callable[[int], None]:
    """What is told the exit code. Once told, the process ends with it when every exit handler that comes later has run
    and the streams are flushed, and the system takes its memory back whole: piece by piece takes the interpreter 20 ms.

    It ends as ever where a stream cannot be flushed, and where a handler stands already, as those of tools that watch a
    process do: that one would run after this."""
    told: list[int] = []

    def end() -> None:
        try:
            for stream in (sys.stdout, sys.stderr):
                if stream is not None:
                    stream.flush()
        except (OSError, ValueError):
            return
        if told:
            os._exit(told[-1])

    if not atexit._ncallbacks():
        atexit.register(end)
    return told.append
