"""Which tests run which function: a copy of the package whose every function says its number when it is called.

The copy is made from the syntax tree. This module is both what the copy imports (`touch`) and the pytest plugin that
writes down, test by test, what was called: one line of JSON a test, in the folder that TAKEOFF_TOUCHED names.
"""

from __future__ import annotations

import ast
import json
import os
import time
from collections.abc import Generator
from pathlib import Path

import pytest

_names: set[int] = set()
touch = _names.add


def numbered(source: str, first: int) -> tuple[str, dict[int, int]]:
    """A module's text with a call of `touch` at the start of every function; line of each function by its number."""
    tree = ast.parse(source)
    lines: dict[int, int] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            number = first + len(lines)
            lines[number] = node.lineno
            at = 1 if ast.get_docstring(node, clean=False) is not None else 0
            node.body.insert(at, ast.parse(f"_touched.touch({number})").body[0])
    at = next((i for i, node in enumerate(tree.body) if isinstance(node, ast.ImportFrom)), -1) + 1
    if ast.get_docstring(tree, clean=False) is not None:
        at = max(at, 1)
    tree.body.insert(at, ast.parse("import touched as _touched").body[0])
    return ast.unparse(ast.fix_missing_locations(tree)), lines


def _write(item: pytest.Item, phase: str, began: float) -> None:
    folder = os.environ.get("TAKEOFF_TOUCHED", "")
    if folder:
        row = {"test": item.nodeid, "phase": phase, "seconds": time.perf_counter() - began, "ran": sorted(_names)}
        with (Path(folder) / f"{os.getpid()}.jsonl").open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")
    _names.clear()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_setup(item: pytest.Item) -> Generator[None, object, object]:
    """What its fixtures call."""
    began = time.perf_counter()
    _names.clear()
    try:
        return (yield)
    finally:
        _write(item, "setup", began)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """What the test itself calls."""
    began = time.perf_counter()
    try:
        return (yield)
    finally:
        _write(item, "call", began)
