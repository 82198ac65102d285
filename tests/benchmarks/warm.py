"""Speed of edits and of quantities, as ratios to importing the four heaviest libraries: `python tests/benchmarks/warm.py`.

Times are the processor's, medians over edits or repeats in one process; I is the least of five fresh processes. Compare
ratios of one run, on compiled bytecode.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from statistics import median

from rich.console import Console
from rich.table import Table

import takeoff
from takeoff.session import Session, changed_job

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
HEAVY = "import time; t = time.process_time(); import numpy, shapely, ezdxf, openpyxl; print(time.process_time() - t)"
EDITS = 50


def spent_s(work: Callable[[], object]) -> float:
    """Processor time of some work [s]."""
    start = time.process_time()
    work()
    return time.process_time() - start


def imports_s() -> float:
    """I: the least processor time of the heavy imports in a fresh process [s]."""
    runs = [subprocess.run([sys.executable, "-c", HEAVY], check=True, capture_output=True, text=True) for _ in range(5)]
    return min(float(run.stdout) for run in runs)


def quantities_s(name: str) -> float:
    """Quantities of a sample without a memory [s]."""
    path = SAMPLES / name / "job.yaml"
    job = takeoff.read_job(path)
    takeoff.quantities(job, path.parent)
    return median(spent_s(lambda: takeoff.quantities(job, path.parent)) for _ in range(10))


def edits_s(edits: int) -> Iterator[tuple[str, float]]:
    """Edits of the homestead in a warm session: what was done and its median [s]."""
    path = SAMPLES / "homestead" / "job.yaml"
    whole = Session.of_file(path)
    measured = Session.of_file(path, takeoff.Stage.MEASURE)
    job, random = takeoff.read_job(path), Random(1)
    pitched = [changed_job(job, {"roofs[1].pitch_deg": round(random.uniform(15.0, 40.0), 1)}) for _ in range(edits)]
    yield "one pitch changed, quantities", median(spent_s(lambda j=j: whole.quantities(j)) for j in pitched)
    yield "one pitch changed, all that is measured", median(spent_s(lambda j=j: measured.edit(j)) for j in pitched)
    yield "one pitch changed, to the order", median(spent_s(lambda j=j: whole.edit(j)) for j in pitched)
    yield "an earlier pitch again, to the order", median(spent_s(lambda j=j: whole.edit(j)) for j in pitched[-10:])
    whole.edit(job)
    widths = [f"walls.openings[{1 + n % 14}].width_mm" for n in range(edits)]
    opened = [changed_job(job, {width: 700.0 + 10.0 * n}) for n, width in enumerate(widths)]
    yield "one opening changed, to the order", median(spent_s(lambda j=j: whole.edit(j)) for j in opened)
    printed = [changed_job(job, {"revision": str(n)}) for n in range(10)]
    yield "the revision changed, to the order", median(spent_s(lambda j=j: whole.edit(j)) for j in printed)


def warm_table(edits: int = EDITS) -> Table:
    """The table of ratios."""
    imports = imports_s()
    table = Table(
        "warm, homestead; I is the time of the imports", "s", "I", title=f"warm: I = {imports:.3f} s, processor time"
    )
    rows = [(f"quantities of {name}, nothing remembered", quantities_s(name)) for name in ("hip_12x8", "homestead")]
    for what, seconds in (*rows, *edits_s(edits)):
        table.add_row(what, f"{seconds:.4f}", f"{seconds / imports:.3f}")
    return table


if __name__ == "__main__":
    Console().print(warm_table(int(sys.argv[1]) if len(sys.argv) > 1 else EDITS))
