"""Being told to stop: by the keyboard, by the system or by a terminal that is gone, all handled alike."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

_NAMES = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")


class Stopped(BaseException):
    """The program was told to stop by signal `number`; `standing` says what stands of its work. Not an Exception, so
    that nothing on the way out takes it for a fault."""

    def __init__(self, number: int, standing: str = "nothing was written") -> None:
        super().__init__(standing)
        self.number = number
        self.standing = standing


def _signals() -> list[signal.Signals]:
    return [signal.Signals(getattr(signal, name)) for name in _NAMES if hasattr(signal, name)]


def stop_on_signals() -> None:
    """From here on each of the signals raises Stopped. One that whoever started the program had ignored stays so."""
    for number in _signals():
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _raise)


def _raise(number: int, _frame: FrameType | None) -> None:
    raise Stopped(number)


@contextmanager
def signals_held() -> Iterator[list[int]]:
    """Signals that come within are gathered in the list given, and do nothing else; whoever holds them decides.

    Does nothing outside the main thread, where no signals arrive.
    """
    came: list[int] = []
    if threading.current_thread() is not threading.main_thread():
        yield came
        return
    before = {number: signal.getsignal(number) for number in _signals()}
    held = {number: handler for number, handler in before.items() if handler not in (None, signal.SIG_IGN)}
    try:
        for number in held:
            signal.signal(number, lambda number, _frame: came.append(number))
        yield came
    finally:
        for number, handler in held.items():
            signal.signal(number, handler)
