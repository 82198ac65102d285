"""What a script may lean on: the list of names, that they come lazily, and that every printed example is true."""

from __future__ import annotations

import ast
import contextlib
import doctest
import io
import re
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

import takeoff

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = Path(takeoff.__file__).parent

# the public face; a new capability adds its name here
FACE = {
    "Job", "Quantities", "Session", "Stage", "Superseded", "Takeoff", "Worker", "quantities", "quantities_of", "read_job", "run", "run_file",
    "write_files",
    "TakeoffError", "UsageError", "JobError", "UnreadableFileError", "ShapeError", "UndecidedError",
}  # fmt: skip


def in_fresh_process(code: str) -> str:
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_the_list_of_public_names_is_this() -> None:
    assert set(takeoff.__all__) == FACE
    assert set(dir(takeoff)) >= FACE


@pytest.mark.parametrize("name", sorted(FACE))
def test_every_public_name_is_there_and_says_what_it_is(name: str) -> None:
    assert getattr(takeoff, name).__doc__


def test_a_name_that_is_not_there_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'roofs'"):
        _ = takeoff.roofs  # type: ignore[attr-defined]


def test_importing_loads_nothing_until_a_name_is_asked_for() -> None:
    code = (
        "import sys, takeoff; print(len([m for m in sys.modules if m.startswith('takeoff.')]), 'numpy' in sys.modules)"
    )
    assert in_fresh_process(code) == "0 False"
    code = "import sys, takeoff; takeoff.JobError; print([m for m in sys.modules if m.startswith('takeoff.')])"
    assert in_fresh_process(code) == "['takeoff.basics', 'takeoff.basics.errors']"


def test_every_error_of_the_program_is_public() -> None:
    tree = ast.parse((PACKAGE / "basics" / "errors.py").read_text(encoding="utf-8"))
    errors = {node.name for node in ast.walk(tree) if isinstance(node, ast.ClassDef) and node.name.endswith("Error")}
    assert errors == {name for name in FACE if name.endswith("Error")}


def modules_with_examples() -> list[str]:
    paths = [path for path in sorted(PACKAGE.rglob("*.py")) if ">>> " in path.read_text(encoding="utf-8")]
    names = [".".join(("takeoff", *path.relative_to(PACKAGE).with_suffix("").parts)) for path in paths]
    return [name.removesuffix(".__init__") for name in names]


@pytest.mark.parametrize("module", modules_with_examples())
def test_examples_in_docstrings_are_true(module: str) -> None:
    outcome = doctest.testmod(import_module(module))
    assert outcome.attempted > 0
    assert outcome.failed == 0


def test_the_script_of_the_notes_prints_what_stands_below_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    notes = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    part = notes[notes.index("## From a script") :]
    script, printed = re.findall(r"^```[a-z]*\n(.*?)^```$", part, flags=re.MULTILINE | re.DOTALL)[:2]
    assert len(script.strip().splitlines()) == 10
    monkeypatch.chdir(ROOT)
    screen = io.StringIO()
    with contextlib.redirect_stdout(screen):
        exec(compile(script.replace('"house_order"', repr(str(tmp_path / "out"))), "DEVELOPERS.md", "exec"), {})
    assert screen.getvalue() == printed
    assert (tmp_path / "out" / "order_sheet.xlsx").is_file()
