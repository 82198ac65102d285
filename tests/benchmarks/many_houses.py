"""Many houses, measured: `python tests/benchmarks/many_houses.py FOOTPRINTS.jsonl [--count N] [--out DIR]`.

Footprints (a JSON line a house: id, footprint rings in metres) become a map on a grid of 60 m, hipped at 25 degrees, and are
taken off three times: by two processes, by a Dask scheduler with two workers, and by such a cluster of which one worker is
killed on the way. Prints houses a second of wall and of processor time, the most memory of a worker, the bytes a house
leaves behind, and whether the three tables are the same to the last byte; then what a million would cost.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

MILLION, CORES = 1_000_000, 64
_GRID_M, _ROW = 60.0, 50


def write_map(footprints: Path, target: Path, count: int) -> int:
    """Footprints as a GeoJSON sequence, each on a plot of its own. Returns how many."""
    written = 0
    with open(footprints, encoding="utf-8") as lines, open(target, "w", encoding="utf-8") as stream:
        for n, line in enumerate(lines):
            if n == count:
                break
            house = json.loads(line)
            x0, y0 = (n % _ROW) * _GRID_M, (n // _ROW) * _GRID_M
            rings = [[[x + x0, y + y0] for x, y in (*ring, ring[0])] for ring in house["footprint"]]
            feature: dict[str, Any] = {
                "type": "Feature",
                "properties": {"id": house["id"], "pitch_deg": 25, "fascia_height_mm": 2400},
                "geometry": {"type": "Polygon", "coordinates": rings},
            }
            stream.write(json.dumps(feature) + "\n")
            written += 1
    return written


@contextmanager
def cluster(folder: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A Dask scheduler and two workers of one thread, each a process of its own."""
    address = folder / "scheduler.json"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    scheduler = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0"]
    worker = [sys.executable, "-m", "distributed.cli.dask_worker", "--scheduler-file", str(address), "--nthreads", "1"]
    worker += ["--no-nanny", "--no-dashboard", "--death-timeout", "30", "--memory-limit", "0"]
    started = [subprocess.Popen([*scheduler, "--no-dashboard", "--scheduler-file", str(address)], **quiet)]  # type: ignore[call-overload]
    try:
        while not address.exists():
            time.sleep(0.1)
        for n in (1, 2):
            place = ["--local-directory", str(folder / f"worker{n}")]
            started.append(subprocess.Popen([*worker, *place], **quiet))  # type: ignore[call-overload]
        yield json.loads(address.read_text())["address"], started[1:]
    finally:
        for process in started:
            process.kill()
            process.wait()


def taken(source: Path, out: Path, *more: str, kill: subprocess.Popen[bytes] | None = None) -> tuple[float, float]:
    """Wall and processor time [s] of the command; `kill`: a worker that is killed when a tenth is done."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    command = [sys.executable, "-m", "takeoff", "many", str(source), "--out", str(out), *more]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as run:
        while kill is not None and len(list((out / "parts").glob("*.jsonl"))) < 8 and run.poll() is None:
            time.sleep(0.05)
        if kill is not None:
            kill.kill()
        code = run.wait()
    assert code in (0, 6), code
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return time.perf_counter() - start, spent


def main() -> None:
    """Run all three and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("footprints", type=Path)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--out", type=Path, default=None)
    asked = parser.parse_args()
    folder = asked.out or Path(tempfile.mkdtemp(prefix="many_houses"))
    folder.mkdir(parents=True, exist_ok=True)
    source = folder / "lots.geojsonl"
    count = write_map(asked.footprints, source, asked.count)
    table = Table(title=f"{count} footprints")
    for heading in ("crew", "wall s", "houses a s", "processor s", "ms of a processor a house"):
        table.add_column(heading, justify="right" if heading != "crew" else "left")
    wall, spent = taken(source, folder / "two", "--workers", "2")
    most_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    table.add_row("two processes", f"{wall:.1f}", f"{count / wall:.1f}", f"{spent:.1f}", f"{1000 * spent / count:.1f}")
    for name, killed in (("cluster of two", False), ("cluster, one killed", True)):
        with cluster(folder) as (address, workers):
            time_s, _ = taken(source, folder / name, "--cluster", address, kill=workers[0] if killed else None)
        (folder / "scheduler.json").unlink()
        table.add_row(name, f"{time_s:.1f}", f"{count / time_s:.1f}", "", "")
    console = Console()
    console.print(table)
    tables = {(folder / name / "houses.csv").read_bytes() for name in ("two", "cluster of two", "cluster, one killed")}
    parts = sum(path.stat().st_size for path in (folder / "two" / "parts").iterdir())
    console.print(f"the three tables are {'the same' if len(tables) == 1 else 'NOT THE SAME'}")
    console.print(f"most memory of a process {most_mb:.0f} MB; parts {parts / count:.0f} bytes a house")
    hours = MILLION * spent / count / 3600
    console.print(
        f"a million like these: {hours:.1f} hours of one core, {60 * hours / CORES:.0f} minutes of {CORES}; "
        f"{parts / count * MILLION / 1e9:.1f} GB of parts"
    )


if __name__ == "__main__":
    main()
