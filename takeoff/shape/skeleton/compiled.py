"""The same engine compiled: functions of front, breaks and events handed to numba, where that extra is installed.

Nothing is written twice: each function's own code object is compiled, with the names of the other engine functions
bound to their compiled forms. The result is the plain path's to the last bit.
"""

from __future__ import annotations

from collections import namedtuple
from collections.abc import Callable
from dataclasses import fields
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

from takeoff.shape.skeleton import breaks, events, front
from takeoff.shape.skeleton.setup import FLOATS, NODE_ARRAYS, SIDE_ARRAYS, SIDES_A_VERTEX, WHOLES

LARGE = 1024
"""Corners from which the compiled path is worth loading, which takes a second (and, once, its compilation)."""

WORTHWHILE = 48
"""Corners from which it is the faster one once loaded."""

VERTEX_LONG = frozenset((*FLOATS, *WHOLES, *NODE_ARRAYS))
REALS = frozenset((*FLOATS, *NODE_ARRAYS, "nx", "ny", "c", "s", "break_t", "tol"))

_names = [field.name for field in fields(front.Front)]
FrontArrays = namedtuple("FrontArrays", _names)  # type: ignore[misc]


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

    modules: tuple[ModuleType, ...] = (front, breaks, events)
    paths = [Path(str(module.__file__)) for module in modules]
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
    whole: Callable[[Any, int], None] = jit(
        numba, FunctionType(code, {"run": names["run"], "__name__": __name__}, "run_arrays")
    )
    return whole


def jit(numba: Any, function: FunctionType) -> Any:
    """One function compiled, kept on disk for the next process where that can be written."""
    try:
        return numba.njit(cache=True)(function)
    except RuntimeError:
        return numba.njit(function)


def run_arrays(F: Any, events_at_most: int) -> None:
    """The run with a queue of its own, made where the compiler can see what it holds."""
    heap = [(0.0, 0, 0, 0)]
    heap.pop()
    run(F, heap, events_at_most)  # type: ignore[name-defined]  # noqa: F821  # bound when compiled


def run_compiled(F: front.Front, room: int, events_at_most: int) -> None:
    """Run a front that stands in lists at its start: in arrays with `room` for vertices, what it leaves in lists."""
    import numpy as np

    arrays = []
    for name in _names:
        values = getattr(F, name)
        size = room if name in VERTEX_LONG else SIDES_A_VERTEX * room if name in SIDE_ARRAYS else len(values)
        array = np.zeros(size, dtype=np.float64 if name in REALS else np.int64)
        array[: len(values)] = values
        arrays.append(array)
    run: Any = FrontArrays(*arrays)
    runner()(run, events_at_most)
    F.tally = run.tally.tolist()
    for name in (*NODE_ARRAYS, *SIDE_ARRAYS, "own", "act"):
        setattr(F, name, getattr(run, name).tolist())
