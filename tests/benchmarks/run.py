"""Speed of the whole program, as a table: `python tests/benchmarks/run.py [ROW ...]`.

Every figure is processor time, and said as a ratio to I, the processor time of a fresh process that imports the four
core libraries, in the same run: machines differ and are busy, ratios less so. Bytecode is compiled first; an environment
that forbids writing it makes every start compile, and no figure of such a start is worth printing.
"""

from __future__ import annotations

import compileall
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from math import cos, pi, sin
from pathlib import Path

from processes import ROOT, child_s, environment, imports_s
from rich.console import Console
from rich.table import Table
from warm import warm_table

from takeoff import pipeline
from takeoff.model.job.job import Job

BIG = ROOT / "geometry_samples" / "homestead" / "job.yaml"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: what is measured, what it should be at most, what gives the figure, and its unit."""

    name: str
    aim: str
    figure: Callable[[], float]
    unit: str = "I"


def cold(*more: str) -> float:
    """The homestead from a fresh process to its files, in I."""
    with tempfile.TemporaryDirectory() as folder:
        return child_s("-m", "takeoff", "run", str(BIG), "--out", f"{folder}/out", *more) / imports_s()


def made(name: str) -> float:
    """A made-up house from a fresh process to its files, in I."""
    return child_s(__file__, "--house", name, repeats=1) / imports_s()


def growth(files: bool) -> float:
    """Time of the house of 128 corners over that of 8, in one process that has begun before."""
    few, many = (_house_s(corners, files) for corners in (8, 128))
    return many / few


def _house_s(corners: int, files: bool) -> float:
    best = float("inf")
    job = staircase(corners)
    for _ in range(2 + (corners < 100)):
        start = time.process_time()
        result = pipeline.run(job)
        if files:
            with tempfile.TemporaryDirectory() as folder:
                pipeline.write_files(result, Path(folder) / "out")
        best = min(best, time.process_time() - start)
    return best


def memory_mb() -> float:
    """Most memory that the homestead takes, from a fresh process to its files [MB]."""
    code = (
        "import resource, subprocess, sys;"
        "subprocess.run([sys.executable, '-m', 'takeoff', 'run', *sys.argv[1:]], check=True, capture_output=True);"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    )
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-c", code, str(BIG), "--out", f"{folder}/out"]
        done = subprocess.run(command, check=True, capture_output=True, text=True, cwd=ROOT, env=environment())
    return float(done.stdout) / 1024.0


# name, aim at most, function; the rows of a job that is edited are warm.py's
ROWS: tuple[Row, ...] = (
    Row("--help", "0.25", lambda: child_s("-m", "takeoff", "--help") / imports_s()),
    Row("cold, homestead, every usual file", "2; 3 with papers", cold),
    Row(
        "cold, homestead, workbook and drawings",
        "2",
        lambda: cold("--only", "order_sheet.xlsx,site_measure.csv,dxf,svg"),
    ),
    Row("128 corners over 8, to the order", "20", lambda: growth(files=False), "x"),
    Row("128 corners over 8, to the files", "20", lambda: growth(files=True), "x"),
    Row("500 corners, to the files", "60", lambda: made("500")),
    Row("50 roofs in one job, to the files", "60", lambda: made("50 roofs")),
    Row("peak memory, homestead", "120", memory_mb, "MB"),
)


def staircase(corners: int, width: float = 3000.0) -> Job:
    """A rectilinear house with that many corners: a long building whose south side steps in and out by 1.5 m."""
    bays = (corners - 4) // 4
    points = [(0.0, 0.0)]
    for bay in range(bays):
        x = (2 * bay + 1) * width
        points += [(x, 0.0), (x, -1500.0), (x + width, -1500.0), (x + width, 0.0)]
    end = (2 * bays + 1) * width
    points += [(end, 0.0), (end, 8000.0), (0.0, 8000.0)]
    turn = pi / 7  # off the axes, as surveys are
    turned = [(x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)) for x, y in points]
    job = {"job": f"{corners} corners", "roofs": [{"outline": turned, "pitch_deg": 25.0, "fascia_height_mm": 2400.0}]}
    return Job.model_validate(job, strict=False)


def village(roofs: int) -> Job:
    """So many roofs of 12 x 8 m, ten in a row."""
    listed = []
    for n in range(roofs):
        x, y = n % 10 * 20000.0, n // 10 * 15000.0
        ring = [(x, y), (x + 12000.0, y), (x + 12000.0, y + 8000.0), (x, y + 8000.0)]
        listed.append({"name": f"house {n + 1}", "outline": ring, "pitch_deg": 25.0, "fascia_height_mm": 2400.0})
    return Job.model_validate({"job": f"{roofs} roofs", "roofs": listed}, strict=False)


def write_made(name: str) -> None:
    """Take a made-up house off and write its files, in this process."""
    job = village(50) if name == "50 roofs" else staircase(int(name), 1500.0)
    with tempfile.TemporaryDirectory() as folder:
        pipeline.write_files(pipeline.run(job), Path(folder) / "out")


def main(words: list[str]) -> None:
    """Print the table: all rows, or those with one of the words in their name."""
    compileall.compile_dir(ROOT / "takeoff", quiet=1)
    console = Console()
    table = Table("what", "figure", "", "at most", title=f"processor time; I = {imports_s():.2f} s")
    for row in ROWS:
        if not words or any(word in row.name for word in words):
            table.add_row(row.name, f"{row.figure():.2f}", row.unit, row.aim)
    console.print(table)
    if not words or "warm" in words:
        console.print(warm_table())


if __name__ == "__main__":
    if sys.argv[1:2] == ["--house"]:
        write_made(sys.argv[2])
    else:
        main(sys.argv[1:])
