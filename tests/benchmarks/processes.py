"""Processor time of fresh processes, and I, which the other benchmarks give their figures in."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
HEAVY = "import numpy, shapely, ezdxf, openpyxl"
REPEATS = 3


def child_s(*arguments: str, repeats: int = REPEATS) -> float:
    """Least processor time of a fresh process of this interpreter [s], its children's included."""
    best = float("inf")
    for _ in range(repeats):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True, cwd=ROOT, env=environment())
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        best = min(best, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return best


def environment() -> dict[str, str]:
    """This process's environment, with the package of this tree and bytecode that may be written."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPATH": str(ROOT)}


@cache
def imports_s() -> float:
    """I: processor time of a fresh process that imports the four core libraries, its start and end included [s]."""
    return child_s("-c", HEAVY, repeats=5)
