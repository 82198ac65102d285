"""The same engine compiled: the functions of front, windows, breaks and events, handed to numba if it is installed.

Nothing is written twice: each function's own code object is compiled, with the names of the other engine functions
bound to their compiled forms. The result is the plain path's to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

from takeoff.shape.skeleton import breaks, events, front, windows
from takeoff.shape.skeleton.setup import FLOATS, NODE_ARRAYS, SIDE_ARRAYS, SIDES_A_VERTEX, WHOLES

LARGE = 8192
"""Corners from which the compiled path is worth loading, which takes a second (and, once, some 20 s to compile)."""

WORTHWHILE = 48
"""Corners from which it is the faster one once loaded."""

VERTEX_LONG = frozenset((*FLOATS, *WHOLES, *NODE_ARRAYS))
REALS = frozenset((*FLOATS, *NODE_ARRAYS, "nx", "ny", "c", "s", "break_t", "tol", "window"))

_names = [field.name for field in fields(front.Front)]


def available() -> bool:
    """Is the compiler installed?"""
    return find_spec("numba") is not None


def wanted(corners: int) -> bool:
    """Is the compiled path the faster one for an outline of that many corners?"""
    return corners >= (WORTHWHILE if runner.cache_info().currsize else LARGE) and available()


@cache
def runner() -> Callable[[Any, int], None]:
    """The compiled run of a front in arrays; takes the front and the greatest number of events."""
    import numba

    from takeoff.shape.skeleton.by_reference import FrontRecord

    modules: tuple[ModuleType, ...] = (front, windows, breaks, events)
    paths = [Path(__file__), *(Path(str(module.__file__)) for module in modules)]
    newest = str(max(paths, key=lambda path: path.stat().st_mtime_ns))
    names: dict[str, Any] = {}
    for module in modules:
        names.update(vars(module))
    for module in modules:
        for name, function in vars(module).items():
            if isinstance(function, FunctionType) and function.__module__ == module.__name__:
                # the compiler's cache goes by one file's date: with the newest one's name, a change to any renews all
                code = function.__code__.replace(co_filename=newest)
                names[name] = jit(numba, FunctionType(code, names, name))
    code = run_arrays.__code__.replace(co_filename=newest)
    names.update(FrontRecord=FrontRecord, __name__=__name__)
    whole: Callable[[Any, int], None] = jit(numba, FunctionType(code, names, "run_arrays"))
    return whole


def jit(numba: Any, function: FunctionType) -> Any:
    """One function compiled, kept on disk for the next process where that can be written."""
    try:
        return numba.njit(cache=True)(function)
    except RuntimeError:
        return numba.njit(function)


def run_arrays(arrays: Any, events_at_most: int) -> None:
    """The run of a front given as a tuple of arrays, with a queue made where the compiler can see what it holds."""
    heap = [(0.0, 0, 0, 0)]
    heap.pop()
    run(FrontRecord(*arrays), heap, events_at_most)  # type: ignore[name-defined]  # noqa: F821  # bound when compiled


def run_compiled(F: front.Front, room: int, entries: int, events_at_most: int) -> None:
    """Run a front held in lists, in arrays with room for vertices and entries in cells; its outcome is lists again."""
    import numpy as np

    sizes = dict.fromkeys(VERTEX_LONG, room)
    sizes.update(dict.fromkeys(SIDE_ARRAYS, SIDES_A_VERTEX * room), entry_who=entries, entry_next=entries)
    arrays = []
    for name in _names:
        values = getattr(F, name)
        array = np.zeros(sizes.get(name, len(values)), dtype=np.float64 if name in REALS else np.int64)
        array[: len(values)] = values
        arrays.append(array)
    runner()(tuple(arrays), events_at_most)
    for name, array in zip(_names, arrays, strict=True):
        if name in NODE_ARRAYS or name in SIDE_ARRAYS or name in ("tally", "own", "act"):
            setattr(F, name, array.tolist())
