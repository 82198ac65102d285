"""Which faults are planted: drawn by seed from every room of the package, in proportion to its lines."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml
from sites import Fault, faults_in

LISTED = Path(__file__).with_name("equivalent.yaml")
FRONT = "front"  # cli, pipeline, review and whatever else stands beside the rooms
SPLIT = ("measure",)  # rooms counted by the rooms in them


@dataclass(frozen=True, slots=True)
class Drawn:
    """A fault with the module it is planted in: its path inside the package, and its room."""

    room: str
    module: str
    fault: Fault

    @property
    def key(self) -> tuple[str, str, str, str, str, int]:
        """What the list of equivalent ones knows it by: a module that moves keeps its name."""
        fault = self.fault
        return (Path(self.module).stem, fault.function, fault.kind, fault.before, fault.after, fault.nth)


def room_of(module: str) -> str:
    """The room of a module by its path inside the package."""
    parts = Path(module).parts
    if len(parts) == 1:
        return FRONT
    if parts[0] in SPLIT and len(parts) > 2:
        return f"{parts[0]}/{parts[1]}"
    return parts[0]


def modules(package: Path) -> dict[str, str]:
    """The package's modules with their text, by path inside it."""
    return {
        path.relative_to(package).as_posix(): path.read_text(encoding="utf-8") for path in sorted(package.rglob("*.py"))
    }


def shares(lines: Mapping[str, int], count: int) -> dict[str, int]:
    """`count` split over rooms in proportion to their lines: whole parts first, the rest by the largest remainders."""
    total = sum(lines.values())
    exact = {room: count * size / total for room, size in lines.items()}
    found = {room: int(part) for room, part in exact.items()}
    left = count - sum(found.values())
    for room in sorted(exact, key=lambda room: (found[room] - exact[room], room))[:left]:
        found[room] += 1
    return found


def listed() -> tuple[dict[tuple[str, str, str, str, str, int], str], dict[str, str]]:
    """Faults that change nothing anybody could see, with the reason; and modules that no test can run, with theirs."""
    rows = yaml.safe_load(LISTED.read_text(encoding="utf-8"))
    same = {
        (row["module"], row["function"], row["kind"], row["before"], row["after"], row.get("nth", 1)): row["why"]
        for row in rows["equivalent"] or ()
    }
    return same, rows["not_run"] or {}


def draw(texts: Mapping[str, str], seed: int, count: int) -> tuple[list[Drawn], dict[str, int]]:
    """The faults of a seed, and how many drawn ones of each room were passed over since they are listed as equivalent.

    Each room's faults are put in an order by the seed, and taken in turn until the room has its share: to list one more
    as equivalent brings in one more and moves no other.
    """
    same, not_run = listed()
    used = {module: text for module, text in texts.items() if Path(module).stem not in not_run}
    lines: dict[str, int] = {}
    for module, text in used.items():
        lines[room_of(module)] = lines.get(room_of(module), 0) + len(text.splitlines())
    found: list[Drawn] = []
    passed: dict[str, int] = {}
    for room, share in shares(lines, count).items():
        every = [
            Drawn(room, module, fault)
            for module, text in used.items()
            if room_of(module) == room
            for fault in faults_in(text)
        ]
        random.Random(f"{seed} {room}").shuffle(every)
        taken, over = _first(every, share, same)
        found += taken
        passed[room] = over
    return found, passed


def _first(
    every: Sequence[Drawn], share: int, same: Mapping[tuple[str, str, str, str, str, int], str]
) -> tuple[list[Drawn], int]:
    taken: list[Drawn] = []
    over = 0
    for drawn in every:
        if len(taken) == share:
            break
        if drawn.key in same:
            over += 1
        else:
            taken.append(drawn)
    return taken, over
