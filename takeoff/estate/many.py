"""Many houses in one go: read, handed out, gathered into tables and pictures."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from itertools import islice
from pathlib import Path

from takeoff import __version__
from takeoff.basics.errors import TakeoffError, UsageError
from takeoff.basics.interrupts import Stopped
from takeoff.basics.records import record
from takeoff.estate.batch_rows import STOP, Batch, BatchDone, part_path, read_rows
from takeoff.estate.crews import crew_of
from takeoff.estate.house_job import Like, like_job
from takeoff.estate.running import run_batches, tell_to_stop
from takeoff.model.estate import EstateHouse, EstateSummary, HouseResult
from takeoff.read.catalogue import catalogue_version
from takeoff.read.estates.attributes import misspelt
from takeoff.read.estates.estate_files import estate_fingerprint, read_estate
from takeoff.write.estate.estate_set import write_estate
from takeoff.write.folder.lock import folder_lock

PARTS = "parts"
STATE = "estate.json"
MOST_WORKERS = 1_000
MOST_SECONDS = 1e6
BATCH = 24  # houses: 10 to 100 ms each
Progress = Callable[[int], None]


@record
class Wanted:
    """What is asked of `takeoff many`. `like`: a job file that the houses of a map follow where their attributes say
    nothing; `lines`: to the order, lines added up; `table` csv or parquet; `seconds` a house, 0 for no limit."""

    source: Path
    out: Path
    unit: str = "m"
    like: Path | None = None
    lines: bool = False
    table: str = "csv"
    seconds: float = 60.0
    workers: int = 1
    cluster: str = ""


def take_many(wanted: Wanted, progress: Progress = lambda _houses: None) -> EstateSummary:
    """Take off every house of a map, a table or a folder of jobs, and write tables, summary and map into `out`.

    What an earlier run of the same command has done is not done again. A house that is refused, stops, is late or
    kills its process is a row that says so. Raises UsageError, UnreadableFileError and JobError where the houses cannot
    be read at all or nothing can be written, Stopped where it is told to stop: then the rows so far stay.
    """
    _check(wanted)
    like = like_job(wanted.like, wanted.unit)
    mark = _mark(wanted)
    with _writable(wanted.out), folder_lock(wanted.out):
        _claim(wanted.out, mark)
        parts = wanted.out / PARTS
        parts.mkdir(exist_ok=True)
        with suppress(FileNotFoundError):
            (parts / STOP).unlink()
        unread: set[str] = set()
        batches, already = _work(wanted, like, parts, unread, progress)
        return write_estate(wanted.out, _rows(parts, batches), _facts(wanted, unread, already))


def _check(wanted: Wanted) -> None:
    faults = []
    if wanted.table not in ("csv", "parquet"):
        faults.append(f"--table {wanted.table}: csv or parquet")
    if not 0 <= wanted.workers <= MOST_WORKERS:
        faults.append(f"--workers {wanted.workers}: 1 to {MOST_WORKERS}, 0 for all cores")
    if not 0.0 <= wanted.seconds < MOST_SECONDS:
        faults.append(f"--seconds {wanted.seconds:g}: 0 for no limit, or less than {MOST_SECONDS:g}")
    if faults:
        raise UsageError(*faults)


def _work(wanted: Wanted, like: Like, parts: Path, unread: set[str], progress: Progress) -> tuple[int, int]:
    """Work off every batch. Returns how many there are and how many houses had been done before."""
    made = already = 0

    def open_batches() -> Iterator[Batch]:
        nonlocal made, already
        for number, houses in enumerate(_grouped(_watched(read_estate(wanted.source), unread)), start=1):
            made = number
            if part_path(parts, number).exists():
                already += len(houses)
                progress(len(houses))
                continue
            yield Batch(number, str(parts.resolve()), houses, like, wanted.lines, wanted.seconds)

    def done(batch: BatchDone) -> None:
        progress(sum(count for _, count in batch.states))

    crew = crew_of(wanted.workers, wanted.cluster)
    try:
        run_batches(open_batches(), crew, done)
    except Stopped as stop:
        tell_to_stop(parts)
        raise Stopped(stop.number, "every house that was done stays; type the same command again to go on") from None
    except BaseException:
        tell_to_stop(parts)
        raise
    finally:
        crew.dismiss()
    return made, already


def _watched(houses: Iterable[EstateHouse], unread: set[str]) -> Iterator[EstateHouse]:
    for house in houses:
        unread.update(house.unread)
        yield house


def _grouped(houses: Iterator[EstateHouse]) -> Iterator[tuple[EstateHouse, ...]]:
    while batch := tuple(islice(houses, BATCH)):
        yield batch


def _rows(parts: Path, batches: int) -> Callable[[], Iterator[HouseResult]]:
    """The rows of all parts in the order of the source, as often as they are asked for."""

    def rows() -> Iterator[HouseResult]:
        for number in range(1, batches + 1):
            yield from read_rows(part_path(parts, number))

    return rows


def _facts(wanted: Wanted, unread: set[str], already: int) -> EstateSummary:
    names = tuple(sorted(unread))
    return EstateSummary(
        source=wanted.source.name,
        table=wanted.table,
        with_lines=wanted.lines,
        already=already,
        unread=names,
        misspelt=misspelt(names),
        states=Counter(),
    )


def _mark(wanted: Wanted) -> dict[str, object]:
    """What the rows of a folder were made from: houses, program, and all that is asked but how it is shared out."""
    like = sha256(wanted.like.read_bytes()).hexdigest() if wanted.like is not None else ""
    return {
        "program": f"takeoff {__version__}",
        "catalogue": catalogue_version(),
        "source": estate_fingerprint(wanted.source),
        "like": like,
        "unit": wanted.unit,
        "lines": wanted.lines,
        "seconds": wanted.seconds,
        "batch": BATCH,
    }


@contextmanager
def _writable(out: Path) -> Iterator[None]:
    """What the disk says against the folder, as a sentence."""
    if out.exists() and not out.is_dir():
        raise UsageError(f"{out} is a file, not a folder; name another with --out")
    try:
        yield
    except OSError as err:
        if isinstance(err, TakeoffError):
            raise
        raise UsageError(f"{out}: cannot be written: {err.strerror or err}") from None


def _claim(out: Path, mark: dict[str, object]) -> None:
    """The folder for this estate. Raises UsageError where it holds the rows of another."""
    path = out / STATE
    text = json.dumps(mark, indent=1) + "\n"
    if path.is_file():
        if path.read_text(encoding="utf-8") != text:
            raise UsageError(f"{out} holds houses of another source or asked for otherwise; name another folder")
        return
    if (out / PARTS).exists():
        raise UsageError(f"{out / PARTS} was not written by this program; move it, or name another folder")
    path.write_text(text, encoding="utf-8")
