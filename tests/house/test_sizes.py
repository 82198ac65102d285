"""Files and functions stay short enough to be read in one go."""

from __future__ import annotations

import ast
from pathlib import Path
from statistics import median

import takeoff

PACKAGE = Path(takeoff.__file__).parent
MOST_LINES_IN_A_FILE = 400
MOST_LINES_IN_A_FUNCTION = 60
MIDDLE_FUNCTION = 9  # half of all functions are no longer


def functions_of(source: str) -> dict[str, int]:
    """Lines of every function of a module from its `def` to its end, decorators left out, by name and line."""
    return {
        f"{node.name}:{node.lineno}": (node.end_lineno or node.lineno) - node.lineno + 1
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    }


def sizes() -> dict[str, int]:
    return {
        f"{path.relative_to(PACKAGE)}:{name}": lines
        for path in sorted(PACKAGE.rglob("*.py"))
        for name, lines in functions_of(path.read_text(encoding="utf-8")).items()
    }


def test_no_function_is_longer_than_a_screen() -> None:
    assert {name: lines for name, lines in sizes().items() if lines > MOST_LINES_IN_A_FUNCTION} == {}


def test_the_middle_function_is_short() -> None:
    assert median(sizes().values()) <= MIDDLE_FUNCTION


def test_no_file_is_longer_than_it_can_be_read() -> None:
    """Nor any of the tests."""
    files = [*PACKAGE.rglob("*.py"), *Path(__file__).parents[1].rglob("*.py")]
    lines = {str(path): len(path.read_text(encoding="utf-8").splitlines()) for path in files}
    assert {path: count for path, count in lines.items() if count > MOST_LINES_IN_A_FILE} == {}


def test_the_measure_itself_sees_a_long_function() -> None:
    body = "\n".join(f"    x{n} = {n}" for n in range(60))
    assert functions_of(f"@f\ndef long() -> None:\n{body}\n") == {"long:2": 61}
