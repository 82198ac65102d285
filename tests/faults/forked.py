"""Show a fault to tests that are loaded already: one process collects the suite, and a fork of it plants and runs.

A fault inside a function is planted by giving the function its new code, so nothing is loaded anew. What runs while a
module is loaded (its constants, defaults, class bodies) cannot be planted so, and what a test starts as a process of its
own does not have the fault: a fault that is not seen here is shown to the tests from disk as well.

The process is asked by lines of JSON on its standard input (Asked) and answers by one line each (Answer).
"""

from __future__ import annotations

import contextlib
import functools
import gc
import json
import os
import resource
import signal
import subprocess
import sys
import types
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TypedDict

import pytest

SEEN, UNSEEN, NO_END, NOT_HERE = "seen", "unseen", "no end", "not here"
_START_S = 60.0  # for fixtures, whose time no test is charged with
_MEMORY = 8 * 1024**3  # a fault may ask for endless memory
_CLOCK = 10.0  # seconds by the clock for one of the processor, on a busy machine


_New = tuple[list[types.FunctionType], types.CodeType]
_Live = dict[tuple[str, str, int], list[types.FunctionType]]  # by file, name and line of their code


class Asked(TypedDict):
    """A module by its path inside the package, its text with the fault, the tests and what they usually take [s]."""

    module: str
    text: str
    tests: list[str]
    usual_s: float


class Answer(TypedDict):
    """One of the four words, and the test that saw it."""

    word: str
    by: str


class Loaded:
    """The process with the suite loaded, in a copy of the repository; ended by `close`."""

    def __init__(self, folder: Path, only: Sequence[str] = ()) -> None:
        """`only`: files or folders of tests, in place of all."""
        env = {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
        self._process = subprocess.Popen(
            [sys.executable, __file__, *only], cwd=folder, env=env, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip

    def shown(self, module: str, text: str, tests: Sequence[str], usual_s: float) -> Answer:
        """The answer to one fault; "not here" too where the process has ended."""
        asked = Asked(module=module, text=text, tests=list(tests), usual_s=usual_s)
        process = self._process
        if not tests or process.stdin is None or process.stdout is None or process.stdin.closed:
            return Answer(word=NOT_HERE, by="")
        with contextlib.suppress(BrokenPipeError):
            process.stdin.write(json.dumps(asked) + "\n")
            process.stdin.flush()
        line = process.stdout.readline()
        return json.loads(line) if line else Answer(word=NOT_HERE, by="")

    def close(self) -> None:
        """End the process and whatever its tests started."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.communicate()


class _Server:
    """The pytest plugin that answers instead of running the tests."""

    def __init__(self, package: Path) -> None:
        self._package = package
        self._caches: list[functools._lru_cache_wrapper[object]] = []
        self._asked, self._answers = os.dup(0), os.dup(1)  # pytest takes both for itself
        self._red: dict[str, bool] = {}  # whether a test fails here without a fault

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Answer until there is no more to ask."""
        items = {item.nodeid: item for item in session.items}
        live = _live_functions(self._package)
        self._caches = [each for each in gc.get_objects() if isinstance(each, functools._lru_cache_wrapper)]
        gc.collect()
        gc.freeze()  # what is loaded stays, and is not copied into the forks by looking at it
        with os.fdopen(self._asked) as file:
            for line in file:
                answer = self._answer(json.loads(line), items, live)
                os.write(self._answers, (json.dumps(answer) + "\n").encode())
        return True

    def _answer(self, asked: Asked, items: dict[str, pytest.Item], live: _Live) -> Answer:
        path = self._package / asked["module"]
        new = _new_codes(path, asked["text"], live)
        if new is None:
            return Answer(word=NOT_HERE, by="")
        named = [test for name in asked["tests"] for test in ([name] if name in items else _below(name, items))]
        tests = [test for test in dict.fromkeys(named) if not self._red.get(test)]
        limit_s = _START_S + 5.0 * asked["usual_s"]
        while tests:
            row = _by_file(tests, items)
            run = functools.partial(_first_red, row)
            by = _forked(functools.partial(self._planted, new, run), limit_s)
            if by is None:
                return Answer(word=UNSEEN, by="")
            if by == NOT_HERE:
                return Answer(word=NOT_HERE, by="")
            if by == NO_END:  # an end that comes late without the fault as well sees nothing
                late = _forked(run, limit_s) is not None
                return Answer(word=NOT_HERE if late else SEEN, by=NO_END)
            if by not in self._red:  # shown the same tests without the fault, since one may trip over another
                until = row[: 1 + [item.nodeid for item in row].index(by)]
                self._red[by] = _forked(functools.partial(_first_red, until), limit_s) is not None
            if not self._red[by]:
                return Answer(word=SEEN, by=by)
            tests.remove(by)
        return Answer(word=NOT_HERE, by="")

    def _planted(self, new: Iterable[_New], run: Callable[[], str | None]) -> str | None:
        """What the tests say of functions with their new code, where nothing is remembered that was worked out before."""
        for functions, code in new:
            for function in functions:
                function.__code__ = code
        for each in self._caches:
            if (each.__module__ or "").startswith("takeoff"):
                each.cache_clear()
        return run()


def _live_functions(package: Path) -> _Live:
    """The package's functions by file, name and line of their code, the wrapped ones too."""
    found: _Live = {}
    for each in gc.get_objects():
        if isinstance(each, types.FunctionType) and each.__code__.co_filename.startswith(str(package)):
            code = each.__code__
            found.setdefault((code.co_filename, code.co_name, code.co_firstlineno), []).append(each)
    return found


def _new_codes(path: Path, text: str, live: _Live) -> list[_New] | None:
    """The functions whose code the fault changes, with the new one; None where it cannot be planted so."""
    before = list(_codes(compile(path.read_text(encoding="utf-8"), str(path), "exec", dont_inherit=True)))
    after = list(_codes(compile(text, str(path), "exec", dont_inherit=True)))
    if [code.co_name for code in before] != [code.co_name for code in after]:
        return None
    places = [(code.co_filename, code.co_name, code.co_firstlineno) for code in before]
    found = []
    for place, old, new in zip(places, before, after, strict=True):
        if _meaning(old) == _meaning(new):
            continue
        if places.count(place) > 1 or not live.get(place) or old.co_freevars != new.co_freevars:
            return None
        found.append((live[place], new))
    return found or None


def _codes(code: types.CodeType) -> Iterable[types.CodeType]:
    """Those of functions and methods, from the top of a module and through its classes."""
    for each in code.co_consts:
        if isinstance(each, types.CodeType):
            if each.co_flags & 0x2:  # fast locals: a function; a class body has none
                yield each
            else:
                yield from _codes(each)


def _meaning(code: types.CodeType) -> tuple[object, ...]:
    """What a function does, its place in the file left out."""
    constants = tuple(_meaning(each) if isinstance(each, types.CodeType) else repr(each) for each in code.co_consts)
    return (code.co_code, code.co_names, code.co_varnames, code.co_freevars, code.co_cellvars, constants)


def _below(name: str, items: Iterable[str]) -> list[str]:
    """The tests of a file or folder."""
    return [test for test in items if test.startswith((f"{name}::", f"{name.rstrip('/')}/"))]


def _by_file(tests: Sequence[str], items: dict[str, pytest.Item]) -> list[pytest.Item]:
    """In the order given, those of one file together, so that they share its fixtures."""
    files = list(dict.fromkeys(test.partition("::")[0] for test in tests))
    return [items[test] for file in files for test in tests if test.partition("::")[0] == file]


def _first_red(items: Sequence[pytest.Item]) -> str | None:
    """The first test that fails, or None."""
    from _pytest.runner import runtestprotocol

    for item, following in zip(items, [*items[1:], None], strict=True):
        if any(report.failed for report in runtestprotocol(item, log=False, nextitem=following)):
            return item.nodeid
    return None


def _forked(work: Callable[[], str | None], limit_s: float) -> str | None:
    """What the work gives in a fork of this process: "no end" where it does not come to one, "not here" where it breaks."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        _in_child(work, writing, limit_s)
    os.close(writing)
    with os.fdopen(reading) as file:
        said = file.read()
    os.waitpid(child, 0)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)  # what the tests started
    return json.loads(said) if said else NO_END


def _in_child(work: Callable[[], str | None], writing: int, limit_s: float) -> None:
    os.setpgid(0, 0)
    nothing = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nothing, stream)
    resource.setrlimit(resource.RLIMIT_CPU, (int(limit_s) + 1, int(limit_s) + 11))
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    signal.alarm(int(_CLOCK * limit_s))
    said: str | None = NOT_HERE
    with contextlib.suppress(Exception, SystemExit):
        said = work()
    os.write(writing, json.dumps(said).encode())
    os._exit(0)


if __name__ == "__main__":
    server = _Server(Path.cwd() / "takeoff")
    os.dup2(2, 1)  # pytest's own words
    apart = [f"--ignore=tests/{room}" for room in ("crosschecks", "faults")]  # other programs, no package
    wanted = sys.argv[1:] or ["tests"]
    plain = ["-q", "-p", "no:cacheprovider", "-p", "no:xdist", "--tb=no", "--no-header", *apart, *wanted]
    sys.exit(pytest.main(plain, plugins=[server]))
