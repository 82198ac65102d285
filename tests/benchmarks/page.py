"""Speed of the page as ratios to importing the four heaviest libraries: `python tests/benchmarks/page.py [--browser]`.

An edit of the homestead through the page's house and its worker: when the shape can be drawn, the measures and the order
are there, and how long the page's own loop stood still at most meanwhile. Processor time is the worker's (Linux), wall
time is what people wait on a machine that does nothing else; compare ratios of one run. I is the least of five fresh
processes. `--browser` asks the same of a page in Debian's Chromium: from the key pressed to what is seen.
"""

from __future__ import annotations

import asyncio
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from statistics import median

from rich.console import Console
from rich.table import Table

from takeoff.model.job_edits import Edit
from takeoff.web.house import House, News

JOB = Path(__file__).resolve().parents[2] / "geometry_samples" / "homestead" / "job.yaml"
HEAVY = "import time; t = time.{clock}(); import numpy, shapely, ezdxf, openpyxl; print(time.{clock}() - t)"
AIMS = {News.SHAPED: 0.2, News.MEASURED: 0.6, News.ORDERED: 4.0}
SAID = {News.SHAPED: "shape drawn", News.MEASURED: "measures", News.ORDERED: "order"}
EDITS = 12


def imports_s(clock: str) -> float:
    """I by a clock of `time`: the least of five fresh processes [s]."""
    command = [sys.executable, "-c", HEAVY.format(clock=clock)]
    return min(float(subprocess.run(command, check=True, capture_output=True, text=True).stdout) for _ in range(5))


def worked_s(pid: int) -> float:
    """Processor time that a process has had for its main thread [s]; 0 where the system does not say."""
    told = Path(f"/proc/{pid}/schedstat")
    return float(told.read_text().split()[0]) / 1e9 if told.exists() else 0.0


class Gaps:
    """How long the loop stood still at most: by the wall, and working itself."""

    def __init__(self) -> None:
        self.wall_s = self.worked_s = 0.0

    async def watch(self) -> None:
        """Until it is cancelled."""
        wall, worked = time.perf_counter(), time.thread_time()
        while True:
            await asyncio.sleep(0.002)
            now, mine = time.perf_counter(), time.thread_time()
            self.wall_s, self.worked_s = max(self.wall_s, now - wall), max(self.worked_s, mine - worked)
            wall, worked = now, mine


async def edited(house: House, edit: Edit) -> dict[News, tuple[float, float]]:
    """Wall and processor time from an edit to each of its news [s]."""
    loop = asyncio.get_running_loop()
    done: asyncio.Future[None] = loop.create_future()
    pid = house.worker._process.pid or 0
    wall, worked = time.perf_counter(), worked_s(pid)
    found: dict[News, tuple[float, float]] = {}

    def hear(news: News) -> None:
        if news in AIMS and house.current(news):
            found[news] = (time.perf_counter() - wall, worked_s(pid) - worked)
        if news in (News.ORDERED, News.REFUSED) and house.current(news) and not done.done():
            done.set_result(None)

    deaf = house.hear(hear)
    house.edit(edit, said="benchmark")
    await done
    deaf()
    return found


async def edits() -> tuple[list[dict[News, tuple[float, float]]], Gaps]:
    """A pitch changed again and again, and an opening."""
    random, gaps = Random(1), Gaps()
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "job.yaml"
        shutil.copy(JOB, job)
        house = House(job, "")
        house.start(asyncio.get_running_loop())
        await edited(house, Edit(("revision",), "Z"))
        watch = asyncio.ensure_future(gaps.watch())
        runs = [
            await edited(house, Edit(("roofs", 0, "pitch_deg"), round(random.uniform(15, 40), 1))) for _ in range(EDITS)
        ]
        watch.cancel()
        await asyncio.to_thread(house.close)
    return runs, gaps


def house_table() -> Table:
    """An edit through the house and its worker."""
    by_wall, by_processor = imports_s("perf_counter"), imports_s("process_time")
    runs, gaps = asyncio.run(edits())
    title = f"page, homestead, one pitch changed: I = {by_processor:.3f} s of a processor, {by_wall:.3f} s by the wall"
    table = Table("medians", "processor s", "I", "aim, I", "wall s", "I", title=title)
    for news, aim in AIMS.items():
        wall, worked = (median(run[news][k] for run in runs) for k in (0, 1))
        table.add_row(
            SAID[news],
            f"{worked:.3f}",
            f"{worked / by_processor:.2f}",
            f"{aim}",
            f"{wall:.3f}",
            f"{wall / by_wall:.2f}",
        )
    table.add_row("the loop stood still at most", f"{gaps.worked_s:.3f}", "", "", f"{gaps.wall_s:.3f}", "")
    return table


@contextmanager
def served() -> Iterator[str]:
    """The address of a page with the homestead."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(JOB, Path(folder) / "job.yaml")
        command = [sys.executable, "-u", "-m", "takeoff", "page", folder, "--no-browser"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None
            try:
                yield process.stdout.readline().strip()
            finally:
                process.terminate()


SEEN = """(key) => new Promise((done) => {
  const [stamp, figures] = [document.querySelector('.stamp'), document.querySelector('.figures')];
  const start = performance.now(), found = {};
  let last = start, still = 0;
  const look = () => {
    const now = performance.now();
    still = Math.max(still, now - last); last = now;
    if (!found.told && figures.innerText === '') found.told = now - start;
    if (found.told && !found.measures && figures.innerText !== '') found.measures = now - start;
    if (found.told && !stamp.innerText.startsWith('working')) { found.order = now - start; found.still = still; done(found); }
    else setTimeout(look, 4);
  };
  window.dispatchEvent(new KeyboardEvent('keydown', {key, ctrlKey: true}));
  look();
})"""


def browser_table() -> Table:
    """From the key pressed to what is seen, in Chromium."""
    from playwright.sync_api import sync_playwright

    by_wall = imports_s("perf_counter")
    with served() as address, sync_playwright() as started:
        browser = started.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 720})
        page.goto(address)
        page.get_by_text("HOLD").first.wait_for(timeout=120_000)
        page.get_by_role("tab", name="Job file").click()
        box = page.locator(".text-box textarea")
        text = box.input_value()
        for pitch in range(15, 15 + EDITS):
            box.fill(text.replace("pitch_deg: 25", f"pitch_deg: {pitch}.5"))
            box.blur()
            page.get_by_text("working").first.wait_for(timeout=120_000)
            page.get_by_text("HOLD").first.wait_for(timeout=120_000)
        runs = [page.evaluate(SEEN, key) for key in ["z"] * (EDITS - 2) + ["y"] * (EDITS - 2)]
        browser.close()
    table = Table(
        "medians of steps back and forth", "wall ms", "I", title=f"page in Chromium: I = {by_wall:.3f} s by the wall"
    )
    for name in ("told", "measures", "order", "still"):
        found = [run[name] for run in runs if name in run]
        middle = (max if name == "still" else median)(found) if found else float("nan")
        table.add_row(
            {"still": "the tab stood still at most"}.get(name, name), f"{middle:.0f}", f"{middle / 1000 / by_wall:.2f}"
        )
    return table


if __name__ == "__main__":
    Console(width=120).print(browser_table() if "--browser" in sys.argv[1:] else house_table())
