"""Rows of an estate on the disk, a file a batch of houses: written line by line while it is worked on, whole when it
has its name. What is whole is never written again, whatever is killed, and whoever else works on it."""

from __future__ import annotations

import json
import os
import secrets
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import Any, TextIO

from takeoff.basics.records import record
from takeoff.estate.house_job import Like
from takeoff.estate.take_house import lost_house, take_house
from takeoff.model.estate import EstateHouse, HouseResult, HouseState, SummedLine

STOP = "stop"  # a file of this name among the parts: no further house is begun
_OPEN = ".open"
_MOST_TRIES = 2  # begun so often and never ended, a house is given up


@record
class Batch:
    """Houses that one process takes off together: some tenths of a second of work, so that handing them over costs
    little."""

    number: int
    folder: str
    houses: tuple[EstateHouse, ...]
    like: Like
    lines: bool
    seconds: float


@record
class BatchDone:
    """How many of a batch's houses have rows, by state; `whole` is False where it was told to stop."""

    number: int
    states: tuple[tuple[str, int], ...]
    whole: bool = True


def part_path(folder: Path, number: int) -> Path:
    """Where the rows of a batch lie once they are whole."""
    return folder / f"part-{number:07d}.jsonl"


def run_batch(batch: Batch) -> BatchDone:
    """Take off the houses of a batch that no earlier try has taken off, and give its part its name.

    Raises OSError where the disk is full or cannot be written to; rows that were written stay.
    """
    folder = Path(batch.folder)
    whole = part_path(folder, batch.number)
    if whole.exists():
        return _done(batch, read_rows(whole))
    rows, begun = _earlier(folder, whole)
    own = folder / f"{whole.name}.{secrets.token_hex(6)}{_OPEN}"
    with open(own, "x", encoding="utf-8") as stream:
        for house in batch.houses:
            row = rows.get(house.number)
            if row is None:
                if (folder / STOP).exists():
                    return BatchDone(batch.number, (), whole=False)
                row = rows[house.number] = _one(house, batch, begun[house.number], stream)
            stream.write(row_line(row))
            stream.flush()
    of_batch = [rows[house.number] for house in batch.houses]
    _finish(whole, of_batch)
    return _done(batch, of_batch)


def _done(batch: Batch, rows: Iterable[HouseResult]) -> BatchDone:
    return BatchDone(batch.number, tuple(sorted(Counter(row.state.value for row in rows).items())))


def _one(house: EstateHouse, batch: Batch, begun: int, stream: TextIO) -> HouseResult:
    """One house, its beginning written down first, so that one that takes its process with it is known."""
    if begun >= _MOST_TRIES:
        return lost_house(house)
    stream.write(f"{json.dumps({'begun': house.number})}\n")
    stream.flush()
    return take_house(house, batch.like, batch.lines, batch.seconds)


def _finish(whole: Path, rows: list[HouseResult]) -> None:
    """The part under its name in one step; whoever is first has it, and the tries are taken away."""
    own = whole.with_name(f"{whole.name}.{secrets.token_hex(6)}{_OPEN}")
    with open(own, "x", encoding="utf-8") as stream:
        stream.writelines(row_line(row) for row in rows)
        stream.flush()
        os.fsync(stream.fileno())
    os.replace(own, whole)
    for path in whole.parent.glob(f"{whole.name}.*{_OPEN}"):
        with suppress(OSError):
            path.unlink()


def _earlier(folder: Path, whole: Path) -> tuple[dict[int, HouseResult], Counter[int]]:
    """Rows of tries that did not come to their end, and how often each house was begun and has no row."""
    rows: dict[int, HouseResult] = {}
    begun: Counter[int] = Counter()
    for path in sorted(folder.glob(f"{whole.name}.*{_OPEN}")):
        for held in _lines(path):
            if "begun" in held:
                begun[int(held["begun"])] += 1
            else:
                row = _row_of(held)
                rows[row.number] = row
    return rows, begun


def _lines(path: Path) -> Iterator[Mapping[str, Any]]:
    """Lines of a part; the last one, torn where its process died, is left out."""
    with suppress(FileNotFoundError), open(path, encoding="utf-8", errors="replace") as stream:
        for line in stream:
            try:
                yield json.loads(line)
            except ValueError:
                return


def read_rows(path: Path) -> Iterator[HouseResult]:
    """The rows of a whole part."""
    for held in _lines(path):
        yield _row_of(held)


def row_line(row: HouseResult) -> str:
    """A row as a line of JSON."""
    return json.dumps(asdict(row), ensure_ascii=False, separators=(",", ":")) + "\n"


def _row_of(held: Mapping[str, Any]) -> HouseResult:
    return HouseResult(
        number=held["number"],
        name=held["name"],
        state=HouseState(held["state"]),
        why=held["why"],
        figures=held["figures"],
        findings={code: (severity, count) for code, (severity, count) in held["findings"].items()},
        lines=tuple(SummedLine(**line) for line in held["lines"]),
        ring_m=tuple((x, y) for x, y in held["ring_m"]),
    )
