"""A limit on the time that one house may take, in whatever thread it is worked on."""

from __future__ import annotations

import ctypes
import threading
from types import TracebackType


class OutOfTime(BaseException):
    """A house took longer than it may. Not an Exception, so that nothing on the way takes it for a fault."""


class TimeLimit:
    """While it is held, OutOfTime is raised in the thread that holds it once `seconds` have passed; none for 0.

    A timer's thread raises it, so that it works where no signals arrive; it comes between two steps of the
    interpreter, never within compiled code, which is waited for.
    """

    def __init__(self, seconds: float) -> None:
        self._timer = threading.Timer(seconds, self._fire) if seconds > 0.0 else None
        self._thread = 0
        self._lock = threading.Lock()
        self._over = False
        self._fired = False

    def __enter__(self) -> TimeLimit:
        if self._timer is not None:
            self._thread = threading.get_ident()
            self._timer.daemon = True
            self._timer.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, err: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._timer is None:
            return
        with self._lock:
            self._over = True
            if self._fired and kind is not OutOfTime:  # it is on its way and would come after the house is done
                ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(self._thread), None)
        self._timer.cancel()

    def _fire(self) -> None:
        with self._lock:
            if not self._over:
                self._fired = True
                ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(self._thread), ctypes.py_object(OutOfTime))
