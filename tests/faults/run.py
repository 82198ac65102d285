"""Plant faults one at a time and see whether the tests turn red: python tests/faults/run.py --seed S --count N

Faults are drawn by seed from the syntax tree, in proportion to the lines of each room, and planted in a copy of the
repository. First the tests that run the fault's function (those of files that name its module first, then the quickest,
for about --budget seconds); what these do not see is shown to the record of the samples (tests/golden, for about
--record seconds), to whatever else runs the function (for about --rest seconds), to the chosen tests and the record anew
from disk, to the type checker, which stands beside the tests in every run of .ci/run, and to the whole ordinary suite
(--quick leaves that out).
A test that fails, breaks or does not come to an end sees the fault, and so does an error of types; how many were seen
by the types alone, and how many by the record alone, is said apart.
While tests are written, --only shows the faults of a room or module (--room measure/tank/days.py) to a few files of
tests, some tenths of a second each: which lines these leave unseen.
Which test runs which function is found once, by a run of the suite, and kept in the temporary folder until the package
or the tests change; so are the outcomes, and a run that was stopped goes on where it was. While tests are being written
--map takes one of an earlier tree and --also names the new tests; such outcomes are not kept.

Prints a line a fault, a table by room, and at the end "N of M seen". Needs some 10 s a fault, and the time of the whole
suite for each that the chosen tests do not see.
"""

from __future__ import annotations

import argparse
import contextlib
import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from importlib.util import find_spec
from math import ceil
from pathlib import Path

from draw import Drawn, draw, modules
from forked import NOT_HERE, SEEN, UNSEEN, Loaded
from known import ROOT, Rows, TestMap, read_rows
from outcomes import BY_RECORD, BY_TYPES, Outcome, before, keep, line_of, table
from touched import numbered

PARTS = ("takeoff", "tests", "templates", "geometry_samples", "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml")
_MEMORY = 8 * 1024**3  # a fault may ask for endless memory
_PYTEST = (sys.executable, "-m", "pytest", "-q", "-x", "--no-header", "-p", "no:cacheprovider", "--tb=line", "-rfE")
_EVERY = 10**6


class BrokenSuiteError(Exception):
    """The tests themselves cannot run, so that none of them can see a fault."""


def fingerprint() -> str:
    """Of the package and its tests, those of the faults themselves left out."""
    digest = hashlib.sha256()
    for folder in ("takeoff", "tests"):
        for path in sorted((ROOT / folder).rglob("*")):
            place = path.relative_to(ROOT)  # the folder that the repository lies in may have any name
            if path.is_file() and not {"__pycache__", "faults"} & set(place.parts):
                digest.update(place.as_posix().encode() + path.read_bytes())
    return digest.hexdigest()[:16]


def copied(folder: Path) -> Path:
    """A copy of the repository's own parts."""
    unwanted = shutil.ignore_patterns("__pycache__", ".hypothesis", "*.pyc")
    for part in PARTS:
        if (ROOT / part).is_dir():
            shutil.copytree(ROOT / part, folder / part, ignore=unwanted)
        else:
            shutil.copy(ROOT / part, folder / part)
    return folder


def run_tests(folder: Path, arguments: Iterable[str], limit_s: float, more: Mapping[str, str]) -> tuple[int, str]:
    """(exit code, what was printed) of the tests in a copy; -1 where they did not come to an end.

    `limit_s` is time of the processor, so that a busy machine is not taken for a fault; by the clock it is ten times
    that."""
    env = {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1", **more}
    with subprocess.Popen(
        [*_PYTEST, *arguments], cwd=folder, env=env, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        start_new_session=True, preexec_fn=partial(_bounded, limit_s),
    ) as process:  # fmt: skip
        try:
            said, _ = process.communicate(timeout=10.0 * limit_s)
        except subprocess.TimeoutExpired:
            _end(process)
            return -1, ""
        except BaseException:  # stopped by hand: the tests are a session of their own and would go on
            _end(process)
            raise
    return (-1 if process.returncode == -signal.SIGXCPU else process.returncode), said


def _end(process: subprocess.Popen[str]) -> None:
    """End the tests that were started here, with whatever they started."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.communicate()


def _bounded(limit_s: float) -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_CPU, (ceil(limit_s), ceil(limit_s) + 10))
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))


def test_map(kept: Path, jobs: int) -> TestMap:
    """Read where it is kept, else found by a run of the suite on the numbered copy."""
    if not kept.exists():
        with tempfile.TemporaryDirectory() as place:
            kept.write_text(json.dumps(_found_map(copied(Path(place)), jobs)), encoding="utf-8")
    rows = json.loads(kept.read_text(encoding="utf-8"))
    found = TestMap(dict(rows["seconds"]))
    for module, line, tests in rows["functions"]:
        found.by_function[module, line] = set(tests)
        found.by_function.setdefault((module, 0), set()).update(tests)
    return found


def _found_map(folder: Path, jobs: int) -> Rows:
    places: dict[int, tuple[str, int]] = {}
    for module, text in modules(folder / "takeoff").items():
        new, lines = numbered(text, len(places))
        (folder / "takeoff" / module).write_text(new, encoding="utf-8")
        places |= {number: (module, line) for number, line in lines.items()}
    for plugin in ("touched.py", "touched_by.py"):
        shutil.copy(Path(__file__).with_name(plugin), folder / plugin)
    (folder / "rows").mkdir()
    print("finding out which test runs which function: one run of the suite", flush=True)
    # not -x: what reads the package's text fails on the numbered copy, and matters not
    apart = [f"--ignore=tests/{room}" for room in ("crosschecks", "faults")]  # other programs, no package
    arguments = ["-p", "touched_by", "-n", str(jobs), "--maxfail=1000", *apart, "tests"]
    code, said = run_tests(folder, arguments, 7200.0, {"TAKEOFF_TOUCHED": str(folder / "rows")})
    found = read_rows((folder / "rows").glob("*.jsonl"), places)
    refuse_broken(code, said, found)
    print(f"{len(found['seconds'])} tests judge; {len(found['red'])} that fail without a fault do not", flush=True)
    return found


def refuse_broken(code: int, said: str, found: Rows) -> None:
    """Raise BrokenSuiteError unless the run came to its end with at least nine in ten of its tests green: a fault that no
    test judges would be printed as unseen."""
    green, red = len(found["seconds"]), len(found["red"])
    if code in (0, 1) and green >= 9 * red and green:
        return
    how = "did not come to an end" if code == -1 else f"ended with exit code {code}"
    words = f"the tests cannot judge: without a fault their run {how}, {green} passed and {red} failed"
    raise BrokenSuiteError("\n".join([words, *found["red"][:10], *said.splitlines()[-10:]]))


@dataclass(frozen=True, slots=True)
class Judges:
    """What a fault is shown to: seconds of chosen tests, of the record of the samples and of whatever else runs it,
    processes for the whole suite (0: left out), tests that are run first whatever they call, the process that has the
    tests loaded, and whether the types judge, and tests from disk what can be planted in that process."""

    known: TestMap
    budget_s: float
    record_s: float
    rest_s: float
    jobs: int
    also: tuple[str, ...] = ()
    loaded: Loaded | None = None
    types: bool = True


def judged(folder: Path, drawn: Drawn, judges: Judges) -> Outcome:
    """Plant a fault in the copy, show it to each judge in turn until one sees it, and put the module back as it was."""
    target = folder / "takeoff" / drawn.module
    sound = target.read_text(encoding="utf-8")
    began = time.perf_counter()
    try:
        planted = drawn.fault.planted(sound)
        by, there = _at_once(drawn, planted, judges)
        target.write_text(planted, encoding="utf-8")
        if by or (there and not judges.types):
            return Outcome(bool(by), by or "nothing", time.perf_counter() - began)
        # what a test holds since the suite was loaded has no fault there: all the rest is shown from disk as well
        seen, by = _judged(folder, drawn, judges, (target, sound))
        return Outcome(seen, by, time.perf_counter() - began)
    finally:
        target.write_text(sound, encoding="utf-8")


def _at_once(drawn: Drawn, planted: str, judges: Judges) -> tuple[str, bool]:
    """What sees a fault where the tests are loaded already ("": nothing does), and whether it could be planted there."""
    known = judges.known
    chosen = [*judges.also, *known.chosen(drawn, judges.budget_s)]
    record = known.record(drawn, judges.record_s)
    rest = known.rest(drawn, [*chosen, *record], judges.rest_s)
    words: list[str] = []
    for tests, how in ((chosen, ""), (record, f"{BY_RECORD}: "), (rest, "")):
        usual = sum(known.seconds.get(test, 10.0) for test in tests)
        answer = judges.loaded.shown(drawn.module, planted, tests, usual) if judges.loaded else None
        words.append(answer["word"] if answer else NOT_HERE)
        if answer and answer["word"] == SEEN:
            return how + answer["by"], True
    return "", UNSEEN in words


def _judged(folder: Path, drawn: Drawn, judges: Judges, planted: tuple[Path, str]) -> tuple[bool, str]:
    known = judges.known
    chosen = known.chosen(drawn, judges.budget_s)
    code, said = _shown(folder, [*judges.also, *(test for test in chosen if test not in judges.also)], known)
    if code:
        return True, _seen_by(code, said)
    if judges.types and _wrong_types(folder, drawn.module):
        return True, BY_TYPES
    record = known.record(drawn, judges.record_s)
    code, said = _shown(folder, record, known)
    if code:
        return True, f"{BY_RECORD}: {_seen_by(code, said)}"
    if not judges.jobs:
        return False, "nothing" if chosen or record else "no test runs it"
    code, said = run_tests(folder, ["-n", str(judges.jobs), "tests"], 300.0 + 3.0 * sum(known.seconds.values()), {})
    seen = code == -1 or (code != 0 and _again(folder, said, *planted))
    return seen, _seen_by(code, said) + ", by the whole suite" + ("" if seen or not code else ", but not again")


def _shown(folder: Path, tests: Sequence[str], known: TestMap) -> tuple[int, str]:
    usual = sum(known.seconds.get(test, 10.0) for test in tests)
    # a test's own seconds hold no fixture that was set up before it: an end that comes late is no fault seen
    return run_tests(folder, tests, 300.0 + 5.0 * usual, {}) if tests else (0, "")


def _wrong_types(folder: Path, module: str) -> bool:
    """Whether the type checker sees what is planted in a module of the copy; False where it is not installed."""
    if find_spec("mypy") is None:
        return False
    kept = Path(tempfile.gettempdir()) / "takeoff-faults-types"  # what a run found out serves the next
    command = [sys.executable, "-m", "mypy", "--cache-dir", str(kept), f"takeoff/{module}"]
    return subprocess.run(command, cwd=folder, capture_output=True, check=False).returncode == 1


def _again(folder: Path, said: str, target: Path, sound: str) -> bool:
    """Whether what failed in a run of the whole suite fails once more by itself, and passes without the fault: a test
    that a busy machine is too slow for sees nothing."""
    failed = [line.split()[1] for line in said.splitlines() if line.startswith(("FAILED tests", "ERROR tests"))]
    if not failed:
        return True
    code, _ = run_tests(folder, failed, 600.0, {})
    target.write_text(sound, encoding="utf-8")
    return code != 0 and run_tests(folder, failed, 600.0, {})[0] == 0


def _seen_by(code: int, said: str) -> str:
    if code == 0:
        return "nothing"
    if code == -1:
        return "no end"
    lines = [line for line in said.splitlines() if line.startswith(("FAILED", "ERROR", "/", "tests/"))]
    return lines[0][:100] if lines else f"exit code {code}"


def _asked() -> argparse.Namespace:
    ask = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    ask.add_argument("--seed", type=int, required=True)
    ask.add_argument("--count", type=int, default=0, help="over the whole package (0: every one)")
    ask.add_argument("--jobs", type=int, default=2, help="processes for a run of the whole suite (2)")
    ask.add_argument("--budget", type=float, default=20.0, help="seconds of chosen tests for each fault (20)")
    ask.add_argument("--record", type=float, default=60.0, help="seconds of the record of the samples (60)")
    ask.add_argument("--part", default="1/1", help="one part of several, for as many runs side by side: 2/3")
    ask.add_argument("--map", type=Path, help="which test runs which function, as an earlier tree was found to have it")
    ask.add_argument("--also", nargs="*", default=[], metavar="TEST", help="tests shown every fault first")
    ask.add_argument("--quick", action="store_true", help="leave out the whole suite: not chosen, not seen")
    ask.add_argument("--rest", type=float, default=120.0, help="seconds of whatever else runs it (120)")
    ask.add_argument("--room", default="", help="only the faults drawn in this room or module (measure/tank/days.py)")
    ask.add_argument("--only", nargs="+", default=[], metavar="FILE", help="load and show these tests, and no others")
    return ask.parse_args()


def main() -> int:
    """Draw, plant, judge, print. Exit code 0 whatever is seen (the last line tells), 1 where the tests cannot run."""
    given = _asked()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    every, passed = draw(modules(ROOT / "takeoff"), given.seed, given.count or _EVERY)
    part, parts = map(int, given.part.split("/"))
    wanted = [each for each in every if given.room in ("", each.room) or each.module.startswith(given.room)]
    drawn = wanted[part - 1 :: parts]
    mark = fingerprint()
    kept = Path(tempfile.gettempdir())
    try:
        known = TestMap() if given.only else test_map(given.map or kept / f"takeoff-faults-{mark}.json", given.jobs)
    except BrokenSuiteError as broken:
        print(broken, file=sys.stderr)
        return 1
    log = None if given.map or given.also or given.only else kept / f"takeoff-faults-{mark}.jsonl"
    outcomes: list[Outcome] = []
    with tempfile.TemporaryDirectory() as place, contextlib.ExitStack() as until:
        folder = copied(Path(place))
        loaded = Loaded(folder, given.only)
        until.callback(loaded.close)
        whole = 0 if given.quick or given.only else given.jobs
        also = (*given.also, *given.only)
        judges = Judges(known, given.budget, given.record, given.rest, whole, also, loaded, not given.only)
        for each in drawn:
            outcome = before(log, each, given.quick) or judged(folder, each, judges)
            outcomes.append(outcome)
            keep(log, each, outcome)
            print(line_of(each, outcome), flush=True)
    print(*table(drawn, outcomes, passed), sep="\n")
    print(f"{sum(outcome.by == BY_TYPES for outcome in outcomes)} of them by the types alone")
    print(f"{sum(outcome.by.startswith(BY_RECORD) for outcome in outcomes)} of them by the record of the samples alone")
    print(f"{sum(outcome.seen for outcome in outcomes)} of {len(outcomes)} seen")
    return 0


if __name__ == "__main__":
    sys.exit(main())
