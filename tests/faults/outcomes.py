"""What became of each fault: kept while a run goes on, and printed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from draw import Drawn

BY_TYPES = "the types alone"
BY_RECORD = "the record of the samples alone"


@dataclass(frozen=True, slots=True)
class Outcome:
    """Whether a fault was seen, by which test or how, and how long that took [s]."""

    seen: bool
    by: str
    seconds: float


def table(drawn: Sequence[Drawn], outcomes: Sequence[Outcome], passed: Mapping[str, int]) -> list[str]:
    """By room: faults, seen, share, and drawn ones passed over as equivalent."""
    rows = [f"{'room':22}{'faults':>8}{'seen':>8}{'share':>9}{'equivalent':>12}"]
    for room in sorted({each.room for each in drawn}):
        own = [outcome for each, outcome in zip(drawn, outcomes, strict=True) if each.room == room]
        seen = sum(outcome.seen for outcome in own)
        rows.append(f"{room:22}{len(own):8}{seen:8}{100.0 * seen / len(own):8.0f}%{passed.get(room, 0):12}")
    return rows


def keep(log: Path | None, drawn: Drawn, outcome: Outcome) -> None:
    if log:
        with log.open("a", encoding="utf-8") as file:
            file.write(json.dumps([*drawn.key, outcome.seen, outcome.by, outcome.seconds]) + "\n")


def before(log: Path | None, drawn: Drawn, quick: bool) -> Outcome | None:
    """What a run that was stopped found already; what a quick one did not see is looked at again."""
    found = None
    for line in log.read_text(encoding="utf-8").splitlines() if log and log.exists() else ():
        *key, seen, by, seconds = json.loads(line)
        if tuple(key) == drawn.key and (seen or quick or "whole suite" in by):
            found = Outcome(seen, by, seconds)
    return found


def line_of(drawn: Drawn, outcome: Outcome) -> str:
    fault = drawn.fault
    word = "seen  " if outcome.seen else "UNSEEN"
    what = f"{fault.before}  ->  {fault.after}".replace("\n", " ")
    place = f"takeoff/{drawn.module}:{fault.line} {fault.function}"
    return f"{word} {outcome.seconds:5.0f} s  {place}: {fault.kind}: {what[:150]}  ({outcome.by})"
