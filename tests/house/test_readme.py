"""The README tells the truth: its first two fenced blocks are the two commands, and the output below is what is printed."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def fences() -> list[str]:
    return [
        block.strip("\n") for block in re.findall(r"^```[^\n]*\n(.*?)^```$", README, flags=re.MULTILINE | re.DOTALL)
    ]


def indented_after(command: str) -> str:
    """The first indented block below a command, without its indent."""
    lines = README[README.index(command) + len(command) :].splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("    "))
    block = []
    for line in lines[start:]:
        if line and not line.startswith("    "):
            break
        block.append(line[4:])
    return "\n".join(block).strip("\n")


def test_the_first_two_fences_are_the_two_commands_one_line_each() -> None:
    run, test = fences()[:2]
    assert run.startswith("python3 -m venv .venv && ")
    assert "takeoff run geometry_samples/homestead/job.yaml" in run
    assert "[test]" in test
    assert "pytest" in test
    assert "\n" not in run
    assert "\n" not in test


def test_the_output_below_the_first_command_is_what_it_prints(tmp_path: Path) -> None:
    run = fences()[0]
    arguments = run.split("takeoff run ")[1].split()
    out = tmp_path / "homestead_order"
    arguments[arguments.index("--out") + 1] = str(out)
    done = subprocess.run(
        [sys.executable, "-m", "takeoff", "run", *arguments],
        cwd=ROOT,
        env={**os.environ, "COLUMNS": "80"},
        capture_output=True,
        text=True,
        check=True,
    )
    printed = "\n".join(line.rstrip() for line in done.stdout.replace(str(out), "homestead_order").strip().splitlines())
    assert indented_after(run) == printed


def test_the_tests_command_shows_how_it_ends() -> None:
    assert re.search(r"\d+ passed", indented_after(fences()[1]))


def test_every_file_that_the_readme_names_is_there() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_every_command_is_in_the_readme() -> None:
    help_text = subprocess.run(
        [sys.executable, "-m", "takeoff", "--help"], capture_output=True, text=True, check=True
    ).stdout
    commands = re.findall(r"^  (\w+)  +\S", help_text.split("Commands:")[1], flags=re.MULTILINE)
    assert {"new", "run"} <= set(commands)
    assert [command for command in commands if f"takeoff {command}" not in README] == []


def test_every_exit_code_is_in_the_readme() -> None:
    from takeoff.basics.errors import ExitCode

    assert [code for code in ExitCode if not re.search(rf"\b{int(code)} \w", README.split("Exit codes")[1])] == []
