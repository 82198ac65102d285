"""The tables of an estate: houses, those that were refused, findings by code, lines added up. CSV, or Parquet for the
houses."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.model.estate import FIGURES, EstateSummary, HouseResult, HouseState
from takeoff.write.estate.gather import Gathered
from takeoff.write.workbook.safe_texts import csv_text

_ROWS = 20_000  # of a group in a Parquet file
HEADINGS = ("number", "house", "state", "why", *(name for name, _, _ in FIGURES), "stops", "warnings", "notes")
Rows = Callable[[], Iterator[HouseResult]]


def write_houses(path: Path, rows: Iterable[HouseResult]) -> None:
    """A row a house, figures with the decimals of `FIGURES`, empty where there are none."""
    _write_csv(path, HEADINGS, (_cells(row) for row in rows))


def _cells(row: HouseResult) -> Sequence[str]:
    figures = [f"{row.figures[name]:.{decimals}f}" if row.figures else "" for name, decimals, _ in FIGURES]
    return [str(row.number), csv_text(row.name), row.state.value, csv_text(row.why), *figures, *map(str, _counts(row))]


def _counts(row: HouseResult) -> tuple[int, int, int]:
    counts = {"stop": 0, "warn": 0, "note": 0}
    for severity, count in row.findings.values():
        counts[severity] = counts.get(severity, 0) + count
    return counts["stop"], counts["warn"], counts["note"]


def write_houses_parquet(path: Path, rows: Iterable[HouseResult]) -> None:
    """The same as a Parquet table, in groups of rows. Raises UsageError where its library is not installed."""
    try:
        import pyarrow as pa
        from pyarrow import parquet
    except ImportError:
        raise UsageError("--table parquet needs an extra: pip install 'takeoff[parquet]'") from None
    words = ("house", "state", "why")
    kinds = [(name, pa.string() if name in words else pa.float64()) for name in HEADINGS]
    whole = ("number", "stops", "warnings", "notes")
    schema = pa.schema([(name, pa.int64() if name in whole else kind) for name, kind in kinds])
    with parquet.ParquetWriter(path, schema) as writer:
        for group in _groups(rows):
            writer.write_table(pa.Table.from_pylist([_record(row) for row in group], schema=schema))


def _groups(rows: Iterable[HouseResult]) -> Iterator[list[HouseResult]]:
    group: list[HouseResult] = []
    for row in rows:
        group.append(row)
        if len(group) == _ROWS:
            yield group
            group = []
    if group:
        yield group


def _record(row: HouseResult) -> dict[str, Any]:
    stops, warnings, notes = _counts(row)
    figures = {name: row.figures.get(name) for name, _, _ in FIGURES}
    own = {"number": row.number, "house": row.name, "state": row.state.value, "why": row.why}
    return {**own, **figures, "stops": stops, "warnings": warnings, "notes": notes}


def write_refused(path: Path, rows: Iterable[HouseResult]) -> None:
    """Houses without figures of their own to order from, each with its reason."""
    told = (row for row in rows if row.state is not HouseState.DONE)
    cells = ([str(row.number), csv_text(row.name), row.state.value, csv_text(row.why)] for row in told)
    _write_csv(path, ("number", "house", "state", "why"), cells)


def write_findings(path: Path, summary: EstateSummary) -> None:
    """Findings by code, with how many houses have them."""
    cells = ([code, severity, str(count), str(houses)] for code, severity, count, houses in summary.findings)
    _write_csv(path, ("code", "severity", "findings", "houses"), cells)


def write_lines(path: Path, found: Gathered) -> None:
    """Order lines of all houses added up by delivery and item, each house cut by itself."""
    headings = ("delivery", "item", "what", "count", "unit", "total", "total unit", "kg", "houses")
    cells = (
        [
            line.delivery,
            line.item,
            csv_text(line.name),
            f"{line.count:.10g}",
            line.unit,
            f"{line.total:.10g}",
            line.total_unit,
            f"{line.kg:.1f}" if line.kg else "",
            str(houses),
        ]
        for line, houses in found.lines.values()
    )
    _write_csv(path, headings, sorted(cells))


def _write_csv(path: Path, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    with open(path, "w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(headings)
        writer.writerows(rows)
