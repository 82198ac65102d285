"""Rounds against the program, counted: `python tests/hostile/run.py [KIND ...] --minutes N --seed S`.

Kinds: jobs, houses, roofs, lists, office, rain, meshes, models, drawings, writing; all without one. Every case is made from its kind, the seed and its
number alone, so it can be made again (`--from NUMBER --cases 1`).
`--every-step` stops a run at each of its file operations in turn. Prints how many left with which exit and why, the
slowest and the largest; each finding is written as a folder of small files into --found (default: tests/hostile/found,
whose cases run in the ordinary tests). A round that is stopped (SIGINT, SIGTERM) prints what it has counted so far, and
`--counts FILE` writes the same there every minute.
"""

from __future__ import annotations

import argparse
import importlib
import json
import multiprocessing
import random
import resource
import signal
import sys
import tempfile
import time
from collections import Counter
from multiprocessing.connection import Connection
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from rounds.outcome import MOST_SECONDS, Outcome  # noqa: E402

KINDS = ("jobs", "houses", "roofs", "lists", "office", "rain", "meshes", "models", "drawings", "maps", "writing")
MOST_MEGABYTES = 500.0  # more than before the case
HANGS_AFTER = 180.0  # seconds by the clock
TELLS_EVERY = 60.0  # seconds by the clock
_ADDRESS_SPACE = 4 << 30


def one(kind: str, seed: int, number: int) -> Outcome:
    """One case, with what it cost."""
    chance = random.Random(f"{kind} {seed} {number}")
    base = _peak(reset=True)
    begin = time.process_time()
    with tempfile.TemporaryDirectory(prefix="hostile-") as folder:
        outcome = importlib.import_module(f"rounds.{kind}").case(chance, Path(folder))
    outcome.seconds = time.process_time() - begin
    outcome.megabytes = _peak() - base
    if not outcome.wrong and outcome.seconds > MOST_SECONDS:
        outcome.wrong = f"took {outcome.seconds:.1f} s"
    if not outcome.wrong and outcome.megabytes > MOST_MEGABYTES:
        outcome.wrong = f"took {outcome.megabytes:.0f} MB"
    return outcome


def _peak(reset: bool = False) -> float:
    """The most memory held [MB], since the last reset where the system has one."""
    try:
        if reset:
            Path("/proc/self/clear_refs").write_text("5")
        status = Path("/proc/self/status").read_text()
        return int(status.split("VmHWM:")[1].split()[0]) / 1024.0
    except (OSError, IndexError):
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def work(kind: str, seed: int, first: int, step: int, pipe: Connection) -> None:
    """A worker: case after case, each told before and after; whoever stops the round stops its workers."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    resource.setrlimit(resource.RLIMIT_AS, (_ADDRESS_SPACE, _ADDRESS_SPACE))
    number = first
    while True:
        pipe.send((number, None))
        pipe.send((number, one(kind, seed, number)))
        number += step


class Round:
    """One kind for some time: workers watched, outcomes counted."""

    def __init__(self, kind: str, seed: int, found: Path, told: Path | None) -> None:
        self.kind, self.seed, self.found, self.told = kind, seed, found, told
        self.counts: Counter[tuple[int, str]] = Counter()
        self.findings: Counter[str] = Counter()
        self.cases = 0
        self.slowest = self.largest = (0.0, 0)
        self.seconds = 0.0
        self.stopped = False

    def stop(self, *_signal: object) -> None:
        """As if the time were over: what is counted so far is told."""
        self.stopped = True

    def run(self, minutes: float, workers: int, first: int, cases: int) -> None:
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self.stop)
        until, tell_at = time.monotonic() + 60.0 * minutes, time.monotonic() + TELLS_EVERY
        hands = [_Hand(self.kind, self.seed, first + k, workers) for k in range(workers)]
        try:
            while not self.stopped and time.monotonic() < until and (not cases or self.cases < cases):
                if self.told and time.monotonic() > tell_at:
                    self.told.write_text("\n".join(self.lines()) + "\n", encoding="utf-8")
                    tell_at += TELLS_EVERY
                for hand in hands:
                    told = hand.look()
                    if told is not None:
                        self.count(*told)
        finally:
            for hand in hands:
                hand.stop()

    def count(self, number: int, outcome: Outcome) -> None:
        self.cases += 1
        self.seconds += outcome.seconds
        self.counts[outcome.exit_code, outcome.cause] += 1
        self.slowest = max(self.slowest, (outcome.seconds, number))
        self.largest = max(self.largest, (outcome.megabytes, number))
        if outcome.wrong:
            self.findings[f"{outcome.cause}: {outcome.wrong}"[:160]] += 1
            self.keep(number, outcome)

    def keep(self, number: int, outcome: Outcome) -> None:
        """The finding as a folder of small files: what it was, and what shows it again."""
        folder = self.found / f"{self.kind}_{self.seed}_{number}"
        folder.mkdir(parents=True, exist_ok=True)
        facts = {"kind": self.kind, "seed": self.seed, "number": number, "wrong": outcome.wrong}
        (folder / "finding.json").write_text(json.dumps(facts, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        for name, data in outcome.evidence.items():
            (folder / name).write_bytes(data)

    def lines(self) -> list[str]:
        """What was counted, in lines of words."""
        found = [
            f"{self.kind}, seed {self.seed}: {self.cases:,} cases, {sum(self.findings.values())} findings, {self.seconds:.0f} s of a processor"
        ]
        by_exit: Counter[int] = Counter()
        for (code, _), count in self.counts.items():
            by_exit[code] += count
        for code, count in sorted(by_exit.items()):
            found.append(f"  exit {code}: {count:,}")
            causes = [(n, cause) for (c, cause), n in self.counts.items() if c == code]
            found += [f"    {n:7,}  {cause}" for n, cause in sorted(causes, reverse=True)[:8]]
        slowest, largest = self.slowest, self.largest
        found.append(
            f"  slowest {slowest[0]:.2f} s (case {slowest[1]}), largest {largest[0]:.0f} MB (case {largest[1]})"
        )
        return found + [f"  FINDING {count} x {words}" for words, count in self.findings.most_common(12)]


class _Hand:
    """A worker process, started anew when a case kills or hangs it."""

    def __init__(self, kind: str, seed: int, first: int, step: int) -> None:
        self.kind, self.seed, self.step, self.number = kind, seed, step, first
        self.start(first)

    def start(self, first: int) -> None:
        context = multiprocessing.get_context("spawn")
        self.pipe, other = context.Pipe()
        self.process = context.Process(
            target=work, args=(self.kind, self.seed, first, self.step, other), daemon=self.kind != "writing"
        )
        self.process.start()
        other.close()
        self.since = time.monotonic()

    def look(self) -> tuple[int, Outcome] | None:
        try:
            if self.pipe.poll(0.05):
                self.number, outcome = self.pipe.recv()
                self.since = time.monotonic()
                return None if outcome is None else (self.number, outcome)
        except EOFError:
            return self.lost("the process died")
        if time.monotonic() - self.since > HANGS_AFTER:
            return self.lost(f"hung for {HANGS_AFTER:.0f} s")
        return None

    def lost(self, why: str) -> tuple[int, Outcome]:
        number = self.number
        self.stop()
        self.number += self.step
        self.start(self.number)
        return number, Outcome(1, why, why)

    def stop(self) -> None:
        self.process.kill()
        self.process.join()
        self.pipe.close()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("kinds", nargs="*", choices=[*KINDS, []], metavar="KIND")
    parser.add_argument("--minutes", type=float, default=1.0, help="for each kind")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--cases", type=int, default=0, help="at most so many cases of each kind")
    parser.add_argument("--from", type=int, default=0, dest="first", help="number of the first case")
    parser.add_argument("--found", type=Path, default=HERE / "found")
    parser.add_argument("--counts", type=Path, help="written anew every minute")
    parser.add_argument("--every-step", action="store_true", help="writing: a run stopped at each of its steps in turn")
    given = parser.parse_args()
    bad = 0
    if given.every_step:
        from rounds.writing import every_step

        with tempfile.TemporaryDirectory(prefix="hostile-") as folder:
            *wrong, count = every_step(Path(folder))
        print("\n".join([f"stopped at every change of the folder in turn: {count}, {len(wrong)} findings", *wrong]))
        sys.exit(1 if wrong else 0)
    for kind in given.kinds or KINDS:
        this = Round(kind, given.seed, given.found, given.counts)
        this.run(given.minutes, given.workers, given.first, given.cases)
        print("\n" + "\n".join(this.lines()))
        bad += sum(this.findings.values())
        if this.stopped:
            break
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
