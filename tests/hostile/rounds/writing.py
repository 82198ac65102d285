"""Runs that are killed, raced and stopped at every file operation. After each the folder is one whole set by its
manifest or has none, nothing that people wrote is gone, and the next run makes it whole."""

from __future__ import annotations

import atexit
import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import warnings
from contextlib import suppress
from functools import cache
from pathlib import Path

from rounds.outcome import Outcome
from takeoff.model.order_folder import Written

JOB = """\
job: House {long}
roofs:
  - wall_line: [[0, 0], [{long}, 0], [{long}, 6000], [0, 6000]]
    fascia_height_mm: 2450
    pitch_deg: 25
    edges: {edges}
"""
TAPED = b"a morning on the roof\r\n"
MINE = b"a file of somebody's own"
WHOLE = 0.03  # share of kills and races of whole programs; the rest are of processes that only write a set
# run as a program: leaves at its k-th change of a folder, as if the power were cut
_STOPPER = """\
import os, sys
left = int(sys.argv.pop(1))
root = sys.argv[-1]
def hook(event, args):
    global left
    changes = event in ("os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.truncate", "os.link")
    if event == "open" and isinstance(args[1], str) and args[1][0] in "wxa":
        changes = True
    elif event == "open" and isinstance(args[2], int) and args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
        changes = True
    if changes and str(args[0]).startswith(root):
        left -= 1
        if left == 0:
            os._exit(137)
sys.addaudithook(hook)
from takeoff.cli import main
main()
"""


def jobs(folder: Path) -> list[Path]:
    """Two houses whose sets have some names in common and some not."""
    made = []
    for long, edges in ((9000, "{}"), (14_000, "{2: {kind: gable}}")):
        path = folder / f"house_{long}.yaml"
        path.write_text(JOB.format(long=long, edges=edges), encoding="utf-8")
        made.append(path)
    return made


def command(job: Path, out: Path, stop_at: int = 0) -> list[str]:
    start = [sys.executable, "-c", _STOPPER, str(stop_at)] if stop_at else [sys.executable, "-m", "takeoff"]
    return [*start, "run", str(job), "--out", str(out)]


def run(job: Path, out: Path, stop_at: int = 0) -> int:
    return subprocess.run(command(job, out, stop_at), capture_output=True, check=False).returncode


def state(out: Path) -> str:
    """What the folder is by its manifest: the job it holds whole; "" without a manifest; "mixed: ..." for a fault."""
    if not (out / "manifest.json").is_file():
        return ""
    manifest = json.loads((out / "manifest.json").read_text(encoding="utf-8"))
    for name, digest in manifest["files"].items():
        path = out / name
        if not path.is_file():
            return f"mixed: {name} is not there"
        data = path.read_bytes()
        if hashlib.sha256(data).hexdigest() != digest and data != TAPED:
            return f"mixed: {name} is another"
    ours = {path.name for path in out.iterdir() if path.suffix in (".dxf", ".svg", ".xlsx", ".csv", ".json", ".html")}
    stray = ours - set(manifest["files"]) - {"manifest.json"}
    return f"mixed: {sorted(stray)[0]} is of another set" if stray else manifest["job"]


def after(out: Path, job: Path, known: set[bytes]) -> str:
    """The folder after a kill, and after the next run: what is wrong, "" for nothing."""
    found = state(out) if out.exists() else ""
    if found.startswith("mixed"):
        return found
    for words in known:
        if not any(path.read_bytes() == words for path in out.rglob("*") if path.is_file()):
            return f"lost: {words.decode()}"
    code = run(job, out)
    if code != 0:
        return f"the next run left with {code}"
    found = state(out)
    if not found or found.startswith("mixed"):
        return f"after the next run: {found or 'no manifest'}"
    hidden = [path.name for path in out.iterdir() if path.name.startswith(".")]
    if hidden:
        return f"left over: {hidden[0]}"
    for words in known:
        if not any(path.read_bytes() == words for path in out.iterdir() if path.is_file()):
            return f"lost after the next run: {words.decode()}"
    return ""


@cache
def first_house() -> Path:
    """The first house's set, written once in this process."""
    folder = Path(tempfile.mkdtemp(prefix="hostile-first-"))
    atexit.register(shutil.rmtree, folder, True)
    if run(jobs(folder)[0], folder / "out") != 0:
        raise AssertionError("the house itself is not taken off")
    return folder / "out"


def every_step(folder: Path) -> list[str]:
    """A run stopped at each of its changes in turn: what is wrong, a line each; the last line says how many there are."""
    found = []
    step = 0
    while True:
        step += 1
        case_folder = folder / str(step)
        case_folder.mkdir()
        hit, wrong = stopped_at(case_folder, step)
        if wrong:
            found.append(f"step {step}: {wrong}")
        shutil.rmtree(case_folder)
        if not hit:
            return [*found, f"{step - 1} steps"]


def lived_in(folder: Path) -> tuple[list[Path], Path]:
    """A folder with the first house, a form that was filled in, and a file of somebody's own."""
    made, out = jobs(folder), folder / "out"
    shutil.copytree(first_house(), out)
    (out / "site_measure.csv").write_bytes(TAPED)
    (out / "mine.txt").write_bytes(MINE)
    return made, out


def stopped_at(folder: Path, stop_at: int) -> tuple[bool, str]:
    """A run stopped at its k-th change of the folder: whether there was one, and what is wrong."""
    made, out = lived_in(folder)
    code = run(made[1], out, stop_at)
    return code == 137, after(out, made[1], {TAPED, MINE})


@cache
def sets() -> tuple[tuple[dict[str, bytes], dict[str, str]], ...]:
    """Both houses' files with the facts of their manifests, made once and not written."""
    from takeoff import pipeline
    from takeoff.write import files

    found: list[tuple[dict[str, bytes], dict[str, str]]] = []
    real = files.write_set

    def kept(whole: dict[str, bytes], out: Path, facts: dict[str, str]) -> Written:
        found.append((whole, facts))
        return Written(out, ())

    files.write_set = kept  # type: ignore[assignment]
    try:
        with tempfile.TemporaryDirectory() as folder:
            for job in jobs(Path(folder)):
                files.write_all(pipeline.run_file(job), Path(folder) / "out")
    finally:
        files.write_set = real
    return tuple(found)


def start_writer(number: int, out: Path) -> int:
    """A process that writes the set of one of the houses and ends with the exit code of a run; its id."""
    from takeoff.basics.errors import TakeoffError
    from takeoff.write.atomic import write_set

    whole, facts = sets()[number]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of threads beside: the child writes files and ends
        process = os.fork()
    if process:
        return process
    code = 1
    try:
        write_set(whole, out, facts)
        code = 0
    except TakeoffError as err:
        code = int(err.exit_code)
    finally:
        os._exit(code)


def runs(process: int) -> bool:
    """Whether a process has not ended yet; it can still be asked for its exit code."""
    return os.waitid(os.P_PID, process, os.WEXITED | os.WNOHANG | os.WNOWAIT) is None


def ended(process: int) -> int:
    """The exit code of a process, once it has ended; minus the signal that killed it."""
    return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])


def written_again(out: Path, number: int) -> str:
    """The folder after a kill or a race, and after the next writing: what is wrong, "" for nothing."""
    found = state(out)
    if found.startswith("mixed"):
        return found
    code = ended(start_writer(number, out))
    found = state(out)
    names = {path.name for path in out.iterdir()}
    kept = [path.read_bytes() for path in out.iterdir() if path.is_file()]
    lost = [words for words in (TAPED, MINE) if words not in kept]
    if code or not found or found.startswith("mixed"):
        return f"the next writing left with {code}: {found or 'no manifest'}"
    return f"lost: {lost[0].decode()}" if lost else next((f"left over: {n}" for n in names if n.startswith(".")), "")


def lived_in_quickly(folder: Path) -> Path:
    """As `lived_in`, without a run of the whole program."""
    out = folder / "out"
    if ended(start_writer(0, out)):
        raise AssertionError("the first house's set is not written")
    (out / "site_measure.csv").write_bytes(TAPED)
    (out / "mine.txt").write_bytes(MINE)
    return out


def killed_writer(chance: random.Random, folder: Path) -> Outcome:
    """A process that writes the second house over the first, killed at some moment."""
    out = lived_in_quickly(folder)
    process = start_writer(1, out)
    until = time.monotonic() + 20
    while not (out / ".takeoff-work").exists() and time.monotonic() < until and runs(process):
        pass
    time.sleep(chance.random() ** 2 * 0.15)
    with suppress(ProcessLookupError):
        os.kill(process, signal.SIGKILL)
    hit = ended(process) == -signal.SIGKILL
    return Outcome(0, f"writer killed: {'while it wrote' if hit else 'too late'}", written_again(out, 1))


def raced_writers(folder: Path) -> Outcome:
    """Two processes that write two houses into one folder at once."""
    out = lived_in_quickly(folder)
    codes = {ended(process) for process in [start_writer(number, out) for number in (1, 0)]}
    found = state(out)
    wrong = f"exits {codes}" if not codes <= {0, 2} else f"race: {found or 'no manifest'}"
    whole = codes <= {0, 2} and found and not found.startswith("mixed")
    return Outcome(
        0, "writers raced", "" if whole and not (again := written_again(out, 0)) else again if whole else wrong
    )


def case(chance: random.Random, folder: Path) -> Outcome:
    """One kill at some moment (three in four), one race, or now and then one stop at some step of a whole run."""
    how = chance.choices(("kill", "race", "stop"), (30, 10, 1))[0]
    if how == "stop":
        step = chance.randrange(1, 120)
        hit, wrong = stopped_at(folder, step)
        return Outcome(0, f"stopped at a step: {'hit' if hit else 'past the end'}", wrong and f"step {step}: {wrong}")
    if hasattr(os, "fork") and chance.random() > WHOLE:
        return killed_writer(chance, folder) if how == "kill" else raced_writers(folder)
    made, out = lived_in(folder)
    if how == "kill":
        running = subprocess.Popen(command(made[1], out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        until = time.monotonic() + 60
        while not (out / ".takeoff-work").exists() and running.poll() is None and time.monotonic() < until:
            time.sleep(0.0005)
        time.sleep(chance.random() ** 2 * 0.3)
        hit = running.poll() is None
        os.kill(running.pid, signal.SIGKILL)
        running.wait()
        return Outcome(0, f"killed: {'while it wrote' if hit else 'too late'}", after(out, made[1], {TAPED, MINE}))
    running_both = [
        subprocess.Popen(command(job, out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) for job in made
    ]
    codes = {process.wait() for process in running_both}
    found = state(out)
    wrong = (
        f"exits {codes}" if not codes <= {0, 2} else "" if found and not found.startswith("mixed") else f"race: {found}"
    )
    return Outcome(0, "raced", wrong or after(out, made[0], {TAPED, MINE}))
