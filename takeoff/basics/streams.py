"""The streams of the command line: they take any text, and one that is closed or full changes nothing else."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from takeoff.basics.interrupts import Stopped


def sturdy_streams() -> None:
    """Letters that a stream's encoding lacks are written as their codes; a stream that is closed goes nowhere, rather
    than into the first file that is opened."""
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


@contextmanager
def printed(complain: Callable[[str], None], standing: str = "") -> Iterator[None]:
    """What is printed once the work is done. A stream that cannot be written to is told on the other one, together with
    what stands (`standing`), and changes neither that nor the exit; one whose reader has gone is let go in silence.

    Raises Stopped, with what stands, for a signal on the way.
    """
    try:
        yield
        if sys.stdout is not None:
            sys.stdout.flush()
    except Stopped as stop:
        raise Stopped(stop.number, standing or stop.standing) from None
    except BrokenPipeError:
        _send_nowhere()
    except OSError as err:
        _send_nowhere()
        stands = f"; {standing}" if standing else ""
        complain(f"the screen cannot be written to: {err.strerror or err}{stands}")
    except Exception:
        if standing:
            complain(standing)
        raise


def _send_nowhere() -> None:
    """What is left in the stream's buffer must not fail again when the program ends."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
