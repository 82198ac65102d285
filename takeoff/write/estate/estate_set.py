"""Everything that is written of an estate: each file whole or as it was."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from takeoff.model.estate import EstateSummary
from takeoff.write.estate.estate_map import estate_map
from takeoff.write.estate.estate_tables import (
    Rows,
    write_findings,
    write_houses,
    write_houses_parquet,
    write_lines,
    write_refused,
)
from takeoff.write.estate.gather import gather, summary_of
from takeoff.write.estate.histograms import estate_spread


def write_estate(out: Path, rows: Rows, facts: EstateSummary) -> EstateSummary:
    """Write the tables, the distribution of figures and the map of the houses that `rows` gives, each time it is asked.

    Returns what is said of the estate, the names of the files in it. Raises OSError where one cannot be written.
    """
    found = gather(rows())
    summary = summary_of(found, facts)
    files: dict[str, Callable[[Path], None]] = {}
    if facts.table == "parquet":
        files["houses.parquet"] = lambda path: write_houses_parquet(path, rows())
    else:
        files["houses.csv"] = lambda path: write_houses(path, rows())
    files["not_taken_off.csv"] = lambda path: write_refused(path, rows())
    files["findings.csv"] = lambda path: write_findings(path, summary)
    if facts.with_lines:
        files["lines.csv"] = lambda path: write_lines(path, found)
    files["spread.svg"] = lambda path: _text(path, estate_spread(found, summary))
    files["map.svg"] = lambda path: _text(path, estate_map(found, summary))
    for name, write in files.items():
        _whole(out / name, write)
    return replace(summary, files=tuple(files))


def _text(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")


def _whole(path: Path, write: Callable[[Path], None]) -> None:
    """A file under its name when it is whole."""
    own = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        write(own)
        os.replace(own, path)
    except BaseException:
        with suppress(OSError):
            own.unlink()
        raise
