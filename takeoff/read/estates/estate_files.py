"""A file or folder with many houses -> its houses one after another, and a fingerprint of what was given."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.regular_files import opened
from takeoff.model.estate import EstateHouse
from takeoff.read.estates.map_houses import read_features, read_sequence
from takeoff.read.job.job_file import IN_FOLDER

_CHUNK = 1 << 20
_JOBS = (".yaml", ".yml")


def _parquet(path: Path) -> Iterator[EstateHouse]:
    from takeoff.read.estates.parquet_houses import read_table

    return read_table(path)


READERS: Mapping[str, Callable[[Path], Iterator[EstateHouse]]] = {
    ".geojson": read_features,
    ".json": read_features,
    ".geojsonseq": read_sequence,
    ".geojsonl": read_sequence,
    ".jsonl": read_sequence,
    ".ndjson": read_sequence,
    ".parquet": _parquet,
    ".geoparquet": _parquet,
}


def read_estate(path: Path) -> Iterator[EstateHouse]:
    """The houses of a map, a table or a folder of jobs, in its order. Two of one name get their numbers.

    Raises UnreadableFileError where it cannot be read, or holds none; UsageError for a kind that is not known. A house
    that cannot be read is one that says so.
    """
    houses = _jobs(path) if path.is_dir() else _reader(path)(path)
    seen: set[str] = set()
    none = True
    for house in houses:
        none = False
        if house.name in seen:
            house = replace(house, name=f"{house.name} ({house.number})")
        seen.add(house.name)
        yield house
    if none:
        raise UnreadableFileError(f"{path}: holds no houses")


def estate_fingerprint(path: Path) -> str:
    """SHA-256 of the file, or of the jobs in the folder with their names."""
    digest = hashlib.sha256()
    for one in job_files(path) if path.is_dir() else (path,):
        digest.update(f"{one.relative_to(path).as_posix() if one != path else ''}\n".encode())
        with opened(one, "map") as stream:
            while chunk := stream.read(_CHUNK):
                digest.update(chunk)
    return digest.hexdigest()


def job_files(folder: Path) -> tuple[Path, ...]:
    """Job files of a folder in the order of their names: its own, and job.yaml of each folder within."""
    own = [one for one in folder.iterdir() if one.suffix in _JOBS and one.is_file()]
    within = [one / IN_FOLDER for one in folder.iterdir() if one.is_dir() and (one / IN_FOLDER).is_file()]
    return tuple(sorted([*own, *within], key=lambda one: one.relative_to(folder).as_posix()))


def _reader(path: Path) -> Callable[[Path], Iterator[EstateHouse]]:
    found = READERS.get(path.suffix.lower())
    if found is None:
        known = ", ".join(READERS)
        hint = did_you_mean(path.suffix, READERS, f"; known: {known}, or a folder of jobs")
        raise UsageError(f"{path}: houses are not read from {path.suffix or 'a file without ending'}{hint}")
    return found


def _jobs(folder: Path) -> Iterator[EstateHouse]:
    for number, path in enumerate(job_files(folder), start=1):
        named = path.parent.name if path.name == IN_FOLDER and path.parent != folder else path.stem
        yield EstateHouse(number, named[:60], job_file=str(path.resolve()))


def estate_size(path: Path) -> int:
    """How many houses there are where that is quickly known (a folder, a file with a line a house), else 0."""
    if path.is_dir():
        return len(job_files(path))
    if READERS.get(path.suffix.lower()) is not read_sequence:
        return 0
    lines = 0
    with suppress(UnreadableFileError), opened(path, "map") as stream:
        while chunk := stream.read(_CHUNK):
            lines += chunk.count(b"\n")
    return lines
