"""Speed of edits and of quantities, as ratios to importing the four heaviest libraries: `python tests/benchmarks/warm.py`.

Times are the processor's, medians over edits or repeats in one process; I is the least of five fresh processes, whole,
as in run.py. Compare ratios of one run, on compiled bytecode.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from random import Random
from statistics import median

from processes import ROOT, imports_s
from rich.console import Console
from rich.table import Table

import takeoff
from takeoff.session import Session, changed_job

SAMPLES = ROOT / "geometry_samples"
EDITS = 50
# at most, in I
AIMS = {
    "quantities of hip_12x8, nothing remembered": "0.02",
    "quantities of homestead, nothing remembered": "0.04",
    "one pitch changed, all that is measured": "0.05",
    "one pitch changed, to the order": "0.2",
}


def spent_s(work: Callable[[], object]) -> float:
    """Processor time of some work [s]."""
    start = time.process_time()
    work()
    return time.process_time() - start


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
        "warm, homestead; I is the time of the imports",
        "s",
        "I",
        "at most",
        title=f"warm: I = {imports:.3f} s, processor time",
    )
    rows = [(f"quantities of {name}, nothing remembered", quantities_s(name)) for name in ("hip_12x8", "homestead")]
    for what, seconds in (*rows, *edits_s(edits)):
        table.add_row(what, f"{seconds:.4f}", f"{seconds / imports:.3f}", AIMS.get(what, ""))
    return table


if __name__ == "__main__":
    Console().print(warm_table(int(sys.argv[1]) if len(sys.argv) > 1 else EDITS))
