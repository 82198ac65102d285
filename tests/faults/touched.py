"""Which functions are called: a copy of the package whose every function says its number when it is called.

The copy is made from the syntax tree, and its modules import this one. Test by test the pytest plugin touched_by writes
down what was called; what a test starts as a process of its own is written down here when that process ends.
"""

from __future__ import annotations

import ast
import atexit
import json
import os
import sys
from pathlib import Path

names: set[int] = set()
touch = names.add


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


def write(test: str, phase: str, seconds: float, red: bool = False) -> None:
    """A line of what was called since the last, in the folder that TAKEOFF_TOUCHED names; `red`: the test failed."""
    folder = os.environ.get("TAKEOFF_TOUCHED", "")
    if folder and test:
        row = {"test": test, "phase": phase, "seconds": seconds, "red": red, "ran": sorted(names)}
        with (Path(folder) / f"{os.getpid()}.jsonl").open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")
    names.clear()


if "pytest" not in sys.modules:
    # pytest says in the environment which test is running: "tests/x.py::test_y (call)"
    atexit.register(lambda: write(os.environ.get("PYTEST_CURRENT_TEST", "").rpartition(" ")[0], "call", 0.0))
