"""Speed of the whole program, as a table: `python tests/benchmarks/run.py`.

Each figure is the least of several runs in fresh processes or of repeats in one; machines are noisy, so compare ratios.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from math import cos, pi, sin
from pathlib import Path

from rich.console import Console
from rich.table import Table
from warm import warm_table

from takeoff import pipeline
from takeoff.model.job.job import Job

ROOT = Path(__file__).resolve().parents[2]
BIG = ROOT / "geometry_samples" / "homestead" / "job.yaml"
CORNERS = (8, 16, 32, 64, 128)
HEAVY = "import numpy, shapely, ezdxf, openpyxl"


def least_s(work: Callable[[], object], repeats: int) -> float:
    """Least wall time of some repeats [s]."""
    best = float("inf")
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def process_s(*arguments: str, repeats: int = 3) -> float:
    """Least wall time of the command line in a fresh process [s]."""
    command = [sys.executable, "-m", "takeoff", *arguments]
    return least_s(lambda: subprocess.run(command, check=True, capture_output=True), repeats)


def staircase(corners: int) -> Job:
    """A rectilinear house with that many corners: a long building whose south side steps in and out by 1.5 m."""
    bays = (corners - 4) // 4
    width = 3000.0
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


def main() -> None:
    """Print the tables."""
    console = Console()
    table = Table("what", "s", title="command line, fresh process, least of 3")
    with tempfile.TemporaryDirectory() as folder:
        bare = least_s(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True), 3)
        table.add_row("bare interpreter", f"{bare:.3f}")
        helped = process_s("--help", repeats=5)
        heavy = least_s(lambda: subprocess.run([sys.executable, "-c", HEAVY], check=True), 5)
        table.add_row("takeoff --help", f"{helped:.3f}")
        table.add_row(HEAVY, f"{heavy:.3f}")
        table.add_row("--help over these imports, a quarter at most", f"{helped / heavy:.2f}")
        table.add_row("takeoff run homestead, cold", f"{process_s('run', str(BIG), '--out', folder + '/out'):.3f}")
        console.print(table)

        stages = Table("stage", "s", title="homestead by stage, one process, second run")
        for _turn in range(2):
            marks: list[tuple[str, float]] = []
            result = pipeline.run_file(BIG, step=lambda what, seen=marks: seen.append((what, time.perf_counter())))
            pipeline.write_files(
                result, Path(folder) / "stages", step=lambda what, seen=marks: seen.append((what, time.perf_counter()))
            )
            marks.append(("end", time.perf_counter()))
        for (what, start), (_, end) in pairwise(marks):
            stages.add_row(what, f"{end - start:.3f}")
        stages.add_row("all", f"{marks[-1][1] - marks[0][1]:.3f}")
        console.print(stages)

    growth = Table("corners", "roof s", "to the order s", "order, ratio to 8", title="growth with corners, least of 3")
    first = 0.0
    for corners in CORNERS:
        job = staircase(corners)
        roof = least_s(lambda job=job: pipeline.run(job, until=pipeline.Stage.SHAPE), 3)
        whole = least_s(lambda job=job: pipeline.run(job), 3)
        first = first or whole
        growth.add_row(str(corners), f"{roof:.4f}", f"{whole:.3f}", f"{whole / first:.1f}")
    console.print(growth)
    console.print(warm_table())


if __name__ == "__main__":
    main()
