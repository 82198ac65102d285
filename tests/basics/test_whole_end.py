"""The end of a process that does one thing: what `sys.exit` promises of it (Python's manual, `atexit` and `sys.exit`:
exit handlers run last in, first out; streams are flushed; the code is the one told), whatever else is left out."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
HEAD = "import atexit, sys\nfrom takeoff.basics.one_run import whole_end\n"


def _run(code: str, stdout: int = subprocess.PIPE) -> subprocess.CompletedProcess[str]:
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    environment["PYTHONPATH"] = str(ROOT)
    return subprocess.run(
        [sys.executable, "-c", HEAD + code], stdout=stdout, stderr=subprocess.PIPE, text=True, env=environment
    )


def test_code_and_words_come_out_and_later_handlers_run_first() -> None:
    done = _run("end = whole_end()\natexit.register(print, 'a handler')\nprint('words', end=' ')\nend(3)\nsys.exit(3)")
    assert (done.returncode, done.stdout, done.stderr) == (3, "words a handler\n", "")


def test_memory_is_not_taken_apart() -> None:
    """An object that says so when it goes: the ordinary end takes it apart, this one does not."""
    kept = "class Kept:\n def __del__(self): print('taken apart')\nkept = Kept()\n"
    assert _run(f"{kept}end = whole_end()\nend(0)").stdout == ""
    assert _run(f"{kept}whole_end()").stdout == "taken apart\n"


def test_a_handler_that_stood_before_still_runs() -> None:
    done = _run("atexit.register(print, 'the watcher')\nend = whole_end()\nend(5)\nsys.exit(5)")
    assert (done.returncode, done.stdout) == (5, "the watcher\n")


def test_a_full_disk_is_told_as_ever() -> None:
    """`/dev/full` refuses every byte: the interpreter ends with 120 then, by its manual."""
    if not Path("/dev/full").exists():
        return
    with open("/dev/full", "w") as full:
        done = _run("end = whole_end()\nprint('words')\nend(0)", full.fileno())
    assert done.returncode == 120
    assert "No space left" in done.stderr
