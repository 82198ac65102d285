"""Work given up because newer work waits: whoever starts it says how to know, long work looks up now and then."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_NEWER: ContextVar[Callable[[], bool] | None] = ContextVar("newer work waits", default=None)


class Superseded(BaseException):
    """The work was given up, since newer work waits. Not an Exception, so that nothing on the way out takes it for a
    fault."""


@contextmanager
def given_up_when(newer: Callable[[], bool]) -> Iterator[None]:
    """Work done within is given up, by Superseded, at the first look up at which `newer` says so."""
    token = _NEWER.set(newer)
    try:
        yield
    finally:
        _NEWER.reset(token)


def look_up() -> None:
    """Raises Superseded where newer work waits; does nothing where nobody said how to know."""
    newer = _NEWER.get()
    if newer is not None and newer():
        raise Superseded
